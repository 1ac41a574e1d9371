"""What a search for a route came to: a table for people, an object for machines."""

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from trialfit import units
from trialfit.cli.answers import place_of
from trialfit.findings import Place
from trialfit.routing.problem import ObstacleGap
from trialfit.vehicle import Settings

if TYPE_CHECKING:
    from trialfit.cli.route import Answer
    from trialfit.routing import FoundRoute
    from trialfit.routing.closed import Blocked

_NAMED_GAPS = 3


def cost_parts(answer: "Answer", route: "FoundRoute") -> dict[str, dict[str, Any]]:
    """What a route costs, one thing the builder pays in after the other: amount, unit, and cost in money."""
    way = route.way
    amounts = dict(way.terms)
    parts: dict[str, dict[str, Any]] = {}
    paid = 0.0
    for term in answer.problem.sizes[way.size].terms:
        amount = amounts.get(term.name)
        if amount is None:
            continue
        cost = term.weight * amount
        paid += cost
        parts[term.name] = {"amount": amount, "unit": term.unit, "cost": cost}
    rest = way.cost - paid
    parts["closeness"] = {"amount": rest / answer.problem.gap_weight if answer.problem.gap_weight > 0.0 else 0.0,
                          "unit": "mm", "cost": rest}
    return parts


def binding(route: "FoundRoute") -> ObstacleGap | None:
    """The gap with the least certain margin."""
    return min(route.certificate.gaps, key=lambda g: g.lower_mm, default=None)


def cheaper_words(cost: float, bound: float) -> str:
    """How much cheaper any route could be, at most.

    >>> cheaper_words(200.0, 150.0)
    'no route can be more than 25 % cheaper'
    >>> cheaper_words(100.0, 99.8)
    'no route can be more than 0.2 % cheaper'
    """
    if not cost > 0.0 or not math.isfinite(bound):
        return "how much cheaper a route could be is not known"
    share = max(0.0, 100.0 * (1.0 - bound / cost))
    return f"no route can be more than {share:.2g} % cheaper"


def clear_words(lower_mm: float, upper_mm: float, settings: Settings) -> str:
    """The margin beyond every gap asked for, in words; never "clear" unless that is certain."""
    low, high = _small(lower_mm, settings), _small(upper_mm, settings)
    if lower_mm < 0.0:
        return f"NOT certain to clear: {low} to {high}"
    return f"clear by {low} to {high}" if high != low else f"clear by {low}"


def plain(answer: "Answer", written: Path | None) -> dict[str, Any]:
    """The search for a machine, as docs/machine-readable.md says."""
    found = answer.found
    return {
        "build": answer.build.name, "exhaust": answer.plan.name,
        "routes": [_plain_route(answer, r) for r in found.routes],
        "bound": _number(found.bound), "bound_words": found.bound_words,
        "blocked": [_plain_blocked(answer, b) for b in found.blocked],
        "room_for_doubt": answer.spared, "unproved": found.unproved, "not_kept_clear": list(answer.left_out),
        "seconds": found.seconds, "rounds": found.rounds,
        "written": None if written is None else str(written),
    }


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None


def where_of(answer: "Answer", blocked: "Blocked") -> Place | None:
    """Where the first of the obstacles that close a place stands in the build file."""
    known = {o.name: o.where for o in answer.problem.obstacles}
    return next((known[n] for n in blocked.names if known.get(n) is not None), None)


def _plain_blocked(answer: "Answer", b: "Blocked") -> dict[str, Any]:
    return {"message": b.words, "remedy": b.remedy, "proved": b.proved, "obstacles": list(b.names),
            "missing_mm": _number(b.missing_mm), "place_mm": None if b.place is None else list(b.place),
            "where": place_of(where_of(answer, b))}


def _plain_route(answer: "Answer", route: "FoundRoute") -> dict[str, Any]:
    way, certificate = route.way, route.certificate
    size = answer.problem.sizes[way.size]
    laid = answer.laid(route)
    points = [[float(v) for v in p] for p in way.points]
    spare = {o.name: o.spare_mm for o in answer.problem.obstacles}
    turns = _turns(way.points)
    return {
        "name": route.name, "sides": dict(route.sides),
        "cost": way.cost, "cost_parts": cost_parts(answer, route), "bound": _number(answer.found.bound),
        "length_mm": way.length_mm, "turn_deg": math.degrees(way.turn_rad), "welds": way.welds,
        "clear": certificate.clear, "clear_mm": [certificate.lower_mm, certificate.upper_mm],
        "pipe": {"diameter_mm": size.diameter_mm, "wall_mm": size.wall_mm},
        "points": points,
        "bends": [{"corner": k + 1, "name": size.bends[b].name, "radius_mm": size.bends[b].radius_mm,
                   "turn_deg": math.degrees(turns[k]), "pieces": size.bends[b].pieces}
                  for k, b in enumerate(way.bends)],
        "parts": [{"name": p.name, "kind": p.kind, "leg": p.leg, "start_mm": p.start_mm,
                   "clock_deg": math.degrees(p.clock_rad)} for p in laid.parts],
        "gaps": [{"obstacle": g.obstacle, "required_mm": g.required_mm - spare[g.obstacle],
                  "spare_mm": spare[g.obstacle],
                  "lower_mm": g.lower_mm + g.required_mm, "upper_mm": g.upper_mm + g.required_mm,
                  "pose": {"heave_mm": g.pose[0], "roll_deg": math.degrees(g.pose[1]),
                           "rock_deg": math.degrees(g.pose[2])},
                  "at_mm": list(g.at), "closed": g.closed, "far": g.far}
                 for g in sorted(certificate.gaps, key=lambda g: g.lower_mm)],
    }


def _turns(points: Any) -> list[float]:
    from trialfit.geometry.centreline import turns_rad

    return [float(t) for t in turns_rad(points)] if len(points) > 2 else []


# -- for people -------------------------------------------------------------------------------------------------


def _small(mm: float, settings: Settings) -> str:
    return f"{mm:.1f} mm" if settings.units == "metric" else f"{mm / 25.4:.2f} in"


def table(answer: "Answer", written: Path | None, pick: int, console: Console | None = None) -> None:
    """Print the routes, best first, with what each costs and how certain it is; or why there is none."""
    screen = Console(highlight=False) if console is None else console
    if console is None and not screen.is_terminal:
        screen = Console(highlight=False, width=160)
    settings, found = answer.build.settings, answer.found

    def said(text: str) -> str:
        return units.retold(text, settings.units, settings.fraction)

    screen.print(f"[bold]{escape(answer.build.name)}[/bold]  exhaust {escape(answer.plan.name)}: "
                 f"{len(found.routes)} kind{'' if len(found.routes) == 1 else 's'} of route in {found.seconds:.1f} s")
    for words in answer.left_out:
        screen.print(f"note: {words}", markup=False)
    for number, route in enumerate(found.routes, 1):
        _one(screen, answer, route, number, said)
    if found.routes:
        best = found.routes[0].way.cost
        screen.print()
        screen.print(f"{cheaper_words(best, found.bound)} than the first. {found.bound_words}", markup=False)
        if answer.spared:
            screen.print("gaps hold over the whole travel; what is wanted holds room for the give or take of the tape",
                         markup=False, style="dim")
        else:
            screen.print("no route leaves room for the give or take of the tape: these hold for the points as measured "
                         "only. 'trialfit check' names the reading to take again once one is written", markup=False,
                         style="bold")
    else:
        screen.print("no route was found", style="bold")
    if found.unproved:
        screen.print(f"{found.unproved} more kind{'' if found.unproved == 1 else 's'} of route left out: their gaps "
                     "could not be proved", markup=False)
    for b in found.blocked:
        sure = "" if b.proved else "as far as the search went: "
        where = where_of(answer, b)
        at = "" if where is None else f"  ({where})"
        screen.print(f"\nblocked: {sure}{said(b.words)}{at}", markup=False)
        if b.remedy:
            screen.print(f"  do: {said(b.remedy)}", markup=False)
    if written is not None:
        screen.print(f"\nroute {pick} was written into {written}; next: trialfit check {written}", markup=False)
    elif found.routes:
        screen.print("\nnothing was written; --write lays the first into the build file, --pick 2 the second",
                     markup=False, style="dim")


def _one(screen: Console, answer: "Answer", route: "FoundRoute", number: int, said: Any) -> None:
    settings, way, c = answer.build.settings, route.way, route.certificate
    size = answer.problem.sizes[way.size]
    screen.print()
    screen.print(f"[bold]{number}  {escape(route.name)}[/bold]   cost {way.cost:.1f}")
    bends = len(way.bends)
    screen.print(f"   {clear_words(c.lower_mm, c.upper_mm, settings)} beyond what is asked for", markup=False,
                 style="" if c.clear else "bold reverse")
    screen.print("   " + said(f"{size.name}, {way.length_mm:.0f} mm along its centre, {bends} bend"
                              f"{'' if bends == 1 else 's'}, {math.degrees(way.turn_rad):.0f} deg in all, "
                              f"{way.welds} welds"), markup=False)
    parts = cost_parts(answer, route)
    screen.print("   " + ", ".join(_part_words(name, p) for name, p in parts.items() if p["cost"] > 0.005),
                 markup=False, style="dim")
    spare = {o.name: o.spare_mm for o in answer.problem.obstacles}
    gaps = Table(box=None, padding=(0, 2, 0, 3), header_style="dim")
    gaps.add_column("nearest to")
    for head in ("never under", "met", "wanted", "for the tape"):
        gaps.add_column(head, justify="right", no_wrap=True)
    for g in sorted(c.gaps, key=lambda g: g.lower_mm)[:_NAMED_GAPS]:
        extra = spare[g.obstacle]
        gaps.add_row(escape(g.obstacle), _small(g.lower_mm + g.required_mm, settings),
                     "-" if g.far else _small(g.upper_mm + g.required_mm, settings),
                     _small(g.required_mm - extra, settings), f"+ {_small(extra, settings)}")
    screen.print(gaps)


def _part_words(name: str, part: dict[str, Any]) -> str:
    if not part["unit"]:
        return f"{name} {part['cost']:.1f}"
    return f"{name} {part['amount']:.3g} {part['unit']} = {part['cost']:.1f}"


def line(answer: "Answer", route: "FoundRoute", number: int) -> str:
    """One route in one line, for the demo."""
    settings, way, c = answer.build.settings, route.way, route.certificate
    tight = binding(route)
    near = "" if tight is None else (
        f"; nearest {tight.obstacle}, never under {_small(tight.lower_mm + tight.required_mm, settings)}")
    return units.retold(
        f"{number} {route.name}: {clear_words(c.lower_mm, c.upper_mm, settings)}{near}; {way.welds} welds, "
        f"{way.length_mm:.0f} mm, cost {way.cost:.1f}", settings.units, settings.fraction)
