"""A hose on its barb: what its print allows, the pressure printed on it, and the way out of what is refused."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint
from trialfit.mates.hose import KINDS, judge
from trialfit.parts import Fact, Port
from trialfit.parts.hydraulic_ports import PORTS


def hose_on_barb(use, printed, pressure=None, **said):
    """A 13 mm hose on a barb that suits it; ``said`` are the joint's own words, ``working`` the hose's print."""
    hose = {"print": printed, "bore": Fact(13.0, 0.05), "outside": Fact(19.0, 0.1)}
    if "working" in said:
        hose["working pressure"] = said.pop("working")
    barb = {"form": "barbed", "diameter": Fact(14.3, 0.03), "length": Fact(30.0, 0.1)}
    own = {key.replace("_", " "): value for key, value in said.items()}
    if pressure is not None:
        own["pressure"] = pressure
    return Joint(own, "j", "hose on barb", Port(hose, "hose", "h"), Port(barb, "barb", "b"), "hose", "pump", use=use)


def answers(joint):
    return {a.question: a for a in judge(joint)}


def test_the_print_on_a_hose_that_no_standard_rates_is_enough():
    open_ = answers(hose_on_barb("coolant", "J20", Fact(0.11, 0.0)))["pressure"]
    assert open_.verdict is Verdict.CANNOT_TELL
    assert "write it as its working pressure" in open_.measure
    found = answers(hose_on_barb("coolant", "J20", Fact(0.11, 0.0), working=Fact(0.3, 0.0)))["pressure"]
    assert found.verdict is Verdict.FITS
    assert "1.1 bar (16 psi) in J20, which takes 3.0 bar (44 psi) by its own print" in found.reason
    weak = answers(hose_on_barb("coolant", "J20", Fact(0.4, 0.0), working=Fact(0.3, 0.0)))["pressure"]
    assert weak.verdict is Verdict.DOES_NOT_FIT
    assert weak.remedy


def test_the_print_comes_before_the_standard():
    """The table itself says that the print on the hose comes first."""
    found = answers(hose_on_barb("fuel", "30R9", Fact(0.9, 0.0), working=Fact(0.7, 0.0)))["pressure"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert found.source == "the print on the hose"


@pytest.mark.parametrize("pressure", [None, Fact(0.0, 0.0)])
def test_vacuum_is_not_asked_for_a_pressure(pressure):
    found = answers(hose_on_barb("vacuum", "J1403", pressure))["pressure"]
    assert found.verdict is Verdict.FITS
    assert "nothing presses" in found.reason


@pytest.mark.parametrize("use, printed", [("steering return", "J188"), ("fuel injection", "30R7"), ("brake", "J1401")])
def test_a_hose_that_is_refused_is_not_asked_for_its_pressure(use, printed):
    found = answers(hose_on_barb(use, printed))
    assert found["what it carries"].verdict is Verdict.DOES_NOT_FIT
    assert found["what it carries"].remedy
    assert "pressure" not in found


def test_a_clamp_that_does_not_go_round_is_exchanged():
    """It closes on 14.3 + 19 - 13 = 20.3 mm: worm-drive sizes 8 to 12 of the table hold that, 6 (to 20) does not."""
    found = answers(hose_on_barb("coolant", "J20", clamp_least=Fact(9.0, 0.0), clamp_greatest=Fact(16.0, 0.0)))["clamp"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "another clamp, whose range holds 20.30 mm: worm-drive size 8 or 10 or 12" in found.remedy


def test_every_key_that_is_read_can_be_written():
    keys = {ask.key for kind in PORTS if kind.name in ("hose", "barb") for ask in kind.asks}
    assert {"working pressure", "print", "bore", "outside", "form", "diameter", "length"} <= keys
    assert {"pressure", "clamp least", "clamp greatest"} <= {ask.key for ask in KINDS[0].asks}
