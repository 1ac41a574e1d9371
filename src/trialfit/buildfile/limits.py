"""What a build file may be at most, and what is looked for before any of it is parsed.

The limits keep a hostile file from taking time or memory: everything here looks at each character a fixed number
of times. They lie several times beyond what a whole vehicle needs (300 hardpoints and 2,000 readings are 80 kB).
"""

import re

from trialfit.buildfile.problem import Problem, shown
from trialfit.findings import Place

USUAL_NAME = "build.yaml"
"""What messages call a build file whose name nobody said."""
MOST_BYTES = 400_000
MOST_LINES = 12_000
LONGEST_LINE = 2_000
MOST_WORDS = 90_000
"""words between blanks; the greatest vehicle has a third of it"""
DEEPEST = 10
MOST_ENTRIES = 20_000
MOST_PARTS = 500
MOST_PORTS = 50
"""of one part"""
MOST_MATES = 1000
MOST_CHAINS = 200
MOST_LAYERS = 20
"""between the two ends of one joint"""
MOST_LISTED = 200
"""amounts or points in one field of a port or joint"""

_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
# marks that turn the direction of writing around: what is shown would not be what is read
_TURNERS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
LINE_END = re.compile(r"\r\n|\n|\r")
_PREFIX = "split it, or take out what is no part of the vehicle"


def too_much(size_bytes: int, file: str) -> Problem | None:
    """Refusal of a file by its size alone, before it is read."""
    if size_bytes <= MOST_BYTES:
        return None
    return Problem(Place(file, 1), "", f"{size_bytes:,} bytes are too many", f"at most {MOST_BYTES:,} bytes",
                   "is this the build file? 2,000 readings take about 80,000 bytes", weight=0)


def decoded(raw: bytes, file: str) -> tuple[str, Problem | None]:
    """The text of a file, its byte order mark taken off; or the place of the first byte that is no UTF-8."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", Problem(Place(file, 1), "", "the file is saved as UTF-16", "UTF-8 text",
                           "save it again as UTF-8 in the editor", weight=0)
    try:
        return raw.decode("utf-8-sig"), None
    except UnicodeDecodeError as bad:
        before = raw[: bad.start].decode("utf-8", "replace")
        line, column = position(before, len(before))
        return "", Problem(Place(file, line, column), f"byte {raw[bad.start]:02x}", "not UTF-8 text",
                           "a text file in UTF-8", "save it again as UTF-8 in the editor", weight=0)


def position(text: str, at: int) -> tuple[int, int]:
    """Line and column of offset ``at``, both from 1.

    >>> position("ab\\ncd", 4)
    (2, 2)
    """
    line, start = 1, 0
    for end in LINE_END.finditer(text, 0, at):
        line, start = line + 1, end.end()
    return line, at - start + 1


def refusals(text: str, file: str) -> list[Problem]:
    """What rules the text out before it is parsed: its size, its lines, characters no one can see."""
    big = too_much(len(text), file) or too_much(len(text.encode("utf-8", "surrogatepass")), file)
    if big is not None:
        return [big]
    lines = LINE_END.split(text)
    if len(lines) > MOST_LINES:
        return [Problem(Place(file, MOST_LINES + 1), "", f"{len(lines):,} lines are too many",
                        f"at most {MOST_LINES:,} lines", _PREFIX, weight=0)]
    words = len(text.split())
    if words > MOST_WORDS:
        return [Problem(Place(file, 1), "", f"{words:,} words are too many", f"at most {MOST_WORDS:,} words", _PREFIX,
                        weight=0)]
    found: list[Problem] = []
    for number, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE:
            found.append(
                Problem(
                    Place(file, number, LONGEST_LINE + 1),
                    shown(line),
                    f"a line of {len(line):,} characters",
                    f"at most {LONGEST_LINE:,} in a line",
                    "break it into several",
                    weight=0,
                )
            )
        if len(found) >= 5:
            return found
    for pattern, what in ((_UNPRINTABLE, "is no part of a text"), (_TURNERS, "turns the direction of writing")):
        for bad in pattern.finditer(text):
            line_no, column = position(text, bad.start())
            found.append(Problem(Place(file, line_no, column), f"U+{ord(bad[0]):04X}", f"this character {what}",
                                 mend="take it out", weight=0))
            if len(found) >= 5:
                return found
    return found
