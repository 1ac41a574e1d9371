"""Templates and the bend line as DXF, read back by the library and measured."""

import importlib
import io
import itertools
import math

import numpy as np
import pytest
from laid_for_export import POINTS, laid_route

from trialfit.driveline import ExtraMissing
from trialfit.exhaust import angle_cut_wrap, saddle_wrap, wraps
from trialfit.sheets import pattern_dxf
from trialfit.sheets.pattern_dxf import CENTRE, CUT, MARK, TEXT, bend_line_dxf, wraps_dxf


def _opened(data):
    ezdxf = pytest.importorskip("ezdxf")
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    assert not document.audit().errors
    assert document.header["$INSUNITS"] == 4
    return document.modelspace()


def _edges(space):
    found = [np.array(p.get_points("xy")) for p in space.query(f"LWPOLYLINE[layer=='{CUT}']") if p.closed]
    return sorted(found, key=lambda e: e[:, 1].min())


@pytest.fixture(scope="module")
def route():
    return laid_route()


def test_every_template_has_the_pipes_circumference_and_its_height(route):
    _, cuts = route
    papers = wraps(cuts)
    edges = _edges(_opened(wraps_dxf(papers)))
    assert len(edges) == len(papers) > 5
    for edge in edges:
        assert np.ptp(edge[:, 0]) == pytest.approx(math.pi * 63.5, abs=1e-6)
    # strips first, then the pie cut's three, each 40 mm or as its sides say
    heights = [float(np.ptp(e[:, 1])) for e in edges]
    face = 0.5 * next(p for p in cuts.pieces if p.pie).bend_angle_rad / 4.0
    long_side = 2.0 * (120.0 + 31.75) * math.tan(face)
    assert heights.count(pytest.approx(long_side, abs=0.01)) == 1
    assert heights.count(pytest.approx(63.5 + (120.0 + 31.75) * math.tan(face), abs=0.01)) == 2
    assert heights.count(pytest.approx(40.0, abs=1e-6)) == len(papers) - 3


def test_templates_in_one_file_do_not_lie_on_each_other(route):
    _, cuts = route
    edges = _edges(_opened(wraps_dxf(wraps(cuts), ("NOT TO BE CUT FROM YET: " + 9 * "a gap is open, ",))))
    for below, above in itertools.pairwise(edges):
        assert above[:, 1].min() > below[:, 1].max() + 20.0


def test_a_middle_wedge_has_the_sides_of_its_mitres(route):
    """Plane through a cylinder: the height of the cut at an angle round is R tan(face) cos(angle); school geometry."""
    _, cuts = route
    (paper,) = [w for w in wraps(cuts) if "middle wedge" in w.title]
    (edge,) = _edges(_opened(wraps_dxf([paper])))
    face = 0.5 * next(p for p in cuts.pieces if p.pie).bend_angle_rad / 4.0
    middle = edge[:, 1].min() + (120.0 + 31.75) * math.tan(face)
    half = (120.0 - 31.75 * np.cos(math.tau * edge[:, 0] / (math.pi * 63.5))) * math.tan(face)
    assert np.abs(np.abs(edge[:, 1] - middle) - half).max() < 0.005


def test_what_is_cut_marked_and_read_stands_on_its_own_layer():
    branch, hole = saddle_wrap(76.1, 50.0, math.radians(60.0), 8.0, 120.0, "dump pipe (invented)", 47.0)
    space = _opened(wraps_dxf([branch, hole], ("READY TO BE CUT FROM",)))
    assert {e.dxf.layer for e in space} == {CUT, MARK, TEXT}
    assert all(e.dxf.layer == TEXT for e in space.query("TEXT"))
    assert len(_edges(space)) == 3  # two papers and the hole
    words = [e.dxf.text for e in space.query("TEXT")]
    assert words.count("READY TO BE CUT FROM") == 2
    assert {"acute side", "facing the branch", "dump pipe (invented): branch", "hole"} <= set(words)
    hole_edge = min(_edges(space), key=lambda e: np.ptp(e[:, 0]))
    # along the run the hole is the branch's bore over the sine of the angle, at its middle line (no offset there)
    assert np.ptp(hole_edge[:, 1]) == pytest.approx(47.0 / math.sin(math.radians(60.0)), rel=0.05)


def test_lines_and_crosses_lie_where_they_stand_on_the_paper(route):
    """The clocking strip's two lines lie evenly about its middle, the stated arc apart; the hole's middle faces the
    branch."""
    _, cuts = route
    strip = wraps(cuts)[0]
    space = _opened(wraps_dxf([strip]))
    (edge,) = _edges(space)
    marks = [np.array(p.get_points("xy")) for p in space.query(f"LWPOLYLINE[layer=='{MARK}']")]
    full = sorted(float(m[0, 0]) for m in marks if np.ptp(m[:, 1]) == pytest.approx(40.0, abs=1e-6))
    assert all(m[:, 1].min() >= edge[:, 1].min() - 1e-6 and m[:, 1].max() <= edge[:, 1].max() + 1e-6 for m in marks)
    assert full[1] - full[0] == pytest.approx(cuts.start.clocking.arc_mm, abs=1e-6)
    assert full[0] + full[1] == pytest.approx(math.pi * 63.5, abs=1e-6)
    _, hole = saddle_wrap(76.1, 50.0, math.pi / 2.0, 0.0, 120.0, "dump pipe (invented)")
    sheet, inner = sorted(_edges(_opened(wraps_dxf([hole]))), key=lambda e: -np.ptp(e[:, 0]))
    for axis in (0, 1):
        middle = 0.5 * (sheet[:, axis].min() + sheet[:, axis].max())
        assert 0.5 * (inner[:, axis].min() + inner[:, axis].max()) == pytest.approx(middle, abs=0.01)
    assert np.ptp(inner[:, 1]) == pytest.approx(50.0, abs=0.01)


def test_the_words_are_under_the_template_and_not_in_it():
    paper = angle_cut_wrap(60.0, 0.2, "tail")
    space = _opened(wraps_dxf([paper]))
    (edge,) = _edges(space)
    below = [t for t in space.query("TEXT") if t.dxf.insert.y + 3.0 <= edge[:, 1].min()]
    assert "tail" in {t.dxf.text for t in below}


def test_the_bend_line_runs_through_the_corners_in_the_vehicles_own_coordinates(route):
    laid, _ = route
    space = _opened(bend_line_dxf(laid.centreline, "exhaust main"))
    lines = {p.dxf.layer: np.array([v.dxf.location.xyz for v in p.vertices]) for p in space.query("POLYLINE")}
    wanted = [POINTS["outlet"], [1210, 265, 310], [2480, 330, 300], [2690, 380, 560], [3090, 440, 560],
              [3390, 520, 300]]
    assert np.abs(lines["POINTS"] - np.array(wanted)).max() < 1e-6
    long = np.linalg.norm(np.diff(lines[CENTRE], axis=0), axis=1).sum()
    # legs less set-backs plus arcs; the pie cut's wedges touch their arc, 2 n R tan(turn / 2 n)
    points = np.array(wanted, dtype=float)
    ways = np.diff(points, axis=0)
    legs = np.linalg.norm(ways, axis=1)
    turns = [math.acos(a @ b / np.linalg.norm(a) / np.linalg.norm(b)) for a, b in itertools.pairwise(ways)]
    expected = legs.sum()
    for turn, radius, joints in zip(turns, (95.25, 95.25, 127.0, 120.0), (0, 0, 0, 4), strict=True):
        arc = 2 * joints * radius * math.tan(turn / 2 / joints) if joints else radius * turn
        expected += arc - 2.0 * radius * math.tan(turn / 2)
    assert long == pytest.approx(expected, rel=2e-4)
    assert long <= expected + 1e-6


def test_a_straight_route_is_a_line_of_two_points():
    from trialfit.geometry.centreline import centreline

    space = _opened(bend_line_dxf(centreline([(0, 0, 0), (700, 0, 50)], []), "straight"))
    assert [len(p.vertices) for p in space.query("POLYLINE")] == [2, 2]


def test_the_same_templates_give_the_same_bytes_without_a_time(route):
    pytest.importorskip("ezdxf")
    laid, cuts = route
    assert wraps_dxf(wraps(cuts)) == wraps_dxf(wraps(laid_route()[1]))
    assert bend_line_dxf(laid.centreline, "x") == bend_line_dxf(laid_route()[0].centreline, "x")


def test_without_the_library_it_says_how_to_set_it_up(monkeypatch):
    def gone(name):
        raise ImportError(name)

    monkeypatch.setattr(importlib, "import_module", gone)
    with pytest.raises(ExtraMissing, match=r'pip install "trialfit\[cad\]"'):
        wraps_dxf([angle_cut_wrap(60.0, 0.2, "tail")])
    with pytest.raises(ValueError, match="1 at least"):
        pattern_dxf.wraps_dxf([])
