"""The survey in words and in plain numbers."""

import math
from typing import Any

import numpy as np

from trialfit.findings import Finding, Place, Verdict
from trialfit.survey.result import Checked, Survey, amount_words

_SOURCE = "Baarda 1968, Pope 1976 (from memory); GUM (JCGM 100:2008)"


def findings(survey: Survey) -> list[Finding]:
    """What a survey has to say, one finding each, with stable names.

    Parameters
    ----------
    survey : Survey
        as solved
    """
    told = [_global(survey)] if survey.readings else []
    where = {c.observation.identity: c.observation.where for c in survey.readings}
    for s in survey.suspects:
        reason = f"{s.reading} is {amount_words(s.off, s.is_angle)} against all other readings"
        remedy = "read it again, correct the line or take it out"
        if s.either_of:
            reason = f"{' or '.join(s.either_of)}: one of these is wrong, nothing tells which; were it {reason}"
            remedy = "read each of them again, or add a reading that tells them apart"
        if s.guess:
            reason += f"; a likely slip: {s.guess}"
        told.append(Finding(f"survey.suspect.{s.reading}", Verdict.CANNOT_TELL if s.either_of else Verdict.DOES_NOT_FIT,
                            reason, remedy, *_numbers(s.off, s.off_sd, s.is_angle), source=_SOURCE, where=s.where))
    for u in survey.unsolved:
        told.append(Finding(f"survey.unsolved.{u.point}", Verdict.CANNOT_TELL, u.measure.split(";")[0],
                            u.measure.split("; ", 1)[-1], where=_mention(survey, u.point)))
    for a in survey.ambiguous:
        pair = " or ".join(f"({p[0]:.0f}, {p[1]:.0f}, {p[2]:.0f}) mm" for p in a.places)
        more = f"; {', '.join(a.along_with)} hang on the answer" if a.along_with else ""
        told.append(Finding(f"survey.ambiguous.{a.point}", Verdict.CANNOT_TELL,
                            f"{a.point} fits as well at {pair}, mirror images of each other{more}", a.question,
                            where=_mention(survey, a.point)))
    for i, words in enumerate(survey.ties, 1):
        told.append(Finding(f"survey.ties.{i}", Verdict.CANNOT_TELL, words.split(": ")[0], words.split(": ", 1)[-1]))
    hanging = {c.observation.identity: c for c in survey.readings}
    for point in survey.unchecked_points:
        mine = [r for r in survey.unchecked_readings if point in hanging[r].observation.points]
        leaning = ", ".join(mine or survey.unchecked_readings[:3])
        told.append(Finding(f"survey.unchecked.{point}", Verdict.CANNOT_TELL,
                            f"{point} hangs on readings that nothing checks: {leaning}",
                            f"add one more reading to {point}, such as a tape to a hardpoint it has none to yet",
                            where=_mention(survey, point)))
    for p in survey.problems:
        told.append(Finding(f"survey.reading.{p.reading}", Verdict.CANNOT_TELL,
                            f"{p.reading} cannot be used: {p.reason}", p.remedy, where=p.where))
    for i, words in enumerate(survey.broken_hints, 1):
        told.append(Finding(f"survey.side.{i}", Verdict.DOES_NOT_FIT, words,
                            "check the line under 'sides' and the signs"))
    for i, words in enumerate(survey.notes, 1):
        identity = words.split(": ")[0]
        told.append(Finding(f"survey.repeats.{i}", Verdict.CANNOT_TELL, words, "read it again",
                            where=where.get(identity)))
    return told


def _numbers(off: float, sd: float, is_angle: bool) -> tuple[float, float | None, str]:
    """Margin, its doubt and unit: a misread has none left, so it is negative."""
    if is_angle:
        return -abs(math.degrees(off)), math.degrees(sd) if math.isfinite(sd) else None, "deg"
    return -abs(off), sd if math.isfinite(sd) else None, "mm"


def _mention(survey: Survey, point: str) -> Place | None:
    return next((r.where for r in survey.build.readings if point in r.points), None)


def _global(survey: Survey) -> Finding:
    test = survey.test_all
    if test.freedom == 0:
        return Finding("survey.global", Verdict.CANNOT_TELL, "there is not one reading to spare, so nothing is checked",
                       "add readings between hardpoints that are already tied", source=_SOURCE)
    factor = test.sigma0 or 0.0
    numbers = f"readings deviate {factor:.2f} times what their instruments promise, {test.freedom} to spare"
    if test.too_wide:
        left = "" if survey.test.too_wide else "; without the suspects they agree"
        return Finding("survey.global", Verdict.DOES_NOT_FIT, f"{numbers}: more than chance{left}",
                       "look at the suspects first, then at the instruments' limits", test.high - test.squares,
                       unit="-", source=_SOURCE)
    if test.too_close:
        return Finding("survey.global", Verdict.FITS, f"{numbers}: better than chance, so doubts err on the safe side",
                       "", test.high - test.squares, unit="-", source=_SOURCE)
    return Finding("survey.global", Verdict.FITS, numbers, "", test.high - test.squares, unit="-", source=_SOURCE)


def plain(survey: Survey) -> dict[str, Any]:
    """Plain numbers and words, ready for JSON; angles in degrees.

    Parameters
    ----------
    survey : Survey
        as solved
    """
    n = len(survey.names)
    spread = np.sqrt(np.maximum(np.diag(survey.covariance), 0.0))[: 3 * n].reshape(-1, 3)
    return {
        "hardpoints": {
            name: {"xyz_mm": [_round(v) for v in survey.xyz_mm[i]], "sd_mm": [_round(v) for v in spread[i]]}
            for i, name in enumerate(survey.names)
        },
        "sizes": {s: {"mm": _round(v), "sd_mm": _round(d)} for s, (v, d) in survey.sizes.items()},
        "suspects": [
            {"reading": s.reading, "guess": s.guess,
             ("off_deg" if s.is_angle else "off_mm"): _round(math.degrees(s.off) if s.is_angle else s.off),
             ("off_sd_deg" if s.is_angle else "off_sd_mm"): _round(math.degrees(s.off_sd) if s.is_angle else s.off_sd),
             "w": _round(s.w), "redundancy": _round(s.redundancy), "either_of": list(s.either_of)}
            for s in survey.suspects
        ],
        "unchecked": {"readings": list(survey.unchecked_readings), "hardpoints": list(survey.unchecked_points)},
        "unsolved": [{"hardpoint": u.point, "measure": u.measure} for u in survey.unsolved],
        "ambiguous": [
            {"hardpoint": a.point, "along_with": list(a.along_with), "question": a.question,
             "places_mm": [[_round(v) for v in p] for p in a.places]} for a in survey.ambiguous
        ],
        "ties": list(survey.ties),
        "problems": [{"reading": p.reading, "reason": p.reason, "remedy": p.remedy} for p in survey.problems],
        "global": {"all": _test(survey.test_all), "without_suspects": _test(survey.test)},
        "readings": [_reading(c) for c in survey.readings],
    }


def _test(test: Any) -> dict[str, Any]:
    return {"squares": _round(test.squares), "freedom": test.freedom, "low": _round(test.low),
            "high": _round(test.high), "sigma0": _round(test.sigma0)}


def _reading(c: Checked) -> dict[str, Any]:
    unit, factor = ("deg", 180.0 / math.pi) if c.is_angle else ("mm", 1.0)
    return {"reading": c.observation.identity, f"value_{unit}": _round(c.observation.value * factor),
            f"residual_{unit}": _round(c.residual * factor), f"sd_{unit}": _round(c.observation.sd * factor),
            "redundancy": _round(c.redundancy), "w": _round(c.w), "studentised": _round(c.studentised),
            f"shows_from_{unit}": _round(c.shows_from * factor), "state": c.state}


def _round(value: float | None) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), 4)
