"""Templates and the bend line as DXF in millimetres, 1 : 1, for a plotter, a cutter or a drawing program.

Templates, flat: layer CUT the paper's edge and the lines to saw by, MARK lines to carry over to the pipe and crosses,
TEXT words, not cut. The bend line, in the vehicle's own coordinates (x rearward, y right, z up): layer POINTS a 3-D
polyline through the points where the straights meet, CENTRE the centre line itself as a 3-D polyline of chords, TEXT
the points' names. The library that writes them is an extra; without it the refusal says how to set it up.
"""

import importlib
import io
import textwrap
from collections.abc import Callable, Sequence
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline import ExtraMissing
from trialfit.exhaust import Wrap
from trialfit.exhaust.bend_table import bender_table
from trialfit.geometry.centreline import Centreline
from trialfit.sheets.dxf import INSTALL

Floats = NDArray[np.float64]

CUT, MARK, TEXT, POINTS, CENTRE = "CUT", "MARK", "TEXT", "POINTS", "CENTRE"
COLOURS = {CUT: 7, MARK: 5, TEXT: 3}
"""Colour of each layer of a template by its number in the colour index of DXF."""
LINE_COLOURS = {POINTS: 1, CENTRE: 5, TEXT: 3}
"""The same for the bend line."""
CHORD_MM = 0.02
"""How far a chord of the centre line may leave the arc it stands for [mm]."""
APART_MM = 25.0
"""Between two templates in one file, beside the words under them [mm]."""
_LAYER_OF = {"cut": CUT, "mark": MARK, "fold": MARK}
_VERSION = "R2010"
_MILLIMETRES = 4
_WORDS_MM = 3.0
_LINE_MM = 1.6 * _WORDS_MM
_CROSS_MM = 2.0
_LETTERS = 80
"""Longest line of words, about as wide as paper round a common pipe."""
_LABEL_LETTERS = 20


def wraps_dxf(wraps: Sequence[Wrap], said: Sequence[str] = ()) -> bytes:
    """Flat templates as DXF (release 2010) at 1 : 1, one above the other with the first lowest at (0, 0). The same
    templates give the same bytes.

    Parameters
    ----------
    wraps : sequence of Wrap
        one or more, in the order wanted
    said : sequence of str
        lines of words under each, such as whether it may be cut from [-]

    Raises
    ------
    ExtraMissing
        when the library is not set up; the text is the line that does it
    ValueError
        when there is no template

    Source: DXF Reference, release 2010, as the library writes it.
    """
    if not wraps:
        raise ValueError("no template to write: 1 at least")

    def drawn(space: Any) -> None:
        low = 0.0
        for wrap in wraps:
            low += _template(space, wrap, low, said) + APART_MM

    return _written(COLOURS, drawn)


def bend_line_dxf(line: Centreline, title: str, said: Sequence[str] = ()) -> bytes:
    """The bend line of a route as DXF (release 2010), three-dimensional, in the vehicle's coordinates.

    A pie-cut bend stands in the points as the smooth bend in whose place it is; the centre line runs through its
    mitres.

    Parameters
    ----------
    line : Centreline
        of the route
    title : str
        what the words beside the first point begin with [-]
    said : sequence of str
        further lines of words there [-]

    Raises
    ------
    ExtraMissing
        when the library is not set up; the text is the line that does it

    Source: DXF Reference, release 2010, as the library writes it.
    """
    points = (bender_table(line).points if line.bends else line.polyline(CHORD_MM))
    smooth = line.polyline(CHORD_MM)

    def drawn(space: Any) -> None:
        space.add_polyline3d([tuple(map(float, p)) for p in points], dxfattribs={"layer": POINTS})
        space.add_polyline3d([tuple(map(float, p)) for p in smooth], dxfattribs={"layer": CENTRE})
        last = len(points) - 1
        for k, point in enumerate(points):
            name = "outlet" if k == 0 else "end" if k == last else f"corner {k}"
            _words(space, name, point + np.array([2.0, 0.0, 2.0]))
        head = f"{title}: millimetres, x rearward, y right, z up, at ride height"
        words = [part for text in (head, *said) for part in textwrap.wrap(text, _LETTERS)]
        for k, text in enumerate(words):
            _words(space, text, points[0] - np.array([0.0, 12.0 + _LINE_MM * k, 0.0]))

    return _written(LINE_COLOURS, drawn)


def _template(space: Any, wrap: Wrap, low: float, said: Sequence[str]) -> float:
    """Draws one template with its words below, its lowest words at ``low``; returns how high all of it is [mm]."""
    words = [wrap.title, f"goes round {wrap.circumference_mm:.2f} mm; 1 : 1, millimetres",
             f"cut edges: {wrap.cut_edges}", f"seam: {wrap.seam}; up: {wrap.up}", *wrap.notes, *said]
    words = [part for text in words for part in textwrap.wrap(text, _LETTERS)]
    corner = wrap.outline.min(axis=0)
    foot = low + _LINE_MM * len(words) + _WORDS_MM
    shift = np.array([0.0, foot]) - corner
    _path(space, wrap.outline + shift, CUT, True)
    for number, drawn in enumerate(wrap.lines, 1):
        points = drawn.points + shift
        closed = len(points) > 2 and bool(np.array_equal(points[0], points[-1]))
        _path(space, points[:-1] if closed else points, _LAYER_OF[drawn.kind], closed)
        # each at its own height, so that the words of lines close together do not lie on each other
        share = number / (len(wrap.lines) + 1.0)
        beside = points.min(axis=0) + np.array([0.5, share]) * np.ptp(points, axis=0) + [1.0, 0.0]
        for k, text in enumerate(textwrap.wrap(drawn.label, _LABEL_LETTERS)):
            _words(space, text, beside - np.array([0.0, _LINE_MM * k]))
    for mark in wrap.marks:
        at = np.array([mark.along_mm, mark.height_mm]) + shift
        for way in (np.array([_CROSS_MM, 0.0]), np.array([0.0, _CROSS_MM])):
            _path(space, np.array([at - way, at + way]), MARK, False)
        if mark.label not in {line.label for line in wrap.lines}:
            _words(space, mark.label, at + np.array([1.0, 1.0]))
    for k, text in enumerate(reversed(words)):
        _words(space, text, np.array([0.0, low + _LINE_MM * k]))
    return foot - low + float(np.ptp(wrap.outline[:, 1]))


def _path(space: Any, points: Floats, layer: str, closed: bool) -> None:
    corners = [(float(x), float(y)) for x, y in points]
    space.add_lwpolyline(corners, close=closed, dxfattribs={"layer": layer})


def _words(space: Any, words: str, at: Floats) -> None:
    place = tuple(float(v) for v in at)
    space.add_text(words, height=_WORDS_MM, dxfattribs={"layer": TEXT, "insert": place})


def library() -> ModuleType:
    """The library that writes DXF.

    Raises
    ------
    ExtraMissing
        when it is not set up; the text is the line that does it
    """
    try:
        return importlib.import_module("ezdxf")
    except ImportError as error:
        raise ExtraMissing(INSTALL) from error


def _written(colours: dict[str, int], drawn: Callable[[Any], None]) -> bytes:
    writer: Any = library()
    # the stamp of time and the random names that the library gives a file would make every one differ
    before = writer.options.write_fixed_meta_data_for_testing
    writer.options.write_fixed_meta_data_for_testing = True
    try:
        document = writer.new(_VERSION, units=_MILLIMETRES)
        for layer, colour in colours.items():
            document.layers.add(layer, color=colour)
        drawn(document.modelspace())
        out = io.StringIO()
        document.write(out)
        return bytes(document.encode(out.getvalue()))
    finally:
        writer.options.write_fixed_meta_data_for_testing = before
