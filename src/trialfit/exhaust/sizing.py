"""Which diameter: back pressure against what each step costs in room and money."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialfit.exhaust.chain import Chain
from trialfit.exhaust.heat import OUTLET, EndCone, Flow, HotRun, run_hot
from trialfit.structure.tube import tube_bore_mm


@dataclass(frozen=True, slots=True)
class PipeChoice:
    """A tube to be had: outside diameter, wall [mm], price for a metre."""

    outside_mm: float
    wall_mm: float
    price_per_m: float = 0.0


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One diameter: back pressure low and high [MPa], greatest speed [mm/s] and Mach number, what every gap along the
    pipe loses against the pipe laid now [mm, below 0 gains], what the tube costs, None where nobody said a price, and
    its mass [kg]. ``refused`` says
    why there are no figures; the transitions from and to the outlet's size are in the pressure."""

    choice: PipeChoice
    back_mpa: tuple[float, float] | None
    speed_mm_s: float
    mach: float
    gap_lost_mm: float
    money: float | None
    mass_kg: float
    refused: str = ""


SAME_MM = 0.5
"""Bores that differ by less are butted without a cone [mm]; common practice, no source."""
CONE_LENGTHS = 2.5
"""Length of a transition in differences of diameter: an angle of about 23 deg; common practice, no source."""


def with_pipe(chain: Chain, choice: PipeChoice) -> Chain:
    """The same line in another tube; parts stay as they are."""
    scale = (choice.outside_mm - choice.wall_mm) * choice.wall_mm
    elements = []
    for e in chain.elements:
        mass = e.mass_kg
        if not e.is_part and mass is not None:
            mass *= scale / ((e.outside_mm - e.wall_mm) * e.wall_mm)
        elements.append(replace(e, outside_mm=choice.outside_mm, wall_mm=choice.wall_mm, mass_kg=mass))
    return replace(chain, elements=tuple(elements))


def by_diameter(chain: Chain, flow: Flow, choices: Sequence[PipeChoice]) -> tuple[SizeRow, ...]:
    """One row for every tube, narrow to wide.

    A pipe of another size than the outlet's gets a cone there; the outlet has the bore of the flow's own cone, else
    that of the laid pipe. Bends keep their radii, which flatters a wide pipe where its bends would be tighter for their
    size.

    Raises
    ------
    ValueError
        without a tube, or for one that has no bore
    """
    if not choices:
        raise ValueError("name at least one tube to compare, e.g. 63.5 x 1.5 mm")
    own = chain.elements[0]
    said = next((c for c in flow.cones if c.at == OUTLET), None)
    outlet = tube_bore_mm(own.outside_mm, own.wall_mm) if said is None else said.bore_mm
    others = tuple(c for c in flow.cones if c.at != OUTLET)
    rows = []
    for choice in sorted(choices, key=lambda c: c.outside_mm):
        bore = tube_bore_mm(choice.outside_mm, choice.wall_mm)
        other = with_pipe(chain, choice)
        pipe = [e for e in other.elements if not e.is_part]
        length = math.fsum(e.length_mm for e in pipe)
        money = choice.price_per_m * length / 1000.0 if choice.price_per_m else None
        mass = math.fsum(e.mass_kg or 0.0 for e in pipe)
        lost = 0.5 * (choice.outside_mm - own.outside_mm)
        tight = next((e for e in pipe if 0.0 < e.radius_mm < 0.5 * choice.outside_mm), None)
        if tight is not None:
            rows.append(SizeRow(choice, None, 0.0, 0.0, lost, money, mass,
                                f"{tight.name} has a radius of {tight.radius_mm:g} mm, less than half the pipe"))
            continue
        cones = others
        if abs(outlet - bore) >= SAME_MM:
            length = CONE_LENGTHS * abs(outlet - bore) if said is None else said.length_mm
            cones = (EndCone("cone at the outlet", OUTLET, outlet, length), *others)
        try:
            run = run_hot(other, replace(flow, cones=cones))
        except ValueError as error:
            rows.append(SizeRow(choice, None, 0.0, 0.0, lost, money, mass, str(error)))
            continue
        rows.append(SizeRow(choice, run.back_mpa, run.fastest.speed_mm_s, run.fastest.mach, lost, money, mass))
    return tuple(rows)


def noted(run: HotRun) -> tuple[str, ...]:
    """What a reader must know of the figures."""
    words = ["steady flow, the pulses of the engine left out: compare pipes by it, do not set an engine by it"]
    if run.assumed:
        words.append(f"loss by the rule for its kind, nobody gave its own: {', '.join(run.assumed)}")
    return tuple(words)
