"""The exhaust as beams on springs: balances that hold whatever the pipe, and the quick update against the long way.

Kinds: equilibrium and energy (physics); another route to the answer (whole system solved by scipy).
"""

import importlib
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.linalg import eigh

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import Chain, Element, Weld, chain_of
from trialfit.exhaust.hanging import (
    INSTALL,
    ExtraMissing,
    Grip,
    NotWeighed,
    OutletHold,
    answers,
    frame_of,
    modes_hz,
    moments_of,
    point_on,
    reach_of,
)

pytest.importorskip("Pynite", reason="PyNiteFEA is an extra")

EXAMPLES = Path(__file__).parents[2] / "examples"
D, T, GRAVITY = 63.5, 1.5, 9.80665
PER = 7850e-9 * math.pi * (D - T) * T


def invented(box_kg: float | None = 5.0, flex: bool = False) -> Chain:
    """Straight, (bellows,) bend up, straight, box, straight, pie cut, tail."""
    found: list[Element] = []
    at = [np.array([500.0, 200.0, 250.0]), np.array([1.0, 0.0, 0.0])]

    def add(kind: str, length: float, kg: float | None, wide: float = 0.0, high: float = 0.0) -> None:
        here, way = at
        begun = found[-1].to_mm if found else 0.0
        found.append(Element(f"{kind} {len(found)}", kind, begun, length, here, here + length * way, way, way, D, T, kg,
                             width_mm=wide, height_mm=high))
        at[0] = here + length * way

    def bend(radius: float, turn: float, inward: np.ndarray, joints: int = 0) -> None:
        here, way = at
        begun = found[-1].to_mm
        end = here + radius * (math.sin(turn) * way + (1.0 - math.cos(turn)) * inward)
        out = math.cos(turn) * way + math.sin(turn) * inward
        length = 2.0 * joints * radius * math.tan(0.5 * turn / joints) if joints else radius * turn
        found.append(Element(f"bend {len(found)}", "pie-cut bend" if joints else "bend", begun, length, here, end, way,
                             out, D, T, PER * length, radius_mm=radius, turn_rad=turn, joints=joints))
        at[:] = [end, out]

    add("straight", 700.0, PER * 700.0)
    if flex:
        add("bellows", 120.0, 0.8, 82.0, 82.0)
    bend(95.25, math.radians(60.0), np.array([0.0, 0.6, 0.8]))
    add("straight", 250.0, PER * 250.0)
    add("muffler", 400.0, box_kg, 200.0, 110.0)
    add("straight", 200.0, PER * 200.0)
    way = at[1]
    side = np.cross(way, [0.0, 0.0, 1.0])
    bend(95.25, math.radians(45.0), side / np.linalg.norm(side), 3)
    add("straight", 300.0, PER * 300.0)
    plain = Chain("main", tuple(found), ())
    welds = tuple(Weld(letter, e.to_mm, *point_on(plain, e.to_mm)) for letter, e in zip("ABCDEFG", found[:-1]))
    return Chain("main", tuple(found), welds)


HOLDS = (400.0, 900.0, 1250.0, 1600.0, 1900.0)
SPRINGS = np.array([[4.0, 5.0, 20.0], [3.0, 3.0, 12.0], [6.0, 5.0, 25.0], [2.0, 4.0, 15.0], [5.0, 2.0, 10.0]])


def grips(chain: Chain, give: float = 0.0) -> tuple[Grip, ...]:
    spots = [point_on(chain, s)[0] for s in HOLDS]
    return tuple(Grip(s, p + np.array([10.0, 60.0 - 20.0 * k, 90.0]), give * (np.eye(3) + 0.3 * np.ones((3, 3))))
                 for k, (s, p) in enumerate(zip(HOLDS, spots)))


def whole(frame, held, chosen, springs):
    """Stiffness of the frame with the chosen hangers on it, put together the long way, and each hanger's row."""
    total = frame.stiffness.copy()
    rows = []
    for c in chosen:
        node = frame.node_at(held[c].at_mm)
        arm = held[c].pin - frame.places[node]
        at = 6 * (node - frame.first)
        row = np.zeros((3, len(total)))
        row[:, at:at + 3] = np.eye(3)
        for axis in range(3):
            row[:, at + 3 + axis] = np.cross(np.eye(3)[axis], arm)
        spring = np.linalg.inv(np.diag(1.0 / springs[c]) + held[c].rod_give)
        total += row.T @ spring @ row
        rows.append((row, spring))
    return total, rows


@pytest.fixture(scope="module")
def chain():
    return invented()


@pytest.mark.parametrize("chosen", [(0,), (1, 3), (0, 2, 4), (0, 1, 2, 3, 4)])
@pytest.mark.parametrize("give", [0.0, 0.02])
def test_the_quick_update_gives_what_the_whole_system_gives(chain, chosen, give):
    held = grips(chain, give)
    frame = frame_of(chain, HOLDS)
    reach = reach_of(frame, held, [0.0, *(w.at_mm for w in chain.welds)])
    grown = np.array([[2.0 + k, 0.3 * k, -0.5] for k in range(len(HOLDS))])
    got = answers(reach, np.array([chosen]), SPRINGS, grown)
    total, rows = whole(frame, held, chosen, SPRINGS)
    moved = np.linalg.solve(total, frame.pull)
    pushed = np.linalg.solve(total, sum(-row.T @ spring @ grown[c] for c, (row, spring) in zip(chosen, rows)))
    for c, (row, spring) in zip(chosen, rows):
        np.testing.assert_allclose(got.weight_n[0, c], -spring @ (row @ moved), rtol=1e-5, atol=1e-5)
        np.testing.assert_allclose(got.growth_n[0, c], -spring @ (row @ pushed + grown[c]), rtol=1e-5, atol=1e-5)
    assert got.sag_mm[0] == pytest.approx(-float(moved[2::6].min()), rel=1e-6)
    squares = eigh(frame.mass, total, eigvals_only=True)[::-1][:10]
    np.testing.assert_allclose(modes_hz(reach, chosen, SPRINGS, 10), 1.0 / np.sqrt(squares) / math.tau, rtol=2e-3)


def test_work_of_the_weight_is_twice_what_is_stored(chain):
    held = grips(chain)
    frame = frame_of(chain, HOLDS)
    total, rows = whole(frame, held, (0, 2, 4), SPRINGS)
    moved = np.linalg.solve(total, frame.pull)
    stored = 0.5 * float(moved @ frame.stiffness @ moved)
    stored += sum(0.5 * float((row @ moved) @ spring @ (row @ moved)) for row, spring in rows)
    assert float(frame.pull @ moved) == pytest.approx(2.0 * stored, rel=1e-9)


def test_hangers_and_outlet_carry_the_weight_and_its_moment(chain):
    """The outlet on very stiff springs: what they push back must balance weight and hangers."""
    stiff = OutletHold(1e6, 1e6, 1e10, 1e10)
    held = grips(chain)
    frame = frame_of(chain, HOLDS, stiff)
    assert frame.mass_kg == pytest.approx(chain.mass_kg)
    reach = reach_of(frame, held, [0.0])
    got = answers(reach, np.array([[1, 3]]), SPRINGS, np.zeros((5, 3)))
    total, _ = whole(frame, held, (1, 3), SPRINGS)
    moved = np.linalg.solve(total, frame.pull)
    weight = chain.mass_kg * GRAVITY
    assert got.weight_n[0, :, 2].sum() - 1e6 * moved[2] == pytest.approx(weight, rel=1e-6)
    assert got.weight_n[0, :, 0].sum() - 1e6 * moved[0] == pytest.approx(0.0, abs=1e-5 * weight)
    # bending at the outlet: the springs' couple, less its part along the pipe, which runs along x there
    still, worst = moments_of(reach, got.weight_n, got.growth_n, 3.0)
    couple = 1e10 * moved[3:6]
    assert still[0, 0] == pytest.approx(math.hypot(couple[1], couple[2]), rel=1e-5)
    assert worst[0, 0] == pytest.approx(3.0 * still[0, 0], rel=1e-9)


def test_growth_that_nothing_holds_makes_no_force_and_that_of_all_alike_hardly_bends(chain):
    frame = frame_of(chain, HOLDS)
    reach = reach_of(frame, grips(chain), [0.0])
    none = answers(reach, np.array([[0, 4]]), SPRINGS, np.zeros((5, 3)))
    assert np.abs(none.growth_n).max() == 0.0
    soft = answers(reach, np.array([[0, 4]]), 1e-6 * SPRINGS, np.full((5, 3), 3.0))
    assert np.abs(soft.growth_n).max() < 1e-4


def test_a_stiffer_spring_never_lowers_a_natural_frequency(chain):
    reach = reach_of(frame_of(chain, HOLDS), grips(chain), [0.0])
    last = modes_hz(reach, (0, 2, 4), 0.5 * SPRINGS)
    for times in (1.0, 2.0, 4.0):
        now = modes_hz(reach, (0, 2, 4), times * SPRINGS)
        assert (now >= last * (1.0 - 1e-9)).all()
        last = now


def test_finer_stations_change_nothing_that_matters(chain):
    rough = reach_of(frame_of(chain, HOLDS), grips(chain), [0.0])
    fine = reach_of(frame_of(chain, [*HOLDS, *np.arange(20.0, 2000.0, 37.0)]), grips(chain), [0.0])
    a, b = (answers(r, np.array([[0, 2, 4]]), SPRINGS, np.zeros((5, 3))) for r in (rough, fine))
    np.testing.assert_allclose(a.weight_n, b.weight_n, rtol=5e-3, atol=0.05)
    np.testing.assert_allclose(modes_hz(rough, (0, 2, 4), SPRINGS, 6), modes_hz(fine, (0, 2, 4), SPRINGS, 6), rtol=5e-3)


def test_bellows_give_along_by_their_rate():
    flexing = invented(flex=True)
    name = next(e.name for e in flexing.elements if e.kind == "bellows")
    frame = frame_of(flexing, [830.0], bellows={name: 8.0})
    grip = Grip(830.0, point_on(flexing, 830.0)[0], np.zeros((3, 3)))
    # along the pipe, which runs along x up to there
    assert reach_of(frame, (grip,), [0.0]).give[0, 0] == pytest.approx(1.0 / 8.0, rel=0.01)
    with pytest.raises(ValueError, match="rate of the bellows bellows 1 is not said"):
        frame_of(flexing)


def test_stations_lie_on_the_centre_line_of_a_laid_route():
    results = run(load(EXAMPLES / "estate" / "build.yaml").build, gaps=False)
    chain = chain_of(results.routes[0], results.cuts[0])
    frame = frame_of(chain, [500.0])
    line = results.routes[0].centreline
    for s, place in zip(frame.stations_mm, frame.places):
        np.testing.assert_allclose(place, line.point_at(float(s)), atol=1e-6)
    assert frame.mass_kg == pytest.approx(chain.mass_kg)


def test_what_is_refused():
    with pytest.raises(NotWeighed, match=r"nobody weighed muffler 3; weigh each and write for example: mass: 4.5 kg"):
        frame_of(invented(box_kg=None))
    with pytest.raises(ValueError, match="station of a hanger"):
        frame_of(invented(), [9000.0])
    with pytest.raises(ValueError, match="stiffness of 'cheese' is not known; known: steel, stainless"):
        frame_of(replace(invented(), material="cheese"))


def test_without_the_library_the_line_that_sets_it_up_is_told(monkeypatch):
    def gone(name: str):
        raise ImportError(name)

    monkeypatch.setattr(importlib, "import_module", gone)
    with pytest.raises(ExtraMissing, match="frames") as told:
        frame_of(invented())
    assert str(told.value) == INSTALL
