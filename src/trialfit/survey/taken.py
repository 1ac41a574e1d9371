"""What one more reading did to a survey, in sentences: whether it agrees, and how well its hardpoints are known now."""

from dataclasses import dataclass

from trialfit.findings import SURE, Verdict
from trialfit.survey.advice import Advice, advise
from trialfit.survey.result import Checked, Survey, Suspect, amount_words
from trialfit.survey.solving import UNCHECKED

_NAMED = 2


@dataclass(frozen=True, slots=True)
class Known:
    """How well one hardpoint is known: greatest standard deviation before and after [mm], None while it has no
    place."""

    point: str
    before_mm: float | None
    after_mm: float | None


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading held against the others.

    ``verdict`` is that it agrees (fits), that it does not (does not fit), or that it cannot be told: nothing checks it,
    or one of several is wrong. ``says`` is that in a sentence, ``slip`` the likely slip as a question or "", ``doubts``
    a sentence for each hardpoint, ``next_reading`` what to read next. Lengths in the sentences are in mm.
    """

    identity: str
    verdict: Verdict
    head: str
    says: str
    slip: str
    doubts: tuple[str, ...]
    known: tuple[Known, ...]
    suspect: Suspect | None = None
    next_words: str = ""
    next_reading: Advice | None = None


def taken(before: Survey | None, after: Survey, identity: str) -> Taken:
    """What the survey makes of one reading.

    Parameters
    ----------
    before : Survey or None
        the survey without it; None when there was none
    after : Survey
        the survey with it
    identity : str
        the reading's identity, such as ``tape eye.L-pad.L``

    Raises
    ------
    KeyError
        when the build of ``after`` has no such reading

    Source: as the survey: Baarda 1968, Pope 1976 (from memory); GUM (JCGM 100:2008).
    """
    reading = next((r for r in after.build.readings if r.identity == identity), None)
    if reading is None:
        raise KeyError(f"no reading is called {identity}")
    checked = next((c for c in after.readings if c.observation.identity == identity), None)
    verdict, head, says, slip, suspect = _judged(before, after, identity, checked)
    known = tuple(Known(p, _doubt(before, p), _doubt(after, p)) for p in reading.points)
    doubts = tuple(_doubt_words(after, k) for k in known)
    if reading.size and reading.size in after.sizes:
        value, sd = after.sizes[reading.size]
        doubts = (f"{reading.size} is {value:.2f} mm, give or take {SURE * sd:.2f} mm.",)
    open_ = next((u for u in after.unsolved if u.point in reading.points), None)
    advice: Advice | None = None
    if open_ is None and after.names:
        solved = [k for k in known if k.after_mm is not None]
        worst = max(solved, key=lambda k: k.after_mm or 0.0).point if solved else None
        advice = next(iter(advise(after, worst, most=1)), None)
    words = open_.measure if open_ is not None else advice.words if advice is not None else ""
    return Taken(identity, verdict, head, says, slip, doubts, known, suspect, words, advice)


def _judged(before: Survey | None, after: Survey, identity: str, checked: Checked | None
            ) -> tuple[Verdict, str, str, str, Suspect | None]:  # fmt: skip
    problem = next((p for p in after.problems if p.reading == identity), None)
    if problem is not None:
        said = f"{_sentence(problem.reason)}: {problem.remedy}."
        return Verdict.CANNOT_TELL, "It cannot be used yet.", said, "", None
    note = next((n for n in after.notes if n.startswith(f"{identity}: ")), None)
    if note is not None:
        said = _sentence(note.removeprefix(f"{identity}: "))
        return Verdict.CANNOT_TELL, "It does not repeat.", f"{said}.", "", None
    own = next((s for s in after.suspects if s.reading == identity), None)
    among = next((s for s in after.suspects if identity in s.either_of), None)
    suspect = own or among
    if suspect is not None and suspect.either_of:
        said = (f"{' or '.join(suspect.either_of)}: one of these is wrong, and nothing tells which. Were it "
                f"{suspect.reading}, it is {amount_words(suspect.off, suspect.is_angle)}.")
        return Verdict.CANNOT_TELL, "This fights another reading.", said, _slip(suspect), suspect
    if suspect is not None:
        return (Verdict.DOES_NOT_FIT, "This fights the others.",
                f"It is {amount_words(suspect.off, suspect.is_angle)} against {_rivals(after, identity)}.",
                _slip(suspect), suspect)
    was = set() if before is None else {s.reading for s in before.suspects}
    shown = next((s for s in after.suspects if s.reading not in was), None)
    if shown is not None:
        said = f"{shown.reading} is {amount_words(shown.off, shown.is_angle)} against all others."
        return Verdict.FITS, "It shows up another reading.", said, _slip(shown), shown
    if checked is None:
        return Verdict.CANNOT_TELL, "It waits for more readings.", "It cannot be placed by itself yet.", "", None
    if checked.redundancy < UNCHECKED:
        return Verdict.CANNOT_TELL, "Nothing checks it yet.", "A slip in it would not show.", "", None
    off = amount_words(checked.residual, checked.is_angle).rsplit(" too ", 1)[0]
    return Verdict.FITS, "It agrees.", f"With {_rivals(after, identity)}, within {off}.", "", None


def _slip(suspect: Suspect) -> str:
    return f"Is it this: {suspect.guess}?" if suspect.guess else ""


def _rivals(after: Survey, identity: str) -> str:
    """Readings that hang on the same hardpoints, some by name."""
    mine = next(c.observation for c in after.readings if c.observation.identity == identity)
    names = [c.observation.identity for c in after.readings
             if c.observation.identity != identity and c.state == "used" and c.redundancy > UNCHECKED
             and (set(c.observation.points) & set(mine.points) or (mine.size and c.observation.size == mine.size))]
    if not names:
        return "all others"
    rest = len(names) - _NAMED
    return ", ".join(names[:_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def _doubt(survey: Survey | None, point: str) -> float | None:
    return survey.doubt_mm(point) if survey is not None and survey.has(point) else None


def _doubt_words(after: Survey, known: Known) -> str:
    if known.after_mm is None:
        why = after.why_not(known.point)
        return f"{why[:1]}{why[1:]}." if why.startswith(known.point) else f"{known.point} has no place yet: {why}."
    now = f"{SURE * known.after_mm:.1f} mm"
    if known.before_mm is None:
        return f"{known.point} has its place now, give or take {now}."
    was = f"{SURE * known.before_mm:.1f} mm"
    if now == was:
        return f"{known.point} is known to {now}, as before."
    return f"{known.point} is now known to {now} (was {was})."


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
