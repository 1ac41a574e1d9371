"""How deep things reach where a gearbox meets an engine: pilot bearing, release bearing, converter and flex plate."""

import math
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import AGAIN, Answer, Work
from trialfit.mates.gauged import added, gauged, layered, not_known
from trialfit.mates.joint import Joint
from trialfit.mates.pattern import circle_answer
from trialfit.mates.register import Register, register
from trialfit.parts import Fact
from trialfit.standards import refuse_outside, rule, thread_called
from trialfit.sums import Ask, a_sum

CAUTION = (
    "Measure every depth before the bolts are drawn up: a gearbox pulled home on its bolts breaks pump, thrust bearing "
    "or housing. Turn the crank and the converter by hand at each step; when it does not turn, take it apart again."
)
_GEOMETRY = "geometry"
_NONE = Fact(0.0, 0.0)
_unknown = partial(not_known, caution=CAUTION)
_gauged = partial(gauged, caution=CAUTION)


@a_sum(
    "converter-pull-out",
    title="Gap from converter to flex plate before it is pulled forward",
    asks=(
        Ask("pads", "length", "depth of the converter's pads behind the gearbox's face, converter right home"),
        Ask("between", "length", "plates and adapters between engine and gearbox", 0.0),
        Ask("flange", "length", "crank flange behind the engine's face; ahead of it is minus"),
        Ask("spacer", "length", "spacer on the crank flange", 0.0),
        Ask("plate", "length", "flex plate, from its crank side to the face the converter meets"),
    ),
    gives="gap, which the converter is pulled forward by",
    dimension="length",
    unit="mm",
    words="pads + between - flange - spacer - plate",
    source="geometry",
    caution=CAUTION,
)
def converter_pull_out(pads: float, between: float, flange: float, spacer: float, plate: float) -> float:
    """How far [mm] a converter is pulled forward to its flex plate; negative when it is crushed.

    Swelling of the converter under pressure is left out: it needs some of the gap behind it (unsafe side when little).

    Source: geometry.

    >>> round(converter_pull_out(28.6, 0.0, 15.0, 0.0, 9.6), 6)
    4.0
    """
    for name, value in (("pads", pads), ("flange", flange)):
        refuse_outside(name, value, -200.0, 200.0, "mm")
    for name, value in (("between", between), ("spacer", spacer), ("plate", plate)):
        refuse_outside(name, value, 0.0, 200.0, "mm")
    return pads + between - flange - spacer - plate


@a_sum(
    "input-shaft-in-pilot",
    title="How far an input shaft's nose reaches into its pilot bearing",
    asks=(
        Ask("tip", "length", "tip of the input shaft ahead of the gearbox's face"),
        Ask("between", "length", "bell housing, plates and adapters between engine and gearbox"),
        Ask("bearing", "length", "rear end of the pilot bearing behind the engine's face; ahead of it is minus"),
    ),
    gives="length of the nose past the bearing's rear end",
    dimension="length",
    unit="mm",
    words="tip + bearing - between",
    source="geometry",
    caution=CAUTION,
)
def input_shaft_in_pilot(tip: float, between: float, bearing: float) -> float:
    """How far [mm] the nose reaches past the rear end of the pilot bearing; negative when it does not reach it.

    Source: geometry.
    """
    for name, value in (("tip", tip), ("bearing", bearing)):
        refuse_outside(name, value, -300.0, 300.0, "mm")
    refuse_outside("between", between, 0.0, 400.0, "mm")
    return tip + bearing - between


def missing_of(joint: Joint, wanted: tuple[tuple[str, str], ...]) -> tuple[dict[str, Fact], str, str]:
    """Sizes by key from both ports; the first one missing, in words, and how to measure it. A key with ``?`` behind it
    counts as 0 when it is unknown."""
    sizes: dict[str, Fact] = {}
    for key, how in wanted:
        name = key.rstrip("?")
        size = joint.a.size(name) or joint.b.size(name)
        if size is None and key.endswith("?"):
            size = _NONE
        if size is None:
            return {}, f"the {name}", how
        sizes[name] = size
    return sizes, "", ""


def clutch_answers(joint: Joint) -> tuple[Answer, ...]:
    """Pilot bearing and release bearing of a gearbox with a clutch."""
    return (*_nose(joint), _nose_play(joint), _release(joint))


def _nose(joint: Joint) -> tuple[Answer, ...]:
    questions = ("pilot bearing", "room before the nose")
    between, name = layered(joint.layers)
    straight = "with a straightedge across the face and the depth rod of a calliper"
    sizes, missing, how = missing_of(
        joint,
        (
            ("input tip", f"measure the tip of the input shaft from the gearbox's face, {straight}"),
            ("pilot bearing face", f"measure from the engine's rear face to the pilot bearing, {straight}"),
            ("pilot bearing length", "measure the length of the pilot bearing with a calliper"),
        ),
    )
    if between is None:
        missing, how = f"the thickness of {name}", f"measure {name} from face to face, {straight}"
    if missing or between is None:
        return tuple(_unknown(question, missing, how) for question in questions)
    reach, sd = added((1.0, sizes["input tip"]), (1.0, sizes["pilot bearing face"]), (-1.0, between))
    return _reach(joint, reach, sd, sizes["pilot bearing length"]), _end(joint, reach, sd)


def _reach(joint: Joint, reach: float, sd: float | None, bearing: Fact) -> Answer:
    version = rule("input-shaft-in-pilot", joint.choices.get("input-shaft-in-pilot")).in_force
    asked = min(version.value, bearing.value)
    words = f"the nose reaches {reach:.2f} mm past the rear end of its pilot bearing; {asked:.2f} mm asked"
    if reach < 0.0:
        words = f"the nose ends {-reach:.2f} mm short of its pilot bearing; {asked:.2f} mm in it asked"
    work = Work(
        joint.a_part, "have made", "pilot bearing",
        f"a pilot bearing that stands {asked - reach:.1f} mm further out of the crank, or a bush in the crank "
        "flange that carries one",
        true_to="crank flange's bore", forbidden=("a gearbox run without its pilot bearing",),
    )  # fmt: skip
    return _gauged(
        "pilot bearing", reach - asked, sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure input shaft, bearing and all that lies between with a depth gauge",
        rule="input-shaft-in-pilot", source=version.source,
    )  # fmt: skip


def _end(joint: Joint, reach: float, sd: float | None) -> Answer:
    question = "room before the nose"
    depth, nose = joint.a.size("pilot bearing room"), joint.b.size("nose length")
    if depth is None:
        return _unknown(
            question, "how deep the crank's hole is",
            "measure from the pilot bearing's rear end to the bottom of the crank's hole with a depth rod",
        )  # fmt: skip
    version = rule("input-shaft-end-room", joint.choices.get("input-shaft-end-room")).in_force
    room, room_sd = added((1.0, depth), (-1.0, Fact(reach, sd)))
    words = f"{room:.2f} mm from the nose to the bottom of the crank's hole; {version.value:.1f} mm asked"
    work = Work(
        joint.b_part, "make a spacer", "between engine and gearbox",
        f"a plate of {version.value - room:.1f} mm, flat and parallel, with the bolt and dowel pattern",
        forbidden=("cutting the input shaft by hand",),
    )  # fmt: skip
    if nose is None:
        return _gauged(
            question, room - version.value, room_sd, 0.0, math.inf, good=words, bad=words, works=(work,),
            measure="measure crank hole and input shaft with a depth gauge", rule="input-shaft-end-room",
            source=version.source,
        )  # fmt: skip
    shoulder, shoulder_sd = added((1.0, nose), (-1.0, Fact(reach, sd)))
    if shoulder < room:
        room, room_sd = shoulder, shoulder_sd
        words = f"{room:.2f} mm from the shoulder behind the nose to the pilot bearing; {version.value:.1f} mm asked"
    return _gauged(
        question, room - version.value, room_sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure crank hole, nose and shoulder with a depth gauge", rule="input-shaft-end-room",
        source=version.source,
    )  # fmt: skip


def _nose_play(joint: Joint) -> Answer:
    question = "pilot bearing bore"
    sizes, missing, how = missing_of(
        joint,
        (
            (
                "pilot bearing",
                "measure the bore of the pilot bearing, pressed in, with a small-hole gauge and micrometer",
            ),
            ("input nose", "measure the input shaft's nose with a micrometer"),
        ),
    )
    if missing:
        return _unknown(question, missing, how)
    least = rule("pilot-bearing-play-least", joint.choices.get("pilot-bearing-play-least")).in_force
    most = rule("pilot-bearing-play-most", joint.choices.get("pilot-bearing-play-most")).in_force
    bore, nose = sizes["pilot bearing"], sizes["input nose"]
    play, sd = added((1.0, bore), (-1.0, nose))
    words = f"nose {nose.value:.2f} mm in a bearing of {bore.value:.2f} mm"
    bad = f"{words}: {'it does not go in' if play < least.value else f'{play:.2f} mm of play'}"
    size = f"{nose.value + least.value:.3f} to {nose.value + most.value:.3f} mm"
    work = Work(
        joint.a_part, "have made", "pilot bearing",
        f"a pilot bush or bearing of {size} bore, pressed in, for this crank", found=bore,
        true_to="crank flange's bore",
    )  # fmt: skip
    return _gauged(
        question, play, sd, least.value, most.value, good=words, bad=bad, works=(work,),
        measure="measure the bore, pressed in, with a small-hole gauge, and the nose with a micrometer",
        rule="pilot-bearing-play-most", source=most.source,
    )  # fmt: skip


def _release(joint: Joint) -> Answer:
    question = "release bearing"
    between, name = layered(joint.layers)
    straight = "a straightedge across the face and the depth rod of a calliper"
    sizes, missing, how = missing_of(
        joint,
        (
            ("clutch fingers", f"bolt the clutch up and measure its fingers from the engine's face with {straight}"),
            ("release bearing", f"push the bearing right back and measure it from the gearbox's face with {straight}"),
        ),
    )
    if between is None:
        missing, how = f"the thickness of {name}", f"measure {name} from face to face with {straight}"
    if missing or between is None:
        return _unknown(question, missing, how)
    least = rule("release-bearing-gap-least", joint.choices.get("release-bearing-gap-least")).in_force
    most = rule("release-bearing-gap-most", joint.choices.get("release-bearing-gap-most")).in_force
    gap, sd = added((1.0, between), (-1.0, sizes["release bearing"]), (-1.0, sizes["clutch fingers"]))
    words = f"{gap:.2f} mm from release bearing to fingers; {least.value:.1f} to {most.value:.1f} mm asked"
    aim = 0.5 * (least.value + most.value)
    if gap < least.value:
        work = Work(
            joint.b_part, "exchange", "release bearing",
            f"a bearing {aim - gap:.1f} mm shorter, or a thinner "
            "flywheel and clutch; facing the bearing's seat only where its maker allows it",
        )  # fmt: skip
        bad = f"{words}: it would ride on the fingers and let the clutch slip"
    else:
        shims = f"shims of {gap - aim:.1f} mm behind it{AGAIN}"
        work = Work(joint.b_part, "shim", "seat of the release bearing", shims)
        bad = f"{words}: it runs out of stroke, or off its piston"
    return _gauged(
        question, gap, sd, least.value, most.value, good=words, bad=bad, works=(work,),
        measure=f"measure fingers, bearing and all that lies between again with {straight}",
        rule="release-bearing-gap-most", source=most.source,
    )  # fmt: skip


def converter_answers(joint: Joint) -> tuple[Answer, ...]:
    """Converter on flex plate: gap, nose in the crank, bolts."""
    return (_pull_out(joint), *_hub(joint), _circle(joint), _bolts(joint))


def _pull_out(joint: Joint) -> Answer:
    question = "converter gap"
    between, name = layered(joint.layers)
    straight = "with a straightedge across the face and the depth rod of a calliper"
    sizes, missing, how = missing_of(
        joint,
        (
            ("converter pads", f"push the converter right home, turning it, and measure to its pads, {straight}"),
            ("crank flange", f"measure from the engine's rear face to the crank flange, {straight}"),
            ("flex plate", "lay the flex plate flat and measure from its crank side to its converter side"),
            ("spacer?", ""),
        ),
    )
    if between is None:
        missing, how = f"the thickness of {name}", f"measure {name} with a calliper"
    if missing or between is None:
        return _unknown(question, missing, how)
    least = rule("converter-pull-out-least", joint.choices.get("converter-pull-out-least")).in_force
    most = rule("converter-pull-out-most", joint.choices.get("converter-pull-out-most")).in_force
    gap, sd = added(
        (1.0, sizes["converter pads"]), (1.0, between), (-1.0, sizes["crank flange"]), (-1.0, sizes["spacer"]),
        (-1.0, sizes["flex plate"]),
    )  # fmt: skip
    aim = 0.5 * (least.value + most.value)
    words = f"converter stands {gap:.2f} mm off the flex plate; {least.value:.1f} to {most.value:.1f} mm asked"
    works: tuple[Work, ...]
    if gap > most.value:
        bad = f"{words}: pulled forward so far it comes out of the pump"
        works = (
            Work(
                joint.a_part, "shim", "converter pads",
                f"equal hard washers of {gap - aim:.1f} mm on every pad, or a crank spacer thicker by as "
                f"much{AGAIN}", forbidden=("unequal washers",),
            ),
        )  # fmt: skip
    else:
        where = "it would be crushed into the pump" if gap <= 0.0 else "it has no room to swell"
        bad = f"{words}: {where}"
        works = (
            Work(
                joint.b_part, "make a spacer", "between engine and gearbox",
                f"a plate of {aim - gap:.1f} mm, flat and "
                "parallel, with the bolt and dowel pattern; or a thinner crank spacer",
                forbidden=("drawing the housing home on its bolts",),
            ),
        )  # fmt: skip
    return _gauged(
        question, gap, sd, least.value, most.value, good=words, bad=bad, works=works,
        measure=f"measure converter, flange and flex plate again, {straight}; or bolt up and gauge the gap with "
        "drill shanks",
        rule="converter-pull-out-most", source=most.source,
    )  # fmt: skip


def _hub(joint: Joint) -> tuple[Answer, ...]:
    fit = register(
        Register(
            "converter nose", joint.a.size("crank pilot"), joint.b.size("converter nose"), bore_part=joint.a_part,
            bore_place="pilot bore of the crank", spigot_part=joint.b_part, spigot_place="nose of the converter",
            hole_zone="H8", spigot_zone="f7", may_turn=False, may_open=False, may_ring=True,
            ring_height_mm=None if (n := joint.b.size("converter nose length")) is None else n.value,
            true_to="crank flange's bore", forbidden=("a converter left to be centred by its bolts",),
            source="ISO 286-2", ring_material="steel", caution=CAUTION,
        )
    )  # fmt: skip
    return fit, _hub_length(joint), _hub_bottom(joint)


def _hub_sizes(joint: Joint) -> tuple[dict[str, Fact], str, str]:
    return missing_of(
        joint,
        (
            ("converter nose length", "measure from the pads to the end of the converter's nose with a depth rod"),
            ("flex plate", "lay the flex plate flat and measure from its crank side to its converter side"),
            ("spacer?", ""),
        ),
    )


def _hub_length(joint: Joint) -> Answer:
    question = "nose in crank"
    sizes, missing, how = _hub_sizes(joint)
    if missing:
        return _unknown(question, missing, how)
    version = rule("converter-hub-in-crank", joint.choices.get("converter-hub-in-crank")).in_force
    inside, sd = added((1.0, sizes["converter nose length"]), (-1.0, sizes["flex plate"]), (-1.0, sizes["spacer"]))
    words = f"the nose stands {inside:.2f} mm in the crank; {version.value:.1f} mm asked"
    work = Work(
        joint.a_part, "have made", "crank flange",
        f"a spacer ring with its own pilot, {version.value - inside:.1f} mm "
        "or more behind the crank flange, H7/f7 on the nose",
        true_to="crank flange's bore",
    )  # fmt: skip
    return _gauged(
        question, inside - version.value, sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure nose, spacer and flex plate again with a depth rod", rule="converter-hub-in-crank",
        source=version.source,
    )  # fmt: skip


def _hub_bottom(joint: Joint) -> Answer:
    question = "room before the converter's nose"
    sizes, missing, how = _hub_sizes(joint)
    if missing:
        return _unknown(question, missing, how)
    depth = joint.a.size("crank pilot depth")
    if depth is None:
        return _unknown(
            question, "the depth of the crank's pilot bore",
            "measure from the crank flange to the bottom of its bore with a depth rod",
        )  # fmt: skip
    version = rule("input-shaft-end-room", joint.choices.get("input-shaft-end-room")).in_force
    room, sd = added(
        (1.0, depth), (-1.0, sizes["converter nose length"]), (1.0, sizes["flex plate"]), (1.0, sizes["spacer"])
    )
    words = f"{room:.2f} mm from the nose to the bottom of the crank's bore; {version.value:.1f} mm asked"
    work = Work(
        joint.a_part, "make a spacer", "crank flange",
        f"a spacer of {version.value - room:.1f} mm more under the flex plate; then look at the converter gap again",
    )  # fmt: skip
    return _gauged(
        question, room - version.value, sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure crank bore and nose with a depth rod", rule="input-shaft-end-room", source=version.source,
    )  # fmt: skip


def _circle(joint: Joint) -> Answer:
    hole, bolt = joint.a.size("converter hole"), _screw(joint)
    slack = max(0.0, hole.value - bolt.value) if hole is not None and bolt is not None else 0.0
    return circle_answer(
        "converter circle", joint.a.count("converter bolts"), joint.a.size("converter circle"),
        joint.b.count("converter bolts"), joint.b.size("converter circle"), slack, a_words="the flex plate's holes",
        b_words="the converter's pads",
        remedy="a flex plate drilled for that converter, or the converter that belongs to the flex plate",
        source=_GEOMETRY,
    )  # fmt: skip


def _screw(joint: Joint) -> Fact | None:
    word = joint.b.word("converter thread")
    try:
        return Fact(thread_called(word).diameter_mm, 0.0, word) if word else None
    except ValueError:
        return None


def _bolts(joint: Joint) -> Answer:
    question = "converter bolts"
    hole, bolt = joint.a.size("converter hole"), _screw(joint)
    if bolt is None:
        return _unknown(question, "the thread of the converter", "hold a thread gauge to it, and write 3/8-24 or M10")
    if hole is None:
        return _unknown(question, "the hole size of the flex plate", "measure a hole with a calliper")
    play, sd = added((1.0, hole), (-1.0, bolt))
    version = rule("flange-bolt-play", joint.choices.get("flange-bolt-play")).in_force
    words = f"{joint.b.word('converter thread')} in holes of {hole.value:.2f} mm"
    answer = _gauged(
        question, play, sd, 0.0, version.value, good=words, bad=words, measure="measure a hole with a calliper",
        rule="flange-bolt-play", source=version.source,
    )  # fmt: skip
    if answer.verdict is Verdict.DOES_NOT_FIT and play < 0.0:
        work = Work(
            joint.a_part, "drill", "converter holes of the flex plate", f"open them to {bolt.value + 0.3:.1f} mm",
            found=hole, true_to="old middles",
        )  # fmt: skip
        return _gauged(
            question, play, sd, 0.0, version.value, good=words, bad=f"{words}: they do not go through", measure="",
            works=(work,), rule="flange-bolt-play", source=version.source,
        )  # fmt: skip
    return answer
