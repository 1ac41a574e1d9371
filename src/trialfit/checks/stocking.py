"""Which stock the pieces of one laid exhaust are cut from: settled once, and written into the pieces for every paper.

In: a laid route with its bare cut list, and what the file says of stock, sticks and shelf. Out: a :class:`StockPlan`
with the cut list that papers, page and exports tell, and findings ``exhaust.<route>.stock`` where making is asked for.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trialfit.checks.placing import PlacingError, amount_mm
from trialfit.exhaust.branch import Branch, BranchCut, branch_cut
from trialfit.exhaust.chain import Chain, chain_of
from trialfit.exhaust.lay import LaidRoute
from trialfit.exhaust.nesting import (
    BendStock,
    Nest,
    NestingError,
    StickStock,
    Stock,
    Wanted,
    nest,
    suits,
    wanted_of,
)
from trialfit.exhaust.pieces import CutList, Extra
from trialfit.exhaust.saw_marks import allotted
from trialfit.exhaust.sides import pointing
from trialfit.exhaust.transitions import ConeCut, cone_cut
from trialfit.findings import Finding, Verdict
from trialfit.standards import Rule, rule
from trialfit.vehicle import BranchSaid, MakingSaid, RoutePlan
from trialfit.vehicle.making import ConeSaid

KERF_MM = 2.0
"""What the saw takes where nobody said [mm]; common practice, no source."""
NESTING_SECONDS = 10.0

Sizes = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class StockPlan:
    """``bare`` are the pieces without stock, ``cuts`` the same with the stock each is cut from (as ``nest`` has it;
    None: it cannot be cut, or no stock is listed) and with what is made beside them."""

    plan: RoutePlan
    bare: CutList
    cuts: CutList
    kerf_mm: float
    nest: Nest | None
    findings: tuple[Finding, ...] = ()


def stock_plan(laid: LaidRoute, cuts: CutList, sizes: Sizes, choices: Mapping[str, str]) -> StockPlan:
    """What the pieces of a laid route are cut from. Nothing raises for what a builder may have written.

    Where nothing is said under making, bends alone are cut, from what is listed as stock; a bend that none of it gives
    is then left to be ordered.

    Parameters
    ----------
    laid : LaidRoute
        with a centre line
    cuts : CutList
        of the same route, bare
    sizes : mapping
        measured sizes with their doubt [mm]
    choices : mapping
        version of each rule that the build chose
    """
    plan = laid.plan
    asked = plan.making is not None
    said = plan.making or MakingSaid()
    kerf = KERF_MM if said.kerf_mm is None else said.kerf_mm
    found: list[Finding] = []
    stock = stock_of(plan, said, cuts)
    nested: Nest | None = None
    if stock and asked:
        nested = _nested(plan, said, cuts, stock, kerf, found)
    elif stock:
        wanted = [w for w in wanted_of(cuts) if w.is_bend and any(suits(w, s) for s in stock)]
        nested = _or_none(wanted, stock, kerf)
    told = cuts if nested is None else allotted(cuts, nested)
    told = replace(told, extras=_extras(laid, told, said, sizes, choices))
    return StockPlan(plan, cuts, told, kerf, nested, tuple(found))


def _or_none(wanted: Sequence[Wanted], stock: Sequence[Stock], kerf_mm: float) -> Nest | None:
    try:
        return nest(wanted, stock, kerf_mm, NESTING_SECONDS)
    except NestingError:
        return None  # the papers then say of each piece that its stock is not said


def stock_of(plan: RoutePlan, said: MakingSaid, cuts: CutList) -> tuple[Stock, ...]:
    """Bends and sticks to be had for a route's tube, those on the shelf first and for nothing.

    A bend of another diameter is left out.
    """
    shelf = dict(said.shelf)
    found: list[Stock] = []
    for bend in plan.stock:
        if abs(bend.diameter_mm - cuts.diameter_mm) > 1.0:
            continue
        one = BendStock(bend.name, cuts.diameter_mm, cuts.wall_mm, bend.radius_mm, bend.angle_rad, bend.leg_mm,
                        bend.price)
        if shelf.get(bend.name, 0):
            found.append(replace(one, price=0.0, count=shelf[bend.name]))
        found.append(one)
    for stick in said.sticks:
        whole = StickStock(stick.name, cuts.diameter_mm, cuts.wall_mm, stick.length_mm, stick.price)
        if shelf.get(stick.name, 0):
            found.append(replace(whole, price=0.0, count=shelf[stick.name]))
        found.append(whole)
    return tuple(found)


def _nested(plan: RoutePlan, said: MakingSaid, cuts: CutList, stock: Sequence[Stock], kerf_mm: float,
            found: list[Finding]) -> Nest | None:
    name, where = f"exhaust.{plan.name}.stock", said.where or plan.where
    sticks = any(isinstance(s, StickStock) for s in stock)
    bends = any(isinstance(s, BendStock) for s in stock)
    wanted = wanted_of(cuts)
    kept = [w for w in wanted if (bends if w.is_bend else sticks)]
    for there, thing, key in ((bends, "bends", "stock"), (sticks, "sticks", "sticks")):
        left = [w for w in wanted if w.is_bend == (thing == "bends")]
        if left and not there:
            found.append(Finding(f"{name}.{thing}", Verdict.CANNOT_TELL,
                                 f"{len(left)} pieces want {thing} and none are listed",
                                 f"list what can be bought under {key}", where=where))
    try:
        done = nest(kept, stock, kerf_mm, NESTING_SECONDS)
    except NestingError as refused:
        found.append(Finding(name, Verdict.DOES_NOT_FIT, str(refused), "list such stock, or change the route",
                             source="whole-number programme", where=where))
        return None
    bought = [u for u in done.units if u.stock.count is None]
    shelf = len(done.units) - len(bought)
    words = (f"{len(kept)} pieces come from {_counted(done)}; {done.cost:g} to pay"
             + (f", {shelf} of them on the shelf" if shelf else ""))
    found.append(Finding(name, Verdict.FITS_AFTER_WORK if bought else Verdict.FITS, f"{words}; {done.proof}",
                         f"buy {_counted(Nest(tuple(bought), done.cost, done.least))}" if bought else "",
                         source="whole-number programme, solved by a general library", where=where))
    return done


def _counted(plan: Nest) -> str:
    counts: dict[str, int] = {}
    for unit in plan.units:
        counts[unit.stock.name] = counts.get(unit.stock.name, 0) + 1
    return ", ".join(f"{n} x {name}" for name, n in counts.items()) or "nothing"


# -- what is made beside the pieces ---------------------------------------------------------------------------------


def branch_said(said: BranchSaid, chain: Chain, sizes: Sizes) -> Branch:
    """A branch with its sizes known.

    Raises
    ------
    ValueError
        for a place beyond the pipe, or a size that is not known
    """
    wide = sizes.get(said.diameter.size, (said.diameter.mm, said.diameter.sd_mm))
    if said.at_mm > chain.length_mm:
        raise ValueError(f"{said.name} sits {said.at_mm:.0f} mm along a pipe of {chain.length_mm:.0f} mm")
    return Branch(said.name, said.at_mm, said.clock_rad, said.angle_rad, wide[0], amount_mm(said.wall, sizes),
                  said.length_mm, said.offset_mm, True, wide[1], said.where)


def cone_said(route: str, said: ConeSaid, pipe_mm: float, sizes: Sizes, most: Rule) -> ConeCut:
    """A cone as it is cut.

    Raises
    ------
    ValueError
        as :func:`trialfit.exhaust.transitions.cone_cut`, or for a size that is not known
    """
    return cone_cut(route, said.name, said.at, pipe_mm, amount_mm(said.diameter, sizes), amount_mm(said.wall, sizes),
                    said.length_mm, said.lap_mm, most)


def _extras(laid: LaidRoute, cuts: CutList, said: MakingSaid, sizes: Sizes, choices: Mapping[str, str]
            ) -> tuple[Extra, ...]:  # fmt: skip
    """Branches and cones; one that cannot be cut is left out, and the findings of making say why."""
    found: list[Extra] = []
    most = rule("transition-angle", choices.get("transition-angle"))
    if said.branches:
        chain = chain_of(laid, cuts)
        for branch in said.branches:
            try:
                found.append(_branch(branch_cut(chain, branch_said(branch, chain, sizes)), cuts))
            except (ValueError, PlacingError):
                continue
    for cone in said.cones:
        try:
            found.append(_cone(cone_said(cuts.route, cone, cuts.diameter_mm, sizes, most), cuts))
        except (ValueError, PlacingError):
            continue
    return tuple(found)


def _branch(cut: BranchCut, cuts: CutList) -> Extra:
    branch = cut.branch
    piece, along = cuts.at(branch.at_mm)
    way = (cut.end - cut.start) / branch.length_mm
    take = (f"tube {branch.diameter_mm:.1f} mm outside, wall {branch.wall_mm:.2f} mm, {cut.papers[0].height_mm:.1f} mm "
            "long before the saddle is cut")
    where = (f"hole in piece {piece.number}: the axes cross {along:.1f} mm from its joint {piece.start} "
             f"({branch.at_mm:.1f} mm from the outlet). It goes off {cut.goes_off}, and points {pointing(way)}. The "
             f"hole is {cut.hole_length_mm:.1f} mm along the pipe and {cut.hole_width_mm:.1f} mm round it; its "
             "template is with the wraps")
    return Extra(branch.name, "branch", take, where, 1, f"round its saddle, {cut.weld_mm:.0f} mm")


def _cone(cone: ConeCut, cuts: CutList) -> Extra:
    corners = cone.paper.outline
    wide, high = (float(v) for v in corners.max(axis=0) - corners.min(axis=0))
    small, large = sorted((cone.pipe_mm, cone.far_mm))
    joint = cuts.pieces[-1].end if cone.at == "tail" else cuts.pieces[0].start
    side = "behind the tail" if cone.at == "tail" else "ahead of the outlet"
    take = (f"sheet {wide:.0f} mm by {high:.0f} mm, {cone.wall_mm:.2f} mm thick, rolled by its template; or a cone "
            f"bought, {small:.1f} mm to {large:.1f} mm outside, {cone.length_mm:.1f} mm long")
    where = f"{side}, at joint {joint}; its {cone.far_mm:.1f} mm end away from the pipe"
    return Extra(cone.name, "cone", take, where, 2, "its seam (none on a bought one), and round the pipe")
