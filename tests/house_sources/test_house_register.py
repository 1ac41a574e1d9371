"""What every sum in the register must have so that the shell can work it and a reader can trust it."""

import importlib
import inspect
import pkgutil
import re

import pytest

import trialfit
from trialfit.sums import Sum, all_sums
from trialfit.units import DIMENSIONS, in_unit

for _room in pkgutil.walk_packages(trialfit.__path__, "trialfit."):
    if not _room.name.startswith(("trialfit.cli", "trialfit.web", "trialfit.sheets")):
        importlib.import_module(_room.name)

SUMS = all_sums()
HURTS = re.compile(
    r"^(joint-(?!compound|output|ratio|lead)|tube-whirl|whirl|bolt-|tyre-diameter|shaft-|fillet|ring-weld|thermal-growth)"
)
ASKED_FOR = [
    "joint-speed-ratio",
    "tube-whirl",
    "bend-length",
    "cut-face-angle",
    "pie-cut-piece",
    "cone-pattern-radius",
    "cone-pattern-angle",
    "saddle-cut",
    "tube-mass",
    "thermal-growth",
    "tyre-diameter",
    "road-speed",
    "bolt-preload-torque",
    "tape-error",
]


@pytest.mark.parametrize("name", ASKED_FOR)
def test_the_sums_that_were_asked_for_are_there(name: str):
    assert name in {s.name for s in SUMS}


@pytest.mark.parametrize("sum_", SUMS, ids=lambda s: s.name)
def test_a_sum_is_whole(sum_: Sum):
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", sum_.name)
    assert all((sum_.title, sum_.gives, sum_.words, sum_.source, sum_.asks))
    assert sum_.dimension in DIMENSIONS
    in_unit(1.0, sum_.unit, sum_.dimension)
    for ask in sum_.asks:
        assert re.fullmatch(r"[a-z][a-z0-9_]*", ask.key)
        assert ask.dimension in DIMENSIONS
        assert ask.meaning
        if ask.choices:
            assert ask.dimension == "text"
            assert ask.default is None or ask.default in ask.choices
        if ask.default is not None:
            assert isinstance(ask.default, str) == (ask.dimension == "text")


@pytest.mark.parametrize("sum_", SUMS, ids=lambda s: s.name)
def test_a_sum_asks_for_what_its_function_takes(sum_: Sum):
    takes = inspect.signature(sum_.function).parameters
    asked = {ask.key for ask in sum_.asks}
    assert asked <= set(takes)
    assert {n for n, p in takes.items() if p.default is inspect.Parameter.empty} <= asked


@pytest.mark.parametrize("sum_", [s for s in SUMS if HURTS.match(s.name)], ids=lambda s: s.name)
def test_work_that_can_hurt_carries_a_caution(sum_: Sum):
    assert len(sum_.caution) > 40
