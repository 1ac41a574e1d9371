"""An order as plain text, to paste into a message: a line for each field, no tables, in both systems of units."""

from collections.abc import Sequence

from trialfit.driveline.order_fields import SHOP, Field, Order, amount_words, half_words
from trialfit.findings import SURE
from trialfit.sheets.lengths import inch, minus, with_doubt
from trialfit.sheets.paper import NOT_AN_APPROVAL, SheetMeta, Stop
from trialfit.units import in_unit

MESSAGE_LIMIT = 4000
"""Letters of one message, less than this; a longer order comes in parts."""
_OTHER = {"N*m": "lbf*ft", "kg": "lb", "km/h": "mph"}
_SIGN = {"N*m": "N\u00b7m", "lbf*ft": "lbf\u00b7ft", "deg": "\u00b0"}
_FINE_MM = 0.5
_SMALL_MM = 6.0
_WITH_ENDS = ("Length", "Slip", "Worked out", "Axle shafts", "One or two pieces")
"""Groups whose lengths name both ends in a message too; elsewhere the name says it."""


def order_stop(order: Order) -> Stop:
    """Whether it may be ordered from, for the bar over the sheet."""
    reason, lift = order.stop_reason
    if not order.may_order:
        return Stop(False, "ordered", reason, lift)
    life = sum(f.life_critical and f.value is not None for f in order.fields)
    reason = f"All {life} answers that somebody's safety hangs on are there, known well enough, and agree."
    return Stop(True, "ordered", reason, "The shop measures again by its own rule.")


def amount(field: Field) -> tuple[str, str]:
    """A field's answer with its doubt (95 %), metric; and in the other system, empty where that is the same.

    Words come back as they are, an answer that is missing as a question mark.
    """
    if field.value is None:
        return "?", ""
    if isinstance(field.value, str):
        return field.value, ""
    unsure = ", doubt not known" if field.sd is None and _doubt_belongs(field) else ""
    if field.unit == "mm":
        fine = abs(field.value) < _SMALL_MM or (field.tolerance is not None and field.tolerance <= _FINE_MM)
        metric = f"{with_doubt(field.value, field.sd)}{unsure}"
        return metric, minus(field.value / 25.4, 3) + " in" if fine else inch(field.value)
    if field.kind == "count":
        return f"{field.value:.0f}", ""
    other = _OTHER.get(field.unit, "")
    return f"{_with_band(field, field.unit)}{unsure}", _with_band(field, other) if other else ""


def _doubt_belongs(field: Field) -> bool:
    return field.tolerance is not None or (field.asked == "derived" and field.unit == "mm")


def _with_band(field: Field, unit: str) -> str:
    """The amount and its band in ``unit``, both to as many digits as the band deserves."""
    value = float(field.value) if isinstance(field.value, float) else 0.0
    sign = _SIGN.get(unit, unit)
    gap = "" if sign == "\u00b0" else " "
    if not field.sd:
        number, _, _ = amount_words(value, unit).partition(" ")
        if unit == "deg":
            number = f"{in_unit(value, unit):.1f}"
        elif unit == "":
            number = f"{value:.2f}"
        return f"{number.replace('-', chr(0x2212))}{gap if sign else ''}{sign}"
    half, _, _ = half_words(SURE * field.sd, unit).partition(" ")
    digits = len(half.partition(".")[2])
    shown = minus(in_unit(value, unit), digits)
    return f"{shown} \u00b1 {half}{gap if sign else ''}{sign}"


def order_messages(order: Order, meta: SheetMeta) -> list[str]:
    """The order as plain text, in parts of less than 4000 letters; most orders are one part.

    Parameters
    ----------
    order : Order
        as it stands, ready or not
    meta : SheetMeta
        build, revision, hash, date and load state

    Returns
    -------
    list of str
        every part begins with what the order is and whether it may be ordered from
    """
    stop = order_stop(order)
    head = f"{order.title}, {meta.build}. {stop.head}."
    lines = [f"{stop.reason} {stop.lift}".strip()] if not stop.ready else []
    lines += _open_lines(order)
    lines += [_line(f) for f in order.fields if f.value is not None]
    asked = [f.name for f in order.fields if f.asked == SHOP]
    if asked:
        lines.append(f"Please answer: {'; '.join(asked)}")
    stamp = f"rev {meta.revision}, file {meta.digest[:6] or 'none'}, {meta.date}, {meta.load_state or 'load not said'}"
    lines += [f"\u00b1 is 95 of 100 cases. {stamp}", NOT_AN_APPROVAL]
    return _parts(head, lines)


def order_text(order: Order, meta: SheetMeta) -> str:
    """The order as one text; parts, where it takes more than one message, stand under each other."""
    return "\n\n".join(order_messages(order, meta))


def _open_lines(order: Order) -> list[str]:
    lines = []
    needed = [f.short for f in order.missing if f.life_critical]
    wished = [f.short for f in order.missing if not f.life_critical]
    if needed:
        lines.append(f"STILL MISSING, no order without: {'; '.join(needed)}")
    if wished:
        lines.append(f"Still missing: {'; '.join(wished)}")
    lines += [f"NOT SURE: {d.reason}" for d in order.doubtful]
    return lines


def _line(field: Field) -> str:
    metric, other = amount(field)
    shown = f"{metric} ({other})" if other else metric
    if field.group in _WITH_ENDS and field.unit == "mm" and field.sentence:
        return f"{field.short}, {field.sentence}: {shown}"
    return f"{field.short}: {shown}"


def _parts(head: str, lines: Sequence[str]) -> list[str]:
    room = MESSAGE_LIMIT - 1 - len(head) - len(" Part 99 of 99.")
    parts: list[list[str]] = [[]]
    for line in lines:
        for piece in _split(line, room - 1):
            if parts[-1] and sum(len(p) + 1 for p in parts[-1]) + len(piece) + 1 > room:
                parts.append([])
            parts[-1].append(piece)
    if len(parts) == 1:
        return ["\n".join([head, *parts[0]])]
    return ["\n".join([f"{head} Part {n} of {len(parts)}.", *part]) for n, part in enumerate(parts, 1)]


def _split(line: str, room: int) -> list[str]:
    """A line too long for any message, broken at blanks."""
    pieces = []
    while len(line) > room:
        cut = line.rfind(" ", 1, room)
        cut = cut if cut > 0 else room
        pieces.append(line[:cut])
        line = line[cut:].lstrip()
    return [*pieces, line]
