"""The two orders of a build: what the program works out itself, with what the builder answers beside it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from trialfit.checks.driveline_answers import GearingAnswers, GearSetAnswers, ShaftAnswers
from trialfit.checks.gearing import top_shaft_rad_s
from trialfit.checks.placing import amount_mm
from trialfit.checks.shaft_line import amount_sd
from trialfit.driveline import (
    Along,
    Contact,
    Given,
    Height,
    Order,
    Room,
    asked_fields,
    differential_order,
    read_pattern,
    shaft_order,
)
from trialfit.driveline.order_fields import Doubt, amount_words, half_words
from trialfit.driveline.ring_and_pinion import backlash_findings, ring_and_pinion
from trialfit.driveline.shaft_line import Slip
from trialfit.findings import SURE, Finding, Verdict
from trialfit.units import in_unit
from trialfit.vehicle import Build, Fact, GearSetSaid, OrderAnswer

Sizes = Mapping[str, tuple[float, float]]
WIDEST_TUBE_MM = 250.0
"""Thickest tube that an order asks about [mm]."""
_LIFE = ("shaft.whirl", "shaft.slip.engagement", "shaft.slip.bottoms", "shaft.tube", "shaft.joint.", "shaft.line",
         "shaft.axes", "shaft.phase", "survey.suspect", "travel.")
"""Findings that stop the shaft's order while they are open; comfort does not."""
_HANDS = "from the hardpoints"


def gear_set_of(build: Build, found: list[Finding]) -> GearSetAnswers | None:
    """Settings of ring and pinion, with what was read held against them."""
    said = build.gear_set
    if said is None:
        return None
    try:
        own = {name: (low, high, said.sheet) for name, low, high in said.own}
        made = ring_and_pinion(own, said.bearings, said.sleeve, said.oil)
        told: list[Finding] = []
        if said.backlash:
            told += backlash_findings(made, [Given(r.value, r.sd, "dial gauge") for r in said.backlash])
        told += _pattern(said, told)
    except ValueError as error:
        found.append(Finding("ring-and-pinion", Verdict.CANNOT_TELL, str(error), "mend what is named",
                             where=said.where))  # fmt: skip
        return None
    if made.missing:
        first = made.missing[0]
        found.append(Finding(
            "ring-and-pinion.own-figures", Verdict.CANNOT_TELL,
            f"the axle's own figure is not known: {'; '.join(m.quantity.lower() for m in made.missing)}",
            "find it in the sheet of the axle or of the gear set, and write it under ring and pinion; other axles' "
            "figures are for orientation only", source=first.others[0].source if first.others else "",
            where=said.where))  # fmt: skip
    found += told
    return GearSetAnswers(made, said.shim, tuple(told))


def _pattern(said: GearSetSaid, told: Sequence[Finding]) -> list[Finding]:
    if not said.drive or not said.coast:
        return []
    if not said.shim:
        return [Finding("ring-and-pinion.pattern", Verdict.CANNOT_TELL, "where the pinion's shim lies is not said, and "
                        "it decides which way", "look where it lies, and write shim: under ring and pinion",
                        where=said.where)]  # fmt: skip
    lash = next((f for f in told if f.name == "ring-and-pinion.backlash"), None)
    right = None if lash is None or lash.verdict is Verdict.CANNOT_TELL else lash.verdict is Verdict.FITS
    drive, coast = (Contact(Along(side[0]), Height(side[1])) for side in (said.drive, said.coast))
    return [read_pattern(drive, coast, said.shim, right).finding]


def orders_of(build: Build, sizes: Sizes, shaft: ShaftAnswers | None, gearing: GearingAnswers | None,
              choices: Mapping[str, str], found: list[Finding]) -> tuple[Order, ...]:
    """The orders that the build has anything to say for, and a finding for each."""
    made: list[Order] = []
    said = {order.kind: order for order in build.orders}
    if shaft is not None or "driveshaft" in said:
        own = _shaft_given(build, sizes, shaft, gearing)
        answers = _with_builders(build, sizes, "driveshaft", own, found)
        open_ = [f for f in found if f.name.startswith(_LIFE) or f.name.endswith(".angle-bind")
                 or f.name == "shaft.slip"]  # fmt: skip
        made.append(_after_the_pinion(shaft_order(answers, open_, choices), found))
    if build.gear_set is not None or "differential" in said:
        answers = _with_builders(build, sizes, "differential", _axle_given(build), found)
        made.append(differential_order(answers, [f for f in found if f.name == "ring-and-pinion"]))
    found += [order_finding(build, order) for order in made]
    return tuple(made)


def _after_the_pinion(order: Order, found: Sequence[Finding]) -> Order:
    """The order stopped while the pinion has still to be turned: that moves the rear joint, and with it the length."""
    turn = next((f for f in found if f.name == "pinion.angle" and f.verdict is not Verdict.FITS), None)
    if turn is None:
        return order
    said = Doubt("pinion", f"Measured with the pinion where it stands now: {turn.reason}",
                 "set the pinion first, then take length and angles again and order from that", True)
    return replace(order, doubtful=(said, *order.doubtful), may_order=False)


def order_finding(build: Build, order: Order) -> Finding:
    """Whether an order can be sent, and what stops it."""
    where = next((o.where for o in build.orders if o.kind == order.kind), None)
    name = f"order.{order.kind}"
    if order.may_order:
        rest = len(order.missing)
        more = f"; {rest} further questions of the shop are open" if rest else ""
        return Finding(name, Verdict.FITS, f"the {order.title.lower()} can be sent{more}", where=where)
    reason, lift = order.stop_reason
    return Finding(name, Verdict.CANNOT_TELL, f"not to be ordered from yet: {reason.rstrip('.')}",
                   lift.removeprefix("Do: ").rstrip("."), source="common practice, no source", where=where)  # fmt: skip


def _with_builders(build: Build, sizes: Sizes, kind: str, own: Mapping[str, Given], found: list[Finding]
                   ) -> dict[str, Given]:  # fmt: skip
    """What was worked out, and what the builder answers; where both give an amount the builder's goes first, and a
    difference beyond both doubts is told."""
    answers = {key: value for key, value in own.items() if _in_range(kind, key, value)}
    for order in build.orders:
        if order.kind != kind:
            continue
        for said in order.answers:
            given = _given(said, sizes)
            other = answers.get(said.key)
            answers[said.key] = given
            if other is not None:
                _compare(kind, said, given, other, found)
    return answers


def _given(said: OrderAnswer, sizes: Sizes) -> Given:
    name = said.source.removeprefix("size ")
    if said.source.startswith("size ") and name in sizes:
        return Given(sizes[name][0], sizes[name][1], said.source)
    return Given(said.value, said.sd, said.source)


def _in_range(kind: str, key: str, given: Given) -> bool:
    """Whether the shop's list takes the amount; one out of its range is left open, so that it is asked for."""
    asked = next(a for a in asked_fields(kind) if a.key == key)
    if isinstance(given.value, str):
        return not asked.choices or given.value in asked.choices
    return asked.amount("low") <= given.value <= asked.amount("high")


def _compare(kind: str, said: OrderAnswer, given: Given, other: Given, found: list[Finding]) -> None:
    if isinstance(given.value, str) or isinstance(other.value, str):
        if given.value != other.value:
            found.append(Finding(f"order.{kind}.{said.key.replace('_', '-')}", Verdict.CANNOT_TELL,
                                 f"the order says {given.value}, and the build says {other.value}",
                                 "mend one of the two", where=said.where))  # fmt: skip
        return
    if given.sd is None or other.sd is None:
        return
    off, doubt = abs(given.value - other.value), SURE * math.hypot(given.sd, other.sd)
    if off <= doubt or off <= 1e-9 * abs(other.value):
        return
    asked = next(a for a in asked_fields(kind) if a.key == said.key)
    unit = "" if asked.row["unit"] == "-" else asked.row["unit"]
    found.append(Finding(
        f"order.{kind}.{said.key.replace('_', '-')}", Verdict.CANNOT_TELL,
        f"{asked.row['name'][:1].lower()}{asked.row['name'][1:]}: the order says {amount_words(given.value, unit)}, "
        f"the build comes to {amount_words(other.value, unit)} ({other.source}); they may differ by "
        f"{half_words(doubt, unit)}", "measure it once more, and mend the reading or the answer that is wrong",
        in_unit(doubt - off, unit), None, unit, where=said.where))  # fmt: skip


# -- driveshaft -------------------------------------------------------------------------------------------------


def _fact(fact: Fact | None, source: str) -> Given | None:
    return None if fact is None else Given(fact.value, fact.sd, fact.source or source)


def _shaft_given(build: Build, sizes: Sizes, shaft: ShaftAnswers | None, gearing: GearingAnswers | None
                 ) -> dict[str, Given]:  # fmt: skip
    found: dict[str, Given | None] = {"vehicle": Given(build.name) if build.name else None}
    found |= _of_power(build, gearing)
    if shaft is not None:
        found |= _of_line(build, sizes, shaft)
        found |= _of_angles(shaft)
        found |= _of_tube(build, sizes, shaft)
        found |= _of_joints(build, sizes, shaft)
    return {key: value for key, value in found.items() if value is not None}


def _of_power(build: Build, gearing: GearingAnswers | None) -> dict[str, Given | None]:
    power = build.power
    if power is None:
        return {}
    sheet = "build file"
    found: dict[str, Given | None] = {
        "kerb_mass": _fact(power.mass, sheet), "front_axle_mass": _fact(power.front_mass, sheet),
        "rear_axle_mass": _fact(power.rear_mass, sheet), "first_gear": Given(power.gears[0], 0.0, sheet),
        "stall_ratio": Given(1.0, 0.0, "no converter") if power.converter is None else _fact(power.converter.ratio,
                                                                                            sheet),
        "transfer_low": Given(power.low_range, 0.0, sheet) if power.low_range else Given(1.0, 0.0, "no low range"),
        "axle_ratio": _fact(Fact(power.axle.value, power.axle.sd or 0.0), sheet),
        "max_shaft_speed": Given(top_shaft_rad_s(power), 0.0, "engine's greatest speed in the highest gear"),
        "balance_speed": Given(top_shaft_rad_s(power), None, "the greatest shaft speed"),
    }  # fmt: skip
    if power.torque is not None:
        found["engine_torque"] = _fact(power.torque.most, sheet)
    elif gearing is not None:
        found["engine_torque"] = Given(gearing.train.engine.torque_peak[1], None, "points of the curve")
    if gearing is not None:
        turn = 2.0 * math.pi
        found["tyre_radius"] = Given(gearing.tyre.radius_mm, gearing.tyre.sd_mm / turn, gearing.tyre.origin)
        if gearing.top is not None:
            # wind, heat and load change it by a tenth (road_load's own word)
            found["top_speed"] = Given(gearing.top.speed_mm_s, 0.1 / SURE * gearing.top.speed_mm_s,
                                       f"worked out, held by {gearing.top.limit}")  # fmt: skip
    return found


def _of_line(build: Build, sizes: Sizes, shaft: ShaftAnswers) -> dict[str, Given | None]:
    said = build.shaft
    assert said is not None
    rear = shaft.lengths[-1]
    found: dict[str, Given | None] = {
        "length_reference": Given("joint centre to joint centre"), "length_at_ride": Given(rear.mm, rear.sd_mm, _HANDS),
        "pieces": Given("one piece" if shaft.line.centre is None else "two pieces"),
        "front_double_cardan": Given("no" if shaft.line.double_mm is None else "yes"),
        "rear_double_cardan": Given("no"),
    }
    if said.phases and all(abs(math.remainder(p.value, math.pi)) < 1e-6 for p in said.phases):
        found["phasing"] = Given("yokes of the shaft in line")
    if shaft.line.slip is Slip.YOKE:
        found["front_end_type"] = Given("slip yoke")
    if shaft.line.centre is not None:
        found["middle_double_cardan"] = Given("no")
        front = shaft.lengths[0]
        found["front_shaft_length"] = Given(front.mm, front.sd_mm, _HANDS)
        sd = None if front.sd_mm is None else math.hypot(front.sd_mm, shaft.line.centre.joint_behind_sd_mm)
        found["bearing_position"] = Given(front.mm - shaft.line.centre.joint_behind_mm, sd, _HANDS)
    if shaft.plunge is not None:
        for key, bracket, sd in (("plunge_out", shaft.plunge.out, shaft.plunge_sd_mm[0]),
                                 ("plunge_in", shaft.plunge.into, shaft.plunge_sd_mm[1])):
            found[key] = Given(bracket.upper, sd, "worst of the whole travel")
    spline = said.spline
    if spline is not None:
        rooms = [(amount_mm(room, sizes), amount_sd(room, sizes), name) for name, room in spline.rooms]
        room, room_sd, first = min(rooms)
        found["pull_back"] = Given(room, None, f"room before {first} bottoms")
        if shaft.line.slip is Slip.YOKE:
            engaged, sd = amount_mm(spline.engaged, sizes), amount_sd(spline.engaged, sizes)
            found["engaged_bottomed"] = Given(engaged + room, math.hypot(sd, room_sd), "at ride height and the room")
            offset, offset_sd = shaft.line.front.offset_mm, shaft.line.front.offset_sd_mm
            found["bottomed_position"] = Given(offset - room, math.hypot(offset_sd, room_sd), "offset less the room")
            found["spline_major_diameter"] = Given(amount_mm(spline.diameter, sizes), amount_sd(spline.diameter, sizes),
                                                   "build file")  # fmt: skip
    return found


def _of_angles(shaft: ShaftAnswers) -> dict[str, Given | None]:
    v, sd, doubt = shaft.views, shaft.views.sds, shaft.doubt.angle_rad
    views = (("output_side", v.output[0]), ("output_plan", v.output[1]), ("shaft_side", v.shaft[0]),
             ("shaft_plan", v.shaft[1]), ("pinion_side", v.pinion[0]), ("pinion_plan", v.pinion[1]))
    found: dict[str, Given | None] = {key: Given(value, one, _HANDS) for (key, value), one in zip(views, sd)}
    joints = shaft.angles.joints
    found["front_joint_angle"] = Given(joints[0].ride_rad, doubt, _HANDS)
    found["rear_joint_angle"] = Given(joints[-1].ride_rad, doubt, _HANDS)
    if shaft.line.centre is not None:
        found["middle_joint_angle"] = Given(joints[1].ride_rad, doubt, _HANDS)
    if shaft.droop_rad is not None:
        found["droop_joint_angle"] = Given(shaft.droop_rad, doubt, "worst roll at full droop")
    return found


def _of_tube(build: Build, sizes: Sizes, shaft: ShaftAnswers) -> dict[str, Given | None]:
    said = build.shaft
    assert said is not None
    found: dict[str, Given | None] = {}
    if shaft.rooms:
        tightest = min(shaft.rooms, key=_clears)
        most, words = 2.0 * _clears(tightest), f"{tightest.name} is nearest over the whole travel, doubt taken off"
        if tightest.sd_mm is not None:
            found["max_tube_diameter"] = Given(most, 0.0, words) if most <= WIDEST_TUBE_MM else Given(
                WIDEST_TUBE_MM, 0.0, f"{WIDEST_TUBE_MM:.0f} mm and more clear; {words}")
    if said.tube is not None:
        found["tube_diameter"] = Given(amount_mm(said.diameter, sizes), amount_sd(said.diameter, sizes), "build file")
        found["tube_wall"] = Given(amount_mm(said.tube.wall, sizes), amount_sd(said.tube.wall, sizes), "build file")
        found["tube_wish"] = Given(f"{said.tube.material}, or shop to choose")
    if shaft.torque is not None:
        seen = shaft.torque.seen
        found["torque_wheel_slip"] = Given(seen.wheel_slip_nmm, shaft.torque.sd_nmm if seen.governs == "wheel slip"
                                           else None, "axle mass, grip, tyre and axle ratio")  # fmt: skip
    return found


def _clears(room: Room) -> float:
    """Half of the thickest tube that clears a neighbour for certain [mm]."""
    return room.room_mm - room.required_mm - SURE * (room.sd_mm or 0.0)


def _of_joints(build: Build, sizes: Sizes, shaft: ShaftAnswers) -> dict[str, Given | None]:
    said = build.shaft
    assert said is not None
    found: dict[str, Given | None] = {}
    for joint in said.joints:
        if joint.series:
            found[f"{joint.name}_joint_series"] = Given(joint.series)
            continue
        for letter, cap, span in zip("ab", joint.caps, joint.spans):
            for what, one in (("cap", cap), ("width", span)):
                if one is not None:
                    found[f"{joint.name}_joint_{what}_{letter}"] = Given(
                        amount_mm(one, sizes), amount_sd(one, sizes) or None, one.size and f"size {one.size}")
    if shaft.line.centre is None:
        found = {key: value for key, value in found.items() if not key.startswith("middle")}
    return found


# -- differential -----------------------------------------------------------------------------------------------


def _axle_given(build: Build) -> dict[str, Given]:
    found: dict[str, Given] = {}
    if build.name:
        found["vehicle"] = Given(build.name)
    power, gears = build.power, build.gear_set
    if power is not None:
        found["ratio_wanted"] = Given(power.axle.value, power.axle.sd or 0.0, "build file")
        if power.torque is not None:
            found["engine_torque"] = Given(power.torque.most.value, power.torque.most.sd, "build file")
        if power.tyre.code:
            found["tyre"] = Given(power.tyre.code)
        if power.turns is not None and power.turns.other is not None:
            ring = 0.5 * (power.turns.wheel + power.turns.other)
            if ring > 0.5:
                found["turns_test"] = Given(power.turns.shaft / ring, None, "turns counted")
        tow = next((u for u in power.uses if u.kind == "tow"), None)
        if tow is not None:
            found["towing"] = Given(f"{tow.trailer_kg:.0f} kg")
    if gears is not None:
        found["sleeve"] = Given(gears.sleeve)
        if gears.oil:
            found["oil_type"] = Given(gears.oil)
        for name, low, high in gears.own:
            if name == "backlash":
                found["backlash_wanted"] = Given(f"{low:.2f} to {high:.2f} mm ({gears.sheet})")
            elif name.startswith("preload"):
                found["preload_wanted"] = Given(f"{low / 1e3:.1f} to {high / 1e3:.1f} N m, {gears.bearings} bearings "
                                                f"({gears.sheet})")  # fmt: skip
    return found
