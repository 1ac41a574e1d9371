"""What holds the vehicle back, how much the tyres can push, and how fast the power drives it."""

import math
from dataclasses import dataclass, replace

from trialfit.standards import STANDARD_GRAVITY, refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

AIR_KG_MM3 = 1.225e-9
"""density of air at sea level and 15 degC [kg/mm3]; the standard atmosphere, from memory"""
ROLLING = 0.013
"""rolling resistance over weight of car tyres on asphalt; 0.010 to 0.015 is usual (from memory)"""
_KMH_100 = 1e5 / 3.6
_CAUTION = (
    "Top speed by the formula is no speed to drive: tyres, brakes, propeller shaft and the law set lower limits. Wind, "
    "heat and load change it by a tenth."
)
_BOOK = "F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis"
_SPEED = Ask("speed", "speed", "road speed through still air")
_AIR = Ask("air", "density", "density of the air; sea level at 15 degC when left out", AIR_KG_MM3)
_CD = Ask("cd", "ratio", "drag coefficient")
_FRONTAL = Ask("frontal", "area", "frontal area: about 0.85 of width times height")
_MASS = Ask("mass", "mass", "mass of the vehicle as it runs")
_ROLLING = Ask("rolling", "ratio", "rolling resistance over weight: 0.010 to 0.015 on asphalt", ROLLING)
_GROWTH = Ask("growth", "percent", "share by which the rolling resistance has grown at 100 km/h", 0.0)


@dataclass(frozen=True, slots=True)
class RoadLoad:
    """What the road and the air ask: mass [kg], drag coefficient [-], frontal area [mm2], rolling resistance over
    weight [-] and its growth by 100 km/h [-], grade as rise over run [-], air density [kg/mm3]."""

    mass_kg: float
    cd: float
    frontal_mm2: float
    rolling: float = ROLLING
    growth: float = 0.0
    grade: float = 0.0
    air_kg_mm3: float = AIR_KG_MM3

    def __post_init__(self) -> None:
        refuse_outside("mass", self.mass_kg, 100.0, 60000.0, "kg")
        refuse_outside("drag coefficient", self.cd, 0.05, 2.0, "")
        refuse_outside("frontal area", self.frontal_mm2, 0.3e6, 15e6, "m2")
        refuse_outside("rolling resistance", self.rolling, 0.0, 0.5, "")
        refuse_outside("growth of rolling resistance", self.growth, 0.0, 5.0, "%")
        refuse_outside("grade", self.grade, -1.0, 1.0, "%")
        refuse_outside("density of air", self.air_kg_mm3, 0.3e-9, 2.0e-9, "kg/m3")

    def force_n(self, speed_mm_s: float) -> float:
        """Force [N] that holds the vehicle back at a steady speed, of air, tyres and grade; negative when it rolls off
        down a hill by itself."""
        along = math.atan(self.grade)
        return (
            air_drag(speed_mm_s, self.cd, self.frontal_mm2, self.air_kg_mm3)
            + rolling_resistance(speed_mm_s, self.mass_kg, self.rolling, self.growth) * math.cos(along)
            + self.mass_kg * STANDARD_GRAVITY * math.sin(along)
        )

    def power_w(self, speed_mm_s: float) -> float:
        """Power at the wheels [W] that a steady speed takes."""
        return self.force_n(speed_mm_s) * speed_mm_s / 1000.0

    def on_grade(self, grade: float, added_kg: float = 0.0) -> "RoadLoad":
        """The same vehicle on a grade [-], with a trailer's or a load's mass [kg]; the trailer's air drag is left out
        (unsafe side)."""
        return replace(self, grade=grade, mass_kg=self.mass_kg + added_kg)


@a_sum(
    "air-drag",
    title="Air drag of a vehicle",
    asks=(_SPEED, _CD, _FRONTAL, _AIR),
    gives="force",
    dimension="force",
    unit="N",
    words="1/2 * air density * cd * frontal area * speed^2",
    source=_BOOK,
)
def air_drag(speed: float, cd: float, frontal: float, air: float) -> float:
    """Air drag [N] with no wind; a headwind adds to the speed, and open windows or a roof rack to cd.

    Parameters
    ----------
    speed : float
        road speed, 0 to 500 km/h [mm/s]
    cd : float
        drag coefficient [-]
    frontal : float
        frontal area [mm2]
    air : float
        density [kg/mm3]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, equation 2.3.

    >>> round(air_drag(27777.8, 0.4, 2.0e6, 1.225e-9), 1)
    378.1
    """
    refuse_outside("speed", speed, 0.0, 5.0 * _KMH_100, "km/h")
    refuse_outside("cd", cd, 0.05, 2.0, "")
    refuse_outside("frontal", frontal, 0.3e6, 15e6, "m2")
    refuse_outside("air", air, 0.3e-9, 2.0e-9, "kg/m3")
    return 0.5 * air * cd * frontal * speed**2 / 1000.0


@a_sum(
    "rolling-resistance",
    title="Rolling resistance of a vehicle",
    asks=(_SPEED, _MASS, _ROLLING, _GROWTH),
    gives="force",
    dimension="force",
    unit="N",
    words="mass * gravity * rolling * (1 + growth * speed / 100 km/h)",
    source=_BOOK,
)
def rolling_resistance(speed: float, mass: float, rolling: float, growth: float) -> float:
    """Rolling resistance [N] on the level. Soft ground, toe-in and dragging brakes are left out (short side).

    The book's 0.01 * (1 + speed / 147 ft/s) is rolling 0.01 with growth 62 %.

    Parameters
    ----------
    speed : float
        road speed [mm/s]
    mass : float
        [kg]
    rolling : float
        coefficient near standstill, 0 to 0.5 [-]
    growth : float
        share by which it has grown at 100 km/h [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, equation 2.5.

    >>> round(rolling_resistance(0.0, 1000.0, 0.013, 0.0), 1)
    127.5
    """
    refuse_outside("speed", speed, 0.0, 5.0 * _KMH_100, "km/h")
    refuse_not_positive(mass=(mass, "kg"))
    refuse_outside("rolling", rolling, 0.0, 0.5, "")
    refuse_outside("growth", growth, 0.0, 5.0, "%")
    return mass * STANDARD_GRAVITY * rolling * (1.0 + growth * speed / _KMH_100)


@a_sum(
    "road-load-power",
    title="Power at the wheels for a steady speed",
    asks=(_SPEED, _MASS, _CD, _FRONTAL, _ROLLING, _GROWTH,
          Ask("grade", "percent", "rise over run of the road", 0.0), _AIR),
    gives="power at the wheels",
    dimension="power",
    unit="kW",
    words="speed * (air drag + rolling resistance * cos + mass * gravity * sin of the road's angle)",
    source=_BOOK,
)
def road_load_power(
    speed: float, mass: float, cd: float, frontal: float, rolling: float, growth: float, grade: float, air: float
) -> float:
    """Power [W] at the wheels for a steady speed; the driveline's own losses are left out (short side).

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, chapter 2.

    >>> round(road_load_power(27777.8, 1400.0, 0.4, 2.0e6, 0.013, 0.0, 0.0, 1.225e-9) / 1e3, 2)
    15.46
    """
    return RoadLoad(mass, cd, frontal, rolling, growth, grade, air).power_w(speed)


@a_sum(
    "top-speed",
    title="Speed at which power and resistance balance",
    asks=(Ask("power", "power", "power at the wheels: engine power times what the driveline hands on"), _MASS, _CD,
          _FRONTAL, _ROLLING, _GROWTH, Ask("grade", "percent", "rise over run of the road", 0.0), _AIR),
    gives="road speed",
    dimension="speed",
    unit="km/h",
    words="the speed at which speed * (air drag + rolling resistance + grade force) is the power",
    source=_BOOK,
    caution=_CAUTION,
)
def top_speed_for_power(
    power: float, mass: float, cd: float, frontal: float, rolling: float, growth: float, grade: float, air: float
) -> float:
    """Speed [mm/s] at which a power at the wheels is used up; that the gearing can put it down there is left out.

    Parameters
    ----------
    power : float
        at the wheels [W]
    mass, cd, frontal, rolling, growth, grade, air : float
        as in :class:`RoadLoad`; grade 0 or more

    Raises
    ------
    ValueError
        for an amount out of range, or a power that would drive it past 500 km/h

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, example 2.1.

    >>> round(top_speed_for_power(100e3, 1400.0, 0.38, 2.0e6, 0.013, 0.0, 0.0, 1.225e-9) * 3.6e-3, 1)
    207.9
    """
    refuse_not_positive(power=(power, "kW"))
    refuse_outside("grade", grade, 0.0, 1.0, "%")
    load = RoadLoad(mass, cd, frontal, rolling, growth, grade, air)
    high = 5.0 * _KMH_100
    if load.power_w(high) < power:
        raise ValueError(f"{power / 1e3:.4g} kW would drive this past 500 km/h; check power, cd and frontal area")
    low = 0.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if load.power_w(middle) < power else (low, middle)
    return 0.5 * (low + high)


@a_sum(
    "tractive-effort",
    title="Push of the wheels from engine torque",
    asks=(
        Ask("torque", "torque", "engine torque"),
        Ask("overall", "ratio", "gear * transfer * axle ratio"),
        Ask("radius", "length", "rolling radius of the tyre: distance in one turn / (2 * pi)"),
        Ask("share", "ratio", "share of the torque that the driveline hands on", 0.9),
        Ask("converter", "ratio", "torque ratio of the converter; 1 with a clutch", 1.0),
    ),
    gives="force at the tyres",
    dimension="force",
    unit="N",
    words="torque * converter * overall * share / radius",
    source=_BOOK,
)
def tractive_effort(torque: float, overall: float, radius: float, share: float, converter: float) -> float:
    """Push [N] of the driven wheels; what spinning up the wheels and the engine takes is left out (too much when the
    vehicle gathers speed in a low gear, right at a steady speed).

    Parameters
    ----------
    torque : float
        [N*mm]
    overall : float
        all ratios multiplied, 0.5 to 300 [-]
    radius : float
        rolling radius [mm]
    share : float
        0.3 to 1 [-]
    converter : float
        1 to 5 [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, equation 2.18.

    >>> round(tractive_effort(300e3, 12.0, 320.0, 0.9, 1.0))
    10125
    """
    refuse_not_positive(torque=(torque, "N*m"), radius=(radius, "mm"))
    refuse_outside("overall", overall, 0.5, 300.0, "")
    refuse_outside("share", share, 0.3, 1.0, "")
    refuse_outside("converter", converter, 1.0, 5.0, "")
    return torque * converter * overall * share / radius


@a_sum(
    "wheel-slip-effort",
    title="Push at which the driven tyres slip",
    asks=(
        Ask("mass", "mass", "mass of the whole vehicle"),
        Ask("driven", "ratio", "share of the mass on the driven axle at rest; 1 when all wheels drive"),
        Ask("grip", "ratio", "grip of the tyres: 0.7 to 1 dry, 0.4 wet, 0.2 snow"),
        Ask("height", "length", "height of the centre of mass over the road"),
        Ask("wheelbase", "length", "wheelbase"),
        Ask("drive", "text", "which axle drives", "rear", ("rear", "front", "all")),
        Ask("rolling", "ratio", "rolling resistance over weight", 0.0),
    ),
    gives="force at the tyres",
    dimension="force",
    unit="N",
    words="rear: grip * weight * (driven - rolling * height / wheelbase) / (1 - grip * height / wheelbase); front: "
    "with the two signs changed; all: grip * weight",
    source=_BOOK,
    caution="Grip on a real road is uneven and falls once the tyre spins; take a low figure where slipping can hurt.",
)
def wheel_slip_effort(
    mass: float, driven: float, grip: float, height: float, wheelbase: float, drive: str, rolling: float
) -> float:
    """Push [N] at which the driven tyres slip, with the weight that moves onto the rear axle under power.

    The cross twist that lifts one rear tyre of a live axle with an open differential is left out (unsafe side), and so
    are grade and lift.

    Parameters
    ----------
    mass : float
        [kg]
    driven : float
        share of it on the driven axle at rest, 0.1 to 1 [-]
    grip : float
        0.05 to 4 [-]
    height, wheelbase : float
        of the centre of mass, and between the axles [mm]
    drive : str
        ``rear``, ``front`` or ``all``
    rolling : float
        rolling resistance over weight [-]

    Raises
    ------
    ValueError
        for an amount out of range, or a rear drive so grippy that the nose would lift

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, equations 2.14,
    2.15.

    >>> round(wheel_slip_effort(1000.0, 0.5, 0.8, 500.0, 2500.0, "rear", 0.0))
    4670
    """
    refuse_not_positive(mass=(mass, "kg"), height=(height, "mm"), wheelbase=(wheelbase, "mm"))
    refuse_outside("driven", driven, 0.1, 1.0, "")
    refuse_outside("grip", grip, 0.05, 4.0, "")
    refuse_outside("rolling", rolling, 0.0, 0.5, "")
    weight, lever = mass * STANDARD_GRAVITY, height / wheelbase
    if drive == "all":
        return grip * weight
    if drive == "front":
        return grip * weight * (driven + rolling * lever) / (1.0 + grip * lever)
    if drive != "rear":
        raise ValueError(f"drive is '{drive}'; write rear, front or all")
    loss = 1.0 - grip * lever
    effort = grip * weight * (driven - rolling * lever) / loss if loss > 0.0 else math.inf
    if effort > grip * weight:
        raise ValueError("with this grip all the weight would move onto the rear axle and lift the nose; lower it")
    return effort


@a_sum(
    "grade-climbed",
    title="Steepest grade that a push can climb",
    asks=(Ask("effort", "force", "push of the wheels less air drag"), _MASS, _ROLLING),
    gives="rise over run",
    dimension="percent",
    unit="%",
    words="the grade at which mass * gravity * (sin + rolling * cos) is the effort",
    source=_BOOK,
    caution="Brakes and parking brake must hold the same grade with the same load.",
)
def grade_climbed(effort: float, mass: float, rolling: float) -> float:
    """Steepest grade [-] at a steady crawl; what starting off takes is left out (unsafe side: keep a quarter in hand).

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, chapter 2.

    >>> round(grade_climbed(3000.0, 1000.0, 0.013), 3)
    0.307
    """
    refuse_not_positive(effort=(effort, "N"), mass=(mass, "kg"))
    refuse_outside("rolling", rolling, 0.0, 0.5, "")
    share = effort / (mass * STANDARD_GRAVITY)
    whole = math.hypot(1.0, rolling)
    if share >= whole:
        raise ValueError("this push would lift the vehicle up a wall; check effort and mass")
    if share < rolling:
        raise ValueError("this push does not overcome the rolling resistance on the level")
    return math.tan(math.asin(share / whole) - math.atan(rolling))
