"""Lines whose two ends do not meet: the cheapest fittings between them, and the list for the bag."""

from collections.abc import Mapping
from dataclasses import dataclass

from trialfit.checks.assembly import ChainAsked, chains_asked
from trialfit.checks.pairs import slug
from trialfit.findings import Finding, Verdict
from trialfit.mates.chain import BagItem, Chains, Middle, bag_list, cheapest_chains
from trialfit.mates.hydraulic import end_of
from trialfit.vehicle import Build

MIDDLES = {"hose": "hose", "pipe": "tube", "tee": "tee"}
"""What the builder says a line goes by, and what the search calls it."""


@dataclass(frozen=True, slots=True)
class ChainResult:
    """One line: its number in the file from 1, what was asked, the chains found (None when the ends are not known well
    enough), and the fittings of the best for the bag."""

    number: int
    asked: ChainAsked
    chains: Chains | None
    bag: tuple[BagItem, ...]


def fitting_chains(build: Build, sizes: Mapping[str, tuple[float, float]], found: list[Finding]
                   ) -> tuple[ChainResult, ...]:  # fmt: skip
    """Every chain of fittings that the build asks for, in the order of the file; each adds one finding, but for two
    ends that are a joint of the build as well: the joint tells its way out.

    Parameters
    ----------
    sizes : mapping
        size readings by name: amount and standard deviation [mm]
    """
    results: list[ChainResult] = []
    joined = {frozenset((mate.a, mate.b)) for mate in build.mates}
    used: set[str] = set()
    for number, asked in enumerate(chains_asked(build, sizes), 1):
        name = f"chain.{slug(asked.name)}"
        name = name if name not in used else f"{name}-{number}"
        used.add(name)
        result, finding = _one(number, asked, name)
        results.append(result)
        wish = asked.wish
        if wish.by not in ("", "none") or frozenset((wish.start, wish.end)) not in joined:
            found.append(finding)
    return tuple(results)


def _one(number: int, asked: ChainAsked, name: str) -> tuple[ChainResult, Finding]:
    a, b = end_of(asked.a), end_of(asked.b)
    where = asked.wish.where
    line = f"line {number}, {asked.name}"
    if a is None or b is None:
        which = asked.start if a is None else asked.end
        return ChainResult(number, asked, None, ()), Finding(
            name, Verdict.CANNOT_TELL, f"{line}: the sealing form of {which} is not known",
            "look at the seat: cone, bubble, flat with a washer, O-ring; measure its angle, and gauge the thread",
            where=where)
    middle = None if asked.wish.by in ("", "none") else Middle(MIDDLES[asked.wish.by])
    try:
        chains = cheapest_chains(a, b, asked.wish.use, middle=middle)
    except ValueError as error:
        return ChainResult(number, asked, None, ()), Finding(
            name, Verdict.CANNOT_TELL, f"{line}: {error}", "mend what is named", where=where)
    if chains.refused:
        return ChainResult(number, asked, chains, ()), Finding(
            name, Verdict.DOES_NOT_FIT, f"{line}: {'; '.join(ban.reason for ban in chains.refused)}",
            "change that end", source=chains.refused[0].source, where=where, caution=chains.caution)
    if not chains.best:
        made = "" if chains.made is None else chains.made.words.removeprefix("none exists: ")
        return ChainResult(number, asked, chains, ()), Finding(
            name, Verdict.DOES_NOT_FIT,
            f"{line}: none exists: no chain of standard fittings joins {a.told} to {b.told}", made, where=where,
            caution=chains.caution)
    best = chains.best[0]
    plain = not best.placed
    notes = "; ".join(w for w in ("" if plain else best.words(), chains.note) if w)
    joints = f"{best.joints} joint{'' if best.joints == 1 else 's'} to keep tight"
    fittings = sum(p.form not in MIDDLES.values() for p in best.placed)
    some = "1 fitting joins" if fittings == 1 else f"{fittings} fittings join"
    words = f"{some} {a.told} to {b.told}, {joints}"
    if plain:
        words = "its ends go together as they are"
    return ChainResult(number, asked, chains, bag_list(f"{number}", best)), Finding(
        name, Verdict.FITS if plain else Verdict.FITS_AFTER_WORK, f"{line}: {words}", notes, where=where,
        caution=chains.caution)
