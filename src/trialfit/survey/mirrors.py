"""Mirror images: which one the readings or the builder's signs mean, and what to ask when neither says."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.survey.placing import UNDER_FLOOR_MM, Choice, Ties, meets, offer, place_all, tie_up
from trialfit.survey.result import Ambiguous
from trialfit.survey.start import Net, settle_part
from trialfit.vehicle import Hint

Floats = NDArray[np.float64]

_ALIKE = 9.0
_MOVED_MM = 12.0
_GROSS = 6.0


def choose(
    net: Net, unknowns: Floats, choices: Sequence[Choice], rivals: Sequence[tuple[Floats, Floats]],
    hints: Sequence[Hint],
) -> tuple[Floats, list[Ambiguous], set[str]]:
    """Try every mirror image that was passed over, now that all readings can speak.

    Parameters
    ----------
    net : Net
        the readings
    unknowns : array
        solution so far [mm]
    choices : sequence of Choice
        hardpoints that were put in one of two places
    rivals : sequence of pairs
        whole layouts that fitted equally well
    hints : sequence of Hint
        the builder's signs

    Returns
    -------
    tuple
        the better solution, the questions left open, and the hardpoints whose place hangs on an open question
    """
    ties = tie_up(net.observations)
    x = unknowns
    swapped = True
    turns = 0
    open_pairs: list[tuple[list[str], Floats, Floats]] = []
    while swapped and turns < 4:
        swapped, turns = False, turns + 1
        open_pairs = []
        for choice in choices:
            other = _flipped(net, ties, x, choice)
            if other is None:
                continue
            moved, alt = other
            cost_now, cost_alt = _cost(net, x, moved), _cost(net, alt, moved)
            broken_now, broken_alt = _broken(net, x, hints), _broken(net, alt, hints)
            alike = abs(cost_alt - cost_now) < _ALIKE
            if alike and _gross(net, x, moved) != _gross(net, alt, moved):
                # each place contradicts another reading: that is a misread, not a mirror image
                continue
            if (alike and broken_alt < broken_now) or (not alike and cost_alt < cost_now):
                x, swapped = alt, True
            elif alike and broken_alt == broken_now:
                open_pairs.append((moved, x, alt))
    for first, second in rivals:
        moved = _moved(net, first, second)
        alike = bool(moved) and _gross(net, first, moved) == _gross(net, second, moved)
        if alike and _broken(net, first, hints) == _broken(net, second, hints):
            open_pairs.append((moved, first, second))
    questions: list[Ambiguous] = []
    taken: set[str] = set()
    for moved, now, alt in open_pairs:
        if taken.intersection(moved):
            taken.update(moved)
            continue
        taken.update(moved)
        questions.append(ask(net, moved, net.places(now), net.places(alt)))
    return x, questions, taken


def ask(
    net: Net, moved: Sequence[str], first: Mapping[str, Floats], second: Mapping[str, Floats]
) -> Ambiguous:
    """The question whose answer tells two layouts apart, put about the hardpoint that differs most.

    Parameters
    ----------
    net : Net
        the readings
    moved : sequence of str
        hardpoints that stand in different places in the two layouts
    first, second : mapping
        hardpoint to place in either layout [mm]
    """
    settled = [n for n in net.names if n not in moved]
    words = {0: ("ahead", "behind"), 1: ("left", "right"), 2: ("below", "above")}
    zero = {0: "the datum", 1: "the centre line", 2: "the floor"}
    best: tuple[float, str, int, str] | None = None
    for point in moved:
        for axis in (1, 2, 0):
            low, high = sorted((float(first[point][axis]), float(second[point][axis])))
            if high - low < _MOVED_MM:
                continue
            # the reference must lie well inside the gap, or the answer would be a matter of millimetres
            marks = ([("", 0.0)] if axis != 2 else []) + [(n, float(first[n][axis])) for n in settled]
            for name, level in marks:
                inside = min(level - low, high - level) * (1.5 if not name else 1.0)
                if inside > 3.0 and (best is None or inside > best[0]):
                    best = (inside, point, axis, name)
    if best is None:
        point = max(moved, key=lambda p: float(np.abs(first[p] - second[p]).max()))
        axis = int(np.argmax(np.abs(first[point] - second[point])))
        kind = ("station", "offset", "height")[axis]
        values = " or ".join(f"{v[point][axis]:.0f} mm" for v in (first, second))
        question = f"is the {kind} of {point} about {values}? measure {kind} {point}"
        hint = ""
    else:
        _, point, axis, name = best
        low_word, high_word = words[axis]
        level = float(first[name][axis]) if name else 0.0
        side = high_word if float(first[point][axis]) > level else low_word
        about = name or zero[axis]
        verb = {0: "ahead of or behind", 1: "left or right of", 2: "below or above"}[axis]
        of = {"left": " of", "right": " of", "ahead": " of", "behind": "", "above": "", "below": ""}[side]
        hint = f"{point}: {side}" + (f"{of} {name}" if name else "")
        question = f"is {point} {verb} {about}? add 'sides: {hint}' or its opposite"
    places = (_three(first[point]), _three(second[point]))
    return Ambiguous(point, tuple(m for m in moved if m != point), question, hint, places)


def _three(place: Floats) -> tuple[float, float, float]:
    return float(place[0]), float(place[1]), float(place[2])


def _flipped(
    net: Net, ties: Mapping[str, Ties], x: Floats, choice: Choice
) -> tuple[list[str], Floats] | None:
    """The layout with one hardpoint in its other place and all that hang on it placed anew."""
    places = dict(net.places(x))
    point = choice.point
    nearer_place = np.linalg.norm(places[point] - choice.place) <= np.linalg.norm(places[point] - choice.other)
    target = choice.other if nearer_place else choice.place
    others = {n: p for n, p in places.items() if n != point}
    again = offer(point, ties[point], others)
    moved = [point]
    alt = x.copy()
    if again is not None and again.other is not None:
        # all its neighbours stand, and still both places are alike: it flips alone
        pair = (again.place, again.other)
        target = max(pair, key=lambda p: float(np.linalg.norm(p - places[point])))
    else:
        # grow the set that must flip along with it: whoever disagrees with the other place
        moved = _hanging_on(net, ties, places, point, target)
        kept = {n: p for n, p in places.items() if n not in moved}
        placed, _ = place_all(ties, (), {**kept, point: target}, only=[m for m in moved if m != point])
        for n in moved:
            if n in placed:
                alt[3 * net.names.index(n) : 3 * net.names.index(n) + 3] = placed[n]
    at = net.names.index(point)
    alt[3 * at : 3 * at + 3] = target
    alt, _ = settle_part(net, alt, moved)
    really = [n for n in _moved(net, x, alt) if n in moved]
    return (really, alt) if really else None


def _hanging_on(
    net: Net, ties: Mapping[str, Ties], places: Mapping[str, Floats], point: str, target: Floats
) -> list[str]:
    """Hardpoints tied to ``point`` that the others alone do not hold, and so on from those."""
    moved = [point]
    for current in moved:
        for neighbour in sorted(ties[current].neighbours()):
            if neighbour in moved or neighbour not in places or len(moved) > 40:
                continue
            rest = {n: p for n, p in places.items() if n not in moved and n != neighbour}
            held = offer(neighbour, ties[neighbour], rest)
            if held is None or held.other is not None:
                moved.append(neighbour)
    return moved


def _moved(net: Net, first: Floats, second: Floats) -> list[str]:
    gap = np.abs(first - second)[: 3 * len(net.names)].reshape(-1, 3).max(axis=1)
    return [n for n, g in zip(net.names, gap, strict=True) if g > _MOVED_MM]


def _cost(net: Net, x: Floats, points: Sequence[str]) -> float:
    chosen = set(points)
    t = (net.eqs.value - net.eqs.computed(x)) / net.eqs.sd
    mine = np.array([bool(chosen.intersection(o.points)) for o in net.observations])
    return float(np.sum(9.0 * np.log1p(t[mine] ** 2 / 9.0)))


def _gross(net: Net, x: Floats, points: Sequence[str]) -> set[int]:
    """Readings on ``points`` that a layout contradicts grossly."""
    chosen = set(points)
    t = np.abs(net.eqs.value - net.eqs.computed(x)) / net.eqs.sd
    return {i for i, o in enumerate(net.observations) if t[i] > _GROSS and chosen.intersection(o.points)}


def _broken(net: Net, x: Floats, hints: Sequence[Hint]) -> int:
    """Signs that a layout goes against; a hardpoint well below the floor counts as one."""
    places = net.places(x)
    return sum(meets(h, places) is False for h in hints) + sum(bool(p[2] < UNDER_FLOOR_MM) for p in places.values())
