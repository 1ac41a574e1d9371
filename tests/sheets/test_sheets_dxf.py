"""DXF of flat parts: what it holds, that it is at 1 : 1 and written the same again, and read back by a library."""

import importlib
import io
import math
import re
from types import SimpleNamespace

import pytest
from invented_mates import ADAPTER, DAMPER, FLANGE, PATTERN_ALONE, SMALL_RING

from trialfit.driveline import ExtraMissing
from trialfit.mates import Hole, Plate
from trialfit.sheets import dxf
from trialfit.sheets.dxf import CENTRE, CUT, OLD, TEXT, Label, Path, Round, hole_shape, plate_shapes

PLATES = {"flange": FLANGE, "damper": DAMPER, "adapter": ADAPTER, "ring": SMALL_RING, "pattern": PATTERN_ALONE}
every = pytest.mark.parametrize("which", PLATES)


@every
def test_every_hole_is_where_the_part_has_it(which):
    plate = PLATES[which]
    rounds = [(s.layer, s.x_mm, s.y_mm, s.diameter_mm) for s in plate_shapes(plate) if isinstance(s, Round)]
    for hole in plate.holes:
        if not hole.slot_mm:
            assert rounds.count((OLD if hole.old else CUT, hole.x_mm, hole.y_mm, hole.diameter_mm)) == 1
    cut = sum(s.layer == CUT for s in plate_shapes(plate))
    edges = bool(plate.outline or plate.round_mm) + (plate.bore_mm > 0.0)
    assert cut == edges + sum(not h.old for h in plate.holes)


@pytest.mark.parametrize("turn", [0.0, 0.6, math.pi / 2.0, 2.8])
def test_a_slot_holds_a_rectangle_and_two_half_circles(turn):
    """Area by its corners and the segments of its bulges; a bulge of 1 is a half circle: pi r^2 + d s."""
    shape = hole_shape(Hole(10.0, -20.0, 14.5, slot_mm=9.0, slot_rad=turn))
    assert isinstance(shape, Path)
    area = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(shape.corners, shape.corners[1:] + shape.corners[:1], strict=True):
        area += 0.5 * (x0 * y1 - x1 * y0)
        if bulge:
            angle, chord = 4.0 * math.atan(bulge), math.hypot(x1 - x0, y1 - y0)
            radius = chord / (2.0 * math.sin(angle / 2.0))
            area += 0.5 * radius**2 * (angle - math.sin(angle))
    assert area == pytest.approx(math.pi * 7.25**2 + 14.5 * 9.0)


@every
def test_words_and_middles_are_never_on_a_layer_that_is_cut(which):
    layers = {
        type(s): {t.layer for t in plate_shapes(PLATES[which]) if type(t) is type(s)}
        for s in plate_shapes(PLATES[which])
    }
    assert layers[Label] == {TEXT}
    words = " ".join(s.words for s in plate_shapes(PLATES[which]) if isinstance(s, Label))
    assert "1 : 1, millimetres" in words
    assert "not an approval" in words
    assert PLATES[which].datum in words


def test_without_the_library_the_install_line_is_told(monkeypatch):
    real = importlib.import_module

    def missing(name, *rest):
        if name == "ezdxf":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(importlib, "import_module", missing)
    with pytest.raises(ExtraMissing, match=re.escape('pip install "trialfit[cad]"')):
        dxf.plate_dxf(FLANGE)


class _Recorder:
    """Stands in for the library: keeps what it is told."""

    def __init__(self, breaks=False):
        self.options = SimpleNamespace(write_fixed_meta_data_for_testing=False)
        self.told, self.names, self.breaks = [], [], breaks
        self.layers = SimpleNamespace(add=lambda name, color: self.names.append(name))

    def new(self, version, units):
        assert self.options.write_fixed_meta_data_for_testing
        self.told.append((version, units))
        return self

    def modelspace(self):
        return self

    def add_circle(self, centre, radius, dxfattribs):
        if self.breaks:
            raise RuntimeError("broken on purpose")
        self.told.append((dxfattribs["layer"], centre, radius))

    def add_lwpolyline(self, points, format, close, dxfattribs):
        self.told.append((dxfattribs["layer"], points, format, close))

    def add_text(self, text, height, dxfattribs):
        self.told.append((dxfattribs["layer"], text, height, dxfattribs["insert"]))

    def write(self, stream):
        stream.write("written")

    def encode(self, text):
        return text.encode()


def test_the_library_is_told_radii_units_and_layers():
    library = _Recorder()
    assert dxf._written(plate_shapes(FLANGE), library) == b"written"
    assert library.told[0] == ("R2010", 4)
    assert library.names == [CUT, OLD, CENTRE, TEXT]
    assert (CUT, (0.0, 0.0), 75.0) in library.told
    assert sum(t[0] == OLD and t[2] == 6.5 for t in library.told) == 5
    assert not library.options.write_fixed_meta_data_for_testing


def test_the_librarys_setting_is_put_back_when_it_breaks():
    library = _Recorder(breaks=True)
    with pytest.raises(RuntimeError):
        dxf._written(plate_shapes(FLANGE), library)
    assert not library.options.write_fixed_meta_data_for_testing


@every
def test_read_back_every_hole_is_within_a_millionth(which):
    ezdxf = pytest.importorskip("ezdxf")
    plate = PLATES[which]
    data = dxf.plate_dxf(plate)
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    assert not document.audit().errors
    assert document.header["$INSUNITS"] == 4
    assert {CUT, OLD, CENTRE, TEXT} <= {layer.dxf.name for layer in document.layers}
    space = document.modelspace()
    circles = [(c.dxf.layer, *c.dxf.center.vec2, 2.0 * c.dxf.radius) for c in space.query("CIRCLE")]
    slots = [(p.dxf.layer, p) for p in space.query("LWPOLYLINE") if any(b for *_, b in p.get_points("xyb"))]
    for hole in plate.holes:
        layer = OLD if hole.old else CUT
        if hole.slot_mm:
            middles = [
                (sum(x for x, *_ in p.get_points("xyb")) / 4.0, sum(y for _, y, _ in p.get_points("xyb")) / 4.0)
                for name, p in slots
                if name == layer
            ]
            assert any(math.dist(m, (hole.x_mm, hole.y_mm)) < 1e-6 for m in middles)
        else:
            assert any(
                name == layer
                and math.dist((x, y), (hole.x_mm, hole.y_mm)) < 1e-6
                and abs(d - hole.diameter_mm) < 1e-6
                for name, x, y, d in circles
            )
    assert len(slots) == sum(h.slot_mm > 0.0 for h in plate.holes)
    if plate.outline:
        (edge,) = [
            p
            for p in space.query("LWPOLYLINE")
            if p.dxf.layer == CUT and p.closed and not any(b for *_, b in p.get_points("xyb"))
        ]
        assert len(edge) == len(plate.outline)
        assert all(
            math.dist((x, y), p) < 1e-6 for (x, y, _), p in zip(edge.get_points("xyb"), plate.outline, strict=True)
        )


def test_read_back_a_slot_has_the_size_of_its_sides():
    ezdxf = pytest.importorskip("ezdxf")
    plate = Plate(
        "one slot (invented)",
        "its corner",
        5.0,
        (Hole(30.0, 20.0, 14.5, slot_mm=9.0, slot_rad=0.6),),
        outline=((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)),
    )
    space = ezdxf.read(io.StringIO(dxf.plate_dxf(plate).decode("utf-8"))).modelspace()
    (slot,) = [p for p in space.query("LWPOLYLINE[layer=='CUT']") if any(b for *_, b in p.get_points("xyb"))]
    corners = [(x, y) for x, y, _ in slot.get_points("xyb")]
    sides = sorted(math.dist(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    assert sides == pytest.approx([9.0, 9.0, 14.5, 14.5], abs=1e-6)


@every
def test_the_same_part_gives_the_same_bytes(which):
    pytest.importorskip("ezdxf")
    assert dxf.plate_dxf(PLATES[which]) == dxf.plate_dxf(PLATES[which])
