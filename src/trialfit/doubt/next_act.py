"""What helps most now: one reading or one piece of work at a time, the most urgent first, with what it buys."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from trialfit.checks import Results
from trialfit.doubt.gaps import Weighed
from trialfit.doubt.odds import odds_of
from trialfit.doubt.verdicts import HELPS, asked, for_people
from trialfit.findings import Finding, Verdict
from trialfit.survey import Advice, Survey, advise

MOST_READINGS = 2
"""How many readings are named for hardpoints that nothing checks."""


class Deed(StrEnum):
    """What the builder is asked to do."""

    MEASURE = "measure"
    AGAIN = "measure again"
    WORK = "work"


@dataclass(frozen=True, slots=True)
class Face:
    """A gap as a person sees it: best value and standard deviation, what is needed, and the odds of that [mm; -]."""

    best_mm: float
    sd_mm: float
    required_mm: float
    odds: float


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do.

    ``why`` says what it settles, ``finding`` is that answer. ``before`` and ``after`` show a gap with the doubt of now
    and of afterwards, if the reading comes out as expected. ``kind``, ``points`` and ``size`` are those of the reading;
    ``instead_of`` names the reading that would give way to it. ``station_mm`` is where on the vehicle.
    """

    deed: Deed
    what: str
    why: str
    finding: Finding
    more: str = ""
    """what else its remedy says: another way, and a caution"""
    first: str = ""
    second: str = ""
    before: Face | None = None
    after: Face | None = None
    kind: str = ""
    points: tuple[str, ...] = ()
    size: str = ""
    instead_of: str = ""
    station_mm: float | None = None


def next_acts(results: Results, weighed: Iterable[Weighed], findings: Sequence[Finding]) -> tuple[Act, ...]:
    """What to do, the most urgent first.

    Misread readings and hardpoints without a place come first, because everything hangs on them; then the readings
    that settle a gap, the greatest gain in odds first, because one costs minutes and takes nothing away; then the
    remedies, worst finding first; last what nothing checks.

    What the travel or a joint needs that is not written down at all comes as its finding's remedy.

    Parameters
    ----------
    findings : sequence of Finding
        of the whole build, worst first, with those of the gaps
    """
    gaps = {f"gap.{w.answer.pair.name}": w for w in weighed}
    survey = results.survey
    first, readings, then, last = list[Act](), list[Act](), list[Act](), list[Act]()
    for f in for_people(findings):
        if f.verdict is Verdict.FITS:
            continue
        if f.name.startswith("survey.suspect."):
            first.append(_again(survey, f))
        elif f.name == "survey.global":
            continue
        elif f.name.startswith("survey.unchecked"):
            last += _check(survey, f)
        elif f.name.startswith("survey."):
            first.append(_for_survey(results, f))
        elif f.name in gaps:
            act = _for_gap(gaps[f.name], f)
            (readings if act.deed is Deed.MEASURE else then).append(act)
        else:
            then.append(_work(f))
    readings.sort(key=_gain, reverse=True)
    return (*first, *readings, *then, *last)


def _gain(act: Act) -> float:
    return 0.0 if act.before is None or act.after is None else act.after.odds - act.before.odds


def _work(f: Finding) -> Act:
    head, _, rest = (f.remedy or f.reason).partition("; ")
    return Act(Deed.WORK, _sentence(head), _sentence(f.reason), f, more=_sentence(rest))


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:]


def _at(survey: Survey, points: Iterable[str]) -> float | None:
    known = [float(survey.point(p)[0]) for p in points if survey.has(p)]
    return sum(known) / len(known) if known else None


def _again(survey: Survey, f: Finding) -> Act:
    identity = f.name.removeprefix("survey.suspect.")
    reading = next((r for r in survey.build.readings if r.identity == identity), None)
    if reading is None:
        return _work(f)
    return Act(Deed.AGAIN, f"Measure {identity} again", _sentence(f.reason), f, kind=reading.kind.value,
               points=reading.points, size=reading.size, instead_of=identity, station_mm=_at(survey, reading.points))


def _for_survey(results: Results, f: Finding) -> Act:
    point = f.name.split(".", 2)[-1]
    kind = next((k for k in ("height", "offset", "station", "tape") if f"{k} {point}" in f.remedy), "")
    return Act(Deed.MEASURE, _sentence(f.remedy or f.reason), _sentence(f.reason), f, kind=kind,
               points=(point,) if kind else ())


def _check(survey: Survey, f: Finding) -> list[Act]:
    found: list[Advice] = advise(survey, most=MOST_READINGS) if survey.names else []
    return [Act(Deed.MEASURE, f"Measure {asked(a)}", _sentence(f.reason), f, kind=a.kind.value, points=a.points,
                size=a.size, station_mm=_at(survey, a.points)) for a in found]


def _for_gap(w: Weighed, f: Finding) -> Act:
    answer, pair = w.answer, w.answer.pair
    station = 0.5 * (answer.at_a[0] + answer.at_b[0]) if answer.closed else None
    before = after = None
    if w.sd_mm is not None and answer.through_travel:
        before = Face(answer.lower_mm, w.sd_mm, pair.required_mm, odds_of(w.margin_mm, w.sd_mm))
    best = w.advice[0] if w.advice and not w.misread else None
    if best is None or before is None or best.after_mm > HELPS * best.before_mm:
        return replace(_work(f), first=pair.a.name, second=pair.b.name, before=before, station_mm=station)
    after = Face(answer.lower_mm, best.after_mm, pair.required_mm, odds_of(w.margin_mm, best.after_mm))
    _, _, rest = f.remedy.partition("; ")
    return Act(Deed.MEASURE, f"Measure {asked(best)}", _sentence(f.reason), f, _sentence(rest), pair.a.name,
               pair.b.name, before, after, best.kind.value, best.points, best.size, station_mm=station)
