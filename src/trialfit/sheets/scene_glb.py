"""The whole vehicle as one GLB file: every thing of the build at ride height or at a pose of its travel.

In the file a node called vehicle turns millimetres, x rearward, y right, z up into metres, y up, z forward, as glTF
asks; below it stands one node for each thing, in the vehicle's own frame, so that a pose is one matrix for each node
(:meth:`Node.at`). For looking at only: round things have flat sides (see :data:`SIDES`), scans are thinned out, the
ground is left out, and what spans two bodies is drawn without its joints.
"""

import importlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.checks import Results
from trialfit.checks.pairs import GROUND, Thing
from trialfit.geometry import Rigid, Span
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh
from trialfit.vehicle import PosePoint, RoutePlan

Floats = NDArray[np.float64]
Triangles = NDArray[np.int64]

SIDES = 32
"""Flat sides of what is round: they leave the true round by 0.5 % of its radius at most."""
MOST_TRIANGLES = 20_000
"""A scan is thinned out to so many triangles at most."""
TO_GLTF = np.array([[0.0, -1e-3, 0.0, 0.0], [0.0, 0.0, 1e-3, 0.0], [-1e-3, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]])
"""From the vehicle [mm; x rearward, y right, z up] to glTF [m; x left, y up, z forward]."""
RIDE = PosePoint(0.0, 0.0, 0.0)
COLOURS: Mapping[str, tuple[int, int, int]] = {
    "exhaust": (176, 96, 48), "floor": (150, 156, 160), "body": (168, 174, 178), "frame": (84, 92, 100),
    "fuel": (190, 150, 40), "brake-line": (150, 60, 60), "wiring": (120, 80, 140), "rubber": (60, 60, 62),
    "tyre": (40, 42, 44), "brake": (120, 124, 128), "axle": (52, 96, 132), "shaft": (70, 130, 110),
    "link": (96, 128, 156), "spring": (110, 140, 84), "damper": (84, 112, 66), "engine": (128, 132, 120),
    "gearbox": (140, 140, 128), "other": (130, 130, 130),
}
"""Colour of each kind of thing: red, green, blue, 0 to 255."""
_SHARP_RAD = math.radians(30.0)


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """One thing to be shown. ``vertices`` (n, 3) and ``triangles`` (m, 3) are in its own frame: the vehicle's at ride
    height [mm] for what rides on ``body``; for a bar that spans two bodies (``body`` is then ""), along z from 0 to 1
    [-], x and y [mm]. ``thinned_from`` counts the triangles before a scan was thinned out; 0 where none was."""

    name: str
    kind: str
    body: str
    vertices: Floats
    triangles: Triangles
    mover: Rigid | Span
    thinned_from: int = 0

    def at(self, pose: PosePoint = RIDE) -> Floats:
        """Matrix (4, 4) from the node's own frame to the vehicle's at a pose [mm].

        Raises
        ------
        trialfit.geometry.paths.PathError
            when the pose lies outside the travel, with its range
        """
        if isinstance(self.mover, Rigid):
            return _moved(self.mover.path, pose)
        a = _carried(self.mover.path_a, self.mover.a, pose)
        b = _carried(self.mover.path_b, self.mover.b, pose)
        matrix = np.eye(4)
        matrix[:3, :2] = _across((b - a) / np.linalg.norm(b - a))
        matrix[:3, 2], matrix[:3, 3] = b - a, a
        return matrix


def _moved(path: Any, pose: PosePoint) -> Floats:
    matrix = np.eye(4)
    if path is not None:
        matrix[:3, :3], matrix[:3, 3] = path.pose(*pose)
    return matrix


def _carried(path: Any, point: Floats, pose: PosePoint) -> Floats:
    moved: Floats = point if path is None else path.move(point, tuple(pose))
    return moved


def body_nodes(results: Results, most_triangles: int = MOST_TRIANGLES) -> tuple[Node, ...]:
    """Everything of a build that can be shown, in the order of the file; each has its own name.

    Parameters
    ----------
    results : Results
        of the build
    most_triangles : int
        a scan keeps so many triangles at most [-]

    Raises
    ------
    ValueError
        for fewer than 100 triangles
    """
    if most_triangles < 100:
        raise ValueError(f"{most_triangles} triangles are too few to show a scan by; ask for 100 or more")
    walls = {r.plan.name: (r.radius_mm, r.wall_mm) for r in results.routes}
    nodes: list[Node] = []
    seen = {"vehicle": 1, "world": 1}  # the names of the nodes above
    for placed in results.placed:
        thing = placed.thing
        if thing.kind == GROUND:
            continue
        seen[thing.name] = seen.get(thing.name, 0) + 1
        name = thing.name if seen[thing.name] == 1 else f"{thing.name} ({seen[thing.name]})"
        vertices, triangles, before = _skin(placed.mover, thing, walls, most_triangles)
        (body,) = thing.bodies if isinstance(placed.mover, Rigid) and len(thing.bodies) == 1 else ("",)
        nodes.append(Node(name, thing.kind, body, vertices, triangles, placed.mover, before))
    return tuple(nodes)


def scene_glb(results: Results, pose: PosePoint | None = None, most_triangles: int = MOST_TRIANGLES) -> bytes:
    """The vehicle as GLB, every thing a named node coloured by its kind; the same build and pose give the same bytes.

    Parameters
    ----------
    results : Results
        of the build
    pose : PosePoint or None
        heave, roll and rock to show it at; None for ride height
    most_triangles : int
        a scan keeps so many triangles at most [-]

    Raises
    ------
    ValueError
        when there is nothing to show, or the pose lies outside the travel, with its range

    Source: glTF 2.0, clauses 3.4 (coordinates, units) and 4 (GLB).
    """
    trimesh: Any = importlib.import_module("trimesh")
    nodes = body_nodes(results, most_triangles)
    if not nodes:
        raise ValueError("nothing of this build can be shown: no shape lies on hardpoints that are known")
    where = _allowed(results, pose)
    scene = trimesh.Scene(base_frame="world")
    scene.graph.update("vehicle", "world", matrix=TO_GLTF)
    for node in nodes:
        kind = node.kind if node.kind in COLOURS else "other"
        vertices, triangles, normals = _shaded(node.vertices, node.triangles)
        material = trimesh.visual.material.PBRMaterial(
            name=kind, baseColorFactor=[*COLOURS[kind], 255], metallicFactor=0.1, roughnessFactor=0.7, doubleSided=True)
        mesh = trimesh.Trimesh(vertices, triangles, vertex_normals=normals, process=False, validate=False,
                               visual=trimesh.visual.TextureVisuals(material=material))
        scene.add_geometry(mesh, node_name=node.name, geom_name=node.name, parent_node_name="vehicle",
                           transform=node.at(where))
    told = {node.name: _told(node) for node in nodes}

    def finished(tree: dict[str, Any]) -> None:
        tree["asset"] = {"version": "2.0", "generator": "trialfit",
                         "extras": {"build": results.build.name, "heave_mm": float(where.heave),
                                    "roll_rad": float(where.roll), "rock_rad": float(where.rock)}}
        for one in tree["nodes"]:
            if one.get("name") in told:
                one["extras"] = told[one["name"]]

    writer: Any = importlib.import_module("trimesh.exchange.gltf")
    return bytes(writer.export_glb(scene, include_normals=True, tree_postprocessor=finished))


def _told(node: Node) -> dict[str, str | int]:
    told: dict[str, str | int] = {"kind": node.kind, "body": node.body or "spans two"}
    if node.thinned_from:
        told["triangles of the scan"] = node.thinned_from
    return told


def _allowed(results: Results, pose: PosePoint | None) -> PosePoint:
    if pose is None or tuple(pose) == tuple(RIDE):
        return RIDE
    travel = results.travel
    if travel is None:
        raise ValueError("the travel of this build is not known, so it can be shown at ride height only")
    if not travel.feasible(pose):
        lo, hi = travel.lo, travel.hi
        raise ValueError(
            f"heave {pose.heave:g} mm, roll {math.degrees(pose.roll):g} deg, rock {math.degrees(pose.rock):g} deg is "
            f"beyond the stops: heave {lo[0]:g} to {hi[0]:g} mm without roll, roll {math.degrees(lo[1]):g} to "
            f"{math.degrees(hi[1]):g} deg, rock {math.degrees(lo[2]):g} to {math.degrees(hi[2]):g} deg")
    return pose


# -- skins --------------------------------------------------------------------------------------------------------


Skin = tuple[Floats, Triangles]


def _skin(mover: Rigid | Span, thing: Thing, walls: Mapping[str, tuple[float, float]], most: int
          ) -> tuple[Floats, Triangles, int]:
    if isinstance(mover, Span):
        ring = mover.radius_mm * _circle()
        return *_lofted([np.column_stack([ring, np.full(SIDES, z)]) for z in (0.0, 1.0)], True), 0
    skins: list[Skin] = []
    thinned = 0
    run: list[Capsule] = []
    for solid in mover.solids:
        if isinstance(solid, Capsule):
            if run and not np.array_equal(run[-1].end, solid.start):
                skins.append(_pipe(run, thing, walls))
                run = []
            run.append(solid)
            continue
        if isinstance(solid, TriangleMesh):
            vertices, triangles = thin(solid.vertices, solid.triangles, most)
            thinned += len(solid.triangles) if len(triangles) < len(solid.triangles) else 0
            skins.append((vertices, triangles))
        else:
            skins.append(skin_of(solid))
    if run:
        skins.append(_pipe(run, thing, walls))
    return *_joined(skins), thinned


def _joined(skins: Sequence[Skin]) -> Skin:
    starts = np.cumsum([0, *(len(v) for v, _ in skins[:-1])])
    return (np.vstack([v for v, _ in skins]),
            np.vstack([t + start for (_, t), start in zip(skins, starts, strict=True)]))


def skin_of(solid: Solid) -> Skin:
    """The surface of one solid as vertices (n, 3) [mm] and triangles (m, 3), seen from outside counter-clockwise."""
    if isinstance(solid, TriangleMesh):
        return solid.vertices, solid.triangles
    if isinstance(solid, Capsule):
        return _lofted(_rings([solid.start, solid.end], solid.radius_mm), True)
    if isinstance(solid, Frustum):
        along = solid.end - solid.start
        spokes = _circle() @ _across(along / np.linalg.norm(along)).T
        return _lofted([solid.start + solid.radius_start_mm * spokes, solid.end + solid.radius_end_mm * spokes], True)
    if isinstance(solid, Box):
        signs = np.array([[x, y, z] for x in (-1.0, 1.0) for y in (-1.0, 1.0) for z in (-1.0, 1.0)])
        return _hull(solid.centre + (signs * solid.half_mm) @ solid.axes)
    return _plate(solid)


def _plate(plate: Prism) -> Skin:
    points = plate.vertices()
    if plate.thickness_mm > 0.0:
        return _hull(points)
    fan = np.array([[0, k, k + 1] for k in range(1, len(points) - 1)], dtype=np.int64)
    return points, np.vstack([fan, fan[:, ::-1]])


def _hull(points: Floats) -> Skin:
    from scipy.spatial import ConvexHull

    hull = ConvexHull(points)
    used, triangles = np.unique(hull.simplices, return_inverse=True)
    corners = points[used]
    faces = triangles.reshape(-1, 3).astype(np.int64)
    # the library gives the triangles in no sense of turning: turn each so that the middle lies behind it
    a, b, c = (corners[faces[:, k]] for k in range(3))
    inward = np.einsum("ij,ij->i", np.cross(b - a, c - a), a - corners.mean(axis=0)) < 0.0
    faces[inward] = faces[inward][:, ::-1]
    return corners, faces


def _circle() -> Floats:
    turn = math.tau * np.arange(SIDES) / SIDES
    return np.column_stack([np.cos(turn), np.sin(turn)])


def _across(along: Floats) -> Floats:
    """Two unit ways (3, 2) square to ``along`` and each other, right-handed with it."""
    helper = np.eye(3)[int(np.argmin(np.abs(along)))]
    first = np.cross(helper, along)
    first = first / np.linalg.norm(first)
    return np.column_stack([first, np.cross(along, first)])


def _rings(line: Sequence[Floats], radius: float) -> list[Floats]:
    """Rings (SIDES, 3) of a pipe along a chain of points, each in the plane that halves the turn there, without
    twist from one to the next."""
    points = np.array(line)
    ways = np.diff(points, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    spokes = radius * _circle() @ _across(ways[0]).T
    rings = [points[0] + spokes]
    for k in range(1, len(points) - 1):
        before, after = ways[k - 1], ways[k]
        normal = before + after
        slide = -(spokes @ normal) / float(before @ normal)
        rings.append(points[k] + spokes + slide[:, None] * before)
        # what is left after the mitre is square to the next straight
        inclined = rings[-1] - points[k]
        spokes = inclined - (inclined @ after)[:, None] * after
    rings.append(points[-1] + spokes)
    return rings


def _lofted(rings: Sequence[Floats], closed: bool) -> Skin:
    """Skin over rings of equally many points, right-handed about the way from the first to the last; its ends are
    closed with flat caps when ``closed``."""
    count = len(rings[0])
    vertices = np.vstack(rings)
    k = np.arange(count)
    faces: list[Triangles] = []
    for n in range(len(rings) - 1):
        a, b = n * count + k, n * count + (k + 1) % count
        faces += [np.column_stack([a, b, b + count]), np.column_stack([a, b + count, a + count])]
    if closed:
        fan = np.column_stack([np.zeros(count - 2, dtype=np.int64), k[1:-1], k[2:]])
        faces += [fan[:, ::-1], fan + (len(rings) - 1) * count]
    return vertices, np.vstack(faces).astype(np.int64)


def _pipe(run: Sequence[Capsule], thing: Thing, walls: Mapping[str, tuple[float, float]]) -> Skin:
    """A run of sticks that join up; hollow where it is the pipe of a route whose wall is known."""
    line = [run[0].start, *(c.end for c in run)]
    radius = run[0].radius_mm
    outer = _rings(line, radius)
    if not isinstance(thing.of, RoutePlan) or thing.of.name not in walls:
        return _lofted(outer, True)
    bore = radius - walls[thing.of.name][1]
    if not 0.0 < bore < radius:
        return _lofted(outer, True)
    skin, tris = _lofted(outer, False)
    inside, back = _lofted(_rings(line, bore), False)
    start, k = len(skin), np.arange(SIDES)
    nxt = (k + 1) % SIDES
    far = len(skin) - SIDES
    lips = [np.column_stack([k, start + k, start + nxt]), np.column_stack([k, start + nxt, nxt]),
            np.column_stack([far + k, far + nxt, start + far + nxt]),
            np.column_stack([far + k, start + far + nxt, start + far + k])]
    return np.vstack([skin, inside]), np.vstack([tris, back[:, ::-1] + start, *lips]).astype(np.int64)


def thin(vertices: Floats, triangles: Triangles, most: int) -> Skin:
    """A mesh thinned out to ``most`` triangles or fewer, for looking at: corners within one cell of a grid become their
    middle, so none moves further than the cell's diagonal. One that is small enough stays as it is."""
    if len(triangles) <= most:
        return vertices, triangles
    corner = vertices.min(axis=0)
    low, high = 0.0, float((vertices.max(axis=0) - corner).max())
    best: Skin | None = None
    for _ in range(14):
        size = 0.5 * (low + high)
        found = _clustered(vertices, triangles, corner, size)
        if len(found[1]) > most:
            low = size
            continue
        high = size
        if len(found[1]) > 0:
            best = found
            if len(found[1]) > 0.8 * most:
                break
    if best is None:
        raise ValueError(f"the scan cannot be thinned out to {most} triangles; ask for more")
    return best


def _clustered(vertices: Floats, triangles: Triangles, corner: Floats, size: float) -> Skin:
    cells = np.floor((vertices - corner) / size).astype(np.int64)
    count_y, count_z = (int(cells[:, k].max()) + 1 for k in (1, 2))
    _, which = np.unique((cells[:, 0] * count_y + cells[:, 1]) * count_z + cells[:, 2], return_inverse=True)
    count = int(which.max()) + 1
    weight = np.bincount(which, minlength=count)
    middle = np.column_stack([np.bincount(which, vertices[:, k], count) for k in range(3)]) / weight[:, None]
    faces = which[triangles]
    faces = faces[(faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])]
    if len(faces) == 0:
        return middle, faces
    if count < 1 << 21:  # three corners then fit into one number; more than that are too many to show anyhow
        low, mid, high = np.sort(faces, axis=1).T
        _, first = np.unique((low << 42) | (mid << 21) | high, return_index=True)
        faces = faces[np.sort(first)]
    used, again = np.unique(faces, return_inverse=True)
    return middle[used], again.reshape(-1, 3).astype(np.int64)


def _shaded(vertices: Floats, triangles: Triangles) -> tuple[Floats, Triangles, Floats]:
    """Corners split where faces meet at more than 30 deg, each with the mean normal of the faces it keeps, so that
    round things look round and edges stay sharp."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    whole = size > 0.0
    triangles, normal, size = triangles[whole], normal[whole], size[whole]
    unit = normal / size[:, None]
    mean = np.zeros_like(vertices)
    np.add.at(mean, triangles.ravel(), np.repeat(normal, 3, axis=0))
    # faces all within half the angle of their mean are within the angle of each other: one normal for all
    length = np.linalg.norm(mean, axis=1)
    agree = np.einsum("ijk,ik->ij", mean[triangles], unit) >= math.cos(0.5 * _SHARP_RAD) * length[triangles]
    smooth = length > 0.0
    smooth[triangles[~agree]] = False
    used = np.zeros(len(vertices), dtype=bool)
    used[triangles] = True
    at = [int(k) for k in np.flatnonzero(smooth & used)]
    slots = np.full(len(vertices), -1)
    slots[at] = np.arange(len(at))
    faces = slots[triangles]
    normals = [mean[k] for k in at]
    groups: dict[int, list[tuple[Floats, Floats, int]]] = {}
    least = math.cos(_SHARP_RAD)
    for number, k in np.argwhere(faces < 0):
        corner = int(triangles[number, k])
        for first, total, slot in groups.setdefault(corner, []):
            if float(first @ unit[number]) >= least:
                total += normal[number]
                faces[number, k] = slot
                break
        else:
            total = normal[number].copy()
            groups[corner].append((unit[number], total, len(at)))
            faces[number, k] = len(at)
            at.append(corner)
            normals.append(total)
    out = np.array(normals)
    length = np.linalg.norm(out, axis=1)
    flat = length == 0.0
    out[flat], length[flat] = (0.0, 0.0, 1.0), 1.0
    return vertices[at], faces, out / length[:, None]
