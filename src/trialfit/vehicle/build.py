"""The build: everything one file says, with names resolved and units gone."""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.parts import Part
from trialfit.vehicle.assembly import ChainWish, MateSaid
from trialfit.vehicle.driveline import GearSetSaid, OrderSaid, Power, Shaft
from trialfit.vehicle.reading import Hint, Reading
from trialfit.vehicle.route import RoutePlan
from trialfit.vehicle.shape import Shape
from trialfit.vehicle.suspension import Mounts, Stops, Suspension


@dataclass(frozen=True, slots=True)
class Settings:
    """How the builder wants to be answered. ``units`` is ``metric`` or ``inch``; ``fraction`` the inch denominator;
    ``paper`` is ``A4`` or ``Letter``."""

    units: str = "metric"
    fraction: int = 16
    paper: str = "A4"
    load_state: str = ""


@dataclass(frozen=True, slots=True)
class GapWish:
    """The builder's own required gap between two shapes, or between two kinds of thing; ``joined`` pairs are left
    out of the gaps because they touch by design."""

    a: str
    b: str
    required_mm: float | None
    joined: bool = False
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class RuleChoice:
    """The version of a rule that the builder puts in force."""

    rule: str
    version: str
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Build:
    """One vehicle as its file describes it. Anything but ``readings`` may be missing."""

    name: str
    note: str
    settings: Settings
    readings: tuple[Reading, ...]
    hints: tuple[Hint, ...] = ()
    bodies: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """body name to the hardpoints that ride on it; a hardpoint in none rides on the frame"""
    shapes: tuple[Shape, ...] = ()
    suspension: Suspension | None = None
    stops: Stops | None = None
    mounts: Mounts | None = None
    shaft: Shaft | None = None
    routes: tuple[RoutePlan, ...] = ()
    gaps: tuple[GapWish, ...] = ()
    rules: tuple[RuleChoice, ...] = ()
    file: str = ""
    digest: str = ""
    """first 12 hex digits of the SHA-256 of the file's bytes"""
    power: Power | None = None
    orders: tuple[OrderSaid, ...] = ()
    gear_set: GearSetSaid | None = None
    parts: tuple[Part, ...] = ()
    mates: tuple[MateSaid, ...] = ()
    chains: tuple[ChainWish, ...] = ()

    def body_of(self, point: str) -> str:
        """Name of the body that hardpoint ``point`` rides on."""
        for body, points in self.bodies:
            if point in points:
                return body
        return "frame"

    def shaft_ends(self) -> tuple[tuple[str, str], tuple[str, str]] | None:
        """Front and rear joint of the shaft, each with the body it rides on; None without a shaft. The joints ride on
        engine and axle whether or not the file lists them there."""
        if self.shaft is None:
            return None
        front, rear = self.body_of(self.shaft.front), self.body_of(self.shaft.rear)
        return (self.shaft.front, "engine" if front == "frame" else front), (
            self.shaft.rear, "axle" if rear == "frame" else rear)

    def shaft_pieces(self) -> tuple[tuple[str, tuple[str, str], tuple[str, str]], ...]:
        """Each piece of the shaft: what it is called, and its two ends, each with the body it rides on. A piece that
        hangs in a centre bearing ends in the middle of the bearing."""
        ends = self.shaft_ends()
        if self.shaft is None or ends is None:
            return ()
        if self.shaft.centre is None:
            return (("shaft", *ends),)
        middle = self.shaft.centre.point, self.body_of(self.shaft.centre.point)
        return ("shaft front piece", ends[0], middle), ("shaft rear piece", middle, ends[1])

    def hardpoint_names(self) -> tuple[str, ...]:
        """Every hardpoint that a reading names, in order of first mention."""
        seen: dict[str, None] = {}
        for reading in self.readings:
            for point in reading.points:
                seen.setdefault(point)
        return tuple(seen)
