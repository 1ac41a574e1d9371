"""The driveline's machine-readable answers: shaft, gearing, orders; described in docs/machine-readable.md."""

import math
from typing import Any

from trialfit.checks import GearingAnswers, Results, ShaftAnswers
from trialfit.driveline import Order, RuleAnswer, TubeAnswer

_RPM = math.pi / 30.0
_KMH = 3.6e-3


def driveline(results: Results) -> dict[str, Any] | None:
    """Everything about the driveline; None for a build that says nothing of one."""
    found = results.driveline
    if found is None:
        return None
    return {"shaft": None if found.shaft is None else _shaft(found.shaft),
            "gearing": None if found.gearing is None else _gearing(found.gearing),
            "orders": [_order(o) for o in results.orders]}


def _rpm(rate_rad_s: float | None) -> float | None:
    return None if rate_rad_s is None else rate_rad_s / _RPM


def _shaft(s: ShaftAnswers) -> dict[str, Any]:
    sd = s.doubt.angle_rad
    return {
        "pieces": s.line.pieces,
        "lengths": [{"mm": one.mm, "sd_mm": one.sd_mm} for one in s.lengths],
        "joints": [{"name": j.name, "ride_deg": math.degrees(j.ride_rad), "side_deg": math.degrees(j.side_rad),
                    "plan_deg": math.degrees(j.plan_rad), "least_deg": math.degrees(j.least_rad),
                    "most_deg": math.degrees(j.most_rad), "sd_deg": None if sd is None else math.degrees(sd)}
                   for j in s.angles.joints],
        "rules": [_rule(a) for a in (*s.rules, *(() if s.slip is None else (*s.slip.engagement, *s.slip.pull_back)))],
        "plunge": None if s.plunge is None else {
            "out_mm": [s.plunge.out.lower, s.plunge.out.upper], "in_mm": [s.plunge.into.lower, s.plunge.into.upper],
            "sd_mm": list(s.plunge_sd_mm), "settled": s.plunge.settled},
        "top_speed_rpm": _rpm(s.top_speed_rad_s),
        "whirl": {"closed_form_rpm": _rpm(s.whirl_uniform_rad_s), "beam_model_rpm": _rpm(s.bending_rad_s),
                  "bounce_rpm": _rpm(s.bounce_rad_s)},
        "torque": None if s.torque is None else {
            "nm": s.torque.seen.torque_nmm / 1e3, "sd_nm": s.torque.sd_nmm / 1e3, "governs": s.torque.seen.governs,
            "low_gear_nm": s.torque.seen.low_gear_nmm / 1e3, "wheel_slip_nm": s.torque.seen.wheel_slip_nmm / 1e3,
            "factor": s.torque.seen.factor, "factor_origin": s.torque.seen.factor_origin},
        "tubes": [_tube(t) for t in s.tubes],
        "one_piece": None if s.one_piece is None else {
            "verdict": s.one_piece.verdict.value, "reason": s.one_piece.reason, "to_cut": list(s.one_piece.to_cut),
            "freed": list(s.one_piece.freed)},
        "pinion": None if s.pinion is None else {
            "now_deg": s.pinion_now_deg, "best_deg": s.pinion.pinion_deg, "turn_deg": s.pinion.turn_deg,
            "perch_deg": s.pinion.perch_deg, "not_felt_deg": list(s.pinion.flat_deg),
            "losses": [{"off_deg": n.off_deg, "mean_rad_s2": n.mean_rad_s2, "worst_rad_s2": n.worst_rad_s2}
                       for n in s.pinion.losses]},
        "series": [{"name": j.name, "series": j.series, "bears_nm": None if j.bears_nmm is None else j.bears_nmm / 1e3}
                   for j in s.joints],
        "bearing_loads": None if s.loads is None else {
            "gearbox_n": s.loads.gearbox_n, "pinion_n": s.loads.pinion_n, "centre_n": s.loads.centre_n},
    }


def _rule(a: RuleAnswer) -> dict[str, Any]:
    return {"what": a.what, "lower": a.lower, "upper": a.upper, "sd": a.sd, "limit": a.limit, "unit": a.unit,
            "at_most": a.at_most, "rule": a.rule, "version": a.version.label, "in_force": a.in_force,
            "verdict": a.verdict.value}


def _tube(t: TubeAnswer) -> dict[str, Any]:
    mass = t.mass_kg[1]
    return {"tube": t.tube.name, "verdict": t.verdict.value, "whirl_rpm": [w / _RPM for w in t.whirl_rad_s],
            "mass_kg": mass if math.isfinite(mass) else None, "gap_mm": t.gap_mm, "why": list(t.why)}


def _gearing(g: GearingAnswers) -> dict[str, Any]:
    return {
        "axle": g.train.axle, "circumference_mm": g.tyre.circumference_mm, "circumference_sd_mm": g.tyre.sd_mm,
        "gears": [{"gear": n.gear, "ratio": n.ratio, "overall": n.overall,
                   "km_h_per_1000_rpm": n.per_1000_rpm_mm_s * _KMH, "fastest_km_h": n.fastest_mm_s * _KMH,
                   "rpm_after_shift": _rpm(n.after_shift_rad_s), "push_n": n.push_n, "slips": n.slips}
                  for n in g.lines],
        "launch": {"ratio": g.launch.ratio, "low_ratio": g.launch.low_ratio, "raised_ratio": g.launch.raised_ratio},
        "cruise": None if g.cruise is None else {
            "km_h": g.cruise.speed_mm_s * _KMH, "rpm": _rpm(g.cruise.engine_rad_s), "load": g.cruise.load},
        "top": None if g.top is None else {
            "km_h": g.top.speed_mm_s * _KMH, "gear": g.top.gear, "rpm": _rpm(g.top.engine_rad_s), "limit": g.top.limit},
        "ranking": [{"place": r.place, "axle": r.axle, "score": r.score, "breaks_shaft": r.breaks_shaft,
                     "reason": r.reason} for r in g.ranking],
    }


def _order(o: Order) -> dict[str, Any]:
    return {
        "kind": o.kind, "may_order": o.may_order, "missing": [f.key for f in o.missing],
        "doubtful": [{"key": d.key, "reason": d.reason, "measure": d.measure, "stops": d.blocks} for d in o.doubtful],
        "fields": [{"key": f.key, "value": f.value, "sd": f.sd, "source": f.source, "life_critical": f.life_critical}
                   for f in o.fields if f.value is not None],
    }
