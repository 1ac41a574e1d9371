"""The bench in a browser: joints, shaft and gearing, sheets, sums, the build file, two changes that met."""

import re
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from trialfit.mates.gathered import MATE_KINDS
from trialfit.sums import all_sums, find_sum
from trialfit.units import DIMENSIONS, parse, show

pytest.importorskip("nicegui")

from trialfit.web.places import bench_joints, bench_sums
from trialfit.web.places.bench_three_way import BASE, BOTH, MINE, THEIRS, put_together, stretches

PHONE, LAPTOP = (390, 844), (1366, 768)
WORKED_MS = 240_000
"""Until a build is worked out on a busy machine [ms]."""


def at(address: str, thing: str = "") -> str:
    return f"{address}/?place=Bench&thing={quote(thing)}"


def settled(page: Any) -> None:
    """Wait until a wide tab has its vehicle beside it; the place is laid out anew with it."""
    page.wait_for_selector(".side *", state="attached", timeout=60_000)
    page.wait_for_timeout(500)


def typed_into(page: Any, line: int, text: str) -> None:
    """Put a line of its own before ``line`` of the editor, as typing does."""
    settled(page)
    page.wait_for_selector(".cm-content[aria-label]")
    page.evaluate(
        """async ([line, text]) => {
          const box = document.querySelector('.nicegui-codemirror');
          for (let i = 0; i < 200; i++) {
            const it = getElement(+box.id.slice(1));
            if (it && it.editor) {
              const at = it.editor.state.doc.line(line).from;
              it.editor.dispatch({changes: {from: at, insert: text + '\\n'}});
              return;
            }
            await new Promise((r) => setTimeout(r, 50));
          }
          throw new Error('no editor');
        }""", [line, text])


# -- without a browser ----------------------------------------------------------------------------------------------


def test_every_kind_of_joint_has_a_place_on_the_vehicle() -> None:
    placed = [kind for _, kinds in bench_joints.PLACES for kind in kinds]
    assert sorted(placed) == sorted(kind.name for kind in MATE_KINDS)


def test_units_and_examples_of_the_sums_can_be_read() -> None:
    import trialfit.checks  # noqa: F401

    for one in all_sums():
        for system in ("metric", "inch"):
            unit = bench_sums._INCH_UNITS.get(one.unit, one.unit) if system == "inch" else one.unit
            assert show(1.0, unit, dimension=one.dimension if unit else None)
    for examples in (bench_sums._INCH_EXAMPLES, bench_sums._METRIC_EXAMPLES):
        for dimension, text in examples.items():
            assert dimension in DIMENSIONS
            assert parse(text, dimension).value > 0.0


def test_a_sum_in_inches_is_that_in_millimetres() -> None:
    """Five holes on a circle of 4 1/2 in lie 4.5 in times the sine of 36 degrees apart: geometry."""
    found = find_sum("bolt-circle-from-chord")
    inch = bench_sums.answered(found, {"count": "5", "chord": "2.645 in +- 0.01 in"}, "inch", 16)
    metric = bench_sums.answered(found, {"count": "5", "chord": "67.183 mm +- 0.254 mm"}, "metric", 16)
    assert inch.amount.startswith("4.500 in (4 1/2 in")
    assert inch.doubt == "0.017 in"
    assert metric.amount == "114.30 mm"
    assert metric.doubt == "0.43 mm"


def test_a_sum_names_every_input_that_is_wrong() -> None:
    with pytest.raises(bench_sums.Refused) as refused:
        bench_sums.answered(find_sum("tube-whirl"), {"diameter": "76", "length": "", "ends": "welded"}, "metric", 16)
    assert set(refused.value.by_key) == {"diameter", "wall", "length", "ends"}
    assert "without a unit" in refused.value.by_key["diameter"]
    assert "such as 67.1 mm" in refused.value.by_key["length"]


BASE_TEXT = "one\ntwo\nthree\nfour\nfive\n"


def test_changes_in_different_places_are_both_taken() -> None:
    parts = stretches(BASE_TEXT, "one\nTWO\nthree\nfour\nfive\n", "one\ntwo\nthree\nfour\nfive\nsix\n")
    assert [s.clash for s in parts if s.parted] == [False, False]
    assert put_together(parts, {}) == "one\nTWO\nthree\nfour\nfive\nsix\n"


def test_nothing_is_guessed_where_both_changed_a_line() -> None:
    parts = stretches(BASE_TEXT, BASE_TEXT.replace("three", "mine"), BASE_TEXT.replace("three", "theirs"))
    (at_line,) = [n for n, s in enumerate(parts) if s.clash]
    assert parts[at_line].line == 3
    with pytest.raises(ValueError, match="line 3: both changed it"):
        put_together(parts, {})
    assert put_together(parts, {at_line: MINE}) == BASE_TEXT.replace("three", "mine")
    assert put_together(parts, {at_line: THEIRS}) == BASE_TEXT.replace("three", "theirs")
    assert put_together(parts, {at_line: BOTH}) == BASE_TEXT.replace("three", "mine\ntheirs")
    assert put_together(parts, {at_line: BASE}) == BASE_TEXT


@pytest.mark.parametrize(("mine", "theirs"), [
    ("", BASE_TEXT), ("one\n", "five\n"), ("two\none\nfive", "one\nthree\nfour\nfour\nfive\n"),
    ("one\none\ntwo\nthree\n", "zero\none\ntwo\nthree\nfour\nfive"), (BASE_TEXT, BASE_TEXT), ("x\n", "x\n")])
def test_each_text_comes_back_whole_from_its_stretches(mine: str, theirs: str) -> None:
    parts = stretches(BASE_TEXT, mine, theirs)
    assert "".join(line for s in parts for line in s.base) == BASE_TEXT
    assert "".join(line for s in parts for line in s.mine) == mine
    assert "".join(line for s in parts for line in s.theirs) == theirs


# -- in a browser ---------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_every_row_opens_and_the_vehicle_can_be_told_in_inches(estate: Any, tabs: Any) -> None:
    page = tabs.open(at(estate.address), PHONE, "night.metric")
    rows = page.locator(".benchrow b").all_inner_texts()
    assert len(rows) == 6
    for thing, head in (("joints", "Does it go together?"), ("shaft and gearing", "Shaft and gearing"),
                        ("sheets", "Sheets to print and to send"), ("sums", "Sums, one at a time"),
                        ("build file", "The build file")):
        page.locator(".benchrow", has_text=head.split(",")[0].split(" to ")[0]).first.click()
        page.wait_for_selector(f"main h1:has-text('{head}')")
        assert page.evaluate("document.documentElement.scrollWidth") == 390, thing
        page.locator("main .back", has_text="Bench").click()
        page.wait_for_selector(".benchrow")
    page.get_by_role("button", name="Inches").click()
    page.wait_for_selector("main button[aria-pressed=true]:has-text('Inches')")
    page.get_by_role("button", name="Daylight").click()
    page.wait_for_selector("body.day")


@pytest.mark.slow
def test_a_joint_says_what_to_do_and_shows_its_drawing(estate: Any, tabs: Any) -> None:
    page = tabs.open(at(estate.address, "joints"), PHONE, "night.metric")
    row = page.locator('details[data-joint="front-wheel-left"]')
    row.wait_for(timeout=WORKED_MS)
    first = page.locator("main details.opens .mark").first
    assert first.get_attribute("aria-label") == "Does not fit"
    row.locator("summary").first.click()
    row.locator(".drawn svg").wait_for()
    said = row.inner_text()
    # sizes of the demo's own file: wheel bore 67.1 mm on a hub register of 70.6 mm
    for words in ("bore 67.10 mm", "Do:", "To size:", "Not allowed:", "Source:", "machine shop"):
        assert words in said
    assert row.locator("a[href='/sheets/order-machine-shop.pdf']").count() == 1
    given = page.context.request.get(f"{estate.address}/sheets/order-machine-shop.pdf", timeout=60_000)
    assert given.body().startswith(b"%PDF")


@pytest.mark.slow
def test_gearing_follows_ratio_and_speed(estate: Any, tabs: Any) -> None:
    page = tabs.open(at(estate.address, "shaft and gearing"), LAPTOP, "day.metric")
    settled(page)
    page.locator(".plot svg").first.wait_for(timeout=WORKED_MS)
    before = page.locator(".plot svg").first.get_attribute("aria-label")
    page.locator("#bench-ratio").fill("4.10:1")
    page.locator("#bench-speed").fill("62 mph")
    page.locator("#bench-speed").press("Enter")
    page.wait_for_selector(".plot svg[aria-label*='axle ratio 4.1;']")
    page.wait_for_selector(".plot svg[aria-label*='at 100 km/h']")
    after = page.locator(".plot svg").first.get_attribute("aria-label")
    turning = [float(re.search(r"top gear ([0-9.]+) rpm at", text)[1]) for text in (before, after)]
    speeds = [float(re.search(r"rpm at ([0-9.]+) km/h", text)[1]) for text in (before, after)]
    # engine speed over road speed goes with the axle ratio: kinematics; 62 mph is 99.8 km/h
    assert turning[1] / 99.78 / (turning[0] / speeds[0]) == pytest.approx(4.10 / 3.31, rel=2e-3)
    page.locator("#bench-ratio").fill("41")
    page.locator("#bench-ratio").press("Enter")
    page.wait_for_selector("[role=alert] .kept:has-text('axle ratio')")


@pytest.mark.slow
def test_sheets_are_seen_before_they_are_printed(estate: Any, tabs: Any) -> None:
    page = tabs.open(at(estate.address, "sheets"), PHONE, "day.metric")
    page.wait_for_selector("section.rule", timeout=WORKED_MS)
    said = page.locator("main").inner_text()
    assert "100 mm and 4 in" in said
    assert "100 %" in said
    row = page.locator('details[data-sheet="order-driveshaft.pdf"]')
    row.locator("summary").click()
    row.locator(".pages svg").first.wait_for()
    assert row.locator(".pages svg").count() >= 2
    assert page.locator("a[href^='/sheets/wrap-']").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth") == 390


@pytest.mark.slow
def test_a_sum_is_worked_in_inches(estate: Any, tabs: Any) -> None:
    page = tabs.open(at(estate.address, "sums"), PHONE, "night.inch")
    page.locator("#bench-find").fill("bolt circle chord")
    page.get_by_role("button", name=re.compile("Bolt circle from the distance of two holes")).click()
    page.locator("#bench-count").fill("5")
    page.locator("#bench-chord").fill("2.645")
    page.locator(".page button.go").click()
    page.wait_for_selector(".bad:has-text('without a unit')")
    page.locator("#bench-chord").fill("2.645 in +- 0.01 in")
    page.locator(".page button.go").click()
    page.wait_for_selector("[data-answer]:has-text('4.500 in')")
    said = page.locator("main").inner_text()
    for words in ("± 0.017 in", "How:", "Source: geometry", "Caution:"):
        assert words in said
    page.goto(at(estate.address, "sum:<img src=x onerror=alert(1)>"))
    page.wait_for_selector("main h1:has-text('No such sum')")
    assert page.locator("main img").count() == 0


@pytest.mark.slow
def test_an_error_stands_at_its_line_and_is_mended_there(server: Any, copy_of_estate: Path, tabs: Any) -> None:
    whole = copy_of_estate.read_text()
    served = server(copy_of_estate)
    page = tabs.open(at(served.address, "build file"), LAPTOP, "night.metric")
    line = whole.splitlines().index("readings:") + 2
    typed_into(page, line, "  - tape axle.pin.L <b>pad</b> 3 1/0 in")
    page.wait_for_selector(f"[data-problems] .problem:has-text('Line {line}')")
    page.wait_for_selector(".cm-line.wrong:has-text('3 1/0 in')")
    assert page.locator(".cm-line.wrong").count() == 1
    assert page.locator("main b:text-is('pad')").count() == 0
    assert copy_of_estate.read_text() == whole
    page.get_by_role("button", name="Put it into the file").click()
    page.wait_for_selector(".kept:has-text('nothing is worked out until that is mended')")
    assert len(copy_of_estate.read_text().splitlines()) == len(whole.splitlines()) + 1
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector("[data-problems]:has-text('Every line can be read')")
    assert copy_of_estate.read_text() == whole
    typed_into(page, 1, "# put aside")
    page.get_by_role("button", name="Put it aside").click()
    page.wait_for_selector("text=Everything here is in the file.")
    page.get_by_role("button", name="Show again what I put aside").click()
    page.wait_for_selector(".cm-line:has-text('# put aside')")
    assert copy_of_estate.read_text() == whole


@pytest.mark.slow
def test_a_change_on_the_disk_and_one_in_the_editor_are_both_kept(server: Any, copy_of_estate: Path, tabs: Any) -> None:
    whole = copy_of_estate.read_text()
    served = server(copy_of_estate)
    page = tabs.open(at(served.address, "build file"), LAPTOP, "night.metric")
    typed_into(page, 1, "# <i>mine</i>, from the page")
    page.wait_for_selector("text=Typed, not yet in the file.")
    theirs = whole.replace("\nname: ", "\n# theirs, from another editor\nname: ", 1)
    theirs = f"# theirs, at the top\n{theirs}"
    copy_of_estate.write_text(theirs)
    page.wait_for_selector("text=What you typed is still here")
    page.get_by_role("button", name="Put it into the file").click()
    page.wait_for_selector("main h1:has-text('Two changes met')")
    assert copy_of_estate.read_text() == theirs
    assert page.locator("[data-stretch]").count() == 2
    assert page.get_by_role("button", name="Put this into the file").count() == 0
    top = page.locator("[data-stretch]").first
    assert "<i>mine</i>, from the page" in top.inner_text()
    assert "theirs, at the top" in top.inner_text()
    top.get_by_role("button", name="Both").click()
    page.get_by_role("button", name="Put this into the file").click()
    page.wait_for_selector(".kept:has-text('It is in the file.')")
    assert copy_of_estate.read_text() == f"# <i>mine</i>, from the page\n{theirs}"


@pytest.mark.slow
@pytest.mark.parametrize(("size", "look"), [(PHONE, "night.inch"), (LAPTOP, "day.metric")], ids=["phone", "laptop"])
def test_the_bench_is_open_to_everybody(estate: Any, tabs: Any, tmp_path: Path, size: tuple[int, int], look: str
                                        ) -> None:
    axe = pytest.importorskip("axe_core_python.sync_playwright").Axe()
    for thing in ("", "joints", "shaft and gearing", "sheets", "sum:tube-whirl", "build file"):
        page = tabs.open(at(estate.address, thing), size, look)
        if thing in ("joints", "sheets"):
            page.wait_for_selector("section.rule", timeout=WORKED_MS)
        if thing == "shaft and gearing":
            page.wait_for_selector(".plot svg", timeout=WORKED_MS)
        if thing == "build file":
            page.wait_for_selector(".cm-content[aria-label]")
        page.screenshot(path=str(tmp_path / f"bench-{thing.replace(' ', '-').replace(':', '-')}.png"))
        found = axe.run(page, "main")
        bad = [(v["id"], n["html"][:200], [a["message"] for a in n["any"]]) for v in found["violations"]
               if v["impact"] in ("serious", "critical") for n in v["nodes"]]
        assert bad == [], thing
        page.context.close()
        tabs.contexts.remove(page.context)
