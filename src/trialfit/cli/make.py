"""``trialfit make``: an exhaust for its fabricator: stock, heat, hangers, joints, the way out of each section."""

import json as _json
import math
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from trialfit import units
from trialfit.checks import Results
from trialfit.checks.making import Making
from trialfit.cli import answers, show
from trialfit.cli.work import opened, refuse, worked
from trialfit.exhaust.branch import CAUTION as BRANCH_CAUTION
from trialfit.exhaust.hanger_making import hangers_made
from trialfit.exhaust.hangers import CAUTION as HANGER_CAUTION
from trialfit.exhaust.nesting import BendStock, Unit
from trialfit.exhaust.pieces import StockCut, stock_item
from trialfit.exhaust.removal import CAUTION as REMOVAL_CAUTION
from trialfit.exhaust.saw_marks import out_of
from trialfit.exhaust.sensor import CAUTION as SENSOR_CAUTION
from trialfit.findings import Verdict, worst_first
from trialfit.vehicle import Settings

_KPA = 1000.0
_ZERO_K = 273.15
_OPEN = (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)


def made(path: Path, name: str | None, as_json: bool) -> int:
    """Body of the command: 0 when everything about making fits, 1 when not, 2 when the input was refused."""
    build = opened(path, as_json)
    if build is None:
        return 2
    results, _weighed, _found = worked(build, path, making=True)
    told = results.makings
    if name is not None:
        known = [m.route for m in told]
        told = tuple(m for m in told if m.route == name)
        if not told:
            return refuse(f"no exhaust called {name} is laid; laid are: {', '.join(known) or 'none'}", as_json)
    if not told:
        return refuse(f"the build has no exhaust that is laid, so there is nothing to make; see trialfit check {path}",
                      as_json)
    code = 1 if any(f.verdict in _OPEN for m in told for f in m.findings) else 0
    if as_json:
        print(_json.dumps({"makings": [plain(m) for m in told], "exit": code}, indent=2, ensure_ascii=False))
    else:
        for one in told:
            _shown(results, one)
    return code


# -- for a machine --------------------------------------------------------------------------------------------------


def plain(made: Making) -> dict[str, Any]:
    """One making for a machine; what was not asked is None or empty."""
    hung, sensor, run_ = made.hangers, made.sensor, made.run
    return {
        "route": made.route, "material": made.material, "kerf_mm": made.kerf_mm,
        "length_mm": made.chain.length_mm, "mass_kg": made.chain.mass_kg,
        "asked": made.plan.making is not None,
        "stock": None if made.nest is None else {
            "cost": made.nest.cost, "least": made.nest.least, "proven": made.nest.proven,
            "proof": made.nest.proof, "units": [_unit(u, made) for u in made.nest.units]},
        "beside": [{"name": e.name, "kind": e.kind, "take": e.take, "where": e.where, "welds": e.welds}
                   for e in made.cuts.extras],
        "welds": made.cuts.all_welds,
        "tail": {"off_mm": made.lands_mm, "turned_deg": _deg(made.lands_rad), "as_marked_mm": made.marked_mm},
        "gas": None if made.flow is None or made.runs is None or run_ is None else {
            "flow_kg_s": made.flow.gas_kg_s,
            "back_pressure_kpa": [_KPA * made.runs[0].back_mpa[0], _KPA * run_.back_mpa[1]],
            "fastest_mach": run_.fastest.mach,
            "along": [{"at_mm": s.at_mm, "gas_k": list(s.gas_k), "skin_k": list(s.skin_k),
                       "metal_k": list(s.metal_k)} for s in run_.stations]},
        "sizes": [{"outside_mm": r.choice.outside_mm, "wall_mm": r.choice.wall_mm,
                   "back_pressure_kpa": None if r.back_mpa is None else [_KPA * p for p in r.back_mpa],
                   "mach": r.mach, "gap_lost_mm": r.gap_lost_mm, "money": r.money, "mass_kg": r.mass_kg,
                   "refused": r.refused} for r in made.sizes],
        "neighbours": [{"name": n.name, "kind": n.kind, "distance_mm": n.distance_mm, "at_mm": n.at_mm,
                        "surface_k": list(n.surface_k), "limit_k": n.limit_k, "verdict": n.verdict.value,
                        "shields": n.shields} for n in made.neighbours],
        "growth_share": None if made.growth is None else list(made.growth.share),
        "hot_gaps": [{"pair": [g.a, g.b], "required_mm": g.required_mm, "cold_mm": g.cold_mm, "hot_mm": g.hot_mm,
                      "sd_mm": g.sd_mm} for g in made.hot_gaps],
        "hangers": None if hung is None else [
            {"at": h.candidate.name, "by": h.candidate.kind, "along_mm": h.at_mm, "cold_n": list(h.cold_n),
             "hot_n": list(h.hot_n), "rod_mm": h.rod.length_mm, "rod_diameter_mm": h.rod.diameter_mm,
             "rod_bend_radius_mm": one.radius_mm, "weld_mm": list(one.weld_mm),
             "weld_clock_deg": _deg(one.clock_rad), "drop_mm": h.isolator.drop_mm,
             "on_the_body_of": None if one.shell is None else one.shell[0],
             "bends": [{"at_mm": b.at_mm, "turn_deg": _deg(b.turn_rad), "rotation_deg": _deg(b.rotation_rad)}
                       for b in h.rod.bends]}
            for one in hangers_made(made.chain, hung.hangers) for h in (one.hanger,)],
        "removals": [{"section": r.section, "name": r.name, "pose": r.pose, "answer": r.answer.value,
                      "steps": [s.words for s in r.steps], "gap_mm": r.gap_mm if math.isfinite(r.gap_mm) else None,
                      "stopped_by": list(r.stopped_by)} for r in made.removals],
        "sensor": None if sensor is None or sensor.best_mm is None else {
            "at_mm": sensor.best_mm, "clock_deg": _deg(sensor.best_clock_rad)},
        "branches": [{"name": b.branch.name, "saddle_mm": b.depth_mm, "hole_mm": [b.hole_length_mm, b.hole_width_mm],
                      "weld_mm": b.weld_mm} for b in made.branches],
        "cones": [{"name": c.name, "at": c.at, "pipe_mm": c.pipe_mm, "far_mm": c.far_mm, "length_mm": c.length_mm,
                   "included_deg": _deg(c.angle_rad)} for c in made.cones],
        "findings": [answers.finding(f) for f in worst_first(made.findings)],
    }


def _deg(angle_rad: float | None) -> float | None:
    return None if angle_rad is None else math.degrees(angle_rad)


def _unit(unit: Unit, made: Making) -> dict[str, Any]:
    return {
        "stock": unit.stock.name, "number": unit.number, "price": unit.stock.price,
        "on_the_shelf": unit.stock.count is not None,
        "cuts": [_cut_plain(s) for s in out_of(made.cuts, unit.number)],
        "left_deg": _deg(unit.left_rad), "left_mm": list(unit.left_mm),
    }


def _cut_plain(s: StockCut) -> dict[str, Any]:
    from_deg, to_deg = (_deg(v) for v in s.span_rad)
    low, high = (None, None) if s.is_bend else s.span_mm
    return {
        "piece": s.piece, "place": s.place, "end": s.from_end if s.is_bend else None, "leg": s.leg,
        "from_deg": from_deg if s.is_bend else None, "to_deg": to_deg if s.is_bend else None,
        "from_mm": low, "to_mm": high,
        "marks": [{"face": e.joint, "end": e.end or None, "leg": e.leg or None, "sawn": e.sawn,
                   "at_deg": _deg(e.at_rad), "outside_mm": e.outside_chord_mm, "inside_mm": e.inside_chord_mm,
                   "tape_mm": e.outside_tape_mm, "from_end_mm": e.from_end_mm} for e in (s.near, s.far)],
    }


# -- for a person ---------------------------------------------------------------------------------------------------


def _table(*columns: str) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for name in columns:
        table.add_column(name.lstrip(">"), justify="right" if name.startswith(">") else "left")
    return table


def _shown(results: Results, made: Making) -> None:
    plain_console = Console(highlight=False)
    console = plain_console if plain_console.is_terminal else Console(highlight=False, width=160)
    settings = results.build.settings
    mass = "mass not known" if made.chain.mass_kg is None else f"{made.chain.mass_kg:.1f} kg"
    console.print(f"[bold]exhaust {made.route}[/bold]  {made.material}, "
                  f"{show.length(made.chain.length_mm, settings)} along its middle, {mass}")
    if made.plan.making is None:
        console.print("  nothing is asked of its making: write making: under it (docs/build-file.md)", markup=False)
    _stock(console, made, settings)
    _beside(console, made, settings)
    _sizes(console, made, settings)
    _near(console, made, settings)
    _hangers(console, made, settings)
    _ways_out(console, made, settings)
    _said(console, made, settings)
    cautions = [text for wanted, text in (
        (made.fit_up is not None and made.plan.making is not None, made.fit_up.practice.caution if made.fit_up else ""),
        (made.hangers is not None, HANGER_CAUTION), (bool(made.removals), REMOVAL_CAUTION),
        (made.sensor is not None, SENSOR_CAUTION),
        (any(b.brings == 0.0 for b in made.said.branches), BRANCH_CAUTION)) if wanted and text]
    for text in cautions:
        console.print(f"caution: {text[:1].upper()}{text[1:]}", markup=False, style="dim")
    console.print()


def _stock(console: Console, made: Making, settings: Settings) -> None:
    if made.nest is None:
        return
    table = _table("stock", "cut from it, in order", ">left over")
    for unit in made.nest.units:
        left = []
        if isinstance(unit.stock, BendStock):
            left.append(f"{math.degrees(unit.left_rad):.0f} deg")
        left += [show.length(mm, settings) for mm in unit.left_mm if mm >= 1.0]
        table.add_row(stock_item(unit.stock.name, unit.number, unit.stock.count is not None),
                      "; ".join(_cut(s, settings) for s in out_of(made.cuts, unit.number)), ", ".join(left))
    console.print(table)
    console.print("  angles count from where the curve begins at the end that is named, the face named first at it",
                  markup=False, style="dim")
    console.print(f"  {made.nest.cost:g} to pay; {made.nest.proof}; saw {show.length(made.kerf_mm, settings)}",
                  markup=False)


def _beside(console: Console, made: Making, settings: Settings) -> None:
    for e in made.cuts.extras:
        console.print(f"  {show.told(f'{e.name} ({e.kind}): {e.take}; {e.where}', settings)}", markup=False)


def _cut(s: StockCut, settings: Settings) -> str:
    faces = f"{s.piece} ({s.near.joint}-{s.far.joint})"
    if s.is_bend:
        low, high = (math.degrees(v) for v in s.span_rad)
        return f"{faces}, {'whole' if s.whole else f'end {s.from_end}'}, {low:.1f} to {high:.1f} deg"
    low, high = s.span_mm
    where = f" of leg {s.leg}" if s.leg else ""
    return f"{faces}, {show.length(high - low, settings)} from {show.length(low, settings)}{where}"


def _sizes(console: Console, made: Making, settings: Settings) -> None:
    if not made.sizes:
        return
    table = _table("tube", ">back pressure, most gas", ">Mach", ">gaps lose", ">tube costs", ">mass")
    for row in made.sizes:
        unit, digits = ("mm", 2) if settings.units == "metric" else ("in", 3)
        wall = units.show(row.choice.wall_mm, unit, digits)
        tube = f"{show.length(row.choice.outside_mm, settings)} x {wall}"
        if row.back_mpa is None:
            table.add_row(tube, row.refused, "", "", "", "")
            continue
        table.add_row(tube, f"{_KPA * row.back_mpa[0]:.1f} to {_KPA * row.back_mpa[1]:.1f} kPa", f"{row.mach:.2f}",
                      show.small(row.gap_lost_mm, settings), "not said" if row.money is None else f"{row.money:.0f}",
                      f"{row.mass_kg:.1f} kg")
    console.print(table)


def _near(console: Console, made: Making, settings: Settings) -> None:
    if not made.neighbours:
        return
    table = _table("near the hot pipe", ">off its skin", ">gets", ">stands", "verdict", "do")
    for n in made.neighbours:
        low, high = (t - _ZERO_K for t in n.surface_k)
        table.add_row(n.name, show.length(n.distance_mm, settings), f"{low:.0f} to {high:.0f} degC",
                      f"{n.limit_k - _ZERO_K:.0f} degC", n.verdict.value, n.remedy.split(":")[0])
    console.print(table)


def _hangers(console: Console, made: Making, settings: Settings) -> None:
    if made.hangers is None:
        return
    table = _table("hang on", "by", ">along the pipe", ">carries cold", ">hot", ">rod", "its bends")
    every = hangers_made(made.chain, made.hangers.hangers)
    for h in made.hangers.hangers:
        bends = "; ".join(f"at {show.length(b.at_mm, settings)} {math.degrees(b.turn_rad):.0f} deg, turned "
                          f"{math.degrees(b.rotation_rad):+.0f} deg" for b in h.rod.bends)
        rod = f"{show.length(h.rod.length_mm, settings)} of {show.length(h.rod.diameter_mm, settings)}"
        table.add_row(show.told(h.candidate.name, settings), h.candidate.kind, show.length(h.at_mm, settings),
                      _newton(h.cold_n), _newton(h.hot_n), rod, bends)
    console.print(table)
    for number, one in enumerate(every, 1):
        words = [f"weld {one.weld_words}", f"bends on {show.length(one.radius_mm, settings)}" if one.radius_mm else "",
                 one.rubber_words, f"bracket: {one.bracket_words}"]
        console.print(f"  hanger {number}: {show.told('. '.join(w for w in words if w), settings)}", markup=False)
        if one.shell is not None:
            console.print(f"  hanger {number} {show.told(one.shell_words, settings)}", markup=False)


def _newton(span: tuple[float, float]) -> str:
    return f"{span[0]:.0f} to {span[1]:.0f} N"


def _ways_out(console: Console, made: Making, settings: Settings) -> None:
    if not made.removals:
        return
    table = _table("section", "pose", "answer", "moves, or what is in the way")
    for r in made.removals:
        words = r.words or ", ".join(r.stopped_by) or r.note
        table.add_row(r.name, r.pose, r.answer.value, show.told(words, settings))
    console.print(table)


def _said(console: Console, made: Making, settings: Settings) -> None:
    """Everything open, with what to do, and then what fits in a line each."""
    for f in worst_first(made.findings):
        reason = show.told(f.reason, settings)
        if f.verdict is Verdict.FITS:
            continue
        console.print(f"[bold]{f.verdict.value}[/bold]  {f.name}")
        console.print(f"  {reason}", markup=False)
        if f.remedy:
            console.print(f"  do: {show.told(f.remedy, settings)}", markup=False)
    fine = [f for f in made.findings if f.verdict is Verdict.FITS]
    for f in fine:
        console.print(f"fits  {show.told(f.reason, settings)}", markup=False, style="dim")
