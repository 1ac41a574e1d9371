"""Bolts of joints: a line for each on the torque list, a finding for what a graded bolt bears."""


import pytest

from trialfit.buildfile import read
from trialfit.checks import run
from trialfit.findings import Verdict

HEAD = """trialfit: 1
name: invented
units: metric
readings:
  - station a 10 mm
parts:
  bracket: {material: steel, kind: bolt hole, form: plain, diameter: 11 mm by calliper, thickness: 8 mm by calliper}
  case: {material: aluminium, kind: bolt hole, form: tapped blind, thread: M10, thread depth: 30 mm by calliper}
  screw: {material: steel, kind: bolt, thread: M10, length: 40 mm by calliper, shank length: 12 mm by calliper}
  hub: {kind: wheel hub, studs: 5, stud thread: 1/2-20, bolt circle: 4 1/2 in by calliper}
  rim: {kind: road wheel, holes: 5, bolt circle: 114.3 mm by calliper}
mates:
"""
BRACKET = ("  - {bolt through hole: [screw, bracket], between: {plate: 10 mm by calliper}, nut thread: M10, "
           "nut height: 8.4 mm by calliper, nut grade: \"8\", name: bracket bolts")


def worked(*mates):
    build = read(HEAD + "\n".join(mates) + "\n", "build.yaml")
    assert not build.problems, build.problems
    return run(build.build)


def verdicts(results):
    return {f.name: f.verdict for f in results.findings if f.name.startswith("bolts.")}


def test_a_wheel_gets_the_trades_torque_and_a_bolt_its_own():
    results = worked("  - {wheel on hub: [rim, hub], name: wheel}",
                     BRACKET + ", bolt grade: \"8.8\", bolts: 2, torque: 45 N*m, torque from: invented sheet}")
    wheel, bracket = results.torques
    assert (wheel.joint, wheel.size) == ("wheel", "5 x 1/2-20")
    assert wheel.torque is not None
    assert "km" in wheel.retorque
    assert bracket.torque.nominal == pytest.approx(45e3)
    assert bracket.torque_source == "invented sheet"
    # the pull of 45 N*m at a nut factor of 0.2
    assert bracket.clamp.low < 45e3 / (0.2 * 10.0) < bracket.clamp.high


def test_a_graded_bolt_is_held_against_its_loads():
    results = worked(BRACKET + ", bolt grade: \"8.8\", bolts: 2, slide: 500 N +- 50 N, faces: rolled steel clean}")
    found = verdicts(results)
    assert found["bolts.bracket-bolts.slip"] is Verdict.FITS
    # what the joint of bolt and hole answers is not told a second time
    assert "bolts.bracket-bolts.thread-showing" not in found
    assert any(f.name == "mate.bracket-bolts.thread-engaged" for f in results.findings)
    weak = worked(BRACKET + ", bolt grade: \"8.8\", bolts: 2, slide: 60000 N +- 200 N, faces: rolled steel clean}")
    assert verdicts(weak)["bolts.bracket-bolts.slip"] is Verdict.DOES_NOT_FIT
    where = next(f.where for f in weak.findings if f.name == "bolts.bracket-bolts.slip")
    assert where.line == 13


def test_a_screw_in_a_blind_hole_bottoms():
    results = worked("  - {bolt through hole: [screw, case], between: {plate: 4 mm by calliper}, bolt grade: \"8.8\", "
                     "name: case bolt}")
    rest = next(f for f in results.findings if f.name == "mate.case-bolt.bottom")
    assert rest.verdict is Verdict.FITS_AFTER_WORK
    assert rest.margin < 0.0
    assert not any(f.name == "bolts.case-bolt.room-below-the-bolt" for f in results.findings)


def test_a_joint_without_a_thread_has_no_line_and_a_grade_of_the_other_system_is_told():
    results = worked(BRACKET + ", bolt grade: \"5\"}")
    assert results.torques == ()
    told = next(f for f in results.findings if f.name == "bolt.bracket-bolts")
    assert told.verdict is Verdict.CANNOT_TELL
    none = worked("  - {wheel on hub: [rim, hub], name: wheel}".replace("hub]", "hub]"))
    assert len(none.torques) == 1


def test_a_bolt_of_the_wrong_thread_is_held_back_and_one_of_unknown_thread_waits():
    (wrong,) = worked(BRACKET.replace("nut thread: M10", "nut thread: M10x1.25") + ", bolts: 2}").torques
    assert wrong.never
    assert wrong.order == "do not tighten: does not fit, see mates"
    assert any("is no M10x1.25" in reason for reason in wrong.held)
    (unknown,) = worked(BRACKET.replace("nut thread: M10, ", "") + ", bolts: 2}").torques
    assert (unknown.never, unknown.order) == (False, "not before it is known")
    assert any(reason.startswith("thread: ") for reason in unknown.held)
