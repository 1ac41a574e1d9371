"""Files made to cost time or memory, or to run something: each is refused, and within a second."""

import time
from pathlib import Path

import pytest

from trialfit.buildfile import Loaded, load, read
from trialfit.buildfile.limits import MOST_BYTES

N = MOST_BYTES - 10_000
"""Just under the limit of bytes, so that the other limits have to hold."""


def _laughs() -> str:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 12)]
    return "\n".join(lines)


def _lines(line: str, most: int = N) -> str:
    return (line + "\n") * (most // (len(line) + 1))


PIPE = """trialfit: 1
readings: [tape a b 3 mm]
exhaust:
  diameter: 3 in
  wall: 2 mm
  outlet: a
  find:
"""

HOSTILE = {
    "billion laughs": _laughs(),
    "two megabytes of readings": _lines("  - tape eye.L pad.L 612 mm", 2_000_000),
    "two megabytes on one line": "name: " + "x" * 2_000_000,
    "brackets": "a: " + "[" * N,
    "brackets, lines": "a:\n" + _lines(" [" * 900),
    "braces": "{" * N,
    "braces, lines": _lines("{" * 1900),
    "dashes": "- " * (N // 2),
    "dashes, lines": _lines("- " * 900),
    "question marks": _lines("? " * 900),
    "deeper and deeper": "".join(f"{' ' * n}a:\n" for n in range(900)),
    "flow list": "a: [\n" + _lines("b," * 900) + "]",
    "flow table": "a: {\n" + _lines(", ".join(f"k{n}: v" for n in range(150))) + "}",
    "many keys": "".join(f"k{n}: 1\n" for n in range(11_900)),
    "many keys in one shape": "shapes: {\n" + "".join(f" s{n}: {{tube: a b}},\n" for n in range(6_000)) + "}",
    "open quotes": _lines('a: "'),
    "broken lines": _lines("a: b: c"),
    "broken readings": "readings:\n" + "".join(f"  - 'tape a{n} b 612 mm\n" for n in range(11_000)),
    "one plain text": "a: " + "x\n  " * 11_000,
    "escapes": 'a: "' + "\\x41" * 450 + '"\n' + _lines('b: "' + "\\x41" * 400 + '"'),
    "remarks": _lines("# " + "x" * 1900),
    "blank lines": "\n" * 11_999,
    "blanks": _lines(" " * 1900),
    "unknown hardpoints": "trialfit: 1\nreadings:\n" + "".join(f"  - height point{n} 3{n} mm\n" for n in range(2000))
    + "bodies:\n  axle: [" + ",\n".join(f"pointe{n}" for n in range(9000)) + "]\n",
    "unknown keys": "trialfit: 1\nreadings:\n  - height a 365 mm\n" + "".join(f"readingz{n}: 1\n" for n in range(9000)),
    "names all alike": "readings:\n" + "".join(f"  - tape abcdefgh{n} abcdefg{n}h 612 mm\n" for n in range(9000)),
    "unknown instruments": "readings:\n" + "".join(f"  - height a{n} 365 mm by tape{n}\n" for n in range(9000)),
    "unknown units": "readings:\n" + "".join(f"  - height a{n} 365 milimetre{n}\n" for n in range(9000)),
    "unknown kinds of reading": "readings:\n" + "".join(f"  - heigth{n} a 365 mm\n" for n in range(9000)),
    "unknown kinds of thing": "trialfit: 1\nreadings:\n  - tape a b 3 mm\nshapes:\n" + "".join(
        f"  s{n}: {{tube: a b, diameter: 3 mm, kind: axle{n}}}\n" for n in range(1500)),
    "many parts wanted": PIPE + "    exit: {between: a b, towards: reer}\n    parts:\n"
    + _lines("      - box: {kind: mufler, length: b}"),
    "many turns": PIPE + "    parts:\n      - box:\n          turn: [" + ",\n".join(["3 deg"] * 9000) + "]\n",
    "many repeats": "readings:\n" + _lines("  - tape a b " + ", ".join(["612 mm"] * 200)),
    "many doubts": "readings:\n" + _lines("  - tape a b 612 mm" + " +- 3 mm" * 200),
    "many words": "readings:\n" + _lines("  - tape " + "a " * 900),
    "many words after a number": "readings:\n" + _lines("  - tape a b 612 mm " + "a " * 900),
    "digits": "readings:\n" + _lines("  - tape a b " + "9" * 1900 + " mm"),
    "commas": "readings:\n" + _lines("  - tape a b " + "," * 1900),
    "fractions": "readings:\n" + _lines("  - tape a b " + "1/2 " * 470 + "in"),
    "control characters": "a: " + "\x01" * N,
    "surrogates": "a: \ud800" * 100,
    "line separators": "a: b\u2028" * 1000,
    "null bytes": "\0" * N,
    "tabs": _lines("\t- a"),
    "other line ends": "a: b\r" * 30_000,
    "runs a command": "a: !!python/object/apply:os.system ['touch hostile-was-here']",
    "runs a function": "!!python/name:os.system",
    "merge": "a: &a {b: c}\nd:\n  <<: *a\n",
}


def _timed(text: str) -> tuple[Loaded, float]:
    best = float("inf")
    for _ in range(3):  # time of the processor, and the best of three: the machine may be busy with something else
        start = time.process_time()
        loaded = read(text, "hostile.yaml")
        best = min(best, time.process_time() - start)
        if best < 1.0:
            break
    return loaded, best


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_within_a_second(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    loaded, seconds = _timed(HOSTILE[name])
    assert loaded.build is None
    assert 0 < len(loaded.problems) <= 200
    assert all(len(str(problem)) < 700 for problem in loaded.problems)
    assert seconds < 1.0
    assert list(tmp_path.iterdir()) == []


def test_a_file_too_large_is_not_read_whole(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    with path.open("wb") as file:
        file.truncate(3_000_000_000)  # takes no room on the disk
    start = time.perf_counter()
    loaded = load(path)
    assert time.perf_counter() - start < 1.0
    assert str(loaded.problems[0]).startswith(
        "big.yaml:1:1: 3,000,000,000 bytes are too many; expected at most 400,000"
    )


def test_more_words_than_a_vehicle_has_are_refused_before_any_is_read():
    told = [str(p) for p in read("name: a\n" + ("# " + "w " * 900 + "\n") * 151).problems]
    assert told[0].startswith("build.yaml:1:1: 136,")
    assert "words are too many; expected at most 90,000 words; split it" in told[0]


def test_a_whole_vehicle_is_far_below_the_limits() -> None:
    lines = ["trialfit: 1", "readings:"]
    for n in range(2000):
        lines.append(
            f"  - tape point{n % 300}.L point{(n * 7 + 1) % 300}.R {600 + n % 50} mm, {601 + n % 50} mm  # noon"
        )
    text = "\n".join(lines)
    start = time.perf_counter()
    loaded = read(text)
    seconds = time.perf_counter() - start
    assert loaded.build is not None
    assert len(loaded.build.readings) == 2000
    assert len(text) < MOST_BYTES / 3
    assert seconds < 3.0  # about 0.5 s on an idle machine
