"""Gaps with their doubt put in words, and every finding of a build in one list."""

import math
from collections.abc import Iterable, Sequence

from trialfit.checks import Results
from trialfit.doubt.gaps import Weighed
from trialfit.findings import SURE, Finding, Verdict, worst_first
from trialfit.survey import Advice


def findings(results: Results, weighed: Iterable[Weighed]) -> list[Finding]:
    """Every finding of the build, worst first."""
    return worst_first([*results.findings, *(_of_gap(w) for w in weighed)])


def _of_gap(w: Weighed) -> Finding:
    pair, answer = w.answer.pair, w.answer
    if answer.upper_mm <= 0.0:
        depth = f" by {-answer.lower_mm:.0f} mm or less" if answer.lower_mm < 0.0 else ""
        reason = f"{pair.a.name} and {pair.b.name} overlap{depth}, wanted {pair.required_mm:.0f} mm clear"
    else:
        reason = f"{pair.a.name} to {pair.b.name}: {gap_words(w)}"
    if answer.closed:
        reason += f", {pose_words(answer.pose)}"
    return Finding(
        name=f"gap.{pair.name}", verdict=w.verdict, reason=reason, remedy=remedy(w),
        margin=w.margin_mm, sd=w.sd_mm, unit="mm", rule=pair.rule, source=pair.source,
        where=pair.where,
    )


def gap_words(w: Weighed) -> str:
    """The figure of a gap in words."""
    doubt = "" if w.sd_mm is None else f", give or take {SURE * w.sd_mm:.0f} mm"
    a = w.answer
    if not a.closed:
        return f"at least {a.lower_mm:.0f} mm{doubt}; wanted {a.pair.required_mm:.0f} mm"
    return f"{a.upper_mm:.0f} mm{doubt}; wanted {a.pair.required_mm:.0f} mm"


HELPS = 0.9
"""A reading that leaves more than this share of the doubt does not count as help [-]."""


def remedy(w: Weighed) -> str:
    """What to do about a gap; "" when it fits."""
    pair, answer = w.answer.pair, w.answer
    if w.verdict is Verdict.FITS:
        return ""
    if w.misread:
        return "settle the misread reading first: a hardpoint of these two may hang on it"
    short = pair.required_mm - (answer.lower_mm if answer.closed else answer.upper_mm)
    if w.verdict is Verdict.DOES_NOT_FIT:
        text = f"move them {short:.0f} mm further apart"
        if answer.upper_mm <= 0.0:
            text += f", or, if they are joined by design, write under gaps: '{pair.a.name} / {pair.b.name} = joined'"
        return text
    if not answer.through_travel:
        return "say what holds the axle and where its stops are (see travel): this is the gap at ride height only"
    if not answer.settled:
        return "the search for the smallest gap stopped at its limit; move them apart, or simplify the scan"
    apart = f"move them {max(short + SURE * (w.sd_mm or 0.0), 1.0):.0f} mm further apart"
    if not w.advice:
        return apart
    best = w.advice[0]
    falls = f"the doubt of this gap falls from {SURE * best.before_mm:.1f} mm to {SURE * best.after_mm:.1f} mm"
    if best.after_mm > HELPS * best.before_mm:
        return f"{apart}; no single reading more would settle it (the best, {best.words}: {falls})"
    return f"measure {best.words}: {falls}; or {apart}"


def asked(best: Advice) -> str:
    """A reading as one is asked to take it, to follow "Measure".

    >>> from trialfit.vehicle import ReadingKind
    >>> asked(Advice("tape from eye.L to pad.L", ReadingKind.TAPE, ("eye.L", "pad.L"), 2.0, 1.0))
    'with the tape from eye.L to pad.L'
    """
    if best.words.startswith("tape "):
        return f"with the {best.words}"
    return best.words if best.size else f"the {best.words}"


def pose_words(pose: tuple[float, float, float]) -> str:
    """A state of the vehicle in words.

    >>> pose_words((75.0, -0.0349066, 0.0))
    'at 75 mm bump, left wheel up 2.0 deg'
    """
    heave, roll, rock = pose
    words = []
    if abs(heave) >= 0.5:
        words.append(f"at {abs(heave):.0f} mm {'bump' if heave > 0 else 'droop'}")
    else:
        words.append("at ride height")
    if abs(math.degrees(roll)) >= 0.05:
        words.append(f"{'right' if roll > 0 else 'left'} wheel up {abs(math.degrees(roll)):.1f} deg")
    if abs(math.degrees(rock)) >= 0.05:
        words.append(f"engine rocked {abs(math.degrees(rock)):.1f} deg, {'right' if rock > 0 else 'left'} side up")
    return ", ".join(words)


_UNCHECKED = "survey.unchecked."
_NAMED = 8
"""How many of them are named before the rest is counted; the survey sheet names them all."""


def for_people(found: Sequence[Finding]) -> list[Finding]:
    """The same findings with the many hardpoints that nothing checks told in one."""
    alike = [f for f in found if f.name.startswith(_UNCHECKED)]
    if len(alike) < 2:
        return list(found)
    names = [f.name.removeprefix(_UNCHECKED) for f in alike]
    one = Finding(
        "survey.unchecked", alike[0].verdict,
        f"{len(names)} hardpoints hang on readings that nothing checks, so a misread one would not show: "
        + ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""),
        "one more reading to each, such as a tape to a hardpoint it has none to yet; 'trialfit survey' says which "
        "help most")
    return worst_first([*(f for f in found if f not in alike), one])


__all__ = ["findings", "for_people", "gap_words", "pose_words"]
