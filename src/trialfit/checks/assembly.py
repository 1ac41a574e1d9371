"""Joints between parts: sizes filled in from the survey, each joint judged by its kind, and the findings of all."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from trialfit.checks.pairs import slug
from trialfit.findings import Finding, Verdict
from trialfit.mates import Answer, Joint, Layer, MateKind, worst
from trialfit.mates.gathered import MATE_KINDS
from trialfit.parts import Fact, Part, Port, SizeRead, Value
from trialfit.units import in_unit
from trialfit.vehicle import Build, ChainWish, MateSaid, PortAt

Sizes = Mapping[str, tuple[float, float]]
"""Each size reading's name to its amount and standard deviation [mm]."""


@dataclass(frozen=True, slots=True)
class MateResult:
    """A joint, what is said of it, and its verdict: that of its worst answer."""

    joint: Joint
    answers: tuple[Answer, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ChainAsked:
    """A chain of fittings that is wanted between two ports, with their sizes known as far as they are. ``start`` and
    ``end`` are what the two ends are called, by their part alone where it has no other port."""

    start: str
    end: str
    wish: ChainWish
    a: Port
    b: Port
    length: Fact | None

    @property
    def name(self) -> str:
        """Both ends in words."""
        return f"{self.start} to {self.end}"


def joints_of(build: Build, sizes: Sizes, choices: Mapping[str, str]) -> tuple[Joint, ...]:
    """Every joint of a build with its sizes known as far as they are.

    A size whose reading gave nothing is left out, so that its joint says what to measure. Two sizes from one reading
    are taken as independent, which errs on the side of more doubt in their difference and of less in their sum.

    Parameters
    ----------
    sizes : mapping
        size readings by name: amount and standard deviation [mm]
    choices : mapping
        rule name to the version that the builder put in force

    Returns
    -------
    tuple of Joint
        in the order of the file

    Raises
    ------
    ValueError
        when a joint names a part or port that the build does not have: never for a build that was read from a file
    """
    parts = {part.name: part for part in build.parts}
    known: dict[PortAt, Port] = {}
    return tuple(_joint(mate, parts, known, sizes, choices) for mate in build.mates)


def chains_asked(build: Build, sizes: Sizes) -> tuple[ChainAsked, ...]:
    """Every chain of fittings that a build asks for, in the order of the file.

    Parameters
    ----------
    sizes : mapping
        size readings by name: amount and standard deviation [mm]

    Raises
    ------
    ValueError
        when a chain names a part or port that the build does not have: never for a build that was read from a file
    """
    parts = {part.name: part for part in build.parts}
    return tuple(
        ChainAsked(_short(parts, wish.start), _short(parts, wish.end), wish, _port(parts, wish.start, sizes),
                   _port(parts, wish.end, sizes), None if wish.length is None else _fact(wish.length, sizes))
        for wish in build.chains)  # fmt: skip


def _short(parts: Mapping[str, Part], at: PortAt) -> str:
    """A port by its part alone where that has no other."""
    part = parts.get(at.part)
    return at.part if part is not None and len(part.ports) == 1 else f"{at}"


def _joint(mate: MateSaid, parts: Mapping[str, Part], known: dict[PortAt, Port], sizes: Sizes,
           choices: Mapping[str, str]) -> Joint:  # fmt: skip
    for at in (mate.a, mate.b):
        if at not in known:
            known[at] = _port(parts, at, sizes)
    layers = tuple(Layer(layer.name, None if layer.thickness is None else _fact(layer.thickness, sizes))
                   for layer in mate.layers)
    return Joint(_known(mate.values, sizes), mate.name, mate.kind, known[mate.a], known[mate.b], mate.a.part,
                 mate.b.part, parts[mate.a.part].material, parts[mate.b.part].material, layers, mate.use,
                 dict(choices), mate.where)  # fmt: skip


def _port(parts: Mapping[str, Part], at: PortAt, sizes: Sizes) -> Port:
    part = parts.get(at.part)
    port = None if part is None else part.port(at.port)
    if port is None:
        raise ValueError(f"the build has no port {at}")
    return Port(_known(port.values, sizes), port.kind, port.name, port.where)


def _known(values: Mapping[str, Value], sizes: Sizes) -> dict[str, Value]:
    found: dict[str, Value] = {}
    for key, value in values.items():
        if isinstance(value, SizeRead):
            fact = _fact(value, sizes)
            if fact is not None:
                found[key] = fact
        else:
            found[key] = value
    return found


def _fact(value: Fact | SizeRead, sizes: Sizes) -> Fact | None:
    if isinstance(value, Fact):
        return value
    if value.name not in sizes:
        return None
    amount, sd = sizes[value.name]
    return Fact(amount, sd, f"size reading {value.name}")


def assembled(joints: Iterable[Joint], kinds: Sequence[MateKind] = MATE_KINDS) -> tuple[MateResult, ...]:
    """Each joint judged by its kind.

    A joint that its kind refuses to judge, for a size out of the range in which it knows anything, cannot be told, and
    the reason is the refusal.

    Raises
    ------
    ValueError
        for a joint of a kind that is not among ``kinds``
    """
    known = {kind.name: kind for kind in kinds}
    found: list[MateResult] = []
    for joint in joints:
        if joint.kind not in known:
            raise ValueError(f"no kind of joint is called '{joint.kind}'; known: {', '.join(known)}")
        answers = _judged(known[joint.kind], joint)
        found.append(MateResult(joint, answers, worst(answers)))
    return tuple(found)


def _judged(kind: MateKind, joint: Joint) -> tuple[Answer, ...]:
    try:
        answers = kind.judge(joint)
    except (ValueError, ArithmeticError) as refusal:
        return (Answer("sizes", Verdict.CANNOT_TELL, f"it cannot be judged: {refusal}",
                       remedy="check the sizes written for this joint and its two ports"),)
    return answers or (Answer("sizes", Verdict.CANNOT_TELL, "nothing is asked of a joint that knows so little",
                              measure="measure both ports, and write down what is known of each"),)


def mate_names(results: Iterable[MateResult]) -> tuple[str, ...]:
    """What the findings of each joint begin with, ``mate.JOINT``, in the same order; a name that stands already gets a
    number, as two names in letters that no finding can hold would."""
    used: set[str] = set()
    return tuple(_unused(f"mate.{slug(result.joint.name) or 'joint'}", used) for result in results)


def mate_findings(results: Iterable[MateResult]) -> tuple[Finding, ...]:
    """One finding for each answer of each joint, ``mate.JOINT.QUESTION``; a name that stands already gets a number.

    What is to be measured stands first in the remedy, then what is to be done.
    """
    results = tuple(results)
    used: set[str] = set()
    found: list[Finding] = []
    for result, joint in zip(results, mate_names(results), strict=True):
        for answer in result.answers:
            name = _unused(f"{joint}.{slug(answer.question) or 'question'}", used)
            found.append(_finding(name, answer, result.joint))
    return tuple(found)


def _unused(name: str, used: set[str]) -> str:
    number, free = 1, name
    while free in used:
        number += 1
        free = f"{name}-{number}"
    used.add(free)
    return free


def _finding(name: str, answer: Answer, joint: Joint) -> Finding:
    todo = answer.remedy or "; ".join(work.words for work in answer.works)
    remedy = "; ".join(text for text in (answer.measure, todo) if text)
    margin, sd = (None if v is None else in_unit(v, answer.unit) for v in (answer.margin, answer.sd))
    return Finding(name, answer.verdict, f"{joint.name}: {answer.reason}", remedy, margin, sd, answer.unit, answer.rule,
                   answer.source, joint.where, answer.caution)  # fmt: skip
