"""Three texts that parted: what both began from, mine and theirs, cut into the stretches where they differ."""

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

BASE, MINE, THEIRS, BOTH = "base", "mine", "theirs", "both"
"""What can be taken for a stretch: as it was, mine, theirs, or mine with theirs under it."""
CHOICES = (MINE, THEIRS, BOTH, BASE)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Some lines on which the three agree (``parted`` False), or on which at least one of two changed the base. Lines
    keep their ends. ``line`` is where it begins in the base, counted from 1."""

    base: tuple[str, ...]
    mine: tuple[str, ...]
    theirs: tuple[str, ...]
    parted: bool
    line: int

    @property
    def clash(self) -> bool:
        """Whether both changed it, and not alike."""
        return self.parted and self.mine != self.theirs and self.base not in (self.mine, self.theirs)

    @property
    def usual(self) -> str:
        """What is taken when nobody chooses: the one change there is; "" where both changed it, for nothing is
        guessed."""
        if self.clash:
            return ""
        return MINE if self.mine != self.base else THEIRS

    def taken(self, choice: str) -> tuple[str, ...]:
        """The lines of a choice.

        Raises
        ------
        ValueError
            for a word that is no choice
        """
        if choice == BOTH:
            above = self.mine
            if above and self.theirs and not above[-1].endswith("\n"):
                above = (*above[:-1], f"{above[-1]}\n")
            return (*above, *self.theirs)
        if choice not in CHOICES:
            raise ValueError(f"{choice!r} is no choice; known: {', '.join(CHOICES)}")
        return {BASE: self.base, MINE: self.mine, THEIRS: self.theirs}[choice]


def stretches(base: str, mine: str, theirs: str) -> tuple[Stretch, ...]:
    """The three texts as stretches, one after the other: put together again, each text comes back whole.

    >>> [(s.mine, s.theirs) for s in stretches("a\\nb\\n", "a\\nc\\n", "a\\nd\\n") if s.parted]
    [(('c\\n',), ('d\\n',))]
    """
    b, m, t = (text.splitlines(keepends=True) for text in (base, mine, theirs))
    to_mine, to_theirs = _partners(b, m), _partners(b, t)
    found: list[Stretch] = []
    at_b = at_m = at_t = 0
    same: list[str] = []
    line = 0

    def flush() -> None:
        if same:
            kept = tuple(same)
            found.append(Stretch(kept, kept, kept, False, line + 1))
            same.clear()

    for k in range(len(b) + 1):
        if k < len(b) and (to_mine[k] is None or to_theirs[k] is None):
            continue
        end_m = len(m) if k == len(b) else to_mine[k]
        end_t = len(t) if k == len(b) else to_theirs[k]
        assert end_m is not None
        assert end_t is not None
        gone = tuple(b[at_b:k]), tuple(m[at_m:end_m]), tuple(t[at_t:end_t])
        if any(gone):
            flush()
            found.append(Stretch(*gone, True, at_b + 1))
        if k == len(b):
            break
        if not same:
            line = k
        same.append(b[k])
        at_b, at_m, at_t = k + 1, end_m + 1, end_t + 1
    flush()
    return tuple(found)


def _partners(base: Sequence[str], other: Sequence[str]) -> list[int | None]:
    """For each line of the base the line of the other text that it became unchanged; None when it is gone there."""
    partner: list[int | None] = [None] * len(base)
    for block in difflib.SequenceMatcher(None, base, other, autojunk=False).get_matching_blocks():
        for k in range(block.size):
            partner[block.a + k] = block.b + k
    return partner


def put_together(parts: Sequence[Stretch], chosen: Mapping[int, str]) -> str:
    """One text of all stretches.

    Parameters
    ----------
    chosen : mapping
        number of a stretch, from 0, to the choice for it; one that is not named is taken as usual

    Raises
    ------
    ValueError
        when a stretch that both changed has no choice
    """
    out: list[str] = []
    for number, one in enumerate(parts):
        if not one.parted:
            out.extend(one.base)
            continue
        choice = chosen.get(number) or one.usual
        if not choice:
            raise ValueError(f"line {one.line}: both changed it; choose which is to stand")
        lines = one.taken(choice)
        if out and lines and not out[-1].endswith("\n"):
            out[-1] += "\n"
        out.extend(lines)
    return "".join(out)
