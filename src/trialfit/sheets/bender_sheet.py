"""The bend tables for a shop with a bender: feed, rotation and angle of every bend, one table for each run of tube that
is bent in one go, and the points they lead to."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.bend_table import BenderRow, BenderTable, TubeRun, all_tube_mm
from trialfit.sheets.dimensions import arc
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT_BOLD,
    Circle,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    arrowhead,
    line,
    scale_for,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.lengths import inch, minus
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, small_number_cell
from trialfit.sheets.pdf import pdf
from trialfit.sheets.picture import View, band

SHEET = "Bend table"
CAUTIONS = (
    ("Springback is the shop's: bend angles here are those of the finished pipe, measured when it is let go. Bend one "
     "piece of the same tube first and measure it."),
    ("Grip: the first and the last bend need straight tube to hold. The shop says how much its dies take; leave it on "
     "and cut it off after. The lengths here carry no grip and no saw cut."),
    "A bend with less than the die's grip before it cannot be made in one go: the shop says where to cut and weld.",
    "A bender crushes hands: two-hand control, nobody beside the pipe's free end, which swings.",
    ("The pipe carries hot gas with carbon monoxide in it: no crease and no crack may be left at a bend. Local codes "
     "decide on exhausts."),
)

Floats = NDArray[np.float64]


def bender_leaves(
    runs: Sequence[TubeRun], table: BenderTable, route: str, diameter_mm: float, wall_mm: float, meta: SheetMeta,
    stop: Stop, pie_cuts: int = 0,
) -> list[Leaf]:  # fmt: skip
    """The leaves of :func:`bender_sheet`."""
    flow = Flow(meta, f"{SHEET}, {route}")
    count = sum(len(r.table.rows) for r in runs)
    flow.title(f"{SHEET}: {route}",
               f"Round tube {minus(diameter_mm, 1)} mm ({inch(diameter_mm, meta.fraction)}) outside, wall "
               f"{minus(wall_mm, 2)} mm. {count} bends in {len(runs)} {'run' if len(runs) == 1 else 'runs'} of tube, "
               "from the outlet to the tail.")
    flow.stop_bar(stop)
    tube_runs_tables(flow, runs, pie_cuts)
    sense_section(flow)
    points_table(flow, table)
    _picture(flow, table, diameter_mm)
    flow.section("Before it is bent", 30.0)
    flow.points(CAUTIONS)
    return flow.finish()


def bender_sheet(
    runs: Sequence[TubeRun], table: BenderTable, route: str, diameter_mm: float, wall_mm: float, meta: SheetMeta,
    stop: Stop, pie_cuts: int = 0,
) -> bytes:  # fmt: skip
    """The bend table as PDF: one for each run of tube between the parts in the pipe.

    Parameters
    ----------
    runs : sequence of TubeRun
    table : BenderTable
        of the whole centre line, for its points
    route : str
    diameter_mm, wall_mm : float
        of the tube [mm]
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether it may be bent from yet
    pie_cuts : int
        how many of the bends the cut list makes of wedges
    """
    leaves = bender_leaves(runs, table, route, diameter_mm, wall_mm, meta, stop, pie_cuts)
    return pdf(leaves, f"{meta.build}: bend table, {route}")


def sense_of(row: BenderRow) -> str:
    """Which way the pipe is turned before a bend, in words.

    >>> sense_of(BenderRow(2, 100.0, -0.5, 1.0, 95.0))
    'anticlockwise'
    """
    if row.number == 1 or abs(row.rotation_rad) < math.radians(0.05):
        return "none"
    return "clockwise" if row.rotation_rad > 0.0 else "anticlockwise"


def tube_runs_tables(flow: Flow, runs: Sequence[TubeRun], pie_cuts: int = 0) -> None:
    """A table of feed, rotation and angle for every run of tube, and what all of them take."""
    fraction = flow.meta.fraction
    for run in runs:
        _run_table(flow, run)
    if len(runs) > 1:
        flow.section("All tube", 24.0)
        rows: list[tuple[Cell, ...]] = [
            (Run(f"Run {r.number}", TEXT_BOLD), f"{r.before} to {r.after}", _length(r.table.tube_mm, fraction))
            for r in runs]
        rows.append((Run("Together", TEXT_BOLD), "the parts between them left out",
                     _length(all_tube_mm(runs), fraction)))
        flow.table((Column("", 1.0), Column("From, to", 3.2), Column("Cut length, no grip", 1.8, "right")), rows)
    if pie_cuts:
        flow.paragraph(f"{pie_cuts} of these bends {'is' if pie_cuts == 1 else 'are'} made of wedges on the cut list; "
                       "here it stands as the smooth bend in its place.", SMALL)


def _run_table(flow: Flow, run: TubeRun) -> None:
    table, fraction = run.table, flow.meta.fraction
    head = f"Run {run.number}, from {run.before} to {run.after}: feed, rotate, bend"
    if not table.rows:
        flow.section(f"Run {run.number}, from {run.before} to {run.after}: straight", 22.0)
        flow.table((Column("", 0.6), Column("Cut length", 1.75, "right"), Column("", 3.65)),
                   [(Run("Tube", TEXT_BOLD), _length(table.tube_mm, fraction), "no bend in it")])
        return
    flow.section(head, min(24.0 + 10.6 * (len(table.rows) + 2), 150.0))
    if run.from_last_rad is not None:
        turned = math.degrees(run.from_last_rad)
        flow.paragraph(f"When it is put on: the outside of its first bend lies {minus(abs(turned), 2)}\u00b0 "
                       f"{'clockwise' if turned > 0.0 else 'anticlockwise'} of the outside of bend {run.bends}, "
                       "looking downstream.", SMALL)
    rows: list[tuple[Cell, ...]] = []
    for row in table.rows:
        turn = (Run("0 (start)", FIGURE) if row.number == 1 else
                Run(f"{'+' if row.rotation_rad > 0.0 else ''}{minus(math.degrees(row.rotation_rad), 2)}\u00b0",
                    FIGURE_BOLD))
        sense = "" if row.number == 1 else sense_of(row)
        rows.append((Run(str(run.bends + row.number), FIGURE_BOLD), _length(row.feed_mm, fraction),
                     (turn, Run(sense, SMALL)), Run(f"{minus(math.degrees(row.bend_rad), 2)}\u00b0", FIGURE_BOLD),
                     (Run(f"{minus(row.radius_mm, 2)} mm", FIGURE),
                      Run(f"{minus(row.radius_mm * row.bend_rad, 1)} mm of arc", SMALL))))
    rows.append((Run("End", TEXT_BOLD), _length(table.last_mm, fraction), f"to {run.after}", "", ""))
    rows.append((Run("Tube", TEXT_BOLD), _length(table.tube_mm, fraction), "cut length: all feeds and arcs, no grip",
                 "", ""))
    flow.table((Column("Bend", 0.6), Column("Feed: straight before it, end of curve to start of curve", 1.75, "right"),
                Column("Rotate the pipe since the last bend", 1.4, "right"), Column("Bend by", 1.0, "right"),
                Column("Radius of centre line", 1.25, "right")), rows)
    flow.paragraph("Worked back from feed, rotation and bend as tabled, these rows lead to the points of this run "
                   f"within {_closes(run.closes_mm)}.", SMALL)


def _length(mm: float, fraction: int) -> tuple[Run, ...]:
    return small_number_cell(f"{minus(mm, 1)} mm", inch(mm, fraction))


# -- which way is plus ------------------------------------------------------------------------------------------


def sense_drawing() -> list[Mark]:
    """The pipe from behind the bender and from the outlet, each with the way that counts as plus."""
    return [*_face((24.0, 17.0), "pipe", "from behind the bender,", "towards the die: turn the pipe"),
            *_face((108.0, 17.0), "plane", "looking downstream, outlet to tail:", "where the next bend's outside lies")]


_FACE_MM = 9.0
_PLUS_RAD = math.radians(60.0)


def _face(at: Point, which: str, *words: str) -> list[Mark]:
    """One end view. ``pipe``: the pipe turns clockwise and carries its mark with it. ``plane``: the next bend's outside
    line lies clockwise of the last one's."""
    x, y = at
    r = _FACE_MM
    marks: list[Mark] = [Circle(at, r, LineKind.OUTLINE, Fill.WHITE), Circle(at, r - 1.4, LineKind.THIN)]

    def spoke(turned: float, kind: LineKind, label: str) -> None:
        a = 0.5 * math.pi - turned
        c, s = math.cos(a), math.sin(a)
        marks.append(line((x + c * (r - 2.6), y + s * (r - 2.6)), (x + c * (r + 2.4), y + s * (r + 2.4)), kind))
        gap = 4.4
        align = "centre" if abs(c) < 0.3 else "left" if c > 0.0 else "right"
        marks.append(Words((x + c * (r + gap), y + s * (r + gap) - 1.2), label, SMALL_BOLD, align))

    if which == "pipe":
        spoke(-_PLUS_RAD, LineKind.OUTLINE, "next")
        spoke(0.0, LineKind.HIDDEN, "die")
        first, last = 0.5 * math.pi + _PLUS_RAD, 0.5 * math.pi
    else:
        spoke(0.0, LineKind.OUTLINE, "last")
        spoke(_PLUS_RAD, LineKind.OUTLINE, "next")
        first, last = 0.5 * math.pi, 0.5 * math.pi - _PLUS_RAD
    run = arc(at, r - 4.0, first, last + 0.15, 0.4)
    marks += [Stroke(run, LineKind.OUTLINE),
              arrowhead((x + (r - 4.0) * math.cos(last), y + (r - 4.0) * math.sin(last)),
                        (math.sin(last), -math.cos(last)), 2.6, 0.8),
              Words((x, y - 3.0), "+", TEXT_BOLD, "centre")]
    for number, text in enumerate(words):
        marks.append(Words((x + r + 14.0, y + 1.0 - 4.4 * number), text, SMALL))
    return marks


def sense_section(flow: Flow) -> None:
    """Which way a rotation counts as plus, drawn and in words."""
    flow.section("Which way is plus", 48.0)
    flow.drawing(sense_drawing(), 36.0)
    flow.paragraph("Of each run the end nearer to the outlet goes through the die first. Plus: the pipe is turned "
                   "clockwise, seen from behind the bender along the feed. It is the same as this, seen on the "
                   "finished pipe looking downstream: the outside of the next bend lies clockwise of that of the last "
                   "one.")


# -- points -----------------------------------------------------------------------------------------------------


def points_table(flow: Flow, table: BenderTable) -> None:
    """The points where the straights of the whole pipe meet."""
    flow.section("The points where the straights meet", min(24.0 + 10.6 * len(table.points), 150.0))
    flow.paragraph("Station is rearward of the datum, offset to the right of the chalked centre line (minus: left), "
                   "height above the floor.")
    last = len(table.points) - 1
    rows: list[tuple[Cell, ...]] = []
    for number, (x, y, z) in enumerate(table.points):
        name = "outlet" if number == 0 else "tail" if number == last else f"bend {number}"
        rows.append((Run(str(number), FIGURE_BOLD), name, *(_length(float(v), flow.meta.fraction) for v in (x, y, z))))
    flow.table((Column("Point", 0.6), Column("", 0.9), Column("Station", 1.5, "right"), Column("Offset", 1.5, "right"),
                Column("Height", 1.5, "right")), rows)


def _closes(mm: float) -> str:
    return "0.001 mm" if mm < 1e-3 else f"{math.ceil(mm * 1000.0) / 1000.0:g} mm"


def _picture(flow: Flow, table: BenderTable, diameter_mm: float) -> None:
    points = table.points
    r = 0.5 * diameter_mm
    spans = [(float(points[:, v].min()) - r, float(points[:, v].max()) + r) for v in range(3)]
    deep = spans[2][1] - spans[2][0] + spans[1][1] - spans[1][0]
    room = 14.0
    scale = scale_for(spans[0][1] - spans[0][0], deep, flow.wide - 24.0, 130.0 - 4.0 * room)
    high = deep / scale + 4.0 * room
    flow.section(f"The points from two sides, scale 1 : {scale}", high + 4.0)
    x = (flow.wide - (spans[0][1] - spans[0][0]) / scale) / 2.0
    base = high - room - (spans[2][1] - spans[2][0]) / scale
    side = View(scale, spans[0][0], spans[2][0], (x, base), 1)
    plan = View(scale, spans[0][0], spans[1][0], (x, base - 2.0 * room), -1)
    marks = [*_view(table, side, 2, diameter_mm, (0.0, base - room, flow.wide, high),
                    "From the car's left, nose to the left"),
             *_view(table, plan, 1, diameter_mm, (0.0, 0.0, flow.wide, base - room),
                    "From below, nose to the left, car's right side at the bottom")]
    flow.drawing(marks, high)


def _view(table: BenderTable, view: View, v: int, diameter_mm: float, frame: Frame, head: str) -> list[Mark]:
    words = Words((frame[0], frame[3] - 3.6), head, SMALL)
    seen = [view.place(float(p[0]), float(p[v])) for p in table.points]
    marks: list[Mark] = [*band(seen, diameter_mm / view.scale), Stroke(tuple(seen), LineKind.CENTRE)]
    dots: list[Mark] = [Circle(p, 0.7, None, Fill.BLACK) for p in seen]
    labels = [Label(p, ((str(n), SMALL_FIGURE),), dot=False, framed=True) for n, p in enumerate(seen)]
    placed = place(labels, frame, points_along(marks, 1.0), [words.box(0.5)])
    return [words, *marks, *dots, *placed.marks]


