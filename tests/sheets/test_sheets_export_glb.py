"""The vehicle as GLB, read back by the library and measured: metres, y up, named, coloured, moved by its travel."""

import io
import json
import math
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh
from laid_for_export import laid_route, plan
from scipy.spatial import cKDTree

from trialfit.checks.pairs import Share, Thing
from trialfit.checks.placing import Placed, part_solid
from trialfit.exhaust import spots_of
from trialfit.geometry import Rigid, Span
from trialfit.geometry.centreline import capsules
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, TriangleMesh, cylinder
from trialfit.sheets.scene_glb import MOST_TRIANGLES, body_nodes, scene_glb, skin_of, thin
from trialfit.vehicle import PosePoint

UP = PosePoint(40.0, 0.05, 0.0)
SCAN = trimesh.creation.icosphere(subdivisions=5, radius=150.0)  # 20 480 triangles


class _AxlePath:
    """Heave straight up, roll about the vehicle's long axis at height 300 mm: right side up is turned towards +z."""

    def pose(self, heave, roll, rock):
        c, s = math.cos(roll), math.sin(roll)
        turn = np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])
        middle = np.array([2600.0, 0.0, 300.0])
        return turn, middle - turn @ middle + [0.0, 0.0, heave]

    def move(self, points, state):
        turn, shift = self.pose(*state)
        return np.asarray(points) @ turn.T + shift


def _thing(name, kind, *bodies, of=None, share=Share.PIPE, part=-1):
    return Thing(name, kind, frozenset(bodies), frozenset(), of, None, share, part)


def _results(travel=True):
    laid, _ = laid_route()
    path = _AxlePath()
    pipe = tuple(Capsule(a, b, r, slack) for a, b, r, slack in capsules(laid.centreline, laid.radius_mm, 0.05))
    box = next(s for s in spots_of(laid.plan, laid.points_mm, laid.sizes)[0] if s.part.name == "box")
    placed = (
        Placed(_thing("axle tube", "axle", "axle"),
               Rigid((cylinder((2600.0, -640.0, 300.0), (2600.0, 640.0, 300.0), 38.0),), path)),
        Placed(_thing("wheel right", "tyre", "wheel-right"),
               Rigid((cylinder((2600.0, 630.0, 305.0), (2600.0, 835.0, 305.0), 316.0),), path)),
        Placed(_thing("link", "link", "axle", "frame"),
               Span(np.array([2000.0, 500.0, 320.0]), None, np.array([2600.0, 500.0, 290.0]), path, 20.0)),
        Placed(_thing("rail", "frame", "frame"), Rigid((Box((1800.0, 480.0, 400.0), (900.0, 30.0, 40.0)),))),
        Placed(_thing("exhaust.main", "exhaust", "frame", of=plan()), Rigid(pipe)),
        Placed(_thing("exhaust.main box", "exhaust", "frame", of=plan(), share=Share.PART, part=1),
               Rigid((part_solid(box),))),
        Placed(_thing("tunnel scan", "floor", "frame"),
               Rigid((TriangleMesh(np.add(SCAN.vertices, (1000.0, 0.0, 700.0)), SCAN.faces),))),
        Placed(_thing("ground", "ground", "ground"), Rigid((Box((0.0, 0.0, -500.0), (6000.0, 3000.0, 500.0)),))),
        Placed(_thing("rail", "frame", "frame"), Rigid((Box((1800.0, -480.0, 400.0), (900.0, 30.0, 40.0)),))),
    )
    stops = SimpleNamespace(feasible=lambda p: abs(p.heave) <= 80.0 and abs(p.roll) <= 0.07,
                            lo=np.array([-80.0, -0.07, 0.0]), hi=np.array([80.0, 0.07, 0.0]))
    return SimpleNamespace(build=SimpleNamespace(name="Estate (invented)"), routes=(laid,), placed=placed,
                           travel=stops if travel else None)


@pytest.fixture(scope="module")
def results():
    return _results()


def _things(data):
    """Corners (n, 3) of every node, in the file's world."""
    scene = trimesh.load(io.BytesIO(data), file_type="glb", process=False)
    found = {}
    for name in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[name]
        found[name] = trimesh.transform_points(scene.geometry[geometry].vertices, matrix)
    return found, scene


def _tree(data):
    assert data[:4] == b"glTF"
    return json.loads(data[20:20 + int.from_bytes(data[12:16], "little")])


def _from_vehicle(x, y, z):
    """glTF 2.0, 3.4: metres, +Y up, +Z forward, -X right."""
    return np.array([-y, z, -x]) / 1000.0


def test_it_is_in_metres_with_y_up_and_the_front_towards_z(results):
    things, _ = _things(scene_glb(results))
    wheel = things["wheel right"]
    assert 0.5 * (wheel.min(axis=0) + wheel.max(axis=0)) == pytest.approx(_from_vehicle(2600.0, 732.5, 305.0),
                                                                          abs=1e-5)
    assert np.ptp(wheel[:, 0]) == pytest.approx(0.205, abs=1e-5)
    assert np.ptp(wheel[:, 1]) == pytest.approx(0.632, abs=1e-3)
    assert things["rail"][:, 2].max() == pytest.approx(-0.9, abs=1e-6)


def test_everything_is_there_under_its_name_but_the_ground(results):
    things, scene = _things(scene_glb(results))
    assert set(things) == {"axle tube", "wheel right", "link", "rail", "rail (2)", "exhaust.main", "exhaust.main box",
                           "tunnel scan"}
    assert things["rail (2)"][:, 0].mean() == pytest.approx(0.48, abs=1e-6)
    colours = {name: tuple(scene.geometry[scene.graph[name][1]].visual.material.baseColorFactor) for name in things}
    assert colours["exhaust.main"] == colours["exhaust.main box"]
    assert len({colours[n] for n in ("axle tube", "wheel right", "link", "rail", "exhaust.main", "tunnel scan")}) == 6


def test_nodes_say_what_they_are_and_ride_on_and_the_pose_is_told(results):
    tree = _tree(scene_glb(results, UP))
    nodes = {n["name"]: n for n in tree["nodes"]}
    assert nodes["axle tube"]["extras"] == {"kind": "axle", "body": "axle"}
    assert nodes["link"]["extras"]["body"] == "spans two"
    assert nodes["tunnel scan"]["extras"]["triangles of the scan"] == 20480
    assert tree["asset"]["extras"]["heave_mm"] == 40.0
    assert "http" not in json.dumps(tree)


def test_a_pose_moves_the_axle_and_carries_one_end_of_a_link(results):
    path = _AxlePath()
    things, _ = _things(scene_glb(results, UP))
    still, _ = _things(scene_glb(results))
    moved = path.move(np.array([[2600.0, 640.0, 300.0], [2600.0, -640.0, 300.0]]), tuple(UP))
    tube = things["axle tube"]
    for point in moved:
        near = np.linalg.norm(tube - _from_vehicle(*point), axis=1)
        assert near.min() == pytest.approx(0.038, abs=1e-5)
    assert np.array_equal(things["rail"], still["rail"])
    assert np.array_equal(things["exhaust.main"], still["exhaust.main"])
    front = _from_vehicle(2000.0, 500.0, 320.0)
    back = _from_vehicle(*path.move(np.array([2600.0, 500.0, 290.0]), tuple(UP)))
    for end in (front, back):
        ring = things["link"][np.linalg.norm(things["link"] - end, axis=1) < 0.0201]
        assert ring.mean(axis=0) == pytest.approx(end, abs=1e-5)
        assert np.linalg.norm(ring - end, axis=1) == pytest.approx(np.full(len(ring), 0.02), abs=1e-5)


def test_a_matrix_for_each_node_is_all_that_a_pose_needs(results):
    """glTF 2.0, 3.5.3: a matrix must come apart into shift, turn and stretch: its columns are square to each other."""
    for node in body_nodes(results):
        for pose in (PosePoint(0.0, 0.0, 0.0), UP):
            matrix = node.at(pose)
            ways = matrix[:3, :3] / np.linalg.norm(matrix[:3, :3], axis=0)
            assert ways.T @ ways == pytest.approx(np.eye(3), abs=1e-9)
            assert np.linalg.det(ways) == pytest.approx(1.0, abs=1e-9)


def test_the_pipe_is_hollow_and_lies_about_its_centre_line(results):
    (node,) = [n for n in body_nodes(results) if n.name == "exhaust.main"]
    laid = results.routes[0]
    line = laid.centreline
    points = np.array([line.point_at(float(v)) for v in np.linspace(0.0, line.length_mm, 6000)])
    off = cKDTree(points).query(node.vertices)[0]
    # the outer skin at half the diameter, the inner a wall less; at a mitre the outside corner stands out
    assert off.max() < 31.75 / math.cos(math.radians(5.1)) + 0.2
    assert off.min() > 30.25 - 0.2
    mesh = trimesh.Trimesh(node.vertices, node.triangles, process=False)
    assert mesh.is_watertight
    sides = 32
    ring = 0.5 * sides * math.sin(math.tau / sides) * (31.75**2 - 30.25**2)
    assert mesh.volume == pytest.approx(ring * line.length_mm, rel=2e-3)


@pytest.mark.parametrize("solid, volume", [
    (cylinder((0, 0, 0), (300, 40, 0), 50.0), 0.5 * 32 * math.sin(math.tau / 32) * 2500.0 * math.hypot(300, 40)),
    (Frustum(np.zeros(3), np.array([0.0, 0.0, 200.0]), 80.0, 40.0),
     0.5 * 32 * math.sin(math.tau / 32) * 200.0 / 3.0 * (80.0**2 + 80.0 * 40.0 + 40.0**2)),
    (Box((1, 2, 3), (10, 20, 30)), 48000.0),
    (Prism(np.array([[0, 0, 0], [100, 0, 0], [100, 50, 0], [0, 50, 0]], dtype=float), 2.0), 10000.0),
], ids=["cylinder", "cone", "box", "plate"])
def test_a_solids_skin_is_closed_faces_outward_and_holds_its_volume(solid, volume):
    """School geometry, round ones as the polygon of 32 sides that stands for them."""
    vertices, triangles = skin_of(solid)
    mesh = trimesh.Trimesh(vertices, triangles, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(volume, rel=1e-9)


def test_a_plate_without_thickness_is_seen_from_both_sides():
    vertices, triangles = skin_of(Prism(np.array([[0, 0, 0], [100, 0, 0], [100, 50, 0], [0, 50, 0]], dtype=float), 0.0))
    assert trimesh.Trimesh(vertices, triangles, process=False).area == pytest.approx(2 * 5000.0)


def test_normals_are_smooth_round_the_tube_and_sharp_at_its_end():
    from trialfit.sheets.scene_glb import _shaded

    vertices, triangles = skin_of(cylinder((0, 0, 0), (0, 0, 100), 50.0))
    corners, _, normals = _shaded(vertices, triangles)
    assert np.linalg.norm(normals, axis=1) == pytest.approx(np.ones(len(normals)))
    assert len(corners) == 4 * 32  # the skin's two rings and one for each cap
    level = normals[np.abs(normals[:, 2]) < 0.5]
    at = corners[np.abs(normals[:, 2]) < 0.5]
    assert np.einsum("ij,ij->i", level[:, :2], at[:, :2] / 50.0).min() > math.cos(math.radians(6.0))


def test_a_scan_is_thinned_out_and_stays_near_the_true_surface():
    fine = trimesh.creation.icosphere(subdivisions=6, radius=150.0)  # 81 920 triangles
    vertices, triangles = thin(np.asarray(fine.vertices), np.asarray(fine.faces), MOST_TRIANGLES)
    assert 0.5 * MOST_TRIANGLES < len(triangles) <= MOST_TRIANGLES
    off = np.abs(np.linalg.norm(vertices, axis=1) - 150.0)
    assert off.max() < 1.0
    few, fewer = thin(np.asarray(SCAN.vertices), np.asarray(SCAN.faces), 200)
    assert 0 < len(fewer) <= 200
    assert trimesh.Trimesh(few, fewer, process=False).area == pytest.approx(4 * math.pi * 150.0**2, rel=0.2)
    small = np.asarray(SCAN.faces)[:50]
    assert thin(np.asarray(SCAN.vertices), small, 100)[1] is small


def test_what_cannot_be_shown_is_refused(results):
    with pytest.raises(ValueError, match=r"heave 90 mm, .* is beyond the stops: heave -80 to 80 mm"):
        scene_glb(results, PosePoint(90.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="at ride height only"):
        scene_glb(_results(travel=False), UP)
    with pytest.raises(ValueError, match="100 or more"):
        scene_glb(results, most_triangles=10)
    empty = _results()
    empty.placed = ()
    with pytest.raises(ValueError, match="nothing of this build can be shown"):
        scene_glb(empty)


def test_the_same_build_and_pose_give_the_same_bytes(results):
    assert scene_glb(results) == scene_glb(_results())
    assert scene_glb(results, UP) == scene_glb(_results(), UP)
    assert scene_glb(results) != scene_glb(results, UP)
