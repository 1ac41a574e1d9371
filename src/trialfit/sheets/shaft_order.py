"""The driveshaft order on paper: the shaft from its side, every dimension a number of the order."""

from dataclasses import dataclass

from trialfit.driveline.order_fields import Order
from trialfit.sheets.dimensions import aligned, leader
from trialfit.sheets.drawing import (
    CUT_NUMBER,
    SMALL,
    SMALL_FIGURE,
    TEXT_BOLD,
    Circle,
    Fill,
    Leaf,
    LineKind,
    Mark,
    Stroke,
    Style,
    Words,
    line,
    rectangle,
    scale_for,
)
from trialfit.sheets.order_page import Sketch, order_page
from trialfit.sheets.order_text import amount
from trialfit.sheets.paper import SheetMeta
from trialfit.sheets.pdf import pdf

LONG_GROUPS = ("Length", "Slip", "Worked out", "One or two pieces")
CAUTIONS = (
    ("A shaft that is too long breaks the gearbox at full bump; one that is too short pulls out at full droop, falls, "
     "and can lift the vehicle. Check both ends of the travel on the vehicle, springs off, before the first run."),
    ("The shop measures again by its own rule before it cuts, and its word on joints, tube and critical speed goes "
     "before this sheet."),
    ("Yokes of the shaft in line, phase marks painted before it is taken apart, new bolts at the torque of their "
     "sheet, and a retainer loop where local codes or rules ask for one: never fixed to floor sheet alone."),
    ("Vehicle on stands on firm level ground, wheels chocked, gearbox in neutral, before anybody goes under it. Never "
     "on a jack alone; nobody near a shaft that turns."),
    "Local codes decide who may change and approve a driveline. Ask before ordering.",
)


def shaft_order_leaves(order: Order, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`shaft_order_sheet`."""
    if order.kind != "driveshaft":
        raise ValueError(f"this is a {order.kind} order; the driveshaft sheet draws a driveshaft order")
    return order_page(order, meta, shaft_sketch, "The shaft from its side", LONG_GROUPS, CAUTIONS)


def shaft_order_sheet(order: Order, meta: SheetMeta) -> bytes:
    """The driveshaft order as PDF.

    Parameters
    ----------
    order : Order
        of the driveshaft kind
    meta : SheetMeta
        what the foot says, and on which paper

    Raises
    ------
    ValueError
        for an order of another kind
    """
    return pdf(shaft_order_leaves(order, meta), f"{meta.build}: driveshaft order")


# -- the sketch -------------------------------------------------------------------------------------------------

_STEP_MM = 9.0
_SIDE_MM = 15.0
_JOINT_MM = 1.9
_SHORT_MM = 125.0
"""A shaft shorter than this on paper has no room for words from both ends at one height."""


@dataclass(frozen=True, slots=True)
class _Places:
    """Stations along the shaft on paper [mm]: seal face, yoke's joint when bottomed, joints, flange faces, and the
    tube's ends; None where the shaft has no such thing. ``y`` is its axis, ``r`` half the tube's thickness, ``wide``
    the room from nought to the right."""

    seal: float | None
    bottomed: float | None
    a: float
    b: float
    c: float | None
    front_face: float | None
    rear_face: float | None
    bearing: float | None
    y: float
    r: float
    scale: float
    wide: float


def shaft_sketch(order: Order, wide: float) -> Sketch:
    """The shaft in a width of ``wide`` [mm]; what is not known is drawn with usual sizes and a question mark."""
    rows = [key for key in ("length_seal", "length_bump", "length_droop", "length_bottomed") if
            order.number(key) is not None]
    two = order.layout == "two pieces"
    size = _sizes(order)
    true = all(order.number(key) is not None for key in _must(order))
    scale = float(scale_for(size["long"], 1.0, wide - 2.0 * _SIDE_MM, 1.0))
    below = 26.0 + max(2.4, size["tube"] / scale / 2.0) + _STEP_MM * (len(rows) + 2.0 * two)
    below += 0.0 if order.layout == "slip yoke" else 5.0
    where = _placed(order, size, scale, below, wide)
    marks = _shaft(where, order)
    marks += _names(where)
    marks += _sizes_beside(where, order)
    marks += _below(where, order, rows)
    above = where.r + (34.0 if where.b - where.a < _SHORT_MM else 27.0)
    return Sketch(tuple(marks), below + above, int(scale) if true else None)


def _must(order: Order) -> tuple[str, ...]:
    if order.layout == "slip yoke":
        return _built(order), "bottomed_position", "pull_back"
    return ("front_shaft_length", "length_at_ride") if order.layout == "two pieces" else ("length_at_ride",)


def _built(order: Order) -> str:
    """The length that is built: given between the joints, or worked out from the gearbox's seal."""
    return "shaft_length" if order.word("length_reference") == "seal to joint centre" else "length_at_ride"


def _or(value: float | None, usual: float) -> float:
    return usual if value is None else value


def _sizes(order: Order) -> dict[str, float]:
    """Lengths the drawing needs [mm]; usual ones where the order has none (the sheet then says: not to scale)."""
    n = order.number
    main = _or(n(_built(order)), 1300.0)
    front = _or(n("front_shaft_length"), 700.0) if order.layout == "two pieces" else 0.0
    has_seal = order.word("front_end_type") == "slip yoke"
    pull = n("pull_back") if order.layout == "slip yoke" else n("front_pull_back")
    bottomed = _or(n("bottomed_position"), 80.0) if has_seal else 0.0
    out = _or(pull, 25.0) if has_seal else 0.0
    head = bottomed + out if has_seal else _or(n("front_face_to_joint"), 45.0)
    tail = _or(n("rear_face_to_joint"), 45.0)
    tube = _or(n("tube_diameter"), _or(n("max_tube_diameter"), 76.0))
    return {"main": main, "front": front, "head": head, "tail": tail, "bottomed": bottomed, "out": out, "tube": tube,
            "long": main + front + head + tail + max(0.0, _or(n("plunge_out"), 0.0))}


def _placed(order: Order, size: dict[str, float], scale: float, y: float, wide: float) -> _Places:
    faces = order.word("length_reference") == "face to face" and order.layout == "slip joint"
    seal = _SIDE_MM if order.word("front_end_type") == "slip yoke" else None
    start = _SIDE_MM + size["head"] / scale
    if faces:
        # the length goes from face to face: the joints lie inside it
        end = _SIDE_MM + size["main"] / scale
        return _Places(None, None, start, end - size["tail"] / scale, None, _SIDE_MM, end, None, y,
                       max(2.4, size["tube"] / scale / 2.0), scale, wide)
    c = start + size["front"] / scale if order.layout == "two pieces" else None
    b = (start if c is None else c) + size["main"] / scale
    bearing = order.number("bearing_position")
    flange = order.word("front_end_type") in ("flange", "flexible coupling")
    return _Places(
        seal, None if seal is None else seal + size["bottomed"] / scale, start, b, c,
        _SIDE_MM if flange else None, b + size["tail"] / scale if order.word("rear_end_type") == "flange" else None,
        None if bearing is None else start + bearing / scale, y, max(2.4, size["tube"] / scale / 2.0), scale, wide)


def _shaft(at: _Places, order: Order) -> list[Mark]:
    marks: list[Mark] = []
    slip_front = order.layout == "slip yoke"
    if at.c is None:
        marks += _run(at, at.a, at.b, not slip_front)
    else:
        marks += _run(at, at.a, at.c - 2.0, False)
        marks += _run(at, at.c, at.b, True)
        bearing = at.c - 8.0 if at.bearing is None else at.bearing
        marks += [rectangle(bearing - 1.6, at.y - at.r - 3.0, bearing + 1.6, at.y + at.r + 3.0, LineKind.OUTLINE,
                            Fill.TINT)]
    for face, joint in ((at.front_face, at.a), (at.rear_face, at.b)):
        if face is not None:
            inner = 1.2 if face < joint else -1.2
            marks += [rectangle(min(face, face + inner), at.y - at.r - 1.4, max(face, face + inner), at.y + at.r + 1.4,
                                LineKind.OUTLINE, Fill.WHITE),
                      line((face + inner, at.y), (joint, at.y), LineKind.OUTLINE)]
    if at.seal is not None:
        barrel = at.r * 0.55
        marks += [rectangle(at.seal - 8.0, at.y - at.r - 2.5, at.seal, at.y + at.r + 2.5, LineKind.OUTLINE, Fill.TINT),
                  rectangle(at.seal, at.y - barrel, max(at.seal + 1.0, at.a - 3.0), at.y + barrel, LineKind.OUTLINE)]
    ends = [x for x in (at.seal, at.front_face, at.a) if x is not None]
    right = at.b if at.rear_face is None else at.rear_face
    marks.append(line((min(ends) - 11.0, at.y), (right + 6.0, at.y), LineKind.CENTRE))
    for x in (at.a, at.b, *(() if at.c is None else (at.c,))):
        marks.append(Circle((x, at.y), _JOINT_MM, LineKind.OUTLINE, Fill.WHITE))
        marks += [line((x - 1.0, at.y), (x + 1.0, at.y)), line((x, at.y - 1.0), (x, at.y + 1.0))]
    if at.bottomed is not None and at.a - at.bottomed > 0.3:
        marks.append(Circle((at.bottomed, at.y), _JOINT_MM, LineKind.GHOST))
    return marks


def _run(at: _Places, start: float, end: float, slips: bool) -> list[Mark]:
    """One shaft between two joints: yokes, tube, its slip joint, and the phase marks on it."""
    marks: list[Mark] = []
    yoke = min(7.0, (end - start) / 5.0)
    tube = start + yoke + (9.0 if slips else 0.0)
    for x, way in ((start, 1.0), (end, -1.0)):
        for side in (1.0, -1.0):
            marks.append(line((x, at.y + side * (_JOINT_MM + 0.6)), (x + way * yoke, at.y + side * at.r * 0.9),
                              LineKind.OUTLINE))
    if slips:
        marks.append(rectangle(start + yoke, at.y - at.r * 0.6, tube, at.y + at.r * 0.6, LineKind.OUTLINE))
    marks.append(rectangle(tube, at.y - at.r, end - yoke, at.y + at.r, LineKind.OUTLINE))
    for x in (tube + 1.6, end - yoke - 1.6):
        marks.append(Stroke(((x - 0.9, at.y - at.r - 0.3), (x + 0.9, at.y - at.r - 0.3), (x, at.y - at.r + 1.4)), None,
                            True, Fill.BLACK))
    return marks


def _names(at: _Places) -> list[Mark]:
    up = at.y + at.r + 3.4
    marks: list[Mark] = [Words((at.a + 1.4, up), "A", TEXT_BOLD), Words((at.b - 1.4, up), "B", TEXT_BOLD, "right")]
    if at.c is not None:
        marks.append(Words((at.c + 1.4, up), "C", TEXT_BOLD))
    if at.seal is not None:
        marks.append(Words((at.seal - 4.0, at.y - at.r - 6.4), "seal", SMALL, "centre"))
    if at.rear_face is not None:
        marks.append(Words((at.rear_face + 1.4, at.y - at.r - 5.0), "face", SMALL))
    if at.front_face is not None:
        marks.append(Words((at.front_face - 1.4, at.y - at.r - 5.0), "face", SMALL, "right"))
    return marks


def _label(order: Order, key: str, name: str = "") -> str:
    if order.number(key) is None:
        return f"{name}: ?" if name else "?"
    metric, _ = amount(order.field(key))
    return f"{name}: {metric}" if name else metric


def tube_words(order: Order) -> str:
    """What stands at the tube: its size where one is wanted, else the thickest that clears."""
    if order.number("tube_diameter") is not None:
        wall = f" \u00d7 {_label(order, 'tube_wall')}" if order.number("tube_wall") is not None else ""
        return f"\u00d8 {_label(order, 'tube_diameter')}{wall}"
    if order.number("max_tube_diameter") is not None:
        return f"\u00d8 at most {_label(order, 'max_tube_diameter')}"
    return "\u00d8 ?"


def _sizes_beside(at: _Places, order: Order) -> list[Mark]:
    """Tube and flange sizes over the shaft, phase marks and an inner slip joint under it."""
    top = at.y + at.r
    start = at.a if at.c is None else at.c
    words = tube_words(order)
    knee = min((start + at.b) / 2.0 - 10.0, at.b - 8.0 - SMALL_FIGURE.width(words))
    marks = leader((knee - 6.0, top), (knee, top + (8.4 if at.b - start < _SHORT_MM else 4.0)), words)
    # in two pieces the marks are pointed out on the longer one
    begin, end = (start, at.b) if at.c is None or at.b - at.c > at.c - at.a else (at.a, at.c - 2.0)
    last = end - min(7.0, (end - begin) / 5.0) - 1.6
    marks += leader((last, at.y - at.r - 0.4), (last - 5.0, at.y - at.r - 5.2), "phase marks, in line", arrow=False)
    if order.layout == "slip yoke" and at.seal is not None and at.bottomed is not None:
        marks += _over(at, at.seal, at.bottomed, 14.0, _label(order, "bottomed_position", "bottomed"))
        marks += _over(at, at.bottomed, at.a, 21.0, _label(order, "pull_back", "pulled out"))
    elif order.number("pull_back") is not None:
        low, short = at.y - at.r, at.b - start < _SHORT_MM
        marks += leader((start + 11.0, at.y - at.r * 0.6), (start + (12.0 if short else 16.0), low - 11.0),
                        _label(order, "pull_back", "slip out" if short else "slip pulled out"))
    if at.front_face is not None and order.number("front_face_to_joint") is not None:
        marks += _over(at, at.front_face, at.a, 14.0, _label(order, "front_face_to_joint", "face to A"))
    if at.rear_face is not None and order.number("rear_face_to_joint") is not None:
        up = 28.0 if at.b - at.a < _SHORT_MM else 14.0
        marks += _under_words(at, at.b, at.rear_face, up, _label(order, "rear_face_to_joint", "B to face"))
    return marks


def _over(at: _Places, a: float, b: float, up: float, words: str) -> list[Mark]:
    if b - a < 0.05:
        return []
    return aligned((a, at.y + at.r), (b, at.y + at.r), up, words)


def _under_words(at: _Places, a: float, b: float, up: float, words: str) -> list[Mark]:
    """A short dimension at the right end: its words stand on its left, where there is room."""
    return aligned((b, at.y + at.r), (a, at.y + at.r), -up, words)


def _below(at: _Places, order: Order, rows: list[str]) -> list[Mark]:
    """Lengths under the shaft, the one to build at the top in large figures."""
    marks: list[Mark] = []
    down = at.r + (16.0 if order.layout == "slip yoke" else 21.0)
    faces = order.word("length_reference") == "face to face" and order.layout == "slip joint"
    rear = at.rear_face if faces and at.rear_face is not None else at.b
    front = at.front_face if faces and at.front_face is not None else at.a
    if at.c is not None:
        marks += _large(at, at.c, at.b, down, order, "length_at_ride")
        down += _STEP_MM + 3.0
        marks += _dimension(at, at.a, at.c, down, _label(order, "front_shaft_length", "A to C"))
        if at.bearing is not None:
            down += _STEP_MM
            marks += _dimension(at, at.a, at.bearing, down, _label(order, "bearing_position", "bearing"))
        front = at.c
    elif order.layout == "slip yoke":
        marks += _large(at, front, rear, down, order, _built(order))
        front = front if at.seal is None else at.seal
    else:
        marks += _large(at, front, rear, down, order, "length_at_ride")
    down += 3.0
    words = {"length_seal": "ride height", "length_bump": "full bump", "length_droop": "full droop",
             "length_bottomed": "bottomed"}
    for key in rows:
        value = order.number(key)
        if value is not None:
            down += _STEP_MM
            marks += _dimension(at, front, front + value / at.scale, down, _label(order, key, words[key]))
    return marks


def _dimension(at: _Places, a: float, b: float, down: float, words: str, style: Style = SMALL_FIGURE) -> list[Mark]:
    """A dimension under the shaft; words that do not go between its arrows stand on the side that has room."""
    long = style.width(words)
    if b - a < long + 8.0 and b + long + 10.0 > at.wide:
        return aligned((b, at.y), (a, at.y), down, words, style)
    return aligned((a, at.y), (b, at.y), -down, words, style)


def _large(at: _Places, a: float, b: float, down: float, order: Order, key: str) -> list[Mark]:
    """The length to build in large figures, its inches under it."""
    marks = _dimension(at, a, b, down, _label(order, key), CUT_NUMBER)
    if order.number(key) is not None:
        number = next(m for m in marks if isinstance(m, Words))
        marks.append(Words((number.at[0], at.y - down - 6.6), amount(order.field(key))[1], SMALL_FIGURE, "centre",
                           patch=True))
    return marks
