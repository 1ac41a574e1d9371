"""The fit-up and weld sheet: order of tack, what the tape must say after each, and how it is welded."""

import math
from collections.abc import Sequence

from trialfit.exhaust.fit_up import LIMIT_MM, CheckLength, Slip
from trialfit.exhaust.welding import FitUpPlan, Section, WeldPlace
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SMALL,
    SMALL_BOLD,
    TEXT,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Mark,
    rectangle,
)
from trialfit.sheets.lengths import inch, minus, to_cut
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, small_number_cell
from trialfit.sheets.pdf import pdf

SHEET = "Fit-up and welding"
CAUTIONS = (
    ("Stands: vehicle on stands on firm level ground, wheels chocked, before anybody goes under it; never on a jack "
     "alone. Hot metal drops: nobody under the pipe while it is welded above."),
    ("Fire: no welding within reach of fuel line, tank, brake fluid, undercoat, wiring or carpet. Best off the "
     "vehicle. Tack on the vehicle only with wet sheets over what burns, a second person with an extinguisher, and "
     "somebody who looks again after half an hour and after an hour."),
    ("Battery: both leads off, and control units unplugged where their maker says so. Earth clamp on the pipe itself, "
     "next to the weld: never through gearbox, bearings, brake lines or an axle on its wheels."),
    ("Fumes: air drawn away from the arc and fresh air in. Zinc, cadmium and unknown coatings poison: do not weld "
     "them. Brake cleaner with chlorine turns into poison gas at the arc: never use it to clean a joint."),
    "Nothing that held fuel is welded, and no closed tube: it bursts.",
    ("After welding: smoke or soapy water with a little air in it finds leaks. Exhaust gas holds carbon monoxide, "
     "which cannot be smelt and kills: no leak may be left. Welding is for somebody who was "
     "trained for it; local codes decide."),
)


def fit_up_leaves(plan: FitUpPlan, meta: SheetMeta, stop: Stop) -> list[Leaf]:
    """The leaves of :func:`fit_up_sheet`."""
    cuts = plan.cuts
    flow = Flow(meta, f"{SHEET}, {cuts.route}")
    flow.title(f"{SHEET}: {cuts.route}",
               f"Round tube {minus(cuts.diameter_mm, 1)} mm ({inch(cuts.diameter_mm, meta.fraction)}) outside, wall "
               f"{minus(cuts.wall_mm, 2)} mm, {plan.practice.material}. {plan.weld_count} welds, "
               f"{minus(plan.weld_length_mm / 1000.0, 2)} m together. Joints are lettered from the outlet to the tail.")
    flow.stop_bar(stop)
    _tacks(flow, plan)
    _lengths(flow, plan)
    _slips(flow, plan.slips)
    _practice(flow, plan)
    _welds(flow, plan)
    _shrinkage(flow, plan)
    _sections(flow, plan.sections)
    flow.section("Before and after the arc", 30.0)
    flow.points(CAUTIONS)
    return flow.finish()


def fit_up_sheet(plan: FitUpPlan, meta: SheetMeta, stop: Stop) -> bytes:
    """The fit-up and weld sheet as PDF.

    Parameters
    ----------
    plan : FitUpPlan
        of one route
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether it may be welded yet, and why
    """
    return pdf(fit_up_leaves(plan, meta, stop), f"{meta.build}: fit-up and welding, {plan.cuts.route}")


def _tick() -> tuple[Mark, ...]:
    return (rectangle(0.4, -0.8, 4.4, 3.2, LineKind.OUTLINE),)


def _tacks(flow: Flow, plan: FitUpPlan) -> None:
    tacks = max((w.tacks for w in plan.welds), default=plan.practice.tacks)
    flow.section("Order of tack", 34.0)
    longer = "" if plan.to_trim is None else (f" Piece {plan.to_trim.number} is cut {plan.trim_mm:.0f} mm longer and "
                                              "trimmed at last: mark its length from the cut list on it, and measure "
                                              "its end to that mark. See the allowance below.")
    flow.paragraph(f"{tacks} tacks a joint, crosswise, each no longer than three walls. One joint, its check lengths, "
                   "then the next: a wrong joint is broken open while it is tacked, not after. Vehicle in the load "
                   "state at the foot of the page, or on stands with the body as it stood when it was measured."
                   f"{longer}")
    rows: list[tuple[Cell, ...]] = [
        (Run(str(t.number), FIGURE_BOLD), Run(t.joint, TEXT_BOLD), f"{t.what[:1].upper()}{t.what[1:]}.", _tick())
        for t in plan.tacks]
    flow.table((Column("No.", 0.4), Column("Joint", 0.6), Column("What", 4.65), Column("Done", 0.35)), rows)


def _lengths(flow: Flow, plan: FitUpPlan) -> None:
    flow.section("Check lengths after each tack", 40.0)
    if not plan.lengths:
        flow.paragraph("No hardpoint is near enough or stands well enough apart to check a joint by: take two or three "
                       "points of the frame beside the pipe into the survey.")
        return
    flow.paragraph("From the named hardpoint to the middle of the joint, where the axis of the pipe crosses its face. "
                   "Hold a disc with a centre mark in the open end, or measure to opposite sides of the pipe and take "
                   f"the mean. Plus or minus is how well the point is known as seen from the outlet (95 of "
                   "100 cases); a misaligned outlet and your tape come on top. Off by more than the last figure: find "
                   f"out why before the next tack. It is never less than {LIMIT_MM:.0f} mm (common practice, no "
                   "source).")
    rows: list[tuple[Cell, ...]] = []
    letters = list(dict.fromkeys(c.letter for c in plan.lengths))
    for letter in letters:
        here = [c for c in plan.lengths if c.letter == letter]
        rows += [_length_row(c, n == 0, flow.meta.fraction) for n, c in enumerate(here)]
    flow.table((Column("Joint", 0.6), Column("From hardpoint", 1.6), Column("Must read", 1.5, "right"),
                Column("Off by more: stop", 0.65, "right"), Column("", 0.15), Column("Reads", 1.1),
                Column("Right", 0.4)), rows)


def _length_row(check: CheckLength, first: bool, fraction: int) -> tuple[Cell, ...]:
    box = (rectangle(0.0, -2.2, 29.0, 3.6, LineKind.THIN),)
    give = "give or take not known" if check.give_mm is None else ""
    told = to_cut(check.length_mm, check.sd_mm).replace(" \u00b1", " mm \u00b1")
    return (Run(check.letter if first else "", TEXT_BOLD),
            (Run(check.point, TEXT), *([Run(give, SMALL)] if give else [])),
            small_number_cell(told, inch(check.length_mm, fraction)),
            Run(f"{math.ceil(check.limit_mm - 1e-6)} mm", FIGURE), "", box, _tick())


def _slips(flow: Flow, slips: Sequence[Slip]) -> None:
    if not slips:
        return
    one = slips[0]
    flow.section("What a slip here does at the tail", 40.0)
    flow.paragraph(f"The whole rest of the pipe swings with the joint, worked exactly: turned {one.turned_deg:g}\u00b0 "
                   f"off its mark, or {one.gap_mm:g} mm of gap on the side that does most (it tilts the joint "
                   f"{one.tilt_deg:.2f}\u00b0). Take most care where the figures are largest.")
    worst = max(slips, key=lambda s: s.gap_tail_mm).letter
    rows: list[tuple[Cell, ...]] = [
        (Run(f"{s.letter}{'  most' if s.letter == worst else ''}", TEXT_BOLD),
         Run(f"{minus(s.turned_tail_mm, 1)} mm", FIGURE), Run(f"{s.turned_tail_deg:.2f}\u00b0", FIGURE),
         Run(f"{minus(s.gap_tail_mm, 1)} mm", FIGURE_BOLD if s.letter == worst else FIGURE),
         Run(f"{s.tilt_deg:.2f}\u00b0", FIGURE)) for s in slips]
    flow.table((Column("Joint", 0.8), Column(f"Tail, for {one.turned_deg:g}\u00b0 of turn", 1.4, "right"),
                Column("and it points wrong by", 1.2, "right"),
                Column(f"Tail, for {one.gap_mm:g} mm of gap", 1.4, "right"),
                Column("and it points wrong by", 1.2, "right")), rows)


def _practice(flow: Flow, plan: FitUpPlan) -> None:
    p = plan.practice
    flow.section(f"Welding {p.material}: what is usual", 44.0)
    flow.paragraph(f"{p.status[:1].upper()}{p.status[1:]}. The welder's own procedure and the filler's data sheet go "
                   "before it.", SMALL)
    purge = f"{p.purge[:1].upper()}{p.purge[1:]}." if p.purged else "Not needed for this material."
    rows: list[tuple[Cell, ...]] = [
        (Run("Process", TEXT_BOLD), p.process), (Run("Filler", TEXT_BOLD), p.filler), (Run("Gas", TEXT_BOLD), p.gas),
        (Run("Gas inside (purge)", TEXT_BOLD), purge), (Run("Preparation", TEXT_BOLD), f"{p.preparation}."),
        (Run("Danger", TEXT_BOLD), Run(f"{p.caution}.".replace("..", "."), TEXT_BOLD)),
    ]
    flow.table((Column("", 1.3), Column("", 4.7)), [tuple(_capital(c) for c in row) for row in rows])
    flow.paragraph("Galvanised (zinc-coated) tube and zinc-plated flanges: do not weld, zinc fumes poison.", SMALL_BOLD)


def _capital(cell: Cell) -> Cell:
    return f"{cell[:1].upper()}{cell[1:]}" if isinstance(cell, str) else cell


def _welds(flow: Flow, plan: FitUpPlan) -> None:
    flow.section("How far each weld goes round", 30.0)
    rows: list[tuple[Cell, ...]] = [_weld_row(w, flow.meta.fraction) for w in plan.welds]
    rows += [(Run("after", TEXT_BOLD), f"{b.name} ({b.kind}){' and its seam' if b.welds > 1 else ''}",
              Run(str(b.welds), FIGURE),
              small_number_cell(f"{minus(b.weld_mm, 1)} mm{' together' if b.welds > 1 else ''}",
                                inch(b.weld_mm, flow.meta.fraction))) for b in plan.beside]
    rows.append((Run("All", TEXT_BOLD), "", Run(str(plan.weld_count), FIGURE_BOLD),
                 small_number_cell(f"{minus(plan.weld_length_mm, 0)} mm",
                                   inch(plan.weld_length_mm, flow.meta.fraction))))
    flow.table((Column("Joint", 0.8), Column("Between", 2.6), Column("Welds", 0.8, "right"),
                Column("Each, round the outside", 1.8, "right")), rows)
    flow.paragraph("Weld a quarter at a time, opposite quarters in turn, and let it cool in between. Flanges and clamp "
                   "rings: bolted together with their mate while they are welded, or they warp and leak. "
                   f"{_off_first(plan)}")


def _off_first(plan: FitUpPlan) -> str:
    """What is taken off before the arc, and what of bellows cannot be."""
    off = "Sensors out of their bungs and rubber hangers off first."
    if plan.loose:
        names = " and ".join(plan.loose)
        off = f"{names[:1].upper()}{names[1:]} (bellows, held by joints), sensors and rubber hangers come off first."
    if plan.welded_in:
        many = "is a bellows that is welded in" if len(plan.welded_in) == 1 else "are bellows that are welded in"
        names = " and ".join(plan.welded_in)
        off += (f" {names[:1].upper()}{names[1:]} {many}: cover the braid against spatter, never bring the "
                "earth through it, hold it straight and at its length while its ends are welded (common practice, no "
                "source).")
    return off


def _weld_row(weld: WeldPlace, fraction: int) -> tuple[Cell, ...]:
    first, last = weld.pieces
    where = f"wedges of piece {first}" if weld.within else f"piece {first} and piece {last}"
    letter = f"in {weld.pieces[0]}" if weld.within else weld.letter
    return (Run(letter, TEXT_BOLD), where, Run(str(weld.count), FIGURE),
            small_number_cell(f"{minus(weld.length_mm, 1)} mm", inch(weld.length_mm, fraction)))


def _shrinkage(flow: Flow, plan: FitUpPlan) -> None:
    (low, high), (all_low, all_high) = plan.shrink_mm, plan.shrink_all_mm
    flow.section("Allowance for what the welds draw in", 30.0)
    flow.paragraph(f"A weld draws its two pieces together by about {minus(low, 1)} to {minus(high, 1)} mm (beads "
                   f"{plan.practice.bead[0]:g} to {plan.practice.bead[1]:g} walls wide; 0.2 of the bead's width, "
                   "Spraragen and Ettinger, from memory), more on the side welded last. All welds together: "
                   f"{math.floor(all_low)} to {math.ceil(all_high)} mm along the pipe.", TEXT)
    piece = plan.to_trim
    measure = "measure it by the check lengths after each tack and each weld"
    if piece is None:
        room = f"The pipe ends in no straight that could be trimmed: {measure}, and mend before the next."
        again = "Check the lengths above again after welding, before hangers are welded on."
    else:
        cut = to_cut(piece.length_to_cut_mm, piece.sd_mm).replace(" \u00b1", " mm \u00b1")
        room = (f"Cut the last straight, piece {piece.number} ({cut} on the cut list), {plan.trim_mm:.0f} mm longer, "
                f"and trim it to the vehicle after the last weld of the pipe; or {measure}. Leave no gap for it at the "
                "joints: a gap tilts them.")
        again = ("Check the lengths above again after the last weld, then trim the last straight; hangers are welded "
                 "on after that.")
    flow.points((
        f"The lengths on the cut list carry no allowance. {room}",
        ("The side that is welded last pulls the pipe over: begin on the side that a pull would help, and weld in "
        "opposite quarters. What draws in ahead of a bend carries the bend along with it, and no trimming of the tail "
        "mends that: look at the check lengths there."),
        again,
    ))


def _sections(flow: Flow, sections: Sequence[Section]) -> None:
    flow.section("What each section weighs", 24.0)
    rows: list[tuple[Cell, ...]] = []
    head = "Comes off in one piece, parted at the joints"
    for s in sections:
        mass = f"{s.mass_kg:.1f} kg" if s.mass_kg is not None else "not known"
        pound = f"{s.mass_kg / 0.45359237:.1f} lb" if s.mass_kg is not None else ""
        note = f"weigh {', '.join(s.unweighed)}" if s.unweighed else ""
        rows.append(((Run(f"{s.name[:1].upper()}{s.name[1:]}", TEXT), *([Run(note, SMALL)] if note else [])),
                     small_number_cell(f"{minus(s.length_mm, 0)} mm", inch(s.length_mm, flow.meta.fraction)),
                     (Run(mass, FIGURE_BOLD), Run(pound, SMALL))))
    flow.table((Column(head, 3.2), Column("Along the centre line", 1.5, "right"),
                Column("Mass, without hangers and clamps", 1.3, "right")), rows)


