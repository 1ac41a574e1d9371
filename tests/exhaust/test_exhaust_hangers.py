"""The choice of hangers: the same as by trying everything, mirrored with the vehicle, and plain about what is wrong.

Kinds: another route to the answer (every choice worked by itself); symmetry; arithmetic.
"""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import Chain, Element, Weld, chain_of
from trialfit.exhaust.hanger_judging import judged, mode_rank, modes_of, setting_of, shaken_by
from trialfit.exhaust.hanger_points import (
    Candidate,
    Growth,
    HangerWish,
    Idle,
    NoHangers,
    Rail,
    growth_of,
    seats_of,
)
from trialfit.exhaust.hanger_rod import Bracket
from trialfit.exhaust.hangers import hang, rack_of
from trialfit.exhaust.hanging import NotWeighed, point_on
from trialfit.exhaust.isolators import Isolator, unknown_isolator
from trialfit.findings import Verdict

pytest.importorskip("Pynite", reason="PyNiteFEA is an extra")

EXAMPLES = Path(__file__).parents[2] / "examples"
D, T = 63.5, 1.5
PER = 7850e-9 * math.pi * (D - T) * T
RUBBER = Isolator("two-hole", (3.0, 5.0), (3.0, 5.0), (12.0, 18.0), 50.0, most_n=90.0, most_mm=20.0)
BRACKET = Bracket(60.0, 30.0, 6.0)


Xyz = tuple[float, float, float]


def invented(mirror: float = 1.0, shift: Xyz = (0.0, 0.0, 0.0), box_kg: float | None = 5.5) -> Chain:
    """An invented exhaust: catalyst, up and over an axle, box, tail."""
    found: list[Element] = []
    sign = np.array([1.0, mirror, 1.0])
    at = [np.array([600.0, 250.0, 260.0]) * sign + np.array(shift), np.array([1.0, 0.0, 0.0])]

    def add(name: str, kind: str, length: float, kg: float | None = None, wide: float = 0.0, high: float = 0.0) -> None:
        here, way = at
        begun = found[-1].to_mm if found else 0.0
        body = {} if kind == "straight" else {"width_mm": wide, "height_mm": high, "wide": np.array([0.0, mirror, 0.0])}
        kg = PER * length if kind == "straight" else kg
        found.append(Element(name, kind, begun, length, here, here + length * way, way, way, D, T, kg, **body))
        at[0] = here + length * way

    def bend(turn_deg: float, inward: tuple[float, float, float]) -> None:
        here, way = at
        turn, side = math.radians(turn_deg), np.array(inward) * sign
        end = here + 95.25 * (math.sin(turn) * way + (1.0 - math.cos(turn)) * side)
        out = math.cos(turn) * way + math.sin(turn) * side
        found.append(Element(f"bend {len(found)}", "bend", found[-1].to_mm, 95.25 * turn, here, end, way, out, D, T,
                             PER * 95.25 * turn, radius_mm=95.25, turn_rad=turn))
        at[:] = [end, out]

    add("straight", "straight", 700.0)
    add("cat", "catalyst", 300.0, 3.5, 110.0, 110.0)
    add("straight", "straight", 500.0)
    bend(45.0, (0.0, 0.6, 0.8))
    add("straight", "straight", 150.0)
    s, c = math.sin(math.radians(45.0)), math.cos(math.radians(45.0))
    bend(45.0, (s, -0.6 * c, -0.8 * c))
    add("straight", "straight", 300.0)
    add("rear box", "muffler", 450.0, box_kg, 220.0, 120.0)
    add("straight", "straight", 400.0)
    plain = Chain("main", tuple(found), ())
    welds = tuple(Weld(letter, e.to_mm, *point_on(plain, e.to_mm)) for letter, e in zip("ABCDEFGHIJ", found[:-1]))
    return Chain("main", tuple(found), welds)


POINTS = {
    "cross member": (1000.0, 265.0, 420.0), "floor rib": (1450.0, 180.0, 430.0), "rail hole": (1750.0, 330.0, 440.0),
    "tunnel edge": (1950.0, 150.0, 400.0), "arch rail": (2350.0, 420.0, 560.0), "shackle hole": (2600.0, 440.0, 570.0),
    "boot floor": (2950.0, 300.0, 600.0), "tow bar": (3300.0, 420.0, 590.0),
}


def wish_for(mirror: float = 1.0, shift: Xyz = (0.0, 0.0, 0.0), **more) -> HangerWish:
    points = tuple(
        Candidate(name, (x + shift[0], mirror * y + shift[1], z + shift[2]), "bolt" if k % 2 else "weld",
                  bracket=BRACKET)
        for k, (name, (x, y, z)) in enumerate(POINTS.items()))
    given = dict(candidates=points, isolators={"": RUBBER}, most=5, idle=Idle((750.0, 900.0), 4),
                 growth=Growth((2e-3, 4e-3)), outlet_most_n_mm=200e3)
    return HangerWish(**(given | more))


@pytest.fixture(scope="module")
def plan():
    return hang(invented(), wish_for())


def by_name(plan, name):
    return next(f for f in plan.findings if f.name == f"exhaust.main.hanger.{name}")


def everything(chain: Chain, wish: HangerWish):
    """Every choice by itself, its rules asked one by one: (price, rank, use, choice) of those that carry the pipe."""
    seats, _ = seats_of(chain, wish)
    setting = setting_of(chain, wish, seats)
    bands = shaken_by(setting)
    good = []
    for size in range(1, wish.most + 1):
        for choice in itertools.combinations(range(len(seats)), size):
            at = [0.0, *(seats[k].at_mm for k in choice), chain.length_mm]
            if any(b - a > 1200.0 for a, b in itertools.pairwise(at)):
                continue
            near = True
            for e in chain.elements:
                if e.kind in ("muffler", "catalyst") or (e.kind == "bend" and e.turn_rad > math.radians(44.9)):
                    near = near and any(e.from_mm - 300.0 <= s <= e.to_mm + 300.0 for s in at[:-1])
            if not near:
                continue
            use = 0.0
            for springs in setting.slow:
                for grown in setting.grown:
                    one = judged(setting, setting.reaches[0], np.array([choice]), springs, grown)
                    use = max(use, float(one.use.max()))
            if use <= 1.0:
                rank = mode_rank(modes_of(setting, choice), bands)
                good.append((round(math.fsum(seats[k].candidate.price for k in choice), 9), rank, use, choice))
    return good, seats


@pytest.mark.parametrize("prices", [{}, {"boot floor": 4.0, "rail hole": 0.5}, {"floor rib": 3.0, "arch rail": 2.5}])
def test_the_choice_is_the_one_that_trying_everything_finds(prices):
    wish = wish_for()
    wish = replace(wish, candidates=tuple(replace(c, price=prices.get(c.name, 1.0)) for c in wish.candidates))
    chain = invented()
    told = hang(chain, wish)
    good, seats = everything(chain, wish)
    best = min(good)
    assert told.tried.proved
    assert told.tried.price == pytest.approx(best[0])
    assert [h.candidate.name for h in told.hangers] == [seats[k].candidate.name for k in best[3]]
    assert len(good) > 3


def test_places_decided_on_do_what_they_do_when_they_are_chosen(plan):
    rack = rack_of(invented(), wish_for())
    names = [h.candidate.name for h in plan.hangers]
    told = rack.on(list(reversed(names)))  # in order along the pipe all the same
    assert told.tried.decided
    assert told.tried.carries
    assert [h.candidate.name for h in told.hangers] == names
    assert told.hangers[0].cold_n == plan.hangers[0].cold_n
    assert told.modes_hz == plan.modes_hz
    same = [f for f in told.findings if not f.name.endswith("choice")]
    assert same == [f for f in plan.findings if not f.name.endswith("choice")]
    assert "you decided" in by_name(told, "choice").reason
    good, seats = everything(invented(), wish_for())
    carrying = {row[3] for row in good}
    for pair in itertools.combinations(range(len(seats)), 2):
        decided = rack.on([seats[k].candidate.name for k in pair])
        # what carries by itself and keeps the rules is among the choices; what does not carry is told so
        if pair in carrying:
            assert decided.tried.carries
        if not decided.tried.carries:
            assert by_name(decided, "choice").verdict is Verdict.DOES_NOT_FIT
    for wrong, words in (((), "hangs on nothing"), ((names[0], names[0]), "named twice"), (("sky",), "no such place")):
        with pytest.raises(NoHangers, match=words):
            rack.on(wrong)


def test_hangers_and_outlet_carry_the_weight(plan):
    low = sum(h.upright_n[0] for h in plan.hangers) + plan.outlet_n[0]
    high = sum(h.upright_n[1] for h in plan.hangers) + plan.outlet_n[1]
    assert low <= plan.weight_n <= high
    assert high - low < 0.5 * plan.weight_n
    assert plan.weight_n == pytest.approx(invented().mass_kg * 9.80665)


def test_one_stiffness_and_one_growth_leave_no_range():
    rubber = Isolator("known", (4.0, 4.0), (4.0, 4.0), (15.0, 15.0), 50.0, most_n=90.0)
    told = hang(invented(), wish_for(isolators={"": rubber}, growth=Growth((3e-3, 3e-3))))
    for h in told.hangers:
        assert h.cold_n[0] == pytest.approx(h.cold_n[1])
    assert sum(h.upright_n[0] for h in told.hangers) + told.outlet_n[0] == pytest.approx(told.weight_n)


def test_growth_is_that_of_the_distance_from_the_outlet(plan):
    start = invented().elements[0].start
    for h in plan.hangers:
        np.testing.assert_allclose(h.growth_mm, 4e-3 * (h.foot - start), atol=1e-9)


def test_the_mirrored_vehicle_is_hung_as_the_mirror_of_it(plan):
    other = hang(invented(-1.0), wish_for(-1.0))
    assert [h.candidate.name for h in other.hangers] == [h.candidate.name for h in plan.hangers]
    assert other.sag_mm == pytest.approx(plan.sag_mm, rel=1e-6)
    for a, b in zip(plan.hangers, other.hangers):
        assert b.cold_n == pytest.approx(a.cold_n, rel=1e-6)
        assert b.hot_n == pytest.approx(a.hot_n, rel=1e-6)
        assert b.rod.length_mm == pytest.approx(a.rod.length_mm, rel=1e-6)
        np.testing.assert_allclose(b.rod.pin * [1, -1, 1], a.rod.pin)
    np.testing.assert_allclose(other.modes_hz, plan.modes_hz, rtol=1e-6)


def test_a_shifted_datum_changes_nothing(plan):
    away = (-730.0, 41.0, 512.0)
    other = hang(invented(shift=away), wish_for(shift=away))
    assert [h.candidate.name for h in other.hangers] == [h.candidate.name for h in plan.hangers]
    np.testing.assert_allclose([h.hot_n for h in other.hangers], [h.hot_n for h in plan.hangers], rtol=1e-6)
    np.testing.assert_allclose([w.worst_n_mm for w in other.welds], [w.worst_n_mm for w in plan.welds], rtol=1e-5)
    assert [str(f.verdict) for f in other.findings] == [str(f.verdict) for f in plan.findings]


def test_what_is_found_is_named_and_judged(plan):
    names = [f.name.removeprefix("exhaust.main.hanger.") for f in plan.findings]
    assert len(set(names)) == len(names)
    for wanted in ("choice", "spacing", "near.1", "load.1", "pull.1", "growth.1", "rod.1", "bracket.1", "sag", "weld",
                   "outlet", "idle", "axle", "stretch.1"):
        assert wanted in names
    assert by_name(plan, "choice").verdict is Verdict.FITS
    assert by_name(plan, "spacing").margin == pytest.approx(
        1200.0 - max(b - a for a, b in itertools.pairwise([0.0, *(h.at_mm for h in plan.hangers),
                                                           invented().length_mm])))
    for f in plan.findings:
        assert f.reason
        assert bool(f.remedy) == (f.verdict is not Verdict.FITS)


def test_versions_of_rules_are_followed():
    strict = hang(invented(), wish_for(versions={"hanger-spacing": "900 mm", "hanger-near-heavy": "150 mm"}))
    at = [0.0, *(h.at_mm for h in strict.hangers), invented().length_mm]
    assert max(b - a for a, b in itertools.pairwise(at)) <= 900.0
    assert by_name(strict, "spacing").rule == "900 mm"


def test_spacing_that_the_candidates_do_not_allow_is_told_with_the_place_that_mends_it():
    kept = tuple(c for c in wish_for().candidates if c.name in ("arch rail", "boot floor", "shackle hole"))
    told = hang(invented(), wish_for(candidates=kept))
    spacing = by_name(told, "spacing")
    assert spacing.verdict is Verdict.DOES_NOT_FIT
    assert spacing.margin < 0.0
    assert spacing.remedy.startswith("name a point or a rail within 350 mm of ")
    assert "cat has its nearest hanger" in by_name(told, "near.1").reason
    assert by_name(told, "near.1").verdict is Verdict.DOES_NOT_FIT


def test_no_candidate_is_refused_with_the_nearest_thing_that_works():
    with pytest.raises(NoHangers) as told:
        hang(invented(), wish_for(candidates=()))
    x, y, z = point_on(invented(), 2324.6)[0]
    assert str(told.value) == (
        "main has nothing to hang on: name a frame point or hole, or allow a rail, beside rear box, within 350 mm of "
        f"{x:.0f} mm, {y:.0f} mm right, {z:.0f} mm")
    shut = tuple(replace(c, allowed=False, why_not="the maker forbids holes there") for c in wish_for().candidates)
    with pytest.raises(NoHangers, match="the nearest now is boot floor, which cannot be used: the maker forbids"):
        hang(invented(), wish_for(candidates=shut))


def test_too_few_hangers_allowed_are_refused_with_how_many_it_takes():
    with pytest.raises(NoHangers, match=r"main needs 3 hangers to keep 900 mm .* and 1 are allowed; allow 3"):
        hang(invented(), wish_for(most=1, versions={"hanger-spacing": "900 mm"}))


def test_candidates_that_no_rod_reaches_are_named(plan):
    far = Candidate("roof", (1500.0, 200.0, 1500.0), "bolt")
    on_top = Candidate("on the pipe", (900.0, 250.0, 350.0), "bolt")
    told = hang(invented(), wish_for(candidates=(*wish_for().candidates, far, on_top)))
    why = {d.candidate.name: d.why for d in told.dropped}
    assert "from the pipe, rods reach 350 mm" in why["roof"]
    assert "on top of the pipe" in why["on the pipe"]
    assert [h.candidate.name for h in told.hangers] == [h.candidate.name for h in plan.hangers]


def test_a_rail_is_looked_at_along_its_length():
    rail = Rail("rail right", (900.0, 420.0, 430.0), (3500.0, 420.0, 590.0), 200.0, "weld")
    places = rail.candidates()
    assert places[0].xyz_mm == rail.start_mm
    assert places[-1].xyz_mm == pytest.approx(rail.end_mm)
    assert all(math.dist(a.xyz_mm, b.xyz_mm) <= 200.0 + 1e-9 for a, b in itertools.pairwise(places))
    told = hang(invented(), wish_for(candidates=(), rails=(rail,)))
    assert all(h.candidate.name.startswith("rail right at ") for h in told.hangers)
    with pytest.raises(ValueError, match="step along rail right"):
        replace(rail, step_mm=2.0).candidates()


def test_a_place_at_the_end_of_a_rail_may_be_written_rounded():
    rail = Rail("a to b", (0.0, 0.0, 400.0), (301.427, 0.0, 400.0), 100.0, "weld")
    assert rail.candidate(301.43).xyz_mm[0] == pytest.approx(301.43)
    assert rail.candidate(0.0).xyz_mm == (0.0, 0.0, 400.0)
    with pytest.raises(ValueError, match="along a to b"):
        rail.candidate(301.5)


def test_a_search_that_is_ended_says_so():
    with pytest.raises(NoHangers, match="was ended"):
        hang(invented(), wish_for(), stop=lambda: True)


def test_rubber_that_nobody_measured_makes_answers_doubtful():
    told = hang(invented(), wish_for(isolators={"": unknown_isolator(50.0)}))
    assert by_name(told, "rubber").verdict is Verdict.CANNOT_TELL
    assert "hang a known weight on it" in by_name(told, "rubber").remedy
    assert by_name(told, "load.1").verdict is Verdict.CANNOT_TELL
    assert told.sag_mm[1] > 1.5 * told.sag_mm[0]


def test_what_lies_between_soft_and_stiff_stays_between(plan):
    """Rubber of one lot anywhere between its ends: load and sag stay between, but for a hundredth."""
    seats, _ = seats_of(invented(), wish_for())
    setting = setting_of(invented(), wish_for(), seats)
    order = [s.candidate.name for s in seats]
    chosen = np.array([[order.index(h.candidate.name) for h in plan.hangers]])
    for share in np.linspace(0.0, 1.0, 9):
        springs = (1.0 - share) * setting.slow[0] + share * setting.slow[-1]
        got = judged(setting, setting.reaches[0], chosen, springs, setting.grown[0])
        assert plan.sag_mm[0] * 0.99 <= got.sag_mm[0] <= plan.sag_mm[1] * 1.01
        for c, h in zip(chosen[0], plan.hangers):
            assert h.upright_n[0] - 0.5 <= got.weight_n[0, c, 2] <= h.upright_n[1] + 0.5


def test_a_search_that_stops_tells_its_bound_and_gap():
    good, _ = everything(invented(), wish_for(versions={"hanger-sag": "5 mm"}, outlet_most_n_mm=165e3))
    told = hang(invented(), wish_for(versions={"hanger-sag": "5 mm"}, outlet_most_n_mm=165e3), most_choices=2)
    assert not told.tried.proved
    assert told.tried.carries
    assert told.tried.bound <= min(good)[0] <= told.tried.price
    assert told.tried.gap == pytest.approx(told.tried.price - told.tried.bound)
    assert told.tried.gap > 0.0
    assert by_name(told, "choice").verdict is Verdict.CANNOT_TELL
    weak = wish_for(outlet_most_n_mm=10.0)
    lost = hang(invented(), weak, most_choices=3)
    assert not lost.tried.carries
    assert lost.tried.gap is None
    assert "none that carries it is found yet" in by_name(lost, "choice").reason
    whole = hang(invented(), weak)
    assert whole.tried.proved
    assert whole.tried.bound is None
    assert whole.tried.worked == whole.tried.choices
    assert by_name(whole, "choice").verdict is Verdict.DOES_NOT_FIT
    assert by_name(whole, "outlet").verdict is Verdict.DOES_NOT_FIT


def test_without_idle_growth_or_a_limit_of_the_outlet_it_cannot_tell():
    told = hang(invented(), wish_for(idle=None, growth=None, outlet_most_n_mm=None))
    for name in ("idle", "growth", "outlet"):
        assert by_name(told, name).verdict is Verdict.CANNOT_TELL
        assert by_name(told, name).remedy


def test_a_gap_that_is_passed_in_is_judged(plan):
    told = hang(invented(), wish_for(), gap_of=lambda points, radius: (-4.0 if points[0][0] < 2300.0 else 30.0, 1.0))
    verdicts = {bool(h.rod.line.point_at(0.0)[0] < 2300.0): by_name(told, f"gap.{k}").verdict
                for k, h in enumerate(told.hangers, start=1)}
    assert verdicts == {True: Verdict.DOES_NOT_FIT, False: Verdict.FITS}


def test_a_part_that_nobody_weighed_is_asked_for():
    with pytest.raises(NotWeighed, match="rear box"):
        hang(invented(box_kg=None), wish_for())


def test_firing_frequency():
    # a four-stroke of four cylinders fires twice a turn, a two-stroke of one once
    assert Idle((750.0, 900.0), 4).firing_hz() == (25.0, 30.0)
    assert Idle((600.0, 600.0), 8).firing_hz() == (40.0, 40.0)
    assert Idle((1200.0, 1200.0), 1, 2).firing_hz() == (20.0, 20.0)
    with pytest.raises(ValueError, match="strokes is 3; write 2 or 4"):
        Idle((750.0, 900.0), 4, 3).firing_hz()


def test_growth_from_the_skin():
    told = growth_of("304", (493.15, 593.15))
    assert told.share == pytest.approx((200.0 * 17.2e-6, 300.0 * 17.2e-6))


def test_wrong_candidates_are_refused():
    with pytest.raises(ValueError, match="kind of hanger is 'glue'; write bolt or weld"):
        Candidate("x", (0.0, 0.0, 0.0), "glue")
    twice = (Candidate("x", (1000.0, 250.0, 400.0), "bolt"), Candidate("x", (1200.0, 250.0, 400.0), "bolt"))
    with pytest.raises(ValueError, match="two candidates for hangers are called x"):
        hang(invented(), wish_for(candidates=twice))
    with pytest.raises(ValueError, match="no rubber is said for cross member; say one for it or one for all"):
        hang(invented(), wish_for(isolators={}))


def test_a_laid_route_of_an_example_is_hung():
    results = run(load(EXAMPLES / "estate" / "build.yaml").build, gaps=False)
    chain = chain_of(results.routes[0], results.cuts[0])
    rail = Rail("rail", (900.0, 400.0, 380.0), (3500.0, 480.0, 560.0), 150.0, "weld")
    told = hang(chain, HangerWish((), {"": RUBBER}, (rail,), growth=Growth((2e-3, 4e-3))))
    assert told.hangers
    assert told.weight_n == pytest.approx(chain.mass_kg * 9.80665)
    low = sum(h.upright_n[0] for h in told.hangers) + told.outlet_n[0]
    assert low <= told.weight_n
