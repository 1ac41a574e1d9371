"""Paper to wrap round the pipe: cut lines of pie-cut pieces, strips that carry the turn from bend to bend, angled cuts,
cones and saddles."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.pieces import Clocking, CutList, Line, Mark, Piece, Way, Wrap
from trialfit.geometry.unroll import (
    CHORD_ERROR_MM,
    TubePattern,
    circumference_mm,
    cone_pattern,
    saddle_pattern,
    tube_pattern,
)

Floats = NDArray[np.float64]

STRIP_MM = 40.0
"""Height of a clocking strip [mm]: enough to lie true round the pipe."""
DOWNSTREAM = "downstream, away from the outlet"


def wraps(cuts: CutList, paper_mm: float = 0.0) -> tuple[Wrap, ...]:
    """Every paper that a cut list needs, in the order of its pieces.

    A bend cut from the shelf gets no paper for its cut: paper does not lie on a bend; its cut is given by angle and
    chord. Two bends that turn the same way in one plane get no strip.

    Parameters
    ----------
    cuts : CutList
        pieces of one route
    paper_mm : float
        thickness of the paper, for which the width is then corrected [mm]

    Raises
    ------
    ValueError
        when the paper is thicker than a tenth of the pipe or thinner than 0
    """
    papers: list[Wrap] = []
    if cuts.start.clocking is not None:
        papers += _strip(cuts, cuts.start.clocking, "A", 0, cuts.start.top_means, paper_mm)
    for piece in cuts.pieces:
        if piece.pie is not None:
            papers += _pie_wraps(cuts, piece, paper_mm)
        if piece.clocking is not None:
            line = f"outside of piece {piece.number}"
            papers += _strip(cuts, piece.clocking, piece.end, piece.number, line, paper_mm)
    return tuple(papers)


def _strip(cuts: CutList, clocking: Clocking, joint: str, piece: int, line: str, paper_mm: float) -> list[Wrap]:
    if clocking.way is Way.STRAIGHT_ON:
        return []
    width = circumference_mm(cuts.diameter_mm, paper_mm)
    # both lines stand clear of the seam: they lie evenly about the paper's middle
    shift = 0.5 * clocking.signed_rad / math.tau * width
    first, second = 0.5 * width - shift, 0.5 * width + shift
    way = (
        "half way round" if clocking.way is Way.OPPOSITE else f"{clocking.way}, {clocking.seen_from}"
    )
    label = f"outside of piece {clocking.to_piece}"
    corners = np.array([[0.0, 0.0], [width, 0.0], [width, STRIP_MM], [0.0, STRIP_MM]])
    return [
        Wrap(
            title=f"{cuts.route}: turn at joint {joint}, to piece {clocking.to_piece}",
            name=f"{cuts.route} joint {joint} turn",
            piece=piece,
            circumference_mm=width,
            height_mm=STRIP_MM,
            outline=corners,
            cut_edges="none: a strip to mark lines by",
            seam="anywhere: lay the first line on its mark",
            seam_mm=0.0,
            up=DOWNSTREAM,
            lines=(
                Line("mark", line, np.array([[first, 0.0], [first, STRIP_MM]])),
                Line("mark", label, np.array([[second, 0.0], [second, STRIP_MM]])),
            ),
            marks=(Mark(line, first, 0.5 * STRIP_MM), Mark(label, second, 0.5 * STRIP_MM)),
            notes=(
                f"Turn {math.degrees(clocking.angle_rad):.1f} deg = {clocking.arc_mm:.1f} mm round the pipe, {way}.",
                f"The outside of piece {clocking.to_piece} then faces {clocking.points}, as the vehicle stands.",
            ),
        )
    ]


def _pie_wraps(cuts: CutList, piece: Piece, paper_mm: float) -> list[Wrap]:
    pie = piece.pie
    assert pie is not None
    face, half = pie.cut_face_angle_rad, pie.end_middle_mm
    sets: list[tuple[str, str, TubePattern, str]] = [
        (
            "first wedge", f"{cuts.route} {piece.number} first",
            tube_pattern(cuts.diameter_mm, pie.leg_before_mm + half, 0.0, face, paper_mm=paper_mm),
            "upper edge; the lower edge is square",
        )
    ]
    if pie.pieces > 2:
        sets.append(
            (
                f"middle wedge, cut {pie.pieces - 2}", f"{cuts.route} {piece.number} middle",
                tube_pattern(cuts.diameter_mm, 2.0 * half, face, face, paper_mm=paper_mm),
                "upper and lower edge",
            )
        )
    # with the upper end square, angles count from the lower cut's long side
    sets.append(
        (
            "last wedge", f"{cuts.route} {piece.number} last",
            tube_pattern(cuts.diameter_mm, half + pie.leg_after_mm, face, 0.0, paper_mm=paper_mm),
            "lower edge; the upper edge is square",
        )
    )
    saw, turn = math.degrees(face), math.degrees(pie.turn_per_joint_rad)
    notes = (
        f"Cut-face angle {saw:.2f} deg (saw setting from square); turn per joint {turn:.2f} deg.",
        f"The line is the finished edge: keep the blade ({pie.kerf_mm:g} mm) on the waste side.",
    )
    return [
        _wrap(
            pattern, title=f"{cuts.route} piece {piece.number}: {which}", name=name, piece=piece.number,
            cut_edges=edges, seam="inside of the bend (short side)", up=DOWNSTREAM,
            lines=((0.5, "outside of the bend"),), notes=notes,
        )
        for which, name, pattern, edges in sets
    ]


def _wrap(
    pattern: TubePattern,
    *,
    title: str,
    name: str,
    piece: int,
    cut_edges: str,
    seam: str,
    up: str,
    lines: Sequence[tuple[float, str]],
    notes: tuple[str, ...],
) -> Wrap:
    width = circumference_mm(pattern.diameter_mm, pattern.paper_mm)
    outline = pattern.outline
    drop = float(outline[:, 1].min())
    height = float(outline[:, 1].max()) - drop
    shifted = outline - np.array([0.0, drop])
    middle = 0.5 * height
    marks = tuple(Mark(label, part * width, middle) for part, label in lines)
    drawn = tuple(
        Line("mark", label, np.array([[part * width, _at(pattern.lower, part, width) - drop],
                                      [part * width, _at(pattern.upper, part, width) - drop]]))
        for part, label in lines
    )
    return Wrap(
        title=title, name=name, piece=piece, circumference_mm=width, height_mm=height, outline=shifted,
        cut_edges=cut_edges, seam=seam, seam_mm=0.0, up=up, lines=drawn, marks=marks, notes=notes,
        chord_error_mm=CHORD_ERROR_MM,
    )


def _at(edge: Floats, part: float, width: float) -> float:
    return float(np.interp(part * width, edge[:, 0], edge[:, 1]))


def angle_cut_wrap(
    diameter_mm: float,
    face_rad: float,
    title: str,
    up: str = DOWNSTREAM,
    margin_mm: float = 30.0,
    paper_mm: float = 0.0,
) -> Wrap:
    """Paper for one angled cut across a tube, its lower edge square.

    Parameters
    ----------
    diameter_mm : float
        outside diameter [mm]
    face_rad : float
        cut-face angle from square: half of what the pipe turns at a mitre [rad]
    title : str
        what is printed on it [-]
    margin_mm : float
        height of the paper at the cut's short side [mm]

    Raises
    ------
    ValueError
        when the face is outside 0 to 80 deg, or as for the tube's circumference

    >>> paper = angle_cut_wrap(60.0, 0.2, "end of the tail pipe")
    >>> round(paper.circumference_mm, 2), round(paper.height_mm, 2)
    (188.5, 42.16)
    """
    axis = margin_mm + 0.5 * diameter_mm * math.tan(face_rad)
    pattern = tube_pattern(diameter_mm, axis, 0.0, face_rad, paper_mm=paper_mm)
    note = f"Cut-face angle {math.degrees(face_rad):.2f} deg from square; a mitred joint turns twice that."
    return _wrap(
        pattern, title=title, name=title, piece=0, cut_edges="upper edge", seam="short side of the cut", up=up,
        lines=((0.5, "long side"),), notes=(note,),
    )


def saddle_wrap(
    run_mm: float,
    branch_mm: float,
    angle_rad: float,
    offset_mm: float,
    length_mm: float,
    title: str,
    fit_mm: float | None = None,
    paper_mm: float = 0.0,
) -> tuple[Wrap, Wrap]:
    """Papers for a branch that sits on a run: the branch's cut, and the hole in the run.

    Parameters
    ----------
    run_mm, branch_mm : float
        outside diameters [mm]
    angle_rad : float
        angle between the axes [rad]
    offset_mm : float
        how far the branch's axis passes beside the run's [mm]
    length_mm : float
        from the crossing of the axes to the branch's square end [mm]
    title : str
        what is printed on both [-]
    fit_mm : float or None
        the branch's inside diameter when it is set on the run; None when it is set in [mm]

    Raises
    ------
    ValueError
        when the branch does not reach past the saddle, or as for the saddle's pattern
    """
    pattern = saddle_pattern(run_mm, branch_mm, angle_rad, offset_mm, fit_mm, paper_mm=paper_mm)
    top = float(pattern.saddle[:, 1].max())
    if length_mm <= top:
        raise ValueError(f"length {length_mm:g} mm must exceed {top:.1f} mm, where the saddle ends")
    width = circumference_mm(branch_mm, paper_mm)
    drop = float(pattern.saddle[:, 1].min())
    branch = np.vstack([pattern.saddle, [[width, length_mm], [0.0, length_mm]]]) - np.array([0.0, drop])
    how = "set in the run" if fit_mm is None else f"set on the run, cut to the inside diameter {fit_mm:g} mm"
    base = pattern.saddle
    lines = tuple(
        Line("mark", label, np.array([[part * width, _at(base, part, width) - drop], [part * width, length_mm - drop]]))
        for part, label in ((0.25, "side, minus"), (0.5, "acute side"), (0.75, "side, plus"))
    )
    cut = Wrap(
        title=f"{title}: branch", name=f"{title} branch", piece=0, circumference_mm=width, height_mm=length_mm - drop,
        outline=branch, cut_edges="lower edge", seam="obtuse side", seam_mm=0.0,
        up="along the branch, away from the run", lines=lines, notes=(f"Branch {how}.",), chord_error_mm=CHORD_ERROR_MM,
    )
    around = circumference_mm(run_mm, paper_mm)
    low, high = pattern.hole.min(axis=0), pattern.hole.max(axis=0)
    rim = 20.0
    shift = np.array([0.5 * around, rim - low[1]])
    tall = float(high[1] - low[1]) + 2.0 * rim
    sheet = np.array([[0.0, 0.0], [around, 0.0], [around, tall], [0.0, tall]])
    closed = np.vstack([pattern.hole, pattern.hole[:1]]) + shift
    middle = np.array([[0.5 * around, 0.0], [0.5 * around, tall]])
    hole = Wrap(
        title=f"{title}: hole in the run", name=f"{title} hole", piece=0, circumference_mm=around, height_mm=tall,
        outline=sheet, cut_edges="none: cut along the closed line", seam="opposite the branch", seam_mm=0.0,
        up="along the run, towards the acute side",
        lines=(Line("cut", "hole", closed), Line("mark", "facing the branch", middle)),
        marks=(Mark("crossing of the axes", 0.5 * around, rim - float(low[1])),),
        notes=(f"Branch {how}.",), chord_error_mm=CHORD_ERROR_MM,
    )
    return cut, hole


def cone_wrap(d_small_mm: float, d_large_mm: float, height_mm: float, title: str, seam_mm: float = 0.0) -> Wrap:
    """The flat sheet of a cone, with a lap for the seam on its right side when one is asked for.

    Parameters
    ----------
    d_small_mm, d_large_mm : float
        diameters to the middle of the sheet [mm]
    height_mm : float
        height along the axis [mm]
    title : str
        what is printed on it [-]
    seam_mm : float
        width of the lap [mm]

    Raises
    ------
    ValueError
        when the lap is below 0 or as for the cone's pattern
    """
    if seam_mm < 0.0:
        raise ValueError(f"lap {seam_mm:g} mm must be 0 or more")
    pattern = cone_pattern(d_small_mm, d_large_mm, height_mm)
    sheet = pattern.outline
    lines: tuple[Line, ...] = ()
    if seam_mm > 0.0:
        edge = np.vstack([pattern.inner[-1:], pattern.outer[-1:]])
        along = (edge[1] - edge[0]) / np.linalg.norm(edge[1] - edge[0])
        lap = edge + seam_mm * np.array([along[1], -along[0]])
        sheet = np.vstack([pattern.inner, lap, pattern.outer[::-1]])
        lines = (Line("fold", "lap", edge),)
    note = (
        f"Sector of {math.degrees(pattern.angle_rad):.2f} deg, radii {pattern.inner_radius_mm:.1f} and "
        f"{pattern.outer_radius_mm:.1f} mm; diameters to the middle of the sheet."
    )
    corner = sheet.min(axis=0)
    sheet = sheet - corner
    lines = tuple(Line(line.kind, line.label, line.points - corner) for line in lines)
    return Wrap(
        title=title, name=title, piece=0, circumference_mm=math.pi * d_large_mm, height_mm=float(sheet[:, 1].max()),
        outline=sheet, cut_edges="all edges", seam="straight sides", seam_mm=0.0, up="large end", lines=lines,
        notes=(note,),
        chord_error_mm=CHORD_ERROR_MM,
    )
