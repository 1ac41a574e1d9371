"""What is raised when a text cannot be read as an amount."""

SHOWN = 60
"""Longest piece of typed text that a message repeats [characters]."""


class UnitsError(ValueError):
    """A text that is not an amount, or not one of the dimension asked for.

    ``problem`` says what is wrong, ``typed`` repeats the text (cut short when long), ``expected`` says what would be
    right, with an example, and ``mend`` what to do about it. ``str()`` gives all of it as one line.
    """

    def __init__(self, problem: str, typed: str = "", expected: str = "", mend: str = "") -> None:
        self.problem = problem
        self.typed = cut_short(typed)
        self.expected = expected
        self.mend = mend
        parts = [f"'{self.typed}': {problem}" if typed else problem]
        if expected:
            parts.append(f"expected {expected}")
        if mend:
            parts.append(mend)
        super().__init__("; ".join(parts))


def cut_short(text: str) -> str:
    """The text as a message repeats it: printable characters, at most 60 of them.

    >>> cut_short("3 furlongs")
    '3 furlongs'
    """
    clean = "".join(c if c.isprintable() else "?" for c in text[: SHOWN + 1])
    return clean if len(clean) <= SHOWN else clean[: SHOWN - 3] + "..."
