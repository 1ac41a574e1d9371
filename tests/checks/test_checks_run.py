"""Everything over whole builds: bounds hold at sampled poses, and what cannot be told is said so."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.findings import Verdict
from trialfit.geometry import gap_at
from trialfit.vehicle import Box, Mesh, MeshTie

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module", params=["estate", "flatbed"])
def results(request):
    loaded = load(EXAMPLES / request.param / "build.yaml")
    assert not loaded.problems
    return run(loaded.build)


def test_no_sampled_pose_comes_nearer_than_the_guaranteed_bound(results):
    placed = {p.thing.name: p.mover for p in results.placed}
    states = results.travel.grid(7, 5, 3)
    assert len(results.gaps) > 100
    near = [a for a in results.gaps if a.upper_mm < 150.0]
    assert near
    for answer in near:
        assert answer.lower_mm <= answer.upper_mm + 1e-9
        a, b = placed[answer.pair.a.name], placed[answer.pair.b.name]
        sampled = min(gap_at(a, b, np.array(s)).upper_mm for s in states)
        assert sampled >= answer.lower_mm - 1e-6, answer.pair.name
        if answer.upper_mm < answer.pair.required_mm + 90.0:  # far above what is wanted the bound is left loose
            assert answer.lower_mm > answer.upper_mm - max(1.5, 0.06 * answer.upper_mm), answer.pair.name


def test_the_worst_pose_and_points_belong_to_the_bound(results):
    placed = {p.thing.name: p.mover for p in results.placed}
    for answer in results.gaps[::7]:
        assert results.travel.feasible(answer.pose)
        here = gap_at(placed[answer.pair.a.name], placed[answer.pair.b.name], np.array(answer.pose))
        if here.lower_mm > 0.0:
            assert here.upper_mm == pytest.approx(answer.upper_mm, abs=0.02 + 0.002 * answer.upper_mm)


def test_without_a_suspension_a_gap_is_told_at_ride_height_only():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    results = run(replace(build, suspension=None, stops=None, mounts=None))
    assert results.travel is None
    assert "travel.none" in {f.name for f in results.findings}
    moving = [a for a in results.gaps if a.pair.a.name == "axle tube"]
    assert moving
    assert not any(a.through_travel for a in moving)


def test_a_suspension_that_cannot_travel_is_refused_by_name():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    results = run(replace(build, stops=replace(build.stops, bump_mm=480.0)))
    refused = next(f for f in results.findings if f.name == "travel.refused")
    assert refused.verdict is Verdict.CANNOT_TELL
    assert "mm" in refused.reason


def test_a_scan_of_a_box_gives_the_gaps_of_the_box():
    build = load(EXAMPLES / "flatbed" / "build.yaml").build
    beam = next(s for s in build.shapes if s.name == "cross member")
    assert isinstance(beam, Box)
    plain = run(build)
    a, b = plain.points["cross.a"], plain.points["cross.b"]
    # the scan lies in its own axes: metres, turned and shifted
    turn = trimesh.transformations.rotation_matrix(0.7, [0.2, 1.0, 0.4])[:3, :3]
    box = trimesh.creation.box(bounds=np.sort(np.array([a, b]), axis=0))
    ties = ["cross.a", "cross.b", "rail.R1", "tank.a"]
    into = lambda p: (turn.T @ (np.asarray(p) - 1000.0)) / 1000.0  # noqa: E731
    box.vertices = np.array([into(v) for v in box.vertices])
    tied = tuple(MeshTie(t, tuple(into(plain.points[t]))) for t in ties)
    scan = Mesh("cross member", "frame", "frame", None, "beam.stl", tied, 1000.0)
    scanned = run(replace(build, shapes=tuple(scan if s.name == beam.name else s for s in build.shapes)),
                  {"beam.stl": box.export(file_type="stl")})
    fit = scanned.mesh_fits[0]
    assert fit.rms_mm < 0.01
    of = {x.pair.name: x for x in scanned.gaps}
    compared = 0
    for answer in plain.gaps:
        if beam.name in (answer.pair.a.name, answer.pair.b.name) and answer.upper_mm > 0.0:
            if answer.upper_mm < answer.pair.required_mm + 90.0:
                assert of[answer.pair.name].upper_mm == pytest.approx(answer.upper_mm, abs=1.5 + 0.06 * answer.upper_mm)
                compared += 1
            else:
                assert of[answer.pair.name].upper_mm > answer.pair.required_mm
    assert compared >= 1


def test_a_missing_or_broken_scan_is_a_finding():
    build = load(EXAMPLES / "flatbed" / "build.yaml").build
    tied = tuple(MeshTie(t, (float(i), float(i * i), 1.0)) for i, t in enumerate(("tank.a", "tank.b", "rail.R1")))
    scan = Mesh("hump", "floor", "frame", None, "hump.stl", tied, 1.0)
    for files in ({}, {"hump.stl": b"not a mesh"}):
        results = run(replace(build, shapes=(*build.shapes, scan)), files, gaps=False)
        found = next(f for f in results.findings if f.name == "scan.hump")
        assert found.verdict is Verdict.CANNOT_TELL
        assert found.remedy


def test_two_scans_that_move_are_told_as_not_measured():
    build = load(EXAMPLES / "flatbed" / "build.yaml").build
    points = run(build, gaps=False).points
    box = trimesh.creation.box(extents=(50.0, 50.0, 50.0)).export(file_type="stl")

    def scan(name, body, ties):
        tied = tuple(MeshTie(t, tuple(points[t])) for t in ties)
        return Mesh(name, "other", body, None, "part.stl", tied, 1.0)

    pair = (scan("lid", "axle", ("tube.L", "tube.R", "diff", "pinion")),
            scan("hump", "frame", ("rail.R1", "rail.L2", "tank.a", "cross.a")))
    results = run(replace(build, shapes=pair, routes=()), {"part.stl": box})
    told = next(f for f in results.findings if f.name == "gap.lid.hump")
    assert told.verdict is Verdict.CANNOT_TELL
    assert told.remedy
