"""The exhaust as beams on springs: what hangs on each hanger, how far it sags, what its welds and its outlet feel, how
it rings, and what its growth does to all of that.

A general library makes the three-dimensional frame elements; they are put together once, held at the outlet alone.
Every choice of hangers after that is a small update: what a hanger's three springs do is known from how far the pipe
gives where it holds. Bends are short chords with the section of the tube, softer by the flexibility factor of a
thin tube that flattens; mufflers and the like are stiff bodies with their mass and their inertia in the middle.

Left out: shear of the beams, damping, play, and that rubber stiffens as it is pulled.
"""

import importlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import BEND, PIE_CUT, Chain, Element
from trialfit.exhaust.parts import BELLOWS
from trialfit.geometry.turning import turned_about
from trialfit.standards import STANDARD_GRAVITY, modulus_mpa, refuse_not_positive, refuse_outside, shear_modulus_mpa
from trialfit.structure.tube import tube_area, tube_second_moment
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

INSTALL = "hangers need the library PyNiteFEA; set it up with: python -m pip install 'trialfit[frames]'"
GRAVITY_MM_S2 = 1000.0 * STANDARD_GRAVITY
LONGEST_MM = 120.0
"""Longest beam element [mm]."""
CHORD_RAD = math.radians(7.5)
"""Largest turn of one chord of a bend [rad]."""
NEAR_MM = 0.5
"""Stations nearer than this are one [mm]."""
STIFF = 500.0
"""How many times stiffer than the pipe a muffler, catalyst or resonator is taken [-]: as good as rigid."""
USUAL_BELLOWS_N_MM = (3.0, 30.0)
"""Rate of a braided exhaust bellows along its axis when nobody measured it [N/mm]; common practice, no source."""
METALS: Mapping[str, str] = {"steel": "carbon-steel", "stainless": "stainless", "aluminium": "aluminium",
                             "titanium": "titanium"}
"""Row of the stiffness table for a row of the density table."""


class ExtraMissing(ValueError):
    """An optional library is not there; the text is the line that sets it up."""


class NotWeighed(ValueError):
    """A part's mass is not known; ``names`` has them all."""

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__(f"nobody weighed {', '.join(names)}; weigh each and write for example: mass: 4.5 kg")
        self.names = tuple(names)


@a_sum(
    "bend-flexibility-factor",
    title="How much softer a bend in thin tube is than straight tube",
    asks=(
        Ask("diameter", "length", "outside diameter"),
        Ask("wall", "length", "wall"),
        Ask("radius", "length", "radius of the bend's centre line"),
        Ask("made", "text", "how the bend is made", "smooth", ("smooth", "pie cut")),
    ),
    gives="flexibility factor: bending stiffness of the tube divided by that of the bend",
    dimension="number",
    unit="",
    words="h = wall * radius / (mean radius of the tube)^2; smooth 1.65 / h, pie cut 1.52 / h^(5/6), at least 1",
    source="ASME B31.1, appendix D (from memory)",
)
def bend_flexibility(diameter: float, wall: float, radius: float, made: str) -> float:
    """Flexibility factor [-] of a bend: thin tube flattens while it is bent further, in its plane and out of it.

    What stiff ends right behind the bend take away of it is left out (errs soft).

    Parameters
    ----------
    diameter, wall, radius : float
        [mm]
    made : str
        ``smooth`` or ``pie cut`` [-]

    Raises
    ------
    ValueError
        for an amount that is not positive, or another word

    Source: ASME B31.1, appendix D (from memory); Th. von Karman, 1911 (from memory).

    >>> round(bend_flexibility(63.5, 1.5, 95.25, "smooth"), 2)
    11.1
    """
    refuse_not_positive(diameter=(diameter, "mm"), wall=(wall, "mm"), radius=(radius, "mm"))
    refuse_outside("wall", wall, 0.0, diameter / 4.0, "mm", open_low=True)
    if made not in ("smooth", "pie cut"):
        raise ValueError(f"made is '{made}'; write smooth or pie cut")
    h = wall * radius / (0.5 * (diameter - wall)) ** 2
    return float(max(1.65 / h if made == "smooth" else 1.52 / h ** (5.0 / 6.0), 1.0))


@dataclass(frozen=True, slots=True)
class OutletHold:
    """How the outlet joint holds the pipe: along it and sideways [N/mm], against bending and twist [N*mm/rad]. A fixed
    joint has no such record."""

    along_n_mm: float
    sideways_n_mm: float
    bending_n_mm_rad: float
    twist_n_mm_rad: float

    def __post_init__(self) -> None:
        refuse_not_positive(along=(self.along_n_mm, "N/mm"), sideways=(self.sideways_n_mm, "N/mm"),
                            bending=(self.bending_n_mm_rad, ""), twist=(self.twist_n_mm_rad, ""))  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """The pipe as beams, held at the outlet alone. ``stations_mm`` (n,) along the centre line, ``places`` and ``ways``
    (n, 3); ``stiffness`` and ``mass`` (m, m) in N, mm, tonne over the free movements, six a node; ``first`` is the node
    that the first row belongs to; ``pull`` (m,) [N] the weight on them. The same weight as points: ``weight_kg`` (w,)
    at ``weight_places`` (w, 3) and stations ``weight_at_mm`` (w,)."""

    stations_mm: Floats
    places: Floats
    ways: Floats
    stiffness: Floats
    mass: Floats
    pull: Floats
    first: int
    weight_at_mm: Floats
    weight_places: Floats
    weight_kg: Floats

    @property
    def mass_kg(self) -> float:
        """Mass of all of it [kg]."""
        return float(self.weight_kg.sum())

    def node_at(self, s_mm: float) -> int:
        """The node nearest to a station."""
        return int(np.argmin(np.abs(self.stations_mm - s_mm)))


def place_at(element: Element, s_mm: float) -> tuple[Floats, Floats]:
    """Point and unit way downstream at ``s_mm`` from the start of an element."""
    if element.turn_rad <= 0.0:
        return element.start + s_mm * element.way_in, element.way_in
    axis = np.cross(element.way_in, element.way_out)
    axis = axis / np.linalg.norm(axis)
    if element.kind != PIE_CUT:
        angle = s_mm / element.radius_mm
        inward = np.cross(axis, element.way_in)
        point = element.start + element.radius_mm * (
            math.sin(angle) * element.way_in + (1.0 - math.cos(angle)) * inward)
        return point, turned_about(element.way_in, axis, angle)
    half = element.length_mm / (2.0 * element.joints)
    point, way, rest = element.start, element.way_in, s_mm
    step = half
    for _ in range(element.joints):
        if rest <= step:
            break
        point = point + step * way
        rest -= step
        way = turned_about(way, axis, element.turn_rad / element.joints)
        step = 2.0 * half
    return point + rest * way, way


def element_at(chain: Chain, s_mm: float) -> Element:
    """The element of the chain that a station lies on."""
    return next((e for e in chain.elements if s_mm <= e.to_mm), chain.elements[-1])


def point_on(chain: Chain, s_mm: float) -> tuple[Floats, Floats]:
    """Point and unit way downstream at a station along the chain."""
    element = element_at(chain, s_mm)
    return place_at(element, s_mm - element.from_mm)


def _stations(chain: Chain, wanted: Sequence[float]) -> tuple[list[float], list[Element]]:
    """Stations along the chain, and the element between each two."""
    stations: list[float] = [0.0]
    between: list[Element] = []
    marks = sorted({*(w.at_mm for w in chain.welds), *wanted})
    for element in chain.elements:
        if element.length_mm <= 0.0:
            continue
        own = {element.to_mm}
        if element.kind == BEND:
            n = max(2, math.ceil(element.turn_rad / CHORD_RAD))
            own |= {element.from_mm + element.length_mm * k / n for k in range(1, n)}
        elif element.kind == PIE_CUT:
            half = element.length_mm / (2.0 * element.joints)
            own |= {element.from_mm + half * (2 * k + 1) for k in range(element.joints)}
        elif element.is_part:
            own.add(element.from_mm + 0.5 * element.length_mm)
        own |= {m for m in marks if element.from_mm < m < element.to_mm}
        kept = [element.from_mm]
        for s in sorted(own):
            if s - kept[-1] > NEAR_MM or s == element.to_mm:
                n = max(1, math.ceil((s - kept[-1]) / LONGEST_MM)) if not element.is_part else 1
                kept += [kept[-1] + (s - kept[-1]) * k / n for k in range(1, n)] + [s]
        if len(kept) > 2 and kept[-1] - kept[-2] <= NEAR_MM:
            del kept[-2]
        stations += kept[1:]
        between += [element] * (len(kept) - 1)
    return stations, between


@dataclass(frozen=True, slots=True)
class _Section:
    modulus: float
    area: float
    second: float
    polar: float
    kg_mm: float


def _section(element: Element, length: float, metal: str, soft: bool, bellows: Mapping[str, float]) -> _Section:
    e = modulus_mpa(metal)
    area = tube_area(element.outside_mm, element.wall_mm)
    second = tube_second_moment(element.outside_mm, element.wall_mm)
    assert element.mass_kg is not None
    if not element.is_part:
        kg = element.mass_kg / element.length_mm
        factor = 1.0
        if soft and element.turn_rad > 0.0:
            made = "pie cut" if element.kind == PIE_CUT else "smooth"
            factor = bend_flexibility(element.outside_mm, element.wall_mm, element.radius_mm, made)
        return _Section(e, area, second / factor, 2.0 * second, kg)
    if element.kind == BELLOWS:
        # an even beam whose rates along and in bending are the bellows': rate along k, in bending k D^2 / 8
        rate = bellows[element.name]
        middle = element.outside_mm if element.width_mm <= 0.0 else 0.5 * (element.outside_mm + element.width_mm)
        return _Section(e, rate * element.length_mm / e, rate * middle**2 / 8.0 * element.length_mm / e, 2.0 * second,
                        element.mass_kg / element.length_mm)
    if element.kind == "joint":
        return _Section(e, area, second, 2.0 * second, 0.0)
    return _Section(e, STIFF * area, STIFF * second, STIFF * 2.0 * second, 0.0)


def frame_of(
    chain: Chain,
    holds_mm: Sequence[float] = (),
    outlet: OutletHold | None = None,
    bellows: Mapping[str, float] | None = None,
    soft_bends: bool = True,
) -> Frame:
    """The exhaust as beams, held at the outlet alone.

    Parameters
    ----------
    chain : Chain
        every part weighed
    holds_mm : sequence
        stations along the centre line where a hanger may hold [mm]
    outlet : OutletHold or None
        give of the outlet joint; None for none
    bellows : mapping
        name of each bellows in the chain to its rate along its axis [N/mm]
    soft_bends : bool
        whether bends are softer by the flexibility factor of thin tube [-]

    Raises
    ------
    ExtraMissing
        without the library, with the line that sets it up
    NotWeighed
        when a part's mass is unknown
    ValueError
        for a bellows without a rate, a hold that is not on the pipe, or a metal whose stiffness is not known
    """
    light = [e.name for e in chain.elements if e.mass_kg is None]
    if light:
        raise NotWeighed(light)
    if chain.material not in METALS:
        raise ValueError(f"stiffness of '{chain.material}' is not known; known: {', '.join(METALS)}")
    for s in holds_mm:
        refuse_outside("station of a hanger", s, 0.0, chain.length_mm, "mm")
    rates = dict(bellows or {})
    lost = [e.name for e in chain.elements if e.kind == BELLOWS and e.name not in rates]
    if lost:
        raise ValueError(f"the rate of the bellows {', '.join(lost)} is not said; write for example: 8 N/mm")
    metal = METALS[chain.material]
    stations, between = _stations(chain, holds_mm)
    spots = [point_on(chain, s) for s in stations]
    places = np.array([p for p, _ in spots])
    ways = np.array([w for _, w in spots])
    members = [(a, b, _section(e, b - a, metal, soft_bends, rates)) for (a, b), e in zip(pairwise(stations), between)]
    stiffness, mass = _assembled(places, members, shear_modulus_mpa(metal) / modulus_mpa(metal))
    weight_at, weight_places, weight_kg = [], [], []
    for k, (a, b, section) in enumerate(members):
        if section.kg_mm > 0.0:
            weight_at.append(0.5 * (a + b))
            weight_places.append(0.5 * (places[k] + places[k + 1]))
            weight_kg.append(section.kg_mm * (b - a))
    for element in chain.elements:
        if element.is_part and element.kind != BELLOWS:
            assert element.mass_kg is not None
            at = element.from_mm + 0.5 * element.length_mm
            node = int(np.argmin(np.abs(np.array(stations) - at)))
            mass[6 * node:6 * node + 3, 6 * node:6 * node + 3] += 1e-3 * element.mass_kg * np.eye(3)
            mass[6 * node + 3:6 * node + 6, 6 * node + 3:6 * node + 6] += _inertia(element)
            weight_at.append(stations[node])
            weight_places.append(places[node])
            weight_kg.append(element.mass_kg)
    _refuse_lost_mass(mass, math.fsum(weight_kg))
    down = np.zeros(len(mass))
    down[2::6] = -GRAVITY_MM_S2
    # taken before the outlet's rows go, or what the first element hangs on its free end would be short
    pull = mass @ down
    first = 0
    if outlet is None:
        first = 1
        stiffness, mass, pull = stiffness[6:, 6:], mass[6:, 6:], pull[6:]
    else:
        way = np.outer(ways[0], ways[0])
        stiffness[0:3, 0:3] += outlet.along_n_mm * way + outlet.sideways_n_mm * (np.eye(3) - way)
        stiffness[3:6, 3:6] += outlet.twist_n_mm_rad * way + outlet.bending_n_mm_rad * (np.eye(3) - way)
    return Frame(np.array(stations), places, ways, stiffness, mass, pull, first, np.array(weight_at),
                 np.array(weight_places), np.array(weight_kg))


def _inertia(element: Element) -> Floats:
    """Inertia of a part about its middle, as a box of its size (3, 3) [tonne*mm2]."""
    assert element.mass_kg is not None
    along = element.way_in
    wide = element.wide
    if wide is None:
        wide = np.cross(along, [0.0, 0.0, 1.0])
        wide = np.array([0.0, 1.0, 0.0]) if float(np.linalg.norm(wide)) < 1e-9 else wide / np.linalg.norm(wide)
    up = np.cross(along, wide)
    w, h, length = element.width_mm, element.height_mm, element.length_mm
    m = 1e-3 * element.mass_kg / 12.0
    box: Floats = (m * (w**2 + h**2) * np.outer(along, along) + m * (length**2 + h**2) * np.outer(wide, wide)
                   + m * (length**2 + w**2) * np.outer(up, up))
    return box


def library() -> Any:
    """The library of frame elements, called late because it is an extra.

    Raises
    ------
    ExtraMissing
        with the line that sets it up
    """
    try:
        return importlib.import_module("Pynite")
    except ImportError as missing:
        raise ExtraMissing(INSTALL) from missing


def library_model(places: Floats, members: Sequence[tuple[float, float, _Section]], shear_share: float) -> Any:
    """The library's own model of the pipe, its weight as the load case ``weight``, downward."""
    model = library().FEModel3D()
    for k, place in enumerate(places):
        model.add_node(f"N{k}", *(float(v) for v in place))
    for k, (a, b, s) in enumerate(members):
        chord = float(np.linalg.norm(places[k + 1] - places[k]))
        # the library takes weight for mass, by its density and the chord: so the arc's mass is put on the chord
        heavy = s.kg_mm * (b - a) / (chord * s.area) * STANDARD_GRAVITY
        model.add_material(f"m{k}", s.modulus, s.modulus * shear_share, 0.3, heavy)
        model.add_section(f"s{k}", s.area, s.second, s.second, s.polar)
        model.add_member(f"M{k}", f"N{k}", f"N{k + 1}", f"m{k}", f"s{k}")
    model.add_member_self_weight("FZ", -1.0, "weight")
    model.add_load_combo("weight", {"weight": 1.0})
    return model


def _assembled(
    places: Floats, members: Sequence[tuple[float, float, _Section]], shear_share: float
) -> tuple[Floats, Floats]:
    model = library_model(places, members, shear_share)
    size = 6 * len(places)
    stiffness, mass = np.zeros((size, size)), np.zeros((size, size))
    for k, (_, _, s) in enumerate(members):
        beam = model.members[f"M{k}"]
        at = slice(6 * k, 6 * k + 12)
        stiffness[at, at] += np.asarray(beam.Ke(), dtype=np.float64)
        if s.kg_mm > 0.0:
            mass[at, at] += np.asarray(beam.M("weight", "Z", GRAVITY_MM_S2), dtype=np.float64)
    return stiffness, mass


def _refuse_lost_mass(mass: Floats, kg: float) -> None:
    """The library turns loads into mass by settings of its own: what went in must have come out."""
    for axis in range(3):
        ones = np.zeros(len(mass))
        ones[axis::6] = 1.0
        got = 1e3 * float(ones @ mass @ ones)
        if abs(got - kg) > 1e-6 * max(kg, 1e-9):
            raise RuntimeError(f"the frame elements carry {got:.6f} kg, the pipe is {kg:.6f} kg")


@dataclass(frozen=True, slots=True, eq=False)
class Grip:
    """Where a hanger takes hold: station on the pipe [mm], the rod's pin (3,) [mm] where the rubber acts, and what the
    rod alone gives there (3, 3) [mm/N]."""

    at_mm: float
    pin: Floats
    rod_give: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """What the frame alone does at every grip, from which any choice of hangers follows: see :func:`reach_of`."""

    frame: Frame
    grips: tuple[Grip, ...]
    give: Floats
    """(3c, 3c) [mm/N] how far each pin moves for a force on each"""
    weight_moves: Floats
    """(3c,) [mm] how far each pin moves under the weight"""
    sag: Floats
    """(n, 3) [mm] movement of every node under the weight"""
    sag_by_force: Floats
    """(n * 3, 3c) [mm/N] the same for a force on each pin"""
    moments: Floats
    """(k, 3) [N*mm] moment in the pipe at every judged station under the weight"""
    moments_by_force: Floats
    """(k * 3, 3c) [mm]"""
    judged_mm: Floats
    """(k,) [mm] stations at which the moment is told"""
    judged_ways: Floats
    rates: Floats
    """(b,) squares of the natural rates [1/s2] of the frame alone"""
    at_pins: Floats
    """(3c, b) movement of the pins in these shapes"""
    rest_at_pins: Floats
    """(3c, 3c) [mm/N] movement of the pins by a force on each, less what the shapes hold of it"""
    rest_stiffness: Floats
    rest_mass: Floats
    """(3c, 3c) stiffness and mass of those rests"""


def reach_of(frame: Frame, grips: Sequence[Grip], judged_mm: Sequence[float], shapes: int = 30) -> Reach:
    """Answers of the frame alone to a force at each grip and to the weight.

    Parameters
    ----------
    frame : Frame
        with a node at the station of every grip
    grips : sequence of Grip
    judged_mm : sequence
        stations at which bending is told [mm]
    shapes : int
        natural shapes of the frame alone that a choice's shapes are made of, with its hangers' own [-]
    """
    from scipy.linalg import cho_factor, cho_solve, eigh  # late: it takes longer to load than a sum to work

    count, nodes = len(grips), len(frame.stations_mm)
    size = len(frame.stiffness)
    holds = np.zeros((3 * count, size))
    for c, grip in enumerate(grips):
        node = frame.node_at(grip.at_mm)
        if node < frame.first:
            continue  # a grip on a fixed outlet moves nothing
        at = 6 * (node - frame.first)
        holds[3 * c:3 * c + 3, at:at + 3] = np.eye(3)
        holds[3 * c:3 * c + 3, at + 3:at + 6] = -_cross(grip.pin - frame.places[node])
    factor = cho_factor(frame.stiffness)
    by_force = cho_solve(factor, holds.T)
    under = cho_solve(factor, frame.pull)
    give = holds @ by_force
    judged = np.asarray(judged_mm, dtype=np.float64)
    nodes_at = [frame.node_at(s) for s in judged]
    spots = frame.places[nodes_at]
    moments = np.zeros((len(judged), 3))
    by = np.zeros((len(judged), 3, 3 * count))
    for j, (s, spot) in enumerate(zip(judged, spots)):
        beyond = frame.weight_at_mm > s
        pull = np.zeros((int(beyond.sum()), 3))
        pull[:, 2] = -STANDARD_GRAVITY * frame.weight_kg[beyond]
        moments[j] = np.cross(frame.weight_places[beyond] - spot, pull).sum(axis=0)
        for c, grip in enumerate(grips):
            if grip.at_mm > s - NEAR_MM:
                by[j, :, 3 * c:3 * c + 3] = _cross(grip.pin - spot)
    # nodes inside a stiff part carry no mass, so the slow shapes are sought as the large ones of the other way round
    slow, waves = eigh(frame.mass, frame.stiffness, subset_by_index=(max(size - shapes, 0), size - 1))
    weighty = slow > 1e-12 * slow[-1]
    waves = waves[:, weighty] / np.sqrt(slow[weighty])
    rates, waves = 1.0 / slow[weighty][::-1], waves[:, ::-1]
    # what the shapes do not hold of the movement by a force; twice, because the first time leaves rounding behind
    rest = by_force
    for _ in range(2):
        rest = rest - waves @ (waves.T @ (frame.mass @ rest))
    return Reach(frame, tuple(grips), 0.5 * (give + give.T), holds @ under, _lines(under, frame, nodes)[:, :, 0],
                 _lines(by_force, frame, nodes).reshape(3 * nodes, -1), moments,
                 by.reshape(3 * len(judged), -1), judged, frame.ways[nodes_at], rates, holds @ waves,
                 holds @ rest, rest.T @ frame.stiffness @ rest, rest.T @ frame.mass @ rest)


def _cross(arm: Floats) -> Floats:
    """The matrix that makes ``arm x force`` of a force."""
    x, y, z = arm
    return np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])


def _lines(moved: Floats, frame: Frame, nodes: int) -> Floats:
    """Movement of every node (n, 3, c) out of the free movements, nought at a fixed outlet."""
    moved = moved.reshape(len(moved), -1)
    full = np.zeros((6 * nodes, moved.shape[1]))
    full[6 * frame.first:] = moved
    return full.reshape(nodes, 6, -1)[:, :3]


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """Many choices at once (b of them): force of each hanger on the pipe under the weight and by growth (b, c, 3) [N],
    nought where none hangs; how far the pipe sags at most (b,) [mm]."""

    weight_n: Floats
    growth_n: Floats
    sag_mm: Floats


def answers(reach: Reach, chosen: Ints, springs: Floats, grown: Floats) -> Answers:
    """What a batch of choices of equally many hangers does.

    Parameters
    ----------
    reach : Reach
    chosen : array
        numbers of the grips in each choice (b, k) [-]
    springs : array
        stiffness of the rubber at each grip (c, 3) [N/mm]
    grown : array
        how far each pin would move by growth if nothing held it (c, 3) [mm]
    """
    batch, each = chosen.shape
    count = len(reach.grips)
    columns = (3 * chosen[:, :, None] + np.arange(3)).reshape(batch, 3 * each)
    system = reach.give[columns[:, :, None], columns[:, None, :]]
    for k in range(each):
        own = np.array([g.rod_give for g in reach.grips])[chosen[:, k]]
        system[:, 3 * k:3 * k + 3, 3 * k:3 * k + 3] += own
        for axis in range(3):
            system[:, 3 * k + axis, 3 * k + axis] += 1.0 / springs[chosen[:, k], axis]
    moved = np.stack([reach.weight_moves[columns], grown.reshape(-1)[columns]], axis=2)
    force = -np.linalg.solve(system, moved)
    full = np.zeros((2, batch, 3 * count))
    rows = np.arange(batch)[:, None]
    full[0][rows, columns] = force[:, :, 0]
    full[1][rows, columns] = force[:, :, 1]
    z = reach.sag_by_force.reshape(len(reach.sag), 3, -1)[:, 2]
    sag = -(reach.sag[:, 2] + full[0] @ z.T).min(axis=1)
    return Answers(full[0].reshape(batch, count, 3), full[1].reshape(batch, count, 3), sag)


def moments_of(reach: Reach, weight_n: Floats, growth_n: Floats, shock: float) -> tuple[Floats, Floats]:
    """Moment across the pipe at the judged stations (b, k) [N*mm]: under the weight alone; and under ``shock`` times
    the weight, cold or with the growth, whichever is more."""
    batch = len(weight_n)
    by_weight = reach.moments + (weight_n.reshape(batch, -1) @ reach.moments_by_force.T).reshape(batch, -1, 3)
    by_growth = (growth_n.reshape(batch, -1) @ reach.moments_by_force.T).reshape(batch, -1, 3)

    def across(moment: Floats) -> Floats:
        along = np.einsum("bkj,kj->bk", moment, reach.judged_ways)
        size: Floats = np.sqrt(np.maximum((moment**2).sum(axis=2) - along**2, 0.0))
        return size

    still = across(by_weight)
    return still, np.maximum(shock * still, across(shock * by_weight + by_growth))


def modes_hz(reach: Reach, chosen: Sequence[int], springs: Floats, most: int = 10) -> Floats:
    """The lowest natural frequencies [Hz] of the pipe on these hangers.

    Made of the frame's own shapes and of how it gives under each hanger: never below the frame's true ones.

    Parameters
    ----------
    reach : Reach
    chosen : sequence
        numbers of the grips [-]
    springs : array
        stiffness of the rubber while shaken at each grip (c, 3) [N/mm]
    most : int
        how many are wanted [-]
    """

    columns = np.array([3 * c + axis for c in chosen for axis in range(3)], dtype=np.int64)
    b = len(reach.rates)
    size = b + len(columns)
    stiffness, mass = np.zeros((size, size)), np.zeros((size, size))
    pins = np.hstack([reach.at_pins[columns], reach.rest_at_pins[np.ix_(columns, columns)]])
    stiffness[:b, :b] = np.diag(reach.rates)
    stiffness[b:, b:] = reach.rest_stiffness[np.ix_(columns, columns)]
    mass[:b, :b] = np.eye(b)
    mass[b:, b:] = reach.rest_mass[np.ix_(columns, columns)]
    for k, c in enumerate(chosen):
        spring = np.linalg.inv(np.diag(1.0 / springs[c]) + reach.grips[c].rod_give)
        own = pins[3 * k:3 * k + 3]
        stiffness += own.T @ spring @ own
    # scaled so that every shape has the mass 1; those that are sums of the others are left out
    scale = 1.0 / np.sqrt(np.maximum(np.diag(mass), 1e-300))
    stiffness, mass = stiffness * np.outer(scale, scale), mass * np.outer(scale, scale)
    spread, axes = np.linalg.eigh(mass)
    keep = spread > 1e-9
    basis = axes[:, keep] / np.sqrt(spread[keep])
    squares = np.linalg.eigvalsh(basis.T @ stiffness @ basis)
    hz: Floats = np.sqrt(np.maximum(squares[:most], 0.0)) / math.tau
    return hz
