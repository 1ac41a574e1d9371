"""Where an oxygen sensor's bung may sit: how far along the pipe, at which clock angle, with room for the socket.

In: the chain of the route, what the sensor and its wiring ask for, and, from outside, how much room a solid has there
and how hot the gas is. Out: stretches with their clock angles, the best place, or what rules every place out. The
rules about distance disagree from sensor to sensor: all versions are told, the sensor's own sheet decides.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import STRAIGHT, Chain, Element
from trialfit.exhaust.joints import LineAt, Room, clock_way, lines_below, spoken_clocks
from trialfit.findings import Finding, Place, Verdict
from trialfit.geometry.solids import Frustum, cylinder
from trialfit.standards import refuse_not_positive, refuse_outside, rule
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]

STEP_MM = 20.0
"""From one place looked at to the next along the pipe [mm]."""
CLOCK_STEP_DEG = 10.0
WELD_MM = 15.0
"""Straight pipe wanted between the bung's edge and a weld, bend or part [mm]; common practice, no source."""
DRAW_MM = 60.0
"""How far a sensor is drawn out of its bung before it can be swung aside [mm]; common practice, no source."""
BESIDE_LINE_MM = 50.0
SOURCE = "the rules, each with its own"
CAUTION = ("exhaust gas holds carbon monoxide: a bung that leaks, or is left open, lets it out under the floor; the "
           "sensor is hot enough to burn skin and wiring")


@dataclass(frozen=True, slots=True)
class SensorSaid:
    """What the builder says of a sensor.

    ``after`` and ``before`` are names of parts of the chain it must lie behind and ahead of ("" for the outlet and the
    tail): behind the turbine, ahead of the catalyst. ``turbine`` is True when the outlet is that of a turbine; the
    ports are ``ports_mm`` of pipe ahead of the outlet (manifold) [mm], None where nobody measured it. ``length_mm`` is
    how far the sensor stands out of the pipe with its bung [mm], ``bung_mm`` the bung's outside diameter [mm].
    ``harness`` is left, right or "" (either); ``plug`` the place (3,) its plug comes to, with ``lead_mm`` of lead, None
    where it does not matter.
    """

    name: str = "oxygen sensor"
    after: str = ""
    before: str = ""
    turbine: bool = False
    ports_mm: float | None = 0.0
    length_mm: float = 80.0
    bung_mm: float = 28.0
    harness: str = ""
    plug: tuple[float, float, float] | None = None
    lead_mm: float = 0.0
    where: Place | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """A place for the bung: ``at_mm`` along the centre line, and its clock angles [rad] that do, see
    :func:`trialfit.exhaust.joints.clock_way`; ``broken`` are the rules of distance in force that it does not keep."""

    at_mm: float
    clocks_rad: tuple[float, ...]
    broken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SensorStretch:
    """A stretch of the centre line [mm] where the bung may sit, with the clock angles [rad] that do all along it; where
    none does all along, those that do somewhere."""

    from_mm: float
    to_mm: float
    clocks_rad: tuple[float, ...]
    everywhere: bool


@dataclass(frozen=True, slots=True)
class SensorPlaces:
    """The answer: the places that break fewest of the rules of distance, which are wishes and disagree. ``best_mm`` and
    ``best_clock_rad`` are None when no place does, ``broken`` names the rules of distance that the best one breaks.
    ``ruled_out`` counts the places that each requirement ruled out first. ``versions`` tell for every version of the
    rules of distance how much of the pipe it leaves [mm]."""

    said: SensorSaid
    stretches: tuple[SensorStretch, ...]
    best_mm: float | None
    best_clock_rad: float | None
    broken: tuple[str, ...]
    ruled_out: Mapping[str, int]
    versions: Mapping[str, float]


@a_sum(
    "sensor-clock-limit",
    title="How far from the top an oxygen sensor may be turned round its pipe",
    asks=(
        Ask("tilt", "angle", "least tilt of the sensor above horizontal"),
        Ask("slope", "angle", "slope of the pipe there, from level", 0.0),
    ),
    gives="greatest clock angle from the top, either way",
    dimension="angle",
    unit="deg",
    words="acos(sin(tilt) / cos(slope))",
    source="geometry",
    caution="A sensor that hangs collects water and cracks when it heats. The sensor's own sheet decides.",
)
def sensor_clock_limit(tilt: float, slope: float = 0.0) -> float:
    """Greatest clock angle [rad] from the top at which a sensor square to its pipe still tilts enough.

    Parameters
    ----------
    tilt : float
        least tilt above horizontal, 0 to pi/2 [rad]
    slope : float
        of the pipe, 0 to pi/2 [rad]

    Raises
    ------
    ValueError
        for an angle out of range, or a pipe so steep that no clock angle gives the tilt

    Source: geometry.

    >>> round(math.degrees(sensor_clock_limit(math.radians(10.0))), 6)
    80.0
    """
    refuse_outside("tilt", tilt, 0.0, math.pi / 2.0, "deg")
    refuse_outside("slope", slope, 0.0, math.pi / 2.0, "deg")
    share = math.sin(tilt) / max(math.cos(slope), 1e-12)
    if share > 1.0 + 1e-12:
        raise ValueError(f"on a pipe that slopes {math.degrees(slope):.1f} deg nothing square to it tilts "
                         f"{math.degrees(tilt):.1f} deg; the slope may be {90.0 - math.degrees(tilt):.1f} deg at most")
    return math.acos(min(share, 1.0))


def sensor_tool(place: Floats, out: Floats, pipe_mm: float, said: SensorSaid, across_mm: float) -> Frustum:
    """What sensor, socket and the way it is drawn out take up: a round bar from the pipe's skin outward."""
    start = place + pipe_mm / 2.0 * out
    return cylinder(start, start + (said.length_mm + DRAW_MM) * out, across_mm / 2.0)


@dataclass(frozen=True, slots=True)
class _Distance:
    """One version of a rule of distance: what the pipe from ``from_mm`` to ``to_mm`` keeps [mm]."""

    rule: str
    label: str
    in_force: bool
    from_mm: float
    to_mm: float

    def keeps(self, at_mm: float) -> bool:
        return self.from_mm <= at_mm <= self.to_mm


def _distances(chain: Chain, said: SensorSaid, chosen: Mapping[str, str]) -> list[_Distance]:
    """Every version of the rules of distance that bear on a sensor."""
    found = []
    for name in ("sensor-from-ports", "sensor-from-open-end", "sensor-from-turbine"):
        bears = {"sensor-from-turbine": said.turbine, "sensor-from-ports": said.ports_mm is not None}
        if not bears.get(name, True):
            continue
        asked = rule(name, chosen.get(name))
        for version in asked.versions:
            low, high = 0.0, chain.length_mm
            if name == "sensor-from-ports":
                low = version.value - (said.ports_mm or 0.0)
            elif name == "sensor-from-open-end":
                high -= version.value
            else:
                high = version.value
            found.append(_Distance(name, version.label, version == asked.in_force, low, high))
    return found


def _named_end(chain: Chain, name: str, end: bool) -> float:
    if not name:
        return 0.0 if end else chain.length_mm
    for element in chain.elements:
        if element.is_part and element.name == name:
            return element.to_mm if end else element.from_mm
    parts = ", ".join(e.name for e in chain.elements if e.is_part) or "no parts"
    raise ValueError(f"{chain.route} has no part called '{name}' for the sensor to go by; it has {parts}")


def sensor_places(
    chain: Chain, said: SensorSaid, *, room: Room | None = None, lines: Sequence[LineAt] = (),
    gas_k: Callable[[float], float] | None = None, choices: Mapping[str, str] | None = None,
) -> SensorPlaces:
    """Every place along the pipe where the bung may sit, and the best of them.

    The best place is the one with most clock angles, then nearest to the top, then nearest to the outlet. Bends and
    the pipe's doubt are left out: places are looked at every 20 mm on straight pipe, which errs to too few.

    Parameters
    ----------
    chain : Chain
    said : SensorSaid
    room : callable or None
        room of a solid against everything but this exhaust [mm]; None leaves the socket's room untold
    lines : sequence of LineAt
        fuel and brake lines that it must not stand above
    gas_k : callable or None
        gas temperature [K] at so many mm along the centre line; None leaves it out
    choices : mapping
        rule to version

    Raises
    ------
    ValueError
        for a part that is not there, a harness that is neither left, right nor "", or a size that is not positive

    Source: the rules ``sensor-from-ports``, ``sensor-from-open-end``, ``sensor-from-turbine``, ``oxygen-sensor-tilt``,
    ``sensor-wrench-room`` and ``sensor-gas-temperature``, each with its own.
    """
    refuse_not_positive(length_of_the_sensor=(said.length_mm, "mm"), bung=(said.bung_mm, "mm"))
    if said.harness not in ("", "left", "right"):
        raise ValueError(f"harness side '{said.harness}' is none of left, right; leave it out for either side")
    chosen = dict(choices or {})
    distances = _distances(chain, said, chosen)
    after, before = _named_end(chain, said.after, True), _named_end(chain, said.before, False)
    tilt = math.radians(rule("oxygen-sensor-tilt", chosen.get("oxygen-sensor-tilt")).in_force.value)
    across = rule("sensor-wrench-room", chosen.get("sensor-wrench-room")).in_force.value
    hottest = rule("sensor-gas-temperature", chosen.get("sensor-gas-temperature")).in_force.value
    keep = said.bung_mm / 2.0 + WELD_MM
    ruled: dict[str, int] = {}
    spots: list[Spot] = []
    for element in chain.elements:
        if element.kind != STRAIGHT:
            continue
        for at in _stations(element, keep):
            place = element.start + (at - element.from_mm) * element.way_in
            why = ("ahead of what it must lie behind" if at < after else
                   "behind what it must lie ahead of" if at > before else
                   "gas too hot" if gas_k is not None and gas_k(at) > hottest else
                   "above a line" if lines_below(place, lines, element.outside_mm / 2.0 + BESIDE_LINE_MM) else "")
            clocks: tuple[float, ...] = ()
            if not why:
                clocks, why = _clocks(element, place, said, tilt, across, room)
            if why:
                ruled[why] = ruled.get(why, 0) + 1
            else:
                spots.append(Spot(at, clocks, tuple(d.rule for d in distances if d.in_force and not d.keeps(at))))
    fewest = min((len(s.broken) for s in spots), default=0)
    spots = [s for s in spots if len(s.broken) == fewest]
    best = min(spots, key=lambda s: (-len(s.clocks_rad), min(abs(c) for c in s.clocks_rad), s.at_mm), default=None)
    versions = {f"{d.rule}, {d.label}": max(min(d.to_mm, before) - max(d.from_mm, after), 0.0) for d in distances}
    if best is None:
        return SensorPlaces(said, (), None, None, (), ruled, versions)
    clock = min(best.clocks_rad, key=lambda c: (round(abs(c), 9), c))
    return SensorPlaces(said, _stretches(spots), best.at_mm, clock, best.broken, ruled, versions)


def _stations(element: Element, keep: float) -> list[float]:
    first, last = element.from_mm + keep, element.to_mm - keep
    if last < first:
        return []
    count = max(1, math.ceil((last - first) / STEP_MM))
    return [first + (last - first) * k / count for k in range(count + 1)] if last > first else [first]


def _clocks(element: Element, place: Floats, said: SensorSaid, tilt: float, across: float,
            room: Room | None) -> tuple[tuple[float, ...], str]:
    """Clock angles that do at a place; with none, the requirement that ruled the last of them out."""
    slope = math.asin(min(abs(float(element.way_in[2])), 1.0))
    try:
        limit = sensor_clock_limit(tilt, slope)
    except ValueError:
        return (), "pipe too steep for the tilt"
    steps = int(math.degrees(limit) / CLOCK_STEP_DEG + 1e-9)
    clocks = [math.radians(CLOCK_STEP_DEG * k) for k in range(-steps, steps + 1)]
    if said.harness:
        side = 1.0 if said.harness == "right" else -1.0
        clocks = [c for c in clocks if side * float(clock_way(element.way_in, c)[1]) >= -1e-9]
        if not clocks:
            return (), "wrong side for the harness"
    if said.plug is not None and said.lead_mm > 0.0:
        plug = np.array(said.plug)
        reach = element.outside_mm / 2.0 + said.length_mm
        clocks = [c for c in clocks
                  if float(np.linalg.norm(place + reach * clock_way(element.way_in, c) - plug)) <= said.lead_mm]
        if not clocks:
            return (), "lead too short"
    if room is not None:
        way = element.way_in
        clocks = [c for c in clocks
                  if room(sensor_tool(place, clock_way(way, c), element.outside_mm, said, across)) >= 0.0]
        if not clocks:
            return (), "no room for the socket"
    return tuple(clocks), ""


def _stretches(spots: Sequence[Spot]) -> tuple[SensorStretch, ...]:
    found: list[list[Spot]] = []
    for spot in spots:
        if found and spot.at_mm - found[-1][-1].at_mm <= STEP_MM + 1e-6:
            found[-1].append(spot)
        else:
            found.append([spot])
    told = []
    for run in found:
        common = set(run[0].clocks_rad).intersection(*(s.clocks_rad for s in run[1:]))
        clocks = common or set[float]().union(*(s.clocks_rad for s in run))
        told.append(SensorStretch(run[0].at_mm, run[-1].at_mm, tuple(sorted(clocks)), bool(common)))
    return tuple(told)


def sensor_findings(chain: Chain, places: SensorPlaces, where: Place | None = None) -> tuple[Finding, ...]:
    """Where the bung goes, or what rules every place out, with what each version of the rules of distance leaves."""
    said = places.said
    name = f"exhaust.{chain.route}.sensor.{said.name.replace(' ', '-')}"
    place = said.where or where
    versions = "; ".join(f"{label}, leaves {mm:.0f} mm" for label, mm in places.versions.items())
    found = []
    if places.best_mm is None or places.best_clock_rad is None:
        worst = sorted(places.ruled_out, key=lambda k: -places.ruled_out[k])
        count = sum(places.ruled_out.values())
        words = "; ".join(f"{k}: {places.ruled_out[k]}" for k in worst) or "no straight pipe is long enough"
        found.append(Finding(
            name, Verdict.DOES_NOT_FIT, f"none of {count} places looked at does for the {said.name}: {words}",
            _remedy(worst[0] if worst else ""), rule=CAUTION, source=SOURCE, where=place))
    else:
        stretches = "; ".join(f"{s.from_mm:.0f} to {s.to_mm:.0f} mm at {spoken_clocks(s.clocks_rad, CLOCK_STEP_DEG)}"
                              + ("" if s.everywhere else " somewhere") for s in places.stretches)
        words = (f"the {said.name} may sit {stretches}; best {places.best_mm:.0f} mm from the outlet, "
                 f"{math.degrees(places.best_clock_rad):.0f} deg from the top ({versions})")
        if places.broken:
            words += f"; no place keeps {' and '.join(places.broken)}"
        found.append(Finding(
            name, Verdict.CANNOT_TELL if places.broken else Verdict.FITS, words,
            "read the sensor's own sheet: it decides on distance, and these rules are wishes that disagree"
            if places.broken else "drill and weld the bung before the sensor goes in", rule=CAUTION, source=SOURCE,
            where=place))
    if said.ports_mm is None:
        found.append(Finding(f"{name}.ports", Verdict.CANNOT_TELL,
                             f"how far the {said.name} is from the ports cannot be told: the manifold is not measured",
                             "measure along the manifold from the nearest port to the outlet", where=place))
    return tuple(found)


def _remedy(why: str) -> str:
    return {
        "no room for the socket": "choose the slotted socket, or move what is beside the pipe",
        "above a line": "move the line, or lay the pipe away from over it",
        "lead too short": "take a longer lead, never a stretched one",
        "gas too hot": "go further from the outlet",
        "wrong side for the harness": "lead the harness to the other side",
        "pipe too steep for the tilt": "choose a stretch that lies flatter",
    }.get(why, "leave a longer straight stretch of pipe between the two")
