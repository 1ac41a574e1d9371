"""Radii and pie cuts of bends, wherever a route or a wish for one names them."""

import re

from trialfit.buildfile.amounts import amount, in_mm, length
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Node
from trialfit.vehicle import Amount, PieCutWish

_TIMES = re.compile(r"([0-9]+(?:[.,][0-9]+)?|\.[0-9]+)\s*[x×*]?\s*[dD]")
_PIECES = re.compile(r"([0-9]{1,3})\s*(?:pieces?|pcs\.?)?", re.IGNORECASE)
_RADIUS = "a length such as 95 mm, or so many diameters such as 1.5 D"
MOST_PIECES = 40
LEAST_TIMES = 0.5
MOST_TIMES = 50.0


def is_times(text: str) -> bool:
    """Whether a text gives a radius as so many diameters.

    >>> is_times("1.5 D"), is_times("95 mm")
    (True, False)
    """
    return _TIMES.fullmatch(text) is not None


def times(ledger: Ledger, node: Node) -> float | None:
    """The radius as so many diameters: 0 when it is no such thing, None and a problem when it is a wrong one."""
    text = plain(ledger, node, _RADIUS)
    if text is None:
        return None
    read = _TIMES.fullmatch(text.value.strip())
    if read is None:
        return 0.0
    if "," in read[1]:
        ledger.doubt(node, f"the comma is read as a decimal point: {read[1].replace(',', '.')} D")
    factor = float(read[1].replace(",", "."))
    if not 0.0 < factor <= MOST_TIMES:
        ledger.wrong(node, "out of range", f"{LEAST_TIMES:g} D to {MOST_TIMES:g} D")
        return None
    return factor


def radius(ledger: Ledger, node: Node, diameter: Amount | None) -> Amount | None:
    """A bend's centre-line radius, a length or so many of ``diameter``; not tighter than half of it."""
    factor = times(ledger, node)
    if factor is None:
        return None
    if factor == 0.0:
        read = amount(ledger, node)
        if read is None or diameter is None:
            return read
        return wide_enough(ledger, node, read, diameter.mm)
    if diameter is None:
        return None
    # where the diameter is a reading of its own, the route keeps to "so many diameters" and not to one number
    made = Amount(factor * diameter.mm, factor * diameter.sd_mm, f"{factor:g} D" if diameter.size else "")
    return wide_enough(ledger, node, made, diameter.mm)


def wide_enough(ledger: Ledger, node: Node, given: Amount, diameter_mm: float) -> Amount | None:
    """The radius, unless it is tighter than half the pipe's diameter, which is told."""
    if given.mm >= diameter_mm / 2.0 * (1.0 - 1e-12):
        return given
    ledger.wrong(
        node,
        f"a bend of {in_mm(given.mm)} is tighter than half the pipe's diameter",
        f"a radius of the centre line of {in_mm(diameter_mm / 2.0)} or more",
        "check both numbers and their units",
    )
    return None


def pie_cut(ledger: Ledger, found: dict[str, Node]) -> tuple[bool, PieCutWish | None]:
    """The pie cut of a table with ``pie cut`` and ``kerf``, None for a bend in one piece; False first where it is
    wrong."""
    kerf: float | None = 0.0
    if "kerf" in found:
        kerf = length(ledger, found["kerf"], zero=True, what="a length from 0 up")
        if "pie cut" not in found:
            ledger.wrong(found["kerf"], "a kerf where nothing is sawn", "pie cut: 5 pieces, kerf: 1.5 mm",
                         "say of how many pieces the bend is made, or take the kerf out")
            return False, None
    if "pie cut" not in found:
        return True, None
    count = _pieces(ledger, found["pie cut"])
    if count is None or kerf is None:
        return False, None
    return True, PieCutWish(count, kerf)


def _pieces(ledger: Ledger, node: Node) -> int | None:
    expected = "the number of pieces, its two half ones counted, e.g. 5 pieces"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    read = _PIECES.fullmatch(text.value.strip())
    if read is None:
        ledger.wrong(text, "not a number of pieces", expected)
        return None
    if not 2 <= int(read[1]) <= MOST_PIECES:
        ledger.wrong(text, "out of range", f"2 to {MOST_PIECES} pieces")
        return None
    return int(read[1])
