"""What a person needs to make one hanger: rod, weld on the pipe, rubber, bracket, as figures and in words.

In: the chain and a hanger that was chosen on it. Out: a :class:`HangerMade`. Source: geometry; what is said of thin
shells is common practice, no source.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialfit.exhaust.chain import Chain
from trialfit.exhaust.hanger_points import HEAVY_KINDS, Hanger
from trialfit.exhaust.hanging import element_at, point_on
from trialfit.exhaust.joints import clock_way


@dataclass(frozen=True, slots=True, eq=False)
class HangerMade:
    """One hanger to be made. ``weld_mm`` is from and to along the centre line where the rod lies on the pipe,
    ``clock_rad`` where round it, 0 at the top and clockwise looking downstream; ``to_tail`` whether the rod goes off
    towards the tail. ``radius_mm`` is of the centre line of the rod's bends, ``pin_mm`` the straight at its end for the
    rubber. ``shell`` names the part whose body it lies on, with where that begins and ends along the centre line; None
    on pipe."""

    hanger: Hanger
    weld_mm: tuple[float, float]
    clock_rad: float
    to_tail: bool
    radius_mm: float
    pin_mm: float
    shell: tuple[str, float, float] | None

    @property
    def shell_words(self) -> str:
        """What to weld it to where it lies on a part's body; "" on pipe."""
        if self.shell is None:
            return ""
        name, first, last = self.shell
        return (f"lies on the body of {name} ({first:.0f} to {last:.0f} mm): weld it to a saddle that spreads the "
                "load, to the body's seam or to its own bracket, never to the bare shell, which tears (common "
                "practice, no source)")

    @property
    def rod_words(self) -> tuple[str, ...]:
        """The bar, then every bend."""
        rod = self.hanger.rod
        told = [f"round bar {rod.diameter_mm:.1f} mm, cut {rod.length_mm:.0f} mm"]
        if not rod.bends:
            return (*told, "straight")
        for number, bend in enumerate(rod.bends, 1):
            plane = "" if number == 1 else f", plane turned {math.degrees(bend.rotation_rad):+.0f} deg"
            told.append(f"bend {number}: begins {bend.at_mm:.0f} mm from the welded end, "
                        f"{math.degrees(bend.turn_rad):.0f} deg on a radius of {self.radius_mm:.1f} mm{plane}")
        return (*told, f"then {self.pin_mm:.0f} mm straight, for the rubber")

    @property
    def weld_words(self) -> str:
        """Where the rod lies on the pipe."""
        degrees = math.degrees(self.clock_rad)
        turn = ("at the top" if abs(degrees) < 0.5 else
                f"{abs(degrees):.0f} deg {'clockwise' if degrees > 0.0 else 'anticlockwise'} from the top looking "
                "downstream")
        return (f"along the pipe from {self.weld_mm[0]:.0f} to {self.weld_mm[1]:.0f} mm, {turn}, both sides; the rod "
                f"goes off towards the {'tail' if self.to_tail else 'outlet'}")

    @property
    def rubber_words(self) -> str:
        """The rubber, and how far the rod's hole hangs under the frame's."""
        rubber = self.hanger.isolator
        return f"{rubber.name}; drop {rubber.drop_mm:.1f} mm, hole on the frame to hole of the rod"

    @property
    def bracket_words(self) -> str:
        """The bracket on the frame and what holds it; says so where nobody said any."""
        bracket, kind = self.hanger.candidate.bracket, self.hanger.candidate.kind
        if bracket is None:
            return f"none said; held by {'bolts' if kind == 'bolt' else 'a weld'}"
        bar = (f"flat bar {bracket.breadth_mm:.2f} mm across the load, {bracket.depth_mm:.2f} mm along it, arm "
               f"{bracket.arm_mm:.1f} mm from frame to rubber")
        if kind == "weld":
            return f"{bar}; two fillets of {bracket.weld_leg_mm:.1f} mm leg, {bracket.weld_mm:.0f} mm each"
        if bracket.bolts == 1:
            return (f"{bar}; 1 bolt {bracket.thread} grade {bracket.grade}, {bracket.bolt_radius_mm:.2f} mm from the "
                    "edge it leans on")
        return (f"{bar}; {bracket.bolts} bolts {bracket.thread} grade {bracket.grade} on a circle of "
                f"{bracket.bolt_radius_mm:.2f} mm radius")


def hangers_made(chain: Chain, hangers: Sequence[Hanger]) -> tuple[HangerMade, ...]:
    """Everything to make each hanger by.

    Parameters
    ----------
    chain : Chain
        that they were chosen on
    hangers : sequence of Hanger
    """
    return tuple(_made(chain, h) for h in hangers)


def _made(chain: Chain, hanger: Hanger) -> HangerMade:
    rod = hanger.rod
    element = element_at(chain, hanger.at_mm)
    _, way = point_on(chain, hanger.at_mm)
    out = rod.saddle - hanger.foot
    top, right = clock_way(way, 0.0), clock_way(way, -0.5 * math.pi)
    clock = math.atan2(float(out @ right), float(out @ top))
    to_tail = float(rod.line.tangent_at(0.0) @ way) > 0.0
    other = hanger.at_mm + (-rod.saddle_mm if to_tail else rod.saddle_mm)
    radii = [b.radius_mm for b in rod.line.bends]
    end = rod.line.stretches[-1]
    pin = float(np.linalg.norm(end.end - end.start)) if radii else rod.length_mm - rod.saddle_mm
    shell = (element.name, element.from_mm, element.to_mm) if element.kind in HEAVY_KINDS else None
    return HangerMade(hanger, (min(other, hanger.at_mm), max(other, hanger.at_mm)), clock, to_tail,
                      radii[0] if radii else 0.0, pin, shell)
