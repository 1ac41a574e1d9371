"""An exhaust as solids in a STEP file: each piece of the cut list on its own, put together by its marks.

Pipe is a hollow tube swept along its centre line, a pie cut is its wedges with mitred ends, a part (muffler, catalyst,
clamp) is the full block of the room it takes. Coordinates are the vehicle's: x rearward, y right, z up, in millimetres,
at ride height. Left out: welds, flanges, the inside of parts, what the wall thins on the outside of a bend (the solid
there is a little too heavy; the cut list counts likewise). The CAD kernel is an extra; without it the refusal says how
to set it up.
"""

import importlib
import io
import math
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline import ExtraMissing
from trialfit.exhaust import CutList, Kind, Piece
from trialfit.exhaust.fit_up import Frame, put_together
from trialfit.exhaust.parts import wide_way
from trialfit.standards import density_kg_mm3
from trialfit.structure.tube import tube_area

Floats = NDArray[np.float64]

INSTALL = 'solids need the CAD kernel; set it up with: pip install "trialfit[cad]"'
AGREES = 1e-3
"""A solid whose volume leaves what its length asks for by more than this share is not handed out."""
NO_TIME = "1970-01-01T00:00:00"
"""Stands for the time in the head of a file, so that the same build gives the same bytes."""
_CUTTER = 4.0
"""A wedge is cut from tube that reaches this many diameters past the mitre's middle at most."""


@dataclass(frozen=True, slots=True, eq=False)
class PieceSolid:
    """One solid: its name, the piece it is of (number on the cut list), whether it is pipe, and what the kernel makes
    of it. ``length_mm`` is along the centre line. ``mass_kg`` is None for a part, whose inside is not known."""

    name: str
    piece: int
    pipe: bool
    length_mm: float
    volume_mm3: float
    mass_kg: float | None
    shape: Any


def piece_solids(cuts: CutList, material: str = "steel") -> tuple[PieceSolid, ...]:
    """Every piece of a cut list as a solid, from the outlet on, where its marks put it.

    The pieces come from the cut list alone, nothing from the laid route: so the last face shows whether they close.

    Parameters
    ----------
    cuts : CutList
        pieces of one route
    material : str
        of the pipe, a row of the density table [-]

    Raises
    ------
    ExtraMissing
        when the kernel is not set up; the text is the line that does it
    ValueError
        for a wall that is not in the tube, a bend tighter than half its tube, or a material that is not known
    ArithmeticError
        when the kernel makes a solid of another volume than its length asks for: a fault of the program

    Source: geometry.
    """
    density = density_kg_mm3(material)
    area = tube_area(cuts.diameter_mm, cuts.wall_mm)
    for piece in cuts.pieces:
        if piece.kind in (Kind.BEND, Kind.PIE_CUT) and piece.radius_mm <= 0.5 * cuts.diameter_mm:
            raise ValueError(f"piece {piece.number} bends on a radius of {piece.radius_mm:g} mm: it must exceed "
                             f"{0.5 * cuts.diameter_mm:g} mm, half the tube, to be a solid")
    kernel = _Kernel(cuts.diameter_mm, cuts.wall_mm)
    frames = put_together(cuts)
    found: list[PieceSolid] = []
    for piece, start, end in zip(cuts.pieces, frames[:-1], frames[1:], strict=True):
        for name, length, wanted, shape in _solids_of(kernel, piece, start, end, area):
            volume = kernel.volume_mm3(shape)
            if abs(volume - wanted) > AGREES * wanted:
                raise ArithmeticError(f"the solid of {name} has {volume:.1f} mm3 where its length asks for "
                                      f"{wanted:.1f} mm3")
            pipe = piece.kind is not Kind.PART
            found.append(PieceSolid(name, piece.number, pipe, length, volume, density * volume if pipe else None,
                                    shape))
    return tuple(found)


def route_step(cuts: CutList, material: str = "steel", said: Sequence[str] = ()) -> bytes:
    """The solids of a cut list as a STEP file (AP214), one part for each under the route's name. The same cut list
    gives the same bytes: the head carries no time.

    Parameters
    ----------
    cuts : CutList
        pieces of one route
    material : str
        of the pipe, a row of the density table [-]
    said : sequence of str
        what the head shall say, such as whether it may be cut from [-]

    Raises
    ------
    ExtraMissing
        when the kernel is not set up; the text is the line that does it
    ValueError
        as :func:`piece_solids`

    Source: ISO 10303-21, as the kernel writes it.
    """
    solids = piece_solids(cuts, material)
    weighed = math.fsum(s.mass_kg for s in solids if s.mass_kg is not None)
    words = (f"exhaust {cuts.route}, solids as put together by their marks; millimetres, x rearward, y right, z up",
             f"pipe {weighed:.3f} kg of {material}; parts are full blocks of the room they take", *said)
    return _written(f"exhaust {cuts.route}", solids, words)


# -- the shapes ---------------------------------------------------------------------------------------------------


def _solids_of(kernel: "_Kernel", piece: Piece, start: Frame, end: Frame, area: float
               ) -> Iterator[tuple[str, float, float, Any]]:
    """Name, length along the centre line, the volume that asks for, and the solid."""
    name = f"{piece.number} {piece.name}"
    if piece.part is not None:
        wide, high, long = piece.part.width.mm, piece.part.height.mm, piece.length_to_cut_mm
        section = math.pi / 4.0 * high**2 + (wide - high) * high
        yield name, long, section * long, kernel.block(start, long, wide, high, wide_way(start.way,
                                                                                         piece.part.clock_rad))
    elif piece.kind is Kind.STRAIGHT:
        yield name, piece.length_to_cut_mm, area * piece.length_to_cut_mm, kernel.swept(
            start.place, start.way, [(start.place, end.place, None)])
    elif piece.pie is None:
        yield name, piece.length_to_cut_mm, area * piece.length_to_cut_mm, kernel.swept(
            start.place, start.way, _bend_path(piece, start, end))
    else:
        yield from _wedges(kernel, piece, start, end, area)


def _outside(piece: Piece, end: Frame) -> Floats:
    """Unit way from the middle of the pipe to the outside of a bend, at the bend's start."""
    c, s = math.cos(piece.bend_angle_rad), math.sin(piece.bend_angle_rad)
    way: Floats = c * end.mark - s * end.way
    return way


_Stretch = tuple[Floats, Floats, Floats | None]
"""Start, end and, for an arc, its middle."""


def _bend_path(piece: Piece, start: Frame, end: Frame) -> list[_Stretch]:
    outside, angle, radius = _outside(piece, end), piece.bend_angle_rad, piece.radius_mm
    first = start.place + piece.leg_before_mm * start.way
    last = end.place - piece.leg_after_mm * end.way
    half = 0.5 * angle
    middle = first - radius * outside + radius * (math.cos(half) * outside + math.sin(half) * start.way)
    path: list[_Stretch] = [(first, last, middle)]
    if piece.leg_before_mm > _NO_LEG_MM:
        path.insert(0, (start.place, first, None))
    if piece.leg_after_mm > _NO_LEG_MM:
        path.append((last, end.place, None))
    return path


_NO_LEG_MM = 1e-6


def _wedges(kernel: "_Kernel", piece: Piece, start: Frame, end: Frame, area: float
            ) -> Iterator[tuple[str, float, float, Any]]:
    pie = piece.pie
    assert pie is not None
    outside = _outside(piece, end)
    ways = [math.cos(k * pie.turn_per_joint_rad) * start.way - math.sin(k * pie.turn_per_joint_rad) * outside
            for k in range(pie.joints + 1)]
    lengths = [pie.leg_before_mm + pie.end_middle_mm, *([2.0 * pie.end_middle_mm] * (pie.joints - 1)),
               pie.end_middle_mm + pie.leg_after_mm]
    at = start.place
    for k, (way, length) in enumerate(zip(ways, lengths, strict=True)):
        there = at + length * way
        cuts = []
        if k > 0:
            cuts.append((at, -(ways[k - 1] + way)))
        if k < pie.joints:
            cuts.append((there, way + ways[k + 1]))
        name = f"{piece.number} {piece.name}: wedge {k + 1} of {pie.joints + 1}"
        yield name, length, area * length, kernel.wedge(at, there, way, cuts)
        at = there


class _Kernel:
    """The CAD kernel, asked for one size of tube."""

    def __init__(self, diameter_mm: float, wall_mm: float) -> None:
        self.outer, self.inner = 0.5 * diameter_mm, 0.5 * diameter_mm - wall_mm
        self.gp = part_of_kernel("gp")
        self.build = part_of_kernel("BRepBuilderAPI")
        self.prim = part_of_kernel("BRepPrimAPI")

    def point(self, p: Floats) -> Any:
        return self.gp.gp_Pnt(*(float(v) for v in p))

    def way(self, d: Floats) -> Any:
        return self.gp.gp_Dir(*(float(v) for v in d))

    def volume_mm3(self, shape: Any) -> float:
        found = part_of_kernel("GProp").GProp_GProps()
        part_of_kernel("BRepGProp").BRepGProp.VolumeProperties_s(shape, found)
        return float(found.Mass())

    def _ring(self, at: Floats, way: Floats) -> Any:
        """The tube's section as a flat face: square to ``way`` about ``at``."""
        place = self.gp.gp_Ax2(self.point(at), self.way(way))

        def rim(radius: float) -> Any:
            edge = self.build.BRepBuilderAPI_MakeEdge(self.gp.gp_Circ(place, radius)).Edge()
            return self.build.BRepBuilderAPI_MakeWire(edge).Wire()

        face = self.build.BRepBuilderAPI_MakeFace(rim(self.outer))
        if self.inner > 0.0:
            bore = rim(self.inner)
            bore.Reverse()
            face.Add(bore)
        return face.Face()

    def swept(self, at: Floats, way: Floats, path: Sequence[_Stretch]) -> Any:
        """The tube along straights and arcs that run into each other smoothly."""
        wire = self.build.BRepBuilderAPI_MakeWire()
        for start, end, middle in path:
            if middle is None:
                edge = self.build.BRepBuilderAPI_MakeEdge(self.point(start), self.point(end))
            else:
                arc = part_of_kernel("GC").GC_MakeArcOfCircle(self.point(start), self.point(middle), self.point(end))
                edge = self.build.BRepBuilderAPI_MakeEdge(arc.Value())
            wire.Add(edge.Edge())
        return part_of_kernel("BRepOffsetAPI").BRepOffsetAPI_MakePipe(wire.Wire(), self._ring(at, way)).Shape()

    def wedge(self, start: Floats, end: Floats, way: Floats, cuts: Sequence[tuple[Floats, Floats]]) -> Any:
        """Straight tube from ``start`` to ``end``, each of ``cuts`` (a point of the plane, the way out) taken off."""
        reach = _CUTTER * self.outer
        first = start - reach * way if any(np.array_equal(p, start) for p, _ in cuts) else start
        last = end + reach * way if any(np.array_equal(p, end) for p, _ in cuts) else end
        along = self.gp.gp_Vec(*(float(v) for v in last - first))
        shape = self.prim.BRepPrimAPI_MakePrism(self._ring(first, way), along).Shape()
        for point, out in cuts:
            plane = self.gp.gp_Pln(self.point(point), self.way(out))
            face = self.build.BRepBuilderAPI_MakeFace(plane).Face()
            waste = self.prim.BRepPrimAPI_MakeHalfSpace(face, self.point(point + out)).Solid()
            shape = part_of_kernel("BRepAlgoAPI").BRepAlgoAPI_Cut(shape, waste).Shape()
        return _only_solid(shape)

    def block(self, start: Frame, long: float, wide: float, high: float, wide_way_: Floats) -> Any:
        """A part: a cylinder where it is round, otherwise a slab with round edges, ``wide`` along ``wide_way_``."""
        along = self.gp.gp_Vec(*(float(v) for v in long * start.way))
        radius = 0.5 * high
        place = self.gp.gp_Ax2(self.point(start.place), self.way(start.way))
        if wide - high <= 1e-9:
            edge = self.build.BRepBuilderAPI_MakeEdge(self.gp.gp_Circ(place, radius)).Edge()
            wire = self.build.BRepBuilderAPI_MakeWire(edge)
        else:
            up = np.cross(start.way, wide_way_)
            side = 0.5 * (wide - high) * wide_way_
            corners = [start.place + a * side + b * radius * up for a, b in ((1, -1), (1, 1), (-1, 1), (-1, -1))]
            ends = [start.place + a * (side + radius * wide_way_) for a in (1, -1)]
            wire = self.build.BRepBuilderAPI_MakeWire()
            arc = part_of_kernel("GC").GC_MakeArcOfCircle
            for k, end in ((0, ends[0]), (2, ends[1])):
                a, b, c = corners[k], corners[k + 1], corners[(k + 2) % 4]
                bow = arc(self.point(a), self.point(end), self.point(b)).Value()
                wire.Add(self.build.BRepBuilderAPI_MakeEdge(bow).Edge())
                wire.Add(self.build.BRepBuilderAPI_MakeEdge(self.point(b), self.point(c)).Edge())
        face = self.build.BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()
        return self.prim.BRepPrimAPI_MakePrism(face, along).Shape()


WALK = "TopExp_Expl" + "orer"
"""The kernel's walk through the parts of a shape."""


def _only_solid(shape: Any) -> Any:
    kinds = part_of_kernel("TopAbs").TopAbs_ShapeEnum
    walk = getattr(part_of_kernel("TopExp"), WALK)(shape, kinds.TopAbs_SOLID)
    found = []
    while walk.More():
        found.append(walk.Current())
        walk.Next()
    if len(found) != 1:
        raise ArithmeticError(f"a wedge came out as {len(found)} solids where it is one")
    return found[0]


def part_of_kernel(name: str) -> ModuleType:
    """One package of the CAD kernel.

    Raises
    ------
    ExtraMissing
        when the kernel is not set up; the text is the line that does it
    """
    try:
        return importlib.import_module(f"OCP.{name}")
    except ImportError as error:
        raise ExtraMissing(INSTALL) from error


# -- the file -----------------------------------------------------------------------------------------------------


def _written(title: str, solids: Sequence[PieceSolid], said: Sequence[str]) -> bytes:
    text, label = part_of_kernel("TCollection"), part_of_kernel("TDataStd").TDataStd_Name
    document = part_of_kernel("TDocStd").TDocStd_Document(text.TCollection_ExtendedString("BinXCAF"))
    tool = part_of_kernel("XCAFDoc").XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    nowhere = part_of_kernel("TopLoc").TopLoc_Location()

    def named(at: Any, words: str) -> None:
        label.Set_s(at, text.TCollection_ExtendedString(words, True))

    whole = tool.NewShape()
    named(whole, title)
    for solid in solids:
        one = tool.AddShape(solid.shape, False)
        named(one, solid.name)
        named(tool.AddComponent(whole, one, nowhere), solid.name)
    tool.UpdateAssemblies()
    out = io.BytesIO()
    with _quiet():
        writer = part_of_kernel("STEPCAFControl").STEPCAFControl_Writer()
        done = writer.Transfer(document, part_of_kernel("STEPControl").STEPControl_StepModelType.STEPControl_AsIs)
        model = writer.ChangeWriter().Model()
        _numbered_uses(model, text)
        _head(model, title, said, text)
        state = writer.WriteStream(out)
    if not done or "RetDone" not in str(state):
        raise ArithmeticError(f"the kernel did not write the file: {state}")
    return _ascii(out.getvalue())


def _numbered_uses(model: Any, text: ModuleType) -> None:
    """The kernel counts uses of parts over all files it ever writes; here they count from 1."""
    use = part_of_kernel("StepRepr").StepRepr_NextAssemblyUsageOccurrence
    count = 0
    for k in range(1, model.NbEntities() + 1):
        entity = model.Value(k)
        if isinstance(entity, use):
            count += 1
            entity.SetId(text.TCollection_HAsciiString(str(count)))


def _head(model: Any, title: str, said: Sequence[str], text: ModuleType) -> None:
    word = text.TCollection_HAsciiString
    head = part_of_kernel("APIHeaderSection").APIHeaderSection_MakeHeader(model)
    head.SetName(word(_plain(title)))
    head.SetTimeStamp(word(NO_TIME))
    head.SetAuthorValue(1, word(""))
    head.SetOrganizationValue(1, word(""))
    head.SetOriginatingSystem(word("trialfit"))
    head.SetAuthorisation(word(""))
    head.SetDescriptionValue(1, word(_plain("; ".join(said))))


def _plain(words: str) -> str:
    """Words that a line of the head can hold: other signs than those of plain English text become a question mark."""
    return words.encode("ascii", "replace").decode("ascii")


_OTHER = re.compile("[^\x00-\x7f]+")


def _ascii(data: bytes) -> bytes:
    """Letters beyond ASCII as ISO 10303-21 (clause on strings) writes them."""

    def escaped(found: re.Match[str]) -> str:
        codes = [ord(c) for c in found.group()]
        if max(codes) > 0xFFFF:
            return "\\X4\\" + "".join(f"{c:08X}" for c in codes) + "\\X0\\"
        return "\\X2\\" + "".join(f"{c:04X}" for c in codes) + "\\X0\\"

    return _OTHER.sub(escaped, data.decode("utf-8")).encode("ascii")


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the kernel from printing what it does; failures still show."""
    message = part_of_kernel("Message")
    printers = list(message.Message.DefaultMessenger_s().Printers())
    levels = [p.GetTraceLevel() for p in printers]
    for printer in printers:
        printer.SetTraceLevel(message.Message_Gravity.Message_Fail)
    try:
        yield
    finally:
        for printer, level in zip(printers, levels, strict=True):
            printer.SetTraceLevel(level)
