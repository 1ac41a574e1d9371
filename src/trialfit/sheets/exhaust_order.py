"""The order to an exhaust shop on paper: the route with its points, the bends, what is on it, and every question."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit import units
from trialfit.driveline.order_fields import DERIVED, SHOP, Field, Order
from trialfit.exhaust.bend_table import BenderTable, TubeRun
from trialfit.exhaust.beside import Beside
from trialfit.exhaust.chain import Chain, Element
from trialfit.findings import Verdict
from trialfit.sheets.bender_sheet import points_table, sense_section, tube_runs_tables
from trialfit.sheets.drawing import (
    FIGURE_BOLD,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    rectangle,
    scale_for,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.lengths import minus
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.order_text import amount, order_stop
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf
from trialfit.sheets.picture import View, band

Floats = NDArray[np.float64]

CAUTIONS = (
    (
        "Carbon monoxide cannot be smelt and kills. Every joint tight ahead of and under the cabin, the tail beyond "
        "every window that opens, and a leak test before the vehicle goes back."
    ),
    (
        "The shop measures the vehicle again, through the travel of the axle and with the engine rocked on its mounts, "
        "before it welds. Sizes here come from a tape."
    ),
    "No welding within reach of fuel, brake lines or wiring; battery off; no earth through bearings.",
    "No zinc-coated tube or flange: its fumes poison, and it burns off.",
    "Local codes decide on noise, emissions, catalysts and where the tail ends. Ask before ordering.",
)
DRAWN = ("points", "bends", "parts", "joints", "has_parts", "has_catalyst", "sections")
"""Derived fields of the list that stand on the sheet as drawing or table of their own."""
_SHORT = 40
_ZERO_K = 273.15


def exhaust_order_leaves(order: Order, chain: Chain, bends: BenderTable | None, meta: SheetMeta,
                         runs: Sequence[TubeRun] = (), beside: Sequence[Beside] = ()) -> list[Leaf]:  # fmt: skip
    """The leaves of :func:`exhaust_order_sheet`."""
    if order.kind != "exhaust_shop":
        raise ValueError(f"this is a {order.kind} order; the exhaust sheet draws an exhaust_shop order")

    def route(flow: Flow) -> None:
        _sketch(flow, chain)
        if bends is not None:
            tube_runs_tables(flow, runs)
            sense_section(flow)
            points_table(flow, bends)
        _parts(flow, chain, beside)
        _sections(flow, order)

    return shop_leaves(order, meta, CAUTIONS, DRAWN, route, "All tube sizes are outside diameters.")


def exhaust_order_sheet(order: Order, chain: Chain, bends: BenderTable | None, meta: SheetMeta,
                        runs: Sequence[TubeRun] = (), beside: Sequence[Beside] = ()) -> bytes:  # fmt: skip
    """The order to the exhaust shop as PDF.

    Parameters
    ----------
    order : Order
        of the exhaust-shop kind
    chain : Chain
        the route it is for
    bends : BenderTable or None
        None for a straight pipe
    meta : SheetMeta
        what the foot says, and on which paper
    runs : sequence of TubeRun
        of tube between the parts, each with its own table
    beside : sequence of Beside
        branches and cones

    Raises
    ------
    ValueError
        for an order of another kind
    """
    return pdf(exhaust_order_leaves(order, chain, bends, meta, runs, beside),
               f"{meta.build}: exhaust order, {chain.route}")


# -- what the orders of this kind share -------------------------------------------------------------------------


def shop_leaves(order: Order, meta: SheetMeta, cautions: Sequence[str], drawn: Sequence[str] = (),
                between: Callable[[Flow], None] | None = None, under: str = "") -> list[Leaf]:  # fmt: skip
    """An order whose answers are mostly words: the stop, the questions, what ``between`` draws, then every answer.

    Parameters
    ----------
    order : Order
    meta : SheetMeta
    cautions : sequence of str
        what stands at the end
    drawn : sequence of str
        fields that ``between`` shows
    between : callable or None
        sets drawings and tables of its own
    under : str
        said under the title, after the vehicle
    """
    flow = Flow(meta, order.title)
    vehicle = order.word("vehicle") or "Vehicle: not said"
    flow.title(order.title, f"{vehicle.rstrip('.')}. {under}".strip())
    flow.stop_bar(order_stop(order))
    flow.still_to_fill_in([_question(f) for f in order.missing if f.life_critical])
    rest = [f for f in order.missing if not f.life_critical]
    if rest:
        flow.skip(2.0)
        many = "question stands" if len(rest) == 1 else "questions stand"
        flow.paragraph(f"{len(rest)} more {many} under: Also asked by the shop.", SMALL)
    if order.doubtful:
        flow.section("Not settled", 16.0)
        flow.points([f"{'STOPS THE ORDER: ' if d.blocks else ''}{_both(_capital(d.reason))}. Do: {_both(d.measure)}."
                     for d in order.doubtful])
    if between is not None:
        between(flow)
    _answers(flow, order, drawn)
    _checks(flow, order)
    _boxes(flow, "Also asked by the shop", [_question(f) for f in rest])
    _boxes(flow, "For the shop to fill in", [f.name for f in order.fields if f.asked == SHOP and f.value is None])
    flow.section("Before it is ordered and fitted", 24.0)
    flow.points(cautions)
    return flow.finish()


def _question(field: Field) -> str:
    return f"{field.name}. Do: {field.measure}." if field.measure else f"{field.name}."


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _both(text: str) -> str:
    return units.retold(text, "metric", both=True)


def _answers(flow: Flow, order: Order, drawn: Sequence[str]) -> None:
    groups: dict[str, list[Field]] = {}
    for field in order.fields:
        if field.value is not None and field.asked != SHOP and field.key not in drawn:
            groups.setdefault(field.group, []).append(field)
    for group, fields in groups.items():
        flow.section(group, 16.0)
        flow.table((Column("", 2.6), Column("", 3.4)), [(_named(f), _value(f)) for f in fields])


def _named(field: Field) -> Cell:
    small = [Run(field.sentence, SMALL)] if field.sentence else []
    return (Run(field.name, TEXT), *small)


def _value(field: Field) -> Cell:
    metric, other = amount(field)
    source = [Run(field.source, SMALL)] if field.source else []
    if not field.is_number:
        parts = metric.split("; ") if field.asked == DERIVED else [metric]
        return (*(Run(part, TEXT_BOLD if len(metric) <= _SHORT else TEXT) for part in parts), *source)
    if field.unit == "degC" and isinstance(field.value, float):
        celsius = field.value - _ZERO_K
        return (Run(f"{minus(celsius, 0)} \u00b0C", FIGURE_BOLD),
                Run(f"{minus(1.8 * celsius + 32.0, 0)} \u00b0F", SMALL_FIGURE), *source)
    return (Run(metric, FIGURE_BOLD), *([Run(other, SMALL_FIGURE)] if other else []), *source)


def _checks(flow: Flow, order: Order) -> None:
    if not order.checks:
        return
    flow.section("What was looked at", 16.0)
    words = {True: Verdict.FITS, False: Verdict.DOES_NOT_FIT, None: Verdict.CANNOT_TELL}
    rows: list[tuple[Cell, ...]] = [
        (tuple(verdict_words(words[c.holds], (0.0, 0.0))), f"{_capital(c.what)}.") for c in order.checks]
    flow.table((Column("", 1.3), Column("", 4.7)), rows)


def _boxes(flow: Flow, head: str, questions: Sequence[str]) -> None:
    if not questions:
        return
    flow.section(head, 12.0)
    box = (rectangle(0.0, -2.6, flow.right - flow.column(3.0), 3.4, LineKind.THIN),)
    flow.table((Column("", 3.0), Column("", 3.0)), [(question, box) for question in questions])


# -- the route --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RoutePicture:
    """A drawing of the route in two views: its marks, its height on paper [mm], and its scale 1 : n."""

    marks: tuple[Mark, ...]
    high_mm: float
    scale: int


def _line_of(element: Element) -> Floats:
    """Centre line of an element, shape (n, 3) [mm]; a bend as an arc, a pie cut as the bend it stands for."""
    if element.turn_rad <= 0.0:
        return np.vstack([element.start, element.end])
    axis = np.cross(element.way_in, element.way_out)
    axis = axis / np.linalg.norm(axis)
    inward = np.cross(axis, element.way_in)
    centre = element.start + element.radius_mm * inward
    angles = np.linspace(0.0, element.turn_rad, 13)
    arc: Floats = np.array([centre + element.radius_mm * (np.sin(a) * element.way_in - np.cos(a) * inward)
                            for a in angles])
    return arc


def route_picture(chain: Chain, wide: float, room_high: float = 120.0) -> RoutePicture:
    """The pipe with its parts from the left and from below, to one scale, joints and parts named.

    Parameters
    ----------
    chain : Chain
    wide, room_high : float
        paper it may take [mm]
    """
    line3 = np.vstack([_line_of(e) for e in chain.elements])
    r = max(max(e.outside_mm, e.width_mm, e.height_mm) for e in chain.elements) / 2.0
    spans = [(float(line3[:, v].min()) - r, float(line3[:, v].max()) + r) for v in range(3)]
    room = 13.0
    deep = spans[2][1] - spans[2][0] + spans[1][1] - spans[1][0]
    scale = scale_for(spans[0][1] - spans[0][0], deep, wide - 24.0, room_high - 4.0 * room)
    high = deep / scale + 4.0 * room
    x = (wide - (spans[0][1] - spans[0][0]) / scale) / 2.0
    base = high - room - (spans[2][1] - spans[2][0]) / scale
    side = View(scale, spans[0][0], spans[2][0], (x, base), 1)
    plan = View(scale, spans[0][0], spans[1][0], (x, base - 2.0 * room), -1)
    marks = [*_view(chain, side, 2, (0.0, base - room, wide, high), "From the car's left, nose to the left"),
             *_view(chain, plan, 1, (0.0, 0.0, wide, base - room),
                    "From below, nose to the left, car's right side at the bottom")]
    return RoutePicture(tuple(marks), high, scale)


def _view(chain: Chain, view: View, v: int, frame: Frame, head: str) -> list[Mark]:
    words = Words((frame[0], frame[3] - 3.6), head, SMALL)
    marks: list[Mark] = []
    parts: list[Mark] = []
    labels: list[Label] = []
    axis: list[Point] = []
    for e in chain.elements:
        points = [view.place(float(p[0]), float(p[v])) for p in _line_of(e)]
        axis += points
        if e.is_part:
            parts += _body(e, points, view.scale, v)
            middle = ((points[0][0] + points[-1][0]) / 2.0, (points[0][1] + points[-1][1]) / 2.0)
            labels.append(Label(middle, ((e.name, SMALL_BOLD),), dot=False, framed=True))
    marks += [*band(axis, chain.elements[0].outside_mm / view.scale), *parts, Stroke(tuple(axis), LineKind.CENTRE)]
    labels.append(Label(axis[0], (("outlet", SMALL_BOLD),), dot=True))
    labels.append(Label(axis[-1], (("tail", SMALL_BOLD),), dot=True))
    placed = place(labels, frame, points_along(marks, 1.0), [words.box(0.5)])
    return [words, *marks, *placed.marks]


def _body(e: Element, points: Sequence[Point], scale: float, v: int) -> list[Mark]:
    """A part's body as wide as it is seen from this side."""
    (ax, ay), (bx, by) = points[0], points[-1]
    long = float(np.hypot(bx - ax, by - ay))
    if long < 0.05:
        return []
    wide = e.outside_mm
    if e.width_mm > 0.0:
        # how far the body's rounded section reaches across this view
        across = 1.0 if e.wide is None else abs(float(e.wide[v]))
        wide = e.height_mm + (e.width_mm - e.height_mm) * across
    nx, ny = -(by - ay) / long * wide / scale / 2.0, (bx - ax) / long * wide / scale / 2.0
    run = ((ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny), (ax - nx, ay - ny))
    return [Stroke(run, LineKind.OUTLINE, True, Fill.TINT)]


def _sketch(flow: Flow, chain: Chain) -> None:
    picture = route_picture(chain, flow.wide)
    flow.section(f"The route, scale 1 : {picture.scale}", picture.high_mm + 4.0)
    flow.drawing(picture.marks, picture.high_mm)


def _parts(flow: Flow, chain: Chain, beside: Sequence[Beside]) -> None:
    parts = [e for e in chain.elements if e.is_part]
    if not parts and not beside:
        return
    flow.section("On the pipe", 30.0)
    flow.paragraph("Places are along the centre line from the outlet face to the part's two faces.", SMALL)
    rows: list[tuple[Cell, ...]] = []
    for e in parts:
        body = f"\u00d8 {e.width_mm:.0f} mm" if abs(e.width_mm - e.height_mm) < 0.5 else (
            f"{e.width_mm:.0f} \u00d7 {e.height_mm:.0f} mm")
        mass = "not weighed" if e.mass_kg is None else f"{e.mass_kg:.1f} kg"
        kind = [] if e.kind in e.name else [Run(e.kind, SMALL)]
        rows.append(((Run(e.name, TEXT_BOLD), *kind), Run(f"{e.from_mm:.0f} to {e.to_mm:.0f} mm", FIGURE_BOLD), body,
                     mass))
    for b in beside:
        words = b.words.removeprefix(f"{b.name}: ")
        rows.append(((Run(b.name, TEXT_BOLD), *([] if b.kind in b.name else [Run(b.kind, SMALL)])),
                     Run(f"{b.at_mm:.0f} mm", FIGURE_BOLD), Run(_both(words), SMALL), f"{b.mass_kg:.2f} kg"))
    flow.table((Column("What", 1.5), Column("Where", 1.6, "right"), Column("Body", 2.1, "right"),
                Column("Mass", 0.8, "right")), rows)


def _sections(flow: Flow, order: Order) -> None:
    told = order.word("sections")
    if not told:
        return
    flow.section("What comes off in one piece", 20.0)
    flow.paragraph("Along the centre line from the outlet face.", SMALL)
    flow.points(told.split("; "))
