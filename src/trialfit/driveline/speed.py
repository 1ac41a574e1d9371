"""Road speed, engine speed and the ratios between them."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_CAUTION = (
    "Tyre slip, tyre growth and converter slip are not in it. Keep tyres, brakes and shaft within their own limits."
)
_ENGINE = Ask("engine", "rotation", "engine speed")
_AXLE = Ask("axle", "ratio", "axle ratio")
_GEAR = Ask("gear", "ratio", "gearbox ratio of the gear", 1.0)
_TRANSFER = Ask("transfer", "ratio", "transfer box ratio", 1.0)
_DIAMETER = Ask("diameter", "length", "rolling diameter of the tyre: distance in one turn / pi")
_SPEED = Ask("speed", "speed", "road speed")


@a_sum(
    "road-speed",
    title="Road speed from engine speed",
    asks=(_ENGINE, _AXLE, _DIAMETER, _GEAR, _TRANSFER),
    gives="road speed",
    dimension="speed",
    unit="km/h",
    words="engine speed * pi * diameter / (gear * transfer * axle)",
    source="kinematics",
    caution=_CAUTION,
)
def road_speed(engine: float, axle: float, diameter: float, gear: float, transfer: float) -> float:
    """Road speed [mm/s]; tyre slip and growth are left out (1 to 3 %, the true speed is mostly lower).

    Parameters
    ----------
    engine : float
        engine speed [rad/s]
    axle, gear, transfer : float
        ratios, 0.2 to 20 [-]
    diameter : float
        rolling diameter of the tyre [mm]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: kinematics.
    """
    refuse_not_positive(engine=(engine, "rpm"), diameter=(diameter, "mm"))
    return engine / _ratio(axle=axle, gear=gear, transfer=transfer) * diameter / 2.0


@a_sum(
    "engine-speed",
    title="Engine speed at a road speed",
    asks=(_SPEED, _AXLE, _DIAMETER, _GEAR, _TRANSFER),
    gives="engine speed",
    dimension="rotation",
    unit="rpm",
    words="road speed * gear * transfer * axle / (pi * diameter)",
    source="kinematics",
    caution=_CAUTION,
)
def engine_speed(speed: float, axle: float, diameter: float, gear: float, transfer: float) -> float:
    """Engine speed [rad/s] at a road speed [mm/s]; with gear and axle 1 it is the wheel's speed.

    Source: kinematics.
    """
    refuse_not_positive(speed=(speed, "km/h"), diameter=(diameter, "mm"))
    return speed / (diameter / 2.0) * _ratio(axle=axle, gear=gear, transfer=transfer)


@a_sum(
    "axle-ratio-for-speed",
    title="Axle ratio that gives a road speed at an engine speed",
    asks=(_ENGINE, _SPEED, _DIAMETER, _GEAR, _TRANSFER),
    gives="axle ratio",
    dimension="ratio",
    unit="",
    words="engine speed * pi * diameter / (road speed * gear * transfer)",
    source="kinematics",
    caution=_CAUTION,
)
def axle_ratio_for_speed(engine: float, speed: float, diameter: float, gear: float, transfer: float) -> float:
    """Axle ratio [-] for a wanted engine speed at a road speed.

    Source: kinematics.
    """
    refuse_not_positive(engine=(engine, "rpm"), speed=(speed, "km/h"), diameter=(diameter, "mm"))
    return engine * diameter / 2.0 / (speed * _ratio(gear=gear, transfer=transfer))


@a_sum(
    "gear-ratio-from-teeth",
    title="Ratio from tooth counts",
    asks=(
        Ask("driven", "number", "teeth of the driven gear (ring gear)"),
        Ask("driving", "number", "teeth of the driving gear (pinion)"),
    ),
    gives="ratio",
    dimension="ratio",
    unit="",
    words="driven teeth / driving teeth",
    source="kinematics",
)
def gear_ratio_from_teeth(driven: float, driving: float) -> float:
    """Ratio [-] of two gears, from whole tooth counts of 5 to 150.

    Source: kinematics.
    """
    for name, teeth in (("driven", driven), ("driving", driving)):
        refuse_outside(f"{name} teeth", teeth, 5.0, 150.0, "")
        if teeth != round(teeth):
            raise ValueError(f"{name} teeth are {teeth:g}; count whole teeth")
    return driven / driving


@a_sum(
    "speedometer-error",
    title="Speedometer error",
    asks=(Ask("shown", "speed", "speed shown"), Ask("true", "speed", "true speed")),
    gives="share by which it reads high; negative reads low",
    dimension="percent",
    unit="%",
    words="(shown - true) / true",
    source="common practice, no source",
    caution="Many places forbid a speedometer that reads low at any speed; have it checked after a change of tyres or "
    "axle ratio.",
)
def speedometer_error(shown: float, true: float) -> float:
    """Error [-] of a speedometer against a measured speed.

    Source: common practice, no source.
    """
    refuse_not_positive(shown=(shown, "km/h"), true=(true, "km/h"))
    return (shown - true) / true


def _ratio(**ratios: float) -> float:
    for name, ratio in ratios.items():
        refuse_outside(f"{name} ratio", ratio, 0.2, 20.0, "")
    return math.prod(ratios.values())
