"""One edit in the text, and every other character where it was."""

from pathlib import Path

import pytest

from trialfit.buildfile import EditError, add_reading, edit, read, starter

GOOD = (Path(__file__).parent / "everything.yaml").read_text(encoding="utf-8")


def changed(old: str, new: str) -> list[tuple[str, str]]:
    """Lines that differ; both texts must have as many."""
    assert len(old.splitlines()) == len(new.splitlines())
    return [(a, b) for a, b in zip(old.splitlines(), new.splitlines()) if a != b]


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        (("name",), "Estate: second try", "name: Everything, once", "name: 'Estate: second try'"),
        (
            ("readings", 1),
            "tape eye.L pad.L 612 mm",
            "  - tape eye.L pad.L 612 mm, 613 mm, 611 mm      # repeats: the spread counts",
            "  - tape eye.L pad.L 612 mm      # repeats: the spread counts",
        ),
        (
            ("readings", 0),
            "tape eye.L nose 5' 3 7/16\"",
            "  - tape eye.L pad.L 612 mm",
            "  - tape eye.L nose 5' 3 7/16\"",
        ),
        (
            ("shapes", "rail left", "along y"),
            "61 mm",
            "  rail left:  {box: eye.L tail, along y: 60 mm, along z: 100 mm, kind: frame}",
            "  rail left:  {box: eye.L tail, along y: 61 mm, along z: 100 mm, kind: frame}",
        ),
        (
            ("shapes", "rail left", "box"),
            "eye.L, tail",
            "  rail left:  {box: eye.L tail, along y: 60 mm, along z: 100 mm, kind: frame}",
            "  rail left:  {box: 'eye.L, tail', along y: 60 mm, along z: 100 mm, kind: frame}",
        ),
        (
            ("stops", "roll"),
            "3 deg",
            "stops: {bump: 80 mm, droop: 90 mm, apart: 900 mm, roll: 4 deg}",
            "stops: {bump: 80 mm, droop: 90 mm, apart: 900 mm, roll: 3 deg}",
        ),
        (("exhaust", "main", "corners", 2, "kerf"), "2 mm", "        kerf: 1.5 mm", "        kerf: 2 mm"),
        (
            ("shapes", "tank", "body"),
            "frame",
            "  tank:       {box: nose tail, kind: fuel}",
            "  tank:       {box: nose tail, kind: fuel, body: frame}",
        ),
    ],
)
def test_a_value_is_changed_where_it_stands(path: tuple[str | int, ...], value: str, old: str, new: str) -> None:
    assert changed(GOOD, edit(GOOD, path, value)) == [(old, new)]


def test_a_key_is_added_below_its_like() -> None:
    made = edit(
        "trialfit: 1\nsides:\n  eye.L: left   # sure\n  # end of sides\n\nname: x\n", ("sides", "eye.R"), "right"
    )
    assert made == "trialfit: 1\nsides:\n  eye.L: left   # sure\n  eye.R: right\n  # end of sides\n\nname: x\n"
    assert edit("trialfit: 1", ("name",), "Estate") == "trialfit: 1\nname: Estate"
    assert edit("name:   # none yet\n", ("name",), "Estate") == "name: Estate   # none yet\n"
    assert edit("stops: {}\n", ("stops", "bump"), "80 mm") == "stops: {bump: 80 mm}\n"
    assert edit("# only a remark\n", ("trialfit",), "1") == "# only a remark\ntrialfit: 1\n"


@pytest.mark.parametrize(
    "text",
    [
        "readings:\n  - tape a b 612 mm\n\n# the rest\nname: x\n",
        "readings:\n- tape a b 612 mm\nname: x\n",
        "readings:\r\n  - tape a b 612 mm\r\n",
        "readings:\n",
        "readings:   # soon\nname: x\n",
        "trialfit: 1\n",
        "",
        "trialfit: 1",
    ],
)
def test_a_reading_is_added_after_the_last(text: str) -> None:
    made = add_reading(text, "height a 365 mm")
    for line in text.splitlines():
        assert line in made.splitlines()
    assert "\r\n" not in text or made.count("\r\n") == made.count("\n")
    loaded = read(made if "trialfit" in made else "trialfit: 1\n" + made)
    assert loaded.build is not None
    assert loaded.build.readings[-1].identity == "height a"


def test_the_starter_takes_a_reading() -> None:
    made = add_reading(starter(), "tape eye.L pinion 5' 3 7/16\"")
    before, after = read(starter()).build, read(made).build
    assert before is not None
    assert after is not None
    assert after.readings[:-1] == before.readings
    assert after.readings[-1].values == pytest.approx((1611.3125,))
    assert "  - size axle tube 76.2 mm\n  - tape eye.L pinion 5' 3 7/16\"\n" in made


@pytest.mark.parametrize(
    ("path", "value", "why"),
    [
        (("nowhere", "at all"), "1", "there is no nowhere"),
        (("shapes",), "1", "no single text"),
        ((), "1", "no path"),
        (("readings", 999), "1", "there is no readings > 999"),
        (("name",), "a\nb", "one line"),
        (("note",), "x", "several lines"),
        (("name",), "a\x07", "one line"),
    ],
)
def test_an_edit_that_leads_nowhere_is_refused(path: tuple[str | int, ...], value: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        edit(GOOD, path, value)


@pytest.mark.parametrize(("text", "line"), [
    ("readings: [tape a b 3 mm]\n", "height a 3 mm"), ("readings:\n  - a\n", ""), ("a: [\n", "height a 3 mm"),
    ("readings:\n  - a\n", "a\nb: c"), ("just words\n", "height a 3 mm"),
])
def test_a_reading_that_cannot_be_added_is_refused(text: str, line: str) -> None:
    with pytest.raises(EditError):
        add_reading(text, line)
