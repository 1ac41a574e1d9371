"""One-way steps and what comes next, on a small invented build that is worked whole.

Expected odds come from the table of the normal distribution (GUM, JCGM 100:2008, table G.1: 95 % lie within 1.96
standard deviations), never from the program.
"""

import pytest

from trialfit.buildfile import read
from trialfit.checks import run
from trialfit.doubt import findings, weigh
from trialfit.doubt.gates import Step, gates
from trialfit.doubt.next_act import Deed, next_acts
from trialfit.doubt.odds import ENOUGH, odds_of, odds_words, of_twenty, places_mm
from trialfit.findings import Verdict

TEXT = """\
trialfit: 1
name: Small, invented
readings:
  - station tube.L 2650 mm
  - offset tube.L 640 mm left
  - height tube.L 306 mm
  - station tube.R 2650 mm
  - offset tube.R 640 mm right
  - height tube.R 306 mm
  - station outlet 1800 mm
  - offset outlet 300 mm right
  - height outlet 250 mm
  - tape tube.L tube.R 1281 mm
shapes:
  beam: {tube: tube.L tube.R, diameter: 76.2 mm, kind: frame}
exhaust:
  main:
    diameter: 63.5 mm
    wall: 1.5 mm
    outlet: outlet
    corners:
      - {at: [2350 mm, 300 mm right, 250 mm], radius: 1.5 D, pie cut: 4 pieces, kerf: 1.5 mm}
      - {at: [2700 mm, 300 mm right, HIGH mm], radius: 1.5 D, pie cut: 4 pieces, kerf: 1.5 mm}
    end: [3200 mm, 300 mm right, HIGH mm]
"""


def worked(high_mm: float, extra: str = ""):
    build = read(TEXT.replace("HIGH", f"{high_mm}").replace("shapes:", f"{extra}shapes:", 1)).build
    results = run(build)
    weighed = weigh(results)
    found = findings(results, weighed)
    return results, weighed, found


@pytest.mark.parametrize("margin, odds", [(1.96, 0.975), (-1.96, 0.025), (0.0, 0.5), (1.645, 0.95), (2.576, 0.995)])
def test_odds_are_those_of_the_table(margin, odds):
    assert odds_of(3.0 * margin, 3.0) == pytest.approx(odds, abs=2e-4)


def test_odds_without_doubt_are_settled():
    assert odds_of(0.1, 0.0) == 1.0
    assert odds_of(-0.1, 0.0) == 0.0
    with pytest.raises(ValueError, match="cannot be negative"):
        odds_of(1.0, -1.0)


def test_odds_are_counted_down_never_up():
    assert of_twenty(0.999) == 19
    assert of_twenty(1.0) == 20
    with pytest.raises(ValueError, match="between 0 and 1"):
        of_twenty(1.01)
    assert odds_words(ENOUGH) == "1 in 40 goes wrong"


def test_places_lie_as_often_on_either_side():
    places = places_mm(30.0, 6.0)
    assert len(places) == 20
    assert sum(p < 30.0 for p in places) == 10
    # 16 % lie beyond one standard deviation on one side: three of twenty
    assert sum(p < 24.0 for p in places) == 3


def test_a_cut_is_held_while_a_gap_does_not_fit():
    # 76.2 mm and 63.5 mm tubes on centres about 174 mm and 44 mm apart at most: the first clears, the second overlaps
    clear = gates(*_in_order(worked(480.0)))
    near = gates(*_in_order(worked(350.0)))
    assert [g.step for g in clear] == [g.step for g in near] == [Step.CUT]
    gap = next(f for f in near[0].leans if f.name == "gap.beam.exhaust-main")
    assert gap.verdict is Verdict.DOES_NOT_FIT
    assert not near[0].may
    assert near[0].words == "Do not cut yet"
    assert next(f for f in clear[0].leans if f.name == gap.name).verdict is Verdict.FITS
    assert all(f.name == "travel.none" for f in clear[0].leans if f.verdict is not Verdict.FITS)


def test_a_gate_held_by_something_without_odds_has_none():
    held = gates(*_in_order(worked(480.0)))[0]
    assert not held.may
    assert held.odds is None


def test_a_misread_reading_holds_the_cut_and_comes_first():
    results, weighed, found = worked(480.0, "  - tape tube.L tube.R 1218 mm\n  - tape outlet tube.L 1268 mm\n"
                                            "  - tape outlet tube.R 917 mm\n")
    held = gates(results, found, weighed)[0]
    assert any(f.name.startswith("survey.suspect.") for f in held.leans)
    acts = next_acts(results, weighed, found)
    assert acts[0].deed is Deed.AGAIN
    assert acts[0].instead_of


def test_what_does_not_fit_comes_before_what_nothing_checks():
    results, weighed, found = worked(350.0)
    acts = next_acts(results, weighed, found)
    names = [a.finding.name for a in acts]
    assert names.index("gap.beam.exhaust-main") < min(
        i for i, n in enumerate(names) if n.startswith("survey.unchecked"))
    gap = acts[names.index("gap.beam.exhaust-main")]
    assert gap.deed is Deed.WORK
    assert "further apart" in gap.what
    assert all(a.finding.verdict is not Verdict.FITS for a in acts)


def _in_order(made):
    results, weighed, found = made
    return results, found, weighed
