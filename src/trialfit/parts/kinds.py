"""Which kinds of port there are, and what can be known of each."""

from dataclasses import dataclass

LISTS = {"lengths": "length", "points": "length"}
"""Dimensions of a field that hold several amounts: a list, and a list of points (across, up)."""
WORDS = ("text", "thread", "count")
"""Dimensions of a field beside those of ``units``: a word, a thread's designation, a whole number."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One field of a port or of a joint.

    ``dimension`` is a word of ``units`` (``length``, ``angle`` ...), or ``lengths`` (a list), ``points`` (a list of
    pairs of lengths), ``count`` (a whole number), ``thread`` (a designation such as M12x1.5 or 1/2-20), ``text``.
    ``choices`` are the words allowed for a text, () for free text. ``low`` and ``high`` bound an amount in the
    internal unit; outside them it is a slip of the pen. A field that ``must`` be there cannot be left out: everything
    else may be unknown, and is then answered with "cannot tell" and what to measure.
    """

    key: str
    dimension: str
    meaning: str
    choices: tuple[str, ...] = ()
    low: float = 0.0
    high: float = 1e9
    must: bool = False


@dataclass(frozen=True, slots=True)
class PortKind:
    """A kind of port: its name in trade words (``wheel studs``), what it is, and what can be known of it."""

    name: str
    meaning: str
    asks: tuple[Ask, ...]

    def ask(self, key: str) -> Ask | None:
        """The field of that key; None when there is none."""
        return next((ask for ask in self.asks if ask.key == key), None)
