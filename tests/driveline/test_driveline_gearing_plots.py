"""The two pictures of a gearing: everything on the paper, lines where the numbers put them, same bytes every time."""

from itertools import pairwise

import pytest

from trialfit.driveline import EngineCurve, GearTrain, RoadLoad, converter_from_stall, top_speed, tyre_from_rollout
from trialfit.sheets import pdf, svg
from trialfit.sheets.drawing import LineKind, Stroke, Words, bounds
from trialfit.sheets.gearing_plots import axis_to, effort_and_resistance, speed_by_gear

KMH = 1e3 / 3.6
TYRE = tyre_from_rollout(20000.0, 10.0, 5.0)
CLUTCH = GearTrain(EngineCurve(((100.0, 300e3), (600.0, 300e3))), (3.0, 2.0, 1.4, 1.0, 0.8), 4.0, TYRE, (0.9,))
AUTOMATIC = GearTrain(EngineCurve(((100.0, 300e3), (600.0, 300e3))), (3.0, 1.5, 1.0), 3.5, TYRE, (0.85,),
                      converter=converter_from_stall(2.1, 250.0, 300e3))  # fmt: skip
LOAD = RoadLoad(1500.0, 0.4, 2.0e6)


def leaves():
    for train in (CLUTCH, AUTOMATIC):
        yield speed_by_gear(train, "Invented saloon", cruise_mm_s=110 * KMH)
        yield effort_and_resistance(train, LOAD, "Invented saloon", slip_n=7000.0)


@pytest.mark.parametrize("number", range(4))
def test_nothing_leaves_the_paper_and_no_words_lie_on_one_another(number):
    leaf = list(leaves())[number]
    left, low, right, high = bounds(leaf.marks)
    assert left >= 0.0
    assert low >= 0.0
    assert right <= leaf.width
    assert high <= leaf.height
    named = [m for m in leaf.marks if isinstance(m, Words) and m.patch]
    for k, a in enumerate(named):
        for b in named[k + 1 :]:
            x, y = a.box(), b.box()
            assert min(x[2], y[2]) <= max(x[0], y[0]) or min(x[3], y[3]) <= max(x[1], y[1]), (a.text, b.text)


def test_one_heavy_line_a_gear_that_ends_at_its_speed():
    leaf = speed_by_gear(CLUTCH, "Invented saloon")
    heavy = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HEAVY]
    assert len(heavy) == 5
    # road speed at a given engine speed goes as one over the ratio, and so does its place on paper
    wide = [s.points[1][0] - s.points[0][0] for s in heavy]
    assert [wide[0] * 3.0 / w for w in wide] == pytest.approx([3.0, 2.0, 1.4, 1.0, 0.8])
    ends = {s.points[1][1] for s in heavy}
    assert max(ends) - min(ends) < 1e-6


def test_a_shift_lands_on_the_next_gear_s_line():
    leaf = speed_by_gear(CLUTCH, "Invented saloon")
    heavy = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HEAVY]
    steps = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HIDDEN]
    assert len(steps) == 4
    for step, line in zip(steps, heavy[1:], strict=True):
        (x0, y0), (x1, y1) = line.points
        x, y = step.points[1]
        assert y - y0 == pytest.approx((y1 - y0) * (x - x0) / (x1 - x0))


def test_resistance_crosses_push_at_the_top_speed():
    van = RoadLoad(2000.0, 0.5, 3.0e6)
    leaf = effort_and_resistance(CLUTCH, van, "Invented van", grades=(0.0,))
    best = top_speed(CLUTCH, van)
    heavy = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HEAVY]
    level = next(m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HIDDEN)
    push = heavy[best.gear - 1].points

    def height(points, x):
        (x0, y0), (x1, y1) = next((a, b) for a, b in pairwise(points) if a[0] <= x <= b[0])
        return y0 + (y1 - y0) * (x - x0) / (x1 - x0)

    # place of the top speed on paper, from the two ends of the level line
    (x0, _), (x1, _) = level.points[0], level.points[-1]
    far = CLUTCH.road_speed_mm_s(5, 600.0)
    x = x0 + (x1 - x0) * best.speed_mm_s / far
    assert best.limit == "power"
    assert height(push, x) == pytest.approx(height(level.points, x), abs=0.1)


def test_same_picture_same_bytes_in_both_forms():
    one, two = (effort_and_resistance(CLUTCH, LOAD, "Invented saloon") for _ in range(2))
    assert pdf([one], "gearing") == pdf([two], "gearing")
    assert svg(one, "gearing") == svg(two, "gearing")
    assert "tyres slip" not in svg(one, "gearing")


@pytest.mark.parametrize("most", [0.3, 7.0, 99.0, 101.0, 5600.0, 12345.0])
def test_a_scale_holds_its_end_and_its_ticks_stand_apart(most):
    axis = axis_to(most, 10.0, 110.0, 9.0)
    assert axis.end >= most * (1 - 1e-9)
    assert axis.end <= most + axis.step
    places = [axis.place(t) for t in axis.ticks()]
    assert places[-1] == pytest.approx(110.0)
    assert min(b - a for a, b in pairwise(places)) > 6.0


def test_refused():
    with pytest.raises(ValueError, match="a scale must end beyond nought; read 0"):
        axis_to(0.0, 0.0, 100.0, 10.0)
    with pytest.raises(ValueError, match="needs 120 by 90 mm or more; read 100 by 80 mm"):
        speed_by_gear(CLUTCH, "Invented saloon", 100.0, 80.0)
    with pytest.raises(ValueError, match="a resistance line leaves the picture at once"):
        effort_and_resistance(CLUTCH, RoadLoad(20000.0, 0.4, 2.0e6), "Invented lorry", grades=(0.9,))
