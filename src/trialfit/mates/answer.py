"""What is said of a joint: answers, and the work that would make it fit."""

from collections.abc import Iterable
from dataclasses import dataclass

from trialfit.findings import RANK, Verdict
from trialfit.mates.figure import Figure
from trialfit.parts import Fact

WORK_KINDS = (
    "turn down", "open up", "make a ring", "redrill", "slot", "make a plate", "make a spacer", "shim", "shorten",
    "chase", "drill", "have made", "exchange",
)
"""What can be done to a part; nothing else is asked of a shop."""
AGAIN = ", then measure again"
"""Said behind every shim: it was reckoned from what was measured before it lay there."""


@dataclass(frozen=True, slots=True)
class Target:
    """The size to work to: nominal and the limits that the fit asks for [mm], the fit in words (``67.1 H7``) and where
    its tolerance comes from."""

    nominal_mm: float
    low_mm: float
    high_mm: float
    fit: str
    source: str


@dataclass(frozen=True, slots=True)
class Sized:
    """A further size of one piece of work, such as the inside of a ring: ``feature`` in words, the size that it is made
    to as it was ``found``, and the ``target``."""

    feature: str
    found: Fact | None
    target: Target


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work on one part. ``kind`` is one of :data:`WORK_KINDS`; ``place`` the surface worked, ``found`` its
    size as measured, ``target`` the size wanted; ``true_to`` the surface it is to run true to, ``runout_mm`` how true;
    ``forbidden`` what must not be done there; ``figure`` the drawing. ``feature`` says what ``found`` and ``target``
    are the size of where the place does not, ``sizes`` holds the sizes of its other features. ``moves`` names the part
    that a shim or spacer shifts along the axle, "" for none; ``others`` says what it does to other joints."""

    part: str
    kind: str
    place: str
    words: str
    found: Fact | None = None
    target: Target | None = None
    true_to: str = ""
    runout_mm: float | None = None
    forbidden: tuple[str, ...] = ()
    figure: Figure | None = None
    feature: str = ""
    sizes: tuple[Sized, ...] = ()
    moves: str = ""
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """One question about a joint (``bolt circle``), answered.

    ``margin`` [in the internal unit of ``unit``] is the room left beyond what is asked, positive when there is room;
    ``odds`` the probability [-] that what is asked is met, None when it has no number. ``measure`` names what is to be
    measured, and with what, where the verdict is "cannot tell". ``works`` is what has to be done where it is "fits
    after work". ``caution`` is shown with it on screen and paper.
    """

    question: str
    verdict: Verdict
    reason: str
    margin: float | None = None
    sd: float | None = None
    unit: str = ""
    odds: float | None = None
    remedy: str = ""
    measure: str = ""
    works: tuple[Work, ...] = ()
    rule: str = ""
    source: str = ""
    caution: str = ""


def worst(answers: Iterable[Answer]) -> Verdict:
    """The verdict on a whole joint: that of its worst answer.

    Raises
    ------
    ValueError
        without any answer
    """
    return min((answer.verdict for answer in answers), key=lambda verdict: RANK[verdict])
