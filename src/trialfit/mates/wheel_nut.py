"""What holds a wheel on: thread, seat, shank and head of its nuts or bolts, and the holes they stand in."""

import math
from collections.abc import Iterator

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint
from trialfit.mates.judging import within
from trialfit.mates.stud import thread_or_none
from trialfit.parts import Port
from trialfit.standards.thread_pairs import same_thread
from trialfit.standards.wheels import wheel_threads

_CP = "common practice, no source"
_SEAT_TURN_RAD = math.radians(1.0)
_SEAT_RADIUS_MM = 0.3
_WRONG_SEAT = {
    ("taper", "ball"): "a cone in a ball seat bears on one thin ring, which digs in, and the wheel works loose",
    ("ball", "taper"): "a ball in a taper seat bears on one thin ring, which digs in, and the wheel works loose",
    ("taper", "flat"): "a cone on a flat seat wedges into the edge of the hole and never bears on the face",
    ("ball", "flat"): "a ball on a flat seat bears on the edge of the hole alone",
    ("flat", "taper"): "a flat nut or washer bears on the outer edge of the cone alone",
    ("flat", "ball"): "a flat nut or washer bears on the outer edge of the ball seat alone",
    ("taper", "shank"): "a cone has no shank to fill the wide hole of a shank seat and wedges into its edge",
    ("ball", "shank"): "a ball has no shank to fill the wide hole of a shank seat and bears on its edge",
    ("flat", "shank"): "a flat nut has no shank to fill the wide hole: nothing but friction holds the wheel in place",
    ("shank", "taper"): "the washer of a shank nut bears on the outer edge of the cone alone",
    ("shank", "ball"): "the washer of a shank nut bears on the outer edge of the ball seat alone",
    ("shank", "flat"): "the hole of a flat seat is drilled for the stud, not for a shank",
}


def _thread(joint: Joint, hub: Port) -> Answer:
    bolts = joint.word("held by") == "bolts"
    stud, nut = hub.word("stud thread"), joint.word("nut thread")
    a, b = ("threaded holes", "bolts") if bolts else ("studs", "nuts")
    if not stud or not nut:
        who = a if not stud else b
        return not_known(
            "stud thread",
            f"the thread of the {who}",
            f"gauge the thread of the {who} with a thread gauge and a calliper",
        )
    try:
        same, why = same_thread(nut, stud) if bolts else same_thread(stud, nut)
    except ValueError as fault:
        return Answer("stud thread", Verdict.CANNOT_TELL, str(fault), measure=f"gauge the thread of {a} and {b}")
    if not same:
        return Answer("stud thread", Verdict.DOES_NOT_FIT, why, remedy=f"{b} of {stud}", source="ISO 261; ASME B1.1")
    thread = thread_or_none(stud)
    known = thread is not None and thread.name in wheel_threads()
    usual = "" if known else "; it is no usual thread of wheels, so gauge it again"
    return Answer("stud thread", Verdict.FITS, f"{a} and {b} are both {stud}{usual}", source="ISO 261; ASME B1.1")


def _seat(joint: Joint, wheel: Port) -> Answer:
    nut, seat = joint.word("nut seat"), wheel.word("seat")
    if not nut or not seat:
        who = "wheel's seat" if not seat else "nut's seat"
        return not_known(
            "nut seat",
            f"the form of the {who}",
            f"look at the {who}: cone, ball, flat face, or flat with a "
            "shank; blue it, turn the nut on the bare seat, and see where it bears",
        )
    if nut != seat:
        return Answer(
            "nut seat",
            Verdict.DOES_NOT_FIT,
            f"{nut} nut in a {seat} seat: {_WRONG_SEAT[nut, seat]}",
            remedy=f"nuts with a {seat} seat",
            source=_CP,
        )
    if nut == "taper":
        return _like(joint, wheel, "seat angle", "whole angle of the cone", _SEAT_TURN_RAD, "an angle gauge or a bevel")
    if nut == "ball":
        return _like(joint, wheel, "seat radius", "radius of the ball", _SEAT_RADIUS_MM, "a radius gauge")
    return Answer("nut seat", Verdict.FITS, f"nut and wheel both have a {seat} seat", source=_CP)


def _like(joint: Joint, wheel: Port, key: str, what: str, most: float, gauge: str) -> Answer:
    nut, seat = joint.size(f"nut {key}"), wheel.size(key)
    if nut is None or seat is None:
        who = "nut" if nut is None else "wheel"
        return not_known(
            "nut seat",
            f"the {what} on the {who}",
            f"measure the {what} on the {who} with {gauge}, or read it off the nut's drawing",
        )
    angle = key == "seat angle"

    def told(value: float) -> str:
        return f"{math.degrees(value):.1f} deg" if angle else f"{value:.2f} mm"

    off, sd = added((1.0, nut), (-1.0, seat))
    judged = within(off, sd, -most, most)
    words = f"{what}: nut {told(nut.value)}, wheel {told(seat.value)}"
    if judged.verdict is Verdict.DOES_NOT_FIT:
        words += "; the nut bears on a ring at one end of its seat"
    return Answer(
        "nut seat",
        judged.verdict,
        words,
        margin=judged.margin,
        sd=sd,
        unit="deg" if angle else "mm",
        odds=judged.odds,
        source=_CP,
        remedy="nuts with the wheel's own seat" if judged.verdict is Verdict.DOES_NOT_FIT else "",
        measure=f"measure the {what} on nut and wheel with {gauge}" if judged.verdict is Verdict.CANNOT_TELL else "",
    )


def _stud_holes(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    hole, thread = wheel.size("stud hole"), thread_or_none(hub.word("stud thread"))
    if hole is None or thread is None or joint.word("nut seat") == "shank":
        return
    room = hole.value - thread.diameter_mm
    yield gauged(
        "stud holes",
        room,
        hole.sd,
        0.0,
        math.inf,
        source="geometry",
        good=f"studs of {thread.diameter_mm:.2f} mm go through holes of {hole.value:.2f} mm",
        bad=f"studs of {thread.diameter_mm:.2f} mm do not go through holes of {hole.value:.2f} mm",
        measure="measure the stud holes with a calliper",
        remedy="smaller studs, or holes and seats bored by a wheel shop where the wheel's maker allows it",
    )


def _shank(joint: Joint, wheel: Port) -> Iterator[Answer]:
    if joint.word("nut seat") != "shank":
        return
    shank, pad = joint.size("nut shank"), wheel.size("pad thickness")
    if shank is None or pad is None:
        yield not_known(
            "nut shank",
            "the length of the shank" if shank is None else "the thickness of the pad",
            "measure shank and pad with a calliper, from the face the washer bears on",
        )
    else:
        left, sd = added((1.0, pad), (-1.0, shank))
        yield gauged(
            "nut shank",
            left,
            sd,
            0.5,
            math.inf,
            source=_CP,
            good=f"the shank of {shank.value:.2f} mm ends {left:.2f} mm short of the pad's back",
            bad=f"the shank of {shank.value:.2f} mm in a pad of {pad.value:.2f} mm comes to rest on hub or rotor "
            "before the "
            "washer clamps the wheel",
            measure="measure shank and pad with a calliper",
            remedy="nuts with a shorter shank, or thicker washers if the nut's maker has them",
        )
    hole, across = wheel.size("stud hole"), joint.size("nut shank diameter")
    if hole is None or across is None:
        yield not_known(
            "shank in hole",
            "the shank's diameter" if across is None else "the diameter of the wheel's holes",
            "measure shank and holes with a calliper",
        )
    else:
        room, sd = added((1.0, hole), (-1.0, across))
        yield gauged(
            "shank in hole",
            room,
            sd,
            0.0,
            0.8,
            source=_CP,
            good=f"a shank of {across.value:.2f} mm fills a hole of {hole.value:.2f} mm",
            bad=f"a shank of {across.value:.2f} mm does not go in a hole of {hole.value:.2f} mm"
            if room < 0.0
            else f"a shank of {across.value:.2f} mm is loose in a hole of {hole.value:.2f} mm",
            measure="measure shank and holes with a calliper",
            remedy="nuts with a shank made for these holes",
        )


def _socket(joint: Joint, wheel: Port) -> Iterator[Answer]:
    well, socket = wheel.size("well"), joint.size("socket")
    if well is None and socket is None:
        return
    if well is None or socket is None:
        yield not_known(
            "nut head room",
            "the inside of the nut's well" if well is None else "the outside of the socket",
            "measure well and socket with a calliper",
        )
        return
    room, sd = added((0.5, well), (-0.5, socket))
    yield gauged(
        "nut head room",
        room,
        sd,
        0.5,
        math.inf,
        source=_CP,
        good=f"a socket of {socket.value:.2f} mm turns in a well of {well.value:.2f} mm",
        bad=f"a socket of {socket.value:.2f} mm has no room in a well of {well.value:.2f} mm",
        measure="measure well and socket with a calliper",
        remedy="nuts with a smaller hexagon, or a thin-walled socket",
    )


def nut_answers(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    """Every question about the nuts, or wheel bolts, of a wheel on a hub, but for the thread engaged."""
    yield _thread(joint, hub)
    yield _seat(joint, wheel)
    yield from _stud_holes(joint, wheel, hub)
    yield from _shank(joint, wheel)
    yield from _socket(joint, wheel)
