"""The tyre of a wheel on a hub stands where offset and spacers put it, and is swept with the rest."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load, read
from trialfit.checks import run
from trialfit.checks.assembly import assembled, joints_of
from trialfit.checks.tyres import tyre_shapes, wheel_offset_mm
from trialfit.findings import Verdict
from trialfit.parts import Fact, Port
from trialfit.vehicle import Amount, BodyName

EXAMPLES = Path(__file__).parents[2] / "examples"
FILE = """trialfit: 1
name: invented
units: metric
readings:
  - station hub.L 10 mm
parts:
  rim: {{kind: road wheel, holes: 5, rim width: 7 in nominal, {rim}}}
  hub: {{kind: wheel hub, studs: 5}}
mates:
  - {{wheel on hub: [rim, hub], name: left wheel, face at: hub.L, {more}}}
"""


def mates(rim="offset: 35 mm by calliper", more="tyre: 195/65R15, between: {spacer: 10 mm by calliper}"):
    loaded = read(FILE.format(rim=rim, more=more))
    assert not loaded.problems, loaded.problems
    return assembled(joints_of(loaded.build, {}, {}))


POINTS = {"hub.L": np.array([2600.0, -700.0, 310.0])}


def test_the_tyre_lies_inboard_by_offset_less_spacer():
    found = []
    (drum,) = tyre_shapes(mates(), POINTS, found)
    assert found == []
    assert (drum.body, drum.kind, drum.centre) == (BodyName.WHEEL_LEFT.value, "tyre", "hub.L")
    assert drum.inboard.mm == pytest.approx(25.0)
    assert drum.diameter.mm == pytest.approx(2 * 0.65 * 195 + 15 * 25.4)
    # 195 on its measuring rim of 5 1/2 in; on 7 in it is 0.4 of the difference wider, and 4 % in service
    assert drum.width.mm == pytest.approx((195 + 0.4 * 1.5 * 25.4) * 1.04)
    right = tyre_shapes(mates(), {"hub.L": np.array([2600.0, 700.0, 310.0])}, found)
    assert right[0].body == BodyName.WHEEL_RIGHT.value


def test_backspacing_stands_in_for_the_offset_and_measured_sizes_for_the_code():
    (drum,) = tyre_shapes(mates("backspacing: 140 mm by calliper, overall width: 205 mm by calliper",
                                "tyre width: 200 mm by calliper, tyre diameter: 640 mm by calliper"), POINTS, [])
    assert drum.inboard.mm == pytest.approx(140.0 - 102.5)
    assert (drum.width.mm, drum.diameter.mm) == pytest.approx((208.0, 640.0))
    wheel = Port({"backspacing": Fact(4.5 * 25.4), "rim width": Fact(8 * 25.4)}, "road wheel", "rim")
    assert wheel_offset_mm(wheel) == pytest.approx(0.0)
    assert wheel_offset_mm(Port({}, "road wheel", "rim")) is None


@pytest.mark.parametrize("rim,more,points,words", (
    ("bore: 67 mm by calliper", "tyre: 195/65R15", POINTS, "offset, or its backspacing and width, is not known"),
    ("offset: 35 mm by calliper", "tyre: 195/65R15", {}, "hardpoint hub.L is not known"),
    ("offset: 35 mm by calliper", "nut end: open", POINTS, "the tyre's code is not known"),
    ("offset: 35 mm by calliper", "tyre: 195x65R15", POINTS, "write it as on the sidewall"),
))
def test_what_is_missing_is_told(rim, more, points, words):
    found = []
    assert tyre_shapes(mates(rim, more), points, found) == ()
    assert found[0].verdict is Verdict.CANNOT_TELL
    assert words in found[0].reason


def test_a_wheel_set_further_in_comes_nearer_to_what_is_beside_it():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    build = replace(build, parts=(), mates=(), chains=(), routes=(), shaft=None, power=None, orders=(), gear_set=None)
    left = next(s for s in build.shapes if s.name == "wheel left")
    few = tuple(s for s in build.shapes if s.name in ("wheel left", "wheel right", "rail left", "spring left",
                                                      "damper left", "arch rail left"))

    def nearest(inboard):
        shapes = tuple(replace(s, inboard=Amount(inboard)) if s is left else s for s in few)
        results = run(replace(build, shapes=shapes))
        return min(g.upper_mm for g in results.gaps if "wheel left" in (g.pair.a.name, g.pair.b.name))

    assert nearest(0.0) - nearest(30.0) == pytest.approx(30.0, abs=2.0)
    assert nearest(-20.0) > nearest(0.0)
