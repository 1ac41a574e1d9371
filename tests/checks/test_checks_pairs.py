"""Which things are held against each other, and at what distance."""

import pytest

from trialfit.checks import left_out, pairs, slug, things
from trialfit.vehicle import Amount, Box, Build, GapWish, RoutePlan, RuleChoice, Settings, Shaft, Tube


def a_build(**more):
    shapes = (
        Tube("axle tube", "axle", "axle", None, "tube.L", "tube.R", Amount(76.0)),
        Tube("link", "link", "", None, "frame.l", "axle.l", Amount(30.0)),
        Box("rail", "frame", "frame", None, "rail.1", "rail.2"),
        Box("tank", "fuel", "frame", None, "tank.1", "tank.2"),
        Tube("wheel stub", "tyre", "wheel-left", None, "tube.L", "stub", Amount(50.0)),
    )
    given = dict(
        name="invented", note="", settings=Settings(), readings=(), shapes=shapes,
        bodies=(("axle", ("tube.L", "tube.R", "axle.l")), ("wheel-left", ("stub",))),
        routes=(RoutePlan("main", Amount(50.0), Amount(1.5), "outlet", "", (), (3000.0, 0.0, 300.0)),),
    )
    return Build(**{**given, **more})


def names(build):
    return {frozenset((p.a.name, p.b.name)): p for p in pairs(build)}


def test_what_moves_is_held_against_what_does_not_and_the_exhaust_against_everything():
    found = names(a_build())
    assert frozenset(("axle tube", "rail")) in found
    assert frozenset(("link", "rail")) in found
    assert frozenset(("exhaust.main", "rail")) in found, "an exhaust does not move, yet must clear what does not either"
    assert frozenset(("exhaust.main", "axle tube")) in found
    assert frozenset(("rail", "tank")) not in found, "two things fixed to the frame cannot come nearer"


def test_things_that_ride_as_one_or_hang_on_one_point_are_left_out():
    found = names(a_build())
    assert frozenset(("axle tube", "wheel stub")) not in found
    hung = a_build(shaft=Shaft("box.out", "tube.L", Amount(70.0)))
    assert frozenset(("shaft", "axle tube")) not in names(hung), "the shaft's rear joint is a point of the axle tube"
    assert frozenset(("shaft", "rail")) in names(hung)


def test_required_gap_comes_from_the_rule_in_force_and_names_its_origin():
    pair = names(a_build())[frozenset(("exhaust.main", "tank"))]
    assert (pair.required_mm, pair.rule) == (38.0, "exhaust-to-fuel")
    assert pair.source
    other = a_build(rules=(RuleChoice("exhaust-to-fixed", "10 mm, a finger's width"),))
    assert names(other)[frozenset(("exhaust.main", "rail"))].required_mm == 10.0


def test_the_builders_own_word_wins_names_before_kinds():
    wishes = (
        GapWish("exhaust", "fuel", 60.0), GapWish("tank", "exhaust.main", 55.0), GapWish("link", "rail", None, True))
    found = names(a_build(gaps=wishes))
    assert found[frozenset(("exhaust.main", "tank"))].required_mm == 55.0
    assert frozenset(("link", "rail")) not in found
    assert names(a_build(gaps=wishes[:1]))[frozenset(("exhaust.main", "tank"))].required_mm == 60.0


def test_a_thing_that_spans_rides_on_both_bodies():
    link = next(t for t in things(a_build()) if t.name == "link")
    assert link.bodies == {"frame", "axle"}
    assert link.moves


@pytest.mark.parametrize("name, wanted", [("Axle tube, left", "axle-tube-left"), ("exhaust.main", "exhaust-main")])
def test_slug(name, wanted):
    assert slug(name) == wanted


def test_a_shared_hardpoint_joins_an_exhaust_only_to_what_it_can_be_bolted_to():
    inside = Box("tank", "fuel", "frame", None, "outlet", "tank.2")
    assert frozenset(("exhaust.main", "tank")) in names(a_build(shapes=(inside,)))
    bolted = Box("gearbox", "gearbox", "engine", None, "outlet", "tank.2")
    build = a_build(shapes=(bolted,))
    assert frozenset(("exhaust.main", "gearbox")) not in names(build)
    assert left_out(build) == [("gearbox", "exhaust.main", "outlet")]
    wished = a_build(shapes=(bolted,), gaps=(GapWish("gearbox", "exhaust.main", 30.0),))
    assert names(wished)[frozenset(("exhaust.main", "gearbox"))].required_mm == 30.0
    assert left_out(wished) == []
