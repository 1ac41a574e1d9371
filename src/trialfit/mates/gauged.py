"""A size held against the limits asked of it, as an answer; and what to measure when it is not known."""

import math
import re
from collections.abc import Callable, Iterable

from trialfit.findings import SURE, Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.joint import Layer
from trialfit.mates.judging import within
from trialfit.parts import Fact

__all__ = ["added", "each", "gauged", "layered", "not_known"]


def not_known(question: str, what: str, measure: str, *, rule: str = "", source: str = "", caution: str = "") -> Answer:
    """The answer where a size is missing: ``what`` is not known, ``measure`` says how to get it.

    >>> not_known("pad width", "the pad's width", "measure the pad across with a calliper").reason
    "the pad's width is not known"
    """
    verb = "are" if _several(what) else "is"
    return Answer(question, Verdict.CANNOT_TELL, f"{what} {verb} not known", measure=measure, rule=rule, source=source,
                  caution=caution)  # fmt: skip


_ONE = re.compile(r"(ss|us|is|'s|series)$")
_CLAUSE = re.compile(r"^(whether|how|what|where|which|who)\b")
_HEAD = re.compile(r" (?:of|in|on|to|from|with|for|over|at|between|under|behind|after|round|that|where)\b|[,(:;]")


def _several(what: str) -> bool:
    """Whether a thing that is missing is more than one, by its head word: "the clutch fingers", "the pilot and the
    hole", but not "the thickness of the leaves"."""
    if _CLAUSE.match(what):
        return False
    head = _HEAD.split(what, maxsplit=1)[0].strip()
    last = head.rpartition(" ")[2]
    both = " and " in head or " and the " in what.partition("(")[0]
    return both or (last.endswith("s") and _ONE.search(last) is None)


def each(*questions: tuple[str, Callable[[], Answer | Iterable[Answer]]], measure: str = "check the sizes written",
         caution: str = "") -> tuple[Answer, ...]:  # fmt: skip
    """Every question answered by itself: one that meets a size outside what is known of such parts cannot be told, and
    the others stand.

    Parameters
    ----------
    questions : tuple of str and function
        the question's name, and what answers it
    measure, caution : str
        said with a question that cannot be judged

    >>> found = each(("pin", lambda: [][float("pin")]), ("pad", lambda: not_known("pad", "its width", "a calliper")))
    >>> [a.reason for a in found]
    ["it cannot be judged: could not convert string to float: 'pin'", 'its width is not known']
    """
    answers: list[Answer] = []
    for question, answer in questions:
        try:
            found = answer()
        except (ValueError, ArithmeticError) as refusal:
            found = Answer(question, Verdict.CANNOT_TELL, f"it cannot be judged: {refusal}", measure=measure,
                           caution=caution)  # fmt: skip
        answers += [found] if isinstance(found, Answer) else found
    return tuple(answers)


def gauged(
    question: str,
    value: float,
    sd: float | None,
    low: float,
    high: float,
    *,
    good: str,
    bad: str,
    measure: str,
    works: tuple[Work, ...] = (),
    rule: str = "",
    source: str = "",
    caution: str = "",
    remedy: str = "",
) -> Answer:
    """One length held against its limits, with the reason for each outcome.

    Parameters
    ----------
    value, low, high : float
        the amount and what is asked of it [mm]; a limit may be infinite
    sd : float or None
        its standard deviation; None when nobody said how well it is known [mm]
    good, bad : str
        reason when it fits and when it does not
    measure : str
        what to measure, and how, when it cannot be told
    works : tuple of Work
        what makes it fit where it does not; () when nothing does

    Returns
    -------
    Answer

    Source: GUM (JCGM 100:2008) for the doubt; the rule of decision is our own.

    >>> gauged("pin play", 0.5, 0.05, 0.0, 0.8, good="plays 0.50 mm", bad="", measure="").verdict.value
    'fits'
    """
    judged = within(value, sd, low, high)
    if judged.verdict is Verdict.FITS:
        return _answer(question, Verdict.FITS, good, judged.margin, sd, judged.odds, rule, source, caution)
    if judged.verdict is Verdict.CANNOT_TELL:
        reason, how = _open(value, sd, low, high, judged.margin, good if judged.margin >= 0.0 else bad, measure)
        return _answer(question, Verdict.CANNOT_TELL, reason, judged.margin, sd, judged.odds, rule, source, caution,
                       measure=how)  # fmt: skip
    verdict = Verdict.FITS_AFTER_WORK if works else Verdict.DOES_NOT_FIT
    words = remedy or "; ".join(work.words for work in works)
    return _answer(question, verdict, bad, judged.margin, sd, judged.odds, rule, source, caution, remedy=words,
                   works=works)  # fmt: skip


def _open(
    value: float, sd: float | None, low: float, high: float, margin: float, likely: str, measure: str
) -> tuple[str, str]:
    if sd is None:
        how = f"{measure}; write what it was measured with"
        return f"{likely}, but it is not known how well this was measured", how
    need = abs(margin) / SURE
    reason = f"{likely}, but known only to {SURE * sd:.2f} mm either way where {_asked(low, high)} is asked"
    if need < 0.005:
        return reason, f"{measure}; it lies so near the limit that only trying the two together settles it"
    return reason, f"{measure}; known to {need:.2f} mm (standard deviation) it would be settled"


def _asked(low: float, high: float) -> str:
    if math.isinf(high):
        return f"at least {low:.2f} mm"
    if math.isinf(low):
        return f"at most {high:.2f} mm"
    return f"{low:.2f} to {high:.2f} mm"


def _answer(
    question: str, verdict: Verdict, reason: str, margin: float, sd: float | None, odds: float | None, rule: str,
    source: str, caution: str, measure: str = "", remedy: str = "", works: tuple[Work, ...] = (),
) -> Answer:  # fmt: skip
    return Answer(question, verdict, reason, margin=margin, sd=sd, unit="mm", odds=odds, remedy=remedy,
                  measure=measure, works=works, rule=rule, source=source, caution=caution)  # fmt: skip


def added(*facts: tuple[float, Fact]) -> tuple[float, float | None]:
    """Sum of sizes, each with its sign or factor, and its standard deviation, errors independent; None when the doubt
    of one is unknown.

    >>> added((1.0, Fact(30.0, 0.3)), (-1.0, Fact(26.0, 0.4)))
    (4.0, 0.5)
    """
    value = sum(factor * fact.value for factor, fact in facts)
    if any(fact.sd is None for _, fact in facts):
        return value, None
    return value, math.sqrt(sum((factor * (fact.sd or 0.0)) ** 2 for factor, fact in facts))


def layered(layers: tuple[Layer, ...]) -> tuple[Fact | None, str]:
    """Thickness of everything that is clamped between two ports, and the names of those of unknown thickness ("" for
    none; the thickness is then whole).

    >>> layered((Layer("block", Fact(25.0, 0.1)), Layer("wedge", None)))
    (None, 'wedge')
    """
    missing = ", ".join(layer.name for layer in layers if layer.thickness is None)
    if missing:
        return None, missing
    value, sd = added(*((1.0, layer.thickness) for layer in layers if layer.thickness is not None))
    return Fact(value, sd), ""
