"""Laying a route: what fits, what does not and why, and the doubt of the margins."""

import math

import numpy as np
import pytest

from trialfit.exhaust import lay
from trialfit.findings import Place, Verdict
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan, StockBend

U_BEND = StockBend("U-bend", 95.25, math.pi, 100.0, 63.5)
SHORT = StockBend("45 bend", 95.25, math.pi / 4, 60.0, 63.5)
POINTS = {"outlet": (1000.0, 250.0, 420.0), "aim": (1100.0, 250.0, 400.0), "tail": (3600.0, 420.0, 330.0)}
# corner 1 lies on the outlet's axis, 400 mm on
CORNERS = (
    Corner((1400.0, 250.0, 340.0), Amount(95.25), where=Place("b.yaml", 12)),
    Corner((1800.0, 300.0, 310.0), Amount(95.25)),
    Corner((2650.0, 300.0, 520.0), Amount(63.5), PieCutWish(5, 1.5)),
)


def plan(**changes):
    base = dict(
        name="main", diameter=Amount(63.5), wall=Amount(1.5), outlet="outlet", outlet_aim="aim", corners=CORNERS,
        end="tail", stock=(U_BEND, SHORT), least_straight_mm=20.0,
    )
    return RoutePlan(**{**base, **changes})


def by_name(laid):
    return {f.name: f for f in laid.findings}


def test_a_route_that_fits():
    laid = lay(plan(), POINTS, {})
    assert {f.verdict for f in laid.findings} == {Verdict.FITS}
    assert [s.name if s else None for s in laid.stock] == ["45 bend", "45 bend", None]
    assert laid.radius_mm == 31.75
    names = by_name(laid)
    assert {"exhaust.main.outlet-angle", "exhaust.main.tangent.1", "exhaust.main.tangent.end",
            "exhaust.main.stock.1", "exhaust.main.pie-cut.3", "exhaust.main.least-straight.2",
            "exhaust.main.wall"} <= set(names)
    assert len(names) == len(laid.findings)
    assert names["exhaust.main.stock.1"].where == Place("b.yaml", 12)
    assert "1.12 mm is left" in names["exhaust.main.wall"].reason  # 1.5 * 95.25 / 127 = 1.125


def test_outlet_angle_names_the_place_to_move_to():
    corner = Corner((1400.0, 310.0, 340.0), Amount(95.25))
    finding = by_name(lay(plan(corners=(corner, *CORNERS[1:])), POINTS, {}))["exhaust.main.outlet-angle"]
    assert finding.verdict is Verdict.DOES_NOT_FIT
    angle = math.degrees(math.atan2(60.0, math.hypot(400.0, 80.0)))
    assert f"by {angle:.1f} deg" in finding.reason
    assert finding.margin == pytest.approx(math.degrees(math.atan(2.0 / 63.5)) - angle, abs=1e-6)
    assert "move corner 1 by 60 mm" in finding.remedy
    assert "station 1400, offset 250 (right +), height 340 mm" in finding.remedy


def test_outlet_facing_the_wrong_way():
    finding = by_name(lay(plan(), {**POINTS, "aim": (900.0, 250.0, 440.0)}, {}))["exhaust.main.outlet-angle"]
    assert finding.verdict is Verdict.DOES_NOT_FIT
    assert "behind the outlet's face: check which of outlet and aim is downstream" in finding.remedy


def test_no_aim_no_finding():
    assert "exhaust.main.outlet-angle" not in by_name(lay(plan(outlet_aim=""), POINTS, {}))


def test_too_short_leg_names_corners_and_what_is_missing():
    near = Corner((1440.0, 300.0, 340.0), Amount(95.25))
    laid = lay(plan(corners=(CORNERS[0], near, *CORNERS[2:])), POINTS, {})
    finding = by_name(laid)["exhaust.main.tangent.2"]
    assert laid.centreline is None
    assert finding.verdict is Verdict.DOES_NOT_FIT
    assert finding.margin < 0
    assert f"corner 1 and 2: the straight between them is {-finding.margin:.1f} mm too short" == finding.reason
    assert "exhaust.main.least-straight.2" not in by_name(laid)


def test_least_straight_has_its_own_finding():
    laid = lay(plan(least_straight_mm=500.0), POINTS, {})
    finding = by_name(laid)["exhaust.main.least-straight.2"]
    assert finding.verdict is Verdict.DOES_NOT_FIT
    assert "less than the 500 mm asked for" in finding.reason
    assert laid.centreline is not None


@pytest.mark.parametrize("stock, verdict, reason, remedy", [
    ((), Verdict.CANNOT_TELL, "no bend off the shelf is listed", "list the bends you can get"),
    ((StockBend("U", 95.25, math.pi, 100.0, 76.2),), Verdict.DOES_NOT_FIT, "no bend listed has that diameter",
     "list a bend of 63.5 mm tube"),
    ((StockBend("U", 63.5, math.pi, 100.0, 63.5),), Verdict.DOES_NOT_FIT, "no bend listed has that radius",
     "lay the corner on the 63.5 mm of U, or make it of pie cuts"),
    ((StockBend("tiny", 95.25, 0.05, 100.0, 63.5),), Verdict.DOES_NOT_FIT, "the longest bend listed, tiny, turns 2.8",
     "two corners"),
])
def test_shelf(stock, verdict, reason, remedy):
    laid = lay(plan(stock=stock), POINTS, {})
    finding = by_name(laid)["exhaust.main.stock.1"]
    assert finding.verdict is verdict
    assert reason in finding.reason
    assert remedy in finding.remedy
    assert laid.stock[0] is None
    assert laid.centreline is not None


@pytest.mark.parametrize("short_by, verdict", [(0.0, Verdict.FITS), (0.4, Verdict.FITS), (0.6, Verdict.DOES_NOT_FIT)])
def test_a_bend_half_a_degree_short_is_sprung_and_not_more(short_by, verdict):
    corner = (Corner((1400.0, 250.0, 340.0), Amount(95.25)),)
    stock = (StockBend("90", 95.25, math.radians(90.0 - short_by), 60.0, 63.5),)
    laid = lay(plan(corners=corner, end=(1400.0, 900.0, 340.0), stock=stock), POINTS, {})
    finding = by_name(laid)["exhaust.main.stock.1"]
    assert finding.verdict is verdict
    assert finding.margin == pytest.approx(0.5 - short_by, abs=1e-9)


def test_pie_cut_tells_both_angles_apart():
    reason = by_name(lay(plan(), POINTS, {}))["exhaust.main.pie-cut.3"].reason
    legs = np.array([CORNERS[2].point, POINTS["tail"]]) - np.array([CORNERS[1].point, CORNERS[2].point])
    turn = math.degrees(math.acos(legs[0] @ legs[1] / np.linalg.norm(legs[0]) / np.linalg.norm(legs[1])))
    assert f"saw set to {turn / 8:.2f} deg, each joint turns {turn / 4:.2f} deg" in reason


@pytest.mark.parametrize("radius, pieces, words, remedy", [
    (30.0, 5, "must exceed half the diameter", "larger radius"),
    (63.5, 1, "two pieces or more", "half ones"),
])
def test_pie_cut_that_cannot_be(radius, pieces, words, remedy):
    corner = Corner((2650.0, 300.0, 520.0), Amount(radius), PieCutWish(pieces))
    laid = lay(plan(corners=(*CORNERS[:2], corner)), POINTS, {})
    finding = by_name(laid)["exhaust.main.pie-cut.3"]
    assert finding.verdict is Verdict.DOES_NOT_FIT
    assert words in finding.reason
    assert remedy in finding.remedy
    assert laid.centreline is None


def test_drawn_bend_tighter_than_the_tube_is_refused():
    corner = Corner(CORNERS[1].point, Amount(31.0))
    laid = lay(plan(corners=(CORNERS[0], corner, CORNERS[2])), POINTS, {})
    assert by_name(laid)["exhaust.main.radius.2"].verdict is Verdict.DOES_NOT_FIT
    assert laid.centreline is None


def test_what_is_not_known_is_named_all_at_once():
    corners = (Corner("bend1", Amount(95.25)), Corner("bend2", Amount(0.0, size="bend radius")))
    laid = lay(plan(corners=corners, wall=Amount(0.0, size="wall"), end="rear"), POINTS, {})
    assert laid.centreline is None
    assert {f.verdict for f in laid.findings} == {Verdict.CANNOT_TELL}
    assert sorted(by_name(laid)) == [
        "exhaust.main.point.corner-1", "exhaust.main.point.corner-2", "exhaust.main.point.end",
        "exhaust.main.radius-2", "exhaust.main.wall",
    ]
    assert "take readings that fix bend1" in by_name(laid)["exhaust.main.point.corner-1"].remedy


def test_sizes_and_times_the_diameter():
    corners = (Corner(CORNERS[0].point, Amount(0.0, size="1.5 D")), Corner(CORNERS[1].point, Amount(0.0, size="die")))
    sizes = {"pipe": (60.0, 0.1), "die": (88.0, 0.5)}
    laid = lay(plan(diameter=Amount(0.0, size="pipe"), corners=corners), POINTS, sizes)
    assert laid.diameter_mm == 60.0
    assert laid.radii_mm == (90.0, 88.0)


def test_u_turn_and_same_point_are_findings_with_a_remedy():
    back = (Corner((1400.0, 250.0, 340.0), Amount(95.25)),)
    laid = lay(plan(corners=back, end=(1005.0, 260.0, 420.0)), POINTS, {})
    assert "two corners" in by_name(laid)["exhaust.main.turn.1"].remedy
    same = (CORNERS[0], CORNERS[0], *CORNERS[2:])
    laid = lay(plan(corners=same), POINTS, {})
    assert "corner 1 and 2 are the same point" in by_name(laid)["exhaust.main.same-point.2"].reason
    assert laid.centreline is None


def test_wobble_is_said():
    corners = (Corner((1400.0, 250.0, 340.0), Amount(95.25)), Corner((2000.0, 251.0, 220.0), Amount(95.25)))
    names = by_name(lay(plan(corners=corners, end=(2600.0, 250.0, 100.0), stock=()), POINTS, {}))
    assert names["exhaust.main.small-turn.1"].verdict is Verdict.FITS_AFTER_WORK
    assert "exhaust.main.stock.1" not in names


def test_doubt_reaches_the_margins():
    points = {"outlet": POINTS["outlet"], "aim": POINTS["aim"], "tail": POINTS["tail"]}
    cov = np.diag([4.0] * 9)
    laid = lay(plan(), points, {}, cov)
    names = by_name(laid)
    # another route to the answer: the last leg's straight changes with the end along the leg, one for one, and with
    # the bend's set-back through the turn; a thousand draws tell its spread
    rng = np.random.default_rng(7)
    draws = []
    for _ in range(800):
        moved = {k: np.array(v) + rng.normal(0.0, 2.0, 3) for k, v in points.items()}
        draws.append(by_name(lay(plan(), moved, {}))["exhaust.main.tangent.end"].margin)
    assert names["exhaust.main.tangent.end"].sd == pytest.approx(np.std(draws), rel=0.1)
    # aim 102 mm on, each end uncertain by 2 mm: sideways 2.8 mm in 102, more than the joint allows
    outlet = names["exhaust.main.outlet-angle"]
    assert outlet.verdict is Verdict.CANNOT_TELL
    assert outlet.sd == pytest.approx(math.degrees(math.hypot(2.0 / 102.0 - 2.0 / 408.0, 2.0 / 102.0)), rel=0.1)


def test_covariance_of_the_wrong_shape_is_refused():
    with pytest.raises(ValueError, match="must be 9 square"):
        lay(plan(), POINTS, {}, np.eye(3))


def test_mirror_and_datum_change_no_margin():
    base = by_name(lay(plan(), POINTS, {}))
    shift, flip = np.array([-700.0, 33.0, 12.0]), np.array([1.0, -1.0, 1.0])
    for move in (lambda p: np.array(p) + shift, lambda p: np.array(p) * flip):
        corners = tuple(Corner(tuple(move(c.point)), c.radius, c.pie_cut) for c in CORNERS)
        other = by_name(lay(plan(corners=corners), {k: move(v) for k, v in POINTS.items()}, {}))
        assert other.keys() == base.keys()
        for name, finding in base.items():
            assert other[name].verdict is finding.verdict
            assert other[name].margin == pytest.approx(finding.margin, abs=1e-6)
