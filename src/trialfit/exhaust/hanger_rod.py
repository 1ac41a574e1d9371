"""The rod from the pipe to the rubber, and the bracket that holds the rubber: how long, bent how, whether it is strong
enough."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.bend import bend_set_back_mm
from trialfit.geometry.centreline import Centreline, CentrelineError, Straight, centreline
from trialfit.standards import modulus_mpa, refuse_not_positive, refuse_outside, shear_modulus_mpa
from trialfit.structure.bolt import bolt_proof_load
from trialfit.structure.bolted_joint import bolt_group_load
from trialfit.structure.tube import tube_second_moment
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]

SHARE_OF_PROOF = 0.577 / 2.0
"""Share of a bolt's proof load that is let across it: shear yield by distortion energy, halved [-]; common practice, no
source."""
_CAUTION = (
    "Never weld or drill a frame, a body seam or a tank's neighbour without knowing what the maker and local rules "
    "allow. Zinc gives off a poisonous fume: grind it off. Part the battery, keep fire and fuel away, set the vehicle "
    "on stands, and have welds that hold a hot pipe over the road looked over by someone qualified."
)
_FORCE = Ask("force", "force", "force at the end of the arm, bumps counted")
_ARM = Ask("arm", "length", "from the frame to where the rubber hangs")


@a_sum(
    "hanger-bracket-stress",
    title="Bending stress of a hanger bracket of flat bar",
    asks=(
        _FORCE, _ARM,
        Ask("breadth", "length", "size of the bar across the force"),
        Ask("depth", "length", "size of the bar in the force's direction"),
    ),
    gives="greatest bending stress, at the frame",
    dimension="pressure",
    unit="MPa",
    words="6 * force * arm / (breadth * depth^2)",
    source="mechanics of materials, bending of a bar (from memory)",
    caution=_CAUTION,
)
def bracket_stress(force: float, arm: float, breadth: float, depth: float) -> float:
    """Bending stress [MPa] of a flat bar that stands out from the frame; twist and holes are left out (unsafe side).

    Source: mechanics of materials, bending of a bar (from memory).

    >>> round(bracket_stress(300.0, 60.0, 30.0, 5.0), 1)
    144.0
    """
    refuse_outside("force", force, 0.0, 1e5, "N")
    refuse_not_positive(arm=(arm, "mm"), breadth=(breadth, "mm"), depth=(depth, "mm"))
    return 6.0 * force * arm / (breadth * depth**2)


@a_sum(
    "hanger-weld-stress",
    title="Shear stress of two fillet welds that hold a bracket",
    asks=(
        _FORCE, _ARM,
        Ask("leg", "length", "leg of the fillets"),
        Ask("length", "length", "length of each, along the force"),
    ),
    gives="greatest shear stress of the throats, pull of the force and bending together",
    dimension="pressure",
    unit="MPa",
    words="root of (force / (1.414 * leg * length))^2 + (force * arm * length / 2 / (0.707 * leg * length^3 / 6))^2",
    source="Shigley's Mechanical Engineering Design, 9th ed., table 9-2",
    caution=_CAUTION,
)
def bracket_weld_stress(force: float, arm: float, leg: float, length: float) -> float:
    """Shear stress [MPa] of the throats of two fillet welds, one on each side of a bracket, along the force.

    Starts and stops and undercut are left out, which errs on the unsafe side.

    Source: Shigley's Mechanical Engineering Design, 9th ed., table 9-2.

    >>> round(bracket_weld_stress(300.0, 60.0, 3.0, 30.0), 1)
    28.4
    """
    refuse_outside("force", force, 0.0, 1e5, "N")
    refuse_not_positive(arm=(arm, "mm"), leg=(leg, "mm"), length=(length, "mm"))
    straight = force / (1.414 * leg * length)
    bent = force * arm * (length / 2.0) / (0.707 * leg * length**3 / 6.0)
    return math.hypot(straight, bent)


@a_sum(
    "rod-bending-stress",
    title="Bending stress of a round hanger rod",
    asks=(_FORCE, Ask("arm", "length", "from the end of the weld to the line of the force"),
          Ask("rod", "length", "diameter of the rod")),
    gives="greatest bending stress",
    dimension="pressure",
    unit="MPa",
    words="32 * force * arm / (pi * rod^3)",
    source="mechanics of materials, bending of a bar (from memory)",
    caution=_CAUTION,
)
def rod_stress(force: float, arm: float, rod: float) -> float:
    """Bending stress [MPa] of a round rod; the notch of the weld is left out (unsafe side).

    Source: mechanics of materials, bending of a bar (from memory).

    >>> round(rod_stress(100.0, 80.0, 10.0), 1)
    81.5
    """
    refuse_outside("force", force, 0.0, 1e5, "N")
    refuse_outside("arm", arm, 0.0, 5e3, "mm")
    refuse_not_positive(rod=(rod, "mm"))
    return 32.0 * force * arm / (math.pi * rod**3)


@dataclass(frozen=True, slots=True)
class Bracket:
    """What stands out from the frame and holds the rubber: a flat bar ``arm_mm`` long, ``breadth_mm`` across the load
    and ``depth_mm`` along it; welded by two fillets of ``weld_leg_mm`` and ``weld_mm`` each, or held by ``bolts`` of
    ``thread`` and ``grade`` on a circle of ``bolt_radius_mm`` (for one bolt: its distance to the edge it leans on)."""

    arm_mm: float
    breadth_mm: float
    depth_mm: float
    weld_leg_mm: float = 3.0
    weld_mm: float = 30.0
    bolts: int = 2
    bolt_radius_mm: float = 15.0
    thread: str = "M8"
    grade: str = "8.8"


@dataclass(frozen=True, slots=True)
class BracketLoad:
    """What a force does to a bracket: bending of the bar [MPa], shear of the weld [MPa] (None where bolted), load
    across the worst bolt and what it may carry [N] (None where welded)."""

    force_n: float
    bar_mpa: float
    weld_mpa: float | None
    bolt_n: float | None
    bolt_most_n: float | None


def bracket_load(bracket: Bracket, kind: str, force_n: float) -> BracketLoad:
    """What a force at the end of a bracket does to its bar and to its weld or bolts.

    Parameters
    ----------
    bracket : Bracket
    kind : str
        ``bolt`` or ``weld`` [-]
    force_n : float
        bumps counted [N]

    Raises
    ------
    ValueError
        for an amount out of range or another kind

    Source: Shigley's Mechanical Engineering Design, 9th ed., table 9-2, example 8-7.
    """
    bar = bracket_stress(force_n, bracket.arm_mm, bracket.breadth_mm, bracket.depth_mm)
    if kind == "weld":
        weld = bracket_weld_stress(force_n, bracket.arm_mm, bracket.weld_leg_mm, bracket.weld_mm)
        return BracketLoad(force_n, bar, weld, None, None)
    if kind != "bolt":
        raise ValueError(f"kind of hanger is '{kind}'; write bolt or weld")
    refuse_outside("bolts", bracket.bolts, 1.0, 8.0, "")
    refuse_not_positive(bolt_radius=(bracket.bolt_radius_mm, "mm"))
    if bracket.bolts == 1:
        # one bolt is pulled by the bar that leans on its edge, as well as pushed across
        bolt = math.hypot(force_n, force_n * bracket.arm_mm / bracket.bolt_radius_mm)
    else:
        bolt = bolt_group_load(force_n, force_n * bracket.arm_mm, bracket.bolt_radius_mm, float(bracket.bolts), 0.0)
    return BracketLoad(force_n, bar, None, bolt, SHARE_OF_PROOF * bolt_proof_load(bracket.thread, bracket.grade))


@dataclass(frozen=True, slots=True)
class RodBend:
    """One bend of a rod: length along the rod to its start [mm], how far it turns, and how far its plane is turned
    from that of the bend before, right-handed about the rod [rad]."""

    at_mm: float
    turn_rad: float
    rotation_rad: float


@dataclass(frozen=True, slots=True, eq=False)
class Rod:
    """A rod as bent: its centre line from the end welded along the pipe to the end in the rubber, ``saddle`` (3,) where
    it leaves the pipe, ``pin`` (3,) the middle of the rubber's hole [mm]; cut length, bends."""

    line: Centreline
    saddle: Floats
    pin: Floats
    diameter_mm: float
    length_mm: float
    bends: tuple[RodBend, ...]
    saddle_mm: float

    @property
    def lever(self) -> Floats:
        """From where the rod leaves the pipe to the rubber (3,) [mm]."""
        arm: Floats = self.pin - self.saddle
        return arm


class NoRod(ValueError):
    """No rod goes from here to there; the text says why and how much is wanting."""


@dataclass(frozen=True, slots=True)
class RodShape:
    """How rods are made: ``diameter_mm``, ``radius_mm`` of its bends' centre line, ``saddle_mm`` welded along the pipe,
    ``pin_mm`` straight in the rubber."""

    diameter_mm: float = 10.0
    radius_mm: float = 20.0
    saddle_mm: float = 30.0
    pin_mm: float = 40.0

    def __post_init__(self) -> None:
        refuse_outside("rod", self.diameter_mm, 4.0, 25.0, "mm")
        refuse_outside("radius of the rod's bends", self.radius_mm, self.diameter_mm, 200.0, "mm")
        refuse_outside("saddle weld", self.saddle_mm, 10.0, 200.0, "mm")
        refuse_outside("pin in the rubber", self.pin_mm, 10.0, 200.0, "mm")


def rod_to(
    foot: Floats, way: Floats, standing_mm: float, pin: Floats, shape: RodShape, pin_ways: Sequence[Floats] = (),
) -> Rod:
    """The rod from a place on the pipe to the rubber's hole: welded along the pipe, out to the pin, and along the pin.

    Of both ways along the pipe and all ways of the pin the rod with the least turning is taken; of alike ones the
    shortest. Dents in the pipe and the clearance of a bending jig are left out.

    Parameters
    ----------
    foot, way : array
        point on the pipe's centre line (3,) [mm] and the unit way there
    standing_mm : float
        from the centre line to the skin, on the pin's side [mm]
    pin : array
        middle of the rubber's lower hole (3,) [mm]
    shape : RodShape
    pin_ways : sequence
        unit ways that the pin may point; fore, aft, left and right when left out

    Raises
    ------
    NoRod
        when the pin is too near to the pipe for the bends
    """
    reach = pin - foot
    out = reach - float(reach @ way) * way
    off = float(np.linalg.norm(out))
    clear = standing_mm + 0.5 * shape.diameter_mm
    if off < clear + shape.diameter_mm:
        raise NoRod(f"the rubber's hole is {off:.0f} mm from the pipe's centre line, on top of the pipe; a rod needs "
                    f"{clear + shape.diameter_mm:.0f} mm or more")
    saddle = foot + clear * out / off
    ways = list(pin_ways) or [np.array(v) for v in ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0),
                                                    (0.0, -1.0, 0.0))]
    found: list[tuple[float, float, int, Rod]] = []
    wanting = ""
    for sign in (1.0, -1.0):
        for pin_way in ways:
            try:
                rod = _bent(saddle, sign * way, pin, pin_way, shape)
            except CentrelineError as wrong:
                wanting = wrong.faults[0].words
                continue
            except ValueError as wrong:
                wanting = str(wrong)
                continue
            turning = math.fsum(b.turn_rad for b in rod.bends)
            found.append((round(turning, 9), round(rod.length_mm, 6), len(found), rod))
    if not found:
        raise NoRod(f"no rod of {shape.diameter_mm:g} mm bent to {shape.radius_mm:g} mm goes there ({wanting}); bend "
                    "it tighter, or take a place farther from the pipe")
    return min(found)[3]


def _bent(saddle: Floats, along: Floats, pin: Floats, pin_way: Floats, shape: RodShape) -> Rod:
    """Welded up to ``saddle``, its bends' set-backs outside of weld and rubber: the corners are moved out until each
    bend ends where weld or rubber begins."""
    out, back = _Way(*along.tolist()), _Way(*pin_way.tolist())
    line = (pin - 0.5 * shape.pin_mm * pin_way - saddle).tolist()
    near = far = 0.0
    for _ in range(120):
        between = _Way(*(v - near * o - far * p for v, o, p in zip(line, out, back)))
        size = math.hypot(*between)
        if size < 1e-6:
            raise ValueError("pipe and rubber are in one place")
        wanted = (_set_back(_cosine(out, between, size), shape.radius_mm),
                  _set_back(_cosine(back, between, size), shape.radius_mm))
        change = abs(wanted[0] - near) + abs(wanted[1] - far)
        # half steps: whole ones swing to and fro where the two corners lie close
        near, far = 0.5 * (near + wanted[0]), 0.5 * (far + wanted[1])
        if change < 1e-9:
            break
    else:
        raise ValueError("the two bends leave no straight between them")
    first, second = saddle + near * along, pin - (0.5 * shape.pin_mm + far) * pin_way
    start = saddle - shape.saddle_mm * along
    points = np.array([start, first, second, pin + 0.5 * shape.pin_mm * pin_way])
    line = centreline(points, [shape.radius_mm, shape.radius_mm])
    bends: list[RodBend] = []
    at = 0.0
    last: Floats | None = None
    for stretch in line.stretches:
        if not isinstance(stretch, Straight):
            rotation = 0.0
            if last is not None:
                way = stretch.tangent_at(0.0)
                rotation = math.atan2(float(np.cross(last, stretch.normal) @ way), float(last @ stretch.normal))
            last = stretch.normal
            bends.append(RodBend(at, stretch.turn_rad, rotation))
        at += stretch.length_mm
    return Rod(line, saddle, pin, shape.diameter_mm, line.length_mm, tuple(bends), shape.saddle_mm)


class _Way(NamedTuple):
    x: float
    y: float
    z: float


def _cosine(way: _Way, line: _Way, size: float) -> float:
    return (way.x * line.x + way.y * line.y + way.z * line.z) / size


def _set_back(cosine: float, radius: float) -> float:
    """Set-back of a bend whose turn has this cosine."""
    if cosine > 1.0 - 1e-12:
        return 0.0
    return bend_set_back_mm(math.acos(max(cosine, -1.0)), radius)


def rod_give(rod: Rod, metal: str = "carbon-steel") -> Floats:
    """How far the pin moves for a force on it (3, 3) [mm/N], the rod held where its weld ends.

    Bending and twist of the round bar along its centre line, by chords; its pull and shear are left out (under a
    hundredth).

    Parameters
    ----------
    rod : Rod
    metal : str
        row of the stiffness table

    Source: Castigliano's theorem, mechanics of materials (from memory).
    """
    e, g = modulus_mpa(metal), shear_modulus_mpa(metal)
    second = tube_second_moment(rod.diameter_mm, 0.5 * rod.diameter_mm)
    points = rod.line.polyline(0.05)
    give = np.zeros((3, 3))
    walked = 0.0
    total = rod.length_mm
    # the force acts in the middle of the rubber, half a pin before the end
    end = total - float(np.linalg.norm(points[-1] - rod.pin))
    for a, b in pairwise(points):
        size = float(np.linalg.norm(b - a))
        low, high = max(walked, rod.saddle_mm), min(walked + size, end)
        walked += size
        if high <= low:
            continue
        way = (b - a) / size
        x, y, z = way.tolist()
        along = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        for share, weight in ((0.0, 1.0), (0.5, 4.0), (1.0, 1.0)):
            s = low + share * (high - low) - (walked - size)
            x, y, z = (rod.pin - a - s * way).tolist()
            # moment of a force: arm x force, parted along and across the bar
            moment = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
            twist = way @ moment
            across = along @ moment
            give += weight / 6.0 * (high - low) * (
                across.T @ across / (e * second) + np.outer(twist, twist) / (g * 2.0 * second))
    return give
