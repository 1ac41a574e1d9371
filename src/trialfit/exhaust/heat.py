"""How hot, how fast and at what pressure the gas is along the pipe, and how hot the pipe's skin gets.

The gas loses heat through the wall: by rubbing along it inside, through what wraps it, and by radiation and moving air
outside. Temperature is followed from the outlet to the tail, then pressure from the tail, where it is the air's, back
to the outlet. Two runs give the range: one with everything that keeps it hot, one with everything that cools it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.exhaust.chain import PIE_CUT, Chain, Element
from trialfit.exhaust.gas import (
    PRANDTL,
    conductivity_w_m_k,
    density_kg_m3,
    heat_capacity_j_kg_k,
    sound_speed,
)
from trialfit.exhaust.pressure import (
    OUTSIDE_MPA,
    bend_loss,
    cone_pressure_loss,
    friction_factor,
    merge_pressure_loss,
    viscosity_pa_s,
)
from trialfit.standards import refuse_outside, table
from trialfit.structure.tube import tube_bore_mm
from trialfit.sums import Ask, a_sum

STEFAN_BOLTZMANN = 5.670374419e-8
"""Of a black body [W/(m2*K4)]; exact by the definition of the SI."""
STEP_MM = 40.0
"""Longest step along the pipe [mm]."""
PULSES = (1.0, 2.5)
"""How much the beat of the cylinders raises the heat handed to the wall, least and most [-]; from memory."""
FASTEST_MACH = 0.7
"""Mach number at which the sums stop to hold [-]."""
AIR_PRANDTL, AIR_CP = 0.70, 1007.0
"""Prandtl number [-] and specific heat [J/(kg*K)] of air, 250 to 600 K; from memory."""
OUTER_LAYERS = table("surfaces_hot")
SKIN = "skin of the pipe"
"""what the outside of bare or coated pipe is called"""
PART_LOSSES = table("part_losses")
OUTLET, TAIL = "outlet", "tail"
_SPEED = (5e3, 40e3)
"""Air along the pipe under a moving vehicle: least and most that is reckoned with when nobody says [mm/s]."""


@dataclass(frozen=True, slots=True)
class Cover:
    """What is round a stretch of the pipe: a row of the table of hot surfaces, from and to along the centre line."""

    kind: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True)
class Merge:
    """Another pipe that comes in: where along the centre line, its bore [mm], its share of the gas behind it [-], and
    the angle between its gas and the flow [rad]. Its gas is taken to be as hot as the run's."""

    name: str
    at_mm: float
    bore_mm: float
    share: float
    angle_rad: float


@dataclass(frozen=True, slots=True)
class EndCone:
    """A cone ahead of the outlet or behind the tail (``at``): bore of its far end, and its length [mm]."""

    name: str
    at: str
    bore_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Flow:
    """The gas and the air outside: mass flow at the tail [kg/s], gas temperature at the outlet [K] with its give or
    take at 95 %, air temperature [K], speed of the air along the pipe [mm/s], the covers (bare steel elsewhere), and
    what joins the pipe on its way and at its ends."""

    gas_kg_s: float
    gas_k: float
    gas_give_k: float = 0.0
    air_k: float = 298.0
    air_mm_s: tuple[float, float] = _SPEED
    covers: tuple[Cover, ...] = ()
    bare: str = "bare steel"
    merges: tuple[Merge, ...] = ()
    cones: tuple[EndCone, ...] = ()

    def carried_kg_s(self, at_mm: float) -> float:
        """Gas that the pipe carries at a place [kg/s]: all of it less what comes in farther on."""
        return self.gas_kg_s * math.prod(1.0 - m.share for m in self.merges if m.at_mm > at_mm)


@dataclass(frozen=True, slots=True)
class Station:
    """One place along the pipe: temperatures of gas and skin, low and high [K]; absolute pressure [MPa], speed [mm/s]
    and Mach number of the hotter run. Where the pipe is wrapped ``skin_k`` is the outside of the ``cover``, and
    ``metal_k`` the pipe's own wall under it; on bare pipe both are one."""

    at_mm: float
    element: str
    gas_k: tuple[float, float]
    skin_k: tuple[float, float]
    pressure_mpa: float
    speed_mm_s: float
    mach: float
    metal_k: tuple[float, float]
    cover: str

    @property
    def outside(self) -> str:
        """What ``skin_k`` is the temperature of.

        >>> Station(0.0, "", (0.0, 0.0), (0.0, 0.0), 0.1, 0.0, 0.0, (0.0, 0.0), "wrapped").outside
        'outside of the wrap'
        """
        return {"wrapped": "outside of the wrap", "shielded": "outside of the shield"}.get(self.cover,
                                                                                          SKIN)


@dataclass(frozen=True, slots=True)
class Loss:
    """What one element takes of the pressure [MPa], in the hotter run; for a merge and a cone by how much the static
    pressure falls over it, below 0 where the gas slows down more than it loses."""

    name: str
    kind: str
    pressure_mpa: float


@dataclass(frozen=True, slots=True)
class HotRun:
    """The whole pipe. ``back_mpa`` is the pressure at the outlet over the air's, low and high; a part whose loss
    nobody gave counts by the rule for its kind, and ``assumed`` names it."""

    stations: tuple[Station, ...]
    losses: tuple[Loss, ...]
    back_mpa: tuple[float, float]
    assumed: tuple[str, ...]

    @property
    def fastest(self) -> Station:
        """Where the gas is fastest against its sound."""
        return max(self.stations, key=lambda s: s.mach)

    def skin_at(self, s_mm: float) -> tuple[float, float]:
        """Skin temperature, low and high [K], at a place along the centre line."""
        near = min(self.stations, key=lambda s: abs(s.at_mm - s_mm))
        return near.skin_k

    def mean_skin_k(self) -> tuple[float, float]:
        """Mean over the length of the skin's temperature, low and high [K]."""
        return self._mean([s.skin_k for s in self.stations])

    def mean_metal_k(self) -> tuple[float, float]:
        """Mean over the length of the pipe's own temperature, under what wraps it, low and high [K]."""
        return self._mean([s.metal_k for s in self.stations])

    def _mean(self, told: Sequence[tuple[float, float]]) -> tuple[float, float]:
        total = [0.0, 0.0]
        for k in (0, 1):
            for n, (a, b) in enumerate(zip(self.stations, self.stations[1:])):
                total[k] += 0.5 * (told[n][k] + told[n + 1][k]) * (b.at_mm - a.at_mm)
        length = self.stations[-1].at_mm - self.stations[0].at_mm
        return total[0] / length, total[1] / length


def inner_film_w_m2_k(flow: float, temperature: float, bore: float) -> float:
    """Heat that passes from steady gas to the wall [W/(m2*K)], far from the entrance.

    Parameters
    ----------
    flow : float
        [kg/s]
    temperature : float
        of the gas [K]
    bore : float
        [mm]

    Source: V. Gnielinski, 1976, heat transfer in turbulent pipe flow, by the library ht.
    """
    from ht.conv_internal import turbulent_Gnielinski  # late, as everything that brings more than a sum needs

    reynolds = 4.0 * flow / (math.pi * bore * 1e-3 * viscosity_pa_s(temperature))
    nusselt = turbulent_Gnielinski(reynolds, PRANDTL, friction_factor(flow, temperature, bore))
    return float(nusselt * conductivity_w_m_k(temperature) / (bore * 1e-3))


def outer_film_w_m2_k(skin_k: float, air_k: float, diameter: float, speed: float) -> float:
    """Heat that a round pipe in air gives off without radiation [W/(m2*K)]: the greater of still and moving air.

    Parameters
    ----------
    skin_k, air_k : float
        [K]
    diameter : float
        [mm]
    speed : float
        of the air across the pipe [mm/s]

    Source: S. W. Churchill and H. H. S. Chu, 1975, still air; S. W. Churchill and M. Bernstein, 1977, moving air; both
    by the library ht.

    >>> round(outer_film_w_m2_k(500.0, 300.0, 60.0, 0.0), 1)
    8.2
    """
    from ht.conv_external import Nu_cylinder_Churchill_Bernstein
    from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu

    film = 0.5 * (skin_k + air_k)
    d = diameter * 1e-3
    mu = viscosity_pa_s(film)
    nu = mu / density_kg_m3(film, OUTSIDE_MPA)
    grashof = 9.81 / film * abs(skin_k - air_k) * d**3 / nu**2
    still = Nu_horizontal_cylinder_Churchill_Chu(AIR_PRANDTL, grashof)
    moving = Nu_cylinder_Churchill_Bernstein(speed * 1e-3 * d / nu, AIR_PRANDTL)
    return float(max(still, moving) * mu * AIR_CP / AIR_PRANDTL / d)


@dataclass(frozen=True, slots=True)
class _Wall:
    """One run's choice of everything that is a range."""

    pulses: float
    emissive: str
    air_mm_s: float


_HOT, _COOL = 1, 0


def run_hot(chain: Chain, flow: Flow) -> HotRun:
    """Follow the gas along the whole pipe.

    Left out: heat along the metal, what the mufflers give off beyond a pipe of their size, and the pulses' own
    pressure. The range of skin temperature takes the inside film, the radiation and the air at both their ends.

    Parameters
    ----------
    chain : Chain
    flow : Flow

    Raises
    ------
    ValueError
        for an amount out of range, a flow that is not turbulent, or gas faster than 0.7 of sound

    Source: handbook correlations as named at each sum; integration is our own.
    """
    refuse_outside("gas flow", flow.gas_kg_s, 1e-3, 2.0, "kg/s")
    refuse_outside("gas temperature", flow.gas_k, 350.0, 1350.0, "K")
    refuse_outside("air temperature", flow.air_k, 230.0, 330.0, "K")
    for cover in flow.covers:
        OUTER_LAYERS.row(cover.kind)
    for merge in flow.merges:
        refuse_outside(f"place of {merge.name}", merge.at_mm, 0.0, chain.length_mm, "mm", open_low=True)
    hot = _temperatures(chain, flow, flow.gas_k + flow.gas_give_k, _Wall(PULSES[1], "low", flow.air_mm_s[0]),
                        _Wall(PULSES[0], "low", flow.air_mm_s[0]))
    cool = _temperatures(chain, flow, flow.gas_k - flow.gas_give_k, _Wall(PULSES[0], "high", flow.air_mm_s[1]),
                         _Wall(PULSES[1], "high", flow.air_mm_s[1]))
    assumed = tuple(e.name for e in chain.elements if e.is_part and e.loss is None)
    high, losses, back_high = _pressures(chain, flow, hot, 1)
    _low, _, back_low = _pressures(chain, flow, cool, 0)
    stations = []
    for a, b, p in zip(cool, hot, high, strict=True):
        speed = _speed(flow.carried_kg_s(b.at), b.gas, p, _bore(b.element))
        mach = speed / sound_speed(b.gas)
        stations.append(Station(b.at, b.element.name, (a.gas, b.gas), (min(a.skin, b.skin), max(a.skin, b.skin)), p,
                                speed, mach, (min(a.metal, b.metal), max(a.metal, b.metal)), cover_at(flow, b.at)))
    return HotRun(tuple(stations), losses, (back_low, back_high), assumed)


@dataclass(frozen=True, slots=True)
class _Spot:
    at: float
    element: Element
    gas: float
    skin: float
    metal: float


def _bore(element: Element) -> float:
    return tube_bore_mm(element.outside_mm, element.wall_mm)


def _temperatures(chain: Chain, flow: Flow, gas_k: float, skin: _Wall, along: _Wall) -> list[_Spot]:
    """The gas from outlet to tail. ``skin`` is how the wall is reckoned where its own temperature is told, ``along``
    where the gas loses heat to it: for the hottest skin the gas must have lost least and hand over most."""
    spots: list[_Spot] = []
    gas = gas_k
    for element in chain.elements:
        steps = max(1, math.ceil(element.length_mm / STEP_MM))
        step = element.length_mm / steps
        for k in range(steps + (element is chain.elements[-1])):
            at = element.from_mm + k * step
            outside, _, metal = _skin(element, flow, at, gas, skin)
            spots.append(_Spot(at, element, gas, outside, metal))
            if k < steps:
                heat = _skin(element, flow, at, gas, along)[1]
                out = math.pi * _bore(element) * 1e-3 * step * 1e-3
                lost = heat * out / (flow.carried_kg_s(at) * heat_capacity_j_kg_k(gas))
                gas = max(gas - lost, flow.air_k)
    return spots


def cover_at(flow: Flow, at_mm: float) -> str:
    """What is round the pipe at a place: a row of the table of hot surfaces."""
    return next((c.kind for c in flow.covers if c.from_mm <= at_mm <= c.to_mm), flow.bare)


def _skin(element: Element, flow: Flow, at_mm: float, gas_k: float, wall: _Wall
          ) -> tuple[float, float, float]:  # fmt: skip
    """Temperature of the outer skin [K], the heat that passes, per square metre of bore [W/m2], and the temperature of
    the pipe's wall under what wraps it [K]; from one face of the wall to the other next to nothing is lost."""
    from scipy.optimize import brentq  # late: it takes longer to load than a sum to work

    bore = _bore(element)
    film = wall.pulses * inner_film_w_m2_k(flow.carried_kg_s(at_mm), gas_k, bore)
    row = OUTER_LAYERS.row(cover_at(flow, at_mm))
    layer, conducts = float(row["thickness_mm"]), float(row["conductivity_w_mk"])
    outside = element.outside_mm + 2.0 * layer
    emissive = float(row[f"emissivity_{wall.emissive}"])
    # all per metre of pipe
    inside_r = 1.0 / (film * math.pi * bore * 1e-3)
    layer_r = math.log(outside / element.outside_mm) / (2.0 * math.pi * conducts) if layer > 0.0 else 0.0

    def left(skin: float) -> float:
        given = (gas_k - skin) / (inside_r + layer_r)
        area = math.pi * outside * 1e-3
        film_out = outer_film_w_m2_k(skin, flow.air_k, outside, wall.air_mm_s)
        off = area * (film_out * (skin - flow.air_k) + emissive * STEFAN_BOLTZMANN * (skin**4 - flow.air_k**4))
        return float(given - off)

    if gas_k <= flow.air_k + 1e-6:
        return flow.air_k, 0.0, flow.air_k
    skin = float(brentq(left, flow.air_k, gas_k, xtol=1e-6))
    heat = (gas_k - skin) / (inside_r + layer_r)
    return skin, heat / (math.pi * bore * 1e-3), gas_k - heat * inside_r


def _speed(flow: float, gas_k: float, pressure: float, bore: float) -> float:
    area = math.pi / 4.0 * (bore * 1e-3) ** 2
    return 1000.0 * flow / (density_kg_m3(gas_k, pressure) * area)


def loss_of(element: Element, bore: float, end: int) -> float:
    """Loss of one element in velocity heads, friction along a pipe not counted; ``end`` 0 takes the lower usual figure
    of a part without its own, 1 the higher."""
    if element.is_part:
        return PART_LOSSES.number(element.kind, ("low", "high")[end]) if element.loss is None else element.loss
    if element.turn_rad > 0.0:
        return bend_loss(element.turn_rad, element.radius_mm, bore,
                         float(element.joints + 1) if element.kind == PIE_CUT else 0.0)
    return 0.0


def _pressures(chain: Chain, flow: Flow, spots: Sequence[_Spot], end: int
               ) -> tuple[list[float], tuple[Loss, ...], float]:  # fmt: skip
    """Absolute static pressure at every spot, worked from the tail back, what each element takes, and the pressure
    ahead of it all over the air's."""
    pressures = [OUTSIDE_MPA + _cones(flow, TAIL, spots[-1], OUTSIDE_MPA)] * len(spots)
    taken: dict[int, float] = {}
    merged: dict[str, float] = {}
    for k in range(len(spots) - 2, -1, -1):
        here, after = spots[k], spots[k + 1]
        bore = _bore(here.element)
        gas = 0.5 * (here.gas + after.gas)
        p = pressures[k + 1]
        rate = flow.carried_kg_s(here.at)
        head = _head(rate, gas, p, bore, here.at)
        run = after.at - here.at
        heads = loss_of(here.element, bore, end) * run / here.element.length_mm
        if not here.element.is_part:
            heads += friction_factor(rate, gas, bore) * run / bore
        lost = head * heads
        # what it takes to speed the gas up as it cools less than it thins: momentum over the step
        first, last = (density_kg_m3(s.gas, p) for s in (here, after))
        flux = rate / (math.pi / 4.0 * (bore * 1e-3) ** 2)
        lost_all = lost + flux**2 * (1.0 / last - 1.0 / first) * 1e-6
        carried = flow.carried_kg_s(after.at)
        # from the tail back, each with the gas just behind it
        for merge in sorted((m for m in flow.merges if here.at < m.at_mm <= after.at), key=lambda m: -m.at_mm):
            loss = merge_pressure_loss(bore, merge.bore_mm, merge.share, merge.angle_rad)
            behind = _head(carried, gas, p, bore, merge.at_mm)
            carried *= 1.0 - merge.share
            merged[merge.name] = (1.0 + loss) * behind - _head(carried, gas, p, bore, merge.at_mm)
            lost_all += merged[merge.name]
        pressures[k] = p + lost_all
        number = next(i for i, e in enumerate(chain.elements) if e is here.element)
        taken[number] = taken.get(number, 0.0) + lost
    losses = [Loss(e.name, e.kind, taken.get(i, 0.0)) for i, e in enumerate(chain.elements)]
    losses += [Loss(name, "merge", mpa) for name, mpa in reversed(merged.items())]
    ahead = _cones(flow, OUTLET, spots[0], pressures[0])
    losses = ([Loss(c.name, "cone", ahead) for c in flow.cones if c.at == OUTLET] + losses
              + [Loss(c.name, "cone", pressures[-1] - OUTSIDE_MPA) for c in flow.cones if c.at == TAIL])
    return pressures, tuple(losses), pressures[0] + ahead - OUTSIDE_MPA


def _head(rate: float, gas_k: float, pressure: float, bore: float, at_mm: float) -> float:
    """Velocity head [MPa]; refused where the gas is too fast for the sums."""
    speed = _speed(rate, gas_k, pressure, bore) * 1e-3
    mach = 1000.0 * speed / sound_speed(gas_k)
    if mach > FASTEST_MACH:
        raise ValueError(f"the gas reaches {mach:.2f} of the speed of sound at {at_mm:.0f} mm in a bore of "
                         f"{bore:g} mm; up to {FASTEST_MACH:g} can be reckoned with: take a wider pipe")
    return 0.5 * density_kg_m3(gas_k, pressure) * speed**2 * 1e-6


def _cones(flow: Flow, at: str, spot: _Spot, pressure: float) -> float:
    """By how much the static pressure falls over the cone at one end [MPa], below 0 where it rises; the gas there is at
    ``pressure``."""
    bore = _bore(spot.element)
    fall = 0.0
    for cone in (c for c in flow.cones if c.at == at):
        first, last = (cone.bore_mm, bore) if at == OUTLET else (bore, cone.bore_mm)
        into, out_of = (_head(flow.carried_kg_s(spot.at), spot.gas, pressure, b, spot.at) for b in (first, last))
        loss = cone_pressure_loss(min(first, last), max(first, last), cone.length_mm, float(last > first))
        # what is lost, and what becomes speed or comes back of it
        fall += loss * max(into, out_of) + out_of - into
    return fall


@a_sum(
    "heat-on-a-neighbour",
    title="How hot something small gets beside a hot pipe",
    asks=(
        Ask("skin", "temperature", "skin of the pipe"),
        Ask("diameter", "length", "outside diameter of the pipe, its wrap included"),
        Ask("distance", "length", "from the pipe's middle to the thing"),
        Ask("emissivity", "ratio", "how much the pipe radiates", 0.8),
        Ask("air", "temperature", "air about the thing", 313.0),
        Ask("film", "number", "heat the air takes, in W/(m2*K); about 10 still, 30 moving", 10.0),
        Ask("shields", "number", "bright sheets between the two", 0.0),
    ),
    gives="temperature that the side facing the pipe settles at",
    dimension="temperature",
    unit="degC",
    words="radiation seen (radius / distance) against air and radiation given off, after (shields + 1) sheets",
    source="radiation of a long cylinder on a small face turned to it (from memory)",
    caution="An estimate. Keep fuel and brake lines away from heat by the rule of distance first.",
)
def heat_on_a_neighbour(skin: float, diameter: float, distance: float, emissivity: float = 0.8, air: float = 313.0,
                        film: float = 10.0, shields: float = 0.0) -> float:
    """Temperature [K] of a small thing's face that looks at a long hot pipe.

    Air that the pipe itself has warmed is left out unless it is in ``air``, which errs to too cold; the thing's back
    gives nothing off, which errs to too hot.

    Parameters
    ----------
    skin, air : float
        [K]
    diameter, distance : float
        of the pipe, and from its middle to the face [mm]
    emissivity : float
        0.05 to 1 [-]
    film : float
        2 to 200 [W/(m2*K)]
    shields : float
        0 to 3 [-]

    Raises
    ------
    ValueError
        for an amount out of range, or a thing inside the pipe

    Source: radiation of a long cylinder on a small face (from memory).
    """
    from scipy.optimize import brentq  # late: it takes longer to load than a sum to work

    refuse_outside("skin", skin, 250.0, 1400.0, "K")
    refuse_outside("air", air, 230.0, 500.0, "K")
    refuse_outside("distance", distance, 0.5 * diameter, math.inf, "mm")
    refuse_outside("emissivity", emissivity, 0.05, 1.0, "")
    refuse_outside("film", film, 2.0, 200.0, "")
    refuse_outside("shields", shields, 0.0, 3.0, "")
    seen = 0.5 * diameter / distance * emissivity * STEFAN_BOLTZMANN
    # each bright sheet passes on no more than a tenth
    seen *= 0.1**shields

    def left(t: float) -> float:
        off = (1.0 - 0.5 * diameter / distance) * STEFAN_BOLTZMANN * (t**4 - air**4)
        return float(seen * (skin**4 - t**4) - film * (t - air) - off)

    if skin <= air:
        return air
    return float(brentq(left, air, skin, xtol=1e-6))
