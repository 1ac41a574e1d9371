"""Whatever is typed, the reader answers: a build or problems, never an exception, and soon."""

import re
import time
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trialfit.buildfile import EditError, add_reading, edit, read

ROOT = Path(__file__).resolve().parents[2]
GOOD = (ROOT / "tests" / "buildfile" / "everything.yaml").read_text(encoding="utf-8")
LINES = GOOD.splitlines(keepends=True)
SIGNS = st.text(alphabet="abAB01239 .,:;-+/\\'\"#&*!|>%@`[]{}?<=~\t\n\r\u2028\ufeff½’”±°é", max_size=12)
CALM = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


def answered(text: str) -> None:
    start = time.process_time()
    loaded = read(text)
    assert time.process_time() - start < 1.0
    assert (loaded.build is None) == bool(loaded.problems)
    for problem in (*loaded.problems, *loaded.suspicions):
        said = str(problem)
        assert re.match(r"build\.yaml:[1-9][0-9]*:[1-9][0-9]*: .", said), said
        assert said.isprintable(), said


@CALM
@given(st.text(max_size=400))
def test_any_text(text: str) -> None:
    answered(text)


@CALM
@given(st.lists(SIGNS, max_size=30))
def test_any_signs_that_mean_something(pieces: list[str]) -> None:
    answered("trialfit: 1\nreadings:\n  - tape " + "".join(pieces))


@CALM
@given(SIGNS, st.integers(0, len(GOOD)), st.integers(0, 6))
def test_a_good_file_with_one_slip(piece: str, at: int, gone: int) -> None:
    answered(GOOD[:at] + piece + GOOD[at + gone :])


@CALM
@given(st.lists(st.tuples(st.integers(0, len(LINES) - 1), st.integers(0, len(LINES) - 1)), min_size=1, max_size=4))
def test_a_good_file_with_lines_moved(moves: list[tuple[int, int]]) -> None:
    lines = list(LINES)
    for source, target in moves:
        lines.insert(target, lines.pop(source))
    answered("".join(lines))


@CALM
@given(
    st.sampled_from(["tape", "height", "offset", "station", "angle", "size"]),
    st.lists(
        st.sampled_from(
            [
                "eye.L",
                "pad.L",
                "/",
                "612",
                "mm",
                "612 mm",
                "5' 3\"",
                ",",
                "+-",
                "by",
                "tape",
                "left",
                "up",
                "-",
                "3 deg",
                "%",
                "½",
                "0",
                "1e9",
                "to",
                "±",
            ]
        ),
        max_size=10,
    ),
)
def test_any_order_of_the_words_of_a_reading(kind: str, words: list[str]) -> None:
    answered(f"trialfit: 1\nreadings:\n  - {kind} {' '.join(words)}\n")


@CALM
@given(
    st.text(max_size=40),
    st.sampled_from(
        [
            ("readings", 0),
            ("stops", "bump"),
            ("name",),
            ("shapes", "floor", "kind"),
            ("fraction",),
            ("sides", "new"),
            ("shapes", "tank", "body"),
        ]
    ),
)
def test_an_edit_changes_that_and_nothing_else_or_is_refused(value: str, path: tuple[str | int, ...]) -> None:
    try:
        made = edit(GOOD, path, value)
    except EditError:
        return
    assert edit(made, path, value.strip()) == made
    remarks = [line for line in GOOD.splitlines() if line.lstrip().startswith("#")]
    assert [line for line in made.splitlines() if line.lstrip().startswith("#")] == remarks


@CALM
@given(st.text(max_size=40))
def test_a_reading_is_added_whole_or_not_at_all(line: str) -> None:
    try:
        made = add_reading(GOOD, line)
    except EditError:
        return
    assert len(made.splitlines()) == len(GOOD.splitlines()) + 1
    answered(made)
