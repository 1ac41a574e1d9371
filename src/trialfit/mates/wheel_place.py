"""Where a wheel and its tyre stand beside the hub face: offset, backspacing, inner and outer edge."""

from trialfit.standards import refuse_outside
from trialfit.sums import Ask, a_sum

CAUTION = (
    "A wheel moved in or out loads bearings, studs and steering otherwise, and may touch what it cleared. Sweep tyre "
    "and "
    "rim through bump, droop and lock before driving; some places limit offset and track."
)
INCH = 25.4
_WIDTH = Ask("width", "length", "nominal rim width, between the bead seats: 7 in for a 7J rim")
_OFFSET = Ask("offset", "length", "offset: positive when the pad lies outboard of the rim's middle")
_LIP = Ask("lip", "length", "thickness of a rim lip beside the bead seat", 12.7)
_SPACER = Ask("spacer", "length", "spacers and plates between hub and wheel", 0.0)
_SECTION = Ask("section", "length", "section width of the tyre on this rim; 0 for the bare rim", 0.0)
_TRADE = "geometry; lip by magazine article on wheel fit"


def _sizes(width: float, offset: float, lip: float) -> None:
    refuse_outside("rim width", width, 3.0 * INCH, 16.0 * INCH, "in")
    refuse_outside("offset", offset, -150.0, 150.0, "mm")
    refuse_outside("lip", lip, 0.0, 30.0, "mm")


@a_sum(
    "wheel-backspacing",
    title="Backspacing of a wheel from its offset",
    asks=(_WIDTH, _OFFSET, _LIP),
    gives="distance from the pad to a straight edge across the inner lip",
    dimension="length",
    unit="mm",
    words="width / 2 + lip + offset",
    source=_TRADE,
    caution=CAUTION,
)
def wheel_backspacing(width: float, offset: float, lip: float) -> float:
    """Backspacing [mm] of a wheel from nominal width, offset and lip; the nominal width is not the overall one.

    A lip differs from rim to rim by some millimetres: measure the overall width where it matters.

    Raises
    ------
    ValueError
        for a width outside 3 to 16 in, an offset outside -150 to 150 mm, or a lip outside 0 to 30 mm

    Source: geometry; magazine article on wheel fit.

    >>> round(wheel_backspacing(7.0 * 25.4, 0.0, 12.7) / 25.4, 3)
    4.0
    """
    _sizes(width, offset, lip)
    return width / 2.0 + lip + offset


@a_sum(
    "wheel-offset-from-backspacing",
    title="Offset of a wheel from its backspacing",
    asks=(Ask("backspacing", "length", "from a straight edge across the inner lip to the pad"), _WIDTH, _LIP),
    gives="offset, positive when the pad lies outboard of the rim's middle",
    dimension="length",
    unit="mm",
    words="backspacing - width / 2 - lip",
    source=_TRADE,
    caution=CAUTION,
)
def wheel_offset_from_backspacing(backspacing: float, width: float, lip: float) -> float:
    """Offset [mm] of a wheel from its backspacing, nominal width and lip.

    Raises
    ------
    ValueError
        as :func:`wheel_backspacing`, or for a backspacing outside 0 to 400 mm

    Source: geometry; magazine article on wheel fit.

    >>> round(wheel_offset_from_backspacing(4.5 * 25.4, 8.0 * 25.4, 12.7), 6)
    0.0
    """
    refuse_outside("backspacing", backspacing, 0.0, 400.0, "mm")
    offset = backspacing - width / 2.0 - lip
    _sizes(width, offset, lip)
    return offset


@a_sum(
    "wheel-offset-by-overall-width",
    title="Offset of a wheel from backspacing and overall width",
    asks=(
        Ask("backspacing", "length", "from a straight edge across the inner lip to the pad"),
        Ask("overall", "length", "width over both lips"),
    ),
    gives="offset, positive when the pad lies outboard of the rim's middle",
    dimension="length",
    unit="mm",
    words="backspacing - overall width / 2",
    source="geometry",
    caution=CAUTION,
)
def wheel_offset_by_overall_width(backspacing: float, overall: float) -> float:
    """Offset [mm] of a wheel from two sizes taken on it; its two lips are taken as equally thick.

    Raises
    ------
    ValueError
        for a backspacing outside 0 to the overall width, or an overall width outside 3 to 18 in

    Source: geometry.

    >>> wheel_offset_by_overall_width(120.0, 203.0)
    18.5
    """
    refuse_outside("overall width", overall, 3.0 * INCH, 18.0 * INCH, "in")
    refuse_outside("backspacing", backspacing, 0.0, overall, "mm")
    return backspacing - overall / 2.0


def _half(width: float, lip: float, section: float) -> float:
    if section != 0.0:
        refuse_outside("section width", section, 100.0, 500.0, "mm")
    return max(width / 2.0 + lip, section / 2.0)


@a_sum(
    "wheel-inner-edge",
    title="How far a wheel and its tyre reach inboard of the hub face",
    asks=(_WIDTH, _OFFSET, _LIP, _SECTION, _SPACER),
    gives="from the hub face to the innermost point of rim or tyre",
    dimension="length",
    unit="mm",
    words="the greater of width / 2 + lip and section / 2; + offset - spacer",
    source=_TRADE,
    caution=CAUTION,
)
def wheel_inner_edge(width: float, offset: float, lip: float, section: float, spacer: float) -> float:
    """How far [mm] rim or tyre reaches inboard of the hub face, positive inboard.

    The bulge of a loaded tyre and run-out are left out, which errs on the unsafe side.

    Raises
    ------
    ValueError
        as :func:`wheel_backspacing`, for a section outside 100 to 500 mm, or a spacer outside 0 to 100 mm

    Source: geometry; magazine article on wheel fit.

    >>> round(wheel_inner_edge(7.0 * 25.4, 20.0, 12.7, 225.0, 5.0), 1)
    127.5
    """
    _sizes(width, offset, lip)
    refuse_outside("spacer", spacer, 0.0, 100.0, "mm")
    return _half(width, lip, section) + offset - spacer


@a_sum(
    "wheel-outer-edge",
    title="How far a wheel and its tyre reach outboard of the hub face",
    asks=(_WIDTH, _OFFSET, _LIP, _SECTION, _SPACER),
    gives="from the hub face to the outermost point of rim or tyre",
    dimension="length",
    unit="mm",
    words="the greater of width / 2 + lip and section / 2; - offset + spacer",
    source=_TRADE,
    caution=CAUTION,
)
def wheel_outer_edge(width: float, offset: float, lip: float, section: float, spacer: float) -> float:
    """How far [mm] rim or tyre reaches outboard of the hub face, positive outboard; see :func:`wheel_inner_edge`.

    Raises
    ------
    ValueError
        as :func:`wheel_inner_edge`

    Source: geometry; magazine article on wheel fit.

    >>> round(wheel_outer_edge(7.0 * 25.4, 20.0, 12.7, 225.0, 5.0), 1)
    97.5
    """
    _sizes(width, offset, lip)
    refuse_outside("spacer", spacer, 0.0, 100.0, "mm")
    return _half(width, lip, section) - offset + spacer
