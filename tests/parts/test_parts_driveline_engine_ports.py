"""Ports of axle, driveline and engine: every field can be judged, bounded, and read from a build file."""

import inspect

import pytest

from trialfit.mates import flanges, gearbox, gearbox_depths, mounts, splines, spring_clamp, spring_plate, spring_seat
from trialfit.mates import yoke_joint as yokes
from trialfit.parts import LISTS, WORDS
from trialfit.parts.axle_ports import PORTS as AXLE
from trialfit.parts.driveline_ports import PORTS as DRIVELINE
from trialfit.parts.engine_ports import PORTS as ENGINE
from trialfit.units import DIMENSIONS

ALL = (*AXLE, *DRIVELINE, *ENGINE)
JUDGES = (flanges, gearbox, gearbox_depths, mounts, splines, spring_clamp, spring_plate, spring_seat, yokes)
SOURCE = "".join(inspect.getsource(module) for module in JUDGES)
KINDS = [kind for module in JUDGES for kind in getattr(module, "KINDS", ())]


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
def test_fields_are_whole(kind):
    assert len({ask.key for ask in kind.asks}) == len(kind.asks)
    for ask in kind.asks:
        assert ask.dimension in {*LISTS, *WORDS, *DIMENSIONS}
        assert ask.key == ask.key.lower().strip()
        assert ask.low < ask.high
        assert not ask.choices or ask.dimension == "text"
        assert ask.high < 1e9 or ask.dimension in {"text", "thread"}, f"{ask.key} has no upper bound"


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
def test_every_field_is_used_by_a_judge(kind):
    for ask in kind.asks:
        used = f'"{ask.key}"' in SOURCE or f'"{ask.key}?"' in SOURCE
        assert used, f"{kind.name}: {ask.key} is asked for and never used"


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_kinds_of_joint_name_ports_that_there_are(kind):
    names = {port.name for port in ALL}
    assert set(kind.first) | set(kind.second) <= names
    for ask in kind.asks:
        assert f'"{ask.key}"' in SOURCE
        assert ask.low < ask.high


def test_names_are_unique():
    assert len({kind.name for kind in ALL}) == len(ALL)
    assert len({kind.name for kind in KINDS}) == len(KINDS) == 6
