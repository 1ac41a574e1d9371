"""Which findings hold the cut of an exhaust, and the doubt of its hot gaps, on the example builds (invented)."""

from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load, read
from trialfit.checks import run, with_making
from trialfit.doubt import findings, weigh, weigh_hot_gaps
from trialfit.doubt.gates import gates, touches_route
from trialfit.findings import Finding, Verdict, verdict_on
from trialfit.sheets.whole import stop_of_route

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def worked(request):
    quick = run(load(EXAMPLES / request.param / "build.yaml").build)
    weighed = weigh(quick, advise=False)
    return request.param, quick, weighed


def test_a_hot_gap_has_the_doubt_of_the_same_gap_cold(worked):
    _, quick, weighed = worked
    sds = {w.answer.pair.name: w.sd_mm for w in weighed}
    told = weigh_hot_gaps(quick, weighed)
    gaps = told.makings[0].hot_gaps
    assert len(gaps) > 2
    for gap, before in zip(gaps, quick.makings[0].hot_gaps, strict=True):
        assert gap.sd_mm == sds[gap.name]
        assert gap.sd_mm <= before.sd_mm  # what stood there before takes the worst hardpoint of either side
        found = next(f for f in told.findings if f.name == f"exhaust.main.hot-gap.{gap.name}")
        assert found.verdict is verdict_on(gap.hot_mm, gap.hot_most_mm, gap.required_mm, gap.sd_mm)
        assert found in told.makings[0].findings
    assert [f.name for f in told.findings] == [f.name for f in quick.findings]


def test_without_a_doubt_carried_through_the_larger_estimate_stays(worked):
    _, quick, weighed = worked
    told = weigh_hot_gaps(quick, [replace(w, sd_mm=None) for w in weighed])
    assert told.makings[0].hot_gaps == quick.makings[0].hot_gaps


def test_hangers_worked_out_later_are_those_worked_out_at_once(worked):
    name, quick, weighed = worked
    assert quick.makings[0].waiting
    later, once = with_making(quick), run(quick.build, making=True)
    assert not later.makings[0].waiting
    assert sorted(map(str, later.findings)) == sorted(map(str, once.findings))
    first = next(g for g in gates(quick, findings(quick, weighed), weighed) if g.name == "cut.main")
    assert not first.may
    assert "not worked out yet" in " ".join(f.reason for f in first.leans)
    assert not stop_of_route("main", findings(quick, weighed), quick).ready  # paper says so, too
    done = weigh_hot_gaps(later, weighed)
    last = next(g for g in gates(done, findings(done, weighed), weighed) if g.name == "cut.main")
    # the estate has no bellows and a boot floor that is near: its findings say so
    assert last.may == (name == "flatbed")
    assert stop_of_route("main", findings(done, weighed), done).ready == last.may


def test_a_muffler_that_meets_the_frame_holds_the_cut():
    text = (EXAMPLES / "flatbed" / "build.yaml").read_text(encoding="utf-8")
    wide = text.replace("length: 20 in, diameter: 7 in}", "length: 20 in, diameter: 14 in}")
    assert wide != text
    results = run(read(wide).build)
    weighed = weigh(results, advise=False)
    found = findings(results, weighed)
    meets = [f for f in found if f.name.startswith("gap.") and "exhaust-main-muffler" in f.name
             and f.verdict is Verdict.DOES_NOT_FIT]
    assert meets
    cut = next(g for g in gates(results, found, weighed) if g.name == "cut.main")
    assert {f.name for f in meets} <= {f.name for f in cut.leans}


def test_what_is_worked_out_later_can_be_ended(worked):
    class Newer(Exception):
        pass

    def progress(_done: int, _of: int, _what: str) -> None:
        raise Newer

    with pytest.raises(Newer):
        with_making(worked[1], progress=progress)


@pytest.mark.parametrize("name, verdict, holds", [
    ("exhaust.main.stock", Verdict.FITS_AFTER_WORK, False),
    ("exhaust.main.stock", Verdict.DOES_NOT_FIT, True),
    ("exhaust.main.heat.tank", Verdict.FITS_AFTER_WORK, False),
    ("exhaust.main.heat.tank", Verdict.CANNOT_TELL, True),
    ("exhaust.main.cone.tail", Verdict.FITS_AFTER_WORK, False),
    ("exhaust.main.hanger.idle", Verdict.CANNOT_TELL, False),
    ("exhaust.main.hanger.rod.2", Verdict.DOES_NOT_FIT, False),
    ("exhaust.main.hanger.outlet", Verdict.DOES_NOT_FIT, True),
    ("exhaust.main.hanger.choice", Verdict.DOES_NOT_FIT, True),
    ("exhaust.main.outlet-angle", Verdict.CANNOT_TELL, True),
    ("exhaust.main.removal.joint.new", Verdict.FITS_AFTER_WORK, True),
    ("exhaust.side.bend", Verdict.DOES_NOT_FIT, False),
    ("gap.tank.exhaust-main", Verdict.CANNOT_TELL, True),
    ("gap.tank.floor", Verdict.DOES_NOT_FIT, False),
    ("survey.suspect.x", Verdict.DOES_NOT_FIT, True),
    ("survey.unchecked.x", Verdict.CANNOT_TELL, False),
    ("travel.none", Verdict.CANNOT_TELL, True),
    ("gap.shaft.exhaust-main-muffler", Verdict.DOES_NOT_FIT, True),
    ("gap.shaft.exhaust-main-before-the-bellows", Verdict.CANNOT_TELL, True),
    ("gap.shaft.exhaust-mainline", Verdict.DOES_NOT_FIT, False),
    ("scan.tank", Verdict.CANNOT_TELL, True),
    ("shape.tank", Verdict.CANNOT_TELL, True),
    ("exhaust.main.hanger.mass", Verdict.CANNOT_TELL, True),
    ("exhaust.main.hanger.growth", Verdict.CANNOT_TELL, True),
    ("exhaust.main.hanger.growth.1", Verdict.CANNOT_TELL, False),
    ("exhaust.main.cone.tail.room", Verdict.DOES_NOT_FIT, True),
])
def test_what_may_change_the_pieces_holds_the_cut_and_nothing_else(name, verdict, holds):
    assert touches_route("exhaust.main", Finding(name, verdict, "a reason", "a mend")) is holds
