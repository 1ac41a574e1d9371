"""The vehicle in three dimensions: what the browser is sent once for each build, and what it is sent at every pose.

The scene has the vehicle's own axes, in metres. A model goes over once; after that a pose is a matrix for each thing
that moves. Scans are thinned out for showing; every figure comes from the whole scan.
"""

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from fastapi import HTTPException, Response
from nicegui import app, ui
from nicegui.elements.scene import Object3D, Scene
from nicegui.events import SceneClickEventArguments
from numpy.typing import NDArray

from trialfit.checks.showing import Doubt, GapLine, body_at, doubts, gap_lines
from trialfit.sheets.scene_glb import Node, body_nodes, scene_glb
from trialfit.vehicle import PosePoint
from trialfit.web.working import Worked

Floats = NDArray[np.float64]

DOUBT_TIMES = 10
"""The doubt of a hardpoint is drawn so many times as large as it is [-]."""
RIDE = PosePoint(0.0, 0.0, 0.0)
_MODELS_KEPT = 6
_VIEW_DEG = 34.0
_ROOM = 1.04
_TONES: Mapping[str, tuple[tuple[str, str], float]] = {
    "exhaust": (("#F7F2E6", "#12110D"), 1.0), "axle": (("#CDC6B6", "#454138"), 1.0),
    "shaft": (("#CDC6B6", "#454138"), 1.0), "engine": (("#A9A292", "#5E594F"), 1.0),
    "gearbox": (("#A9A292", "#5E594F"), 1.0), "frame": (("#716B5F", "#9A958A"), 1.0),
    "floor": (("#716B5F", "#A8A296"), 0.3), "body": (("#716B5F", "#A8A296"), 0.3),
    "fuel": (("#8A8375", "#8F8A80"), 0.45), "tyre": (("#57524A", "#B9B4A8"), 1.0),
}  # fmt: skip
_OTHER = (("#958E7F", "#6F6A60"), 1.0)
_FADED = 0.12
_SHEER = 0.5
"""What is drawn less dense than this is looked through, by a tap too [-]."""
_ACCENT = "#FFD12B"
_INK = {"night": "#F7F2E6", "day": "#12110D"}
_GROUND = {"night": "#221F19", "day": "#F2EFE7"}
_POINT = {"night": "#A3CFFF", "day": "#0A4A8F"}
_TOO_NEAR = {"night": "#FFA585", "day": "#8F2300"}

_models: "OrderedDict[str, bytes]" = OrderedDict()
_lock = threading.Lock()


@app.get("/scene/{mark}", include_in_schema=False)
def _model(mark: str) -> Response:
    with _lock:
        data = _models.get(mark)
    if data is None:
        raise HTTPException(404, "There is no such model: load the page again.")
    return Response(data, media_type="model/gltf-binary", headers={"Cache-Control": "private, max-age=3600"})


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What is drawn of one build: its things with where they go, its hardpoints with their doubt, its smallest gaps.
    ``url`` is where the browser fetches the model."""

    worked: Worked
    url: str
    nodes: tuple[Node, ...]
    doubts: tuple[Doubt, ...]
    lines: tuple[GapLine, ...]
    corners_m: Floats
    """corners (n, 3) of the boxes round its things at ride height, in the scene's metres"""

    def rows(self, pose: PosePoint, moving_only: bool = True) -> list[list[Any]]:
        """Name and matrix of each thing at a pose, upper three rows as 12 numbers."""
        return [[node.name, _twelve(node.at(pose))] for node in self.nodes if not moving_only or _moves(node)]

    def bodies(self, pose: PosePoint) -> list[list[Any]]:
        """Matrix of each body that hardpoints ride on."""
        return [[body, _twelve(body_at(self.worked.results, body, pose))]
                for body in sorted({d.body for d in self.doubts})]

    def points(self, mode: str, chosen: str) -> list[list[Any]]:
        """Ellipsoids by body, the chosen one strong."""
        grouped: dict[str, list[list[Any]]] = {}
        for d in self.doubts:
            matrix = np.eye(4)
            matrix[:3, :3] = d.ways * (DOUBT_TIMES * np.maximum(d.half_mm, 0.05))
            matrix[:3, 3] = d.at_mm
            strong = (_ACCENT if mode == "night" else _INK[mode]) if d.name == chosen else ""
            grouped.setdefault(d.body, []).append([d.name, _twelve(matrix), strong])
        return [[body, _POINT[mode], 0.6, rows] for body, rows in grouped.items()]


def _moves(node: Node) -> bool:
    mover = node.mover
    paths = (mover.path,) if hasattr(mover, "path") else (mover.path_a, mover.path_b)
    return any(path is not None for path in paths)


def _twelve(matrix: Floats) -> list[float]:
    return [round(float(v), 6) for v in matrix[:3].ravel()]


def drawn(worked: Worked, kept: "OrderedDict[str, bytes] | None" = None) -> Drawn | None:
    """What is drawn of a build; None when nothing of it lies on known hardpoints. Takes up to a second or two with a
    large scan: not for the event loop."""
    models = _models if kept is None else kept
    results = worked.results
    nodes = body_nodes(results)
    if not nodes:
        return None
    data = scene_glb(results)
    mark = hashlib.sha256(data).hexdigest()[:32] + ".glb"
    with _lock:
        models[mark] = data
        models.move_to_end(mark)
        while len(models) > _MODELS_KEPT:
            models.popitem(last=False)
    return Drawn(worked, f"/scene/{mark}", nodes, doubts(results), gap_lines(results), _corners(nodes) / 1000.0)


def _corners(nodes: Iterable[Node]) -> Floats:
    found = []
    for node in nodes:
        matrix = node.at(RIDE)
        points = node.vertices @ matrix[:3, :3].T + matrix[:3, 3]
        low, high = points.min(axis=0), points.max(axis=0)
        found += [[(low, high)[i][0], (low, high)[j][1], (low, high)[k][2]]
                  for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    return np.array(found)


class _Vehicle(Object3D, component=Path(__file__).parent / "assets" / "vehicle.js"):
    """The model in the browser; its second argument is its whole state, so that it comes back as it was."""

    def __init__(self, url: str, state: dict[str, Any]) -> None:
        super().__init__(url, state)


@dataclass(frozen=True, slots=True)
class Flag:
    """A gap that is drawn: which, how strong, and its figure, "" for none."""

    line: GapLine
    text: str
    near: bool
    chosen: bool


class Scene3d:
    """The canvas. ``tapped`` is told what was tapped: ``thing``, ``point`` or ``gap``, and its name."""

    def __init__(self, mode: str, tapped: Callable[[str, str], None]) -> None:
        self._mode = mode
        self._tapped = tapped
        self._object: _Vehicle | None = None
        self.drawn: Drawn | None = None
        self.state: dict[str, Any] = {"pose": [], "points": [], "bodies": [], "paint": [], "gaps": []}
        self.wrap = ui.element("div").classes("canvas")
        # a finger that turns the view is no tap
        self.wrap.on("pointerdown", js_handler="(e) => { e.currentTarget.from = [e.clientX, e.clientY] }")
        self.wrap.on("click.capture", js_handler="(e) => { const f = e.currentTarget.from; "
                     "if (f && Math.hypot(e.clientX - f[0], e.clientY - f[1]) > 8) e.stopPropagation() }")
        with self.wrap:
            self.scene: Scene = ui.scene(
                width=360, height=250, grid=False, background_color=_GROUND[mode], fps=30, click_events=["click"],
                on_click=self._click, camera=ui.scene.perspective_camera(fov=_VIEW_DEG, near=0.05, far=60.0))
            self._still = ui.label("").classes("still")
        self.scene.props('aria-label="The vehicle in three dimensions; its things can be tapped" role="img"')

    def say(self, text: str) -> None:
        """A word in the corner of the canvas, "" for none."""
        self._still.set_text(text)

    def show(self, what: Drawn, pose: PosePoint) -> None:
        """Put another build in place of what is shown."""
        self.drawn = what
        if self._object is not None:
            self._object.delete()
        self.state = {"pose": what.rows(pose, False), "points": [], "bodies": what.bodies(pose),
                      "paint": [], "gaps": []}  # fmt: skip
        with self.scene:
            self._object = _Vehicle(what.url, self.state)

    def pose(self, pose: PosePoint) -> None:
        """Move everything that moves."""
        if self.drawn is None or self._object is None:
            return
        rows, bodies = self.drawn.rows(pose), self.drawn.bodies(pose)
        fixed = {row[0]: row for row in self.state["pose"]}
        fixed.update({row[0]: row for row in rows})
        self.state["pose"], self.state["bodies"] = list(fixed.values()), bodies
        self._object.run_method("pose", rows)
        if self.state["points"]:
            self._object.run_method("stand", bodies)

    def paint(self, mode: str, chosen: Iterable[str], faded: Iterable[str], sheer: Iterable[str] = ()) -> None:
        """Colours of the things: what is chosen strong, what is faded hardly seen, things of the kinds ``sheer`` as if
        of glass."""
        if self.drawn is None or self._object is None:
            return
        if mode != self._mode:
            self._mode = mode
            self.scene.props(f'background-color="{_GROUND[mode]}"')
        ours, pale, glass = set(chosen), set(faded), set(sheer)
        day = int(mode == "day")
        rows: list[list[Any]] = []
        for node in self.drawn.nodes:
            tones, opacity = _TONES.get(node.kind, _OTHER)
            name = node.name
            if node.kind in glass:
                opacity = min(opacity, 0.3)
            if name in ours:
                rows.append([name, _ACCENT, max(opacity, 0.75)])
            else:
                rows.append([name, tones[day], _FADED if name in pale else opacity])
        self.state["paint"] = rows
        self._object.run_method("paint", rows)

    def points(self, mode: str, shown: bool, chosen: str) -> None:
        """The hardpoints with their doubt, or none; a chosen one always."""
        if self.drawn is None or self._object is None:
            return
        groups = self.drawn.points(mode, chosen)
        if not shown:
            groups = [[b, c, o, [r for r in rows if r[0] == chosen]] for b, c, o, rows in groups]
        self.state["points"] = groups
        self._object.run_method("points", groups)
        self._object.run_method("stand", self.state["bodies"])

    def gaps(self, mode: str, flags: Iterable[Flag]) -> None:
        """The smallest gaps, each at its worst pose, with its figure."""
        if self._object is None:
            return
        rows = [{"name": f.line.name, "a": [round(float(v), 2) for v in f.line.first_mm],
                 "b": [round(float(v), 2) for v in f.line.second_mm], "text": f.text,
                 "colour": _TOO_NEAR[mode] if f.near else _INK[mode], "wide": 7.0 if f.chosen else 4.0}
                for f in flags]  # fmt: skip
        self.state["gaps"] = rows
        self._object.run_method("gaps", rows)

    def look(self, view: str, at_mm: tuple[float, float], across_mm: float, height_mm: float, aspect: float) -> None:
        """Stand the camera so that the stretch ``at_mm`` from front to rear fills the canvas, with what lies
        ``across_mm`` to the right at ``height_mm`` in its middle.

        ``view`` is ``below`` (lying under it, nose to the left), ``side`` (from its left) or ``whole`` (all of it, from
        above its left).
        """
        front, rear = (v / 1000.0 for v in at_mm)
        at = np.array([0.5 * (front + rear), across_mm / 1000.0, height_mm / 1000.0])
        tangent = float(np.tan(np.radians(_VIEW_DEG) / 2.0))
        way = np.array({"below": (-0.02, -0.42, -0.91), "side": (0.0, -1.0, 0.02), "whole": (0.1, -0.8, 0.6)}[view])
        way /= np.linalg.norm(way)
        away = max((rear - front) / (2.0 * tangent * aspect), 1.0)
        if view == "whole" and self.drawn is not None:
            seen = self.drawn.corners_m
            at = 0.5 * (seen.min(axis=0) + seen.max(axis=0))
            right = np.cross(-way, (0.0, 0.0, 1.0))
            right /= np.linalg.norm(right)
            up = np.cross(right, -way)
            off = seen - at
            across = np.maximum(np.abs(off @ right) / aspect, np.abs(off @ up)) / tangent
            away = _ROOM * float(np.max(off @ way + across))
        eye = [float(v) for v in at + away * way]
        to = [float(v) for v in at]
        self.scene.move_camera(eye[0], eye[1], eye[2], to[0], to[1], to[2], duration=0.0)

    def _click(self, event: SceneClickEventArguments) -> None:
        sheer = {row[0] for row in self.state["paint"] if row[2] < _SHEER}
        hits = [(kind, name) for kind, _, name in (hit.object_id.partition(":") for hit in event.hits)
                if kind in ("thing", "point", "gap") and self._pickable(kind, name)]
        if hits:
            self._tapped(*next((h for h in hits if h[0] != "thing" or h[1] not in sheer), hits[0]))

    def _pickable(self, kind: str, name: str) -> bool:
        if self.drawn is None:
            return False
        if kind == "gap":
            return any(line.name == name for line in self.drawn.lines)
        if kind == "point":
            return any(d.name == name for d in self.drawn.doubts)
        return any(node.name == name for node in self.drawn.nodes)
