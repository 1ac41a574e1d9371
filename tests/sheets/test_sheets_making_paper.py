"""What is printed for making an exhaust: every sheet of a route, and the rods and ways out on one of them."""

from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.doubt import findings, weigh
from trialfit.exhaust.hanger_making import hangers_made
from trialfit.sheets.drawing import Words
from trialfit.sheets.hang_sheet import hang_leaves
from trialfit.sheets.paper import SheetMeta, Stop
from trialfit.sheets.whole import build_paper

EXAMPLES = Path(__file__).parents[2] / "examples"
STOP = Stop(True, "made", "all fits")
META = SheetMeta("Flat-bed", "1", "abc", "1 Nov 2026", "laden", "A4", 32)


@pytest.fixture(scope="module")
def worked():
    results = run(load(EXAMPLES / "flatbed" / "build.yaml").build, making=True)
    weighed = weigh(results, advise=False)
    return results, weighed, findings(results, weighed)


def words_of(leaves):
    return " ".join(mark.text for leaf in leaves for mark in leaf.marks if isinstance(mark, Words))


@pytest.mark.slow
def test_every_sheet_of_making_is_there(worked):
    results, weighed, found = worked
    names = {name for name, _, _ in build_paper(results, weighed, found, "A4", "1 Nov 2026")}
    assert {f"{what}-main.pdf" for what in ("pieces", "fit-up", "bend-table", "size-heat", "hangers")} <= names
    for name, _, data in build_paper(results, weighed, found, "Letter", "1 Nov 2026"):
        assert data, name


@pytest.mark.slow
def test_hangers_and_ways_out_stand_on_one_sheet(worked):
    making = worked[0].makings[0]
    leaves = hang_leaves("main", making.hangers, making.removals, making.exchanges, making.freeing, META, STOP,
                         hangers_made(making.chain, making.hangers.hangers))
    text = words_of(leaves)
    for hanger in making.hangers.hangers:
        assert hanger.candidate.name.split(" at ")[0] in text
        assert f"round bar {hanger.rod.diameter_mm:.1f} mm" in text
    for removal in making.removals:
        assert removal.name in text
    assert "carbon monoxide" in text
    assert "READY TO BE MADE FROM" in text
    # the first of the flat-bed's lies on its muffler
    assert "never to the bare shell" in text
    for one in hangers_made(making.chain, making.hangers.hangers):
        assert f"on a radius of {one.radius_mm:.1f} mm" in text


def test_a_route_nobody_said_a_hanger_of_says_so():
    no = Stop(False, "made", "something is open")
    assert "NOT TO BE MADE FROM YET" in words_of(hang_leaves("main", None, (), (), None, META, no))
    text = words_of(hang_leaves("main", None, (), (), None, META, STOP))
    assert "No hangers stand here" in text
    assert "nothing is said of where to hang it" in text
