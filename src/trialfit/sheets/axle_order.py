"""The differential order on paper: ring gear and axle shafts from above, every dimension a number of the order."""

from trialfit.driveline.order_fields import Order
from trialfit.sheets.dimensions import aligned, leader
from trialfit.sheets.drawing import (
    SMALL,
    SMALL_FIGURE,
    Fill,
    Leaf,
    LineKind,
    Mark,
    Stroke,
    Words,
    arrowhead,
    line,
    rectangle,
    scale_for,
)
from trialfit.sheets.order_page import Sketch, order_page
from trialfit.sheets.order_text import amount
from trialfit.sheets.paper import SheetMeta, fitted
from trialfit.sheets.pdf import pdf

LONG_GROUPS = ("Axle", "Axle shafts")
CAUTIONS = (
    ("Gears, bearings or shafts that come apart lock a wheel or let it leave the vehicle. The work belongs to a "
     "differential shop, with its own sheet of backlash, preload, pattern and torque sent back with the axle."),
    ("Axle shafts are not welded, cut or bent. A housing that was welded is checked with a bar through both ends "
     "before gears go in."),
    "C-clip shafts: the wheel is held by the clip alone. Wear of clip, groove or button is a reason to stop.",
    "Drained, plugged and strapped down for the way. Two people or a hoist: an axle crushes hands.",
    ("After it is back: the right oil before it turns, break-in by the gear maker's sheet, and a look for leaks and "
     "heat."),
    "Local codes decide who may change and approve an axle. Ask before ordering.",
)


def axle_order_leaves(order: Order, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`axle_order_sheet`."""
    if order.kind != "differential":
        raise ValueError(f"this is a {order.kind} order; the differential sheet draws a differential order")
    return order_page(order, meta, axle_sketch, "The axle from above, front up", LONG_GROUPS,
                      CAUTIONS)


def axle_order_sheet(order: Order, meta: SheetMeta) -> bytes:
    """The order to the differential shop as PDF.

    Parameters
    ----------
    order : Order
        of the differential kind
    meta : SheetMeta
        what the foot says, and on which paper

    Raises
    ------
    ValueError
        for an order of another kind
    """
    return pdf(axle_order_leaves(order, meta), f"{meta.build}: differential order")


_SIDE_MM = 4.0
_USUAL_MM = {"ring_gear_diameter": 220.0, "left_shaft_length": 750.0, "right_shaft_length": 750.0,
             "shaft_spline_diameter": 32.0}


def axle_sketch(order: Order, wide: float) -> Sketch:
    """Ring gear on edge, pinion and both axle shafts in a width of ``wide`` [mm]; what is not known is drawn with
    usual sizes and a question mark. Where the shafts meet is a sign, not a size."""
    known = {key: order.number(key) for key in _USUAL_MM}
    size = {key: _USUAL_MM[key] if value is None else value for key, value in known.items()}
    scale = scale_for(size["left_shaft_length"] + size["right_shaft_length"], 1.0, wide - 2.0 * _SIDE_MM, 1.0)
    ring = size["ring_gear_diameter"] / scale
    left, right = size["left_shaft_length"] / scale, size["right_shaft_length"] / scale
    y = 17.0 + ring / 2.0
    high = y + ring / 2.0 + 21.0
    start = (wide - left - right) / 2.0
    meet, end = start + left, start + left + right
    thick = max(1.6, size["shaft_spline_diameter"] / scale)
    marks: list[Mark] = []
    marks += _shaft(start, meet - 0.4, y, thick, -1.0)
    marks += _shaft(meet + 0.4, end, y, thick, 1.0)
    at = meet - 7.0
    teeth = ((at - 1.8, y - ring / 2.0), (at + 1.0, y - ring / 2.0), (at + 2.6, y - ring / 2.0 + 2.0),
             (at + 2.6, y + ring / 2.0 - 2.0), (at + 1.0, y + ring / 2.0), (at - 1.8, y + ring / 2.0))
    marks.append(Stroke(teeth, LineKind.OUTLINE, True, Fill.TINT))
    nose = y + ring / 2.0 + 9.0
    marks += [rectangle(meet - 3.6, y + ring / 4.0, meet + 3.6, y + ring / 2.0 - 0.6, LineKind.OUTLINE, Fill.WHITE),
              rectangle(meet - 1.6, y + ring / 2.0 - 0.6, meet + 1.6, nose, LineKind.OUTLINE, Fill.WHITE),
              rectangle(meet - 4.5, nose, meet + 4.5, nose + 1.6, LineKind.OUTLINE, Fill.WHITE),
              line((start - 3.0, y), (end + 3.0, y), LineKind.CENTRE),
              line((meet, y - ring / 2.0 - 3.0), (meet, nose + 4.0), LineKind.CENTRE)]
    yoke = fitted(order.word("yoke") or "yoke or flange: ?", SMALL_FIGURE, wide - meet - 16.0)
    marks += leader((meet + 4.5, nose + 0.8), (meet + 12.0, nose + 1.6), yoke)
    marks += leader((meet + 5.0, y + thick / 2.0), (meet + 14.0, y + 9.0),
                    f"splines {_splines(order)}\u00d8 {_label(order, 'shaft_spline_diameter')}")
    marks += _upright(at - 1.8, y - ring / 2.0, y + ring / 2.0, f"\u00d8 {_label(order, 'ring_gear_diameter')}")
    down = ring / 2.0 + 12.0
    marks += aligned((start, y), (meet, y), -down, f"left: {_label(order, 'left_shaft_length')}")
    marks += aligned((meet, y), (end, y), -down, f"right: {_label(order, 'right_shaft_length')}")
    marks.append(Words((start + 2.0, y - 11.0), "left wheel flange", SMALL))
    marks.append(Words((end - 2.0, y - 11.0), "right wheel flange", SMALL, "right"))
    true = all(value is not None for key, value in known.items() if key != "shaft_spline_diameter")
    return Sketch(tuple(marks), high, scale if true else None)


def _upright(x: float, low: float, high: float, words: str) -> list[Mark]:
    """Height of the ring gear on paper: its dimension to the left, the words lying beside it over the shaft."""
    at = x - 6.0
    return [line((x - 0.8, low), (at - 1.6, low)), line((x - 0.8, high), (at - 1.6, high)), line((at, low), (at, high)),
            arrowhead((at, low), (0.0, -1.0)), arrowhead((at, high), (0.0, 1.0)),
            Words((at - 2.0, high - 4.2), words, SMALL_FIGURE, "right")]


def _splines(order: Order) -> str:
    count = order.number("shaft_splines")
    return "" if count is None else f"{count:.0f}, "


def _label(order: Order, key: str) -> str:
    return "?" if order.number(key) is None else amount(order.field(key))[0]


def _shaft(left: float, right: float, y: float, thick: float, flange_side: float) -> list[Mark]:
    """One axle shaft, its wheel flange at its outer end."""
    outer = right if flange_side > 0.0 else left
    inward = -1.4 * flange_side
    return [rectangle(left, y - thick / 2.0, right, y + thick / 2.0, LineKind.OUTLINE, Fill.WHITE),
            rectangle(min(outer, outer + inward), y - 7.0, max(outer, outer + inward), y + 7.0, LineKind.OUTLINE,
                      Fill.WHITE)]
