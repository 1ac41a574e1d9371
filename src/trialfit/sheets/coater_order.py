"""The order to a powder coater or plater on paper: what is coated, what stays bare, what must never be coated."""

from trialfit.driveline.order_fields import Order
from trialfit.sheets.drawing import Leaf
from trialfit.sheets.exhaust_order import shop_leaves
from trialfit.sheets.paper import SheetMeta
from trialfit.sheets.pdf import pdf

CAUTIONS = (
    (
        "Coat last: after all welding, drilling and fit-up are signed off and photographed. A coat hides cracks and "
        "welds from you and from the inspector."
    ),
    (
        "Closed tubes burst in the oven and in the bath: every hollow vented. Grease, rubber and adhesive burn in the "
        "oven: off before it goes."
    ),
    (
        "Not for: brake pipes and hoses, friction surfaces, springs, hardened bolts (plating makes them brittle), "
        "wheels and bonded mounts unless their maker allows the cure, the exhaust near the engine unless the "
        "coating is made for it."
    ),
    "Bare on return: threads, bores, sealing and clamping faces, earthing points, wheel seats, identification numbers.",
    (
        "Zinc and powder burn off a hot exhaust and poison: only a coating made for that heat. The first run of a new "
        "coat smokes: outdoors, nobody in the vehicle."
    ),
    "Blasting grit left in a tube ends in the engine or in a bearing: blow and flush every hollow when it is back.",
)


def coater_order_leaves(order: Order, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`coater_order_sheet`."""
    if order.kind != "coater":
        raise ValueError(f"this is a {order.kind} order; the coating sheet draws a coater order")
    return shop_leaves(order, meta, CAUTIONS)


def coater_order_sheet(order: Order, meta: SheetMeta) -> bytes:
    """The order to the coater as PDF.

    Parameters
    ----------
    order : Order
        of the coater kind
    meta : SheetMeta
        what the foot says, and on which paper

    Raises
    ------
    ValueError
        for an order of another kind
    """
    return pdf(coater_order_leaves(order, meta), f"{meta.build}: coating order")
