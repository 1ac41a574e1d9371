"""What every order sheet has in common: the stop, the questions, the sketch, each length with both ends, the rest."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from trialfit import units
from trialfit.driveline.order_fields import DERIVED, SHOP, Check, Field, Order, half_words
from trialfit.findings import Verdict
from trialfit.sheets.drawing import (
    FIGURE_BOLD,
    SMALL,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Mark,
    rectangle,
)
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.order_text import amount, order_stop
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, number_cell

_SHORT = 24
"""Letters of an answer that leaves room for another beside it."""
_USUAL = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Sketch:
    """A drawing with its origin at its lower left corner, its height [mm], and its scale 1 : n; None when sizes are
    missing and it is not to scale."""

    marks: tuple[Mark, ...]
    height_mm: float
    scale: int | None


def order_page(order: Order, meta: SheetMeta, sketch: Callable[[Order, float], Sketch], drawn: str,
               long_groups: Sequence[str], cautions: Sequence[str]) -> list[Leaf]:
    """The leaves of an order sheet.

    Parameters
    ----------
    order : Order
        the sheet shows this and nothing else
    meta : SheetMeta
        what the foot says, and on which paper
    sketch : callable
        draws the order into a width [mm]
    drawn : str
        what the sketch is, for its head
    long_groups : sequence of str
        groups whose lengths stand in large figures, each with both ends
    cautions : sequence of str
        what stands at the end
    """
    flow = Flow(meta, order.title)
    flow.title(order.title, _under(order))
    flow.stop_bar(order_stop(order))
    _first_questions(flow, order)
    _doubts(flow, order)
    _sketch(flow, order, sketch, drawn)
    _lengths(flow, order, long_groups)
    _checks(flow, order.checks)
    _others(flow, order, long_groups)
    _boxes(flow, "Also asked by the shop", [f.name for f in order.missing if not f.life_critical])
    _boxes(flow, "For the shop to fill in", [f.name for f in order.fields if f.asked == SHOP and f.value is None])
    flow.section("Before it is ordered and fitted", 24.0)
    flow.points(cautions)
    return flow.finish()


def _first_questions(flow: Flow, order: Order) -> None:
    """What stops the order, each with a box and how to get it; the rest is counted here and has its boxes below."""
    flow.still_to_fill_in([f"{f.name}. Do: {f.measure}." for f in order.missing if f.life_critical])
    rest = sum(not f.life_critical for f in order.missing)
    if rest:
        flow.skip(2.0)
        many = "question stands" if rest == 1 else "questions stand"
        flow.paragraph(f"{rest} more {many} under: Also asked by the shop.", SMALL)


def _under(order: Order) -> str:
    told = [order.word("vehicle") or "Vehicle: not said."]
    for key, words in (("at_ride_height", "Measured at ride height"), ("axle_loaded", "Axle loaded")):
        if any(f.key == key for f in order.fields):
            told.append(f"{words}: {order.word(key) or 'not said'}.")
    return f"{told[0].rstrip('.')}. {' '.join(told[1:])}".strip()


def _doubts(flow: Flow, order: Order) -> None:
    if not order.doubtful:
        return
    flow.section("Not known well enough", 16.0)
    flow.points([f"{'STOPS THE ORDER: ' if d.blocks else ''}{_both(d.reason)}. Do: {_both(d.measure)}."
                 for d in order.doubtful])


def _both(text: str) -> str:
    return units.retold(text, "metric", both=True)


def _sketch(flow: Flow, order: Order, sketch: Callable[[Order, float], Sketch], drawn: str) -> None:
    made = sketch(order, flow.wide)
    scale = f"scale 1 : {made.scale} along; yokes and small parts are signs" if made.scale else "not to scale"
    flow.section(f"{drawn}, {scale}", made.height_mm + 2.0)
    flow.drawing(made.marks, made.height_mm)


def _lengths(flow: Flow, order: Order, groups: Sequence[str]) -> None:
    rows: list[tuple[Cell, ...]] = []
    for field in order.fields:
        if field.group in groups and field.unit == "mm" and field.is_number:
            metric, inches = amount(field)
            rows.append((Run(field.name, TEXT_BOLD), _told(field), number_cell(metric, inches)))
    if rows:
        flow.section("Lengths, each with both ends", 36.0)
        flow.paragraph("\u00b1 is what 95 of 100 cases stay within. What is needed is common practice, no source, "
                       "unless another is named.", SMALL)
        flow.table((Column("", 1.35), Column("", 2.85), Column("", 1.8, "right")), rows)


def _told(field: Field) -> tuple[Run, ...]:
    told = [Run(_both(field.sentence), TEXT)] if field.sentence else []
    small = [field.source] if field.source else []
    if field.tolerance is not None and field.asked != DERIVED:
        whose = "" if field.origin == _USUAL else f" ({field.origin})"
        needed = half_words(field.tolerance, field.unit).replace("*", "\u00b7")
        small.append(f"needed to {needed}{whose}")
    return (*told, *([Run("; ".join(small), SMALL)] if small else []))


def _others(flow: Flow, order: Order, groups: Sequence[str]) -> None:
    seen: dict[str, list[Field]] = {}
    for field in order.fields:
        if field.value is None or field.asked == SHOP or (field.group in groups and field.unit == "mm"):
            continue
        seen.setdefault(field.group, []).append(field)
    for group, fields in seen.items():
        flow.section(group, 14.0)
        told = [f for f in fields if _told(f)]
        paired = _pairs(flow, [f for f in fields if not _told(f)])
        if told:
            _join(flow, paired)
            flow.table((Column("", 3.9), Column("", 2.1, "right")),
                       [((Run(f.name, TEXT), *_told(f)), _value(f)) for f in told])


def _value(field: Field) -> Cell:
    metric, other = amount(field)
    if not field.is_number:
        return Run(metric, TEXT_BOLD)
    return Run(metric, FIGURE_BOLD), *([Run(other, SMALL_FIGURE)] if other else [])


def _pairs(flow: Flow, fields: Sequence[Field]) -> bool:
    """Answers without a doubt or an end to name: two beside each other where both are short. True when there are."""
    short = [f for f in fields if len(amount(f)[0]) <= _SHORT]
    long = [f for f in fields if len(amount(f)[0]) > _SHORT]
    rows: list[tuple[Cell, ...]] = []
    for left, right in zip_longest(short[::2], short[1::2]):
        rows.append((left.name, _value(left), *(("", "") if right is None else (right.name, _value(right)))))
    if rows:
        flow.table((Column("", 1.7), Column("", 1.3), Column("", 1.7), Column("", 1.3)), rows)
    if long:
        _join(flow, bool(rows))
        flow.table((Column("", 1.7), Column("", 4.3)), [(f.name, _value(f)) for f in long])
    return bool(fields)


def _join(flow: Flow, after_a_table: bool) -> None:
    """Let the next table's first rule lie on the last one of the table before it."""
    if after_a_table:
        flow.skip(-1.0)


def _checks(flow: Flow, checks: Sequence[Check]) -> None:
    if not checks:
        return
    flow.section("What was looked at, doubt counted", 16.0)
    words = {True: Verdict.FITS, False: Verdict.DOES_NOT_FIT, None: Verdict.CANNOT_TELL}
    rows: list[tuple[Cell, ...]] = [
        (tuple(verdict_words(words[c.holds], (0.0, 0.0))), f"{c.what[:1].upper()}{_both(c.what[1:])}.") for c in checks]
    flow.table((Column("", 1.3), Column("", 4.7)), rows)


def _boxes(flow: Flow, head: str, questions: Sequence[str]) -> None:
    if not questions:
        return
    flow.section(head, 12.0)
    box = (rectangle(0.0, -2.6, flow.right - flow.column(3.0), 3.4, LineKind.THIN),)
    flow.table((Column("", 3.0), Column("", 3.0)), [(question, box) for question in questions])
