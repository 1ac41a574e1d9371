"""Whatever is typed, the reader answers: a build or problems, never an exception, and soon."""

import re
import time
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from trialfit.buildfile import EditError, add_reading, edit, read, write_route
from trialfit.vehicle import Amount, Corner, LaidPart, PieCutWish

ROOT = Path(__file__).resolve().parents[2]
GOOD = (ROOT / "tests" / "buildfile" / "everything.yaml").read_text(encoding="utf-8")
LINES = GOOD.splitlines(keepends=True)
SIGNS = st.text(alphabet="abAB01239 .,:;-+/\\'\"#&*!|>%@`[]{}?<=~\t\n\r\u2028\ufeff½’”±°é", max_size=12)
# nothing is traced while it runs: that takes ten times as long, and how long it takes is part of what is asked
CALM = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True,
                phases=[Phase.explicit, Phase.generate, Phase.shrink])


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


FIND_WORDS = [
    "exit", "between", "towards", "rear", "30 deg right of rear", "[", "]", "{", "}", ": ", ", ", "- ", "\n    ",
    "parts", "kind", "muffler", "length", "450 mm", "turn", "[0 deg]", "pipes", "bends", "1.5 D", "to", "worth", "kg",
    "lb", "2", "gas", "keep out", "through", "eye.L", "tail", "-3", "12 per m", "1e9", "½", "yes",
]


@CALM
@given(st.lists(st.sampled_from(FIND_WORDS), max_size=25))
def test_any_order_of_the_words_of_a_wish(words: list[str]) -> None:
    answered(GOOD.replace("    find:      # not laid yet\n", "    find:\n      " + "".join(words) + "\n"))


@CALM
@given(st.lists(st.tuples(st.sampled_from(FIND_WORDS), st.integers(0, 1)), min_size=1, max_size=4), st.data())
def test_a_good_wish_with_words_put_in(words: list[tuple[str, int]], data: st.DataObject) -> None:
    text = GOOD
    for word, gone in words:
        at = data.draw(st.integers(GOOD.index("exhaust:"), GOOD.index("gaps:")))
        text = text[:at] + word + text[at + gone :]
    answered(text)


NUMBERS = st.floats(-9000.0, 9000.0)
SPOTS = st.one_of(st.sampled_from(["tail", "eye.L"]), st.tuples(NUMBERS, NUMBERS, NUMBERS))
CORNERS = st.builds(Corner, SPOTS, st.one_of(st.floats(40.0, 400.0).map(Amount), st.just(Amount(76.2, 0.0, "1.5 D"))),
                    st.one_of(st.none(), st.builds(PieCutWish, st.integers(2, 9), st.floats(0.0, 3.0))))
PARTS = st.builds(LaidPart, st.text(min_size=1, max_size=12), st.sampled_from(["muffler", "joint"]), st.just(1),
                  st.floats(0.0, 500.0), st.floats(1.0, 500.0).map(Amount), st.just(Amount(200.0)),
                  st.sampled_from([Amount(200.0), Amount(120.0)]), st.floats(-3.0, 3.0))


@settings(CALM, max_examples=25)
@given(st.lists(CORNERS, max_size=6), SPOTS, st.lists(PARTS, max_size=1), st.text(max_size=40),
       st.sampled_from(["main", "side"]))
def test_a_found_route_reads_back_or_is_refused(
    corners: list[Corner], end: str | tuple[float, float, float], parts: list[LaidPart], found: str, route: str
) -> None:
    try:
        made = write_route(GOOD, route, corners, end, parts, found=found)
    except EditError:
        # a name or line that no file can hold; everything else is written
        texts = [found, *(p.name for p in parts)]
        assert any(not t.isprintable() or t != t.strip() for t in texts)
        return
    plan = next(r for r in read(made).build.routes if r.name == route)
    for at, want in zip((*plan.corners, plan), (*corners, end)):
        got = at.end if at is plan else at.point
        place = want if at is plan else want.point
        assert got == place if isinstance(place, str) else max(abs(a - b) for a, b in zip(got, place)) < 0.006
    assert write_route(made, route, corners, end, parts, found=found) == made
    kept = [line for line in GOOD.splitlines() if "#" in line]
    assert [line for line in made.splitlines() if "#" in line and line in kept] == kept
