"""Where the exhaust hangs and how it comes apart: rods to bend, loads, and the moves that take each section out."""

import math
from collections.abc import Sequence

from trialfit import units
from trialfit.exhaust.hanger_making import HangerMade
from trialfit.exhaust.hanger_points import HangerPlan
from trialfit.exhaust.hangers import CAUTION
from trialfit.exhaust.joints import Exchange
from trialfit.exhaust.removal import Answer, FreeingPlace, Removal
from trialfit.sheets.drawing import SMALL, SMALL_BOLD, TEXT, Leaf
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, small_number_cell
from trialfit.sheets.pdf import pdf
from trialfit.sheets.plate_drawing import both

SHEET = "Hangers and ways out"


def hang_sheet(route: str, plan: HangerPlan | None, removals: Sequence[Removal], exchanges: Sequence[Exchange],
               freeing: FreeingPlace | None, meta: SheetMeta, stop: Stop, made: Sequence[HangerMade] = ()
               ) -> bytes:  # fmt: skip
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
    stop : Stop
        whether rods may be made from it yet, and why
    made : sequence of HangerMade
        the hangers of the plan with all that they are made by
    """
    return pdf(hang_leaves(route, plan, removals, exchanges, freeing, meta, stop, made),
               f"{meta.build}: hangers of {route}")


def hang_leaves(route: str, plan: HangerPlan | None, removals: Sequence[Removal], exchanges: Sequence[Exchange],
                freeing: FreeingPlace | None, meta: SheetMeta, stop: Stop, made: Sequence[HangerMade] = ()
                ) -> list[Leaf]:  # fmt: skip
    """The leaves of :func:`hang_sheet`."""
    flow = Flow(meta, SHEET)
    flow.title(f"Hang it, and take it down: {route}")
    flow.stop_bar(stop)
    if plan is None:
        flow.paragraph("No hangers stand here: nothing is said of where to hang it, or what is said cannot be used. "
                       "See the findings.")
    else:
        _hangers(flow, plan)
        _to_make(flow, made)
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
        ))
    flow.section("Hangers, outlet to tail")
    flow.table((Column("", 0.25), Column("Frame point", 1.75), Column("Along the pipe", 1.3, "right"),
                Column("Load", 0.8), Column("Rubber longer by", 1.9)), rows)
    flow.paragraph("Load and stretch are ranges over the stiffness of the rubber.", SMALL)
    if plan.modes_hz:
        low = plan.modes_hz[0]
        flow.paragraph(f"First natural frequency {_span(*low, 1)} Hz.", SMALL)
    if plan.dropped:
        flow.section("Places that cannot be used")
        flow.table((Column("Place", 1.2), Column("Why", 3.8)),
                   [(Run(d.candidate.name, SMALL_BOLD), Run(both(d.why), SMALL)) for d in plan.dropped[:12]])


def _to_make(flow: Flow, made: Sequence[HangerMade]) -> None:
    """For each hanger its rod, its weld on the pipe, its rubber and its bracket."""
    if not made:
        return
    flow.section("What each is made of", 40.0)
    rows: list[tuple[Cell, ...]] = []
    for number, one in enumerate(made, 1):
        rod = tuple(Run(both(words), SMALL) for words in one.rod_words)
        rows += [(Run(str(number), SMALL_BOLD), Run("Rod", SMALL_BOLD), rod),
                 ("", Run("Weld on the pipe", SMALL_BOLD), Run(both(one.weld_words), SMALL)),
                 ("", Run("Rubber", SMALL_BOLD), Run(both(one.rubber_words), SMALL)),
                 ("", Run("Bracket", SMALL_BOLD), Run(both(one.bracket_words), SMALL))]
        if one.shell is not None:
            rows.append(("", Run("Take care", SMALL_BOLD), Run(both(f"It {one.shell_words}."), SMALL_BOLD)))
    flow.table((Column("", 0.25), Column("", 1.15), Column("", 4.6)), rows)
    flow.paragraph("Bends of a rod count from the end that is welded along the pipe; a turn of the plane is "
                   "right-handed about the rod, looking from the welded end. Bend one in wire first and hold it "
                   "there.", SMALL)


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
