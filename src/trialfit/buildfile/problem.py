"""What is wrong in a build file, said so that its writer can mend it."""

from collections.abc import Iterable
from dataclasses import dataclass

from trialfit.findings import Place

SHOWN = 60
"""Longest piece of typed text that a message repeats [characters]."""

MOST = 200
"""Problems listed; of any more it is only said that there are more."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong or doubted: where, as it was typed, what is the matter, what was expected, how to mend it.

    ``weight`` 0 is a fault of the file's structure and stands first; 1 is anything else.

    >>> print(Problem(Place("build.yaml", 3, 5), "612", "a number without a unit", "a length such as 612 mm"))
    build.yaml:3:5: "612": a number without a unit; expected a length such as 612 mm
    """

    place: Place
    typed: str
    message: str
    expected: str = ""
    mend: str = ""
    weight: int = 1

    def __str__(self) -> str:
        head = f'{self.place}: "{self.typed}": ' if self.typed else f"{self.place}: "
        tail = [self.message]
        if self.expected:
            tail.append(f"expected {self.expected}")
        if self.mend:
            tail.append(self.mend)
        # names in a message are repeated as typed; nothing in it may upset a terminal
        return "".join(c if c.isprintable() else "?" for c in head + "; ".join(tail))


def shown(text: str) -> str:
    """Typed text as a message repeats it: one line of printable characters, at most 60 of them.

    >>> shown("tape  a\\nb\\x00")
    'tape a b?'
    """
    flat = " ".join(text[: 4 * SHOWN].split())
    clean = "".join(c if c.isprintable() else "?" for c in flat)
    return clean if len(clean) <= SHOWN and len(text) <= 4 * SHOWN else clean[: SHOWN - 3] + "..."


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems without doubles, faults of structure first, then by line; the list ends after 200."""
    ordered = sorted(dict.fromkeys(problems), key=lambda p: (p.weight, p.place.line, p.place.column))
    if len(ordered) <= MOST:
        return tuple(ordered)
    last = ordered[MOST - 1]
    more = Problem(last.place, "", "there are more problems than these", mend="mend the ones above first")
    return (*ordered[: MOST - 1], more)
