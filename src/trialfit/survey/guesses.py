"""What a builder did who read that much too much: the slips that tapes and notebooks invite."""

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from trialfit.estimation import LOCAL_LIMIT
from trialfit.findings import SURE
from trialfit.survey.observations import Observation
from trialfit.vehicle import ReadingKind

_INCH = 25.4
_HOOK_MM = 1.2
_KNOWN_TO = 0.4
_CASE_MM = (55.0, 95.0)
_INCH_MARK = re.compile(r"\bin(ch(es)?)?\b|\"|'|\bft\b|\bfeet\b|\bfoot\b")
_UNITS_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": _INCH, '"': _INCH, "ft": 12.0 * _INCH, "'": 12.0 * _INCH}
_NUMBER = re.compile(
    r"(?P<whole>\d+(?:\.\d+)?)(?:[\s-]+(?P<top>\d+)/(?P<bottom>\d+))?\s*(?P<unit>mm|cm|m\b|in\b|ft\b|deg\b|\"|')?")


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip: how much too much it makes the reading, the words for it, and how far either side it reaches."""

    words: str
    off: float
    give: float = 0.0


def guess(seen: Observation, off: float, off_sd: float, mirrored: tuple[tuple[str, float, float], ...] = ()) -> str:
    """The one slip that explains a deviation, "either ... or ..." for two, "" for none or too many.

    A slip explains it when it lies within the 95 % interval of the deviation; "perhaps" when it is the only one within
    99.9 %. A deviation not known to better than 40 % is not explained at all: anything would.

    Parameters
    ----------
    seen : Observation
        the reading, as typed
    off, off_sd : float
        how much too much it was read, and the doubt of that [mm or rad]
    mirrored : tuple
        for each hardpoint taken for its twin on the other side: the words, how much too much that would make the
        reading, and the doubt of that [mm or rad]

    Source: common practice, no source.
    """
    if not math.isfinite(off_sd) or SURE * off_sd >= _KNOWN_TO * abs(off):
        return ""
    every = [*slips(seen), *(Slip(words, b, SURE * s) for words, b, s in mirrored)]
    misses: dict[str, float] = {}
    for slip in every:
        miss = max(abs(off - slip.off) - slip.give, 0.0) / off_sd
        misses[slip.words] = min(miss, misses.get(slip.words, math.inf))
    order = sorted(misses, key=lambda words: misses[words])
    fitting = [words for words in order if misses[words] <= SURE]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        return f"either {fitting[0]} or {fitting[1]}" if len(fitting) == 2 else ""
    # one true slip in twenty falls outside 95 %: named with less confidence when nothing else comes near
    nearby = [words for words in order if misses[words] <= LOCAL_LIMIT]
    return f"perhaps {nearby[0]}" if len(nearby) == 1 else ""


def slips(seen: Observation) -> Iterator[Slip]:
    """Every slip that this reading invites.

    Parameters
    ----------
    seen : Observation
        the reading, as typed
    """
    if seen.kind is ReadingKind.ANGLE:
        yield from _angle_slips(seen)
        return
    inches = bool(_INCH_MARK.search(_tail(seen)))
    yield from _sides("one foot", 12.0 * _INCH)
    yield from _sides("one inch", _INCH)
    if inches:
        yield Slip("10 in too long, as when measured from the 10 in mark", 10.0 * _INCH)
        yield Slip("10 in too short, as when 10 in is taken off twice", -10.0 * _INCH)
    else:
        for mm in (10.0, 1000.0):
            yield from _sides(f"{mm:g} mm", mm)
        yield Slip("100 mm too long, as when measured from the 100 mm mark", 100.0)
        yield Slip("100 mm too short, as when 100 mm is taken off twice", -100.0)
    middle, reach = 0.5 * sum(_CASE_MM), 0.5 * (_CASE_MM[1] - _CASE_MM[0])
    yield Slip("the length of the tape's case left out", -middle, reach)
    yield Slip("wrong side of the hook (its thickness counted)", _HOOK_MM, 0.8)
    yield Slip("wrong side of the hook (its thickness left out)", -_HOOK_MM, 0.8)
    if seen.kind in (ReadingKind.OFFSET, ReadingKind.STATION):
        other = "left for right" if seen.kind is ReadingKind.OFFSET else "ahead for behind"
        yield Slip(f"the sign: {other}", 2.0 * seen.value)
    yield from _typing_slips(seen)
    yield Slip("cm written as mm, or a digit left out", seen.value - 10.0 * seen.value)
    yield Slip("mm written as cm, or a digit too many", seen.value - 0.1 * seen.value)
    yield Slip("inches written as mm", seen.value - _INCH * seen.value)
    yield Slip("mm written as inches", seen.value - seen.value / _INCH)


def _sides(words: str, off: float) -> Iterator[Slip]:
    yield Slip(f"{words} too long", off)
    yield Slip(f"{words} too short", -off)


def _angle_slips(seen: Observation) -> Iterator[Slip]:
    if len(seen.points) == 2:
        yield Slip("the sign: up for down", 2.0 * seen.value)
    yield Slip("read from the other end of the scale (90 deg less the angle)", 2.0 * abs(seen.value) - math.pi / 2)
    yield from ((Slip(s.words, math.radians(s.off))) for s in _sides("10 deg", 10.0))
    yield from _typing_slips(seen)


def _tail(seen: Observation) -> str:
    """What was typed after the names of the hardpoints or the size."""
    text = seen.typed
    for name in (*seen.points, seen.size):
        if name and name in text:
            text = text[text.rindex(name) + len(name):]
    return text.split(",")[0].split("+-")[0].split(" by ")[0]


def _typing_slips(seen: Observation) -> Iterator[Slip]:
    """Swapped digits and fractions read from the wrong side, from the number as it was typed."""
    sign = -1.0 if seen.value < 0.0 else 1.0
    parts = list(_NUMBER.finditer(_tail(seen)))
    if not parts:
        # nothing typed to go by: the number in whole millimetres is the next best
        text = f"{abs(seen.value):.1f}".removesuffix(".0")
        if seen.kind is not ReadingKind.ANGLE:
            yield from (Slip(f"swapped digits ({text} for {s})", sign * (float(text) - float(s))) for s in _swaps(text))
        return
    for part in parts:
        factor = math.radians(1.0) if seen.kind is ReadingKind.ANGLE else _UNITS_MM.get(part["unit"] or "mm", 1.0)
        whole = part["whole"]
        for swapped in _swaps(whole):
            yield Slip(f"swapped digits ({whole} for {swapped})", sign * factor * (float(whole) - float(swapped)))
        if not part["top"] or float(part["bottom"]) == 0.0:
            continue
        top, bottom = part["top"], float(part["bottom"])
        for swapped in _swaps(top):
            words = f"swapped digits ({top}/{part['bottom']} for {swapped}/{part['bottom']})"
            yield Slip(words, sign * factor * (float(top) - float(swapped)) / bottom)
        fraction = float(top) / bottom
        if fraction not in (0.0, 1.0):
            # 3 7/8 for 4 1/8: counted down from the whole inch on the wrong side of it
            yield Slip("the fraction counted down from the inch mark", -2.0 * sign * factor * (1.0 - fraction))
            yield Slip("the fraction counted up from the inch mark", 2.0 * sign * factor * fraction)


def _swaps(digits: str) -> Iterator[str]:
    """Every number that comes of swapping two neighbouring digits."""
    places = [i for i, c in enumerate(digits) if c.isdigit()]
    for a, b in itertools.pairwise(places):
        if digits[a] != digits[b]:
            letters = list(digits)
            letters[a], letters[b] = letters[b], letters[a]
            yield "".join(letters)


def twin(point: str) -> str | None:
    """The name of the same hardpoint on the other side, when the name tells its side.

    Parameters
    ----------
    point : str
        hardpoint

    >>> twin("eye.L"), twin("pad left"), twin("pinion")
    ('eye.R', 'pad right', None)
    """
    swaps = {"L": "R", "R": "L", "l": "r", "r": "l", "left": "right", "right": "left", "LH": "RH", "RH": "LH"}
    pieces = re.split(r"([.\-_ ])", point)
    for i in range(len(pieces) - 1, -1, -1):
        if len(pieces) > 1 and pieces[i] in swaps:
            return "".join([*pieces[:i], swaps[pieces[i]], *pieces[i + 1 :]])
    return None
