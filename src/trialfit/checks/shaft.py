"""The shaft of a build over its travel: angles, slip, whirl, tube, joints, the pinion's angle, and one piece or two."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.driveline_answers import JointTold, ShaftAnswers, TorqueAnswer, Views
from trialfit.checks.pairs import SHAFT, Thing, asked_between, slug
from trialfit.checks.placing import Placed, PlacingError, amount_mm
from trialfit.checks.results import GapAnswer
from trialfit.checks.shaft_line import amount_sd, angle_doubt, length_covariance, line_of, slip_sd_mm, views_of
from trialfit.driveline import (
    AngleDoubt,
    Angles,
    BearingLoads,
    ExtraMissing,
    Length,
    OnePiece,
    Pair,
    Piece,
    PinionSetting,
    PlungeRange,
    Room,
    RuleAnswer,
    ShaftLine,
    ShaftTube,
    SlipAnswer,
    SlipJoint,
    Support,
    TubeAnswer,
    TubeCase,
    Wedge,
    Whirl,
    WhirlMargin,
    angle_answers,
    angles,
    bearing_loads,
    best_setting,
    choose_tubes,
    hold,
    hold_tube,
    join,
    listed_plies,
    listed_tubes,
    no_slip_reason,
    one_piece,
    pinion_inclination_rad,
    places,
    plunge_range,
    ride_lengths,
    series_called,
    series_for,
    slip_answer,
    tell_cross,
    tell_pair,
    tube_piece,
    tube_whirl,
    wedge_for,
    whirl,
    whirl_margin,
    wound_range,
)
from trialfit.driveline.shaft_line import Slip
from trialfit.findings import SURE, Finding, Place, Verdict, verdict_on
from trialfit.geometry import Domain, GapError, Span, certified_gap
from trialfit.parts import Fact
from trialfit.standards import density_kg_mm3, modulus_mpa, rule
from trialfit.survey import Survey
from trialfit.vehicle import DEFAULT_INSTRUMENTS, Amount, Build, Shaft, ShaftJoint, Travel

Floats = NDArray[np.float64]
Sizes = Mapping[str, tuple[float, float]]

_RPM = math.pi / 30.0
_NOMINAL_RAD_S = 100.0 * _RPM
"""Speed at which the angles are worked where the shaft's is not known; what hangs on speed is then left out [rad/s]."""
_METALS = {"steel": "carbon-steel", "aluminium": "aluminium"}
_WINDER_RAD = math.radians(2.0)
_REMEDY = {
    "joint-angle-least": "raise or lower one end a little, so that the needles roll",
    "joint-angle-greatest": "bring the ends nearer in line: turn the pinion, or move engine or axle",
    "joint-angle-length": "bring the ends nearer in line: turn the pinion, or move engine or axle",
    "joint-angle-difference": "turn the pinion, or shim gearbox or axle, until both joints bend alike",
    "joint-angle-odd": "set the centre bearing's height so that gearbox and front piece stand in line",
    "joint-acceleration": "make the angles smaller and alike: see pinion.angle",
    "joint-angle-bind": "limit the droop, or have joints made for larger angles: a joint that binds breaks",
    "joint-phase": "have a driveline shop put the yokes in line",
}


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """What the shaft is worked in: the build with its survey, its travel, everything placed, and the gaps."""

    build: Build
    survey: Survey
    points: Mapping[str, Floats]
    sizes: Sizes
    travel: Travel | None
    placed: tuple[Placed, ...]
    gaps: tuple[GapAnswer, ...]
    domain: Domain
    choices: Mapping[str, str]

    @property
    def shaft(self) -> Shaft:
        """The shaft as the file describes it."""
        assert self.build.shaft is not None
        return self.build.shaft


def shaft(scene: Scene, top_rad_s: float | None, torque: TorqueAnswer | None, found: list[Finding]
          ) -> ShaftAnswers | None:  # fmt: skip
    """Everything about the shaft; None when its line cannot be laid, with a finding that says why."""
    said, where = scene.shaft, scene.shaft.where
    if not said.told:
        found.append(Finding(
            "shaft.axes", Verdict.CANNOT_TELL, "joint angles, slip and the shaft's order cannot be worked out: which "
            "way gearbox output and pinion point is not written down",
            "under shaft write front axis and rear axis, two hardpoints on each, the one in the housing first",
            where=where))
        return None
    try:
        line = line_of(scene.build, scene.points, scene.sizes)
        views = views_of(scene.build, scene.survey, scene.points, scene.sizes)
        doubt = angle_doubt(scene.build, scene.survey, scene.points, scene.sizes)
        lengths = ride_lengths(line, length_covariance(scene.build, scene.survey))
        speed = top_rad_s or _NOMINAL_RAD_S
        bent = angles(line, scene.travel, speed)
    except (PlacingError, ValueError) as error:
        found.append(Finding("shaft.line", Verdict.CANNOT_TELL, str(error), "mend what is named", where=where))
        return None
    if top_rad_s is None:
        found.append(Finding("shaft.speed", Verdict.CANNOT_TELL, "how fast the shaft turns is not known, so whirl and "
                             "what hangs on speed cannot be told", "write power: with gears and the engine's greatest "
                             "speed", where=where))
    rules = _angles_told(scene, line, bent, doubt, lengths[-1].mm, top_rad_s is not None, found)
    plunge, sds = _plunge(scene, line, found)
    slip = _slip(scene, line, plunge, sds, found)
    rates = _whirl(scene, line, lengths, found)
    margin = _margin(scene, top_rad_s, rates, lengths, found)
    rooms = _rooms(scene)
    case = _case(scene, lengths, top_rad_s, torque, rooms)
    tube, tubes = _tubes(scene, case, found)
    single = _single(scene, line, case, found)
    setting, wedge = _pinion(scene, line, views, top_rad_s, found)
    joints = _joints(scene, torque, found)
    over = places(line, scene.travel, _droop(scene.travel))
    return ShaftAnswers(
        line, lengths, views, doubt, bent, rules,
        None if scene.travel is None or scene.travel.stops is None else float(np.max(over.angles_rad)), top_rad_s,
        plunge, sds, slip, rates.uniform, rates.model, rates.bending, rates.bounce, margin, torque, rooms, tube, tubes,
        single, setting,
        math.degrees(pinion_inclination_rad(line)), wedge, joints, _loads(scene, line, torque),
    )  # fmt: skip


def _droop(travel: Travel | None) -> Floats:
    """States with the axle on its droop stop, rolled as far as it goes; ride height where it does not move."""
    if travel is None or travel.stops is None:
        return np.zeros((1, 3))
    rolls = np.linspace(travel.lo[1], travel.hi[1], 21)
    return np.array([[travel.heave_range(float(r))[0], float(r), 0.0] for r in rolls])


# -- angles -----------------------------------------------------------------------------------------------------


def _angles_told(scene: Scene, line: ShaftLine, bent: Angles, doubt: AngleDoubt, length_mm: float, fast: bool,
                 found: list[Finding]) -> tuple[RuleAnswer, ...]:
    try:
        told = list(angle_answers(line, bent, doubt, length_mm, scene.choices))
    except ValueError as error:
        found.append(Finding("shaft.angles", Verdict.CANNOT_TELL, str(error), "mend what is named",
                             where=scene.shaft.where))  # fmt: skip
        return ()
    if not fast:
        told = [a for a in told if a.rule != "joint-acceleration"]
    for number, phase in enumerate(scene.shaft.phases, 1):
        off = abs(math.remainder(phase.value, math.pi))
        piece = "the shaft" if line.pieces == 1 else f"piece {number}"
        told += hold(f"phase between the yokes of {piece}", (off, off), phase.sd or 0.0,
                     rule("joint-phase", scene.choices.get("joint-phase")), at_most=True)  # fmt: skip
    if not scene.shaft.phases:
        found.append(Finding("shaft.phase", Verdict.CANNOT_TELL, "nobody has written down whether the yokes of the "
                             "shaft stand in line", "look along the shaft, and write phase: 0 deg under shaft if they "
                             "do", rule="joint-phase", where=scene.shaft.where))  # fmt: skip
    found += findings_of(told, scene.shaft.where)
    return tuple(told)


def findings_of(told: Sequence[RuleAnswer], where: Place | None) -> list[Finding]:
    """One finding for each question, by the version of the rule that is in force; what other versions say stands in its
    reason where they disagree."""
    found: list[Finding] = []
    groups: dict[tuple[str, str], list[RuleAnswer]] = {}
    for answer in told:
        groups.setdefault((answer.what, answer.rule), []).append(answer)
    for (what, name), answers in groups.items():
        first = next((a for a in answers if a.in_force), answers[0])
        one = first.finding(f"shaft.{slug(what)}.{name.removeprefix('joint-')}",
                            "" if first.verdict is Verdict.FITS else _REMEDY.get(name, ""), where)  # fmt: skip
        others = [f"{a.version.label}: {a.verdict}" for a in answers if a is not first and a.verdict != first.verdict]
        if others:
            one = replace(one, reason=f"{one.reason}; by other versions: {'; '.join(others)}")
        found.append(one)
    return found


# -- slip -------------------------------------------------------------------------------------------------------


def _plunge(scene: Scene, line: ShaftLine, found: list[Finding]
            ) -> tuple[PlungeRange | None, tuple[float | None, float | None]]:  # fmt: skip
    travel, where = scene.travel, scene.shaft.where
    if travel is None or travel.stops is None:
        found.append(Finding("shaft.slip", Verdict.CANNOT_TELL, "how far the slip moves is not known without the "
                             "axle's travel", "write suspension and stops", where=where))  # fmt: skip
        return None, (None, None)
    try:
        if line.slip is Slip.NONE:
            found.append(Finding("shaft.slip", Verdict.DOES_NOT_FIT, no_slip_reason(line, travel),
                                 "give it a slip yoke or a spline in the shaft", source="geometry", where=where))
            return None, (None, None)
        wrap = scene.shaft.wrap_rad
        plunge = plunge_range(line, travel, wrap)
        out, into = (
            max((sd for w in dict.fromkeys(wrap) if (sd := slip_sd_mm(
                scene.build, scene.survey, scene.points, scene.sizes, bracket.at, w)) is not None), default=None)
            for bracket in (plunge.out, plunge.into))
    except ValueError as error:
        found.append(Finding("shaft.slip", Verdict.CANNOT_TELL, str(error), "mend what is named", where=where))
        return None, (None, None)
    return plunge, (out, into)


def _slip(scene: Scene, line: ShaftLine, plunge: PlungeRange | None, sds: tuple[float | None, float | None],
          found: list[Finding]) -> SlipAnswer | None:
    if plunge is None:
        return None
    where = scene.shaft.where
    moves = f"it is pulled out by {plunge.out.upper:.1f} mm and pushed in by {plunge.into.upper:.1f} mm at most"
    said = scene.shaft.spline
    if said is None:
        found.append(Finding("shaft.slip", Verdict.CANNOT_TELL, f"what is left of the slip cannot be told; {moves}",
                             "measure the spline's diameter, how much of it is engaged at ride height, and the room "
                             "before it bottoms; write them under spline", where=where))  # fmt: skip
        return None
    rooms = {name: amount_mm(room, scene.sizes) for name, room in said.rooms}
    doubts = [amount_sd(said.engaged, scene.sizes), *(amount_sd(room, scene.sizes) for _, room in said.rooms)]
    joint = SlipJoint(amount_mm(said.diameter, scene.sizes), amount_mm(said.engaged, scene.sizes), rooms, max(doubts))
    known = [sd for sd in sds if sd is not None]
    answer = slip_answer(joint, plunge, scene.choices, max(known, default=0.0))
    blind = len(known) < 2
    for told, name, remedy in ((answer.engagement, "engagement", "use a longer spline or yoke, or limit the droop"),
                               (answer.pull_back, "pull-back",
                                "have the shaft made so that the slip stands further out at ride height")):
        one = findings_of(told, where)[0]
        one = replace(one, name=f"shaft.slip.{name}",
                      remedy="" if one.verdict is Verdict.FITS else one.remedy or remedy)
        found.append(_unsure(one) if blind and name == "engagement" else one)
    bottoms = Finding("shaft.slip.bottoms", answer.bottoms, answer.bottoms_reason,
                      "" if answer.bottoms is Verdict.FITS else "shorten the shaft, or limit the bump: a slip that "
                      "bottoms breaks the gearbox", answer.room_mm[0], answer.bottoms_sd_mm, "mm", "room at bump",
                      "geometry", where)  # fmt: skip
    found.append(_unsure(bottoms) if blind else bottoms)
    return answer


def _unsure(one: Finding) -> Finding:
    """The doubt of the movement could not be carried through: nothing fits for certain."""
    if one.verdict is not Verdict.FITS:
        return one
    return replace(one, verdict=Verdict.CANNOT_TELL, sd=None, reason=f"{one.reason}; the doubt of the movement itself "
                   "could not be carried through", remedy="measure both ends of the travel on the vehicle")  # fmt: skip


# -- whirl ------------------------------------------------------------------------------------------------------


def _stuff(scene: Scene) -> tuple[float, float] | None:
    """Young's modulus [MPa] and density [kg/mm3] of the tube, the softest of wound carbon."""
    tube = scene.shaft.tube
    if tube is None:
        return None
    if tube.winding_rad is not None:
        made = wound_range(listed_plies(), tube.winding_rad, _WINDER_RAD)
        return made.along_mpa[0], made.density_kg_mm3[1]
    return modulus_mpa(_METALS[tube.material]), density_kg_mm3(tube.material)


@dataclass(frozen=True, slots=True, eq=False)
class _Rates:
    """Whirling speed by the closed form, the beam model, its first rate that bends a tube, and the rate at which the
    shaft bounces on its bearing's rubber [rad/s]."""

    uniform: float | None = None
    model: Whirl | None = None
    bending: float | None = None
    bounce: float | None = None


_BOUNCE_SHARE = 0.9
"""A first rate below this share of that with a stiff bearing is one of the rubber, not of the tube [-]."""


def _whirl(scene: Scene, line: ShaftLine, lengths: tuple[Length, ...], found: list[Finding]) -> _Rates:
    tube, stuff, where = scene.shaft.tube, _stuff(scene), scene.shaft.where
    if tube is None or stuff is None:
        return _Rates()
    diameter, wall = amount_mm(scene.shaft.diameter, scene.sizes), amount_mm(tube.wall, scene.sizes)
    uniform: float | None = None
    try:
        uniform = min(tube_whirl(diameter, wall, one.mm, "pinned", *stuff) for one in lengths)
    except ValueError as error:
        found.append(Finding("shaft.whirl-sum", Verdict.CANNOT_TELL, f"the whirling speed cannot be worked out: "
                             f"{error}", "see the beam model", where=where))  # fmt: skip
    try:
        made = [tube_piece(diameter, wall, one.mm, *stuff, yokes_kg=tube.yokes_kg, yoke_length_mm=tube.yoke_length_mm)
                for one in lengths]
        if line.centre is None or scene.shaft.centre is None:
            model = whirl(tuple(made))
            return _Rates(uniform, model, model.first_rad_s)
        give = scene.shaft.centre.stiffness_n_mm
        held = lengths[0].mm - line.centre.joint_behind_mm
        stiff, model = (whirl(_held_at(made, held, one)) for one in (None, give))
    except ExtraMissing as error:
        found.append(Finding("shaft.whirl-model", Verdict.CANNOT_TELL, "the beam model with yokes and bearing could "
                             "not be worked; the closed form stands alone and errs fast", str(error),
                             where=where))  # fmt: skip
        return _Rates(uniform)
    except ValueError as error:
        found.append(Finding("shaft.whirl-model", Verdict.CANNOT_TELL, str(error), "mend what is named", where=where))
        return _Rates(uniform)
    if model.first_rad_s >= _BOUNCE_SHARE * stiff.first_rad_s:
        return _Rates(uniform, model, model.first_rad_s)
    # one support less stiff adds one rate below the first of the stiff one, and the next lies above it
    return _Rates(uniform, model, stiff.first_rad_s, model.first_rad_s)


def _held_at(made: Sequence[Piece], bearing_mm: float, stiffness_n_mm: float | None) -> tuple[Piece, Piece]:
    """Two pieces: the first held in front and at its bearing, the second behind."""
    front = (Support(0.0), Support(bearing_mm, stiffness_n_mm))
    return replace(made[0], supports=front), replace(made[1], supports=(Support(made[1].length_mm),))


def _margin(scene: Scene, top_rad_s: float | None, rates: _Rates, lengths: tuple[Length, ...],
            found: list[Finding]) -> WhirlMargin | None:
    where = scene.shaft.where
    known = [w for w in (rates.uniform, rates.bending) if w is not None]
    if not known:
        if scene.shaft.tube is None:
            found.append(Finding("shaft.whirl", Verdict.CANNOT_TELL, "the whirling speed is not known without the tube",
                                 "write tube: material and wall under shaft", rule="whirl-share",
                                 where=where))  # fmt: skip
        return None
    if top_rad_s is None:
        return None
    slowest, longest = min(known), max(lengths, key=lambda one: one.mm)
    sd = None if longest.sd_mm is None else slowest * 2.0 * longest.sd_mm / longest.mm
    share = rule("whirl-share", scene.choices.get("whirl-share"))
    margin = whirl_margin(top_rad_s, slowest, sd, share)
    how = "beam model" if slowest == rates.bending else "closed form, errs fast"
    found.append(Finding(
        "shaft.whirl", margin.verdict, f"{margin.reason} ({how})",
        "" if margin.verdict is Verdict.FITS else "a thicker or lighter tube, two pieces with a centre bearing, or a "
        "lower greatest speed: a shaft that whirls destroys itself in seconds",
        100.0 * (margin.limit - margin.share), None if margin.share_sd is None else 100.0 * margin.share_sd, "%",
        "whirl-share", share.in_force.source, where))  # fmt: skip
    if rates.bounce is not None and rates.bounce < top_rad_s:
        found.append(Finding(
            "shaft.bearing-bounce", Verdict.FITS_AFTER_WORK,
            f"on the rubber of its centre bearing the shaft bounces at {rates.bounce / _RPM:.0f} rpm, which it runs "
            f"through on its way to {top_rad_s / _RPM:.0f} rpm; sound rubber damps it, an unbalanced shaft tears it",
            "have both pieces balanced together, and put in a new bearing with its rubber",
            source="common practice, no source", where=where))  # fmt: skip
    return margin


# -- tube and room ----------------------------------------------------------------------------------------------


def _rooms(scene: Scene) -> tuple[Room, ...]:
    """How far each neighbour stays from the shaft's centre line, from the certified gaps.

    The doubt is that of the neighbour's and of the shaft's worst hardpoint, as if nothing were shared; what moves the
    axle is left out. It errs on the large side where both hang on the same readings.
    """
    radius = amount_mm(scene.shaft.diameter, scene.sizes) / 2.0
    may_go = () if scene.shaft.centre is None else scene.shaft.centre.may_go
    rooms: list[Room] = []
    for answer in scene.gaps:
        pair = answer.pair
        if SHAFT not in (pair.a.kind, pair.b.kind) or (pair.a.of is not None and pair.b.of is not None):
            continue
        own, other = (pair.a, pair.b) if pair.a.kind == SHAFT and pair.a.of is None else (pair.b, pair.a)
        name = other.name if own.name == SHAFT else f"{other.name} ({own.name.removeprefix('shaft ')})"
        rooms.append(Room(name, answer.lower_mm + radius, _room_sd(scene, own, other), pair.required_mm,
                          other.name in may_go))  # fmt: skip
    return tuple(rooms)


def _room_sd(scene: Scene, own: Thing, other: Thing) -> float | None:
    names = [*own.points, *other.points]
    if not all(scene.survey.has(n) for n in names):
        return None
    worst = [max((scene.survey.doubt_mm(n) for n in side), default=0.0) for side in (own.points, other.points)]
    return math.hypot(*worst)


def _case(scene: Scene, lengths: tuple[Length, ...], top_rad_s: float | None, torque: TorqueAnswer | None,
          rooms: tuple[Room, ...]) -> TubeCase | None:
    if top_rad_s is None or torque is None:
        return None
    longest = max(lengths, key=lambda one: one.mm)
    if longest.sd_mm is None:
        return None
    strength = 1.0 if scene.shaft.tube is None else scene.shaft.tube.strength
    most = torque.seen.torque_nmm + SURE * torque.sd_nmm
    return TubeCase(longest.mm, longest.sd_mm, top_rad_s, most, strength, rooms)


def _near(rooms: tuple[Room, ...], diameter_mm: float) -> tuple[Room, ...]:
    """The rooms that decide for a tube: every one that does not clear for certain, and the tightest of all."""
    tightest = sorted(rooms, key=lambda r: r.room_mm - r.required_mm)[:1]
    return tuple(r for r in rooms if r in tightest or _clears(r, diameter_mm) is not Verdict.FITS)


def _clears(room: Room, diameter_mm: float) -> Verdict:
    """Whether a tube clears a neighbour."""
    gap = room.room_mm - diameter_mm / 2.0
    return verdict_on(gap, gap, room.required_mm, room.sd_mm)


def _yield_mpa(material: str) -> float | None:
    """Yield of the tube of a material that shops commonly keep, the least of the table; None for wound carbon."""
    return min((t.yield_mpa for t in listed_tubes() if t.material == material and t.yield_mpa is not None),
               default=None)  # fmt: skip


def _tubes(scene: Scene, case: TubeCase | None, found: list[Finding]
           ) -> tuple[TubeAnswer | None, tuple[TubeAnswer, ...]]:  # fmt: skip
    where = scene.shaft.where
    if case is None:
        found.append(Finding("shaft.tube", Verdict.CANNOT_TELL, "no tube can be held against speed and torque: they "
                             "are not both known", "write power: with gears, greatest engine speed, and rear axle "
                             "mass", where=where))  # fmt: skip
        return None, ()
    own: TubeAnswer | None = None
    said = scene.shaft.tube
    if said is not None:
        diameter, wall = amount_mm(scene.shaft.diameter, scene.sizes), amount_mm(said.wall, scene.sizes)
        name = f"{said.material} {diameter:.4g} x {wall:.3g} mm"
        try:
            own = hold_tube(ShaftTube(name, "wound-carbon" if said.winding_rad else said.material, diameter, wall,
                                      _yield_mpa(said.material), said.winding_rad, "build file"),
                            replace(case, rooms=_near(case.rooms, diameter)), scene.choices)  # fmt: skip
            found.append(Finding(
                "shaft.tube", own.verdict, f"{name}: {'; '.join(own.why)}",
                "" if own.verdict is Verdict.FITS else "see the table of tubes for one that passes",
                own.gap_mm, None, "mm" if own.gap_mm is not None else "", "whirl-share, torque, room",
                "common practice, no source", where))  # fmt: skip
        except ValueError as error:
            found.append(Finding("shaft.tube", Verdict.CANNOT_TELL, str(error), "mend what is named", where=where))
    answers = choose_tubes(case, None, scene.choices)
    passing = [a for a in answers if a.verdict is Verdict.FITS]
    best = answers[0]
    if passing:
        reason = (f"{len(passing)} of {len(answers)} tubes of the table pass; lightest is {best.tube.name} with "
                  f"{best.mass_kg[1]:.1f} kg: {best.why[0]}")
        found.append(Finding("shaft.tube-choice", Verdict.FITS, reason, rule="table of tubes",
                             source="common practice, no source", where=where))  # fmt: skip
    else:
        found.append(Finding("shaft.tube-choice", best.verdict, f"no tube of the table passes; nearest is "
                             f"{best.tube.name}: {best.why[0]}", "make room, shorten the shaft with a centre bearing, "
                             "or ask a driveline shop", rule="table of tubes", source="common practice, no source",
                             where=where))  # fmt: skip
    return own, answers


def _single(scene: Scene, line: ShaftLine, case: TubeCase | None, found: list[Finding]) -> OnePiece | None:
    """May a two-piece shaft become one: with every neighbour of the straight line between its end joints."""
    if line.centre is None or scene.shaft.centre is None or case is None or not scene.shaft.centre.to_one_piece:
        return None
    where = scene.shaft.where
    ends = scene.build.shaft_ends()
    assert ends is not None
    paths = {} if scene.travel is None else dict(scene.travel.paths)
    front, rear = line.front.joint_mm, line.rear.joint_mm
    radius = amount_mm(scene.shaft.diameter, scene.sizes) / 2.0
    mover = Span(front, paths.get(line.front.body), rear, paths.get(line.rear.body), radius)
    thing = Thing(SHAFT, SHAFT, frozenset((line.front.body, line.rear.body)), frozenset((ends[0][0], ends[1][0])),
                  None, where)  # fmt: skip
    rooms: list[Room] = []
    for one in scene.placed:
        if one.thing.kind == SHAFT and one.thing.of is None:
            continue
        pair = asked_between(scene.build, thing, one.thing)
        if pair is None:
            continue
        try:
            bound = certified_gap(mover, one.mover, scene.domain, pair.required_mm,
                                  margin_mm=0.0 if scene.travel is None else scene.travel.fit_error_mm)
        except GapError:
            rooms.append(Room(one.thing.name, radius, None, pair.required_mm))
            continue
        rooms.append(Room(one.thing.name, float(bound.lower_mm) + radius, _room_sd(scene, thing, one.thing),
                          pair.required_mm, one.thing.name in scene.shaft.centre.may_go))  # fmt: skip
    apart = float(np.linalg.norm(rear - front))
    cov = scene.survey.covariance_of([scene.shaft.front, scene.shaft.rear])
    way = np.concatenate([front - rear, rear - front]) / apart
    sd = math.sqrt(max(float(way @ cov @ way), 0.0) + line.front.offset_sd_mm**2 + line.rear.offset_sd_mm**2)
    freed = ("centre bearing", *scene.shaft.centre.may_go)
    answer = one_piece(replace(case, length_mm=apart, length_sd_mm=sd, rooms=tuple(rooms)), freed, None, scene.choices)
    verdict = answer.verdict
    reason = f"one piece of {apart:.0f} mm between joints: {answer.reason}"
    in_way = [r.name for r in rooms if _clears(r, answer.best.tube.outside_mm) is not Verdict.FITS]
    if verdict is not Verdict.FITS and in_way:
        reason += f"; in its way, through the travel: {', '.join(in_way)}"
    remedy = ""
    if verdict is Verdict.DOES_NOT_FIT:
        remedy = "keep the shaft in two pieces, with its centre bearing"
    elif verdict is Verdict.FITS_AFTER_WORK:
        stays = [r.name for r in rooms if not r.can_go]
        remedy = (f"cut out {', '.join(answer.to_cut)}; the others stay: {', '.join(stays) or 'none'}. Ask before "
                  "cutting a member of the frame")
    elif verdict is Verdict.CANNOT_TELL:
        remedy = "measure what is named, and keep two pieces until it is settled"
    found.append(Finding("shaft.one-piece", verdict, reason, remedy, rule="one piece or two",
                         source="common practice, no source", where=where))  # fmt: skip
    return answer


# -- pinion, joints, bearings -----------------------------------------------------------------------------------


class _Kept(Travel):
    """A travel that keeps the poses it was asked for: the same few heaves come back at every setting tried."""

    def poses(self, body: str, states: Floats) -> tuple[Floats, Floats]:
        key = f"{body} {states.tobytes().hex()}"
        if key not in self.__dict__:
            self.__dict__[key] = Travel.poses(self, body, states)
        kept: tuple[Floats, Floats] = self.__dict__[key]
        return kept


def _pinion(scene: Scene, line: ShaftLine, views: Views, top_rad_s: float | None, found: list[Finding]
            ) -> tuple[PinionSetting | None, Wedge | None]:  # fmt: skip
    travel, where = scene.travel, scene.shaft.where
    if travel is None or top_rad_s is None:
        return None, None
    seat = scene.shaft.seat
    level: float | None = None
    if seat is not None and seat.front in scene.points and seat.rear in scene.points:
        run = scene.points[seat.front] - scene.points[seat.rear]
        level = math.atan2(float(run[2]), -float(run[0]))
    try:
        setting = best_setting(line, _Kept(travel.paths, travel.lo, travel.hi, travel.stops, travel.fit_error_mm,
                                           travel.reference), scene.shaft.wrap_rad, top_rad_s,
                               seat_rad=level)  # fmt: skip
    except ValueError as error:
        found.append(Finding("pinion.angle", Verdict.CANNOT_TELL, str(error), "mend what is named", where=where))
        return None, None
    now = math.degrees(pinion_inclination_rad(line))
    low, high = setting.flat_deg
    margin, sd = min(now - low, high - now), math.degrees(views.sds[4])
    verdict = verdict_on(margin, margin, 0.0, sd)
    reason = (f"the pinion stands {_nose(now)}, give or take {SURE * sd:.1f} deg; best {_nose(setting.pinion_deg)}, "
              f"and nobody feels the difference from {_nose(low)} to {_nose(high)}")
    wedge: Wedge | None = None
    remedy = ""
    if verdict is not Verdict.FITS:
        turn = setting.turn_deg
        remedy = f"turn the housing {abs(turn):.1f} deg nose {'up' if turn > 0 else 'down'} before the last weld"
        if setting.perch_deg is not None:
            remedy += f", perch tacked with the pinion {_nose(setting.perch_deg)} from the spring seat"
        if seat is not None and abs(turn) > 0.05:
            try:
                wedge = wedge_for(turn, seat.length_mm, spring_over_axle=seat.over_axle)
                remedy += (f"; on a welded axle a wedge of {wedge.angle_deg:.1f} deg, {wedge.rise_mm:.1f} mm thicker "
                           f"at its {wedge.thick_end} end")
            except ValueError as error:
                remedy += f"; no wedge: {error}"
    if verdict is Verdict.CANNOT_TELL:
        remedy = f"take its angle again with a digital gauge; if it is so: {remedy}"
    elif verdict is Verdict.DOES_NOT_FIT:
        verdict = Verdict.FITS_AFTER_WORK
    found.append(Finding("pinion.angle", verdict, reason, remedy, margin, sd, "deg", "least left at the pinion",
                         "kinematics of the Hooke joint", where))  # fmt: skip
    found += _pads(scene.build, setting)
    return setting, wedge


_PAD_WANTED = "pad angle wanted"


def _pads(build: Build, setting: PinionSetting) -> list[Finding]:
    """Joints of axle and spring that are told another pad angle than the shaft asks for. The angle off a gauge has no
    sign, so neither has this."""
    if setting.perch_deg is None:
        return []
    ends = [setting.perch_deg + edge - setting.pinion_deg for edge in setting.flat_deg]
    low, high = sorted(abs(e) for e in ends)
    if ends[0] * ends[1] < 0.0:
        low = 0.0
    found = []
    for mate in build.mates:
        said = mate.values.get(_PAD_WANTED)
        if not isinstance(said, Fact) or low <= math.degrees(said.value) <= high:
            continue
        found.append(Finding(
            f"pinion.pad.{slug(mate.name)}", Verdict.CANNOT_TELL,
            f"{mate.name} is told a {_PAD_WANTED} of {math.degrees(said.value):.1f} deg, and the shaft asks for "
            f"{abs(setting.perch_deg):.1f} deg ({low:.1f} to {high:.1f} deg is not felt)",
            f"write {abs(setting.perch_deg):.1f} deg there, or find out which of the two is wrong before a perch is "
            "welded", source="kinematics of the Hooke joint", where=mate.where))  # fmt: skip
    return found


def _nose(angle_deg: float) -> str:
    return f"{abs(angle_deg):.1f} deg nose {'up' if angle_deg >= 0.0 else 'down'}"


def _joints(scene: Scene, torque: TorqueAnswer | None, found: list[Finding]) -> tuple[JointTold, ...]:
    told: list[JointTold] = []
    for said in scene.shaft.joints:
        told.append(_joint(scene, said, torque, found))
    named = [t.series for t in told if t.series and not t.series.startswith("combination")]
    if len(set(named)) > 1:
        low, high = sorted(set(named))[0], sorted(set(named))[-1]
        found.append(Finding("shaft.joints-mixed", Verdict.FITS_AFTER_WORK, f"the joints are of series "
                             f"{', '.join(sorted(set(named)))}", f"where a yoke of one meets a shaft of the other ask "
                             f"for a {join(high, low)}; it bears what {low} bears", source="common practice, no source",
                             where=scene.shaft.where))  # fmt: skip
    return tuple(told)


def _pair(scene: Scene, said: ShaftJoint, number: int) -> Pair | None:
    cap, span = said.caps[number], said.spans[number]
    if cap is None or span is None:
        return None

    def sd(one: Amount) -> float:
        known = amount_sd(one, scene.sizes)
        return known if known > 0.0 else DEFAULT_INSTRUMENTS["calliper"].sd(one.mm)

    return Pair(amount_mm(cap, scene.sizes), amount_mm(span, scene.sizes), sd(cap), sd(span))


def _joint(scene: Scene, said: ShaftJoint, torque: TorqueAnswer | None, found: list[Finding]) -> JointTold:
    name, where = f"shaft.joint.{said.name}", said.where or scene.shaft.where
    cross = None
    series, parts = said.series, [said.series] if said.series else []
    if not series:
        pairs = [p for p in (_pair(scene, said, n) for n in (0, 1)) if p is not None]
        if len(pairs) == 2:
            cross = tell_cross(pairs[0], pairs[1])
            series = cross.name
            parts = [t.likely[0].name for t in (cross.first, cross.second) if len(t.likely) == 1]
            verdict, reason = cross.verdict, cross.reason
        elif pairs:
            one = tell_pair(pairs[0])
            series = one.likely[0].name if len(one.likely) == 1 else ""
            parts = [series] if series else []
            verdict, reason = one.verdict, f"one pair of caps only: {one.reason}"
        else:
            verdict, reason = Verdict.CANNOT_TELL, "a cap without its span, or a span without its cap"
        if not series:
            found.append(Finding(name, verdict, f"{said.name} joint: {reason}",
                                 "measure caps and spans again, joint out and clean, or ask a driveline shop",
                                 source="common practice, no source", where=where))  # fmt: skip
            return JointTold(said.name, "", None, cross)
    bears = [series_called(p).torque_nmm for p in parts]
    least = None if not bears or None in bears else min(b for b in bears if b is not None)
    if torque is None:
        found.append(Finding(name, Verdict.CANNOT_TELL, f"{said.name} joint is {series}; what torque it will see is "
                             "not known", "write power: with rear axle mass", source="common practice, no source",
                             where=where))  # fmt: skip
        return JointTold(said.name, series, least, cross)
    held = {s.name: (v, r) for s, v, r in series_for(torque.seen.torque_nmm, torque.sd_nmm)}
    weakest = min(parts, key=lambda p: series_called(p).torque_nmm or math.inf)
    verdict, reason = held[weakest]
    enough = [s.name for s, v, _ in series_for(torque.seen.torque_nmm, torque.sd_nmm) if v is Verdict.FITS]
    remedy = "" if verdict is Verdict.FITS else (f"take series {enough[0]} or larger" if enough else
                                                "ask a driveline shop for a larger series")
    spare = None if least is None else (least - torque.seen.torque_nmm) / 1e3
    found.append(Finding(name, verdict, f"{said.name} joint is {series}; {reason} ({torque.seen.governs} governs; "
                         f"factor {torque.seen.factor:g}: {torque.seen.factor_origin})", remedy, spare,
                         torque.sd_nmm / 1e3, "N*m", "joint series", "common practice, no source", where))  # fmt: skip
    return JointTold(said.name, series, least, cross)


def _loads(scene: Scene, line: ShaftLine, torque: TorqueAnswer | None) -> BearingLoads | None:
    apart = scene.shaft.bearings_apart_mm
    if apart is None or torque is None:
        return None
    states = np.array(scene.travel.grid(11, 7)) if scene.travel is not None else np.zeros((1, 3))
    over = places(line, scene.travel, states)
    centre = None
    if line.centre is not None:
        centre = float(over.lengths_mm[0, 0]) - line.centre.joint_behind_mm
    return bearing_loads(over, torque.seen.torque_nmm, apart[0], apart[1], centre)

