"""Chains of fittings: the cheapest is found, no seat is mixed, forbidden kinds stay out, none is said plainly."""

import random

import pytest

from trialfit.mates.chain import (
    Chain,
    Fitting,
    Middle,
    Weights,
    bag_list,
    cheapest_chains,
    fittings,
    mate_of,
)  # fmt: skip
from trialfit.standards.hose_ends import End, end_families, ends_go_together, forbidden, standard_end, standard_ends
from trialfit.units import unmarked

FLARE, BUBBLE = "inverted flare", "bubble"


def every_chain(start, goal, kept, weights, most, use=""):
    """All chains by plain trying, cheapest first: the other route to the answer."""
    found = []

    def go(end, placed, seen):
        if ends_go_together(end, goal)[0]:
            joints, cost, length = len(placed) + 1, sum(f.cost for f in placed), sum(f.length_mm for f in placed)
            found.append((weights.joint * joints + weights.cost * cost + weights.per_mm * length,
                          tuple((f.name, f.b) for f in placed)))  # fmt: skip
        if len(placed) == most:
            return
        for fitting in kept:
            if fitting.third is not None or any(forbidden(e.family, use) for e in (fitting.a, fitting.b)):
                continue
            ways = [fitting] if fitting.a == fitting.b else [fitting, fitting.turned()]
            for way in ways:
                if ends_go_together(end, way.a)[0] and way.b not in seen:
                    go(way.b, [*placed, way], seen | {way.b})

    go(start, [], {start})
    return sorted(found, key=lambda x: x[0])


@pytest.mark.parametrize("seed", range(30))
def test_the_best_chains_are_those_that_plain_trying_finds(seed):
    draw = random.Random(seed)
    ends = [e for e in standard_ends() if e.family in {FLARE, BUBBLE, "37 flare", "NPT"}]
    pool = draw.sample(ends, 7)
    kept = tuple(
        Fitting(f"f{i}", "adapter", draw.choice(pool), mate_of(draw.choice(pool)) if draw.random() < 0.5 else
                draw.choice(pool), draw.choice([0.5, 1.0, 1.7, 3.1]), draw.choice([10.0, 23.0, 41.0]))
        for i in range(14)
    )  # fmt: skip
    weights = Weights(draw.uniform(0.5, 3.0), 1.0, draw.uniform(0.0, 0.05), 0.0)
    start, goal = mate_of(draw.choice(pool)), mate_of(draw.choice(pool))
    want = every_chain(start, goal, kept, weights, 4)
    got = cheapest_chains(start, goal, catalogue=kept, weights=weights, how_many=5)
    assert [c.weight for c in got.best] == pytest.approx([w for w, _ in want[:5]])
    assert (got.made is None) is bool(want)
    for chain in got.best:
        assert (pytest.approx(chain.weight), tuple((p.name, p.leaves) for p in chain.placed)) in want


def test_plain_trying_meets_both_outcomes():
    """So that the comparison above compares something."""
    found = []
    for seed in range(30):
        draw = random.Random(seed)
        ends = [e for e in standard_ends() if e.family in {FLARE, BUBBLE, "37 flare", "NPT"}]
        pool = draw.sample(ends, 7)
        kept = tuple(
            Fitting(f"f{i}", "adapter", draw.choice(pool), mate_of(draw.choice(pool)) if draw.random() < 0.5 else
                    draw.choice(pool), draw.choice([0.5, 1.0, 1.7, 3.1]), draw.choice([10.0, 23.0, 41.0]))
            for i in range(14)
        )  # fmt: skip
        weights = Weights(draw.uniform(0.5, 3.0), 1.0, draw.uniform(0.0, 0.05), 0.0)
        found.append(len(every_chain(mate_of(draw.choice(pool)), mate_of(draw.choice(pool)), kept, weights, 4)))
    assert sum(n == 0 for n in found) > 5
    assert sum(n > 1 for n in found) > 5


@pytest.mark.parametrize("a,b,use", [
    ((FLARE, "3/16 in", "male"), (BUBBLE, "4.75 mm", "female"), "brake"),
    ((BUBBLE, "6 mm", "male"), (FLARE, "5/16 in", "female"), "brake"),
    (("37 flare", "1/4 in", "female"), (FLARE, "1/4 in", "female"), "clutch"),
    (("face seal", "3/8 in", "female"), ("O-ring boss", "1/2 in", "female"), "steering"),
])  # fmt: skip
def test_the_packaged_catalogue_against_plain_trying(a, b, use):
    start, goal = standard_end(*a), standard_end(*b)
    near = {FLARE, BUBBLE, "37 flare", "face seal", "O-ring boss"}
    reach = tuple(f for f in fittings() if {f.a.family, f.b.family} <= near)
    weights = Weights(narrow=0.0)
    want = every_chain(start, goal, reach, weights, 3, use)
    got = cheapest_chains(start, goal, use, catalogue=reach, most_fittings=3, weights=weights)
    assert want
    assert [c.weight for c in got.best] == pytest.approx([w for w, _ in want[:3]])


def test_a_narrower_hose_is_offered_last_and_said():
    """From 5/16 in fuel line no hose of its size is kept; from 3/8 in there is one."""
    ends = [standard_end("37 flare", size, "male") for size in ("5/16 in", "3/8 in")]
    tight = cheapest_chains(ends[0], ends[0], "fuel", middle=Middle("hose"))
    assert "it goes through 1/4 in and -4, narrower than the line (5/16 in)" in unmarked(tight.note)
    assert not cheapest_chains(ends[1], ends[1], "fuel", middle=Middle("hose")).note


def test_of_two_ways_the_one_that_is_not_narrower_comes_first():
    start, goal = standard_end("37 flare", "3/8 in", "male"), standard_end("NPT", "1/4", "male")
    wide, narrow = (standard_end("37 flare", size, "male") for size in ("1/2 in", "1/4 in"))
    kept = (
        Fitting("down", "reducer", mate_of(start), narrow, 0.1, 10.0),
        Fitting("cheap", "adapter", mate_of(narrow), mate_of(goal), 0.1, 10.0),
        Fitting("long", "enlarger", mate_of(start), wide, 9.0, 90.0),
        Fitting("dear", "adapter", mate_of(wide), mate_of(goal), 9.0, 90.0),
    )
    found = cheapest_chains(start, goal, catalogue=kept)
    assert [[p.name for p in chain.placed] for chain in found.best] == [["long", "dear"], ["down", "cheap"]]
    assert not found.note


@pytest.mark.parametrize("use", ["brake", "oil"])
def test_no_seat_is_mixed_and_nothing_forbidden_goes_in(use):
    draw = random.Random(4)
    ends = [e for e in standard_ends() if forbidden(e.family, use) is None]
    chains = 0
    for _ in range(60):
        start, goal = draw.choice(ends), draw.choice(ends)
        for chain in cheapest_chains(start, goal, use).best:
            chains += 1
            open_end = start
            for placed in chain.placed:
                assert ends_go_together(open_end, placed.enters)[0]
                assert forbidden(placed.enters.family, use) is None
                assert forbidden(placed.leaves.family, use) is None
                open_end = placed.leaves
            assert ends_go_together(open_end, goal)[0]
            assert chain.joints == len(chain.placed) + 1
    assert chains > 10


def test_ends_that_go_together_need_no_fitting():
    found = cheapest_chains(standard_end(FLARE, "3/16 in", "male"), standard_end(FLARE, "3/16 in", "female"), "brake")
    assert found.best[0].placed == ()
    assert found.best[0].words() == "no fitting: the ends go together"


def test_a_taper_thread_is_a_way_for_oil_and_none_for_brakes():
    start = goal = standard_end("37 flare", "1/4 in", "female")
    out, into = standard_end("NPT", "1/8", "male"), standard_end("NPT", "1/8", "female")
    kept = (
        Fitting("to pipe", "adapter", standard_end("37 flare", "1/4 in", "male"), out, 1.0, 20.0),
        Fitting("coupling", "coupling", into, into, 1.0, 20.0),
    )
    assert [p.name for p in cheapest_chains(start, goal, "oil", catalogue=kept).best[0].placed] == [
        "to pipe", "coupling", "to pipe",
    ]  # fmt: skip
    brakes = cheapest_chains(start, goal, "brake", catalogue=kept)
    assert brakes.best == ()
    assert "none exists: have this made" in brakes.made.words


def test_an_end_that_the_use_forbids_gets_no_chain_and_nothing_made():
    found = cheapest_chains(standard_end("NPT", "1/8", "female"), standard_end("37 flare", "1/4 in", "female"), "brake")
    assert found.best == ()
    assert found.made is None
    assert found.refused[0].kind == "TRADE"


def test_none_is_said_plainly_with_both_ends():
    found = cheapest_chains(standard_end("bubble", "8 mm", "female"), standard_end("face seal", "1 in", "female"))
    assert found.best == ()
    assert "M14x1.5 male bubble" in found.made.words
    assert "1-7/16-12 male face seal" in found.made.words
    assert (found.made.a.family, found.made.b.family) == ("bubble", "face seal")


def test_a_brake_hose_between_two_ends_is_ordered_as_one():
    start, goal = standard_end(FLARE, "3/16 in", "female"), standard_end("flat seat", "M10x1", "female")
    found = cheapest_chains(start, goal, "brake", middle=Middle("hose"))
    banjo = "banjo hose end with hollow bolt and two washers"
    assert [p.form for p in found.best[0].placed] == ["hose end", "hose", banjo]
    assert "marked assembly" in found.note


def test_a_run_goes_through_its_middle_once():
    start, goal = standard_end("37 flare", "3/8 in", "male"), standard_end("O-ring boss", "3/8 in", "female")
    for what, size in (("hose", "-6"), ("tube", "3/8 in")):
        best = cheapest_chains(start, goal, "fuel", middle=Middle(what, size)).best
        assert best
        for chain in best:
            assert [p.form for p in chain.placed].count(what) == 1


def test_metric_and_inch_brake_tube_are_one():
    ends = standard_end(FLARE, "3/16 in", "female"), standard_end(BUBBLE, "4.75 mm", "female")
    inch, metric = (cheapest_chains(*ends, "brake", middle=Middle("tube", s)) for s in ("3/16 in", "4.75 mm"))
    assert inch.best == metric.best
    assert [p.form for p in inch.best[0].placed] == [
        "tube nut and double flare", "tube", "tube nut and bubble flare",
    ]  # fmt: skip


def test_a_tee_as_the_middle_brings_its_branch():
    end = standard_end(FLARE, "3/16 in", "male")
    found = cheapest_chains(end, end, "brake", middle=Middle("tee"))
    assert found.best[0].placed[0].form == "tee"
    tee = next(f for f in fittings() if f.name == found.best[0].placed[0].name)
    assert tee.third == standard_end(FLARE, "3/16 in", "female")


def test_weights_change_what_is_best():
    def piece(name, a, b, cost, length):
        return Fitting(name, "adapter", standard_end(*a), standard_end(*b), cost, length)

    start, goal = standard_end(FLARE, "3/16 in", "male"), standard_end(BUBBLE, "4.75 mm", "female")
    kept = (
        piece("dear", (FLARE, "3/16 in", "female"), (BUBBLE, "4.75 mm", "male"), 9.0, 20.0),
        piece("cheap 1", (FLARE, "3/16 in", "female"), (BUBBLE, "6 mm", "male"), 1.0, 30.0),
        piece("cheap 2", (BUBBLE, "6 mm", "female"), (BUBBLE, "4.75 mm", "male"), 1.0, 30.0),
    )
    by_cost = cheapest_chains(start, goal, catalogue=kept, weights=Weights(0.5, 1.0, 0.0)).best[0]
    by_joints = cheapest_chains(start, goal, catalogue=kept, weights=Weights(10.0, 1.0, 0.0)).best[0]
    assert [p.name for p in by_cost.placed] == ["cheap 1", "cheap 2"]
    assert [p.name for p in by_joints.placed] == ["dear"]


def test_the_bag_list_leaves_hose_and_tube_out():
    start, goal = standard_end(FLARE, "3/16 in", "female"), standard_end(BUBBLE, "4.75 mm", "female")
    items = bag_list("B1", cheapest_chains(start, goal, "brake", middle=Middle("tube", "3/16 in")).best[0])
    assert [i.thread for i in items if i.thread] == ["3/8-24", "M10x1"]
    assert items[0].seat == "inverted flare, 45 deg, metal cone"
    assert {i.line for i in items} == {"B1"}
    assert all("tube 3/16" not in i.fitting for i in items)


def test_mates_go_together():
    for end in standard_ends():
        assert ends_go_together(end, mate_of(end))[0], end


def test_every_fitting_of_the_catalogue_has_known_ends():
    held = fittings()
    assert len({f.name for f in held}) == len(held)
    for fitting in held:
        assert {fitting.a.family, fitting.b.family} <= set(end_families())
        assert fitting.cost > 0.0
    assert Chain((), 1, 0.0, 0.0, 2.0).words()


@pytest.mark.parametrize("kwargs,words", [
    (dict(how_many=0), "how many"), (dict(most_fittings=9), "most fittings"),
    (dict(middle=Middle("string")), "not 'string'"), (dict(middle=Middle("hose", "-7")), "-7"),
])  # fmt: skip
def test_what_is_out_of_range_is_refused(kwargs, words):
    with pytest.raises(ValueError, match=words):
        cheapest_chains(standard_end(FLARE, "3/16 in", "male"), standard_end(BUBBLE, "4.75 mm", "female"), **kwargs)


def test_an_unknown_family_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match="nearest: bubble"):
        cheapest_chains(End("buble", "", "male", "M10x1"), standard_end(BUBBLE, "4.75 mm", "female"))
