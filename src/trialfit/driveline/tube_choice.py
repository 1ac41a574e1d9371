"""Which tube will do for the shaft, and whether two pieces may become one.

Each tube of the list is held against four things: its whirling speed, the torque it must bear (yield and buckling), and
the room all round it through the travel. The room is handed in as the distance from the shaft's centre line to each
neighbour at the worst state, so that it holds for every diameter.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from trialfit.driveline.laminate import listed_plies, wound_range
from trialfit.driveline.whirl import tube_torsion_buckling, tube_whirl
from trialfit.findings import RANK, SURE, Verdict, verdict_on
from trialfit.standards import (
    density_kg_mm3,
    modulus_mpa,
    refuse_not_positive,
    refuse_outside,
    rule,
    shear_modulus_mpa,
    table,
)
from trialfit.structure import tube_mass, tube_torsional_stress
from trialfit.structure.tube import tube_second_moment

_METALS = {"steel": "carbon-steel", "aluminium": "aluminium"}
_SHEAR_SHARE = 1.0 / math.sqrt(3.0)
"""yield in shear over yield in tension (distortion energy); Shigley's Mechanical Engineering Design, 9th ed., ch. 5"""
_ANGLE_GIVE = math.radians(2.0)
"""how far a winder may be off the angle; common practice, no source"""


@dataclass(frozen=True, slots=True)
class ShaftTube:
    """One tube to choose from. ``yield_mpa`` None and ``ply_angle_rad`` set mean wound carbon, whose torque only its
    maker knows."""

    name: str
    material: str
    outside_mm: float
    wall_mm: float
    yield_mpa: float | None
    ply_angle_rad: float | None
    status: str = ""


@dataclass(frozen=True, slots=True)
class Room:
    """A neighbour: least distance from the shaft's centre line to it over the travel, its standard deviation, and the
    gap that is asked for [mm]. ``can_go`` marks what could be cut or taken out."""

    name: str
    room_mm: float
    sd_mm: float | None
    required_mm: float
    can_go: bool = False


@dataclass(frozen=True, slots=True)
class TubeCase:
    """What the tube has to do: length between joints with its standard deviation [mm], greatest speed [rad/s], torque
    at its peak [N*mm], how many times that torque the tube must bear before it yields [-], and the neighbours."""

    length_mm: float
    length_sd_mm: float
    top_speed_rad_s: float
    torque_nmm: float
    torque_factor: float
    rooms: tuple[Room, ...] = ()

    def __post_init__(self) -> None:
        refuse_not_positive(length=(self.length_mm, "mm"), top_speed=(self.top_speed_rad_s, "rpm"),
                            torque=(self.torque_nmm, "N*m"))  # fmt: skip
        refuse_outside("doubt of the length", self.length_sd_mm, 0.0, 0.1 * self.length_mm, "mm")
        refuse_outside("torque factor", self.torque_factor, 1.0, 10.0, "")


@dataclass(frozen=True, slots=True)
class TubeAnswer:
    """One tube held against a case. ``whirl_rad_s``, ``twist_rad`` and ``mass_kg`` are ranges (a point for metal);
    ``stress_mpa`` and ``factor`` are None where only the maker knows what the tube bears; ``gap_mm`` is the least gap
    beyond what is asked for, None without neighbours. ``why`` gives every reason, the worst first."""

    tube: ShaftTube
    verdict: Verdict
    whirl_rad_s: tuple[float, float]
    share: float
    stress_mpa: float | None
    factor: float | None
    buckling_nmm: tuple[float, float] | None
    twist_rad: tuple[float, float]
    mass_kg: tuple[float, float]
    gap_mm: float | None
    why: tuple[str, ...]


def listed_tubes() -> tuple[ShaftTube, ...]:
    """Every tube of the packaged tables."""
    metal = [ShaftTube(r["tube"], r["material"], float(r["outside_mm"]), float(r["wall_mm"]), float(r["yield_mpa"]),
                       None, r["status"]) for r in table("shaft_tubes").rows]  # fmt: skip
    carbon = [ShaftTube(r["tube"], "wound-carbon", float(r["outside_mm"]), float(r["wall_mm"]), None,
                        math.radians(float(r["ply_angle_deg"])), r["status"])
              for r in table("shaft_tubes_wound").rows]  # fmt: skip
    return (*metal, *carbon)


@dataclass(frozen=True, slots=True)
class _Stuff:
    modulus_mpa: tuple[float, float]
    round_mpa: tuple[float, float]
    shear_mpa: tuple[float, float]
    density_kg_mm3: tuple[float, float]
    poisson: float


def _stuff(tube: ShaftTube) -> _Stuff:
    if tube.ply_angle_rad is not None:
        found = wound_range(listed_plies(), tube.ply_angle_rad, _ANGLE_GIVE)
        return _Stuff(found.along_mpa, found.round_mpa, found.twist_mpa, found.density_kg_mm3, 0.0)
    if tube.material not in _METALS:
        raise ValueError(f"tube {tube.name}: no stiffness is listed for {tube.material}; known: {', '.join(_METALS)}, "
                         "or give a ply angle for wound carbon")  # fmt: skip
    name = _METALS[tube.material]
    e, g = modulus_mpa(name), shear_modulus_mpa(name)
    density = density_kg_mm3(tube.material)
    return _Stuff((e, e), (e, e), (g, g), (density, density), table("materials").number(name, "poisson"))


def hold_tube(tube: ShaftTube, case: TubeCase, choices: Mapping[str, str] | None = None) -> TubeAnswer:
    """One tube against one case: whirl, torque, room.

    Weight of yokes, give of the ends and shear are left out of the whirl (it errs fast; the rule's share allows for
    them); welds and shock out of the torque (the factor must allow for them).

    Parameters
    ----------
    choices : mapping
        rule name to the label of the version in force (whirl-share)

    Raises
    ------
    ValueError
        for a material that is not listed, or a tube too thick for its length

    Source: Mechanical Engineer's Data Handbook, p. 45; mechanics of materials, torsion formula; Theory of Elastic
    Stability, S. P. Timoshenko and J. M. Gere, 2nd ed. (from memory); classical laminate theory.
    """
    stuff = _stuff(tube)
    told: list[tuple[Verdict, str]] = []
    speeds = [
        tube_whirl(tube.outside_mm, tube.wall_mm, case.length_mm, "pinned", e, d)
        for e, d in zip(stuff.modulus_mpa, reversed(stuff.density_kg_mm3), strict=True)
    ]
    whirl = min(speeds), max(speeds)
    told.append(_whirl_told(case, whirl, rule("whirl-share", (choices or {}).get("whirl-share")).in_force.value))
    stress, factor, buckling = _torque_told(tube, stuff, case, told)
    gap = _room_told(tube, case, told)
    polar = 2.0 * tube_second_moment(tube.outside_mm, tube.wall_mm)
    twist = [case.torque_nmm * case.length_mm / (g * polar) for g in stuff.shear_mpa]
    mass = [tube_mass(tube.outside_mm, tube.wall_mm, case.length_mm, d) for d in stuff.density_kg_mm3]
    told.sort(key=lambda row: RANK[row[0]])
    return TubeAnswer(
        tube, told[0][0], whirl, case.top_speed_rad_s / whirl[0], stress, factor, buckling, (min(twist), max(twist)),
        (min(mass), max(mass)), gap, tuple(text for _, text in told),
    )  # fmt: skip


def _whirl_told(case: TubeCase, whirl: tuple[float, float], limit: float) -> tuple[Verdict, str]:
    shares = case.top_speed_rad_s / whirl[1], case.top_speed_rad_s / whirl[0]
    sd = shares[1] * 2.0 * case.length_sd_mm / case.length_mm
    verdict = verdict_on(-shares[1], -shares[0], -limit, sd)
    rpm = 30.0 / math.pi
    speed = f"{whirl[0] * rpm:.0f}" if whirl[0] == whirl[1] else f"{whirl[0] * rpm:.0f} to {whirl[1] * rpm:.0f}"
    return verdict, (f"whirls at {speed} rpm; at {case.top_speed_rad_s * rpm:.0f} rpm that is "
                     f"{100.0 * shares[1]:.0f} %, at most {100.0 * limit:.0f} % asked for")  # fmt: skip


def _torque_told(
    tube: ShaftTube, stuff: _Stuff, case: TubeCase, told: list[tuple[Verdict, str]]
) -> tuple[float | None, float | None, tuple[float, float] | None]:
    stress = tube_torsional_stress(case.torque_nmm, tube.outside_mm, tube.wall_mm)
    buckling = _buckling(tube, stuff, case.length_mm)
    if tube.yield_mpa is None:
        ask = (f"only its maker can say whether a wound tube and its end joints bear {case.torque_nmm / 1e3:.0f} N*m: "
               "ask for the figure in writing")  # fmt: skip
        told.append((Verdict.CANNOT_TELL, ask))
        return None, None, buckling
    factor = _SHEAR_SHARE * tube.yield_mpa / stress
    what = "yields"
    if buckling is not None and buckling[0] / case.torque_nmm < factor:
        factor, what = buckling[0] / case.torque_nmm, "buckles"
    verdict = Verdict.FITS if factor >= case.torque_factor else Verdict.DOES_NOT_FIT
    text = (f"{stress:.0f} MPa in shear at {case.torque_nmm / 1e3:.0f} N*m; {what} at {factor:.1f} times that, "
            f"{case.torque_factor:.1f} asked for")  # fmt: skip
    told.append((verdict, text))
    return stress, factor, buckling


def _buckling(tube: ShaftTube, stuff: _Stuff, length_mm: float) -> tuple[float, float] | None:
    """Torque that buckles the tube, or None where it is too thick or short to buckle before it yields."""
    if tube.ply_angle_rad is not None:
        radius = 0.5 * (tube.outside_mm - tube.wall_mm)
        ends = [2.0 * math.pi * radius**2 * tube.wall_mm * 0.272 * (along * around**3) ** 0.25
                * (tube.wall_mm / radius) ** 1.5
                for along, around in zip(stuff.modulus_mpa, stuff.round_mpa, strict=True)]  # fmt: skip
        return min(ends), max(ends)
    try:
        torque = tube_torsion_buckling(tube.outside_mm, tube.wall_mm, length_mm, stuff.modulus_mpa[0], stuff.poisson)
    except ValueError:
        return None
    return torque, torque


def _room_told(tube: ShaftTube, case: TubeCase, told: list[tuple[Verdict, str]]) -> float | None:
    least: float | None = None
    for room in case.rooms:
        gap = room.room_mm - tube.outside_mm / 2.0
        spare = gap - room.required_mm
        least = spare if least is None else min(least, spare)
        doubt = "" if room.sd_mm is None else f", give or take {SURE * room.sd_mm:.0f}"
        told.append((verdict_on(gap, gap, room.required_mm, room.sd_mm),
                     f"{gap:.0f} mm{doubt} to {room.name}, {room.required_mm:.0f} mm asked for"))  # fmt: skip
    return least


def choose_tubes(
    case: TubeCase, tubes: tuple[ShaftTube, ...] | None = None, choices: Mapping[str, str] | None = None
) -> tuple[TubeAnswer, ...]:
    """Every tube against the case, best first: what passes before what cannot be told before what does not; among
    equals the lightest. A tube that the formulas refuse comes last with the refusal.

    Parameters
    ----------
    tubes : tuple
        the list to choose from; the packaged one when None

    Raises
    ------
    ValueError
        for an empty list

    Source: see :func:`hold_tube`.
    """
    offered = listed_tubes() if tubes is None else tubes
    if not offered:
        raise ValueError("there is no tube to choose from; name at least one, or take the packaged list")
    answers = [_held(tube, case, choices) for tube in offered]
    return tuple(sorted(answers, key=lambda a: (RANK[a.verdict] * -1, a.mass_kg[1], a.tube.name)))


def _held(tube: ShaftTube, case: TubeCase, choices: Mapping[str, str] | None) -> TubeAnswer:
    try:
        return hold_tube(tube, case, choices)
    except ValueError as refusal:
        return TubeAnswer(tube, Verdict.CANNOT_TELL, (0.0, 0.0), math.inf, None, None, None, (0.0, 0.0),
                          (math.inf, math.inf), None, (f"not worked out: {refusal}",))  # fmt: skip


@dataclass(frozen=True, slots=True)
class OnePiece:
    """Whether a two-piece shaft may become one. ``best`` is the best tube for one piece; ``freed`` what is left over
    then; ``to_cut`` the neighbours that must go or give way for it; ``reason`` in a sentence."""

    verdict: Verdict
    best: TubeAnswer
    freed: tuple[str, ...]
    to_cut: tuple[str, ...]
    reason: str
    answers: tuple[TubeAnswer, ...]


def one_piece(
    case: TubeCase,
    freed: tuple[str, ...],
    tubes: tuple[ShaftTube, ...] | None = None,
    choices: Mapping[str, str] | None = None,
) -> OnePiece:
    """May a two-piece shaft be turned into one: which tube, what is left over, what has to be cut.

    The case is that of the single piece: whole length, and the room along the straight line between its joints. First
    it is tried with every neighbour in place, then with those gone that can go. Angles and plunge of the single piece
    are checks of their own.

    Parameters
    ----------
    freed : tuple of str
        what the second piece needed and one piece does not: centre bearing, its bracket, a cross member's drop

    Raises
    ------
    ValueError
        as :func:`choose_tubes`

    Source: see :func:`hold_tube`.
    """
    answers = choose_tubes(case, tubes, choices)
    best = answers[0]
    if best.verdict is Verdict.FITS:
        return OnePiece(Verdict.FITS, best, freed, (), f"one piece of {best.tube.name} will do: {best.why[0]}", answers)
    stays = tuple(r for r in case.rooms if not r.can_go)
    if len(stays) < len(case.rooms):
        without = choose_tubes(replace(case, rooms=stays), tubes, choices)
        if without[0].verdict is Verdict.FITS:
            best = without[0]
            in_way = tuple(r.name for r in case.rooms if r.can_go and not _clears(best.tube, r))
            reason = f"one piece of {best.tube.name} will do once room is made at {', '.join(in_way)}"
            return OnePiece(Verdict.FITS_AFTER_WORK, best, freed, in_way, reason, without)
    reason = f"keep two pieces: with the best single tube, {best.tube.name}: {best.why[0]}"
    if best.verdict is Verdict.CANNOT_TELL:
        reason = f"cannot tell yet; the best single tube is {best.tube.name}: {best.why[0]}"
    return OnePiece(best.verdict, best, (), (), reason, answers)


def _clears(tube: ShaftTube, room: Room) -> bool:
    gap = room.room_mm - tube.outside_mm / 2.0
    return verdict_on(gap, gap, room.required_mm, room.sd_mm) is Verdict.FITS
