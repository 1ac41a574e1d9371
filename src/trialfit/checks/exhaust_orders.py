"""The orders to the exhaust shop and to the coater: what the build works out, with what the builder answers beside it.

The lists are tables in ``standards`` (``order_fields_exhaust_shop``, ``order_fields_coater``). An answer that
somebody's safety hangs on and that is missing stops the order, and so does one that forbids the work.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline.order_fields import (
    BUILDER,
    DERIVED,
    Check,
    Doubt,
    Given,
    Order,
    accepted,
    applies,
    asked_fields,
    made,
    too_doubtful,
)
from trialfit.exhaust.bend_table import BenderTable, TubeRun, all_tube_mm
from trialfit.exhaust.beside import Beside, on_section
from trialfit.exhaust.chain import Chain, Element, section_name, sections
from trialfit.exhaust.hanging import point_on
from trialfit.exhaust.heat import HotRun
from trialfit.findings import Finding, Verdict
from trialfit.standards import refuse_outside

Floats = NDArray[np.float64]
EXHAUST, COATER = "exhaust_shop", "coater"
_ZERO_K = 273.15


@dataclass(frozen=True, slots=True)
class ExhaustForOrder:
    """What the build knows of one exhaust. ``gaps`` are the smallest over the travel: with what, the gap and its
    standard deviation [mm]; ``hangers`` the places where it hangs, in words; ``run`` is None while nobody gave the
    gas; ``length_sd_mm`` is the doubt of the whole centre line; ``beside`` the branches and cones that are welded on;
    ``tube`` the runs of tube that can be bent in one go; ``clashes`` what the file says twice and differently, which
    stops the order."""

    chain: Chain
    bends: BenderTable | None
    gaps: tuple[tuple[str, float, float | None], ...] = ()
    hangers: tuple[str, ...] = ()
    run: HotRun | None = None
    load_state: str = ""
    vehicle: str = ""
    length_sd_mm: float | None = None
    beside: tuple[Beside, ...] = ()
    tube: tuple[TubeRun, ...] = ()
    clashes: tuple[Finding, ...] = ()


# -- exhaust shop -----------------------------------------------------------------------------------------------


def exhaust_shop_order(known: ExhaustForOrder, given: Mapping[str, Given], findings: Sequence[Finding] = ()) -> Order:
    """The order to an exhaust shop.

    Parameters
    ----------
    known : ExhaustForOrder
        what the build works out
    given : mapping of str to Given
        field of the list ``order_fields_exhaust_shop`` to the builder's answer
    findings : sequence of Finding
        of this route; one that does not fit or cannot be told stops the order

    Raises
    ------
    ValueError
        for a field the list has not, or an answer out of its range

    Source: common practice, no source.
    """
    answers = accepted(EXHAUST, given)
    for key, words in (("load_state", known.load_state), ("vehicle", known.vehicle),
                       ("hangers", _joined(known.hangers))):
        if key not in answers and words:
            answers[key] = Given(words, None, "build file")
    answers |= _exhaust_worked_out(known)
    checks, stops = _exhaust_checks(answers, known)
    stops += [Doubt(f.name, f.reason, f.remedy, True) for f in known.clashes]
    return _order(EXHAUST, f"Exhaust order: {known.chain.route}", answers, checks, stops, findings)


def _joined(words: Sequence[str]) -> str:
    return "; ".join(words)


def _exhaust_worked_out(known: ExhaustForOrder) -> dict[str, Given]:
    chain = known.chain
    pipe = next((e for e in chain.elements if not e.is_part), chain.elements[0])
    radii = sorted({round(e.radius_mm, 2) for e in chain.elements if e.turn_rad > 0.0})
    boxes = [e for e in chain.elements if e.is_part and e.kind not in ("joint", "bellows")]
    joints = [e for e in chain.elements if e.is_part and e.kind in ("joint", "bellows")]
    found = {
        "wall": f"{pipe.wall_mm:g} mm ({pipe.wall_mm / 25.4:.3f} in)",
        "bend_radius": f"{', '.join(f'{r:g}' for r in radii)} mm" if radii else "",
        "joints": _joined([_part_words(e) for e in joints]),
        "parts": _joined([*(_part_words(e) for e in boxes), *(b.words for b in known.beside)]),
        "has_parts": "yes" if boxes else "no",
        "has_catalyst": "yes" if any(e.kind == "catalyst" for e in boxes) else "no",
        "tail": f"{place_words(chain.elements[-1].end)} mm; points {way_words(chain.elements[-1].way_out)}",
        "sections": _joined(_sections_words(known)),
        "closest": _joined([f"{name}: {_gap_words(mm, sd)}" for name, mm, sd in known.gaps]),
    }
    if known.bends is not None:
        found["points"] = _joined([f"{n}: {place_words(p)} mm" for n, p in enumerate(known.bends.points)])
        found["bends"] = _joined(_run_words(known.tube))
    else:
        ends = (chain.elements[0].start, chain.elements[-1].end)
        found["points"] = _joined([f"{n}: {place_words(p)} mm" for n, p in enumerate(ends)])
    if known.run is not None:
        low, high = (1000.0 * b for b in known.run.back_mpa)
        found["back_pressure"] = f"{low:.1f} to {high:.1f} kPa ({low / 6.894757:.2f} to {high / 6.894757:.2f} psi)"
    told = {key: Given(value, None, "") for key, value in found.items() if value}
    return told | {"outside": Given(pipe.outside_mm, 0.0, "as chosen"),
                   "length": Given(chain.length_mm, known.length_sd_mm, "")}


def place_words(point: Sequence[float] | Floats) -> str:
    """A place in the vehicle in words [mm].

    >>> place_words((2180.0, -218.0, 246.0))
    '2180 rearward, 218 left, 246 high'
    """
    x, y, z = (float(v) for v in point)
    side = "on the centre line" if abs(y) < 0.5 else f"{abs(y):.0f} {'right' if y > 0.0 else 'left'}"
    return f"{x:.0f} rearward, {side}, {z:.0f} high"


def way_words(way: Sequence[float] | Floats) -> str:
    """Which way something points, in words.

    >>> way_words((1.0, 0.0, 0.0)), way_words((0.5, 0.8, -0.2))
    ('rearward', 'rearward and 58 deg to the right, 12 deg down')
    """
    x, y, z = (float(v) for v in way)
    aside, up = math.degrees(math.atan2(y, abs(x))), math.degrees(math.atan2(z, math.hypot(x, y)))
    words = "rearward" if x >= 0.0 else "forward"
    if abs(aside) >= 1.0:
        words += f" and {abs(aside):.0f} deg to the {'right' if aside > 0.0 else 'left'}"
    if abs(up) >= 1.0:
        words += f", {abs(up):.0f} deg {'up' if up > 0.0 else 'down'}"
    return words


def _part_words(e: Element) -> str:
    round_one = abs(e.width_mm - e.height_mm) < 0.5
    size = f"\u00d8 {e.width_mm:.0f}" if round_one else f"{e.width_mm:.0f} x {e.height_mm:.0f}"
    name = e.name if e.kind in e.name else f"{e.name} ({e.kind})"
    return f"{name} from {e.from_mm:.0f} to {e.to_mm:.0f} mm, body {size} mm"


def _run_words(runs: Sequence[TubeRun]) -> list[str]:
    """Every run of tube with its ends, its bends and its cut length, then all tube together."""
    told: list[str] = []
    for run in runs:
        rows = [f"{run.bends + r.number}: {r.feed_mm:.1f} mm / {math.degrees(r.rotation_rad):+.1f} deg / "
                f"{math.degrees(r.bend_rad):.1f} deg at {r.radius_mm:g} mm" for r in run.table.rows]
        if run.from_last_rad is not None:
            turned = math.degrees(run.from_last_rad)
            rows.insert(0, f"put on with its first bend {turned:+.1f} deg from bend {run.bends}")
        rows.append(f"then {run.table.last_mm:.1f} mm" if run.table.rows else "straight")
        told.append(f"run {run.number}, {run.before} to {run.after}, {run.table.tube_mm:.1f} mm of tube, "
                    + ", ".join(rows))
    if len(runs) > 1:
        told.append(f"all tube {all_tube_mm(runs):.1f} mm, parts left out")
    return told


def _sections_words(known: ExhaustForOrder) -> list[str]:
    parts = sections(known.chain)
    told = []
    for number, part in enumerate(parts, 1):
        beside = on_section(parts, number, known.beside)
        weighed = all(e.mass_kg is not None for e in part)
        mass = math.fsum([*(e.mass_kg or 0.0 for e in part), *(b.mass_kg for b in beside)])
        words = f"{mass:.1f} kg" if weighed else "mass not known"
        on = f", {' and '.join(b.name for b in beside)} on it" if beside else ""
        told.append(f"{section_name(part, number)}: {part[0].from_mm:.0f} to {part[-1].to_mm:.0f} mm{on}, {words}")
    return told


def _gap_words(mm: float, sd: float | None) -> str:
    return f"{mm:.0f} mm, doubt not known" if sd is None else f"{mm:.0f} \u00b1 {math.ceil(1.96 * sd - 1e-6)} mm"


def _exhaust_checks(answers: Mapping[str, Given], known: ExhaustForOrder) -> tuple[list[Check], list[Doubt]]:
    checks: list[Check] = []
    stops: list[Doubt] = []

    def look(key: str, holds: bool | None, what: str, reason: str, measure: str) -> None:
        checks.append(Check(key, what, holds))
        if holds is False:
            stops.append(Doubt(key, f"{reason[:1].upper()}{reason[1:]}", measure, True))

    zinc, tail = _word(answers, "zinc"), _word(answers, "beyond_cabin")
    look("zinc", None if not zinc else zinc == "no", "no zinc-coated tube or flange is to be welded",
         "a zinc-coated part would be welded; its fumes poison", "take bare steel or stainless in its place")
    look("beyond_cabin", None if not tail else tail == "yes", "the tail ends beyond the cabin",
         "the tail ends under or beside the cabin: carbon monoxide gets in", "lay the tail further, and look again")
    weighed = all(e.mass_kg is not None for e in known.chain.elements)
    checks.append(Check("mass", "every part on the pipe is weighed, so that hangers can be chosen", weighed or None))
    return checks, stops


def _word(answers: Mapping[str, Given], key: str) -> str:
    value = answers[key].value if key in answers else ""
    return value if isinstance(value, str) else ""


def _number(answers: Mapping[str, Given], key: str) -> float | None:
    value = answers[key].value if key in answers else None
    return float(value) if isinstance(value, int | float) else None


# -- coater -----------------------------------------------------------------------------------------------------


def coater_order(known: ExhaustForOrder | None, given: Mapping[str, Given], findings: Sequence[Finding] = ()) -> Order:
    """The order to a powder coater or plater.

    Parameters
    ----------
    known : ExhaustForOrder or None
        the exhaust, when that is what is coated: its mass, its box and how hot its skin gets; None for another part
    given : mapping of str to Given
        field of the list ``order_fields_coater`` to the builder's answer; a part that is no exhaust may say
        ``mass`` and ``skin_temperature`` itself
    findings : sequence of Finding
        that the part hangs on; one that does not fit or cannot be told stops the order

    Raises
    ------
    ValueError
        for a field the list has not, or an answer out of its range

    Source: common practice, no source.
    """
    own = {key: given[key] for key in ("mass", "skin_temperature") if key in given and known is None}
    answers = accepted(COATER, {key: one for key, one in given.items() if key not in own})
    for key, one in own.items():
        asked = next(a for a in asked_fields(COATER) if a.key == key)
        if not isinstance(one.value, int | float):
            raise ValueError(f"{asked.row['name']} ({key}) is {one.value!r}; it must be an amount")
        refuse_outside(f"{asked.row['name']} ({key})", float(one.value), asked.amount("low"), asked.amount("high"),
                       asked.row["unit"])
        answers[key] = Given(float(one.value), one.sd, one.source)
    if known is not None:
        answers |= _coater_worked_out(known)
        if "vehicle" not in answers and known.vehicle:
            answers["vehicle"] = Given(known.vehicle, None, "build file")
    checks, stops = _coater_checks(answers)
    title = "Coating order" if known is None else f"Coating order: {known.chain.route} exhaust"
    return _order(COATER, title, answers, checks, stops, findings)


def _coater_worked_out(known: ExhaustForOrder) -> dict[str, Given]:
    chain = known.chain
    found: dict[str, Given] = {}
    if chain.mass_kg is not None:
        whole = math.fsum([chain.mass_kg, *(b.mass_kg for b in known.beside)])
        found["mass"] = Given(whole, None, "tube by its section, parts as weighed")
    lows, highs = [], []
    for e in chain.elements:
        # bends bulge past their ends; a slanted box may reach a little less far than is counted, never farther
        line = np.array([point_on(chain, s)[0] for s in np.linspace(e.from_mm, e.to_mm, 9)])
        across = e.width_mm if e.width_mm == e.height_mm else math.hypot(e.width_mm, e.height_mm)
        half = 0.5 * max(e.outside_mm, across if e.is_part else 0.0)
        lows.append(line.min(axis=0) - half)
        highs.append(line.max(axis=0) + half)
    lows += [np.array(b.low_mm) for b in known.beside]
    highs += [np.array(b.high_mm) for b in known.beside]
    box = np.sort(np.max(highs, axis=0) - np.min(lows, axis=0))[::-1]
    words = " x ".join(f"{math.ceil(v / 10.0) * 10:.0f}" for v in box)
    found["envelope"] = Given(f"{words} mm; comes in {len(sections(chain))} {_many(len(sections(chain)))}", None, "")
    if known.run is not None:
        hottest = max(s.metal_k[1] for s in known.run.stations)
        found["skin_temperature"] = Given(hottest, None, "worked out along the pipe, high end, under any wrap")
    return found


def _many(count: int) -> str:
    return "section" if count == 1 else "sections"


_COLD_COATS = {"zinc plating": 393.15, "zinc-nickel plating": 423.15, "powder coating": 473.15}
"""Highest that these usually stand [K]; from memory, the data sheet's own figure goes before it."""


def _coater_checks(answers: Mapping[str, Given]) -> tuple[list[Check], list[Doubt]]:
    checks: list[Check] = []
    stops: list[Doubt] = []

    def look(key: str, holds: bool | None, what: str, reason: str, measure: str) -> None:
        checks.append(Check(key, what, holds))
        if holds is False:
            stops.append(Doubt(key, f"{reason[:1].upper()}{reason[1:]}", measure, True))

    hot, limit = _number(answers, "skin_temperature"), _number(answers, "coating_limit")
    if hot is not None and limit is not None:
        look("coating_limit", hot <= limit, "the coating stands the heat of use",
             f"the part gets {hot - _ZERO_K:.0f} degC and the coating stands {limit - _ZERO_K:.0f} degC",
             "choose a coating for exhausts, or leave this stretch bare")
    process = _word(answers, "process")
    if hot is not None and process in _COLD_COATS:
        usual = _COLD_COATS[process]
        off = "it burns off" if process == "powder coating" else "zinc gives off fumes that poison"
        look("process", hot <= usual, f"{process} stands the heat of use",
             f"{process} usually stands {usual - _ZERO_K:.0f} degC (from memory), the part gets {hot - _ZERO_K:.0f} "
             f"degC: {off}", "choose a ceramic exhaust coating or leave it bare")
    for key, bad, what, reason, measure in (
            ("closed_tubes", "not vented", "no tube is closed at both ends", "a closed tube bursts in the oven or bath",
             "drill a vent hole where it does no harm, and weld it shut after"),
            ("signed_off", "no", "all welding, drilling and fit-up is signed off",
             "work on the part is not signed off; welds and cracks cannot be seen under a coat",
             "finish, check on the vehicle, photograph, then coat"),
            ("brake_parts", "yes", "no brake pipe or friction surface is among them",
             "brake pipes and friction surfaces are not coated", "take them out of the batch"),
            ("wheels", "yes, not asked", "wheels and bonded mounts stand the cure",
             "nobody asked the maker whether wheels or bonded mounts stand the cure",
             "ask the maker, or leave them out"),
            ("hardened", "yes", "no spring and no hardened part is among them",
             "heat softens hardened parts and plating makes them brittle", "take them out of the batch")):
        word = _word(answers, key)
        look(key, None if not word else word != bad, what, reason, measure)
    return checks, stops


# -- what both share --------------------------------------------------------------------------------------------


def _order(kind: str, title: str, answers: Mapping[str, Given], checks: Sequence[Check], stops: Sequence[Doubt],
           findings: Sequence[Finding]) -> Order:  # fmt: skip
    fields = tuple(made(a, answers.get(a.key), {}) for a in asked_fields(kind) if applies(a, answers))
    missing = tuple(f for f in fields if f.value is None and (
        f.asked == BUILDER or (f.asked == DERIVED and f.life_critical)))
    missing = tuple(f if f.measure else replace(f, measure=_DERIVE.get(f.key, "finish the build file"))
                    for f in missing)
    doubts = [d for d in (too_doubtful(f) for f in fields) if d is not None]
    doubts += [Doubt(f.name, f.reason, f.remedy or "settle it first", True) for f in findings
               if f.verdict in (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)]
    every = tuple(sorted([*stops, *doubts], key=lambda d: not d.blocks))
    may = not any(d.blocks for d in every) and not any(f.life_critical for f in missing)
    return Order(kind, title, fields, missing, every, tuple(checks), may, (), "")


_DERIVE = {"skin_temperature": "give the gas in the build file, or the part's own hottest temperature",
           "outside": "give the tube's diameter", "wall": "give the tube's wall"}
