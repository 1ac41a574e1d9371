"""Every trade over one build, in the order in which each needs the last."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.assembly import assembled, joints_of, mate_findings
from trialfit.checks.driveline import driveline
from trialfit.checks.driveline_answers import DrivelineAnswers
from trialfit.checks.fastenings import fastenings
from trialfit.checks.fittings import fitting_chains
from trialfit.checks.ground import ground_path
from trialfit.checks.joint_on_joint import told_of_each_other
from trialfit.checks.making import Making, finished, makings
from trialfit.checks.pairs import GROUND, ON_AXLE, Pair, pairs, route_name, slug, things
from trialfit.checks.placing import Placed, PlacingError, place
from trialfit.checks.results import GapAnswer, MeshFit, Results
from trialfit.checks.shaft import Scene
from trialfit.checks.stocking import stock_plan
from trialfit.checks.tyres import tyre_shapes
from trialfit.driveline import Order
from trialfit.exhaust import LaidRoute, Wrap, cut_list, lay, wraps
from trialfit.findings import Finding, Verdict
from trialfit.geometry import Domain, GapBound, GapError, Rigid, Span, certified_gap
from trialfit.geometry.mesh import MeshError, align, mesh_from_bytes
from trialfit.geometry.solids import TriangleMesh
from trialfit.motion import MotionError, Story, story, travel
from trialfit.survey import findings as survey_findings
from trialfit.survey import solve
from trialfit.vehicle import BodyName, Build, Mesh, PosePoint, RoutePlan, Travel

Floats = NDArray[np.float64]
NEAR_MM = 10.0
"""A gap within this of what is wanted is closed in on further [mm]."""
CLOSE_MM = 0.3
"""How far its two bounds are then apart, at most, but for the slack of what stands for round pipe [mm]."""

Progress = Callable[[int, int, str], None]

SCAN_LIMIT_MM = 10.0
"""Greatest root mean square at which a scan still counts as laid on its hardpoints [mm]; common practice, no source."""


def _silent(_done: int, _of: int, _what: str) -> None:
    return None


def run(build: Build, files: Mapping[str, bytes] | None = None, *, gaps: bool = True, making: bool = False,
        progress: Progress = _silent) -> Results:
    """Work out everything one build asks.

    What cannot be worked out is left empty and told in a finding; nothing raises for what a builder may have written.

    Parameters
    ----------
    files : mapping
        bytes of the scan files that the build names, by the name used there
    gaps : bool
        False leaves the gaps out (they take most of the time), and what needs them: the driveline, making the exhaust
    making : bool
        True looks for hangers and for ways to take the exhaust out as well, which takes some seconds
    progress : callable
        told (done, of, what) as work goes on
    """
    found: list[Finding] = []
    progress(0, 1, "survey")
    survey = solve(build)
    found += survey_findings(survey)
    points, sizes = survey.points(), dict(survey.sizes)
    choices = {choice.rule: choice.version for choice in build.rules}
    mates = told_of_each_other(assembled(joints_of(build, sizes, choices)))
    found += mate_findings(mates)
    chains = fitting_chains(build, sizes, found)
    torques = fastenings(mates, found)
    # first, so that a wheel the builder drew himself stays the one whose middle the travel follows
    build = replace(build, shapes=(*tyre_shapes(mates, points, found), *build.shapes))
    moved, told = _travel(build, points, sizes, found)
    routes = tuple(lay(r, points, sizes, survey.covariance) for r in build.routes)
    for route in routes:
        found += route.findings
    stocked = tuple(stock_plan(r, cut_list(r), sizes, choices) for r in routes if r.centreline is not None)
    cuts = tuple(s.cuts for s in stocked)
    papers: tuple[Wrap, ...] = tuple(w for c in cuts for w in wraps(c))
    meshes, fits = _scans(build, files or {}, points, found)
    placed = _placed(build, points, sizes, moved, meshes, routes, found)
    answers = _gaps(build, placed, moved, progress, found) if gaps else ()
    turning: DrivelineAnswers | None = None
    orders: tuple[Order, ...] = ()
    if gaps:
        progress(0, 1, "driveline")
        scene = Scene(build, survey, points, sizes, moved, placed, answers, domain_of(moved), choices)
        turning, orders = driveline(scene, found)
    answer = Results(build, survey, points, sizes, moved, told, routes, cuts, papers, placed, meshes, fits, answers,
                   tuple(found), driveline=turning, orders=orders, mates=mates, chains=chains, torques=torques,
                     stock_plans=stocked)
    if not gaps:
        return answer
    made = makings(answer, domain_of(moved), full=False, progress=progress)
    answer = replace(answer, makings=made, wraps=(*papers, *(w for m in made for w in m.papers)),
                     findings=(*answer.findings, *(f for m in made for f in m.findings)))
    return with_making(answer, progress=progress) if making else answer


def with_making(results: Results, *, progress: Progress = _silent) -> Results:
    """The results with hangers and ways out, where they were left out.

    Parameters
    ----------
    progress : callable
        told (done, of, what); what it raises ends the work
    """
    made = []
    for done, one in enumerate(results.makings):
        ends: list[BaseException] = []
        asked = 0

        def stop(done: int = done, one: Making = one, ends: list[BaseException] = ends) -> bool:
            # asked from inside the planner, through which nothing may be raised
            nonlocal asked
            asked += 1
            if not ends and asked % 32 == 1:
                try:
                    progress(done, len(results.makings), f"hangers and ways out of {one.route}")
                except Exception as end:
                    ends.append(end)
            return bool(ends)

        stop()
        if not ends:
            made.append(finished(results, one, domain_of(results.travel), stop))
        if ends:
            raise ends[0]
    before = {f.name for m in results.makings for f in m.findings}
    kept = (f for f in results.findings if f.name not in before)
    return replace(results, makings=tuple(made), findings=(*kept, *(f for m in made for f in m.findings)))


def _travel(build: Build, points: Mapping[str, Floats], sizes: Mapping[str, tuple[float, float]],
            found: list[Finding]) -> tuple[Travel | None, Story | None]:
    if build.suspension is None and build.mounts is None:
        if build.shapes:
            found.append(Finding(
                "travel.none", Verdict.CANNOT_TELL, "the build has no suspension: gaps are those at ride height only",
                "write down suspension and stops, or read every gap as one at ride height"))
        return None, None
    try:
        moved = travel(build, points, sizes)
        return moved, story(moved, build, points)
    except MotionError as error:
        where = None if build.suspension is None else build.suspension.where
        found.append(Finding("travel.refused", Verdict.CANNOT_TELL, str(error),
                             "mend what is named; no gap through travel can be told before that", where=where))
        return None, None


def _scans(build: Build, files: Mapping[str, bytes], points: Mapping[str, Floats],
           found: list[Finding]) -> tuple[dict[str, TriangleMesh], tuple[MeshFit, ...]]:
    meshes: dict[str, TriangleMesh] = {}
    fits: list[MeshFit] = []
    for shape in build.shapes:
        if not isinstance(shape, Mesh):
            continue
        name = f"scan.{slug(shape.name)}"
        missing = [t.point for t in shape.ties if t.point not in points]
        if missing:
            found.append(Finding(name, Verdict.CANNOT_TELL, f"{shape.name}: {', '.join(missing)} not known",
                                 "measure the hardpoints the scan is laid on", where=shape.where))
            continue
        try:
            if shape.file not in files:
                raise MeshError(f"the file {shape.file} was not found beside the build file")
            raw = mesh_from_bytes(files[shape.file], shape.file.rsplit(".", 1)[-1])
            fit = align(np.array([t.xyz for t in shape.ties]), np.array([points[t.point] for t in shape.ties]),
                        scale=shape.scale)
            laid = TriangleMesh((fit.scale * raw.vertices) @ fit.rotation.T + fit.shift, raw.triangles)
        except ValueError as error:
            found.append(Finding(name, Verdict.CANNOT_TELL, f"{shape.name}: {error}",
                                 "mend the scan or its ties", where=shape.where))
            continue
        meshes[shape.name] = laid
        rows = tuple((t.point, float(r)) for t, r in zip(shape.ties, fit.residuals_mm, strict=True))
        fits.append(MeshFit(shape.name, float(fit.scale), float(fit.rms_mm), rows))
        margin = SCAN_LIMIT_MM - float(fit.rms_mm)
        found.append(Finding(
            name, Verdict.FITS if margin >= 0.0 else Verdict.CANNOT_TELL,
            f"{shape.name} lies on its {len(rows)} hardpoints to {fit.rms_mm:.1f} mm (root mean square)",
            "" if margin >= 0.0 else "tie it to other points, or scan again", margin, None, "mm",
            "scan residual", "common practice, no source", shape.where))
    return meshes, tuple(fits)


def _placed(build: Build, points: Mapping[str, Floats], sizes: Mapping[str, tuple[float, float]],
            moved: Travel | None, meshes: Mapping[str, TriangleMesh], routes: Iterable[LaidRoute],
            found: list[Finding]) -> tuple[Placed, ...]:
    paths = {} if moved is None else dict(moved.paths)
    if moved is not None and moved.stops is not None:
        paths[GROUND] = ground_path(moved)
    lines = {route_name(r.plan): r for r in routes if r.centreline is not None}
    placed: list[Placed] = []
    for thing in things(build):
        if isinstance(thing.of, Mesh) and thing.name not in meshes:
            continue
        if isinstance(thing.of, RoutePlan) and route_name(thing.of) not in lines:
            continue
        try:
            placed.append(place(thing, build, points, sizes, paths, meshes, lines))
        except PlacingError as error:
            found.append(Finding(f"shape.{slug(thing.name)}", Verdict.CANNOT_TELL, str(error),
                                 "mend it: no gap to it can be told", where=thing.where))
    return tuple(placed)


def domain_of(moved: Travel | None) -> Domain:
    """The box of heave, roll and rock, and the stops that cut its corners off."""
    if moved is None:
        return Domain(np.zeros(3), np.zeros(3), 0.0, 0.0, 0.0, 0.0)
    stops = moved.stops
    if stops is None:
        return Domain(moved.lo, moved.hi, 0.0, 0.0, 0.0, 0.0)
    return Domain(moved.lo, moved.hi, stops.bump_mm, stops.droop_mm, stops.apart_mm, float(moved.hi[1]))


def _gaps(build: Build, placed: tuple[Placed, ...], moved: Travel | None, progress: Progress,
          found: list[Finding]) -> tuple[GapAnswer, ...]:
    where = {p.thing.name: p for p in placed}
    wanted = [p for p in pairs(build) if p.a.name in where and p.b.name in where]
    domain = domain_of(moved)
    margin = 0.0 if moved is None else moved.fit_error_mm
    answers: list[GapAnswer] = []
    for done, pair in enumerate(wanted):
        progress(done, len(wanted), f"gap {pair.a.name} / {pair.b.name}")
        try:
            first, second = where[pair.a.name].mover, where[pair.b.name].mover
            bound = bounded_gap(first, second, domain, pair.required_mm, margin)
        except GapError as error:
            found.append(Finding(f"gap.{pair.name}", Verdict.CANNOT_TELL, f"{pair.a.name} to {pair.b.name}: {error}",
                                 "draw one of the two as a box, tube or plate", rule=pair.rule, source=pair.source,
                                 where=pair.where))
            continue
        state = _state(bound.pose, pair)
        answers.append(GapAnswer(pair, float(bound.lower_mm), float(bound.upper_mm), state,
                                 _xyz(bound.point_first), _xyz(bound.point_second), int(bound.cells),
                                 bool(bound.settled), _known(pair, moved)))
    progress(len(wanted), len(wanted), "gaps")
    return tuple(answers)


def bounded_gap(first: Rigid | Span, second: Rigid | Span, domain: Domain, required_mm: float, margin_mm: float
                ) -> GapBound:  # fmt: skip
    """The smallest gap of two things over the travel between two bounds, closer where what is wanted lies between.

    Raises
    ------
    GapError
        for two things whose gap cannot be bounded
    """
    bound = certified_gap(first, second, domain, required_mm, margin_mm=margin_mm)
    if bound.settled and bound.lower_mm < required_mm + NEAR_MM and bound.upper_mm > required_mm:
        # near what is wanted a loose bound would be what decides
        bound = certified_gap(first, second, domain, required_mm, CLOSE_MM, margin_mm=margin_mm, exact=True)
    return bound


def _known(pair: Pair, moved: Travel | None) -> bool:
    """Whether the travel says where both things go; an engine without mounts is taken to stand still."""
    rides_on_axle = bool((pair.a.bodies | pair.b.bodies) & (ON_AXLE | {GROUND}))
    return not rides_on_axle or (moved is not None and BodyName.AXLE.value in moved.paths)


def _state(pose: Floats, pair: Pair) -> PosePoint:
    """The pose that matters to a pair: what neither of the two rides on stays at ride height."""
    heave, roll, rock = (float(v) for v in pose)
    bodies = pair.a.bodies | pair.b.bodies
    if not bodies & (ON_AXLE | {GROUND}):
        heave = roll = 0.0
    return PosePoint(heave, roll, rock if BodyName.ENGINE.value in bodies else 0.0)


def _xyz(p: Floats) -> tuple[float, float, float]:
    return float(p[0]), float(p[1]), float(p[2])
