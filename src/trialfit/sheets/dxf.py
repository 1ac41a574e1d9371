"""A flat part as DXF at 1 : 1 in millimetres, for a laser, a water jet or a drilling machine.

Layers: CUT what is to be cut or drilled, with the part's edge; OLD holes that are there; CENTRE middles, pitch circles
and axes, not cut; TEXT words, not cut. Holes are cut at their nominal diameter: kerf and drill wander are the shop's.
The library that writes it is an extra; without it the refusal says how to set it up.
"""

import importlib
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from types import ModuleType
from typing import Any, TypeAlias

from trialfit.driveline import ExtraMissing
from trialfit.mates import Hole, Plate
from trialfit.sheets.plate_drawing import limits_words, numbered, plate_bounds, short_size

INSTALL = 'drawings as DXF need the library ezdxf; set it up with: pip install "trialfit[cad]"'
CUT, OLD, CENTRE, TEXT = "CUT", "OLD", "CENTRE", "TEXT"
COLOURS = {CUT: 7, OLD: 8, CENTRE: 1, TEXT: 3}
"""Colour of each layer by its number in the colour index of DXF."""
_VERSION = "R2010"
_MILLIMETRES = 4
_WORDS_MM = 3.0
_PAST_MM = 3.0


@dataclass(frozen=True, slots=True)
class Round:
    """A full circle about (x, y) [mm]."""

    layer: str
    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Path:
    """A run of corners (x, y, bulge) [mm, mm, -]: the bulge is the tangent of a quarter of the arc's angle to the next
    corner, counter-clockwise positive, 0 for a straight line."""

    layer: str
    corners: tuple[tuple[float, float, float], ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class Label:
    """Words with their lower left end at (x, y) [mm]."""

    layer: str
    x_mm: float
    y_mm: float
    words: str


Shape: TypeAlias = Round | Path | Label


def plate_shapes(plate: Plate) -> tuple[Shape, ...]:
    """What the file holds, in the plate's own coordinates at 1 : 1, datum at (0, 0).

    Raises
    ------
    ValueError
        for a plate with nothing to draw
    """
    left, low, right, top = plate_bounds(plate)
    shapes: list[Shape] = []
    if plate.outline:
        shapes.append(Path(CUT, tuple((x, y, 0.0) for x, y in plate.outline), True))
    elif plate.round_mm > 0.0:
        shapes.append(Round(CUT, 0.0, 0.0, plate.round_mm))
    if plate.bore_mm > 0.0:
        shapes.append(Round(CUT, 0.0, 0.0, plate.bore_mm))
    for _, hole in numbered(plate):
        shapes.append(hole_shape(hole))
        shapes += _cross(hole)
    shapes += [Round(CENTRE, 0.0, 0.0, diameter) for diameter, _ in plate.circles]
    shapes += [
        Path(CENTRE, ((left - _PAST_MM, 0.0, 0.0), (right + _PAST_MM, 0.0, 0.0)), False),
        Path(CENTRE, ((0.0, low - _PAST_MM, 0.0), (0.0, top + _PAST_MM, 0.0)), False),
    ]
    return (*shapes, *_labels(plate, left, low))


def hole_shape(hole: Hole) -> Round | Path:
    """A hole as a full circle, a slot as two straight sides and two half circles (bulge 1)."""
    layer = OLD if hole.old else CUT
    if hole.slot_mm <= 0.0:
        return Round(layer, hole.x_mm, hole.y_mm, hole.diameter_mm)
    c, s = math.cos(hole.slot_rad), math.sin(hole.slot_rad)
    long, half = hole.slot_mm / 2.0, hole.diameter_mm / 2.0

    def corner(along: float, across: float, bulge: float) -> tuple[float, float, float]:
        return hole.x_mm + c * along - s * across, hole.y_mm + s * along + c * across, bulge

    return Path(
        layer,
        (corner(-long, -half, 0.0), corner(long, -half, 1.0), corner(long, half, 0.0), corner(-long, half, 1.0)),
        True,
    )


def _cross(hole: Hole) -> list[Shape]:
    reach = hole.diameter_mm / 2.0 + 1.0
    return [
        Path(CENTRE, ((hole.x_mm - reach, hole.y_mm, 0.0), (hole.x_mm + reach, hole.y_mm, 0.0)), False),
        Path(CENTRE, ((hole.x_mm, hole.y_mm - reach, 0.0), (hole.x_mm, hole.y_mm + reach, 0.0)), False),
    ]


def _labels(plate: Plate, left: float, low: float) -> list[Shape]:
    """The number beside each hole, and under the part what it is, its datum, and the sizes of its holes."""
    shapes: list[Shape] = [
        Label(TEXT, hole.x_mm + hole.diameter_mm / 2.0 + 1.0, hole.y_mm + 1.0, name) for name, hole in numbered(plate)
    ]
    thick = "thickness not known" if plate.thickness_mm is None else f"{short_size(plate.thickness_mm)} mm thick"
    words = [plate.title, f"1 : 1, millimetres, {thick}", f"datum (0, 0): {plate.datum}"]
    if plate.bore_mm > 0.0:
        words.append(_size("bore", plate.bore_mm, plate.bore_low_mm, plate.bore_high_mm))
    words += list(
        dict.fromkeys(
            _size(f"hole {name}", h.diameter_mm, h.low_mm, h.high_mm)
            + (f", slot {short_size(h.diameter_mm + h.slot_mm)} mm over all" if h.slot_mm else "")
            for name, h in numbered(plate)
            if not h.old
        )
    )
    words.append("numbers from a tape: not an approval")
    return shapes + [Label(TEXT, left, low - 8.0 - 1.6 * _WORDS_MM * k, text) for k, text in enumerate(words)]


def _size(what: str, mm: float, low: float | None, high: float | None) -> str:
    limits = "" if low is None or high is None else f", {limits_words(low, high)[0]}"
    return f"{what}: diameter {short_size(mm)} mm{limits}"


def plate_dxf(plate: Plate) -> bytes:
    """A flat part as DXF (release 2010) at 1 : 1. The same part gives the same bytes.

    Parameters
    ----------
    plate : Plate
        what is to be cut or drilled

    Raises
    ------
    ExtraMissing
        when the library is not set up; the text is the line that does it
    ValueError
        for a plate with nothing to draw

    Source: DXF Reference, release 2010, as the library writes it.
    """
    return _written(plate_shapes(plate), _library())


def _library() -> ModuleType:
    try:
        return importlib.import_module("ezdxf")
    except ImportError as error:
        raise ExtraMissing(INSTALL) from error


def _written(shapes: Sequence[Shape], library: Any) -> bytes:
    # the stamp of time and the random names that the library gives a file would make every one differ
    before = library.options.write_fixed_meta_data_for_testing
    library.options.write_fixed_meta_data_for_testing = True
    try:
        document = library.new(_VERSION, units=_MILLIMETRES)
        for layer, colour in COLOURS.items():
            document.layers.add(layer, color=colour)
        space = document.modelspace()
        for shape in shapes:
            _put(space, shape)
        out = io.StringIO()
        document.write(out)
        return bytes(document.encode(out.getvalue()))
    finally:
        library.options.write_fixed_meta_data_for_testing = before


def _put(space: Any, shape: Shape) -> None:
    layer = {"layer": shape.layer}
    if isinstance(shape, Round):
        space.add_circle((shape.x_mm, shape.y_mm), shape.diameter_mm / 2.0, dxfattribs=layer)
    elif isinstance(shape, Path):
        space.add_lwpolyline(shape.corners, format="xyb", close=shape.closed, dxfattribs=layer)
    else:
        space.add_text(shape.words, height=_WORDS_MM, dxfattribs={**layer, "insert": (shape.x_mm, shape.y_mm)})
