"""The notebook: one line of text, one reading.

    reading = kind names amount {"," amount} ["+-" doubt] ["by" instrument]
    amount  = number unit [sign word]

A comma parts repeats, but one between two digits is taken as a decimal comma and said aloud. What follows ``+-`` is
the half width of the 95 % interval, so its standard deviation is doubt / 1.96.
"""

import itertools
import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trialfit.buildfile.amounts import begins_number, quantity
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.names import NAME_RULE, is_name, slips
from trialfit.buildfile.tree import Items, Node, Text, what
from trialfit.findings import Place
from trialfit.units import DOUBT_FACTOR, UnitsError, neighbours_suspicion, parse
from trialfit.vehicle import Instrument, Reading, ReadingKind
from trialfit.vehicle.reading import DEFAULT_FOR_KIND

EXAMPLES = {
    ReadingKind.TAPE: "tape eye.L pad.L 612 mm",
    ReadingKind.HEIGHT: "height eye.L 365 mm",
    ReadingKind.OFFSET: "offset eye.L 462 mm left",
    ReadingKind.STATION: "station eye.L 1210 mm",
    ReadingKind.ANGLE: "angle nose tail 3.5 deg up",
    ReadingKind.SIZE: "size axle tube 76.2 mm",
}
FEWEST_HEIGHTS = 4
"""Heights of different hardpoints say something about one another from this many on."""
MOST_READINGS = 5_000
MOST_REPEATS = 10_000
_COUNTS = {ReadingKind.TAPE: 2, ReadingKind.HEIGHT: 1, ReadingKind.OFFSET: 1, ReadingKind.STATION: 1}
_NUMBER_WORD = {1: "one hardpoint", 2: "two hardpoints"}

SIGN_WORDS: dict[ReadingKind, dict[str, float]] = {
    ReadingKind.HEIGHT: {"up": 1.0, "above": 1.0, "down": -1.0, "below": -1.0},
    ReadingKind.OFFSET: {"right": 1.0, "left": -1.0},
    ReadingKind.STATION: {"behind": 1.0, "ahead": -1.0},
    ReadingKind.ANGLE: {"up": 1.0, "down": -1.0},
}
"""Word after the amount, to the sign it stands for."""
ALL_SIGN_WORDS = sorted({word for words in SIGN_WORDS.values() for word in words})
_SIGN_WORD = re.compile(rf"(?<![a-z])({'|'.join(ALL_SIGN_WORDS)})$", re.IGNORECASE)

_FILLERS = frozenset({"to", "and", "from", "-", "--", "->", "=", ":", "x", "at", "is", "of", "between", "→", "–"})
_TAIL = re.compile(r"\s+by(?=\s|$)|\s*(?:\+ ?/? ?-|±|(?<![a-z])give or take|(?<![a-z])plus or minus)", re.IGNORECASE)
# a comma parts two repeats unless a digit stands directly on both sides of it
_PARTING = re.compile(r"(?<![0-9]),|,(?![0-9])")
_LENGTHS = (ReadingKind.TAPE, ReadingKind.HEIGHT, ReadingKind.OFFSET, ReadingKind.STATION)


@dataclass(slots=True)
class _Line:
    """One line while it is read."""

    text: Text
    kind: ReadingKind
    points: tuple[str, ...]
    size: str
    rest: str
    at: int


def notebook(ledger: Ledger, node: Node, instruments: Mapping[str, Instrument]) -> tuple[Reading, ...]:
    """Every reading of the section; what cannot be read is noted and left out."""
    if not isinstance(node, Items):
        mend = "put a dash and a space before each reading"
        ledger.wrong(
            node, f"{what(node)} in place of a list", "one reading a line, e.g. - tape eye.L pad.L 612 mm", mend
        )
        ledger.whole = False
        return ()
    readings: list[Reading] = []
    mentions: list[tuple[str, Text]] = []
    counts: Counter[str] = Counter()
    if _too_many(ledger, node):
        return ()
    for item in node.items:
        if ledger.full:
            ledger.whole = False
            break
        line = _line(ledger, item, mentions)
        if line is None:
            continue
        reading = _reading(ledger, line, instruments)
        if reading is None:
            if line.kind is ReadingKind.SIZE:
                ledger.sizes.setdefault(line.size, 1.0)
            continue
        counts[reading.identity] += 1
        if counts[reading.identity] > 1:
            reading = _numbered(reading, counts[reading.identity])
        readings.append(reading)
    for name, _ in mentions:
        ledger.points.setdefault(name)
    _sizes(ledger, readings)
    _doubt_names(ledger, mentions)
    _doubt_neighbours(ledger, readings)
    _doubt_sides(ledger, readings)
    return tuple(readings)


def _too_many(ledger: Ledger, node: Items) -> bool:
    """Whether there are more readings, or more repeats in all of them, than any vehicle needs."""
    repeats = sum(item.value.count(",") + 1 for item in node.items if isinstance(item, Text))
    for count, most, things in ((len(node.items), MOST_READINGS, "readings"), (repeats, MOST_REPEATS, "repeats")):
        if count > most:
            ledger.wrong(node.place, f"{count:,} {things} are too many", f"at most {most:,}", "is this the build file?",
                         weight=0)
            ledger.whole = False
            return True
    return False


def _line(ledger: Ledger, item: Node, mentions: list[tuple[str, Text]]) -> _Line | None:
    if not isinstance(item, Text):
        ledger.wrong(item, "a reading is one line of text", f"a line such as {EXAMPLES[ReadingKind.TAPE]}",
                     "take out the colon" if what(item) == "a table of keys" and not getattr(item, "flow", False)
                     else "take out the brackets or the second dash")
        ledger.whole = False
        return None
    if item.nothing:
        ledger.wrong(item, "a dash with no reading after it", f"a line such as {EXAMPLES[ReadingKind.TAPE]}",
                     "write the reading down or take the dash out")
        return None
    text = plain(ledger, item, f"a reading such as {EXAMPLES[ReadingKind.TAPE]}")
    if text is None:
        ledger.whole = False
        return None
    words = [(m.group(), m.start()) for m in re.finditer(r"\S+", text.value)]
    kind = _kind(ledger, text, words[0] if words else ("", 0))
    if kind is None:
        for word, _ in words[1:]:
            if is_name(word) and word.casefold() not in ALL_SIGN_WORDS and not begins_number(word):
                ledger.points.setdefault(word)
        return None
    first = next((i for i in range(1, len(words)) if begins_number(words[i][0])), len(words))
    if (
        first == 1 < len(words)
        and kind is not ReadingKind.SIZE
        and re.match(r"[0-9]+[A-Za-z_]+[.][A-Za-z]", words[1][0])
    ):
        ledger.wrong(text.at(words[1][1]), "this cannot name a hardpoint", NAME_RULE + ", e.g. eye.L", said=words[1][0])
        return None
    names = words[1:first]
    if kind is ReadingKind.SIZE:
        points: tuple[str, ...] | None = ()
        size = " ".join(word for word, _ in names)
        if not size:
            ledger.wrong(text, "it does not say what was measured", f"a line such as {EXAMPLES[kind]}",
                         "put the name of the thing before the number")
            return None
    else:
        size = ""
        points = _points(ledger, text, kind, names, mentions) if first < len(words) else ()
    if first == len(words):
        for word, _ in names:
            if is_name(word):
                ledger.points.setdefault(word)
        remark = re.match(r"[ \t]+#\S", ledger.source[text.end : text.end + 20])
        ledger.wrong(text, "no number in this reading", f"a line such as {EXAMPLES[kind]}",
                     "what stands after # is a remark" if remark else "write down what the tape or gauge showed")
        if kind is ReadingKind.SIZE:
            ledger.sizes.setdefault(size, 1.0)
        return None
    if points is None:
        return None
    start = words[first][1]
    return _Line(text, kind, points, size, text.value[start:], start)


def _kind(ledger: Ledger, text: Text, word: tuple[str, int]) -> ReadingKind | None:
    kinds = [k.value for k in ReadingKind]
    if word[0].casefold() in kinds:
        return ReadingKind(word[0].casefold())
    stripped = word[0].strip(":-,.").casefold()
    if stripped in kinds:
        mend = f"write {stripped} and a space"
    else:
        mend = ledger.guess(word[0], kinds)
    ledger.wrong(text.at(word[1]), "no kind of reading has this name", "tape, height, offset, station, angle or size",
                 mend, said=word[0])
    return None


def _points(ledger: Ledger, text: Text, kind: ReadingKind, names: Sequence[tuple[str, int]],
            mentions: list[tuple[str, Text]]) -> tuple[str, ...] | None:
    """The hardpoints of one reading; those that can be read are known from here on even where the line is not."""
    good = True
    found: list[tuple[str, int]] = []
    slashes = [i for i, (word, _) in enumerate(names) if word == "/"]
    for word, at in names:
        if word == "/" and kind is ReadingKind.ANGLE:
            continue
        if is_name(word) and word.casefold() not in _FILLERS:
            found.append((word, at))
            mentions.append((word, text))
            continue
        good = False
        if word.casefold() in _FILLERS or word == "/":
            ledger.wrong(
                text.at(at), "this is no hardpoint", f"a line such as {EXAMPLES[kind]}", "take it out", said=word
            )
        else:
            mend = f"write {word.rstrip(',:;')}" if is_name(word.rstrip(",:;")) else ""
            ledger.wrong(text.at(at), "this cannot name a hardpoint", NAME_RULE + ", e.g. eye.L", mend, said=word)
            if mend:
                ledger.points.setdefault(word.rstrip(",:;"))
    if not good:
        return None
    points = tuple(word for word, _ in found)
    if kind is ReadingKind.ANGLE:
        right = (len(points) == 2 and not slashes) or (len(points) == 4 and slashes == [2])
        if not right:
            ledger.wrong(
                text,
                f"an angle takes two hardpoints, or two and two parted by /, and this has {_many(points)}",
                f"a line such as {EXAMPLES[kind]}, or angle a b / c d 4 deg",
            )
            return None
    elif len(points) != _COUNTS[kind]:
        wanted = _NUMBER_WORD[_COUNTS[kind]]
        mend = "write one line for each reading" if len(points) > _COUNTS[kind] else ""
        ledger.wrong(
            text, f"{kind} takes {wanted} and this has {_many(points)}", f"a line such as {EXAMPLES[kind]}", mend
        )
        return None
    for a, b in zip(points[::2], points[1::2]):
        if a == b:
            ledger.wrong(text, f"it goes from {a} to itself", f"a line such as {EXAMPLES[kind]}",
                         "name the two different hardpoints it was taken between")
            return None
    return points


def _many(points: Sequence[str]) -> str:
    return "none" if not points else f"{len(points)}: {', '.join(points)}"


def _reading(ledger: Ledger, line: _Line, instruments: Mapping[str, Instrument]) -> Reading | None:
    pieces, doubt, by = _tail(ledger, line)
    if pieces is None:
        return None
    dimension = "angle" if line.kind is ReadingKind.ANGLE else "length"
    values = _values(ledger, line, pieces, dimension)
    sd = None if doubt is None else _give_or_take(ledger, line, doubt, dimension, values)
    instrument = _instrument(ledger, line, by, instruments)
    if values is None or instrument is None or (doubt is not None and sd is None):
        return None
    if not _in_range(ledger, line, values):
        return None
    between = "/".join("-".join(line.points[i : i + 2]) for i in range(0, len(line.points), 2))
    return Reading(f"{line.kind} {line.size or between}", line.kind, line.points, tuple(values), instrument, line.size,
                   sd, line.text.value, line.text.place)


def _numbered(reading: Reading, count: int) -> Reading:
    return replace(reading, identity=f"{reading.identity} #{count}")


_Piece = tuple[str, int]


def _tail(ledger: Ledger, line: _Line) -> tuple[list[_Piece] | None, _Piece | None, _Piece | None]:
    """The repeats, the give or take, and the instrument, each with where it begins in the line."""
    marks = list(_TAIL.finditer(line.rest))
    ends = [m.start() for m in marks[1:]] + [len(line.rest)]
    doubt: _Piece | None = None
    by: _Piece | None = None
    for mark, end in zip(marks, ends):
        raw = line.rest[mark.end() : end]
        piece = (raw.strip(), line.at + mark.end() + len(raw) - len(raw.lstrip()))
        is_by = mark[0].strip().casefold() == "by"
        if (by if is_by else doubt) is not None:
            name = "instruments" if is_by else "give or takes"
            ledger.wrong(line.text.at(line.at + mark.start()), f"two {name} in one reading",
                         mend="write them in two readings", said=line.rest[mark.start() : end].strip())
            return None, None, None
        if not is_by and "," in piece[0] and not re.fullmatch(r"[^,]*[0-9],[0-9][^,]*", piece[0]):
            ledger.wrong(line.text.at(piece[1]), "a repeat after the give or take",
                         "all repeats, then one give or take, e.g. 612 mm, 613 mm +- 3 mm", said=piece[0])
            return None, None, None
        if is_by:
            by = piece
        else:
            doubt = piece
    whole = line.rest[: marks[0].start()] if marks else line.rest
    pieces: list[_Piece] = []
    start = 0
    for cut in [m.start() for m in _PARTING.finditer(whole)] + [len(whole)]:
        raw = whole[start:cut]
        pieces.append((raw.strip(), line.at + start + len(raw) - len(raw.lstrip())))
        start = cut + 1
    return pieces, doubt, by


def _values(ledger: Ledger, line: _Line, pieces: list[_Piece], dimension: str) -> list[float] | None:
    """Every repeat with its sign; one sign word after the last repeat holds for all."""
    parts: list[tuple[str, int, str]] = []
    for said, at in pieces:
        if not said:
            ledger.wrong(line.text.at(at), "a comma with no repeat on one side", "repeats such as 612 mm, 613 mm",
                         "take the comma out", said=line.rest)
            return None
        found = _SIGN_WORD.search(said)
        parts.append((said[: found.start()].strip(), at, found[1].casefold()) if found else (said, at, ""))
    words = [word for _, _, word in parts]
    if words[-1] and not any(words[:-1]):
        words = [words[-1]] * len(parts)
    elif any(words) and not all(words):
        ledger.wrong(line.text.at(pieces[0][1]), "a side with some repeats and not with others",
                     "the side after each repeat, or once after the last", said=line.rest)
        return None
    allowed = SIGN_WORDS.get(line.kind, {})
    values: list[float] = []
    good = True
    for (said, at, _), word in zip(parts, words):
        if word and (word not in allowed or len(line.points) == 4):
            expected = (
                f"{' or '.join(allowed)}, or no word"
                if allowed and len(line.points) != 4
                else "no word after the amount"
            )
            ledger.wrong(line.text.at(at), f"{line.kind} takes no {word}", expected, said=f"{said} {word}")
            return None
        if not said:
            ledger.wrong(line.text.at(at), "no number where one should stand", f"a line such as {EXAMPLES[line.kind]}",
                         said=word)
            return None
        read = _one(ledger, line, said, at, dimension, len(parts) > 1)
        if read is None:
            good = False
            continue
        if word and read < 0.0:
            ledger.wrong(line.text.at(at), f"a minus sign and {word} together", "one of the two",
                         "take the minus sign out", said=f"{said} {word}")
            good = False
            continue
        values.append(read * allowed.get(word, 1.0) if read else 0.0)
    return values if good else None


def _one(ledger: Ledger, line: _Line, said: str, at: int, dimension: str, repeats: bool) -> float | None:
    known = len(ledger.problems)
    read = quantity(ledger, said, line.text.at(at), dimension)
    if read is not None:
        return read.value
    if len(ledger.problems) == known:
        return None
    stray = _stray(said, dimension)
    if stray:
        rest = said[stray:]
        mend = ledger.guess(rest.split()[0], [*SIGN_WORDS.get(line.kind, ()), "by"])
        if rest.split()[0].casefold() in [k.value for k in ReadingKind]:
            mend = "begin a new line with a dash for it"
        ledger.problems.pop()
        ledger.wrong(line.text.at(at + stray), "this stands after the amount",
                     "nothing more, or a side, +- and a doubt, by and an instrument", mend, said=rest)
    elif repeats and re.fullmatch(r"[-+]?[0-9.,/ ]+", said):
        ledger.problems[-1] = replace(ledger.problems[-1], mend="write the unit after every repeat: 612 mm, 613 mm")
    return None


def _stray(said: str, dimension: str) -> int:
    """Where words begin that follow a complete amount with its unit; 0 when none do."""
    for cut in itertools.islice(re.finditer(r"\s+(?=[A-Za-z_])", said), 4):
        before = said[: cut.start()].strip()
        if before.endswith(tuple("0123456789")):
            continue
        try:
            parse(before, dimension)
        except UnitsError:
            continue
        return cut.end()
    return 0


def _give_or_take(
    ledger: Ledger, line: _Line, doubt: _Piece, dimension: str, values: list[float] | None
) -> float | None:
    said, at = doubt
    share = said.endswith("%")
    example = "a give or take such as +- 3 mm" if dimension == "length" else "a give or take such as +- 0.5 deg"
    try:
        read = parse(said, "percent" if share else dimension,
                     None if share or dimension == "angle" else ledger.length_unit)
    except UnitsError as bad:
        ledger.wrong(line.text.at(at), bad.problem, example, bad.mend, said=said or "+-")
        return None
    for suspicion in read.suspicions:
        ledger.doubt(line.text.at(at), suspicion, said=said)
    half = read.value
    if share:
        if not values:
            return None
        half *= max(abs(v) for v in values)
    if half <= 0.0:
        ledger.wrong(line.text.at(at), "a give or take is above 0", example, said=said)
        return None
    return half / DOUBT_FACTOR


def _instrument(
    ledger: Ledger, line: _Line, by: _Piece | None, instruments: Mapping[str, Instrument]
) -> Instrument | None:
    if by is None:
        return instruments[DEFAULT_FOR_KIND[line.kind]]
    said, at = by
    found = instruments.get(said)
    if found is None:
        known = ", ".join(instruments)
        mend = ledger.guess(said, instruments) if said else ""
        ledger.wrong(line.text.at(at), "no instrument has this name", f"one of {known}",
                     mend or "describe it under instruments", said=said or "by")
        return None
    wants_angle = line.kind is ReadingKind.ANGLE
    if (found.measures == "angle") != wants_angle:
        fits = [n for n, i in instruments.items() if (i.measures == "angle") == wants_angle]
        ledger.wrong(line.text.at(at), f"{found.name} measures {found.measures}, and this is {_a(line.kind)} reading",
                     f"one of {', '.join(fits)}", said=said)
        return None
    return found


def _a(kind: ReadingKind) -> str:
    return f"an {kind}" if kind in (ReadingKind.ANGLE, ReadingKind.OFFSET) else f"a {kind}"


def _in_range(ledger: Ledger, line: _Line, values: Sequence[float]) -> bool:
    if line.kind in (ReadingKind.TAPE, ReadingKind.SIZE) and min(values) <= 0.0:
        subject = "a tape between two hardpoints" if line.kind is ReadingKind.TAPE else "a size"
        ledger.wrong(line.text.at(line.at), f"{subject} reads more than 0", "a length above 0",
                     "read it again, or take the line out", said=line.rest)
        return False
    if line.kind is ReadingKind.ANGLE:
        two = len(line.points) == 2
        low, high = (-90.0, 90.0) if two else (0.0, 180.0)
        slack = 1e-9
        if math.degrees(min(values)) < low - slack or math.degrees(max(values)) > high + slack:
            kind = "the inclination of a line" if two else "the angle between two lines"
            ledger.wrong(line.text.at(line.at), f"out of range: {kind} lies from {low:g} to {high:g} deg",
                         mend="check the unit and read the gauge again", said=line.rest)
            return False
    return True


def _sizes(ledger: Ledger, readings: Sequence[Reading]) -> None:
    sums: dict[str, list[float]] = {}
    for reading in readings:
        if reading.kind is ReadingKind.SIZE:
            sums.setdefault(reading.size, []).extend(reading.values)
    for name, values in sums.items():
        ledger.sizes[name] = math.fsum(values) / len(values)


def _doubt_names(ledger: Ledger, mentions: Sequence[tuple[str, Text]]) -> None:
    first: dict[str, Text] = {}
    for name, text in mentions:
        first.setdefault(name, text)
    for name, twin in slips([name for name, _ in mentions]).items():
        text = first[name]
        found = re.search(rf"(?<!\S){re.escape(name)}(?!\S)", text.value)
        ledger.doubt(
            text.at(found.start() if found else 0),
            f"this name stands in one reading only: did you mean {twin}?",
            said=name,
        )


def _place(reading: Reading, ledger: Ledger) -> Place:
    return reading.where or Place(ledger.file, 1)


def _doubt_neighbours(ledger: Ledger, readings: Sequence[Reading]) -> None:
    """Lengths 25.4 or 10 times off their like: the repeats of one reading, readings of the same thing, all heights."""
    groups: dict[tuple[str, ...], list[Reading]] = {}
    for reading in readings:
        if reading.kind is ReadingKind.ANGLE:
            continue
        if len(reading.values) > 1:
            told = _odd_one(reading.values)
            if told:
                ledger.doubt(_place(reading, ledger), told, said=reading.typed)
                continue
        same = tuple(sorted(reading.points)) or (reading.size,)
        groups.setdefault((reading.kind, *same), []).append(reading)
        if reading.kind is ReadingKind.HEIGHT:
            groups.setdefault(("heights",), []).append(reading)
    told_of: set[int] = set()
    for key, group in groups.items():
        if key == ("heights",) and len(group) < FEWEST_HEIGHTS:
            continue
        ordered = sorted((abs(r.values[0]), i) for i, r in enumerate(group) if r.values[0] != 0.0)
        if len(ordered) < 2:
            continue
        # only the smallest or the largest can stand off all the others; for any other the range says nothing
        # and of two, the later one is asked about
        odd = {max((0, 1), key=lambda at: ordered[at][1])} if len(ordered) == 2 else {0, len(ordered) - 1}
        for at in sorted(odd):
            reading = group[ordered[at][1]]
            others = [size for i, (size, _) in enumerate(ordered) if i != at]
            told = neighbours_suspicion(reading.values[0], others)
            if told and id(reading) not in told_of:
                told_of.add(id(reading))
                ledger.doubt(_place(reading, ledger), told, said=reading.typed)


def _odd_one(values: Sequence[float]) -> str | None:
    for i, value in enumerate(values):
        told = neighbours_suspicion(value, [*values[:i], *values[i + 1 :]])
        if told:
            return told
    return None


def _doubt_sides(ledger: Ledger, readings: Sequence[Reading]) -> None:
    """An offset with neither side nor sign is read as right; say so unless the builder signs offsets throughout."""
    offsets = [r for r in readings if r.kind is ReadingKind.OFFSET]
    worded = {"left", "right"}
    signed = any(v < 0.0 for r in offsets if not worded & set(r.typed.casefold().split()) for v in r.values)
    if signed:
        return
    for reading in offsets:
        words = set(reading.typed.casefold().replace(",", " ").split())
        if not worded & words and "+" not in reading.typed.replace("+-", "") and any(reading.values):
            ledger.doubt(_place(reading, ledger), "neither left nor right: it is read as right",
                         "write left or right after the amount", said=reading.typed)
