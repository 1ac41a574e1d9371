"""Tables for a spreadsheet: cut list, bender's table, points of a route, hardpoints with their doubt.

Comma-separated after RFC 4180, UTF-8; the first row names the columns, the second gives their units, "-" where a
column has none. An empty field is not known, or asks nothing. Standard deviations (columns that begin with sd) are one
sigma. Lengths in mm to a thousandth, angles in degrees to a ten-thousandth: far finer than any tape, so that rounding
adds nothing.
"""

import csv
import io
import math
from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust import CutList, Kind, LaidRoute, Piece, StockCut, cut_list
from trialfit.exhaust.bend_table import Held, TubeRun, all_tube_mm, on_a_straight, tube_runs
from trialfit.exhaust.fit_up import put_together
from trialfit.exhaust.lay import doubt_of
from trialfit.exhaust.parts import spots_of
from trialfit.geometry.centreline import Centreline
from trialfit.standards import density_kg_mm3
from trialfit.structure.tube import tube_mass_per_length
from trialfit.survey import Survey

Floats = NDArray[np.float64]
Field: TypeAlias = str | int | float | None

_ANGLES = ("deg",)


def cut_list_csv(cuts: CutList, material: str = "steel", may_cut: str = "") -> bytes:
    """The cut list, one row for each piece from the outlet on.

    The mass is of plain pipe along the centre line; a part has none, for nobody knows its inside.

    Parameters
    ----------
    cuts : CutList
        pieces of one route; arc and marks count from where the bend begins to curve at the end it is cut from (the near
        mark lies towards that end), straights and marks on a leg from the stick's first or the leg's free end
    material : str
        of the pipe, a row of the density table [-]
    may_cut : str
        what stands in the last column of every row: whether the piece may be cut yet [-]

    Raises
    ------
    ValueError
        for a material that is not known

    Source: geometry.
    """
    per_mm = tube_mass_per_length(cuts.diameter_mm, cuts.wall_mm, density_kg_mm3(material))
    columns: list[tuple[str, str, Callable[[Piece], Field]]] = [
        ("piece", "-", lambda p: p.number),
        ("kind", "-", lambda p: str(p.kind)),
        ("name", "-", lambda p: p.name),
        ("from", "-", lambda p: p.start),
        ("to", "-", lambda p: p.end),
        ("length to cut", "mm", lambda p: p.length_to_cut_mm),
        ("sd of length", "mm", lambda p: p.sd_mm),
        ("outside diameter", "mm", lambda p: cuts.diameter_mm if p.part is None else None),
        ("wall", "mm", lambda p: cuts.wall_mm if p.part is None else None),
        ("mass", "kg", lambda p: per_mm * p.length_to_cut_mm if p.part is None else None),
        ("bend angle", "deg", lambda p: math.degrees(p.bend_angle_rad) if _bent(p) else None),
        ("bend radius", "mm", lambda p: p.radius_mm if _bent(p) else None),
        ("leg before", "mm", lambda p: p.leg_before_mm if _bent(p) else None),
        ("leg after", "mm", lambda p: p.leg_after_mm if _bent(p) else None),
        ("cut from", "-", lambda p: p.stock.place if p.stock is not None else ""),
        ("end of the bend", "-", _of_arc(lambda s: s.from_end)),
        ("joint at that end", "-", _of_arc(lambda s: s.near.joint)),
        ("arc from", "deg", _of_arc(lambda s: math.degrees(s.span_rad[0]))),
        ("arc to", "deg", _of_arc(lambda s: math.degrees(s.span_rad[1]))),
        *((f"{which} mark {what}", "mm", _of_mark(which, name)) for which in ("near", "far") for what, name in _MARKS),
        ("straight from", "mm", _of_straight(lambda s: s.span_mm[0])),
        ("straight to", "mm", _of_straight(lambda s: s.span_mm[1])),
        ("pie-cut pieces", "-", lambda p: p.pie.pieces if p.pie is not None else None),
        ("saw angle", "deg", lambda p: math.degrees(p.pie.cut_face_angle_rad) if p.pie is not None else None),
        ("turn to next bend", "deg", lambda p: math.degrees(p.clocking.angle_rad) if p.clocking is not None else None),
        ("turn round the pipe", "mm", lambda p: p.clocking.arc_mm if p.clocking is not None else None),
        ("way of turn", "-", lambda p: f"{p.clocking.way}, {p.clocking.seen_from}" if p.clocking is not None else ""),
        ("width of part", "mm", lambda p: p.part.width.mm if p.part is not None else None),
        ("height of part", "mm", lambda p: p.part.height.mm if p.part is not None else None),
        ("x at start", "mm", lambda p: p.start_xyz_mm[0]),
        ("y at start", "mm", lambda p: p.start_xyz_mm[1]),
        ("z at start", "mm", lambda p: p.start_xyz_mm[2]),
        ("x at end", "mm", lambda p: p.end_xyz_mm[0]),
        ("y at end", "mm", lambda p: p.end_xyz_mm[1]),
        ("z at end", "mm", lambda p: p.end_xyz_mm[2]),
        ("may be cut", "-", lambda p: may_cut),
    ]
    return _csv([(name, unit) for name, unit, _ in columns],
                ([field(piece) for _, _, field in columns] for piece in cuts.pieces))


_MARKS = (("chord outside", "outside_chord_mm"), ("chord inside", "inside_chord_mm"),
          ("tape outside", "outside_tape_mm"), ("on the leg", "from_end_mm"))


def _of_arc(what: Callable[[StockCut], Field]) -> Callable[[Piece], Field]:
    return lambda p: what(p.stock) if p.stock is not None and p.stock.is_bend else None


def _of_mark(which: str, name: str) -> Callable[[Piece], Field]:
    def mark(s: StockCut) -> Field:
        value: float | None = getattr(s.near if which == "near" else s.far, name)
        return value

    return _of_arc(mark)


def _of_straight(what: Callable[[StockCut], Field]) -> Callable[[Piece], Field]:
    return lambda p: what(p.stock) if p.stock is not None and not p.stock.is_bend else None


def _bent(piece: Piece) -> bool:
    return piece.kind in (Kind.BEND, Kind.PIE_CUT)


def bender_csv(laid: LaidRoute, may_bend: str = "") -> bytes:
    """The tables for a shop with a bender: feed, rotation and bend, one row for each bend, then the straight behind the
    last. A part in the pipe ends one run of tube and begins the next, which starts with rotation 0 and has its own last
    straight and its own cut length; the last row is the tube of all runs. Springback is left out: it is the shop's to
    add.

    Parameters
    ----------
    laid : LaidRoute
        with a centre line
    may_bend : str
        what stands in the last column of every row: whether it may be bent from yet [-]

    Raises
    ------
    ValueError
        when the route has no centre line, or no bend

    Source: geometry; doubt by GUM (JCGM 100:2008) 5.2.2, law of propagation.
    """
    if not _line(laid).bends:
        raise ValueError("a straight pipe has no bends to put into a table")
    runs = _tube_runs(laid)
    sds = _bender_doubts(laid, runs)
    left = None if sds is None else sds.tolist()
    rows: list[list[Field]] = []

    def with_sd(value: float) -> list[Field]:
        return [value, None if left is None else left.pop(0)]

    for run in runs:
        name = f"{run.number}: {run.before} to {run.after}"
        for row in run.table.rows:
            fields: list[Field] = [run.bends + row.number, name]
            for value in (row.feed_mm, math.degrees(row.rotation_rad), math.degrees(row.bend_rad), row.radius_mm):
                fields += with_sd(value)
            rows.append([*fields, may_bend])
        rows.append(["last straight", name, *with_sd(run.table.last_mm), *([None] * 6), may_bend])
        tube = with_sd(run.table.tube_mm)
        if len(runs) > 1:
            rows.append(["tube of the run", name, *tube, *([None] * 6), may_bend])
    rows.append(["tube in all", "", *with_sd(all_tube_mm(runs)), *([None] * 6), may_bend])
    names = [("bend", "-"), ("run of tube", "-"), ("feed", "mm"), ("sd of feed", "mm"), ("rotation", "deg"),
             ("sd of rotation", "deg"), ("bend angle", "deg"), ("sd of bend angle", "deg"), ("radius", "mm"),
             ("sd of radius", "mm"), ("may be bent", "-")]
    return _csv(names, rows)


def _line(laid: LaidRoute) -> Centreline:
    if laid.centreline is None:
        raise ValueError(f"{laid.plan.name} cannot be laid, so there is nothing to write; see its findings")
    return laid.centreline


def _tube_runs(laid: LaidRoute) -> tuple[TubeRun, ...]:
    """The runs of tube between the parts that could be placed; the route's findings name the others."""
    spots = sorted(spots_of(laid.plan, laid.points_mm, laid.sizes)[0], key=lambda s: (s.leg, s.start_mm))
    line = _line(laid)
    parts = [Held(s.part.name, s.start, s.end) for s in spots]
    return tube_runs(line, [p for p in parts if on_a_straight(line, p)])


def _bender_doubts(laid: LaidRoute, base: Sequence[TubeRun]) -> Floats | None:
    """Standard deviations in the table's own units: for each run four for each bend, its last straight and its tube;
    then those of all tube."""

    def read(other: LaidRoute) -> Floats | None:
        if other.centreline is None:
            return None
        try:
            runs = _tube_runs(other)
        except ValueError:
            return None
        if [len(r.table.rows) for r in runs] != [len(r.table.rows) for r in base]:
            return None
        values: list[float] = []
        for run, first_run in zip(runs, base, strict=True):
            for row, first in zip(run.table.rows, first_run.table.rows, strict=True):
                # next to half a turn the two sides may come out with opposite signs
                turn = first.rotation_rad + math.remainder(row.rotation_rad - first.rotation_rad, math.tau)
                values += [row.feed_mm, math.degrees(turn), math.degrees(row.bend_rad), row.radius_mm]
            values += [run.table.last_mm, run.table.tube_mm]
        return np.array([*values, all_tube_mm(runs)])

    spread = doubt_of(laid, read)
    return None if spread is None else np.sqrt(np.maximum(np.diag(spread), 0.0))


def points_csv(laid: LaidRoute, cuts: CutList) -> bytes:
    """The points of a route: outlet, corners, end, then every joint of the cut list.

    A corner written down as coordinates is where the builder wants it and has no doubt of its own; a hardpoint has that
    of its readings. A joint has that of the route as laid, and none where a small change would make other pieces.

    Parameters
    ----------
    laid : LaidRoute
        with a centre line
    cuts : CutList
        of the same route

    Raises
    ------
    ValueError
        when the route has no centre line

    Source: geometry.
    """
    _line(laid)
    plan = laid.plan
    spots = [plan.outlet, *(c.point for c in plan.corners), plan.end]
    names = list(laid.points)
    rows: list[list[Field]] = []
    for k, (spot, at) in enumerate(zip(spots, laid.points_mm, strict=True)):
        what = "outlet" if k == 0 else "end" if k == len(spots) - 1 else f"corner {k}"
        sd: list[Field] = [None] * 3
        if isinstance(spot, str) and laid.covariance is not None:
            first = 3 * names.index(spot)
            sd = [math.sqrt(max(float(laid.covariance[first + n, first + n]), 0.0)) for n in range(3)]
        radius = laid.radii_mm[k - 1] if 0 < k < len(spots) - 1 else None
        rows.append([what, spot if isinstance(spot, str) else "", *(float(v) for v in at), *sd, radius])
    frames = put_together(cuts)
    spread = _joint_doubts(laid, len(frames))
    for k, frame in enumerate(frames):
        sd = [None] * 3 if spread is None else [float(v) for v in spread[k]]
        rows.append([f"joint {frame.letter}", "", *(float(v) for v in frame.place), *sd, None])
    return _csv([("point", "-"), ("hardpoint", "-"), ("x rearward", "mm"), ("y right", "mm"), ("z up", "mm"),
                 ("sd of x", "mm"), ("sd of y", "mm"), ("sd of z", "mm"), ("bend radius", "mm")], rows)


def _joint_doubts(laid: LaidRoute, count: int) -> Floats | None:
    """Standard deviations (count, 3) of where the joints lie in the vehicle [mm]."""

    def places(other: LaidRoute) -> Floats | None:
        if other.centreline is None or other.stock != laid.stock:
            return None
        frames = put_together(cut_list(other))
        return np.concatenate([f.place for f in frames]) if len(frames) == count else None

    spread = doubt_of(laid, places)
    return None if spread is None else np.sqrt(np.maximum(np.diag(spread), 0.0)).reshape(-1, 3)


def hardpoints_csv(survey: Survey) -> bytes:
    """Every solved hardpoint with its doubt, and every size; those that could not be solved last, with the reason.

    ``largest sd`` is along the way in which the point is known worst.

    Parameters
    ----------
    survey : Survey
        of the build

    Source: GUM (JCGM 100:2008) 5.2.2, law of propagation.
    """
    rows: list[list[Field]] = []
    for name in survey.names:
        at, sd = survey.point(name), survey.sd(name)
        rows.append([name, "hardpoint", *(float(v) for v in at), *(float(v) for v in sd), survey.doubt_mm(name), ""])
    for name, (size, doubt) in survey.sizes.items():
        rows.append([name, "size", size, None, None, doubt, None, None, doubt, ""])
    rows += [[name, "not solved", *([None] * 7), survey.why_not(name)] for name in _unsolved(survey)]
    return _csv([("name", "-"), ("what", "-"), ("x rearward or size", "mm"), ("y right", "mm"), ("z up", "mm"),
                 ("sd of x or size", "mm"), ("sd of y", "mm"), ("sd of z", "mm"), ("largest sd", "mm"), ("why", "-")],
                rows)


def _unsolved(survey: Survey) -> Sequence[str]:
    mirrored = {p for a in survey.ambiguous for p in (a.point, *a.along_with)}
    return sorted({u.point for u in survey.unsolved} | mirrored)


def _csv(columns: Sequence[tuple[str, str]], rows: Iterable[Sequence[Field]]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([name for name, _ in columns])
    writer.writerow([unit for _, unit in columns])
    for row in rows:
        writer.writerow([_told(value, unit) for value, (_, unit) in zip(row, columns, strict=True)])
    return out.getvalue().encode("utf-8")


def _told(value: Field, unit: str) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        # a spreadsheet would take a name that begins like this for a formula
        return f"'{value}" if value[:1] in ("=", "+", "-", "@", "\t") else value
    if isinstance(value, int):
        return str(value)
    text = f"{value:.4f}" if unit in _ANGLES or unit == "kg" else f"{value:.3f}"
    return text if float(text) != 0.0 else text.lstrip("-")
