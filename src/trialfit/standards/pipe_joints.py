"""Joints of exhaust and other thin pipe: nominal sizes, V-bands, slip joints, cones between two sizes."""

import math
from dataclasses import dataclass

from trialfit.standards.ranges import refuse_not_positive, refuse_outside
from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum

_MEMORY = "common practice, no source"


@dataclass(frozen=True, slots=True)
class PipeSize:
    """A nominal size of exhaust tube: its name and outside diameter."""

    name: str
    outside_mm: float


def pipe_sizes() -> tuple[PipeSize, ...]:
    """Nominal sizes of exhaust tube, inch first.

    >>> next(p.outside_mm for p in pipe_sizes() if p.name == "2-1/2 in")
    63.5
    """
    return tuple(PipeSize(r["tube"], float(r["outside_mm"])) for r in table("slip_joints").rows)


def pipe_size_near(outside_mm: float) -> PipeSize:
    """The nominal size nearest to an outside diameter [mm], whatever its distance.

    >>> pipe_size_near(60.2).name
    '2-3/8 in'
    """
    return min(pipe_sizes(), key=lambda p: abs(p.outside_mm - outside_mm))


def v_band_sizes() -> tuple[PipeSize, ...]:
    """V-band joints by the tube they are welded to.

    >>> v_band_sizes()[2].name
    '2 in'
    """
    return tuple(PipeSize(r["size"], float(r["tube_mm"])) for r in table("v_bands").rows)


@dataclass(frozen=True, slots=True)
class SensorThread:
    """A sensor for a pipe: its thread, how it seals (gasket, taper, thread) and the width of its hexagon."""

    name: str
    thread: str
    seat: str
    hex_mm: float | None
    status: str


def sensor_threads() -> tuple[SensorThread, ...]:
    """Sensors in pipes by their thread.

    >>> sensor_threads()[0].thread
    'M18x1.5'
    """
    return tuple(
        SensorThread(r["sensor"], r["thread"], r["seat"], float(r["hex_mm"]) if r["hex_mm"] else None, r["status"])
        for r in table("sensor_threads").rows
    )


@a_sum(
    "transition-length",
    title="Length of a cone between two sizes of pipe",
    asks=(
        Ask("small", "length", "diameter at the small end"),
        Ask("large", "length", "diameter at the large end, measured as the small one"),
        Ask("angle", "angle", "included angle of the cone"),
    ),
    gives="length of the cone along its axis",
    dimension="length",
    unit="mm",
    words="(large - small) / 2 / tan(angle / 2)",
    source="geometry",
)
def transition_length(small: float, large: float, angle: float) -> float:
    """Length [mm] of a cone between two sizes of pipe. Straight collars for welding are left out (too short).

    Raises
    ------
    ValueError
        for a size that is not positive, a large end under the small one, or an angle outside 2 to 90 deg

    Source: geometry.

    >>> import math
    >>> round(transition_length(63.5, 76.2, math.radians(12)), 1)
    60.4
    """
    refuse_not_positive(small=(small, "mm"), large=(large, "mm"))
    refuse_outside("angle", angle, math.radians(2.0), math.radians(90.0), "deg")
    if large < small:
        raise ValueError(f"the large end ({large:g} mm) is smaller than the small end ({small:g} mm); swap them")
    return (large - small) / 2.0 / math.tan(angle / 2.0)


@a_sum(
    "slip-joint-inside",
    title="Inside diameter of a slip joint's socket",
    asks=(
        Ask("outside", "length", "outside diameter of the pipe that goes in"),
        Ask("clearance", "length", "clearance in diameter"),
    ),
    gives="inside diameter to expand or bore the socket to",
    dimension="length",
    unit="mm",
    words="outside diameter + clearance",
    source="geometry",
)
def slip_joint_inside(outside: float, clearance: float) -> float:
    """Inside diameter [mm] of the socket of a slip joint.

    Raises
    ------
    ValueError
        for a diameter that is not positive or a clearance outside 0 to 3 mm

    Source: geometry.

    >>> slip_joint_inside(63.5, 0.4)
    63.9
    """
    refuse_not_positive(outside=(outside, "mm"))
    refuse_outside("clearance", clearance, 0.0, 3.0, "mm")
    return outside + clearance


@a_sum(
    "butt-gap-turn",
    title="How far a gap on one side turns a butt joint",
    asks=(
        Ask("gap", "length", "gap on one side, the other side touching"),
        Ask("outside", "length", "outside diameter of the pipe"),
    ),
    gives="turn of one pipe against the other",
    dimension="angle",
    unit="deg",
    words="atan(gap / outside diameter)",
    source="geometry",
)
def butt_gap_turn(gap: float, outside: float) -> float:
    """Turn [rad] of one pipe against the other when their butt joint gapes on one side. The weld's own pull is left
    out (it adds).

    Raises
    ------
    ValueError
        for a negative gap, a diameter that is not positive, or a gap over a fifth of the diameter

    Source: geometry.

    >>> import math
    >>> round(math.degrees(butt_gap_turn(1.0, 76.0)), 2)
    0.75
    """
    refuse_not_positive(outside=(outside, "mm"))
    refuse_outside("gap", gap, 0.0, outside / 5.0, "mm")
    return math.atan2(gap, outside)


@a_sum(
    "hose-clamp-diameter",
    title="Diameter that a hose clamp closes on",
    asks=(
        Ask("barb", "length", "outside diameter of the barb or pipe under the clamp"),
        Ask("outside", "length", "outside diameter of the hose, free"),
        Ask("bore", "length", "bore of the hose, free"),
    ),
    gives="diameter over the hose on its barb",
    dimension="length",
    unit="mm",
    words="barb + twice the hose's wall",
    source=_MEMORY,
)
def hose_clamp_diameter(barb: float, outside: float, bore: float) -> float:
    """Diameter [mm] over a hose pushed on a barb. A stretched wall grows thinner; that is left out (too large by a few
    tenths of a millimetre).

    Raises
    ------
    ValueError
        for an amount that is not positive, or a bore that is not smaller than the outside

    Source: common practice, no source.

    >>> hose_clamp_diameter(10.0, 16.0, 9.5)
    16.5
    """
    refuse_not_positive(barb=(barb, "mm"), outside=(outside, "mm"), bore=(bore, "mm"))
    if bore >= outside:
        raise ValueError(f"the bore ({bore:g} mm) must be smaller than the outside ({outside:g} mm)")
    return barb + outside - bore


@a_sum(
    "barb-stretch",
    title="Stretch of a hose over its barb",
    asks=(
        Ask("barb", "length", "largest diameter of the barb"),
        Ask("bore", "length", "bore of the hose, free"),
    ),
    gives="stretch of the bore, negative when the barb is loose",
    dimension="ratio",
    unit="%",
    words="barb / bore - 1",
    source="geometry",
)
def barb_stretch(barb: float, bore: float) -> float:
    """Stretch [-] of a hose's bore over a barb; negative when the barb is smaller than the bore.

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: geometry.

    >>> round(barb_stretch(10.4, 9.5), 3)
    0.095
    """
    refuse_not_positive(barb=(barb, "mm"), bore=(bore, "mm"))
    return barb / bore - 1.0


@a_sum(
    "banjo-engagement",
    title="Thread of a banjo bolt left for the port",
    asks=(
        Ask("bolt", "length", "length of the bolt under its head"),
        Ask("eye", "length", "thickness of the banjo eye, all eyes together"),
        Ask("washer", "length", "thickness of one washer"),
        Ask("count", "number", "how many washers: one more than there are eyes", 2),
    ),
    gives="length of bolt in the port",
    dimension="length",
    unit="mm",
    words="bolt - eye - count * washer",
    source="geometry",
    caution="A banjo bolt that bottoms or holds by two turns leaks or strips; new washers each time, maker's torque.",
)
def banjo_engagement(bolt: float, eye: float, washer: float, count: float = 2.0) -> float:
    """Length [mm] of a banjo bolt in its port. An unthreaded neck and the washers' crush are left out (the first
    unsafe, the second safe side for engagement).

    Raises
    ------
    ValueError
        for an amount that is not positive, or under two washers

    Source: geometry.

    >>> banjo_engagement(24.0, 10.0, 1.5, 2)
    11.0
    """
    refuse_not_positive(bolt=(bolt, "mm"), eye=(eye, "mm"), washer=(washer, "mm"))
    if count != round(count) or count < 2:
        raise ValueError(f"a banjo takes a washer on each side of every eye: at least 2, not {count:g}")
    return bolt - eye - count * washer
