"""What engine, gearbox, axle ratio and tyre of a build come to, and whether they suit what they are for."""

import math

from trialfit.checks.driveline_answers import GearingAnswers, TorqueAnswer
from trialfit.driveline import (
    Converter,
    CruiseWish,
    EngineCurve,
    GearTrain,
    LaunchWish,
    Ranked,
    RoadLoad,
    ShaftWish,
    SpeedometerCheck,
    TowWish,
    TurnsAnswer,
    Tyre,
    axle_load_n,
    converter_from_stall,
    cruise,
    driven_gear,
    engine_from_peaks,
    engine_from_points,
    gear_lines,
    launch,
    rank_axle_ratios,
    shaft_speed_top,
    shaft_torque_low_gear,
    shaft_torque_wheel_slip,
    speedometer_after_change,
    speedometer_check,
    top_speed,
    torque_seen,
    turns_test,
    tyre_from_code,
    tyre_from_rollout,
)
from trialfit.driveline.ranking import Wish
from trialfit.driveline.road_load import ROLLING
from trialfit.driveline.torque_seen import AXLE_SHARE, BOX_SHARES, GRIP
from trialfit.findings import SURE, Finding, Verdict
from trialfit.vehicle import DEFAULT_INSTRUMENTS, Build, Fact, Power, TyreFacts, Use

_RPM = math.pi / 30.0
_KMH = 1e6 / 3600.0
TRANSFER_SHARE = 0.95
"""Share of the torque that a transfer box hands on, in the manual of :func:`shaft_torque_low_gear` [-]."""
TRUE_MM_S = 100.0 * _KMH
"""Road speed at which a speedometer is held against the rule [mm/s]."""


def engine_of(power: Power) -> EngineCurve:
    """The full-throttle curve of an engine up to its fastest speed.

    Raises
    ------
    ValueError
        when its peaks contradict each other
    """
    if power.curve:
        points = [p for p in power.curve if p[0] < power.fastest_rad_s * (1.0 - 1e-9)]
        whole = engine_from_points(power.curve)
        if power.slowest_rad_s is not None:
            points = [p for p in points if p[0] > power.slowest_rad_s * (1.0 + 1e-9)]
            points.append((power.slowest_rad_s, whole.torque_nmm(power.slowest_rad_s)))
        return engine_from_points([*points, (power.fastest_rad_s, whole.torque_nmm(power.fastest_rad_s))])
    assert power.torque is not None
    assert power.power is not None
    assert power.slowest_rad_s is not None
    whole = engine_from_peaks(
        power.torque.most.value, power.torque.at_rad_s, power.power.most.value, power.power.at_rad_s,
        power.slowest_rad_s, max(power.fastest_rad_s, power.power.at_rad_s),
    )  # fmt: skip
    kept = [p for p in whole.points if p[0] < power.fastest_rad_s * (1.0 - 1e-9)]
    return EngineCurve((*kept, (power.fastest_rad_s, whole.torque_nmm(power.fastest_rad_s))), whole.origin)


def tyre_of(facts: TyreFacts, choice: str | None = None) -> Tyre:
    """The tyre by its measured way, else by its code.

    Raises
    ------
    ValueError
        for an amount out of range
    """
    if facts.rolled is None:
        return tyre_from_code(facts.code, choice)
    way = facts.rolled
    sd = DEFAULT_INSTRUMENTS["tape"].sd(way.value) if way.sd is None else way.sd
    return tyre_from_rollout(way.value, facts.turns, sd, code=facts.code)


def train_of(power: Power) -> GearTrain:
    """From flywheel to road, with what the gearbox and the axle hand on by the manual of :func:`torque_seen`.

    Raises
    ------
    ValueError
        as :func:`engine_of` and :func:`tyre_of`, and for a converter that does not suit the engine
    """
    engine = engine_of(power)
    converter: Converter | None = None
    if power.converter is not None:
        behind = power.converter.behind_nmm or engine.torque_peak[1]
        converter = converter_from_stall(power.converter.ratio.value, power.converter.stall_rad_s, behind,
                                         locks=power.converter.locks)  # fmt: skip
        converter.stall_rad_s(engine)
    share = BOX_SHARES[power.box] * AXLE_SHARE
    return GearTrain(engine, power.gears, power.axle.value, tyre_of(power.tyre), (share,), power.transfer,
                     power.low_range, converter)  # fmt: skip


def top_shaft_rad_s(power: Power) -> float:
    """Greatest speed of the shaft to the axle: the engine's greatest in the smallest ratio, overdrive counted, whether
    or not the vehicle reaches the road speed for it [rad/s]."""
    return shaft_speed_top(power.fastest_rad_s, min(power.gears)) / power.transfer


def torque_of(power: Power, train: GearTrain) -> TorqueAnswer | None:
    """The torque that the shaft sees; None where the mass on the driven axle is not known.

    Weight that moves onto the rear axle under power is left out (unsafe side) unless the mass typed holds it.
    """
    if power.rear_mass is None:
        return None
    load = axle_load_n(power.rear_mass.value)
    grip = Fact(GRIP, None, "of the manual") if power.grip is None else power.grip
    peak = train.engine.torque_peak[1]
    raised = 1.0 if power.converter is None else power.converter.ratio.value
    low, low_share = (1.0, 1.0) if power.low_range is None else (power.low_range, TRANSFER_SHARE)
    gear = shaft_torque_low_gear(peak, power.gears[0], BOX_SHARES[power.box], raised, low, low_share)
    slip = shaft_torque_wheel_slip(load, train.tyre.radius_mm, power.axle.value, grip.value, AXLE_SHARE)
    origin = power.factor_origin or ("the build file" if power.factor != 1.0 else
                                     "1, for the manual holds the torque itself against the series' rating")
    seen = torque_seen(gear, slip, power.factor, origin)
    if seen.governs == "low gear":
        said = [None if power.torque is None else power.torque.most,
                None if power.converter is None else power.converter.ratio]
        share = math.hypot(*(_share(f) for f in said))
    else:
        share = math.hypot(_share(power.rear_mass), _share(grip), _share(power.axle),
                           train.tyre.sd_mm / train.tyre.circumference_mm)  # fmt: skip
    return TorqueAnswer(seen, share * seen.torque_nmm, load)


def _share(fact: Fact | None) -> float:
    return 0.0 if fact is None or fact.sd is None else fact.sd / fact.value


def gearing(build: Build, whirl_limit_rad_s: float | None, found: list[Finding]) -> GearingAnswers | None:
    """Everything about the gearing; ``whirl_limit_rad_s`` is the fastest that the shaft may turn."""
    power = build.power
    if power is None:
        return None
    try:
        train = train_of(power)
        lines, start = gear_lines(train, _slip_n(power)), launch(train)
    except ValueError as error:
        found.append(Finding("gearing.train", Verdict.CANNOT_TELL, f"the gearing cannot be worked out: {error}",
                             "mend what is named under power", where=power.where))
        return None
    load = _load(power)
    steady = next((u for u in power.uses if u.kind == "cruise"), None)
    at_cruise = top = None
    if load is not None:
        try:
            top = top_speed(train, load)
            at_cruise = None if steady is None else cruise(train, load, steady.speed_mm_s)
        except ValueError as error:
            found.append(Finding("gearing.top-speed", Verdict.CANNOT_TELL, str(error),
                                 "check mass, drag and the engine's curve", where=power.where))
    wishes, ranking = _ranked(power, train, load, whirl_limit_rad_s, found)
    turns = _turns(power, found)
    return GearingAnswers(train, train.tyre, load, _slip_n(power), lines, start, at_cruise, top, ranking, turns,
                          _speedometer(power, train, found), wishes)  # fmt: skip


def _slip_n(power: Power) -> float | None:
    if power.rear_mass is None:
        return None
    return axle_load_n(power.rear_mass.value) * (GRIP if power.grip is None else power.grip.value)


def _load(power: Power) -> RoadLoad | None:
    if power.mass is None or power.cd is None or power.frontal_mm2 is None:
        return None
    return RoadLoad(power.mass.value, power.cd, power.frontal_mm2, ROLLING if power.rolling is None else power.rolling)


def _ranked(power: Power, train: GearTrain, load: RoadLoad | None, whirl_limit_rad_s: float | None,
            found: list[Finding]) -> tuple[tuple[Wish, ...], tuple[Ranked, ...]]:  # fmt: skip
    uses = [u for u in power.uses if u.kind != "shaft" or whirl_limit_rad_s is not None]
    if len(uses) < len(power.uses):
        found.append(Finding("gearing.shaft-limit", Verdict.CANNOT_TELL,
                             "the shaft's own limit is not known, so no axle ratio can be held against it",
                             "write tube: under shaft, and its axes", where=power.where))
    if not uses:
        return (), ()
    try:
        wishes = tuple(_wish(use, whirl_limit_rad_s or 0.0) for use in uses)
        ranking = rank_axle_ratios(train, sorted({power.axle.value, *power.choices}), wishes, load)
    except ValueError as error:
        found.append(Finding("gearing.axle-ratio", Verdict.CANNOT_TELL, str(error),
                             "mend what is named under power", where=power.where))
        return (), ()
    found.append(_choice(power, ranking))
    return wishes, ranking


def _wish(use: Use, whirl_limit_rad_s: float) -> Wish:
    match use.kind:
        case "cruise":
            return CruiseWish(use.speed_mm_s, use.low, use.high or 0.0)
        case "launch" | "crawl":
            return LaunchWish(use.low, math.inf if use.high is None else use.high, use.kind == "crawl")
        case "tow":
            return TowWish(use.speed_mm_s, use.grade, use.trailer_kg)
    return ShaftWish(use.speed_mm_s, whirl_limit_rad_s)


def _choice(power: Power, ranking: tuple[Ranked, ...]) -> Finding:
    best = ranking[0]
    own = next(r for r in ranking if r.axle == power.axle.value)

    def told(verdict: Verdict, reason: str, remedy: str) -> Finding:
        return Finding("gearing.axle-ratio", verdict, reason, remedy, rule="ranking of axle ratios",
                       source="common practice, no source", where=power.where)  # fmt: skip

    if own.score == 0.0 and not own.breaks_shaft:
        more = "" if own.place == 1 else f"; {best.axle:g} would suit better still: {best.reason}"
        return told(Verdict.FITS, f"axle ratio {own.axle:g}: {own.reason}{more}", "")
    if best.score == 0.0 and not best.breaks_shaft:
        return told(Verdict.FITS_AFTER_WORK, f"axle ratio {own.axle:g}: {own.reason}",
                       f"take {best.axle:g}: {best.reason}")
    if len(ranking) == 1:
        return told(Verdict.DOES_NOT_FIT, f"axle ratio {own.axle:g}: {own.reason}",
                       "list the ratios on offer under axle choices, or ask less of the gearing")
    why = own.reason if own is best else f"{own.reason}; nearest is {best.axle:g}: {best.reason}"
    return told(Verdict.DOES_NOT_FIT, f"no axle ratio on offer meets every wish; {own.axle:g}: {why}",
                   f"take {best.axle:g} and what it misses, or list more ratios under axle choices")


def _turns(power: Power, found: list[Finding]) -> TurnsAnswer | None:
    if power.turns is None:
        return None
    try:
        answer = turns_test(power.turns.shaft, power.turns.wheel, power.turns.other)
    except ValueError as error:
        found.append(Finding("gearing.turns-test", Verdict.CANNOT_TELL, str(error), "count again", where=power.where))
        return None
    found.append(Finding("gearing.turns-test", answer.verdict, answer.reason, answer.remedy, source="kinematics",
                         where=power.where))  # fmt: skip
    return answer


def _speedometer(power: Power, train: GearTrain, found: list[Finding]) -> SpeedometerCheck | None:
    said = power.speedometer
    if said is None:
        return None
    try:
        before = tyre_of(said.tyre)
        shown = speedometer_after_change(TRUE_MM_S, before.circumference_mm, train.tyre.circumference_mm, said.axle,
                                         power.axle.value, 0.0)  # fmt: skip
        doubt = shown * math.hypot(before.sd_mm / before.circumference_mm,
                                   train.tyre.sd_mm / train.tyre.circumference_mm)  # fmt: skip
        held = speedometer_check(shown, TRUE_MM_S, doubt)
        remedy = "" if held.verdict is Verdict.FITS else "hold it against a measured distance"
        if said.teeth is not None:
            gear = driven_gear(said.teeth, shown, TRUE_MM_S)
            remedy = "" if gear.chosen.teeth == said.teeth else (
                f"fit a driven gear of {gear.chosen.teeth} teeth in place of {said.teeth}; it then reads "
                f"{100.0 * gear.chosen.reads_high:.1f} % high")
    except ValueError as error:
        found.append(Finding("gearing.speedometer", Verdict.CANNOT_TELL, str(error), "check tyre and axle ratio",
                             where=power.where))  # fmt: skip
        return None
    verdict = held.verdict
    if remedy.startswith("fit") and verdict is not Verdict.FITS:
        verdict = Verdict.FITS_AFTER_WORK
    reason = (f"at 100 km/h it shows {shown / _KMH:.0f} km/h, give or take {SURE * doubt / _KMH:.0f}; never less than "
              f"100 and at most {held.most_mm_s / _KMH:.0f} km/h are allowed")
    found.append(Finding("gearing.speedometer", verdict, reason, "" if verdict is Verdict.FITS else remedy,
                         rule="speedometer", source="UN Regulation No. 39, 5.3 (as quoted)", where=power.where))
    return held
