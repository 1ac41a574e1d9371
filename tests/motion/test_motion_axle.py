"""Loop closure: second opinions from scipy, properties, and every refusal by name."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize, root
from scipy.spatial.transform import Rotation

sys.path.insert(0, str(Path(__file__).parent))
from invented_axles import ALL, EXACT, FOUR, FOUR_PARALLEL, LEAVES, POINTS, ROD, THREE, TRIANGULATED

from trialfit.motion import MotionError, axle_of, give_mm, joint_closure, reference_point, rods_of, solve, solve_pose
from trialfit.vehicle import FourLinksRod, LeafSpring, Link, ThreeLinksRod, TriangulatedLinks

HEAVE = st.floats(-85.0, 75.0)
ROLL = st.floats(-0.05, 0.05)


def _moved(suspension, unknowns, heave, roll, points=POINTS):
    """Axle motion written without the program: scipy's intrinsic z-y-x turn about the reference point."""
    reference = reference_point(suspension, points)
    turn = Rotation.from_euler("ZYX", [unknowns[2], unknowns[3], roll])
    walk = np.array([unknowns[0], unknowns[1], heave])
    return lambda p: reference + walk + turn.apply(p - reference)


def _rod_errors(suspension, unknowns, heave, roll):
    move = _moved(suspension, unknowns, heave, roll)
    return np.array([
        np.linalg.norm(move(POINTS[r.axle]) - POINTS[r.frame]) - np.linalg.norm(POINTS[r.axle] - POINTS[r.frame])
        for r in rods_of(suspension)
    ])


@pytest.mark.parametrize("name", ["three", "triangulated"])
@pytest.mark.parametrize(("heave", "roll"), [(75.0, 0.0), (-88.0, 0.0), (20.0, 0.11), (-30.0, -0.1), (60.0, 0.04)])
def test_rods_close_where_a_general_root_finder_says(name, heave, roll):
    # kind: reference library (scipy.optimize.root with a residual written here)
    suspension = EXACT[name]
    found = root(lambda q: _rod_errors(suspension, q, heave, roll), np.zeros(4), method="hybr", tol=1e-13)
    ours = solve_pose(suspension, POINTS, heave, roll)
    move = _moved(suspension, found.x, heave, roll)
    for point in ("rod.a", "pinion", "wheel.L"):
        assert ours.move(POINTS[point]) == pytest.approx(move(POINTS[point]), abs=1e-6)


@pytest.mark.parametrize(("heave", "roll"), [(75.0, 0.0), (-20.0, 0.1), (40.0, -0.08)])
def test_bushes_take_the_least_energy_that_a_general_minimiser_finds(heave, roll):
    # kind: reference library (scipy.optimize.minimize); unequal stiffness so that the weights are seen
    links = tuple(replace(k, stiffness_n_per_mm=s) for k, s in zip(FOUR.links, (2000.0, 900.0, 3000.0, 500.0)))
    suspension = FourLinksRod(links, replace(ROD, stiffness_n_per_mm=1500.0))
    weights = np.array([2000.0, 900.0, 3000.0, 500.0, 1500.0])
    scale = np.array([1.0, 1.0, 0.002, 0.002])
    found = minimize(
        lambda u: weights @ _rod_errors(suspension, u * scale, heave, roll) ** 2, np.zeros(4), method="BFGS",
        options={"gtol": 1e-7},
    )
    pose = solve_pose(suspension, POINTS, heave, roll)
    move = _moved(suspension, found.x * scale, heave, roll)
    assert pose.move(POINTS["wheel.R"]) == pytest.approx(move(POINTS["wheel.R"]), abs=2e-4)
    gives = give_mm(axle_of(suspension, POINTS), pose.rotation[None], pose.shift[None])[0]
    assert weights @ gives**2 == pytest.approx(found.fun, rel=1e-6)
    assert weights @ gives**2 <= found.fun * (1.0 + 1e-9)


@pytest.mark.parametrize(("heave", "roll"), [(60.0, 0.0), (-80.0, 0.0), (10.0, 0.06)])
def test_leaf_springs_close_where_a_general_root_finder_says(heave, roll):
    # kind: reference library; the chain eye - link - axle - link - rear eye - shackle with the rear eyes as unknowns
    flat = [0, 2]  # these springs lie along the vehicle: their plane is x-z
    half = {}
    for s in "LR":
        eye, pad, rear, hanger = (POINTS[f"{n}.{s}"] for n in ("eye", "pad", "rear", "hanger"))
        a, b = np.linalg.norm((pad - eye)[flat]) - 60.0, np.linalg.norm((rear - pad)[flat]) - 60.0
        hinge = eye + (pad - eye) * 0.75 * a / (a + 60.0), rear + (pad - rear) * 0.75 * b / (b + 60.0)
        half[s] = (eye, pad, rear, hanger, a, b, hinge, (rear - eye) / np.linalg.norm(rear - eye))

    def errors(q):
        move = _moved(LEAVES, q, heave, roll)
        out, wind, side = [], 0.0, 0.0
        for n, (eye, pad, rear, hanger, a, b, hinge, chord) in enumerate(half.values()):
            tip = q[4 + 2 * n : 6 + 2 * n] * 100.0 + rear[flat]
            out.append(np.linalg.norm((move(hinge[0]) - eye)[flat]) - 0.75 * a)
            out.append(np.linalg.norm(move(hinge[1])[flat] - tip) - 0.75 * b)
            out.append(np.linalg.norm(tip - hanger[flat]) - np.linalg.norm((rear - hanger)[flat]))
            along = (move(pad + chord) - move(pad))[flat]
            up, up0 = (np.array([-t[1], t[0]]) / np.linalg.norm(t) for t in (along, chord[flat]))
            front = (eye - pad)[flat] @ up0 - (eye[flat] - move(pad)[flat]) @ up
            back = (rear - pad)[flat] @ up0 - (tip - move(pad)[flat]) @ up
            wind += front * (a + 60.0) / a**3 - back * (b + 60.0) / b**3
            side += move(pad)[1]
        return np.array([*out, wind * 1e5, side])

    found = root(errors, np.zeros(8), method="hybr", tol=1e-13)
    assert np.max(np.abs(errors(found.x))) < 1e-7
    pose = solve_pose(LEAVES, POINTS, heave, roll)
    move = _moved(LEAVES, found.x, heave, roll)
    assert pose.move(POINTS["pinion"]) == pytest.approx(move(POINTS["pinion"]), abs=1e-6)


@pytest.mark.parametrize("name", EXACT)
def test_joints_close_to_a_millionth_of_a_millimetre_at_ten_thousand_poses(name):
    draw = np.random.default_rng(9)
    heave, roll = draw.uniform(-60.0, 50.0, 10_000), draw.uniform(-0.06, 0.06, 10_000)
    axle = axle_of(EXACT[name], POINTS)
    poses = solve(axle, heave, roll)
    assert poses.reached.min() == 1.0
    assert joint_closure(axle, heave, poses.rotation, poses.shift).max() < 1e-9
    spoilt = poses.shift + np.array([1e-3, 0.0, 0.0])
    assert joint_closure(axle, heave, poses.rotation, spoilt).min() > 1e-4


@pytest.mark.parametrize("name", ALL)
@settings(max_examples=15, deadline=None)
@given(heave=HEAVE, roll=ROLL, shift=st.tuples(*[st.floats(-3000.0, 3000.0)] * 3))
def test_shifting_the_datum_shifts_the_axle_and_nothing_else(name, heave, roll, shift):
    there = {n: p + np.array(shift) for n, p in POINTS.items()}
    here, moved = solve_pose(ALL[name], POINTS, heave, roll), solve_pose(ALL[name], there, heave, roll)
    assert moved.move(there["pinion"]) - shift == pytest.approx(here.move(POINTS["pinion"]), abs=1e-7)
    assert moved.rotation == pytest.approx(here.rotation, abs=1e-10)


@pytest.mark.parametrize("name", ALL)
@settings(max_examples=15, deadline=None)
@given(heave=HEAVE, roll=ROLL)
def test_a_mirrored_vehicle_moves_as_the_mirror_image(name, heave, roll):
    mirror = np.array([1.0, -1.0, 1.0])
    other = {n: p * mirror for n, p in POINTS.items()}
    here, there = solve_pose(ALL[name], POINTS, heave, roll), solve_pose(ALL[name], other, heave, -roll)
    for point in ("pinion", "wheel.L"):
        assert there.move(other[point]) == pytest.approx(here.move(POINTS[point]) * mirror, abs=1e-7)


@pytest.mark.parametrize("suspension", [TRIANGULATED, LEAVES])
@pytest.mark.parametrize("heave", [-85.0, 40.0, 78.0])
def test_heave_alone_neither_yaws_nor_walks_a_symmetric_axle(suspension, heave):
    poses = solve(axle_of(suspension, POINTS), np.array([heave]), np.array([0.0]))
    assert abs(poses.yaw_rad[0]) < 1e-12
    assert abs(poses.walk_mm[0, 1]) < 1e-9
    assert abs(poses.pitch_rad[0]) > 1e-4


@pytest.mark.parametrize("heave", [-90.0, 35.0, 80.0])
def test_parallel_links_and_rod_do_not_fight_in_heave_but_do_in_roll(heave):
    axle = axle_of(FOUR_PARALLEL, POINTS)
    poses = solve(axle, np.array([heave, 0.0]), np.array([0.0, 0.08]))
    gives = np.abs(give_mm(axle, poses.rotation, poses.shift)).max(axis=1)
    assert gives[0] < 1e-9
    assert gives[1] > 0.05


def test_the_heave_is_that_of_the_reference_point_and_roll_lifts_the_right_wheel():
    poses = solve(axle_of(THREE, POINTS), np.array([33.0]), np.array([0.05]))
    reference = reference_point(THREE, POINTS)
    assert (poses.rotation[0] @ reference + poses.shift[0])[2] - reference[2] == pytest.approx(33.0, abs=1e-9)
    left, right = ((poses.rotation[0] @ POINTS[f"wheel.{s}"] + poses.shift[0])[2] for s in "LR")
    assert right > left + 50.0


def test_positive_pitch_raises_the_pinion_nose():
    poses = solve(axle_of(TRIANGULATED, POINTS), np.array([-80.0]), np.array([0.0]))
    axis = poses.rotation[0] @ np.array([-1.0, 0.0, 0.0])
    assert np.arcsin(axis[2]) == pytest.approx(poses.pitch_rad[0], abs=1e-12)


def test_named_wheels_are_the_reference():
    assert reference_point(THREE, POINTS, ("wheel.L", "wheel.R")) == pytest.approx([2620.0, 0.0, 320.0])
    assert reference_point(THREE, POINTS)[1] == 0.0


def test_neighbouring_poses_stay_in_one_assembly():
    heave = np.linspace(-90.0, 80.0, 2001)
    for suspension in ALL.values():
        poses = solve(axle_of(suspension, POINTS), heave, np.zeros_like(heave))
        assert np.abs(np.diff(poses.shift, axis=0)).max() < 1.0


REFUSALS = {
    "an upright lateral rod": (
        ThreeLinksRod(THREE.links, Link("rod", "rod.up", "rod.a")), {"rod.up": [2700.0, 470.0, 900.0]},
        r"^rod stands upright: it locks the axle in heave and does not hold it sideways$",
    ),
    "four links that all run straight": (
        TriangulatedLinks(FOUR_PARALLEL.links), {}, r"^the axle (is loose|locks): .*do not hold it sideways$",
    ),
    "no hardpoint": (
        ThreeLinksRod(THREE.links, Link("rod", "nowhere", "rod.a")), {},
        r"^link rod: hardpoint 'nowhere' has no place; measure it$",
    ),
    "a rod of no length": (
        ThreeLinksRod(THREE.links, Link("rod", "rod.a", "rod.a")), {},
        r"^link rod is 0 mm long; at least 1 mm is needed$",
    ),
    "a hardpoint that is no place": (
        THREE, {"rod.f": [np.nan, 0.0, 0.0]}, r"^link rod: hardpoint 'rod.f' must be three numbers in mm$",
    ),
    "a bush without stiffness": (
        ThreeLinksRod(THREE.links, replace(ROD, stiffness_n_per_mm=0.0)), {},
        r"^link rod: stiffness must be above 0 N/mm, not 0 N/mm$",
    ),
    "a pad ahead of the front eye": (
        LEAVES, {"pad.L": [1900.0, -520.0, 350.0]},
        r"^leaf spring spring L: its pad does not lie between its two eyes$",
    ),
    "a shackle along the spring": (
        LEAVES, {"hanger.R": [3420.0, 520.0, 408.57]},
        r"^leaf spring spring R: its shackle lies in line with the spring at ride height \(.* deg off; at least 6 deg",
    ),
    "a front half all under the clamp": (
        LEAVES, {"eye.L": [2520.0, -520.0, 380.0]},
        r"^leaf spring spring L: its front half has 25\.\d+ mm free outside the clamp; at least 50 mm are needed$",
    ),
}


@pytest.mark.parametrize("name", REFUSALS)
def test_an_axle_that_cannot_work_is_refused_by_name(name):
    suspension, changed, message = REFUSALS[name]
    points = {**POINTS, **{n: np.array(p) for n, p in changed.items()}}
    with pytest.raises(MotionError, match=message):
        axle_of(suspension, points)


def test_a_clamp_that_names_no_size_is_refused():
    from trialfit.vehicle import Amount, LeafSprings

    left = LeafSpring("spring L", "eye.L", "pad.L", "rear.L", "hanger.L", Amount(0.0, size="clamp"))
    springs = LeafSprings(left, LEAVES.right)
    with pytest.raises(MotionError, match=r"^leaf spring spring L: no size is called 'clamp'$"):
        axle_of(springs, POINTS)
    given_size = axle_of(springs, POINTS, {"clamp": (120.0, 0.1)})
    assert given_size.data == pytest.approx(axle_of(LEAVES, POINTS).data)


def test_a_short_rod_sticks_and_says_where():
    points = {**POINTS, "rod.near": np.array([2700.0, 400.0, 310.0])}
    with pytest.raises(MotionError, match=r"^rod cannot reach: the axle sticks at heave 6\d\.\d mm, roll 0\.00 deg$"):
        solve_pose(ThreeLinksRod(THREE.links, Link("rod", "rod.near", "rod.a")), points, 90.0, 0.0)


def test_a_short_shackle_turns_over_and_says_where():
    points = {**POINTS}
    for s, y in (("L", -520.0), ("R", 520.0)):
        points[f"hanger.{s}"] = np.array([3340.0, y, 425.0])
    with pytest.raises(MotionError, match=r"^leaf spring spring L: its shackle comes into line with the spring at "):
        solve_pose(LEAVES, points, -90.0, 0.0)
