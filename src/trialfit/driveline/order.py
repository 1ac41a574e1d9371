"""Orders to the driveshaft shop and to the differential shop, as records that a sheet draws.

Everything that the shop's list asks for becomes a field; what can be worked out of the others is; what contradicts
itself, and what is not known well enough for what hangs on it, stops the order.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from trialfit.driveline.order_fields import (
    BUILDER,
    DERIVED,
    SHOP,
    Asked,
    Check,
    Doubt,
    Field,
    Given,
    Order,
    accepted,
    amount_words,
    applies,
    asked_fields,
    half_words,
    made,
    served,
    too_doubtful,
)
from trialfit.findings import SURE, Finding, Verdict, verdict_on
from trialfit.standards import rule

_CENTRES = "joint centre to joint centre"
_FACES = "face to face"
_SEAL = "seal to joint centre"
_OPEN = {Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL}

Answers = Mapping[str, Given]


def shaft_order(given: Answers, findings: Sequence[Finding] = (),
                choices: Mapping[str, str] | None = None) -> Order:
    """The order to the driveshaft shop.

    Doubts are taken as independent: where two lengths lean on one hardpoint, the doubt of their difference comes out
    too large, that of their sum too small. The growth of length with heat, the give of rubber mounts and what the
    slip joint's grease takes up are left out, which errs short on the room to the stop.

    Parameters
    ----------
    given : mapping of str to Given
        field of the list ``order_fields_driveshaft`` to its answer, in the house's internal units
    findings : sequence of Finding
        further answers the shaft hangs on (critical speed, gaps of the tube, joint angles); an open one stops the order
    choices : mapping of str to str, optional
        rule name to the label of the version the builder puts in force

    Returns
    -------
    Order
        every field, what is missing and what is doubtful, worst first

    Raises
    ------
    ValueError
        for a field the list has not, or an answer out of its range

    Source: common practice, no source; the rules name their own.

    >>> order = shaft_order({"length_at_ride": Given(1287.0, 2.6, "tape, twice")})
    >>> order.may_order, order.doubtful[0].reason
    (False, 'Length at ride height is known to 6 mm, and the shop needs 3 mm')
    """
    answers = accepted("driveshaft", given)
    answers |= _shaft_worked_out(answers)
    checks = _shaft_checks(answers, choices or {})
    order = _order("driveshaft", "Driveshaft order", answers, _shaft_ends(answers), checks, findings)
    layout = "two pieces" if _word(answers, "pieces") == "two pieces" else "slip yoke" if _yoke_slips(answers) else (
        "slip joint")
    return replace(order, sketch=_shaft_sketch(layout, order), layout=layout)


def differential_order(given: Answers, findings: Sequence[Finding] = ()) -> Order:
    """The order to the differential shop.

    Tooth form, heat treatment and whether the old gears are worn are left out: the shop looks at them.

    Parameters
    ----------
    given : mapping of str to Given
        field of the list ``order_fields_differential`` to its answer, in the house's internal units
    findings : sequence of Finding
        further answers it hangs on; an open one stops the order

    Returns
    -------
    Order
        every field, what is missing and what is doubtful, worst first

    Raises
    ------
    ValueError
        for a field the list has not, or an answer out of its range

    Source: common practice, no source.

    >>> order = differential_order({"ring_teeth": Given(41.0), "pinion_teeth": Given(11.0)})
    >>> round(order.number("ratio_present"), 3), order.may_order
    (3.727, False)
    """
    answers = accepted("differential", given)
    ring, pinion = _number(answers, "ring_teeth"), _number(answers, "pinion_teeth")
    if ring and pinion:
        answers["ratio_present"] = Given(ring / pinion, 0.0, "tooth counts, ring gear over pinion")
    order = _order("differential", "Differential order", answers, {}, _axle_checks(answers), findings)
    return replace(order, layout="axle", sketch=(
        "ring_gear_diameter", "left_shaft_length", "right_shaft_length", "shaft_spline_diameter"))


# -- what both share --------------------------------------------------------------------------------------------


_Found = tuple[Check, Doubt | None]


def _order(kind: str, title: str, answers: Answers, ends: Mapping[str, str], checks: Sequence[_Found],
           findings: Sequence[Finding]) -> Order:
    fields: list[Field] = []
    missing: list[Field] = []
    for asked in asked_fields(kind):
        answer = answers.get(asked.key)
        field = made(asked, answer, ends)
        if answer is None and not _wanted(asked, answers):
            continue
        if answer is None and field.asked in (BUILDER, DERIVED):
            missing.append(field)
        fields.append(field)
    doubts = [d for d in map(too_doubtful, fields) if d is not None]
    doubts += [d for _, d in checks if d is not None]
    doubts += [_stray(asked) for asked in asked_fields(kind)
               if asked.row["asked"] != DERIVED and asked.key in answers and not applies(asked, answers)]
    doubts += [Doubt(f.name, f.reason.rstrip("."), f.remedy.rstrip(".") or "see the findings", True)
               for f in findings if f.verdict in _OPEN]
    doubts.sort(key=lambda d: not d.blocks)
    missing.sort(key=lambda f: not f.life_critical)
    may = not any(d.blocks for d in doubts) and not any(f.life_critical for f in missing)
    return Order(kind, title, tuple(fields), tuple(missing), tuple(doubts), tuple(c for c, _ in checks), may, (), "")


def _wanted(asked: Asked, answers: Answers) -> bool:
    """Whether a field without an answer stands on the order at all."""
    if asked.row["asked"] == SHOP:
        return True
    if asked.row["asked"] == DERIVED:
        # the others are asked for instead; only the torque that sets the joint is missing in its own right
        return asked.row["life"] == "yes"
    return asked.row["asked"] == BUILDER and applies(asked, answers) and not _named_otherwise(asked, answers)


def _stray(asked: Asked) -> Doubt:
    told = asked.row["when"].replace("_", " ").replace("=", " is ").replace("&", ", ").replace("|", " or ")
    return Doubt(asked.key, f"{asked.row['name']} is given, but is asked only where {told}",
                 "leave it out, or mend the other answer", False)


def _named_otherwise(asked: Asked, answers: Answers) -> bool:
    """A joint's four sizes are asked for only where its series is not the plainer question."""
    if served(asked, answers):
        return True
    side = asked.key.partition("_")[0]
    sizes = [f"{side}_joint_{s}" for s in ("cap_a", "width_a", "cap_b", "width_b")]
    if not asked.row["instead"]:
        return False
    started = any(key in answers for key in sizes)
    return started if asked.key.endswith("series") else not started


def _number(answers: Answers, key: str) -> float | None:
    value = answers[key].value if key in answers else None
    return value if isinstance(value, float) else None


def _word(answers: Answers, key: str) -> str:
    value = answers[key].value if key in answers else None
    return value if isinstance(value, str) else ""


def _added(answers: Answers, source: str, *parts: tuple[float, str]) -> Given | None:
    """Sum of answers, each with its sign; its doubt is None as soon as one part's is, wishes counting as exact."""
    if not all(key in answers for _, key in parts):
        return None
    value = sum(sign * (_number(answers, key) or 0.0) for sign, key in parts)
    sds = [0.0 if key in ("pull_back", "front_pull_back") and answers[key].sd is None else answers[key].sd
           for _, key in parts]
    known = [sd for sd in sds if sd is not None]
    return Given(value, math.sqrt(sum(sd**2 for sd in known)) if len(known) == len(sds) else None, source)


# -- driveshaft: what is worked out -----------------------------------------------------------------------------


def _yoke_slips(answers: Answers) -> bool:
    """Whether the gearbox's own slip yoke takes up the travel."""
    return _word(answers, "front_end_type") == "slip yoke" and _word(answers, "pieces") != "two pieces"


def _shaft_worked_out(answers: Answers) -> dict[str, Given]:
    found: dict[str, Given | None] = {}
    found |= _torques(answers)
    length, pull, in_, out = "length_at_ride", "pull_back", "plunge_in", "plunge_out"
    how = "worked out from the length, the slip and the travel"
    base: tuple[tuple[float, str], ...] = ((1.0, length),)
    if _yoke_slips(answers):
        if _word(answers, "length_reference") == _SEAL:
            found["shaft_length"] = _added(answers, how, (1.0, length), (-1.0, "bottomed_position"), (-1.0, pull))
        elif _word(answers, "length_reference") == _CENTRES:
            base = ((1.0, length), (1.0, "bottomed_position"), (1.0, pull))
        else:
            base = ((1.0, "nowhere"),)
        found["length_seal"] = _added(answers, how, *base)
        found["engaged_droop"] = _added(answers, how, (1.0, "engaged_bottomed"), (-1.0, pull), (-1.0, out))
    found["length_bump"] = _added(answers, how, *base, (-1.0, in_))
    found["length_droop"] = _added(answers, how, *base, (1.0, out))
    less_pull = base[:-1] if base[-1] == (1.0, pull) else (*base, (-1.0, pull))
    found["length_bottomed"] = _added(answers, how, *less_pull)
    found["room_bump"] = _added(answers, how, (1.0, pull), (-1.0, in_))
    return {key: value for key, value in found.items() if value is not None}


def _torques(answers: Answers) -> dict[str, Given | None]:
    """Torque of the shaft in the lowest gear, no loss counted, which errs high, and the lower of it and wheel slip."""
    found: dict[str, Given | None] = {}
    parts = ("engine_torque", "first_gear", "stall_ratio", "transfer_low")
    drive = answers.get("torque_drive")
    if drive is None and all(key in answers for key in parts):
        value, shares = 1.0, []
        for key in parts:
            amount, sd = _number(answers, key) or 0.0, answers[key].sd
            value *= amount
            shares.append(None if sd is None else sd / amount)
        known = [s for s in shares if s is not None]
        sd = value * math.sqrt(sum(s**2 for s in known)) if len(known) == len(shares) else None
        drive = Given(value, sd, "engine torque x first gear x converter x transfer box, no loss")
        found["torque_drive"] = drive
    both = [(answers["torque_wheel_slip"], "where the tyres slip")] if "torque_wheel_slip" in answers else []
    both += [(drive, "in the lowest gear")] if drive is not None else []
    if both:
        lower, where = min(both, key=lambda pair: float(pair[0].value))
        alone = "" if len(both) == 2 else ", the only one of the two that is known"
        found["torque_joint"] = Given(lower.value, lower.sd, f"{where}{alone}")
    return found


def _shaft_ends(answers: Answers) -> dict[str, str]:
    """Names of the ends, as the sentences use them."""
    reference = _word(answers, "length_reference")
    rear = "the face of the rear flange" if reference == _FACES else "the centre of joint B"
    front = "the face of the front flange" if reference == _FACES else "the centre of joint A"
    if _word(answers, "pieces") == "two pieces":
        front = "the centre of joint C, behind the centre bearing,"
    measured = front
    if _yoke_slips(answers):
        seal = "the face of the gearbox seal"
        measured, front = (seal if reference == _SEAL else front), seal
    pull = _number(answers, "pull_back")
    slip = "yoke" if _yoke_slips(answers) else "slip joint"
    pulled = f", {slip} pulled out {pull:.1f} mm" if pull is not None else ""
    told = ", ".join((
        _yes(answers, "axle_loaded", "axle loaded", "axle not loaded", "axle loaded or not: not said"),
        _yes(answers, "at_ride_height", "at ride height", "not at ride height", "ride height or not: not said")))
    joint = "joint A" if _yoke_slips(answers) else "the slip joint"
    centre = "the centre of " if _yoke_slips(answers) else ""
    drawn = f"from where {centre}{joint} stands pushed in until it stops, to where it stands at ride height"
    if not reference and _word(answers, "pieces") != "two pieces":
        return {"ends": f"between which ends is not said, {told}{pulled}", "front": front, "rear": rear, "pull": drawn}
    return {"ends": f"from {measured} to {rear}, {told}{pulled}", "front": front, "rear": rear, "pull": drawn}


def _yes(answers: Answers, key: str, yes: str, no: str, unsaid: str) -> str:
    return {"yes": yes, "no": no}.get(_word(answers, key), unsaid)


# -- driveshaft: what must hold ---------------------------------------------------------------------------------


def _at_least(key: str, what: str, answer: Given | None, required: float, wrong: str, measure: str,
              unit: str = "mm") -> _Found | None:
    """A check of an amount against a least one, doubt counted; nothing when there is no amount yet."""
    if answer is None or isinstance(answer.value, str):
        return None
    verdict = verdict_on(answer.value, answer.value, required, answer.sd)
    holds = {Verdict.FITS: True, Verdict.DOES_NOT_FIT: False}.get(verdict)
    if holds:
        return Check(key, what, True), None
    found = amount_words(answer.value, unit)
    doubt = ", doubt not known" if answer.sd is None else f" give or take {half_words(SURE * answer.sd, unit)}"
    reason = f"{wrong}: {what}; {found}{doubt} found" if holds is False else (
        f"Cannot tell: {what}; {found}{doubt} found")
    return Check(key, what, holds), Doubt(key, reason, measure, True)


def _plain(key: str, what: str, holds: bool | None, wrong: str, measure: str) -> _Found:
    return Check(key, what, holds), None if holds else Doubt(key, wrong, measure, True)


def _shaft_checks(answers: Answers, choices: Mapping[str, str]) -> list[_Found]:
    makers: tuple[Callable[[Answers, Mapping[str, str]], _Found | None], ...] = (
        _not_hanging, _reference_suits, _bottoms, _stays_in, _binds, _tube_clears, _balanced)
    return [found for make in makers if (found := make(answers, choices)) is not None]


def _not_hanging(answers: Answers, _: Mapping[str, str]) -> _Found | None:
    said = [_word(answers, key) for key in ("at_ride_height", "axle_loaded")]
    if "no" not in said:
        return None
    return _plain("at_ride_height", "lengths are taken at ride height with the axle loaded", False,
                  "The lengths were not taken at ride height with the axle loaded",
                  "set the vehicle at ride height with its weight on the axle and take every length again")


def _reference_suits(answers: Answers, _: Mapping[str, str]) -> _Found | None:
    reference, front = _word(answers, "length_reference"), _word(answers, "front_end_type")
    rear, two = _word(answers, "rear_end_type"), _word(answers, "pieces") == "two pieces"
    if not reference or not front:
        return None
    flanges = front in ("flange", "flexible coupling") and rear in ("flange", "")
    suits = {_CENTRES: True, _SEAL: front == "slip yoke" and not two, _FACES: flanges and not two}[reference]
    rear_words = rear or "not said yet"
    return _plain("length_reference", "the ends of the length suit what the shaft joins", suits,
                  f"The length goes {reference}, but front end is {front}, rear end {rear_words}"
                  f"{', in two pieces' if two else ''}",
                  "name the ends the length was taken between: joint centre to joint centre suits every shaft")


def _bottoms(answers: Answers, _: Mapping[str, str]) -> _Found | None:
    left = _added(answers, "", (1.0, "pull_back"), (-1.0, "plunge_in"))
    return _at_least("room_bump", "the slip must not reach its stop at full bump", left, 0.0,
                     "The slip bottoms", "pull it out further, or take the length at full bump again")


def _stays_in(answers: Answers, choices: Mapping[str, str]) -> _Found | None:
    splines = _number(answers, "spline_major_diameter")
    left = answers.get("engaged_droop")
    if left is None or splines is None:
        return None
    asked = rule("spline-engagement", choices.get("spline-engagement")).in_force
    need = asked.value * splines
    what = f"at least {amount_words(need, 'mm')} of spline ({asked.label}, {asked.source}) must stay in at full droop"
    return _at_least("engaged_droop", what, left, need, "The slip pulls out too far",
                     "use a longer yoke or less droop, or take the length at full droop again")


def _binds(answers: Answers, choices: Mapping[str, str]) -> _Found | None:
    if "yes" in (_word(answers, "front_double_cardan"), _word(answers, "rear_double_cardan")):
        return None
    angle = answers.get("droop_joint_angle")
    if angle is None or isinstance(angle.value, str):
        return None
    asked = rule("joint-angle-bind", choices.get("joint-angle-bind")).in_force
    limit = math.radians(asked.value)
    verdict = verdict_on(limit - angle.value, limit - angle.value, 0.0, angle.sd)
    holds = {Verdict.FITS: True, Verdict.DOES_NOT_FIT: False}.get(verdict)
    what = f"no joint turns past {asked.label} at full droop ({asked.source})"
    found = f"{amount_words(angle.value, 'deg')} found"
    wrong = f"A plain joint binds: {found}, limit {asked.label}"
    wrong = wrong if holds is False else f"Cannot tell whether {what}: {found}"
    return _plain("droop_joint_angle", what, holds, wrong,
                  "take the angles at full droop again, or have joints made for larger angles, or limit the droop")


def _tube_clears(answers: Answers, _: Mapping[str, str]) -> _Found | None:
    room = _added(answers, "", (1.0, "max_tube_diameter"), (-1.0, "tube_diameter"))
    if room is not None and answers["tube_diameter"].sd is None:
        room = replace(room, sd=answers["max_tube_diameter"].sd)
    return _at_least("tube_diameter", "the tube wanted must clear its neighbours over the whole travel", room, 0.0,
                     "The tube does not clear", "order a thinner tube, or measure the room round it again")


def _balanced(answers: Answers, _: Mapping[str, str]) -> _Found | None:
    fast, balance = _number(answers, "max_shaft_speed"), _number(answers, "balance_speed")
    if fast is None or balance is None:
        return None
    return _plain("balance_speed", "balanced at no less than the greatest shaft speed", balance >= fast * (1.0 - 1e-9),
                  f"Balance is asked for at {amount_words(balance, 'rpm')}, below the greatest shaft speed of "
                  f"{amount_words(fast, 'rpm')}", "write a balance speed not lower than the greatest shaft speed")


def _shaft_sketch(layout: str, order: Order) -> tuple[str, ...]:
    known = {f.key for f in order.fields}
    built = "shaft_length" if order.word("length_reference") == _SEAL else "length_at_ride"
    by_layout = {
        "slip yoke": (built, "length_seal", "length_bump", "length_droop", "length_bottomed",
                      "bottomed_position", "pull_back"),
        "slip joint": ("length_at_ride", "length_bump", "length_droop", "length_bottomed", "pull_back"),
        "two pieces": ("front_shaft_length", "bearing_position", "length_at_ride", "length_bump", "length_droop",
                       "length_bottomed", "pull_back"),
    }
    extra = [key for key in ("front_face_to_joint", "rear_face_to_joint", "tube_diameter", "tube_wall",
                             "max_tube_diameter") if key in known]
    return (*by_layout[layout], *extra)


# -- differential: what must hold -------------------------------------------------------------------------------


def _axle_checks(answers: Answers) -> list[_Found]:
    makers: tuple[Callable[[Answers], _Found | None], ...] = (
        _turns_agree, _carrier_takes, _housing_true, _yoke_settled)
    return [found for make in makers if (found := make(answers)) is not None]


def _turns_agree(answers: Answers) -> _Found | None:
    counted, turned = _number(answers, "ratio_present"), _number(answers, "turns_test")
    if counted is None or turned is None:
        return None
    return _plain("turns_test", "tooth counts and turns agree within 0.1 turn (from memory)",
                  abs(counted - turned) <= 0.1,
                  f"The teeth give a ratio of {counted:.2f}, the turns {turned:.2f}",
                  "count both again; with an open differential one wheel held doubles the turns of the other")


def _carrier_takes(answers: Answers) -> _Found | None:
    wanted, least, most = (_number(answers, k) for k in ("ratio_wanted", "carrier_least", "carrier_most"))
    if wanted is None or least is None or most is None:
        return None
    if least > most:
        return _plain("carrier_least", "the carrier's range has its lower figure first", False,
                      f"The carrier takes {least:.2f} to {most:.2f}: the lower figure is the larger one",
                      "write the two ends of the carrier's range again, lower first")
    inside = least - 1e-9 <= wanted <= most + 1e-9
    thick = _word(answers, "thick_gear") == "yes" and wanted > most
    return _plain("ratio_wanted", "the carrier takes the ratio wanted, or a thick gear makes up for it",
                  inside or thick,
                  f"A ratio of {wanted:.2f} is outside what the carrier takes, {least:.2f} to {most:.2f}",
                  "ask for the other carrier, or for a thick ring gear where the carrier is the one for lower figures")


def _housing_true(answers: Answers) -> _Found | None:
    straight, welded = _word(answers, "housing_straight"), _word(answers, "housing_welded")
    if straight == "no":
        return _plain("housing_straight", "the housing is straight", False, "The housing is not straight",
                      "have it straightened or replaced by a shop with a bar before gears go in")
    if welded != "yes" or not _word(answers, "ends_checked"):
        return None
    checked = _word(answers, "ends_checked") == "yes"
    return _plain("ends_checked", "ends checked with a bar after the last weld", checked,
                  "The housing was welded and its ends were not checked after it",
                  "have the ends checked with a bar before gears go in")


def _yoke_settled(answers: Answers) -> _Found | None:
    if not _word(answers, "yoke_final"):
        return None
    crush = " With a crush sleeve the flange comes off once only" if _word(answers, "sleeve") == "crush sleeve" else ""
    return _plain("yoke_final", "yoke or flange is settled before assembly", _word(answers, "yoke_final") == "yes",
                  f"The yoke or flange is not settled.{crush}", "settle the shaft's rear joint first")
