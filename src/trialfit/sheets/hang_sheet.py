"""Where the exhaust hangs and how it comes apart: rods to bend, loads, and the moves that take each section out."""

import math
from collections.abc import Sequence

from trialfit import units
from trialfit.exhaust.hanger_points import Hanger, HangerPlan
from trialfit.exhaust.hangers import CAUTION
from trialfit.exhaust.joints import Exchange
from trialfit.exhaust.removal import Answer, FreeingPlace, Removal
from trialfit.sheets.drawing import SMALL, SMALL_BOLD, TEXT, Leaf
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, small_number_cell
from trialfit.sheets.pdf import pdf
from trialfit.sheets.plate_drawing import both

SHEET = "Hangers and ways out"


def hang_sheet(route: str, plan: HangerPlan | None, removals: Sequence[Removal], exchanges: Sequence[Exchange],
               freeing: FreeingPlace | None, meta: SheetMeta) -> bytes:
    """Hangers with their rods, and the way out of every section, as PDF.

    Parameters
    ----------
    route : str
        name of the exhaust
    plan : HangerPlan or None
        None where nothing was said to hang it on
    removals, exchanges, freeing
        what was found about taking it apart
    meta : SheetMeta
    """
    return pdf(hang_leaves(route, plan, removals, exchanges, freeing, meta), f"{meta.build}: hangers of {route}")


def hang_leaves(route: str, plan: HangerPlan | None, removals: Sequence[Removal], exchanges: Sequence[Exchange],
                freeing: FreeingPlace | None, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`hang_sheet`."""
    flow = Flow(meta, SHEET)
    flow.title(f"Hang it, and take it down: {route}")
    if plan is None:
        flow.paragraph("No hangers stand here: nothing is said of where to hang it, or what is said cannot be used. "
                       "See the findings.")
    else:
        _hangers(flow, plan)
    if removals:
        _ways_out(flow, removals, freeing)
    if exchanges:
        flow.section("A part changed for straight pipe")
        flow.table((Column("Part", 1.4), Column("Joints begin at", 1.6), Column("Pipe between", 1.2, "right"),
                    Column("Bends that go with it", 1.0, "right")),
                   [(Run(e.part, SMALL_BOLD), Run(both(f"{e.before_mm:.0f} mm and {e.after_mm:.0f} mm from the outlet"),
                                                  SMALL),
                     _length(e.pipe_mm), Run(str(e.bends), SMALL)) for e in exchanges])
    flow.skip(3.0)
    flow.paragraph(CAUTION, SMALL)
    return flow.finish()


def _length(mm: float) -> tuple[Run, ...]:
    return small_number_cell(f"{mm:.0f} mm", units.retold(f"{mm:.0f} mm", "inch", 16))


def _span(low: float, high: float, digits: int = 0) -> str:
    least, most = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return least if least == most else f"{least} to {most}"


def _hangers(flow: Flow, plan: HangerPlan) -> None:
    tried = plan.tried
    count = f"{len(plan.hangers)} hanger{'' if len(plan.hangers) == 1 else 's'}"
    if tried.decided:
        chosen = f"{count} at a cost of {tried.price:g}, on the places that you decided on" + (
            "." if tried.carries else ". THAT DOES NOT CARRY IT: make no rod yet, see the findings.")
    else:
        sure = "no choice of these places is cheaper" if tried.proved else "the search stopped first" + (
            "" if tried.bound is None else f": none can cost less than {tried.bound:g}")
        chosen = f"{count} at a cost of {tried.price:g}, out of {tried.choices} choices; {sure}" + (
            "." if tried.carries else ". NONE CARRIES IT: make no rod yet, see the findings.")
    flow.paragraph(both(f"{chosen} The exhaust weighs {plan.weight_n / 9.80665:.1f} kg and sags "
                        f"{_span(*plan.sag_mm, 1)} mm."), TEXT)
    rows: list[tuple[Cell, ...]] = []
    for number, hanger in enumerate(plan.hangers, 1):
        rows.append((
            Run(str(number), SMALL_BOLD),
            (Run(hanger.candidate.name, SMALL_BOLD), Run(f"{hanger.candidate.kind}, {hanger.isolator.name}", SMALL)),
            _length(hanger.at_mm),
            Run(f"{_span(*hanger.upright_n)} N", SMALL),
            Run(both(f"{_span(*hanger.stretch_mm, 1)} mm"), SMALL),
            _length(hanger.rod.length_mm),
            tuple(Run(both(words), SMALL) for words in rod_words(hanger)),
        ))
    flow.section("Hangers, outlet to tail")
    flow.table((Column("", 0.2), Column("Frame point", 1.2), Column("Along the pipe", 0.8, "right"),
                Column("Load", 0.6), Column("Rubber longer by", 0.65), Column("Rod, cut", 0.7, "right"),
                Column("Rod, bent", 1.85)), rows)
    flow.paragraph("Load and stretch are ranges over the stiffness of the rubber. Bends of a rod count from the end "
                   "that is welded along the pipe; a turn of the plane is right-handed about the rod.", SMALL)
    if plan.modes_hz:
        low = plan.modes_hz[0]
        flow.paragraph(f"First natural frequency {_span(*low, 1)} Hz.", SMALL)
    if plan.dropped:
        flow.section("Places that cannot be used")
        flow.table((Column("Place", 1.2), Column("Why", 3.8)),
                   [(Run(d.candidate.name, SMALL_BOLD), Run(both(d.why), SMALL)) for d in plan.dropped[:12]])


def rod_words(hanger: Hanger) -> list[str]:
    """How a rod is bent, a line for each bend.

    A straight rod says so.
    """
    if not hanger.rod.bends:
        return ["straight"]
    found = []
    for number, bend in enumerate(hanger.rod.bends, 1):
        plane = "" if number == 1 else f", plane turned {math.degrees(bend.rotation_rad):.0f} deg"
        found.append(f"at {bend.at_mm:.0f} mm bend {math.degrees(bend.turn_rad):.0f} deg{plane}")
    return found


def _ways_out(flow: Flow, removals: Sequence[Removal], freeing: FreeingPlace | None) -> None:
    flow.section("Taking it down and putting it back")
    rows: list[tuple[Cell, ...]] = []
    for r in removals:
        how = r.words if r.answer is Answer.FREE else str(r.answer)
        told = [Run(both(how), SMALL)]
        if r.answer is Answer.FREE and not math.isnan(r.gap_mm):
            told.append(Run(both(f"never nearer than {r.gap_mm:.1f} mm") if math.isfinite(r.gap_mm) else
                            "nothing is near it", SMALL))
        if r.stopped_by:
            told.append(Run(f"in the way: {', '.join(r.stopped_by)}", SMALL))
        if r.note:
            told.append(Run(both(r.note), SMALL))
        alone = "its neighbours in place" if r.alone else "those behind it gone"
        rows.append(((Run(r.name, SMALL_BOLD), Run(alone, SMALL)), Run(r.pose, SMALL), tuple(told)))
    flow.table((Column("Section", 1.4), Column("Vehicle at", 0.8), Column("Moves, in order", 3.8)), rows)
    flow.paragraph("Putting back is the same the other way round. Hangers, wiring, and the weight in your hands are "
                   "not reckoned with: have it held, and never lie under a vehicle that only a jack carries.", SMALL)
    if freeing is not None and freeing.at_mm is not None:
        flow.paragraph(both(f"A joint that begins {freeing.at_mm:.0f} mm from the outlet lets every section out."))
