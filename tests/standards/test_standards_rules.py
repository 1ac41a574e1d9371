"""Rules with all their versions, and the gaps that pairs of kinds ask for."""

import itertools
import re

import pytest

from trialfit.standards import KINDS, ORIGINS, all_rules, check_kind, gap_rule_name, required_gap, rule


@pytest.mark.parametrize("name,gap,kind", [
    ("exhaust-to-fuel", 38, "PUB"), ("exhaust-to-brake-line", 38, "PUB"), ("exhaust-to-combustible", 38, "PUB"),
    ("exhaust-to-floor", 25, "CP"), ("exhaust-to-moving", 25, "CP"), ("exhaust-to-tyre", 50, "CP"),
    ("exhaust-to-fixed", 15, "TRADE"), ("shaft-to-tunnel", 19, "TRADE"), ("brake-line-to-moving", 19, "PUB"),
    ("line-to-tyre", 10, "PUB"), ("tyre-to-body", 25, "PUB"), ("rim-to-parts", 32, "TRADE"),
    ("engine-to-fixed", 15, "TRADE"), ("ground-clearance", 76, "PUB"), ("moving-to-fixed", 13, "CP"),
])  # fmt: skip
def test_gap_in_force_by_default(name, gap, kind):
    found = rule(name)
    assert (found.in_force.value, found.in_force.unit, found.in_force.kind) == (gap, "mm", kind)


def test_disagreeing_versions_are_all_kept():
    assert sorted(v.value for v in rule("exhaust-to-combustible").versions) == [38.0, 50.0]
    assert sorted(v.value for v in rule("tyre-to-body").versions) == [13.0, 25.0]
    assert len(rule("pinion-down-leaf").versions) == 5


def test_the_builder_chooses_a_version_whatever_the_capitals():
    assert rule("tyre-to-body").in_force.value == 25.0
    chosen = rule("tyre-to-body", "13 MM to the arch,  taken off when sizing a wheel")
    assert chosen.in_force.value == 13.0
    assert chosen.versions == rule("tyre-to-body").versions
    # the default stays as it was for the next one who asks
    assert rule("tyre-to-body").in_force.value == 25.0


def test_an_unknown_version_is_refused_with_the_known_labels():
    said = "rule shaft-to-tunnel has no version '20 mm'; known: 19 mm all round, shaft at its highest"
    with pytest.raises(ValueError, match=re.escape(said)):
        rule("shaft-to-tunnel", "20 mm")


def test_an_unknown_rule_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match=r"no rule is called 'exhaust-to-feul'; nearest: exhaust-to-fuel"):
        rule("exhaust-to-feul")


@pytest.mark.parametrize("one", all_rules(), ids=lambda r: r.name)
def test_every_rule_is_whole(one):
    assert one.in_force in one.versions
    assert one.quantity
    for version in one.versions:
        assert version.label
        assert version.source
        assert version.kind in ORIGINS
        # what is only practice must not pass for a published figure, nor the other way round
        assert (version.source in {"common practice, no source", "from memory"}) <= (version.kind in {"CP", "STD"})
        assert rule(one.name, version.label).in_force == version


@pytest.mark.parametrize("a,b", list(itertools.combinations_with_replacement(KINDS, 2)))
def test_every_pair_of_kinds_has_a_gap_and_order_does_not_matter(a, b):
    assert gap_rule_name(a, b) == gap_rule_name(b, a)
    gap, found = required_gap(a, b)
    assert gap == found.in_force.value >= 0.0
    assert found.in_force.unit == "mm"


@pytest.mark.parametrize("a,b,name", [
    ("exhaust", "brake", "exhaust-to-brake-line"), ("exhaust", "wiring", "exhaust-to-combustible"),
    ("exhaust", "rubber", "exhaust-to-combustible"), ("exhaust", "body", "exhaust-to-floor"),
    ("exhaust", "shaft", "exhaust-to-moving"), ("exhaust", "damper", "exhaust-to-moving"),
    ("exhaust", "gearbox", "exhaust-to-fixed"), ("exhaust", "exhaust", "exhaust-to-fixed"),
    ("tyre", "brake-line", "line-to-tyre"), ("tyre", "fuel", "tyre-to-body"), ("tyre", "link", "tyre-to-body"),
    ("brake-line", "axle", "brake-line-to-moving"), ("brake-line", "engine", "brake-line-to-moving"),
    ("shaft", "floor", "shaft-to-tunnel"), ("shaft", "brake-line", "brake-line-to-moving"),
    ("shaft", "link", "moving-to-fixed"), ("axle", "frame", "moving-to-fixed"), ("link", "floor", "moving-to-fixed"),
    ("axle", "fuel", "moving-to-fixed"), ("engine", "frame", "engine-to-fixed"),
    ("gearbox", "floor", "engine-to-fixed"),
    ("engine", "link", "moving-to-fixed"), ("frame", "floor", "fixed-to-fixed"), ("other", "axle", "moving-to-fixed"),
])  # fmt: skip
def test_which_rule_a_pair_goes_by(a, b, name):
    assert gap_rule_name(a, b) == name


def test_a_choice_goes_to_its_own_rule_only():
    choices = {"exhaust-to-fixed": "10 mm, a finger's width"}
    assert required_gap("exhaust", "frame", choices)[0] == 10.0
    assert required_gap("exhaust", "tyre", choices)[0] == 50.0
    with pytest.raises(ValueError, match="has no version 'none'"):
        required_gap("exhaust", "fuel", {"exhaust-to-fuel": "none"})


def test_a_word_that_is_no_kind_is_refused():
    with pytest.raises(ValueError, match="no kind of shape is called 'exaust'; nearest: exhaust"):
        check_kind("exaust")
    with pytest.raises(ValueError, match="no kind of shape is called 'tire'; nearest: tyre"):
        gap_rule_name("frame", "tire")
