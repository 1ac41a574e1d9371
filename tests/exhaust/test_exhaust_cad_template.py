"""Flat templates rolled on the pipe by hand and held against a CAD kernel's cut of the same pipe: within 0.1 mm.

Kind of check: reference library. The kernel (its boolean cuts and intersections) knows nothing of the patterns; the
rolling is done here, not by the program: x of the paper over the circumference is the angle round, y the height.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.spatial import cKDTree

from trialfit.exhaust import angle_cut_wrap, cone_wrap, cut_list, lay, saddle_wrap, wraps
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan

pytest.importorskip("OCP")

NEAR_MM = 0.1


def _rolled(flat, diameter, seam_rad, height_mm=0.0):
    """On a tube about z: angles counted right-handed about +z from +x, as x runs to the right seen from outside."""
    around = seam_rad + math.tau * flat[:, 0] / (math.pi * diameter)
    return np.column_stack([0.5 * diameter * np.cos(around), 0.5 * diameter * np.sin(around), flat[:, 1] + height_mm])


def _fine(points, step=0.02):
    """A chain of points with more points on its chords."""
    out = []
    for a, b in itertools.pairwise(points):
        n = max(1, math.ceil(float(np.linalg.norm(b - a)) / step))
        out.append(a + np.linspace(0.0, 1.0, n, endpoint=False)[:, None] * (b - a))
    return np.vstack([*out, points[-1:]])


def _fine_on_tube(flat, diameter, seam_rad, height_mm=0.0):
    return _rolled(_fine(flat), diameter, seam_rad, height_mm)


def _cylinder(radius, start, way, length):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*map(float, start)), gp_Dir(*map(float, way))), radius,
                                    length).Shape()


def _half_space(point, out):
    """Everything on the side of the plane through ``point`` that ``out`` shows to."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeHalfSpace
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

    face = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*map(float, point)), gp_Dir(*map(float, out)))).Face()
    return BRepPrimAPI_MakeHalfSpace(face, gp_Pnt(*(float(p + o) for p, o in zip(point, out, strict=True)))).Solid()


def _cut(shape, *waste):
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    for one in waste:
        shape = BRepAlgoAPI_Cut(shape, one).Shape()
    return shape


def _edge_points(shape, keep, step=0.02):
    """Points (n, 3) along those edges of a shape all of whose points pass ``keep``."""
    import OCP.TopExp
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS

    as_edge = getattr(TopoDS, "Edge_s", None) or TopoDS.Edge
    walk = getattr(OCP.TopExp, "TopExp_Expl" + "orer")(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    found = []
    while walk.More():
        curve = BRepAdaptor_Curve(as_edge(walk.Current()))
        first, last = curve.FirstParameter(), curve.LastParameter()
        at = [curve.Value(first + (last - first) * k / 40.0) for k in range(41)]
        rough = np.array([[p.X(), p.Y(), p.Z()] for p in at])
        long = float(np.linalg.norm(np.diff(rough, axis=0), axis=1).sum())
        if long > 1e-3 and keep(rough):
            n = math.ceil(long / step) + 1
            at = [curve.Value(first + (last - first) * k / n) for k in range(n + 1)]
            found.append(np.array([[p.X(), p.Y(), p.Z()] for p in at]))
        walk.Next()
    assert found, "the kernel's cut has no such edge"
    return np.vstack(found)


def _furthest(kernel, template):
    """Greatest distance from the kernel's edge to the template and the other way round [mm]."""
    to_template = cKDTree(template).query(kernel)[0].max()
    to_kernel = cKDTree(kernel).query(template)[0].max()
    return max(float(to_template), float(to_kernel))


def _on_tube(radius):
    """Edges that lie on the outside of a tube about z, and not along it."""
    def keep(points):
        on = np.abs(np.hypot(points[:, 0], points[:, 1]) - radius).max() < 1e-3
        around = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
        return on and float(np.ptp(around)) > 1e-3
    return keep


@pytest.mark.parametrize("face_deg", [2.0, 11.25, 22.5, 45.0, 70.0])
def test_an_angle_cut(face_deg):
    """The paper's lower edge lies square at height 0; the seam is on the short side, which is put at -x here."""
    diameter, face = 63.5, math.radians(face_deg)
    paper = angle_cut_wrap(diameter, face, "tail (invented)", margin_mm=30.0)
    middle = 30.0 + 0.5 * diameter * math.tan(face)
    tube = _cylinder(0.5 * diameter, (0, 0, 0), (0, 0, 1), 400.0)
    # long side at +x: the plane rises with x
    kernel = _cut(tube, _half_space((0.0, 0.0, middle), (-math.sin(face), 0.0, math.cos(face))))
    on = _on_tube(0.5 * diameter)
    edge = _edge_points(kernel, lambda p: on(p) and p[:, 2].max() > 1.0)
    upper = paper.outline[paper.outline[:, 1] > 1.0]
    upper = upper[np.argsort(upper[:, 0])]
    assert _furthest(edge, _fine_on_tube(upper, diameter, math.pi)) < NEAR_MM


@pytest.mark.parametrize("run, branch, angle_deg, offset, fit", [
    (76.1, 50.0, 90.0, 0.0, None), (76.1, 50.0, 60.0, 8.0, None), (76.1, 50.0, 35.0, -6.0, 47.0),
    (63.5, 63.5, 90.0, 0.0, None), (101.6, 42.4, 120.0, 20.0, 39.4),
])
def test_a_saddle_and_its_hole(run, branch, angle_deg, offset, fit):
    """Branch about z, the run's axis through the origin but for the offset, towards +y; the acute side is at +x.

    The branch meets the run with its outside when set in, with its bore when set on; the kernel cuts that cylinder,
    and the paper goes round the outside: angle round and height are what they have in common."""
    angle, length = math.radians(angle_deg), 260.0
    cut, hole = saddle_wrap(run, branch, angle, offset, length, "branch (invented)", fit)
    meets = branch if fit is None else fit
    # the branch's axis passes beside the run's by the offset, towards 90 deg round the branch: so the run lies at -y
    way = np.array([math.sin(angle), 0.0, math.cos(angle)])
    middle = np.array([0.0, -offset, 0.0])
    big = _cylinder(0.5 * run, middle - 600.0 * way, way, 1200.0)
    small = _cylinder(0.5 * meets, (0, 0, 0), (0, 0, 1), length)
    on = _on_tube(0.5 * meets)
    edge = _edge_points(_cut(small, big), lambda p: on(p) and p[:, 2].max() < length - 1.0)
    # heights count from the crossing; the paper is shifted so that its lowest point is 0 and its top the square end
    low = length - cut.height_mm
    lower = cut.outline[cut.outline[:, 1] < cut.height_mm - 1e-9]
    around = math.pi + math.tau * _fine(lower)[:, 0] / cut.circumference_mm
    height = _fine(lower)[:, 1] + low
    rolled = np.column_stack([0.5 * meets * np.cos(around), 0.5 * meets * np.sin(around), height])
    assert cut.circumference_mm == pytest.approx(math.pi * branch, abs=1e-9)
    assert _furthest(edge, rolled) < NEAR_MM
    # the hole: the same intersection, seen on the run; its middle line faces the branch
    (line,) = [drawn for drawn in hole.lines if drawn.kind == "cut"]
    (cross,) = hole.marks
    flat = _fine(line.points) - [cross.along_mm, cross.height_mm]
    up_run = way
    # straight up from the run, square to it: the line that faces the branch
    facing = np.cross(up_run, (0.0, 1.0, 0.0))
    facing = facing if facing[2] > 0.0 else -facing
    right = np.cross(up_run, facing)  # seen from outside with the run's way up, to the right
    turn = flat[:, 0] / (0.5 * run)
    on_run = middle + flat[:, 1:2] * up_run + 0.5 * run * (
        np.cos(turn)[:, None] * facing + np.sin(turn)[:, None] * right)
    assert _furthest(edge, on_run) < NEAR_MM


@pytest.mark.parametrize("pieces, turn_deg, radius", [(3, 45.0, 95.25), (4, 60.0, 95.25), (6, 90.0, 120.0)])
def test_the_wedges_of_a_mitred_bend(pieces, turn_deg, radius):
    """First, middle and last wedge as the cut list has them, against a tube cut by the planes that halve each turn."""
    diameter, turn = 63.5, math.radians(turn_deg)
    leg = 400.0
    corner = (600.0, 0.0, 300.0)
    end = (600.0 + leg * math.cos(turn), leg * math.sin(turn), 300.0)
    plan = RoutePlan("main", Amount(diameter), Amount(1.5), "outlet", "",
                     (Corner(corner, Amount(radius), PieCutWish(pieces, 1.5)),), end)
    laid = lay(plan, {"outlet": np.array([0.0, 0.0, 300.0])}, {})
    (piece,) = [p for p in cut_list(laid).pieces if p.pie is not None]
    papers = {w.title.split(": ")[1].split(",")[0]: w for w in wraps(cut_list(laid)) if "wedge" in w.title}
    assert set(papers) == {"first wedge", "middle wedge", "last wedge"}
    # every joint turns by the same, so the plane at a joint leans by half of it; the middles lie on the tangents
    face = 0.5 * turn / (pieces - 1)
    half = radius * math.tan(face)
    tube = _cylinder(0.5 * diameter, (0, 0, -300.0), (0, 0, 1), 900.0)
    on = _on_tube(0.5 * diameter)

    def edges(length, lower, upper):
        waste = []
        for there, z, sign in ((lower, 0.0, -1.0), (upper, length, 1.0)):
            lean = face if there else 0.0
            waste.append(_half_space((0.0, 0.0, z), (-math.sin(lean), 0.0, sign * math.cos(lean))))
        return _edge_points(_cut(tube, *waste), on)

    for name, length, lower, upper in (("first wedge", piece.leg_before_mm + half, False, True),
                                       ("middle wedge", 2.0 * half, True, True),
                                       ("last wedge", half + piece.leg_after_mm, True, False)):
        paper = papers[name]
        drop = 0.5 * diameter * math.tan(face) if lower else 0.0
        outline = np.vstack([paper.outline, paper.outline[:1]])
        # the paper's sides at the seam are no edge of the tube
        runs = [outline[k:k + 2] for k in range(len(outline) - 1) if abs(outline[k + 1, 0] - outline[k, 0]) > 1e-9]
        rolled = np.vstack([_fine_on_tube(run, diameter, math.pi, -drop) for run in runs])
        assert _furthest(edges(length, lower, upper), rolled) < NEAR_MM, name


def test_a_cone_rolled_up_has_the_kernels_two_rims():
    """A sector rolled so that its straight sides meet: reach from the apex stays, the angle grows to a whole turn."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone

    small, large, height = 76.2, 88.9, 120.0  # a 3 in outlet into 3 1/2 in pipe
    paper = cone_wrap(small, large, height, "cone (invented)")
    slant = math.hypot(height, 0.5 * (large - small))
    apex_reach = slant * large / (large - small)
    sector = math.pi * large / apex_reach
    # the sheet lies with its lower left corner at 0: the apex is where the two arcs' centre is, below its middle
    top = paper.outline[:, 1].max()
    flat = paper.outline - [0.5 * np.ptp(paper.outline[:, 0]), top - apex_reach]
    reach, turn = np.hypot(*flat.T), np.arctan2(flat[:, 0], flat[:, 1])
    wide = reach * sector / math.tau
    full = math.tau * turn / sector
    rolled = np.column_stack([wide * np.cos(full), wide * np.sin(full), np.sqrt(reach**2 - wide**2)])
    from_apex = height * large / (large - small)
    rolled[:, 2] = from_apex - rolled[:, 2]  # the large end at 0, as the kernel sets it
    cone = BRepPrimAPI_MakeCone(0.5 * large, 0.5 * small, height).Shape()
    rims = _edge_points(cone, lambda p: np.ptp(p[:, 2]) < 1e-6)
    assert cKDTree(rims).query(rolled)[0].max() < NEAR_MM
    assert {round(float(z), 1) for z in rolled[:, 2]} == {0.0, height}
