"""The machine-readable answers: a contract, described in docs/machine-readable.md and held by tests/cli."""

import math
from typing import Any

from trialfit.checks import Results, left_out
from trialfit.cli.driveline import driveline
from trialfit.doubt import Weighed
from trialfit.findings import Finding, Place


def place_of(where: Place | None) -> dict[str, Any] | None:
    """Where something stands in the build file."""
    return None if where is None else {"file": where.file, "line": where.line, "column": where.column}


def finding(f: Finding) -> dict[str, Any]:
    """One finding."""
    return {
        "name": f.name, "verdict": f.verdict.value, "margin": f.margin, "sd": f.sd, "unit": f.unit,
        "where": place_of(f.where), "reason": f.reason, "remedy": f.remedy, "rule": f.rule, "source": f.source,
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
    """Every finding of a build, worst first, the exit code, and the driveline."""
    return {"build": results.build.name, "exit": code, "findings": [finding(f) for f in findings],
            "driveline": driveline(results)}
