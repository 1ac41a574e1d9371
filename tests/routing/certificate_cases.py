"""Invented routes past invented things on moving bodies, and a slow look at them by a general collision library; not a
test itself."""

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from trialfit.geometry.gaps import Domain, Rigid, Span
from trialfit.geometry.paths import PosePath, fit
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh, cylinder
from trialfit.routing.pieces import ARC, ENGINE, pieces
from trialfit.routing.problem import Bend, Exit, LegPart, Obstacle, PartAt, Problem, Size, Way

Floats = NDArray[np.float64]

LO, HI = np.array((-80.0, -0.08, -0.05)), np.array((70.0, 0.08, 0.06))
STOPS = Domain(LO, HI, bump=70.0, droop=80.0, apart=900.0, roll_limit=0.08)
PIPE = Size("60 x 1.5", 60.0, 1.5, (Bend("mandrel", 90.0, 2.0), Bend("tight", 60.0, 2.0)), ())
MUFFLER = LegPart("muffler", "muffler", 260.0, 180.0, 100.0, clocks_rad=(0.0, 0.5))
BELLOWS = LegPart("bellows", "bellows", 120.0, 80.0, 80.0, frees=True)
CENTRE = np.array((900.0, 0.0, 300.0))
KINDS = ("capsule", "box", "cylinder", "frustum", "plate", "scan")
RIDES = ("frame", "axle", "span", "engine")


def axle_path(sign: float = 1.0) -> PosePath:
    """Up and down on an arc, the sideways walk of a lateral rod, roll about a centre below the axle with some steer."""

    def motion(q: Floats) -> Floats:
        heave, roll = q[:, 0], q[:, 1]
        turn = Rotation.from_euler("ZYX", np.stack((0.06 * roll, 5e-4 * heave, roll), axis=1)).as_matrix()
        centre = CENTRE + np.array((0.0, 0.0, -60.0))
        walk = np.stack((-heave**2 / 1240.0, sign * (heave**2 / 1860.0 + 0.06 * heave), heave), axis=1)
        shift = centre + walk - turn @ centre
        return np.concatenate((turn.reshape(-1, 9), shift), axis=1)

    return fit(motion, LO, HI, axes=(True, True, False), centre=CENTRE).path


def engine_path() -> PosePath:
    """Rock about a lengthwise axis through the mounts."""

    def motion(q: Floats) -> Floats:
        turn = Rotation.from_euler("X", q[:, 2:]).as_matrix().reshape(-1, 3, 3)
        centre = np.array((0.0, 40.0, 520.0))
        return np.concatenate((turn.reshape(-1, 9), centre - turn @ centre), axis=1)

    return fit(motion, LO, HI, axes=(False, False, True), centre=CENTRE).path


AXLE, ENGINE_PATH = axle_path(), engine_path()


def solid(rng: np.random.Generator, kind: str, where: Floats, size: float) -> Solid:
    """A thing of some kind about a place."""
    turn = Rotation.random(random_state=rng).as_matrix()
    half = turn[:, 2] * size * rng.uniform(0.3, 2.5)
    if kind == "capsule":
        return Capsule(where - half, where + half, size * rng.uniform(0.1, 0.6))
    if kind == "box":
        return Box(where, size * rng.uniform(0.05, 1.5, 3), turn.T)
    if kind == "cylinder":
        return cylinder(where - half, where + half, size * rng.uniform(0.2, 1.2))
    if kind == "frustum":
        return Frustum(where - half, where + half, size * rng.uniform(0.2, 1.0), size * rng.uniform(0.0, 0.6))
    angles = np.arange(5) * 2 * np.pi / 5 + rng.uniform(0.0, 0.8, 5)
    flat = np.stack((np.cos(angles), np.sin(angles), np.zeros(5)), axis=1) * size * 1.5
    if kind == "plate":
        if rng.random() < 0.5:
            flat[:, 2] = rng.normal(size=5) * 3.0  # as measured: not in one plane
        return Prism(flat @ turn.T + where, float(rng.choice((0.0, 3.0, 20.0))))
    u, v = np.meshgrid(np.linspace(-1, 1, 12), np.linspace(-1, 1, 12), indexing="ij")
    points = np.stack((u, v, 0.15 * np.sin(3 * u) * np.cos(2 * v)), axis=2).reshape(-1, 3) * 1.5 * size
    first = (np.arange(11)[:, None] * 12 + np.arange(11)).ravel()
    triangles = np.vstack((np.stack((first, first + 1, first + 13), 1), np.stack((first, first + 13, first + 12), 1)))
    return TriangleMesh(points @ turn.T + where, triangles)


def way_of(points: Iterable[Iterable[float]], bends: tuple[int, ...], parts: tuple[PartAt, ...] = ()) -> Way:
    """A route by its corners; what it costs is of no interest here."""
    return Way(0, np.array(list(points), dtype=np.float64), bends, parts, 0.0, (), 0.0, 0.0, 0, 0.0)


def problem_of(obstacles: Iterable[Obstacle], domain: Domain = STOPS, *, parts: tuple[LegPart, ...] = (),
               engine: PosePath | None = None, **more: object) -> Problem:
    """A question with these obstacles, its outlet at (0, 0, 300) [mm] and towards the rear."""
    end = Exit(np.array((1790.0, -500, 0)), np.array((1810.0, 500, 600)), np.array((1.0, 0, 0)), 1.5)
    return Problem(tuple(obstacles), np.array((0.0, 0, 300)), np.array((1.0, 0, 0)), end, (PIPE,),
                   np.array(((-200.0, -700, -200), (2100.0, 700, 900))), domain, np.zeros((1, 3)), parts=parts,
                   engine=engine, **more)  # type: ignore[arg-type]


def random_route(rng: np.random.Generator, parts: tuple[LegPart, ...]) -> Way:
    """Outlet, three corners, end; the first part on the first leg, others on the third."""
    first = rng.uniform(420.0, 520.0)
    points = np.array((
        (0.0, 0.0, 300.0), (first, 0.0, 300.0), (first + 260.0, rng.uniform(-160, 160), rng.uniform(180, 420)),
        (1330.0, rng.uniform(-160, 160), rng.uniform(180, 420)), (1800.0, rng.uniform(-300, 300), 300.0)))
    spots = []
    for k, part in enumerate(parts):
        if part.frees:
            spots.append(PartAt(0, 60.0, 0.0))
        else:
            leg = points[3] - points[2]
            spots.append(PartAt(2, float(np.linalg.norm(leg)) / 2.0 - part.length_mm / 2.0, part.clocks_rad[k % 2]))
    return way_of(points, (0, 1, 0), tuple(spots))


def random_case(seed: int, kind: str, ride: str) -> tuple[Problem, Way]:
    """One thing of a kind, near a route with straights, arcs, a slab, and (seed odd) a bellows on the engine."""
    rng = np.random.default_rng([seed, KINDS.index(kind), RIDES.index(ride)])
    rocking = seed % 2 == 1 or ride == "engine"
    parts = (BELLOWS, MUFFLER) if rocking else (MUFFLER,)
    way = random_route(rng, parts)
    low, high = (0, len(way.points) - 1)
    k = int(rng.integers(low, high))
    near = way.points[k] + rng.uniform(0.1, 0.9) * (way.points[k + 1] - way.points[k])
    away = rng.normal(size=3)
    size = float(rng.choice((15.0, 40.0, 90.0)))
    off = rng.uniform(0.0, 60.0) if ride == "frame" else rng.uniform(30.0, 160.0)
    where = near + away / np.linalg.norm(away) * (30.0 + size * rng.uniform(1.0, 2.5) + off)
    body: Rigid | Span
    if ride == "span":
        turn = Rotation.random(random_state=rng).as_matrix()[:, 0]
        reach = rng.uniform(60.0, 300.0)
        body = Span(where - turn * reach, None, where + turn * reach, AXLE, float(rng.uniform(5.0, 30.0)))
    else:
        path = {"frame": None, "axle": AXLE, "engine": ENGINE_PATH}[ride]
        body = Rigid((solid(rng, kind, where, size),), path)
    obstacle = Obstacle("thing", "made up", body, float(rng.uniform(5.0, 25.0)))
    return problem_of((obstacle,), parts=parts, engine=ENGINE_PATH if rocking else None), way


def possible_poses(domain: Domain, counts: tuple[int, int, int]) -> Floats:
    """Poses (n, 3) on a grid and along the stops: at each roll, the least and the most heave is among them."""
    out = []
    for roll in np.linspace(max(domain.lo[1], -domain.roll_limit), min(domain.hi[1], domain.roll_limit), counts[1]):
        rise = abs(np.sin(roll)) * domain.apart / 2.0
        low, high = max(domain.lo[0], -domain.droop + rise), min(domain.hi[0], domain.bump - rise)
        if low > high:
            continue
        for heave in np.linspace(low, high, counts[0]):
            for rock in np.linspace(domain.lo[2], domain.hi[2], counts[2]):
                out.append((heave, roll, rock))
    return np.array(out)


def on_piece(piece: Floats, s: float, o: float) -> Floats:
    """Point of a piece's centre line or middle plane at ride height [mm]."""
    if int(piece[0]) == ARC:
        # By turning the start about the bend's centre, as the pipe is bent.
        centre = piece[1:4] + piece[10] * piece[7:10]
        axis = np.cross(piece[4:7], piece[7:10])
        turned: Floats = centre + Rotation.from_rotvec(axis * s / piece[10]).apply(piece[1:4] - centre)
        return turned
    flat: Floats = piece[1:4] + s * piece[4:7] + o * piece[14:17]
    return flat


class Library:
    """The gap at one pose and place by a general collision library (coal): a speck on the centre line, less the radius
    of the pipe."""

    def __init__(self, problem: Problem, way: Way) -> None:
        import coal

        self.coal = coal
        self.problem, self.rows = problem, pieces(problem, way)
        self.request = coal.DistanceRequest()
        self.request.enable_signed_distance = True
        self.request.gjk_tolerance = self.request.epa_tolerance = 1e-9
        self.speck = coal.Sphere(1e-6)
        self.shapes = [self._of(o.body) for o in problem.obstacles]

    def _of(self, body: Rigid | Span) -> Callable[[Floats], list[tuple[object, object]]]:
        coal = self.coal
        if isinstance(body, Span):
            def span(pose: Floats) -> list[tuple[object, object]]:
                a = body.a if body.path_a is None else body.path_a.move(np.asarray(body.a), tuple(pose))
                b = body.b if body.path_b is None else body.path_b.move(np.asarray(body.b), tuple(pose))
                return [(coal.Capsule(body.radius_mm, float(np.linalg.norm(b - a))), _along(coal, a, b))]

            return span
        held = [self._shape(s) for s in body.solids]

        def rigid(pose: Floats) -> list[tuple[object, object]]:
            if body.path is None:
                return held
            turn, shift = body.path.pose(*pose)
            carry = coal.Transform3s(turn, shift)
            return [(shape, carry * at) for shape, at in held]

        return rigid

    def _shape(self, s: Solid) -> tuple[object, object]:
        coal = self.coal
        if isinstance(s, Capsule):
            return coal.Capsule(s.radius_mm, float(np.linalg.norm(s.end - s.start))), _along(coal, s.start, s.end)
        if isinstance(s, Box):
            return coal.Box(*(2.0 * s.half_mm)), coal.Transform3s(s.axes.T.copy(), s.centre)
        if isinstance(s, Frustum) and s.radius_start_mm == s.radius_end_mm:
            length = float(np.linalg.norm(s.end - s.start))
            return coal.Cylinder(s.radius_start_mm, length), _along(coal, s.start, s.end)
        if isinstance(s, Frustum):
            # A taper is none of the library's shapes.
            return s, coal.Transform3s()
        if isinstance(s, TriangleMesh):
            vertices, triangles = s.vertices, s.triangles
        else:
            # The skin of a sheet; a centre line inside is not measured by it.
            assert isinstance(s, Prism)
            vertices = s.vertices()
            if np.linalg.matrix_rank(vertices - vertices.mean(axis=0), tol=1e-6) == 3:
                triangles = ConvexHull(vertices).simplices
            else:
                triangles = np.array([(0, k, k + 1) for k in range(1, len(vertices) - 1)])
        tree = coal.BVHModelOBBRSS()
        tree.beginModel(len(triangles), len(vertices))
        for triangle in triangles:
            tree.addTriangle(*vertices[triangle])
        tree.endModel()
        return tree, coal.Transform3s()

    def gap(self, j: int, i: int, s: float, o: float, pose: Floats) -> float:
        """Gap less what is required between obstacle j and the place (s, o) of piece i [mm]."""
        row = self.rows[i]
        at = on_piece(row, s, o)
        if int(row[17]) == ENGINE and self.problem.engine is not None:
            at = self.problem.engine.move(at, tuple(pose))
        return self.gap_at_place(j, i, at, pose)

    def gap_at_place(self, j: int, i: int, at: Floats, pose: Floats) -> float:
        coal = self.coal
        least = np.inf
        for shape, place in self.shapes[j](pose):
            if isinstance(shape, Frustum):
                found = taper_gap(shape, place.inverse().transform(at))
            else:
                ball = coal.Transform3s(np.eye(3), at)
                found = coal.distance(shape, place, self.speck, ball, self.request, coal.DistanceResult()) + 1e-6
                if isinstance(shape, coal.Cylinder) and found < 1e-3:
                    # Its depth of a speck in a cylinder is too much by millimetres where the nearest way out is a rim.
                    axis = np.array((0.0, 0.0, shape.halfLength))
                    found = taper_gap(
                        Frustum(-axis, axis, shape.radius, shape.radius), place.inverse().transform(at))
            least = min(least, float(found))
        return least - float(self.rows[i][12]) - self.problem.obstacles[j].required_mm

    def least(self, j: int, poses: Floats, steps: int, polish: int = 3) -> float:
        """Least gap over poses and places, then from the few least ones downhill within the domain."""
        from scipy.optimize import minimize

        seen = []
        for i, row in enumerate(self.rows):
            sides = np.linspace(-row[13], row[13], 5) if row[13] > 0.0 else (0.0,)
            for s in np.linspace(0.0, row[11], max(2, int(row[11] / steps) + 2)):
                for o in sides:
                    for pose in poses:
                        seen.append((self.gap(j, i, s, o, pose), i, s, o, pose))
        seen.sort(key=lambda one: one[0])
        least = seen[0][0]
        domain = self.problem.domain
        for _, i, s, o, pose in seen[:polish]:
            row = self.rows[i]

            def value(q: Floats, i: int = i, row: Floats = row) -> float:
                pose = np.clip(q[2:], domain.lo, domain.hi)
                if not domain.possible(pose):
                    return 1e6
                return self.gap(j, i, np.clip(q[0], 0.0, row[11]), np.clip(q[1], -row[13], row[13]), pose)

            start = np.array((s, o, *pose))
            step = np.diag((steps / 2, 5.0, 8.0, 0.01, 0.01)) * np.where(start > 0, -1.0, 1.0)[:, None]
            found = minimize(value, start, method="Nelder-Mead", options={
                "xatol": 1e-6, "fatol": 1e-7, "maxiter": 600,
                "initial_simplex": start + np.vstack((np.zeros(5), step))})
            least = min(least, float(found.fun))
        return least


def taper_gap(taper: Frustum, at: Floats) -> float:
    """Signed distance of a point to a taper: to the outline of its section through the axis and the point."""
    axis = taper.end - taper.start
    length = float(np.linalg.norm(axis))
    along = float((at - taper.start) @ axis / length)
    across = float(np.linalg.norm(np.cross(axis / length, at - taper.start)))
    a, b = taper.radius_start_mm, taper.radius_end_mm
    outline = np.array(((-a, 0.0), (a, 0.0), (b, length), (-b, length)))
    least, turns = np.inf, 0.0
    for p, q in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        edge, here = q - p, np.array((across, along)) - p
        t = 0.0 if not edge.any() else float(np.clip(here @ edge / (edge @ edge), 0.0, 1.0))
        least = min(least, float(np.linalg.norm(here - t * edge)))
        there = here - edge
        turns += np.arctan2(here[0] * there[1] - here[1] * there[0], here @ there)
    return -least if abs(turns) > np.pi else least


def _along(coal, a: Floats, b: Floats):  # type: ignore[no-untyped-def]
    """Placement of a shape whose z axis runs from a to b."""
    axis = b - a
    size = float(np.linalg.norm(axis))
    turn = np.eye(3)
    if size > 0.0:
        z = axis / size
        x = np.cross(z, np.eye(3)[int(np.argmin(np.abs(z)))])
        x /= np.linalg.norm(x)
        turn = np.stack((x, np.cross(z, x), z), axis=1)
    return coal.Transform3s(turn, (a + b) / 2.0)
