"""The running list of problems and suspicions while one file is read, and what the file has named so far."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from trialfit.buildfile.names import NAME_RULE, did_you_mean, is_name
from trialfit.buildfile.problem import MOST, Problem, shown
from trialfit.buildfile.tree import Node, Text, typed
from trialfit.findings import Place

MOST_GUESSED = 20_000
"""Names that unknown ones are compared with in one file; beyond, an unknown name is told without the nearest ones."""


@dataclass(slots=True)
class Ledger:
    """Collects; never raises. ``whole`` is false when a part of the file could not be read, so that what is not found
    may stand there."""

    file: str
    source: str = ""
    whole: bool = True
    length_unit: str | None = None
    problems: list[Problem] = field(default_factory=list)
    suspicions: list[Problem] = field(default_factory=list)
    points: dict[str, None] = field(default_factory=dict)
    """hardpoints that readings name"""
    sizes: dict[str, float] = field(default_factory=dict)
    """sizes that readings name, with the mean as typed [mm]"""
    guessed: int = 0

    @property
    def full(self) -> bool:
        """So many problems that no more are looked for."""
        return len(self.problems) > MOST

    def wrong(self, where: Node | Place, message: str, expected: str = "", mend: str = "", *, said: str | None = None,
              weight: int = 1) -> None:
        """Note a problem at a node or a place; ``said`` is what was typed there when it is not the whole node."""
        place = where if isinstance(where, Place) else where.place
        text = shown(said) if said is not None else "" if isinstance(where, Place) else typed(where)
        self.problems.append(Problem(place, text, message, expected, mend, weight))

    def doubt(self, where: Node | Place, message: str, mend: str = "", *, said: str | None = None) -> None:
        """Note a suspicion: it is read as it stands, and said aloud."""
        place = where if isinstance(where, Place) else where.place
        text = shown(said) if said is not None else "" if isinstance(where, Place) else typed(where)
        self.suspicions.append(Problem(place, text, message, mend=mend))

    def guess(self, name: str, known: Iterable[str], most: int = 3) -> str:
        """``did you mean ...?``, as long as the file has not asked for it too often."""
        if self.guessed > MOST_GUESSED or self.full:
            return ""
        pool = list(known)
        self.guessed += len(pool) + 10
        return did_you_mean(name, pool, most) if self.guessed <= MOST_GUESSED else ""

    def point(self, name: str, place: Place, said: str | None = None) -> str | None:
        """A hardpoint's name where one is used: well-formed, and named by some reading."""
        if not is_name(name):
            self.wrong(place, "this cannot name a hardpoint", NAME_RULE + ", e.g. eye.L", said=said or name)
            return None
        if name not in self.points and self.whole:
            mend = self.guess(name, self.points) or "take a reading of it, or correct the name"
            self.wrong(place, "no reading names this hardpoint", mend=mend, said=said or name)
            return None
        return name


def plain(ledger: Ledger, node: Node, expected: str) -> Text | None:
    """The node as one line of text, or a problem."""
    if not isinstance(node, Text) or node.nothing:
        mend = ""
        if not isinstance(node, Text) and node.flow:
            mend = "a text that begins with [ or { needs quotes"
        kind = (
            "nothing stands here"
            if isinstance(node, Text)
            else f"{'a list' if _is_list(node) else 'keys'} in place of a text"
        )
        ledger.wrong(node, kind, expected, mend)
        return None
    if node.lines > 1 and node.style not in ("|", ">"):
        ledger.wrong(node, f"one text over {node.lines} lines", f"{expected}, in one line",
                     "is a dash, a key or a closing quote missing in the next line?")
        return None
    return node


def _is_list(node: Node) -> bool:
    from trialfit.buildfile.tree import Items

    return isinstance(node, Items)
