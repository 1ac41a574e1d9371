"""The exhaust on the page: a point dragged, a search stopped, a route laid, and the way back."""

import re
import time
from pathlib import Path

import pytest

from trialfit.buildfile import load

pytestmark = pytest.mark.slow
PHONE, LAPTOP = (390, 844), (1366, 768)


def point(path: Path, number: int) -> tuple[float, float, float]:
    build = load(path).build
    assert build is not None
    at = build.routes[0].corners[number - 1].point
    assert not isinstance(at, str)
    return at


def lengths_mm(text: str) -> list[float]:
    return [float(v) for v in re.findall(r"(-?[0-9]+\.[0-9]) mm", text)]


def grip(tab, view="side"):
    one = tab.locator(f"svg[data-view={view}] .grip")
    one.scroll_into_view_if_needed()
    box = one.bounding_box()
    assert box["width"] >= 48.0
    assert box["height"] >= 48.0
    return box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0


def opened(tabs, served, thing, size=PHONE, look="night.metric"):
    tab = tabs.open(f"{served.address}/?place=Exhaust&thing={thing}", size, look)
    tab.set_default_timeout(60_000)
    return tab


def test_drag_a_point_and_the_figures_follow_keep_it_and_undo(server, copy_of_estate, tabs):
    served = server(copy_of_estate)
    tab = opened(tabs, served, "main/move/3")
    tab.wait_for_selector("[data-grip]")
    assert point(copy_of_estate, 3) == (2830.0, 222.0, 512.0)
    x, y = grip(tab)
    gap = tab.locator("[data-gap]")
    was = gap.inner_text()
    tab.mouse.move(x, y)
    tab.mouse.down()
    tab.mouse.move(x, y + 6.0, steps=2)
    tab.wait_for_function("w => document.querySelector('[data-gap]').innerText !== w", arg=was)
    answers = []
    for k in range(1, 6):
        before = gap.inner_text()
        began = time.perf_counter()
        tab.mouse.move(x, y + 6.0 + 4.0 * k)
        tab.wait_for_function("w => document.querySelector('[data-gap]').innerText !== w", arg=before)
        answers.append(time.perf_counter() - began)
    assert "about" in gap.inner_text()
    assert min(answers) < 0.5  # the machine may be busy with other work: the quickest tells what the program needs
    tab.mouse.up()
    tab.wait_for_function("() => !document.querySelector('[data-gap]').innerText.includes('about')")
    tab.wait_for_selector("[data-changed] li")
    assert point(copy_of_estate, 3) == (2830.0, 222.0, 512.0)  # nothing is written before it is kept
    # the boot floor was the nearest and lies above: it clears by as much more as the point went down, about
    height = lengths_mm(tab.locator(".numbers input").nth(2).input_value())[0]
    assert height < 500.0
    tab.get_by_role("button", name="Keep it there").click()
    tab.wait_for_selector("text=Undo brings it back")
    kept = point(copy_of_estate, 3)
    assert kept[1] == 222.0
    assert kept[2] == pytest.approx(height, abs=0.051)
    tab.wait_for_selector("[data-grip]")
    tab.get_by_role("button", name="Undo").click()
    tab.wait_for_function("() => [...document.querySelectorAll('.numbers input')].some((i) => i.value === '512.0 mm')")
    assert point(copy_of_estate, 3) == (2830.0, 222.0, 512.0)
    tab.get_by_role("button", name="Redo").click()
    tab.wait_for_function("() => ![...document.querySelectorAll('.numbers input')].some((i) => i.value === '512.0 mm')"
                          " && document.querySelectorAll('.numbers input').length === 3")
    assert point(copy_of_estate, 3) == kept


def hung(path: Path) -> list[tuple[str, float]]:
    build = load(path).build
    assert build is not None
    making = build.routes[0].making
    return [(u.start, u.along_mm) for u in making.hangers.use]


def test_drag_a_hanger_what_it_does_follows_keep_it_and_have_it_looked_for_again(server, copy_of_flatbed, tabs,
                                                                                 axe_script):
    served = server(copy_of_flatbed)
    tab = opened(tabs, served, "main/hangers")
    tab.wait_for_selector("[data-carries]", timeout=240_000)
    assert "carry it" in tab.locator("[data-carries]").inner_text()
    tab.wait_for_selector("#exhaust-hang[data-held]")
    first = tab.locator("[data-hangers] li").first
    was = first.inner_text()
    x, y = grip(tab)
    tab.mouse.move(x, y)
    tab.mouse.down()
    # places lie 6 in apart, and the near view shows 900 mm: 60 px are about one place
    tab.mouse.move(x + 60.0, y, steps=3)
    tab.wait_for_function("w => document.querySelector('[data-hangers] li').innerText !== w", arg=was)
    tab.mouse.up()
    assert hung(copy_of_flatbed) == []  # nothing is written before it is kept
    tab.get_by_role("button", name="Hang it there").click()
    tab.wait_for_selector("text=hangs where you decided")
    kept = hung(copy_of_flatbed)
    assert len(kept) == 3
    assert kept[0][0] == "rail.R1"
    assert serious(tab, axe_script) == []
    tab.get_by_role("button", name="Have the least dear places looked for").click()
    tab.wait_for_selector("text=The least dear places are looked for")
    assert hung(copy_of_flatbed) == []
    tab.get_by_role("button", name="Undo").click()
    again = tab.get_by_role("button", name="Have the least dear places looked for")
    again.wait_for(timeout=240_000)
    assert hung(copy_of_flatbed) == kept


def test_arrow_keys_and_typed_numbers_do_what_the_finger_does(estate, tabs, axe_script):
    first = tabs.open(f"{estate.address}/?place=May%20I%3F", PHONE, "night.metric")
    first.wait_for_selector("text=Do not", timeout=240_000)  # results that come later would draw the place anew
    tab = opened(tabs, estate, "main/move/2")
    tab.wait_for_selector("[data-grip]")
    field = tab.locator(".numbers input")
    assert field.nth(2).input_value() == "512.0 mm"
    tab.wait_for_selector("#exhaust-hold[data-held]")
    tab.locator("svg[data-view=side]").focus()
    tab.keyboard.press("ArrowDown")
    tab.wait_for_function("() => document.querySelectorAll('.numbers input')[2].value === '502.0 mm'")
    tab.get_by_role("button", name="Step 1 mm").click()
    tab.wait_for_selector("button.on:has-text('Step 1 mm')")
    tab.get_by_role("button", name="Left", exact=True).click()
    tab.wait_for_function("() => document.querySelectorAll('.numbers input')[1].value === '217.0 mm'")
    field.nth(0).fill("8 ft 1/2 in")
    tab.get_by_role("button", name="Move it there").click()
    # 8 ft 1/2 in is 8 * 304.8 + 12.7 mm exactly
    tab.wait_for_function("() => document.querySelectorAll('.numbers input')[0].value === '2451.1 mm'")
    assert field.nth(1).input_value() == "217.0 mm"
    field.nth(0).fill("<b>3</b> 1/0")
    tab.get_by_role("button", name="Move it there").click()
    tab.wait_for_selector("text=Station, rearward:")
    assert tab.locator(".kept b").count() == 0  # what was typed is shown as text
    assert field.nth(0).input_value() == "<b>3</b> 1/0"
    field.nth(0).fill("90000 mm")
    tab.get_by_role("button", name="Move it there").click()
    tab.wait_for_selector("text=must lie within 20000 mm")
    assert serious(tab, axe_script) == []


def test_search_stops_with_nothing_or_with_the_best_and_a_route_is_laid_and_undone(server, copy_of_estate, tabs):
    served = server(copy_of_estate)
    text = copy_of_estate.read_bytes()
    tab = opened(tabs, served, "main/others")
    tab.get_by_role("button", name="2 min").click()
    tab.get_by_role("button", name="Look for routes").click()
    tab.get_by_role("button", name="Stop, keep nothing").click()
    tab.wait_for_selector("text=Nothing was kept and nothing was changed")
    assert tab.locator("table.beside").count() == 0
    assert copy_of_estate.read_bytes() == text
    tab.get_by_role("button", name="Look for routes").click()
    tab.wait_for_selector("text=best so far costs")
    began = time.perf_counter()  # the page answers while it searches
    tab.get_by_role("button", name="Pieces").click()
    tab.wait_for_selector(".rowkey.piece")
    assert time.perf_counter() - began < 20.0
    tab.get_by_role("button", name="Other routes").click()
    tab.get_by_role("button", name="Stop and keep the best").click()
    tab.wait_for_selector("table.beside")
    rows = tab.locator("table.beside tbody tr")
    assert rows.count() >= 2
    assert rows.nth(0).locator("th").inner_text() == "now"
    before = rows.all_inner_texts()
    tab.get_by_role("button", name="Look again").click()
    tab.get_by_role("button", name="Stop, keep nothing").click()
    tab.wait_for_selector("table.beside")
    assert rows.all_inner_texts() == before
    length = lengths_mm(rows.nth(1).locator("td").nth(0).inner_text())[0]
    welds = int(rows.nth(1).locator("td").nth(1).inner_text())
    assert copy_of_estate.read_bytes() == text
    tab.get_by_role("button", name="Lay route 1").click()
    tab.wait_for_selector("text=is laid into the build file")
    plan = load(copy_of_estate).build.routes[0]
    assert plan.found.startswith("by the page,")
    assert len(plan.parts) == 3
    tab.get_by_role("button", name="Pieces").click()
    tab.wait_for_selector(".rowkey.piece")
    said = tab.locator("main").inner_text()
    assert length == pytest.approx(lengths_mm(said[said.index("pieces,"):])[0], abs=0.11)
    assert welds > 0
    tab.get_by_role("button", name="Undo").click()
    for _ in range(100):
        if copy_of_estate.read_bytes() == text:
            break
        time.sleep(0.1)
    assert copy_of_estate.read_bytes() == text


def test_pieces_by_laptop_in_inches_and_daylight_and_names_as_text(server, copy_of_estate, tabs, axe_script, tmp_path):
    text = copy_of_estate.read_text()
    copy_of_estate.write_text(text.replace("U-bend", '"<b>U</b>&bend"'))
    tab = opened(tabs, server(copy_of_estate), "main/pieces/4", LAPTOP, "day.inch")
    tab.wait_for_selector(".more")
    said = tab.locator("main").inner_text()
    assert "<b>U</b>&bend" in said
    assert " mm" not in re.sub(r"in [+-][0-9.]+ mm", "", said)
    assert tab.locator(".rowkey.piece").count() == 9
    tab.screenshot(path=tmp_path / "pieces.png")
    assert serious(tab, axe_script) == []
    tab.locator("[data-piece='5'].reach").first.click(force=True)
    tab.wait_for_selector(".rowkey.piece.on .pnum:has-text('5')")
    tab.get_by_role("button", name="Move a point").click()
    tab.wait_for_selector("[data-grip]")
    assert tab.locator(".pipeview b").count() == 0
    tab.screenshot(path=tmp_path / "move.png")


def test_a_point_is_held_for_a_new_route(estate, tabs):
    tab = opened(tabs, estate, "main/move/1")
    tab.wait_for_selector("[data-grip]")
    tab.get_by_role("button", name="Look for a route through this point").click()
    tab.wait_for_selector("text=will run through station 2180.0 mm, 218.0 mm right, 246.0 mm high")
    tab.get_by_role("button", name="Let that point go").click()
    tab.wait_for_selector("text=will run through", state="detached")


@pytest.fixture(scope="module")
def axe_script() -> str:
    axe = pytest.importorskip("axe_core_python.sync_playwright")
    return str(next(Path(axe.__file__).parent.rglob("axe*.js")).read_text())


def serious(tab, script: str) -> list[str]:
    tab.evaluate(script)
    found = tab.evaluate("() => axe.run(document.querySelector('main'))")
    return [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in found["violations"]
            if v["impact"] in ("serious", "critical")]
