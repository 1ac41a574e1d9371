"""Where a sensor may sit: tilt, distance, room, side, lines, heat."""

import math

import numpy as np
import pytest

from trialfit.exhaust.chain import STRAIGHT, Chain, Element
from trialfit.exhaust.joints import LineAt, clock_way
from trialfit.exhaust.sensor import (
    SensorSaid,
    sensor_clock_limit,
    sensor_findings,
    sensor_places,
    sensor_tool,
)
from trialfit.findings import Verdict
from trialfit.geometry.solids import bounds
from trialfit.standards import rule

X = np.array([1.0, 0.0, 0.0])


def chain(length=3000.0, slope_deg=0.0, catalyst_at=None):
    a = math.radians(slope_deg)
    way = np.array([math.cos(a), 0.0, math.sin(a)])

    def part(name, kind, at, run, wide=0.0):
        return Element(name, kind, at, run, at * way, (at + run) * way, way, way, 63.5, 1.5, 1.0, width_mm=wide,
                       height_mm=wide)

    if catalyst_at is None:
        return Chain("main", (part("straight", STRAIGHT, 0.0, length),), ())
    rest = length - catalyst_at - 200.0
    return Chain("main", (part("straight", STRAIGHT, 0.0, catalyst_at),
                          part("cat", "catalyst", catalyst_at, 200.0, 120.0),
                          part("straight", STRAIGHT, catalyst_at + 200.0, rest)), ())


# sensor instructions as quoted: at least 10 deg above horizontal; on a level pipe that is 80 deg either way of the top
def test_tilt_on_a_level_pipe():
    assert math.degrees(sensor_clock_limit(math.radians(10.0))) == pytest.approx(80.0)
    found = sensor_places(chain(), SensorSaid())
    degrees = sorted(round(math.degrees(c)) for c in found.stretches[0].clocks_rad)
    assert (degrees[0], degrees[-1]) == (-80, 80)
    # wide-band sensor instructions: ten to two o'clock is 60 deg either way
    strict = sensor_places(chain(), SensorSaid(), choices={"oxygen-sensor-tilt": "30 deg, ten to two o'clock"})
    assert max(strict.stretches[0].clocks_rad) == pytest.approx(math.radians(60.0))


# geometry: what the limit allows tilts exactly so much
@pytest.mark.parametrize("slope", (0.0, 20.0, 55.0, 79.0))
def test_tilt_on_a_sloping_pipe(slope):
    a = math.radians(slope)
    way = np.array([math.cos(a), 0.0, math.sin(a)])
    limit = sensor_clock_limit(math.radians(10.0), a)
    assert math.asin(clock_way(way, limit)[2]) == pytest.approx(math.radians(10.0))
    assert math.asin(clock_way(way, limit + 0.01)[2]) < math.radians(10.0)


def test_a_pipe_that_stands_too_steep_holds_none():
    with pytest.raises(ValueError, match=r"the slope may be 80\.0 deg at most"):
        sensor_clock_limit(math.radians(10.0), math.radians(85.0))
    found = sensor_places(chain(slope_deg=85.0), SensorSaid())
    assert found.best_mm is None
    told = sensor_findings(chain(slope_deg=85.0), found)[0]
    assert told.verdict is Verdict.DOES_NOT_FIT
    assert told.remedy == "choose a stretch that lies flatter"


# wide-band sensor instructions: 1 m from the ports and 1 m from the open end, if possible
def test_distance_from_ports_and_open_end():
    found = sensor_places(chain(), SensorSaid(ports_mm=400.0))
    assert found.stretches[0].from_mm == pytest.approx(600.0, abs=20.0)
    assert found.stretches[0].from_mm >= 600.0
    assert found.stretches[-1].to_mm == pytest.approx(2000.0, abs=20.0)
    assert found.stretches[-1].to_mm <= 2000.0
    assert found.versions == pytest.approx({"sensor-from-ports, 1 m, if possible": 2400.0,
                                            "sensor-from-open-end, 1 m, if possible": 2000.0})
    assert found.best_mm == found.stretches[0].from_mm
    assert found.broken == ()


def test_rules_of_distance_that_cannot_all_be_kept_are_told_and_the_sheet_decides():
    # with a turbine: within 305 mm of its outlet in one engine, against 1 m from the ports
    found = sensor_places(chain(), SensorSaid(turbine=True, ports_mm=300.0))
    assert len(found.broken) == 1
    told = sensor_findings(chain(), found)[0]
    assert told.verdict is Verdict.CANNOT_TELL
    assert told.remedy.startswith("read the sensor's own sheet")
    assert rule("sensor-from-turbine").in_force.value == 305.0
    short = sensor_places(chain(length=900.0), SensorSaid(ports_mm=1200.0))
    assert short.broken == ("sensor-from-open-end",)
    untold = sensor_findings(chain(), sensor_places(chain(), SensorSaid(ports_mm=None)))
    assert untold[1].name == "exhaust.main.sensor.oxygen-sensor.ports"
    assert untold[1].verdict is Verdict.CANNOT_TELL


def test_ahead_of_the_catalyst_and_clear_of_its_weld():
    line = chain(catalyst_at=800.0)
    found = sensor_places(line, SensorSaid(before="cat", ports_mm=2000.0))
    # half the bung and 15 mm from the weld
    assert found.stretches[-1].to_mm == pytest.approx(800.0 - 14.0 - 15.0)
    behind = sensor_places(line, SensorSaid(after="cat", ports_mm=2000.0))
    assert behind.stretches[0].from_mm == pytest.approx(1000.0 + 14.0 + 15.0)
    with pytest.raises(ValueError, match="no part called 'box' for the sensor to go by; it has cat"):
        sensor_places(line, SensorSaid(after="box"))


def test_room_for_the_socket_under_a_floor():
    # geometry: 31.75 + 80 + 60 mm out of the axis, and the socket's half width, below a floor 100 mm over the axis
    def under_floor(solid):
        return 100.0 - float(bounds(solid)[1][2])

    found = sensor_places(chain(), SensorSaid(ports_mm=2000.0), room=under_floor)
    reach, half = 63.5 / 2.0 + 140.0, 15.0
    for clock in found.stretches[0].clocks_rad:
        assert reach * math.cos(clock) + half * abs(math.sin(clock)) <= 100.0 + 1e-9
    tool = sensor_tool(np.zeros(3), np.array([0.0, 0.0, 1.0]), 63.5, SensorSaid(), 30.0)
    assert tool.end[2] == pytest.approx(reach)
    none = sensor_places(chain(), SensorSaid(ports_mm=2000.0), room=lambda solid: -1.0)
    assert set(none.ruled_out) == {"no room for the socket"}
    # an open spanner wants 45 mm where a slotted socket wants 30
    open_end = sensor_places(chain(), SensorSaid(ports_mm=2000.0), room=under_floor,
                             choices={"sensor-wrench-room": "45 mm, open spanner"})
    assert set(open_end.stretches[0].clocks_rad) <= set(found.stretches[0].clocks_rad)


def test_harness_side_and_lead():
    right = sensor_places(chain(), SensorSaid(harness="right", ports_mm=2000.0))
    assert min(right.stretches[0].clocks_rad) >= -1e-9
    left = sensor_places(chain(), SensorSaid(harness="left", ports_mm=2000.0))
    assert max(left.stretches[0].clocks_rad) <= 1e-9
    near = sensor_places(chain(), SensorSaid(plug=(500.0, 0.0, 300.0), lead_mm=400.0, ports_mm=2000.0))
    for stretch in near.stretches:
        # the plug is 300 - 112 mm above the sensor's top at the least
        assert abs(stretch.to_mm - 500.0) <= math.sqrt(400.0**2 - (300.0 - 111.75) ** 2) + 1e-6
    with pytest.raises(ValueError, match="harness side 'up' is none of left, right"):
        sensor_places(chain(), SensorSaid(harness="up"))


def test_not_above_a_line_and_not_too_hot():
    line = LineAt("fuel line", np.array([[0.0, 0.0, -100.0], [1500.0, 0.0, -100.0]]))
    found = sensor_places(chain(), SensorSaid(ports_mm=2000.0), lines=(line,))
    # 81.75 mm beside the line's end, seen from above
    assert found.stretches[0].from_mm > 1500.0 + 63.5 / 2.0 + 50.0 - 1e-9
    # wide-band sensor instructions: 850 C at most, 1123.15 K
    cool = sensor_places(chain(), SensorSaid(ports_mm=2000.0), gas_k=lambda at: 1200.0 - 0.1 * at)
    assert cool.stretches[0].from_mm >= 768.5
    hot = sensor_places(chain(), SensorSaid(), gas_k=lambda at: 1200.0)
    assert sensor_findings(chain(), hot)[0].remedy == "go further from the outlet"


def test_the_answer_in_words():
    told = sensor_findings(chain(), sensor_places(chain(), SensorSaid(ports_mm=2000.0)))[0]
    assert told.verdict is Verdict.FITS
    assert "at -80 to 80 deg; best 29 mm from the outlet, 0 deg from the top" in told.reason
