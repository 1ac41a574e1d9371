"""Size and heat: back pressure against diameter with what each step costs, temperatures along the pipe, what takes the
pressure, and which neighbours want a shield."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trialfit.checks.hot_exhaust import HotNeighbour
from trialfit.exhaust.chain import Chain
from trialfit.exhaust.heat import SKIN, HotRun, Station
from trialfit.exhaust.heat import Flow as GasFlow
from trialfit.exhaust.sizing import SizeRow, noted
from trialfit.findings import Verdict
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Fill,
    Leaf,
    LineKind,
    Mark,
    Stroke,
    Words,
    line,
    overlap,
    rectangle,
)
from trialfit.sheets.gearing_plots import axis_to
from trialfit.sheets.lengths import minus
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf

SHEET = "Size and heat"
CAUTIONS = (
    ("Estimates for steady gas: they compare pipes and show what needs a shield. The engine is set by what is measured "
     "on it, not by these figures."),
    ("Hot metal burns skin and sets grass, undercoat and rags on fire: minutes after a run it is still hot. Bare pipe "
     "where feet or hands come near wants a guard."),
    ("Fuel line, tank and brake line: distance comes first, a shield second, wrap last. Wrap hides cracks and keeps "
     "water at the steel."),
    ("Carbon monoxide cannot be smelt and kills: back pressure finds every leak. No joint may leak under or ahead of "
     "the cabin. Local codes decide on noise and emissions; a catalyst that was there stays unless they "
     "allow otherwise."),
)
_ZERO_K = 273.15
_KPA = 1000.0
_LEFT, _RIGHT, _LOW, _HIGH = 20.0, 6.0, 16.0, 5.0


@dataclass(frozen=True, slots=True)
class SizeAndHeat:
    """All that the sheet shows of one route. ``wanted_mpa`` is the back pressure the builder wants to stay under; None
    when nobody said."""

    chain: Chain
    flow: GasFlow
    run: HotRun
    rows: tuple[SizeRow, ...]
    neighbours: tuple[HotNeighbour, ...] = ()
    wanted_mpa: float | None = None


def exhaust_size_leaves(found: SizeAndHeat, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`exhaust_size_sheet`."""
    flow = Flow(meta, f"{SHEET}, {found.chain.route}")
    gas, run = found.flow, found.run
    first = found.chain.elements[0]
    flow.title(f"{SHEET}: {found.chain.route}",
               f"Laid in {minus(first.outside_mm, 1)} \u00d7 {minus(first.wall_mm, 2)} mm tube. Gas "
               f"{gas.gas_kg_s:.3f} kg/s ({gas.gas_kg_s / 0.45359237 * 60.0:.1f} lb/min) at {_celsius(gas.gas_k)} "
               f"\u00b1 {gas.gas_give_k:.0f} K at the outlet, air {_celsius(gas.air_k)}.")
    _answer(flow, found)
    if found.rows:
        _sizes(flow, found)
    _temperature(flow, found)
    _losses(flow, run)
    _neighbours(flow, found)
    flow.section("How far these figures go", 24.0)
    flow.points([f"{n[:1].upper()}{n[1:]}." for n in noted(run)])
    flow.points(CAUTIONS)
    return flow.finish()


def exhaust_size_sheet(found: SizeAndHeat, meta: SheetMeta) -> bytes:
    """Size and heat of one route as PDF.

    Parameters
    ----------
    found : SizeAndHeat
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(exhaust_size_leaves(found, meta), f"{meta.build}: size and heat, {found.chain.route}")


def _celsius(kelvin: float) -> str:
    c = kelvin - _ZERO_K
    return f"{minus(c, 0)} \u00b0C"


def _both(kelvin: tuple[float, float]) -> tuple[Run, ...]:
    low, high = (k - _ZERO_K for k in kelvin)
    f = (1.8 * low + 32.0, 1.8 * high + 32.0)
    return (Run(f"{minus(low, 0)} to {minus(high, 0)} \u00b0C", FIGURE),
            Run(f"{minus(f[0], 0)} to {minus(f[1], 0)} \u00b0F", SMALL_FIGURE))


def _kpa(mpa: float) -> str:
    return minus(mpa * _KPA, 1)


def _back(back: tuple[float, float]) -> tuple[Run, ...]:
    psi = tuple(b / 6.894757e-3 for b in back)
    return (Run(f"{_kpa(back[0])} to {_kpa(back[1])} kPa", FIGURE_BOLD),
            Run(f"{psi[0]:.2f} to {psi[1]:.2f} psi", SMALL_FIGURE))


def _answer(flow: Flow, found: SizeAndHeat) -> None:
    run = found.run
    fast = run.fastest
    rows: list[tuple[Cell, ...]] = [
        ("Back pressure at the outlet, over the air's", _back(run.back_mpa)),
        ("Fastest gas, and where", (Run(f"{fast.speed_mm_s / 1000.0:.0f} m/s, Mach {fast.mach:.2f}", FIGURE_BOLD),
                                    Run(f"{fast.element}, {fast.at_mm:.0f} mm from the outlet", SMALL))),
        *_skins(run.stations[0], "outlet"),
        *_skins(run.stations[-1], "tail"),
    ]
    if found.wanted_mpa is not None:
        rows.append(("Back pressure wanted at most", Run(f"{_kpa(found.wanted_mpa)} kPa", FIGURE_BOLD)))
    need = [n for n in found.neighbours if n.verdict is not Verdict.FITS]
    if found.neighbours:
        words = f"{len(need)} of {len(found.neighbours)}: {', '.join(n.name for n in need)}" if need else "none"
        rows.append(("Neighbours that want a shield or more room", Run(words, TEXT_BOLD)))
    flow.section("As it is laid", 30.0)
    flow.table((Column("", 2.6), Column("", 3.4, "right")), rows)


def _skins(station: Station, end: str) -> list[tuple[Cell, ...]]:
    """The outside at an end of the pipe, and the pipe's own wall where something lies round it."""
    rows: list[tuple[Cell, ...]] = [(f"{_capital(station.outside)} at the {end}", _both(station.skin_k))]
    if station.outside != SKIN:
        rows.append((f"The pipe's own wall under it at the {end}", _both(station.metal_k)))
    return rows


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


# -- diameter ---------------------------------------------------------------------------------------------------


def _sizes(flow: Flow, found: SizeAndHeat) -> None:
    told = [r for r in found.rows if r.back_mpa is not None]
    if len(told) > 1:
        flow.section("Back pressure against diameter", 84.0)
        flow.drawing(pressure_plot(found, flow.wide, 76.0), 78.0)
    flow.section("What each step costs", 34.0)
    own = found.chain.elements[0].outside_mm
    rows: list[tuple[Cell, ...]] = []
    for r in found.rows:
        laid = abs(r.choice.outside_mm - own) < 0.05
        name = (Run(f"{minus(r.choice.outside_mm, 1)} \u00d7 {minus(r.choice.wall_mm, 2)}", FIGURE_BOLD),
                Run(f"{r.choice.outside_mm / 25.4:.2f} in{', as laid' if laid else ''}", SMALL))
        room = "0 mm" if laid else f"{'gains' if r.gap_lost_mm < 0 else 'loses'} {minus(abs(r.gap_lost_mm), 1)} mm"
        money = "not said" if r.money is None else f"{r.money:.0f}"
        rest = (Run(room, FIGURE), Run(money, FIGURE), Run(f"{r.mass_kg:.1f} kg", FIGURE))
        if r.back_mpa is None:
            rows.append((name, Run(f"not reckoned: {r.refused}", SMALL), "", *rest))
            continue
        rows.append((name, _back(r.back_mpa),
                     (Run(f"{r.speed_mm_s / 1000.0:.0f} m/s", FIGURE), Run(f"Mach {r.mach:.2f}", SMALL_FIGURE)), *rest))
    flow.table((Column("Tube, outside \u00d7 wall, mm", 1.2), Column("Back pressure", 1.5),
                Column("Fastest", 0.8, "right"),
                Column("Every gap beside it", 1.1, "right"), Column("Money, tube", 0.6, "right"),
                Column("Mass, tube", 0.8, "right")), rows)
    flow.paragraph("Back pressure is at full power and the most gas; the least gas gives less. Bends keep their radii "
                   "and parts stay as they are; a cone from the outlet's size is in the pressure. Money is the tube "
                   "alone, in the build file's money.", SMALL)


@dataclass(frozen=True, slots=True)
class Span:
    """A plain scale between two values, and where its ends lie on paper [mm]."""

    low: float
    high: float
    at: float
    to: float

    def place(self, value: float) -> float:
        """Where a value lies on paper [mm]."""
        return self.at + (self.to - self.at) * (value - self.low) / (self.high - self.low)


def pressure_plot(found: SizeAndHeat, wide: float, high: float) -> list[Mark]:
    """Back pressure of every tube as a bar from least to most, over its outside diameter; the laid one is black."""
    told = [(r, r.back_mpa) for r in found.rows if r.back_mpa is not None]
    diameters = [r.choice.outside_mm for r, _ in told]
    pad = 0.12 * (max(diameters) - min(diameters)) + 1.0
    across = Span(min(diameters) - pad, max(diameters) + pad, _LEFT, wide - _RIGHT)
    most = max(max(b[1] for _, b in told), found.wanted_mpa or 0.0) * _KPA
    up = axis_to(1.06 * most, _LOW, high - _HIGH, 9.0)
    marks: list[Mark] = []
    for tick in up.ticks():
        y = up.place(tick)
        marks += [line((across.at, y), (across.to, y)),
                  Words((across.at - 1.6, y - 1.1), f"{tick:g}", SMALL_FIGURE, "right")]
    own = found.chain.elements[0].outside_mm
    words: list[Words] = []
    if found.wanted_mpa is not None:
        y = up.place(found.wanted_mpa * _KPA)
        marks.append(line((across.at, y), (across.to, y), LineKind.CENTRE))
        words.append(Words((across.to - 1.0, y + 1.2), "wanted at most", SMALL, "right", patch=True))
    tops = tuple((across.place(r.choice.outside_mm), up.place(b[1] * _KPA)) for r, b in told)
    marks.append(Stroke(tops, LineKind.HIDDEN))
    taken: list[Words] = []
    for r, back in told:
        x = across.place(r.choice.outside_mm)
        low, top = (up.place(b * _KPA) for b in back)
        laid = abs(r.choice.outside_mm - own) < 0.05
        marks.append(rectangle(x - 1.6, low, x + 1.6, top, LineKind.OUTLINE, Fill.BLACK if laid else Fill.WHITE))
        marks += [line((x - 2.6, low), (x + 2.6, low), LineKind.OUTLINE),
                  line((x - 2.6, top), (x + 2.6, top), LineKind.OUTLINE)]
        down = 4.6
        name = Words((x, _LOW - down), minus(r.choice.outside_mm, 1), SMALL_FIGURE, "centre")
        while any(overlap(name.box(0.4), t.box(0.4)) > 0.0 for t in taken):
            down += 4.0
            name = Words((x, _LOW - down), name.text, SMALL_FIGURE, "centre")
        taken.append(name)
        marks.append(line((x, _LOW), (x, _LOW - 1.2)))
        if laid:
            own_words = (Words((x + 3.4, y), "as laid", SMALL_BOLD, patch=True)
                         for y in (top + 1.0, top - 4.0, low + 1.0))
            words.append(next((w for w in own_words if all(overlap(w.box(0.4), t.box(0.4)) <= 0.0 for t in words)),
                              Words((x + 3.4, up.at + 1.0), "as laid", SMALL_BOLD, patch=True)))
    marks.append(rectangle(across.at, up.at, across.to, up.to, LineKind.OUTLINE))
    marks += [*taken, *words,
              Words(((across.at + across.to) / 2.0, 0.6), "outside diameter, mm", SMALL_BOLD, "centre"),
              Words((5.0, (up.at + up.to) / 2.0), "back pressure, kPa", SMALL_BOLD, "centre", turn_deg=90.0)]
    return marks


# -- along the pipe ---------------------------------------------------------------------------------------------


def _temperature(flow: Flow, found: SizeAndHeat) -> None:
    flow.section("Temperature along the pipe", 104.0)
    round_it = [f"{c.kind} from {c.from_mm:.0f} to {min(c.to_mm, found.chain.length_mm):.0f} mm"
                for c in found.flow.covers]
    wrapped = (f" {_capital('; '.join(round_it))}: there the band is the outside of that, and the pipe's own wall is "
               "hotter." if round_it else "")
    flow.paragraph("Gas: between the two full lines. Outside: the hatched band; low end with everything that cools, "
                   f"high end with everything that keeps it hot.{wrapped} Under it the parts and bends in the order of "
                   "the gas.", SMALL)
    flow.drawing(temperature_plot(found, flow.wide, 92.0), 94.0)


def temperature_plot(found: SizeAndHeat, wide: float, high: float) -> list[Mark]:
    """Gas and skin temperature, low and high, over the length of the centre line, with the elements named under it."""
    stations = found.run.stations
    strip = 17.0
    across = axis_to(found.chain.length_mm, _LEFT, wide - _RIGHT, 16.0)
    most = max(s.gas_k[1] for s in stations) - _ZERO_K
    up = axis_to(1.04 * most, _LOW + strip, high - _HIGH, 8.0)
    marks: list[Mark] = []
    for tick in up.ticks():
        y = up.place(tick)
        marks += [line((across.at, y), (across.to, y)),
                  Words((across.at - 1.6, y - 1.1), f"{tick:g}", SMALL_FIGURE, "right")]
    for tick in across.ticks():
        x = across.place(tick)
        marks += [line((x, _LOW), (x, _LOW - 1.2)), Words((x, _LOW - 4.8), f"{tick:g}", SMALL_FIGURE, "centre")]

    def run(which: str, end: int) -> tuple[tuple[float, float], ...]:
        return tuple((across.place(s.at_mm), up.place(_of(s, which)[end] - _ZERO_K)) for s in stations)

    low, top = run("skin", 0), run("skin", 1)
    marks += _upright_hatch(low, top)
    marks += [Stroke(low, LineKind.THIN), Stroke(top, LineKind.THIN), Stroke(run("gas", 0), LineKind.OUTLINE),
              Stroke(run("gas", 1), LineKind.OUTLINE)]
    end = across.place(stations[-1].at_mm)
    begin = across.place(0.0)
    gas = up.place(0.5 * sum(stations[0].gas_k) - _ZERO_K)
    skin = 0.5 * (low[len(low) // 3][1] + top[len(top) // 3][1])
    marks += [Words((begin + 4.0, gas - 1.2), "gas", SMALL_BOLD, patch=True),
              Words((low[len(low) // 3][0], skin - 1.2), "outside", SMALL_BOLD, patch=True)]
    marks += _elements(found.chain, across.place, up.at, end)
    marks.append(rectangle(across.at, up.at, across.to, up.to, LineKind.OUTLINE))
    marks += [Words(((across.at + across.to) / 2.0, 1.4), "along the centre line from the outlet, mm", SMALL_BOLD,
                    "centre"),
              Words((5.0, (up.at + up.to) / 2.0), "temperature, \u00b0C", SMALL_BOLD, "centre", turn_deg=90.0)]
    return marks


def _of(station: Station, which: str) -> tuple[float, float]:
    return station.gas_k if which == "gas" else station.skin_k


def _upright_hatch(low: Sequence[tuple[float, float]], top: Sequence[tuple[float, float]]) -> list[Mark]:
    """Thin upright lines between two runs of the same places, 1.6 mm apart."""
    marks: list[Mark] = []
    x, k = low[0][0] + 0.8, 0
    while x < low[-1][0]:
        while low[k + 1][0] < x:
            k += 1
        span = low[k + 1][0] - low[k][0]
        t = 0.0 if span <= 0.0 else (x - low[k][0]) / span
        marks.append(line((x, low[k][1] + t * (low[k + 1][1] - low[k][1])),
                          (x, top[k][1] + t * (top[k + 1][1] - top[k][1]))))
        x += 1.6
    return marks


_SHORT = {"straight": "", "bend": "bend", "pie-cut bend": "pie cut"}


def _elements(chain: Chain, place: Callable[[float], float], above: float, end: float) -> list[Mark]:
    """A strip with every element as long as it is: bends tinted, parts framed and named."""
    low, high = above - 11.0, above - 5.0
    marks: list[Mark] = []
    taken: list[Words] = []
    for e in chain.elements:
        a, b = place(e.from_mm), place(e.to_mm)
        fill = Fill.DARK if e.is_part else Fill.TINT if e.turn_rad > 0.0 else Fill.WHITE
        marks.append(rectangle(a, low, b, high, LineKind.OUTLINE, fill))
        name = e.name if e.is_part else _SHORT[e.kind]
        if not name:
            continue
        word = Words(((a + b) / 2.0, above - 3.6), name, SMALL, "centre")
        if any(overlap(word.box(0.3), t.box(0.3)) > 0.0 for t in taken):
            word = Words(((a + b) / 2.0, low - 3.4), name, SMALL, "centre")
        if not any(overlap(word.box(0.3), t.box(0.3)) > 0.0 for t in taken):
            taken.append(word)
    return [*marks, *taken, line((end, low), (end, high), LineKind.OUTLINE)]


# -- tables -----------------------------------------------------------------------------------------------------


def _losses(flow: Flow, run: HotRun) -> None:
    flow.section("What takes the pressure", 30.0)
    total = math.fsum(loss.pressure_mpa for loss in run.losses)
    rows: list[tuple[Cell, ...]] = []
    for number, loss in enumerate(run.losses, 1):
        share = 100.0 * loss.pressure_mpa / total if total > 0.0 else 0.0
        kind = "" if loss.kind in loss.name else f" ({loss.kind})"
        note = " by the rule for its kind" if loss.name in run.assumed else ""
        bar = (rectangle(0.0, 0.0, max(0.3, 0.45 * share), 2.6, None, Fill.BLACK),)
        rows.append((Run(str(number), FIGURE),
                     (Run(f"{loss.name}{kind}"), *([Run(note.strip(), SMALL)] if note else [])),
                     Run(f"{minus(loss.pressure_mpa * _KPA, 2)} kPa", FIGURE),
                     Run(f"{minus(share, 0)} %", FIGURE), "", bar))
    rows.append(("", Run("All, in the hotter run", TEXT_BOLD), Run(f"{minus(total * _KPA, 2)} kPa", FIGURE_BOLD),
                 Run("100 %", FIGURE), "", ""))
    flow.table((Column("No.", 0.4), Column("Element, outlet to tail", 2.4), Column("Takes", 1.1, "right"),
                Column("Share", 0.6, "right"), Column("", 0.05), Column("", 1.45)), rows)
    flow.paragraph("The back pressure above is less than their sum where the gas slows as it cools.", SMALL)


def _neighbours(flow: Flow, found: SizeAndHeat) -> None:
    flow.section("What is near, and how hot it gets", 34.0)
    if not found.neighbours:
        flow.paragraph("Nothing that heat harms was found near the pipe, or nobody named it: fuel line, tank, brake "
                       "line, hoses, wiring, rubber, tyres, floor, a wound shaft.", TEXT)
        return
    order = list(Verdict)
    rows: list[tuple[Cell, ...]] = []
    for n in sorted(found.neighbours, key=lambda n: (order.index(n.verdict) == 0, n.limit_k - n.surface_k[1])):
        shield = "none needed" if n.verdict is Verdict.FITS else n.remedy or "shield, or more room"
        rows.append(((Run(n.name, TEXT_BOLD), Run(n.kind, SMALL)), Run(f"{minus(n.distance_mm, 0)} mm", FIGURE),
                     _both(n.surface_k), Run(_celsius(n.limit_k), FIGURE),
                     tuple(verdict_words(n.verdict, (0.0, 0.0))), Run(shield, SMALL)))
    flow.table((Column("What", 1.2), Column("Away from its outside", 0.75, "right"),
                Column("Its surface", 1.15, "right"), Column("Limit", 0.65, "right"), Column("", 1.05),
                Column("Do", 1.2)), rows)
