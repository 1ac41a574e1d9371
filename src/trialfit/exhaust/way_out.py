"""A way out for a section: plain moves first (slide, drop, turn), then a general motion planner.

Every move is certified as a whole: the section's path over the move is a series whose bounds can be read off, and the
smallest gap over it has a lower bound, as over the suspension's travel. Nothing here looks at a clock: budgets count
certified moves.

Source: J. Kuffner and S. LaValle, RRT-Connect, ICRA 2000 (from memory), by the Open Motion Planning Library; the rest
geometry.
"""

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from trialfit.exhaust.apart import Pose
from trialfit.geometry import Domain, PosePath, Rigid, certified_gap
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid
from trialfit.geometry.turning import turned_about

Floats = NDArray[np.float64]

INSTALL = ("the search for a way out needs the library ompl; set it up with: python -m pip install "
           "'trialfit[removal]'")
START: Pose = (np.eye(3), np.zeros(3))
"""where a section is fitted"""
_SERIES_MARGIN_MM = 1e-6
_WHOLE = Domain(np.zeros(3), np.array([1.0, 0.0, 0.0]))


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One rigid move: a turn of ``turn`` (3,) [rad] (right-handed about its own direction) about the point ``about``
    (3,) [mm], which itself shifts by ``shift`` (3,) [mm]; both evenly and together. ``gap_mm`` is a certain lower bound
    of the gap while it is made."""

    turn: Floats
    shift: Floats
    about: Floats
    words: str
    gap_mm: float = math.nan


def after(pose: Pose, step: Step) -> Pose:
    """The pose once a step is made from another."""
    turn = _rotation(step.turn)
    return turn @ pose[0], step.about + step.shift + turn @ (pose[1] - step.about)


def _about(axis: Floats, angle: float) -> Floats:
    """Rotation matrix (3, 3) about a unit axis."""
    matrix: Floats = np.column_stack([turned_about(e, axis, angle) for e in np.eye(3)])
    return matrix


def _rotation(vector: Floats) -> Floats:
    angle = float(np.linalg.norm(vector))
    return np.eye(3) if angle < 1e-12 else _about(vector / angle, angle)


def _turn_vector(turn: Floats) -> Floats:
    """The turn (3,) [rad] that a rotation matrix makes, of pi at most."""
    from scipy.spatial.transform import Rotation

    vector: Floats = Rotation.from_matrix(turn).as_rotvec()
    return vector


def path_of(step: Step, pose: Pose) -> PosePath:
    """The continuous move of a step made from ``pose``, as a path whose first parameter runs from 0 to 1.

    Its series is exact to better than 1e-8 mm within 10 m."""
    angle = float(np.linalg.norm(step.turn))
    count = 2 if angle == 0.0 else 8 if angle < 0.3 else 10 if angle < 0.8 else 14 if angle < 2.0 else 20
    nodes = np.cos((np.arange(count) + 0.5) * math.pi / count)
    t = (nodes + 1.0) / 2.0
    basis = chebyshev.chebvander(nodes, count - 1)
    series = basis.T * (2.0 / count)
    series[0] /= 2.0
    one = series @ np.ones(count)
    coefs = np.zeros((count, 1, 1, 12))
    turn, shift = pose
    lever = shift - step.about
    if angle > 0.0:
        k = step.turn / angle
        cross = np.array([[0.0, -k[2], k[1]], [k[2], 0.0, -k[0]], [-k[1], k[0], 0.0]])
        sine, versed = series @ np.sin(t * angle), series @ (1.0 - np.cos(t * angle))
        twice = cross @ cross
        coefs[:, 0, 0, :9] += np.outer(sine, (cross @ turn).ravel()) + np.outer(versed, (twice @ turn).ravel())
        coefs[:, 0, 0, 9:] += np.outer(sine, cross @ lever) + np.outer(versed, twice @ lever)
    coefs[:, 0, 0, :9] += np.outer(one, turn.ravel())
    coefs[:, 0, 0, 9:] += np.outer(one, shift) + np.outer(series @ t, step.shift)
    return PosePath(coefs, np.zeros(3), np.array([1.0, 0.0, 0.0]))


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Things that ask for one gap, as one body; ``names`` of them."""

    names: tuple[str, ...]
    body: Rigid
    need_mm: float


@dataclass(slots=True, eq=False)
class Scene:
    """A section among its obstacles. The one thing here that counts: how many moves were certified and what stopped
    them. ``note`` says why it cannot lie under the vehicle."""

    solids: tuple[Solid, ...]
    groups: tuple[Group, ...]
    singles: tuple[Group, ...]
    centre: Floats
    reach_mm: float
    under_mm: float
    hull: tuple[Floats, Floats]
    clear_mm: float
    axis: Floats | None
    checks: int = 0
    stops: dict[str, int] = field(default_factory=dict)
    note: str = ""
    _skin: tuple[Floats, Floats, Floats] | None = None

    def gap(self, step: Step, pose: Pose, groups: Sequence[Group],
            settle: bool = True) -> Iterator[tuple[Group, float]]:
        """Lower bound of the gap to each group over the move."""
        body = Rigid(self.solids, path_of(step, pose))
        for group in groups:
            found = certified_gap(body, group.body, _WHOLE, group.need_mm, tol_mm=0.5, max_cells=4000,
                                  margin_mm=_SERIES_MARGIN_MM, settle=settle)
            yield group, found.lower_mm

    def clear(self, pose: Pose, step: Step, blame: bool = False) -> bool:
        """Whether a move keeps every gap; with ``blame`` what stops it is counted."""
        self.checks += 1
        good = all(low >= group.need_mm for group, low in self.gap(step, pose, self.groups))
        if not good and blame:
            for group, low in self.gap(step, pose, self.singles):
                if low < group.need_mm:
                    self.stops[group.names[0]] = self.stops.get(group.names[0], 0) + 1
        return good

    def skin(self) -> tuple[Floats, Floats, Floats]:
        """Points (n, 3) on axes, the radius round each (n,), and the axis of its disc (n, 3), 0 for a ball."""
        if self._skin is None:
            points, radii, axes = [], [], []
            for solid in self.solids:
                if isinstance(solid, Frustum):
                    along = (solid.end - solid.start) / np.linalg.norm(solid.end - solid.start)
                    rows = [(solid.start, solid.radius_start_mm, along), (solid.end, solid.radius_end_mm, along)]
                elif isinstance(solid, Capsule):
                    rows = [(solid.start, solid.radius_mm + solid.slack_mm, np.zeros(3)),
                            (solid.end, solid.radius_mm + solid.slack_mm, np.zeros(3))]
                elif isinstance(solid, Prism):
                    rows = [(v, 0.0, np.zeros(3)) for v in solid.vertices()]
                elif isinstance(solid, Box):
                    rows = [(solid.centre + (np.array(s) * solid.half_mm) @ solid.axes, 0.0, np.zeros(3))
                            for s in itertools.product((-1.0, 1.0), repeat=3)]
                else:
                    rows = [(v, 0.0, np.zeros(3)) for v in solid.vertices]
                for point, radius, axis in rows:
                    points.append(point)
                    radii.append(radius)
                    axes.append(axis)
            self._skin = np.array(points), np.array(radii), np.array(axes)
        return self._skin

    def extent(self, pose: Pose) -> tuple[Floats, Floats]:
        """Least and greatest coordinates (3,) of the section at a pose [mm], exactly."""
        points, radii, axes = self.skin()
        at = points @ pose[0].T + pose[1]
        across = radii[:, None] * np.sqrt(np.clip(1.0 - (axes @ pose[0].T) ** 2, 0.0, None))
        return (at - across).min(axis=0), (at + across).max(axis=0)

    def out(self, pose: Pose) -> bool:
        """Whether the section lies below everything, or wholly outside the box round everything."""
        low, high = self.extent(pose)
        if high[2] <= self.under_mm - self.clear_mm + 1e-9:
            return True
        beyond = np.concatenate((low[:2] - self.hull[1][:2], self.hull[0][:2] - high[:2]))
        return bool(np.any(beyond >= self.clear_mm))

    def middle(self, pose: Pose) -> Floats:
        """Where the section's middle is at a pose (3,) [mm]."""
        at: Floats = pose[0] @ self.centre + pose[1]
        return at

    def between(self, first: Pose, second: Pose) -> Step:
        """The move that shifts the middle straight and turns evenly from one pose to another."""
        turn = _turn_vector(second[0] @ first[0].T)
        about = self.middle(first)
        shift = self.middle(second) - about
        return Step(turn, shift, about, move_words(turn, shift))


def move_words(turn: Floats, shift: Floats) -> str:
    """A move for a person, in mm and deg; parts under 1 mm and 1 deg are not said.

    >>> move_words(np.zeros(3), np.array([120.0, 0.0, -80.0]))
    'slide 120 mm rearward while dropping 80 mm'
    >>> move_words(np.array([0.0, math.radians(-30), 0.0]), np.zeros(3))
    'turn 30 deg nose down'
    """
    ways = []
    for value, plus, minus in ((shift[0], "rearward", "forward"), (shift[1], "to the right", "to the left")):
        if abs(value) >= 1.0:
            ways.append(f"{abs(value):.0f} mm {plus if value > 0.0 else minus}")
    turns = []
    for value, plus, minus in ((turn[0], "right side up", "left side up"), (turn[1], "nose up", "nose down"),
                               (turn[2], "tail to the right", "tail to the left")):
        if abs(value) >= math.radians(1.0):
            turns.append(f"{abs(math.degrees(value)):.0f} deg {plus if value > 0.0 else minus}")
    said = []
    if ways:
        said.append(f"slide {' and '.join(ways)}")
    if abs(shift[2]) >= 1.0:
        said.append(f"{'lift' if shift[2] > 0.0 else 'drop'} {abs(shift[2]):.0f} mm")
    if turns:
        said.append(f"turn {' and '.join(turns)}")
    if not said:
        return "ease it"
    gerund = {"slide": "sliding", "lift": "lifting", "drop": "dropping", "turn": "turning"}
    rest = [f"{gerund[s.split(' ', 1)[0]]} {s.split(' ', 1)[1]}" for s in said[1:]]
    return said[0] + (f" while {' and '.join(rest)}" if rest else "")


_SLIDES_MM = (10.0, 20.0, 40.0, 80.0, 120.0, 180.0, 260.0, 360.0, 500.0)
_TURNS_DEG = (5.0, 10.0, 20.0, 35.0, 55.0, 75.0, 90.0)
NONE = np.zeros(3)


def _slides(scene: Scene, pose: Pose) -> list[Floats]:
    ways = [np.array(w) for w in ((0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0),
                                  (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))]
    if scene.axis is not None and abs(float(scene.axis[0])) < 0.9999:
        along = pose[0] @ scene.axis
        ways[1:1] = [along, -along]
    return ways


def _moves(scene: Scene, pose: Pose) -> Iterator[tuple[Step, Pose]]:
    """Every plain move from a pose that keeps its gaps: slides and turns, each way as far as it goes."""
    for way in _slides(scene, pose):
        here = pose
        done = 0.0
        for length in _SLIDES_MM:
            if not scene.clear(here, Step(NONE, (length - done) * way, scene.middle(here), ""), blame=done == 0.0):
                break
            shift = length * way
            whole = Step(NONE, shift, scene.middle(pose), move_words(NONE, shift))
            here, done = after(pose, whole), length
            yield whole, here
    for axis, sign in itertools.product(np.eye(3), (1.0, -1.0)):
        here = pose
        done = 0.0
        for degrees in _TURNS_DEG:
            vector = math.radians(degrees) * sign * axis
            rest = Step(math.radians(degrees - done) * sign * axis, NONE, scene.middle(here), "")
            if not scene.clear(here, rest):
                break
            whole = Step(vector, NONE, scene.middle(pose), move_words(vector, NONE))
            here, done = after(pose, whole), degrees
            yield whole, here


def _drop(scene: Scene, pose: Pose) -> Step | None:
    """The straight drop that takes it out from a pose, if that is clear."""
    top = float(scene.extent(pose)[1][2])
    shift = np.array([0.0, 0.0, min(scene.under_mm - scene.clear_mm - top, 0.0)])
    step = Step(NONE, shift, scene.middle(pose), move_words(NONE, shift))
    return step if scene.clear(pose, step) else None


def plain_way(scene: Scene, most: int) -> list[Step] | None:
    """A straight drop; one plain move and a drop; then more moves, the lowest and least turned first."""
    limit = scene.checks + most
    if scene.out(START):
        return []
    step = _drop(scene, START)
    if step is not None:
        return [step]
    waiting: list[tuple[float, int, list[Step], Pose]] = [(0.0, 0, [], START)]
    seen: set[tuple[int, ...]] = set()
    made = 0
    while waiting and scene.checks < limit:
        waiting.sort(key=lambda w: w[:2])
        _, _, steps, pose = waiting.pop(0)
        for step, there in _moves(scene, pose):
            key = _key(scene, there)
            if key in seen:
                continue
            seen.add(key)
            whole = [*steps, step]
            if scene.out(there):
                return whole
            last = _drop(scene, there)
            if last is not None:
                return [*whole, last]
            if scene.checks >= limit:
                return None
            made += 1
            height = float(scene.extent(there)[1][2]) - scene.under_mm
            waiting.append((height + 60.0 * len(whole), made, whole, there))
    return None


def _key(scene: Scene, pose: Pose) -> tuple[int, ...]:
    turn = _turn_vector(pose[0]) / math.radians(10.0)
    return tuple(int(v) for v in np.rint(np.concatenate((scene.middle(pose) / 25.0, turn))))


_MOST_GOALS = 12
_ROUNDS = 5


def lying(scene: Scene) -> list[Floats]:
    """Turns worth lying down in: as fitted, on either side, on its back, and with its thinnest way upright."""
    points = scene.skin()[0] - scene.centre
    thin = np.linalg.svd(points, full_matrices=False)[2][-1]
    if thin[2] < 0.0:
        thin = -thin
    tilt = np.cross(thin, (0.0, 0.0, 1.0))
    size = float(np.linalg.norm(tilt))
    lie = np.eye(3) if size < 1e-9 else _about(tilt / size, math.atan2(size, float(thin[2])))
    x = np.array([1.0, 0.0, 0.0])
    return [lie, np.eye(3), _about(x, math.pi / 2.0), _about(x, -math.pi / 2.0),
            _about(x, math.pi) @ lie]


def _goals(scene: Scene, rng: np.random.Generator) -> list[Pose]:
    """Poses that are out and clear: below where it is fitted, and behind the vehicle."""
    found: list[Pose] = []
    still = Step(NONE, NONE, NONE, "")
    flat = lying(scene)
    behind = scene.hull[1][0] + scene.clear_mm
    for tried in range(6 * _MOST_GOALS):
        turn = flat[tried % len(flat)]
        yaw = 0.0 if tried < len(flat) else float(rng.uniform(-math.pi, math.pi))
        turn = _about(np.array([0.0, 0.0, 1.0]), yaw) @ turn
        aside = np.zeros(3) if tried < len(flat) else np.array([rng.normal() * 200.0, rng.normal() * 200.0, 0.0])
        pose = (turn, scene.centre - turn @ scene.centre + aside)
        low, high = scene.extent(pose)
        down = np.array([0.0, 0.0, scene.under_mm - scene.clear_mm - high[2] - 0.01])
        back = np.array([max(behind - low[0], 0.0) + 0.01, 0.0, 0.0])
        for shift in (down, back) if tried % 3 == 0 else (down,):
            there = (turn, pose[1] + shift)
            if scene.out(there) and scene.clear(there, still):
                found.append(there)
        if len(found) >= _MOST_GOALS:
            break
    return found


def planned_way(scene: Scene, most: int, seed: int, stop: Callable[[], bool]) -> list[Step] | None:
    """A way out by RRT-Connect over places and turns, its edges certified whole; shortened afterwards."""
    try:
        from ompl import base, geometric, util
    except ImportError:
        raise ValueError(INSTALL) from None
    rng = np.random.default_rng(seed)
    goals = _goals(scene, rng)
    if not goals:
        return None
    limit = scene.checks + most
    util.setLogLevel(util.LOG_NONE)
    util.RNG.setSeed(seed)
    # one unit of the planner moves an end as far by a shift as by a turn of one radian
    unit = max(scene.reach_mm / 2.0, 50.0)
    space = base.SE3StateSpace()
    box = base.RealVectorBounds(3)
    places = np.array([scene.middle(p) for p in (START, *goals)])
    for k in range(3):
        box.setLow(k, float(places[:, k].min() - 0.6 * scene.reach_mm) / unit)
        box.setHigh(k, float(places[:, k].max() + 0.6 * scene.reach_mm) / unit)
    space.setBounds(box)
    setup = geometric.SimpleSetup(space)
    info = setup.getSpaceInformation()

    def pose_of(state: Any) -> Pose:
        q = state.rotation()
        turn = _of_quaternion(q.w, q.x, q.y, q.z)
        middle = unit * np.array([state.getX(), state.getY(), state.getZ()])
        return turn, middle - turn @ scene.centre

    class Edges(base.MotionValidator):  # type: ignore[misc]
        def checkMotion(self, p: Any, q: Any, *_last: Any) -> bool:
            if scene.checks >= limit or stop():
                return False
            first = pose_of(p)
            return scene.clear(first, scene.between(first, pose_of(q)))

    def put(state: Any, pose: Pose) -> None:
        at = scene.middle(pose) / unit
        state.setXYZ(*(float(v) for v in at))
        vector = _turn_vector(pose[0])
        angle = float(np.linalg.norm(vector))
        axis = vector / angle if angle > 1e-12 else np.array([1.0, 0.0, 0.0])
        state.rotation().setAxisAngle(*(float(v) for v in axis), angle)

    edges = Edges(info)
    info.setMotionValidator(edges)
    setup.setStateValidityChecker(lambda _state: True)
    start = space.allocState()
    put(start, START)
    setup.addStartState(start)
    wanted = base.GoalStates(info)
    for goal in goals:
        state = space.allocState()
        put(state, goal)
        wanted.addState(state)
    setup.setGoal(wanted)
    planner = geometric.RRTConnect(info)
    planner.setRange(max(60.0, 0.25 * scene.reach_mm) / unit)
    setup.setPlanner(planner)
    setup.solve(base.PlannerTerminationCondition(lambda: scene.checks >= limit or stop()))
    if not setup.haveExactSolutionPath():
        return None
    poses = [pose_of(s) for s in setup.getSolutionPath().getStates()]
    poses[0] = START
    return _shortened(scene, poses, rng, stop)


def _of_quaternion(w: float, x: float, y: float, z: float) -> Floats:
    from scipy.spatial.transform import Rotation

    turn: Floats = Rotation.from_quat((x, y, z, w)).as_matrix()
    return turn


def _shortened(scene: Scene, poses: list[Pose], rng: np.random.Generator, stop: Callable[[], bool]) -> list[Step]:
    """Poses left out where the direct move is clear, the longest leaps first; then a straight drop as soon as one is
    clear, and no further than out."""
    for turn in range(_ROUNDS):
        kept = _leaps(scene, poses, stop)
        if turn == _ROUNDS - 1 or len(kept) == 2:
            poses = kept
            break
        # a pose half way along one of the moves gives the next round other leaps to try
        j = int(rng.integers(len(kept) - 1))
        poses = [*kept[: j + 1], after(kept[j], _share(scene.between(kept[j], kept[j + 1]), 0.5)), *kept[j + 1:]]
    steps: list[Step] = []
    here = poses[0]
    for there in poses[1:]:
        last = _drop(scene, here) if steps else None
        if last is not None:
            return [*steps, last]
        step = scene.between(here, there)
        for share in np.arange(1, 16) / 16.0:
            part = _share(step, float(share))
            if scene.out(after(here, part)):
                return [*steps, part]
        steps.append(step)
        here = after(here, step)
    return steps


def _leaps(scene: Scene, poses: Sequence[Pose], stop: Callable[[], bool]) -> list[Pose]:
    kept = [poses[0]]
    k = 0
    while k < len(poses) - 1:
        far = len(poses) - 1
        while far > k + 1 and (stop() or not scene.clear(poses[k], scene.between(poses[k], poses[far]))):
            far -= 1
        kept.append(poses[far])
        k = far
    return kept


def _share(step: Step, share: float) -> Step:
    """The first share of a move."""
    turn, shift = share * step.turn, share * step.shift
    return Step(turn, shift, step.about, move_words(turn, shift))
