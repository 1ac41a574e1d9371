"""Writes a build for other programs: solids, a scene, drawings, tables. Each file whole or not at all."""

import json as _json
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from trialfit.buildfile import scans
from trialfit.checks import Results, run
from trialfit.cli.paper import put
from trialfit.cli.work import opened, refuse, watched, worked
from trialfit.driveline import ExtraMissing
from trialfit.exhaust import CutList, LaidRoute
from trialfit.sheets.paper import Stop
from trialfit.vehicle import Build, PosePoint

_OURS = ("exhaust-*.step", "wraps-*.dxf", "bend-line-*.dxf", "cut-list-*.csv", "bender-*.csv", "points-*.csv")

File = tuple[str, str, bytes]
"""Name, what it is, bytes."""


@dataclass(frozen=True, slots=True)
class Formats:
    """What is asked for; nothing named is everything."""

    step: bool = False
    glb: bool = False
    dxf: bool = False
    csv: bool = False

    @property
    def of_routes(self) -> bool:
        """Whether any of it is something to cut or bend an exhaust from."""
        return self.step or self.dxf or self.csv

    def or_all(self) -> "Formats":
        """The same, or everything where nothing is named."""
        return self if self.step or self.glb or self.dxf or self.csv else Formats(True, True, True, True)


def exported(path: Path, formats: Formats, folder: Path, at: str, material: str, as_json: bool) -> int:
    """Body of the command: exit code 0 when every file is written, 2 when it was refused and nothing was."""
    named = formats != formats.or_all()
    wanted = formats.or_all()
    build = opened(path, as_json)
    if build is None:
        return 2
    try:
        _libraries(wanted)
        files = list(_files(build, path, wanted, at, material))
    except (ExtraMissing, Refused) as error:
        return refuse(str(error), as_json)
    if not files:
        asked = "anything" if named else "what is asked for"
        return refuse(f"the build holds nothing to make {asked} from: no exhaust is laid; see trialfit check {path}",
                      as_json)
    try:
        written = []
        for name, what, data in files:
            put(folder / name, data)
            written.append((folder / name, what))
    except OSError as error:
        return refuse(f"{folder} cannot be written: {error.strerror}", as_json)
    if as_json:
        print(_json.dumps({"files": [{"file": str(p), "what": what} for p, what in written]}, indent=2,
                          ensure_ascii=False))
    else:
        for p, what in written:
            print(f"{p}  {what}")
    for old in _left_over(folder, {p for p, _ in written}):
        print(f"{old} was there before and is not of this export: do not cut from it", file=sys.stderr)
    return 0


class Refused(ValueError):
    """The build does not hold what is asked for; the text says what is missing."""


def _libraries(wanted: Formats) -> None:
    """Refuse before an hour's work when a library is missing."""
    if wanted.step:
        from trialfit.sheets.solid_step import part_of_kernel

        part_of_kernel("gp")
    if wanted.dxf:
        from trialfit.sheets.pattern_dxf import library

        library()


def _files(build: Build, path: Path, wanted: Formats, at: str, material: str) -> Iterator[File]:
    from trialfit.standards import density_kg_mm3

    try:
        density_kg_mm3(material)
    except ValueError as error:
        raise Refused(str(error)) from error
    stop_of: Callable[[str], Stop]
    if wanted.of_routes and any(r.laid for r in build.routes):
        from trialfit.sheets import whole

        results, _weighed, found = worked(build, path, making=True)

        def stop_of(route: str) -> Stop:
            return whole.stop_of_route(route, found, results)
    else:
        with watched() as progress:
            results = run(build, scans(build, path.parent), gaps=False, progress=progress)

        def stop_of(route: str) -> Stop:
            raise LookupError(route)

    if wanted.glb and results.placed:
        from trialfit.sheets.scene_glb import scene_glb

        name = "vehicle.glb" if at == "ride" else f"vehicle-{at}.glb"
        where = "at ride height" if at == "ride" else f"at {at}"
        yield name, f"the vehicle {where}, to look at", scene_glb(results, _pose(results, at))
    laid = {r.plan.name: r for r in results.routes}
    for cuts in results.cuts:
        yield from _route_files(results, laid[cuts.route], cuts, stop_of(cuts.route), wanted, material)
    if wanted.csv and results.survey.names:
        from trialfit.sheets.tables_csv import hardpoints_csv

        yield "hardpoints.csv", "hardpoints and sizes with their doubt", hardpoints_csv(results.survey)


def _pose(results: Results, at: str) -> PosePoint | None:
    if at == "ride":
        return None
    if results.travel is None:
        raise Refused(f"the travel of this build is not known, so it cannot be shown at {at}; see the findings")
    low, high = results.travel.heave_range(0.0)
    return PosePoint(high if at == "bump" else low, 0.0, 0.0)


def _route_files(results: Results, laid: LaidRoute, cuts: CutList, stop: Stop, wanted: Formats, material: str
                 ) -> Iterator[File]:
    assert laid.centreline is not None
    route = cuts.route
    said = (f"{stop.head}: {stop.reason}",)
    state = "" if stop.ready else f"; {stop.head}"
    if wanted.step:
        from trialfit.sheets.solid_step import route_step

        yield f"exhaust-{route}.step", f"pieces as solids{state}", route_step(cuts, material, said)
    if wanted.dxf:
        from trialfit.sheets.pattern_dxf import bend_line_dxf, wraps_dxf

        papers = [w for w in results.wraps if w.name.startswith(f"{route} ") or len(results.cuts) == 1]
        if papers:
            yield f"wraps-{route}.dxf", f"templates, 1 : 1{state}", wraps_dxf(papers, said)
        yield (f"bend-line-{route}.dxf", f"bend line in space{state}",
               bend_line_dxf(laid.centreline, f"exhaust {route}", said))
    if wanted.csv:
        from trialfit.sheets.tables_csv import bender_csv, cut_list_csv, points_csv

        yield f"cut-list-{route}.csv", f"pieces{state}", cut_list_csv(cuts, material, said[0])
        if laid.centreline.bends:
            yield f"bender-{route}.csv", f"table for a bender{state}", bender_csv(laid, said[0])
        yield f"points-{route}.csv", "points of the route and its joints", points_csv(laid, cuts)


def _left_over(folder: Path, written: set[Path]) -> list[Path]:
    suffixes = {p.suffix for p in written}
    return sorted(p for pattern in _OURS for p in folder.glob(pattern) if p not in written and p.suffix in suffixes)
