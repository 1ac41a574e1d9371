"""What there is to see of a build: cuts, doubts, gaps along the travel, what hangs on a thing.

Areas of cuts are held against the area of an ellipse and of a rectangle (geometry, from memory) and the cut of a scan
against trimesh (reference library); doubts against draws from the survey's covariance (numpy, another route).
"""

import math
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import Results, run
from trialfit.checks.showing import (
    Cut,
    body_at,
    cut_at,
    doubts,
    findings_of,
    gap_along_heave,
    gap_lines,
    gap_now,
    heave_range,
    placed_named,
    readings_of,
    subject,
    subjects,
)
from trialfit.findings import Verdict
from trialfit.geometry import Rigid, Span
from trialfit.geometry.paths import PathError
from trialfit.geometry.solids import Capsule, TriangleMesh
from trialfit.vehicle import PosePoint

ESTATE = Path(__file__).resolve().parents[2] / "examples" / "estate" / "build.yaml"


RIDE = PosePoint(0.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def results() -> Results:
    build = load(ESTATE).build
    assert build is not None
    return run(build)


def area(face: np.ndarray) -> float:
    y, z = face.T
    return 0.5 * abs(float(y @ np.roll(z, -1) - z @ np.roll(y, -1)))


def cut_of(results: Results, name: str, station: float, pose: PosePoint = RIDE) -> Cut:
    return next(c for c in cut_at(results, station, pose) if c.thing.name == name)


def test_a_box_is_cut_to_its_width_and_height(results: Results) -> None:
    a, b = results.points["tank.a"], results.points["tank.b"]
    (face,) = cut_of(results, "tank", 0.5 * (a[0] + b[0])).faces
    assert area(face) == pytest.approx(abs(b[1] - a[1]) * abs(b[2] - a[2]), rel=1e-9)


def test_a_round_bar_is_cut_to_an_ellipse(results: Results) -> None:
    mover = placed_named(results, "shaft").mover
    assert isinstance(mover, Span)
    along = (mover.b - mover.a) / np.linalg.norm(mover.b - mover.a)
    (face,) = cut_of(results, "shaft", 0.5 * float(mover.a[0] + mover.b[0])).faces
    # a polygon of 64 sides holds 0.16 % less than its circle
    assert area(face) == pytest.approx(math.pi * mover.radius_mm**2 / abs(along[0]), rel=2e-3)


def test_a_pipe_is_cut_with_its_bore(results: Results) -> None:
    mover = placed_named(results, "exhaust.main").mover
    assert isinstance(mover, Rigid)
    sticks = [s for s in mover.solids if isinstance(s, Capsule)]
    stick = max(sticks, key=lambda s: float(np.linalg.norm(s.end - s.start)))
    along = (stick.end - stick.start) / np.linalg.norm(stick.end - stick.start)
    cut = cut_of(results, "exhaust.main", 0.5 * float(stick.start[0] + stick.end[0]))
    wall = results.routes[0].wall_mm
    outer, bore = sum(area(f) for f in cut.faces), sum(area(b) for b in cut.bores)
    expected = math.pi * (stick.radius_mm**2 - (stick.radius_mm - wall) ** 2) / abs(along[0])
    assert outer - bore == pytest.approx(expected, rel=2e-3)


def test_a_cut_moves_with_what_it_cuts(results: Results) -> None:
    station = float(results.points["tube.L"][0])
    low = cut_of(results, "axle tube", station)
    high = cut_of(results, "axle tube", station, PosePoint(60.0, 0.0, 0.0))
    rise = np.vstack(high.faces)[:, 1].mean() - np.vstack(low.faces)[:, 1].mean()
    assert rise == pytest.approx(60.0, abs=3.0)


def test_a_scan_is_cut_as_trimesh_cuts_it() -> None:
    import trimesh

    from trialfit.checks.showing import _skin

    ball = trimesh.creation.icosphere(subdivisions=3, radius=100.0)
    turn = trimesh.transformations.rotation_matrix(0.3, [1.0, 2.0, 3.0])[:3, :3]
    shift = np.array([5.0, -7.0, 11.0])
    mesh = TriangleMesh(np.array(ball.vertices), np.array(ball.faces, dtype=np.int64))
    lines = _skin(mesh, mesh.vertices @ turn[0] + (shift[0] - 40.0), turn, shift)
    moved = trimesh.Trimesh(mesh.vertices @ turn.T + shift, mesh.triangles, process=False)
    reference = trimesh.intersections.mesh_plane(moved, [1.0, 0.0, 0.0], [40.0, 0.0, 0.0])
    assert len(lines) == len(reference)
    length = np.linalg.norm(lines[:, 0] - lines[:, 1], axis=1).sum()
    assert length == pytest.approx(np.linalg.norm(reference[:, 0] - reference[:, 1], axis=1).sum(), rel=1e-9)
    middle = lines.reshape(-1, 2).mean(axis=0)
    assert middle == pytest.approx(reference.reshape(-1, 3)[:, 1:].mean(axis=0), abs=1e-6)


def test_nothing_is_met_past_the_ends(results: Results) -> None:
    assert cut_at(results, -20_000.0) == ()


def test_a_hardpoint_lies_within_its_doubt_nineteen_times_in_twenty(results: Results) -> None:
    rng = np.random.default_rng(7)
    for doubt in doubts(results)[:6]:
        draws = rng.multivariate_normal(np.zeros(3), results.survey.covariance_of([doubt.name]), 20_000)
        for k in range(3):
            inside = np.abs(draws @ doubt.ways[:, k]) <= doubt.half_mm[k]
            assert inside.mean() == pytest.approx(0.95, abs=0.01)
        assert np.linalg.det(doubt.ways) == pytest.approx(1.0)
        assert doubt.half_mm[0] >= doubt.half_mm[1] >= doubt.half_mm[2]


def test_the_gap_along_the_travel_is_never_below_the_guaranteed_one(results: Results) -> None:
    answer = next(a for a in results.gaps if a.pair.name == "axle-tube.exhaust-main")
    curve = gap_along_heave(results, answer)
    assert results.travel is not None
    assert curve.heave_mm[0] == -85.0
    assert curve.heave_mm[-1] == 75.0
    slack = results.travel.fit_error_mm
    assert float(curve.most_mm.min()) >= answer.lower_mm - slack
    now = gap_now(results, answer, answer.pose, 1.0)
    # the kernels state their rounding at far less than a hundredth of a millimetre
    assert answer.lower_mm - 0.01 <= now.least_mm <= now.most_mm <= answer.upper_mm + slack + 0.01
    assert now.verdict is Verdict.FITS


def test_gap_lines_are_as_long_as_their_gap(results: Results) -> None:
    lines = gap_lines(results)
    assert lines
    for line in lines:
        answer = next(a for a in results.gaps if a.pair.name == line.name)
        length = float(np.linalg.norm(line.second_mm - line.first_mm))
        if answer.lower_mm > 0.0:
            assert answer.lower_mm - 0.5 <= length <= answer.upper_mm + 0.5


def test_the_axle_rises_by_its_heave_and_the_frame_stays(results: Results) -> None:
    assert results.travel is not None
    at = np.array([*results.travel.reference, 1.0])
    assert (body_at(results, "axle", PosePoint(75.0, 0.0, 0.0)) @ at)[2] - at[2] == pytest.approx(75.0, abs=0.5)
    assert body_at(results, "frame", PosePoint(75.0, 0.0, 0.0)) == pytest.approx(np.eye(4))


def test_beyond_the_travel_is_refused_with_its_range(results: Results) -> None:
    answer = results.gaps[0]
    with pytest.raises(PathError, match="75"):
        body_at(results, "axle", PosePoint(120.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="limit of 4"):
        heave_range(results, 0.2)
    with pytest.raises(ValueError, match=r"rock 17\.2 deg is beyond the mounts: -3 to 2 deg"):
        gap_along_heave(results, answer, rock_rad=0.3)
    with pytest.raises(ValueError, match="2 or more heaves"):
        gap_along_heave(results, answer, steps=1)


def test_what_hangs_on_a_thing(results: Results) -> None:
    tube = subject(results, "axle tube")
    assert tube.kind == "axle"
    assert set(tube.points) == {"tube.L", "tube.R"}
    typed = {c.observation.typed for c in readings_of(results, tube)}
    assert "height tube.R 305 mm" in typed
    assert all("floor.1" not in text for text in typed)
    point = subject(results, "tube.L")
    assert point.on == ("axle tube",)
    said = findings_of(results, point, results.findings)
    assert [f.name for f in said] == ["survey.unchecked.tube.L"]
    with pytest.raises(KeyError, match="no such thing"):
        subject(results, "no such thing")
    assert {"axle tube", "tube.L"} <= set(subjects(results))
    assert "ground" not in subjects(results)
