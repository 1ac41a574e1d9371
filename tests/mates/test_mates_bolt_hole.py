"""Bolt through hole: every question answered, the near-misses told apart, what to measure when a size is missing."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import WORK_KINDS, Joint, Layer, worst
from trialfit.mates.bolt_hole import KINDS
from trialfit.parts import Fact, Port
from trialfit.parts.hole_ports import PORTS
from trialfit.standards import Version, rule

(KIND,) = KINDS
SD = 0.02


def size(value: float) -> Fact:
    return Fact(value, SD, "calliper")


def count(value: float) -> Fact:
    return Fact(value, 0.0)


BOLT = {"thread": "M10x1.5", "length": size(40.0), "shank length": size(12.0), "shank diameter": size(9.9),
        "point": size(1.5)}  # fmt: skip
PLAIN = {"form": "plain", "diameter": size(11.0), "thickness": size(8.0), "edge distance": size(20.0)}
BLIND = {"form": "tapped blind", "thread": "M10x1.5", "thread depth": size(30.0), "edge distance": size(20.0)}
NUT = {"nut thread": "M10x1.5", "nut height": size(8.4), "washers": size(2.0), "bolts": count(2.0)}
PLATE = (Layer("bracket", size(10.0)),)


def joint(bolt=(), hole=PLAIN, said=NUT, layers=PLATE, material="steel", choices=None, **changes) -> Joint:
    a, b = {**BOLT, **dict(bolt)}, {**hole, **changes}
    return Joint(
        {k: v for k, v in dict(said).items() if v is not None}, name="bracket bolt", kind=KIND.name,
        a=Port({k: v for k, v in a.items() if v is not None}, kind="bolt", name="bolt"),
        b=Port({k.replace("_", " "): v for k, v in b.items() if v is not None}, kind="bolt hole", name="hole"),
        a_part="bolt", b_part="frame", b_material=material, layers=layers, choices=choices or {},
    )  # fmt: skip


def answers(*args, **kwargs) -> dict:
    found = KIND.judge(joint(*args, **kwargs))
    assert len({a.question for a in found}) == len(found)
    return {a.question: a for a in found}


def test_a_good_bolt_with_a_nut_fits_in_every_question():
    found = answers()
    assert set(found) == {"thread", "hole", "shank", "thread engaged", "edge distance"}
    assert worst(found.values()) is Verdict.FITS
    # 40 long less 10 + 8 + 2 clamped less 8.4 of nut
    assert found["thread engaged"].reason.startswith("11.60 mm of M10x1.5 stand past the nut, 7.7 turns")


def test_a_good_bolt_in_a_blind_hole_fits_in_every_question():
    found = answers(hole=BLIND, said={"washers": size(2.0)}, bolt={"length": size(35.0), "shank length": size(8.0)})
    assert set(found) == {"thread", "shank", "thread engaged", "bottom", "edge distance"}
    assert worst(found.values()) is Verdict.FITS
    # 35 less 12 clamped less 1.5 of point
    assert found["thread engaged"].reason == "21.50 mm engaged, 14.3 turns of M10x1.5; 10.00 mm is asked"
    assert found["bottom"].margin == pytest.approx(30.0 - 23.0 - 3.0)


@pytest.mark.parametrize("bolt,nut,said", [
    ("M10x1.25", "M10x1.5", "same diameter, pitch 1.250 mm against 1.500 mm"),
    ("3/8-24", "M10x1", "it starts and binds after about 8 turns and holds on 56 % of its depth only"),
    ("M12x1.25", "1/2-20", "it turns in to the end and holds on 50 % of its depth only: it strips under load"),
    ("M12x1.5 LH", "M12x1.5", "left-hand"),
])  # fmt: skip
def test_a_nut_that_looks_alike_is_refused(bolt, nut, said):
    found = answers(bolt={"thread": bolt, "shank diameter": None}, said={**NUT, "nut thread": nut}, diameter=size(14.0))
    assert found["thread"].verdict is Verdict.DOES_NOT_FIT
    assert said in found["thread"].reason
    assert found["thread"].remedy == f"take a nut of {bolt}"


def test_a_tapped_hole_of_another_thread_is_refused():
    found = answers(hole={**BLIND, "thread": "3/8-16"})
    assert found["thread"].verdict is Verdict.DOES_NOT_FIT
    assert found["thread"].remedy == "take a bolt of 3/8-16"


def test_a_thread_that_cannot_be_read_is_asked_for_and_not_guessed():
    found = answers(bolt={"thread": "M10x1.3"})
    assert found["thread"].verdict is Verdict.CANNOT_TELL
    assert "no metric thread 'M10x1.3' is in the table" in found["thread"].reason
    assert "thread gauge" in found["thread"].measure


@pytest.mark.parametrize("diameter,fit,verdict,said", [
    (11.0, "medium", Verdict.FITS, "11.00 mm is the medium hole for M10x1.5"),
    (10.5, "fine", Verdict.FITS, "10.50 mm is the fine hole"),
    (12.0, "medium", Verdict.FITS, ""),
    (9.5, "medium", Verdict.FITS_AFTER_WORK, "the bolt does not go through"),
    (13.5, "medium", Verdict.DOES_NOT_FIT, "the bolt cannot hold the part in its place"),
    (11.5, "fine", Verdict.DOES_NOT_FIT, "10.68 mm at most"),
    (10.01, "medium", Verdict.CANNOT_TELL, ""),
])  # fmt: skip
def test_the_hole_round_the_bolt(diameter, fit, verdict, said):
    found = answers(said={**NUT, "fit": fit}, diameter=size(diameter))["hole"]
    assert found.verdict is verdict
    assert said in found.reason


def test_a_hole_too_small_is_drilled_to_the_standard_with_its_limits():
    (work,) = answers(diameter=size(9.5))["hole"].works
    assert work.kind == "drill"
    # H13 over 10 to 18 mm is 270 um in the printed table
    assert (work.target.low_mm, work.target.high_mm) == pytest.approx((11.0, 11.27))
    assert work.figure.holes[0].diameter_mm == 11.0
    assert work.figure.thickness_mm == 8.0


def test_a_bolt_alone_locates_its_part_and_gets_the_fine_hole():
    """ISO 273, fine series: 10.5 mm for M10, 13 mm for M12; H12 over 10 to 18 mm is 180 um in the printed table."""
    for said in ({"bolts": None}, {"bolts": count(1.0)}):
        found = answers(said={**NUT, **said}, diameter=size(9.5))["hole"]
        (work,) = found.works
        assert (work.target.low_mm, work.target.high_mm) == pytest.approx((10.5, 10.68))
        assert work.target.fit == "10.50 H12"
        # one hole, one source
        assert work.target.source == found.source == "ISO 273"
    (chosen,) = answers(said={**NUT, "bolts": None, "fit": "medium"}, diameter=size(9.5))["hole"].works
    assert chosen.target.low_mm == pytest.approx(11.0)


def test_a_hole_that_suits_several_bolts_only_waits_for_their_number():
    untold = answers(said={**NUT, "bolts": None}, diameter=size(11.5))["hole"]
    assert untold.verdict is Verdict.CANNOT_TELL
    assert "10.68 mm at most for a bolt that locates its part alone" in untold.reason
    assert "bolts: 2" in untold.measure
    assert answers(said={**NUT, "bolts": count(1.0)}, diameter=size(11.5))["hole"].verdict is Verdict.DOES_NOT_FIT
    assert answers(said={**NUT, "bolts": count(2.0)}, diameter=size(11.5))["hole"].verdict is Verdict.FITS
    # wider than any of the series: no number of bolts helps
    assert answers(said={**NUT, "bolts": None}, diameter=size(13.5))["hole"].verdict is Verdict.DOES_NOT_FIT


def test_an_inch_hole_has_its_own_source_in_answer_and_order():
    """ASME B18.2.8 as printed: 25/64 in is the close hole for 3/8 in."""
    said = {**NUT, "bolts": None, "nut thread": "3/8-16"}
    found = answers(bolt={"thread": "3/8-16", "shank diameter": None}, said=said, diameter=size(9.0))["hole"]
    (work,) = found.works
    assert work.target.nominal_mm == pytest.approx(25.0 / 64.0 * 25.4)
    assert work.target.source == found.source
    assert "ASME B18.2.8" in work.target.source


def test_the_hole_that_is_opened_is_drawn_with_the_new_one():
    (work,) = answers(diameter=size(9.5))["hole"].works
    assert [(h.diameter_mm, h.old) for h in work.figure.holes] == [(11.0, False), (9.5, True)]
    assert work.figure.shop


def test_a_shank_bigger_than_the_thread_counts():
    found = answers(bolt={"shank diameter": size(11.5)})["hole"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "hole 11.00 mm on 11.50 mm" in found.reason
    # as much room round the shank as ISO 273 gives round the thread: 11 - 10 = 1 mm
    assert found.works[0].target.low_mm == pytest.approx(12.5)


def test_a_shank_longer_than_what_is_clamped_jams_the_nut():
    found = answers(bolt={"shank length": size(22.0)})["shank"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "the nut runs onto the shank 2.00 mm before anything is clamped, though it feels tight" in found.reason
    assert found.works[0].kind == "exchange"
    assert "at most 20.0 mm of plain shank" in found.works[0].words


def test_one_washer_more_lets_the_same_shank_clamp():
    found = answers(bolt={"shank length": size(22.0)}, said={**NUT, "washers": size(5.0)})["shank"]
    assert found.verdict is Verdict.FITS


def test_a_bolt_that_ends_inside_its_nut():
    found = answers(bolt={"length": size(27.0)})["thread engaged"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert found.reason.startswith("M10x1.5 ends 1.40 mm inside the nut, 0.9 turns short of its face; 1 full thread")
    # 20 clamped, 8.4 of nut, one pitch
    assert found.works[0].words == "take a bolt 29.9 mm long or longer"


def test_the_rule_of_protrusion_can_be_chosen():
    bolt = {"length": size(30.5)}
    assert answers(bolt=bolt)["thread engaged"].verdict is Verdict.FITS
    chosen = answers(bolt=bolt, choices={"thread-protrusion": "2 threads"})["thread engaged"]
    assert chosen.verdict is Verdict.FITS_AFTER_WORK
    assert "2 full threads past it is asked" in chosen.reason


@pytest.mark.parametrize("material,verdict", [
    ("steel", Verdict.FITS), ("cast iron", Verdict.FITS_AFTER_WORK), ("aluminium", Verdict.FITS_AFTER_WORK),
])  # fmt: skip
def test_engagement_asked_depends_on_what_the_hole_is_in(material, verdict):
    found = answers(hole=BLIND, said={}, bolt={"length": size(23.0), "shank length": size(5.0)}, material=material)
    assert found["thread engaged"].verdict is verdict
    assert "11.50 mm engaged, 7.7 turns" in found["thread engaged"].reason


def test_a_shallow_hole_in_aluminium_wants_an_insert_and_no_longer_bolt():
    found = answers(hole={**BLIND, "thread depth": size(15.0)}, said={}, material="aluminium")["thread engaged"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "the hole has only 15.00 mm of thread" in found.reason
    assert "insert" in found.remedy


def test_unknown_metal_cannot_be_told():
    found = answers(hole=BLIND, said={}, material="")["thread engaged"]
    assert found.verdict is Verdict.CANNOT_TELL
    assert "magnet" in found.measure


def test_a_bolt_that_bottoms_clamps_nothing():
    found = answers(hole={**BLIND, "thread depth": size(20.0)}, said={}, bolt={"length": size(35.0)})["bottom"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "reaches 5.00 mm past the last full thread: it bottoms and clamps nothing, though tight" in found.reason
    # 10 clamped, 20 of thread, two pitches to spare
    assert found.works[0].words == "take a bolt 27.0 mm long or shorter"


def test_the_words_for_longer_and_shorter_agree_with_the_verdicts():
    hole = {**BLIND, "thread depth": size(20.0)}
    short = answers(hole=hole, said={}, bolt={"length": size(27.0), "shank length": size(5.0)})
    assert short["bottom"].margin == pytest.approx(0.0, abs=1e-9)
    fit = answers(hole=hole, said={}, bolt={"length": size(26.5), "shank length": size(5.0)})
    assert worst(fit.values()) is Verdict.FITS


def test_a_mouth_without_thread_counts_as_clamped_and_is_lost_below():
    plain = answers(hole=BLIND, said={})["thread engaged"]
    mouth = answers(hole={**BLIND, "counterbore": size(5.0)}, said={})["thread engaged"]
    assert plain.margin - mouth.margin == pytest.approx(5.0)
    below = [answers(hole={**BLIND, "counterbore": c}, said={})["bottom"].margin for c in (None, size(5.0))]
    assert below[0] == pytest.approx(below[1])


@pytest.mark.parametrize("edge,verdict", [
    (20.0, Verdict.FITS), (16.5, Verdict.CANNOT_TELL), (12.0, Verdict.DOES_NOT_FIT),
])  # fmt: skip
def test_the_edge(edge, verdict):
    found = answers(edge_distance=None, **{"edge distance": size(edge)})["edge distance"]
    assert found.verdict is verdict


MISSING = [
    ({"thread": None}, PLAIN, NUT, ("thread", "hole", "thread engaged"), "thread gauge"),
    ({"length": None}, PLAIN, NUT, ("thread engaged",), "under the head to the end"),
    ({"shank length": None}, PLAIN, NUT, ("shank",), "first full thread"),
    ({}, {**PLAIN, "diameter": None}, NUT, ("hole",), "try drills"),
    ({}, {**PLAIN, "thickness": None}, NUT, ("shank", "thread engaged"), "each by itself"),
    ({}, {**PLAIN, "edge distance": None}, NUT, ("edge distance",), "half the hole"),
    ({}, PLAIN, {**NUT, "nut thread": None}, ("thread",), "run the nut down"),
    ({}, PLAIN, {**NUT, "nut height": None}, ("thread engaged",), "across its faces"),
    ({}, {**BLIND, "thread depth": None}, {}, ("thread engaged", "bottom"), "known to be long enough"),
    ({}, {**BLIND, "thread": None}, {}, ("thread",), "by the fingers alone"),
]


@pytest.mark.parametrize("bolt,hole,said,questions,measure", MISSING)
def test_what_is_missing_is_asked_for_and_the_rest_still_answered(bolt, hole, said, questions, measure):
    found = answers(bolt=bolt, hole=hole, said=said)
    for question, answer in found.items():
        assert (answer.verdict is Verdict.CANNOT_TELL) == (question in questions), question
        if question in questions:
            assert measure in answer.measure


def test_a_layer_of_unknown_thickness_is_named():
    found = answers(layers=(Layer("bracket", size(10.0)), Layer("shim", None)))
    assert found["thread engaged"].reason == "the thickness of shim is not known"


def test_a_size_of_unknown_doubt_decides_nothing():
    found = answers(bolt={"length": Fact(40.0)})
    assert found["thread engaged"].verdict is Verdict.CANNOT_TELL
    assert "how well" in found["thread engaged"].reason


def test_the_ports_are_the_ones_the_joint_takes_and_every_field_has_a_range():
    assert {port.name for port in PORTS} == {*KIND.first, *KIND.second}
    for port in PORTS:
        for ask in port.asks:
            assert ask.dimension in {"thread", "text"} or 0.0 <= ask.low < ask.high < 1000.0
            assert ask.dimension != "text" or ask.choices


@pytest.mark.parametrize("name", ["bolt-engagement-steel", "bolt-engagement-iron", "bolt-engagement-aluminium"])
def test_every_rule_of_engagement_has_versions_to_choose_from(name):
    found = rule(name)
    assert len(found.versions) >= 2
    assert isinstance(found.in_force, Version)


def test_works_are_of_the_kinds_a_shop_is_asked_for():
    cases = joint(diameter=size(9.5)), joint(bolt={"length": size(27.0)}), joint(bolt={"shank length": size(25.0)})
    kinds = {work.kind for case in cases for answer in KIND.judge(case) for work in answer.works}
    assert kinds == {"drill", "exchange"} <= set(WORK_KINDS)


def test_a_thread_without_a_clearance_hole_leaves_the_other_questions_standing():
    """ASME B18.2.8 has no row for 9/16 in."""
    bolt = {"thread": "9/16-18", "length": size(60.0), "shank diameter": size(14.2)}
    found = answers(bolt=bolt, diameter=size(15.0), said={**NUT, "nut thread": "M14x1.5", "nut height": size(12.0)})
    assert found["hole"].verdict is Verdict.CANNOT_TELL
    assert "no clearance hole is held for 9/16-18" in found["hole"].reason
    assert found["hole"].measure
    assert found["thread"].verdict is Verdict.DOES_NOT_FIT
    assert found["shank"].verdict is Verdict.FITS
    assert found["thread engaged"].verdict is Verdict.FITS


def test_a_shank_that_ends_where_the_clamped_parts_end_is_told_without_a_nought():
    """Plate 10, part 8, washers 2: 20 mm clamped, as long as the shank."""
    exact = {"shank length": Fact(20.0004, 0.0001)}
    layers, said = (Layer("bracket", Fact(10.0, 0.0)),), {**NUT, "washers": Fact(2.0, 0.0)}
    found = answers(bolt=exact, layers=layers, said=said, thickness=Fact(8.0, 0.0))["shank"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "the nut runs onto the shank just as anything is clamped" in found.reason
    assert "0.00 mm before" not in found.reason


@pytest.mark.parametrize("material, words", [("brass", "screwed into brass"), ("", "what frame is made of")])
def test_a_material_without_a_rule_is_not_called_unknown(material, words):
    bolt = {"length": size(35.0), "shank length": size(8.0)}
    found = answers(hole=BLIND, said={"washers": size(2.0)}, bolt=bolt, material=material)["thread engaged"]
    assert found.verdict is Verdict.CANNOT_TELL
    assert words in found.reason


def test_cast_iron_has_its_own_engagement():
    bolt = {"length": size(35.0), "shank length": size(8.0)}
    found = answers(hole=BLIND, said={"washers": size(2.0)}, bolt=bolt, material="cast iron")["thread engaged"]
    assert "15.00 mm is asked" in found.reason
