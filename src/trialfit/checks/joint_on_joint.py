"""What the work at one joint does to another: one offset asked for twice, and a surface that two joints share."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from trialfit.checks.assembly import MateResult, assembled
from trialfit.findings import RANK, SURE, Verdict
from trialfit.mates import SIDES, Answer, Joint, MateKind, Work, both_sides, side_of, worst
from trialfit.mates.gathered import MATE_KINDS
from trialfit.parts import Fact, Port

BRACKET, CALIPER = "brake bracket", "brake caliper"
"""Kinds of port between which a brake's offset is measured two ways."""
_RESIZED = ("turn down", "open up", "drill")
"""Work that leaves a surface of another size, by which the other joints can be judged again."""
_RESHAPED = ("redrill", "slot")
"""Work on holes that other joints at the same face have to be looked at for."""


def told_of_each_other(results: Sequence[MateResult], kinds: Sequence[MateKind] = MATE_KINDS) -> tuple[MateResult, ...]:
    """The joints with what the work at one does to another said at both.

    Two shims that shift one caliper are one offset measured two ways: each says so, and that only one is done. Work
    that leaves a surface of another size is held against every other joint at that surface, which is judged again with
    the middle of the size to be worked to; a joint that fits today and will not then, is said not to.

    Parameters
    ----------
    results : sequence of MateResult
        every joint of the build, judged
    kinds : sequence of MateKind, optional
        the kinds by which they were judged

    Returns
    -------
    tuple of MateResult
        in the same order
    """
    return _surfaces(_offsets(results), kinds)


def seen_from(name: str, mine: str) -> str:
    """Another joint's name as it is said at this one: the same words on both sides of the vehicle.

    >>> seen_from("rear disc left", "rear bracket left"), seen_from("spare wheel", "front wheel left")
    ('rear disc, this side', 'spare wheel')
    """
    side = side_of(name)
    return f"{name.removesuffix(side).rstrip()}, this side" if side and side == side_of(mine) else name


def _apart(a: Joint, b: Joint) -> bool:
    """Whether they lie on the two sides of the vehicle, so that each has parts of its own."""
    return {side_of(a.name), side_of(b.name)} == set(SIDES)


# -- one offset, measured two ways ------------------------------------------------------------------------------


def _offsets(results: Sequence[MateResult]) -> tuple[MateResult, ...]:
    joints = [result.joint for result in results]
    moving = [(n, work) for n, result in enumerate(results) for a in result.answers for work in a.works if work.moves]
    told: dict[int, list[tuple[Work, str]]] = {}
    for n, work in moving:
        others = [seen_from(joints[m].name, joints[n].name) for m, other in moving
                  if m != n and not _apart(joints[n], joints[m]) and _one(joints, n, work.moves, m, other.moves)]
        told.setdefault(n, []).extend(
            (work, f"the same offset as at {name}: do one of the two, then measure again")
            for name in dict.fromkeys(others))
    return tuple(_with_words(result, told.get(n, ())) for n, result in enumerate(results))


def _one(joints: Sequence[Joint], n: int, part: str, m: int, other: str) -> bool:
    """Whether two shims shift the same thing: one part, or a caliper and the bracket that carries it."""
    if part == other:
        return True
    if any({part, other} <= _parts(joint) for joint in joints):
        return True
    ports = {_kind(joints[n], part): joints[n], _kind(joints[m], other): joints[m]}
    if set(ports) != {BRACKET, CALIPER}:
        return False
    bracket = part if _kind(joints[n], part) == BRACKET else other
    calipers = {p for joint in joints for p in _parts(joint) if _kind(joint, p) == CALIPER}
    carried = any(bracket in _parts(joint) and calipers & _parts(joint) for joint in joints)
    # no joint says which caliper the bracket carries: it is the one on the disc that the bracket was measured for
    return not carried and _one_disc(ports[BRACKET], ports[CALIPER])


def _one_disc(bracket: Joint, caliper: Joint) -> bool:
    said, disc = bracket.size("rotor offset"), caliper.a.size("offset")
    if said is None or disc is None:
        return False
    return abs(said.value - disc.value) <= SURE * math.hypot(said.sd or 0.0, disc.sd or 0.0) + 1e-9


def _parts(joint: Joint) -> set[str]:
    """The parts that meet in a joint, those clamped between among them."""
    return {*joint.parts, *(layer.name for layer in joint.layers)}


def _kind(joint: Joint, part: str) -> str:
    port = _port(joint, part)
    return "" if port is None else port.kind


def _port(joint: Joint, part: str) -> Port | None:
    return joint.a if joint.a_part == part else joint.b if joint.b_part == part else None


# -- a surface that two joints share ----------------------------------------------------------------------------


def _surfaces(results: Sequence[MateResult], kinds: Sequence[MateKind]) -> tuple[MateResult, ...]:
    mine: dict[int, list[tuple[Work, str]]] = {}
    theirs: dict[int, list[tuple[str, Answer, str]]] = {}
    for n, result in enumerate(results):
        for work in (w for answer in result.answers for w in answer.works):
            port = _port(result.joint, work.part)
            if port is None:
                continue
            sharing = [m for m, other in enumerate(results) if m != n and _shares(other.joint, result.joint, work.part)]
            key = _resized(port, work)
            if key:
                for m in sharing:
                    for answer, words in _judged_again(results[m], work, key, kinds):
                        mine.setdefault(n, []).append(
                            (work, f"after this {seen_from(results[m].joint.name, result.joint.name)} {words}"))
                        theirs.setdefault(m, []).append((result.joint.name, answer, words))
            elif work.kind in _RESHAPED:
                names = [seen_from(results[m].joint.name, result.joint.name) for m in sharing]
                mine.setdefault(n, []).extend((work, f"{name} uses the same face: look at it again") for name in names)
    done = [_with_words(result, mine.get(n, ())) for n, result in enumerate(results)]
    return tuple(_will_be(result, theirs.get(n, ())) for n, result in enumerate(done))


def _shares(other: Joint, joint: Joint, part: str) -> bool:
    """Whether another joint meets the same port of the same part, and is not that of the other side."""
    one, two = _port(joint, part), _port(other, part)
    return one is not None and two is not None and one.name == two.name and not _apart(joint, other)


def _resized(port: Port, work: Work) -> str:
    """Which size of the port the work changes; "" for none that is known."""
    if work.kind not in _RESIZED or work.target is None or work.found is None:
        return ""
    return next((key for key, value in port.values.items() if value is work.found), "")


def _judged_again(other: MateResult, work: Work, key: str, kinds: Sequence[MateKind]) -> list[tuple[Answer, str]]:
    """What is no longer well at a joint when that size is as it is to be worked to, each with words for it."""
    assert work.target is not None
    joint, target = other.joint, work.target
    made = Fact(0.5 * (target.low_mm + target.high_mm), (target.high_mm - target.low_mm) / (2.0 * SURE), "as worked")
    at_a = joint.a_part == work.part
    port = joint.a if at_a else joint.b
    worked = replace(port, values={**port.values, key: made})
    (again,) = assembled([replace(joint, a=worked) if at_a else replace(joint, b=worked)], kinds)
    before = {(a.question, a.reason) for a in other.answers}
    return [(a, _then(a)) for a in again.answers
            if a.verdict is not Verdict.FITS and (a.question, a.reason) not in before]


def _then(answer: Answer) -> str:
    what = answer.reason.partition("; ")[0]
    if answer.verdict is Verdict.FITS_AFTER_WORK:
        needs = " and ".join(_need(work) for work in answer.works) or answer.remedy
        return f"needs {needs}: {what}"
    if answer.verdict is Verdict.DOES_NOT_FIT:
        return f"does not fit: {what}"
    return f"cannot be told: {what}"


def _need(work: Work) -> str:
    return f"a ring {work.place}" if work.kind == "make a ring" else f"work of its own, {work.kind}: {work.place}"


def _will_be(result: MateResult, told: Iterable[tuple[str, Answer, str]]) -> MateResult:
    """A joint with what the work at others does to it: no better a verdict than it will have then."""
    answers = list(result.answers)
    by: dict[tuple[Answer, str], list[str]] = {}
    for joint, then, words in told:
        by.setdefault((then, words), []).append(seen_from(joint, result.joint.name))
    for (then, words), joints in by.items():
        at = next((n for n, a in enumerate(answers) if a.question == then.question), None)
        said = f"after the work asked for at {' and '.join(both_sides(joints))} it {words}"
        if at is None:
            answers.append(replace(then, reason=said))
            continue
        now = answers[at]
        if RANK[then.verdict] < RANK[now.verdict]:
            now = replace(now, verdict=then.verdict, works=then.works, remedy=then.remedy, measure=then.measure)
        answers[at] = replace(now, reason=f"{now.reason}; {said}")
    return replace(result, answers=tuple(answers), verdict=worst(answers))


def _with_words(result: MateResult, told: Iterable[tuple[Work, str]]) -> MateResult:
    """The joint with what some of its works do to others, said of the work and in the remedy."""
    more: dict[Work, list[str]] = {}
    for work, words in told:
        more.setdefault(work, []).append(words)
    if not more:
        return result
    return replace(result, answers=tuple(_answer(answer, more) for answer in result.answers))


def _answer(answer: Answer, more: Mapping[Work, Sequence[str]]) -> Answer:
    told = list(dict.fromkeys(words for work in answer.works for words in more.get(work, ())))
    if not told:
        return answer
    works = tuple(replace(work, others=tuple(dict.fromkeys(more.get(work, ())))) for work in answer.works)
    do = [answer.remedy] if answer.remedy else [work.words for work in answer.works]
    return replace(answer, works=works, remedy="; ".join((*do, *told)))
