"""The machine-readable answers: a contract, described in docs/machine-readable.md and held by tests/cli."""

import math
from typing import Any

from trialfit.checks import Results, left_out
from trialfit.checks.assembly import MateResult
from trialfit.checks.fittings import ChainResult
from trialfit.cli.driveline import driveline
from trialfit.doubt import Weighed
from trialfit.findings import Finding, Place
from trialfit.mates import Answer, Target, Work
from trialfit.mates.chain import Chain
from trialfit.structure import Spread, TorqueLine
from trialfit.units import in_unit, unmarked


def place_of(where: Place | None) -> dict[str, Any] | None:
    """Where something stands in the build file."""
    return None if where is None else {"file": where.file, "line": where.line, "column": where.column}


def finite(value: float | None) -> float | None:
    """A number as JSON can hold it: what is without end is told as null."""
    return value if value is not None and math.isfinite(value) else None


def finding(f: Finding) -> dict[str, Any]:
    """One finding."""
    return {
        "name": f.name, "verdict": f.verdict.value, "margin": finite(f.margin), "sd": finite(f.sd), "unit": f.unit,
        "where": place_of(f.where), "reason": unmarked(f.reason), "remedy": unmarked(f.remedy), "rule": f.rule,
        "source": f.source, "caution": f.caution,
    }


def _target(t: Target) -> dict[str, Any]:
    return {"nominal_mm": t.nominal_mm, "low_mm": t.low_mm, "high_mm": t.high_mm, "fit": t.fit, "source": t.source}


def work(w: Work) -> dict[str, Any]:
    """One piece of work with the size to work to."""
    return {
        "part": w.part, "kind": w.kind, "place": w.place, "words": unmarked(w.words),
        "found_mm": None if w.found is None else w.found.value,
        "target": None if w.target is None else _target(w.target),
        "true_to": w.true_to, "runout_mm": w.runout_mm, "forbidden": list(w.forbidden),
        "feature": w.feature, "sizes": [{"feature": s.feature, "found_mm": None if s.found is None else s.found.value,
                                         "target": _target(s.target)} for s in w.sizes],
        "others": [unmarked(words) for words in w.others],
    }


def answer(a: Answer) -> dict[str, Any]:
    """One question about a joint."""
    margin, sd = (None if v is None else in_unit(v, a.unit) for v in (a.margin, a.sd))
    return {
        "question": a.question, "verdict": a.verdict.value, "margin": margin, "sd": sd, "unit": a.unit, "odds": a.odds,
        "reason": unmarked(a.reason), "measure": unmarked(a.measure), "remedy": unmarked(a.remedy),
        "works": [work(w) for w in a.works], "rule": a.rule, "source": a.source, "caution": a.caution,
    }


def mate(m: MateResult) -> dict[str, Any]:
    """One joint between two parts with every question about it."""
    joint = m.joint
    return {
        "name": joint.name, "kind": joint.kind, "parts": [joint.a_part, joint.b_part], "use": joint.use,
        "verdict": m.verdict.value, "where": place_of(joint.where), "answers": [answer(a) for a in m.answers],
    }


def _chain(c: Chain) -> dict[str, Any]:
    return {
        "words": unmarked(c.words()), "joints": c.joints, "cost": c.cost, "length_mm": c.length_mm,
        "fittings": [{"name": p.name, "form": p.form, "enters": str(p.enters), "leaves": str(p.leaves)}
                     for p in c.placed],
    }


def chain(c: ChainResult) -> dict[str, Any]:
    """One line whose two ends do not meet, with the chains of fittings found for it and its bag."""
    wish, found = c.asked.wish, c.chains
    return {
        "number": c.number, "start": f"{wish.start}", "end": f"{wish.end}", "by": wish.by, "use": wish.use,
        "best": [] if found is None else [_chain(one) for one in found.best],
        "made": None if found is None or found.made is None else unmarked(found.made.words),
        "refused": [] if found is None else [ban.reason for ban in found.refused],
        "note": "" if found is None else unmarked(found.note),
        "bag": [{"line": i.line, "end": i.end, "fitting": i.fitting, "thread": i.thread, "seat": i.seat, "tube": i.tube}
                for i in c.bag],
        "where": place_of(wish.where),
    }


def _spread(spread: Spread | None, unit: str, name: str) -> dict[str, float] | None:
    if spread is None:
        return None
    ends = {"low": spread.low, "nominal": spread.nominal, "high": spread.high}
    return {f"{end}_{name}": in_unit(value, unit) for end, value in ends.items()}


def torque(line: TorqueLine) -> dict[str, Any]:
    """One line of the torque list."""
    return {
        "joint": line.joint, "bolts": line.size, "thread": line.thread, "grade": line.grade, "state": line.state,
        "torque": None if line.held else _spread(line.torque, "N*m", "nm"),
        "source": line.torque_source,
        "clamp": None if line.held else _spread(line.clamp, "N", "n"),
        "retorque": line.retorque, "one_time": line.one_time,
        "locking": line.locking, "notes": list(line.notes), "caution": line.caution,
        "order": line.order, "held": list(line.held), "first": line.first,
    }


def gap(w: Weighed) -> dict[str, Any]:
    """One gap with its bounds, doubt, pose and place."""
    a = w.answer
    return {
        "pair": [a.pair.a.name, a.pair.b.name], "lower_mm": a.lower_mm, "upper_mm": a.upper_mm,
        "required_mm": a.pair.required_mm, "sd_mm": w.sd_mm, "verdict": w.verdict.value,
        "pose": {"heave_mm": a.pose.heave, "roll_deg": math.degrees(a.pose.roll),
                 "rock_deg": math.degrees(a.pose.rock)},
        "place": {"on_first_mm": list(a.at_a), "on_second_mm": list(a.at_b)},
        "settled": a.settled, "closed": a.closed,
        "through_travel": a.through_travel, "rule": a.pair.rule, "source": a.pair.source,
    }


def sweep(results: Results, weighed: tuple[Weighed, ...]) -> dict[str, Any]:
    """Every gap, and what the travel does to the vehicle."""
    travel = results.travel
    story = results.story
    return {
        "gaps": [gap(w) for w in weighed],
        "not_asked": [{"pair": [a, b], "both_hang_on": point} for a, b, point in left_out(results.build)],
        "travel": None if travel is None or story is None else {
            "heave_mm": [float(travel.lo[0]), float(travel.hi[0])],
            "roll_deg": [math.degrees(float(travel.lo[1])), math.degrees(float(travel.hi[1]))],
            "rock_deg": [math.degrees(float(travel.lo[2])), math.degrees(float(travel.hi[2]))],
            "fit_error_mm": travel.fit_error_mm,
            "lateral_walk_mm": [story.lateral_mm.least, story.lateral_mm.most],
            "fore_aft_walk_mm": [story.fore_aft_mm.least, story.fore_aft_mm.most],
            "pinion_change_deg": [story.pinion_deg.least, story.pinion_deg.most],
            "lengths": {
                s.name: {"ride_mm": s.ride_mm, "least_mm": s.length_mm.least, "most_mm": s.length_mm.most}
                for s in story.spans},
            "notes": list(travel.notes),
        },
    }


def check(results: Results, findings: list[Finding], code: int) -> dict[str, Any]:
    """Every finding of a build, worst first, the exit code, the driveline, joints, chains of fittings and torques."""
    return {"build": results.build.name, "exit": code, "findings": [finding(f) for f in findings],
            "driveline": driveline(results), "mates": [mate(m) for m in results.mates],
            "chains": [chain(c) for c in results.chains], "torques": [torque(line) for line in results.torques]}
