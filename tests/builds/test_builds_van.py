"""The long van: mirrored or with another datum it is the same vehicle, and its driveline answers alike."""

from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.vehicle import ReadingKind

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
K = ReadingKind


@pytest.fixture(scope="module")
def van():
    return run(load(EXAMPLES / "van" / "build.yaml").build)


def same_driveline(one, other):
    """Numbers that hang on the survey agree to what its own iterations leave open."""
    a, b = one.driveline.shaft, other.driveline.shaft
    for x, y in zip(a.lengths, b.lengths, strict=True):
        assert y.mm == pytest.approx(x.mm, abs=0.01)
        assert y.sd_mm == pytest.approx(x.sd_mm, rel=0.01)
    for x, y in zip(a.angles.joints, b.angles.joints, strict=True):
        assert y.ride_rad == pytest.approx(x.ride_rad, abs=2e-5)
        assert y.most_rad == pytest.approx(x.most_rad, abs=1e-3)
    assert b.plunge.out.upper == pytest.approx(a.plunge.out.upper, abs=0.1)
    assert b.plunge.into.upper == pytest.approx(a.plunge.into.upper, abs=0.1)
    assert b.pinion.pinion_deg == pytest.approx(a.pinion.pinion_deg, abs=0.02)
    assert b.bounce_rad_s == pytest.approx(a.bounce_rad_s, rel=1e-4)
    assert b.one_piece.verdict is a.one_piece.verdict
    ours = {f.name: f.verdict for f in one.findings if f.name.startswith(("shaft", "pinion", "gearing", "order"))}
    theirs = {f.name: f.verdict for f in other.findings if f.name in ours}
    assert theirs == ours


def test_a_mirrored_van_has_the_same_driveline(van):
    build = van.build
    readings = tuple(
        replace(r, values=tuple(-v for v in r.values)) if r.kind is K.OFFSET else r for r in build.readings)
    mounts = replace(build.mounts, right_up_rad=build.mounts.right_down_rad, right_down_rad=build.mounts.right_up_rad)
    same_driveline(van, run(replace(build, readings=readings, mounts=mounts)))


def test_a_van_with_another_datum_has_the_same_driveline(van):
    build = van.build
    readings = tuple(
        replace(r, values=tuple(v + 700.0 for v in r.values), sd=r.instrument.sd(r.values[0]))
        if r.kind is K.STATION else r for r in build.readings)
    same_driveline(van, run(replace(build, readings=readings)))


def test_the_tank_may_not_be_cut_for_one_piece(van):
    may_go = {r.name for r in van.driveline.shaft.rooms if r.can_go}
    assert not any(name.startswith(("tank", "cross member", "floor")) for name in may_go)
