"""The vehicle in the page: moved by its sliders, tapped, cut across, put on paper, on a phone and on a laptop."""

import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

pytest.importorskip("nicegui")
pytestmark = pytest.mark.slow

Served = Any
Tabs = Any
ESTATE = Path(__file__).resolve().parents[2] / "examples" / "estate"
PHONE, LAPTOP = (390, 844), (1366, 768)
HEAVE = "Heave of the axle"
MIDDLE_OF_AXLE_MM = (2650.0, 0.0, 305.0)
"""As the notebook of the estate reads the axle tube: station, offset between its ends, height."""
BUMP_MM, DROOP_MM = 75.0, 85.0
"""The stops, as they stand in the estate's file."""
NAME = '<img onerror> & "roof"'
SCAN_SIDE = 318


def opened(tabs: Tabs, served: Served, size: tuple[int, int] = PHONE, look: str = "night.metric", more: str = "bay=4"
           ) -> Any:
    page = tabs.open(f"{served.address}/?place=Vehicle&{more}", size, look)
    page.wait_for_function("window.trialfitVehicle && trialfitVehicle.mesh.parent", timeout=240_000)
    page.wait_for_function("document.querySelector('.profile svg')", timeout=30_000)
    # one frame has to be drawn before a tap can meet anything
    page.wait_for_timeout(500)
    return page


def heave_to(page: Any, value: str) -> None:
    page.get_by_label(HEAVE).evaluate(
        f"e => {{ e.value = {value}; e.dispatchEvent(new Event('input', {{ bubbles: true }})) }}")


def rise_mm(page: Any, name: str = "axle tube") -> float:
    """How far a point at the middle of the axle has risen in the scene."""
    m = np.array(page.evaluate("n => trialfitVehicle.where(n)", name)).reshape(4, 4).T
    at = np.array([*MIDDLE_OF_AXLE_MM, 1.0])
    return float(1000.0 * (m @ at)[2] - at[2])


def until(holds: Callable[[], bool], seconds: float = 10.0) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.05)
    return False


def tap(page: Any, across: float, down: float, touch: bool) -> None:
    box = page.locator(".canvas canvas").bounding_box()
    x, y = box["x"] + across * box["width"], box["y"] + down * box["height"]
    if touch:
        page.touchscreen.tap(x, y)
    else:
        page.mouse.click(x, y)


def test_the_axle_goes_where_the_slider_stands(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    assert rise_mm(page) == pytest.approx(0.0, abs=0.5)
    heave_to(page, "e.max")
    assert until(lambda: abs(rise_mm(page) - BUMP_MM) < 2.0), rise_mm(page)
    assert f"At {BUMP_MM:.0f} mm bump" in page.locator(".fig").inner_text()
    heave_to(page, "e.min")
    assert until(lambda: abs(rise_mm(page) + DROOP_MM) < 2.0), rise_mm(page)
    frame = page.evaluate("trialfitVehicle.where('rail left')")
    assert frame[12:15] == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)


def test_the_stops_have_keys_and_the_slider_follows(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    page.get_by_role("button", name="Bump stop").click()
    assert until(lambda: abs(rise_mm(page) - BUMP_MM) < 2.0)
    assert until(lambda: float(page.get_by_label(HEAVE).input_value()) == BUMP_MM)
    page.get_by_role("button", name="Droop stop").click()
    assert until(lambda: float(page.get_by_label(HEAVE).input_value()) == -DROOP_MM)
    page.get_by_role("button", name="Ride", exact=True).click()
    assert until(lambda: abs(rise_mm(page)) < 0.5)


def test_a_drag_past_the_end_reaches_the_stop(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate, LAPTOP)
    box = page.get_by_label(HEAVE).bounding_box()
    y = box["y"] + box["height"] / 2.0
    page.mouse.move(box["x"] + box["width"] / 2.0, y)
    page.mouse.down()
    page.mouse.move(box["x"] + 1.3 * box["width"], y, steps=40)
    page.mouse.up()
    assert until(lambda: abs(rise_mm(page) - BUMP_MM) < 2.0), rise_mm(page)
    assert float(page.get_by_label(HEAVE).input_value()) == BUMP_MM


def test_roll_moves_the_stops_in(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    page.get_by_text("Roll, engine rock, what is drawn").click()
    roll = page.get_by_label("Roll of the axle")
    roll.evaluate("e => { e.value = e.max; e.dispatchEvent(new Event('input', { bubbles: true })) }")
    assert until(lambda: "right wheel up 4.0 deg" in page.locator(".fig").inner_text())
    # 4 degrees over half of the 800 mm between the stops take 27.9 mm of the bump (sine, by hand)
    assert until(lambda: abs(float(page.get_by_label(HEAVE).get_attribute("max")) - (BUMP_MM - 27.9)) < 0.1)
    heave_to(page, "e.max")
    assert until(lambda: "At 47 mm bump" in page.locator(".fig").inner_text())


def test_it_plays_through_its_travel_and_stops(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    page.get_by_role("button", name="Play", exact=True).click()
    seen: list[float] = []
    end = time.monotonic() + 9.0
    while time.monotonic() < end:
        seen.append(rise_mm(page))
        time.sleep(0.1)
    assert min(seen) < -0.9 * DROOP_MM
    assert max(seen) > 0.9 * BUMP_MM
    page.get_by_role("button", name="Stop", exact=True).click()
    page.get_by_role("button", name="Play", exact=True).wait_for()
    page.wait_for_timeout(400)
    still = rise_mm(page)
    page.wait_for_timeout(600)
    assert rise_mm(page) == still


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
def test_what_is_tapped_tells_its_findings_and_readings(tabs: Tabs, estate: Served, size: tuple[int, int]) -> None:
    page = opened(tabs, estate, size)
    tap(page, 0.545, 0.5, size == PHONE)
    page.get_by_role("button", name="Back to the bay").wait_for()
    assert page.locator("main h1").inner_text() == "differential"
    assert "It rides on the axle" in page.locator("main").inner_text()
    assert "station diff 2669 mm" in page.locator("main").inner_text()
    page.locator("main details", has_text=re.compile(r"^\d+ fit")).locator("summary").click()
    assert page.locator("main article", has_text="Differential to lateral rod").count() == 1
    assert "thing=differential" in page.url
    page.get_by_role("button", name="diff", exact=True).click()
    page.get_by_role("heading", name="diff", exact=True).wait_for()
    assert "A hardpoint on the axle: station 2669" in page.locator("main").inner_text()
    page.get_by_role("button", name="Back to the bay").click()
    page.get_by_role("heading", name="Axle", exact=True).wait_for()


def test_turning_the_view_taps_nothing(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate, LAPTOP)
    box = page.locator(".canvas canvas").bounding_box()
    page.mouse.move(box["x"] + 0.545 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.6 * box["width"], box["y"] + 0.6 * box["height"], steps=8)
    page.mouse.up()
    page.wait_for_timeout(800)
    assert page.locator("main h1").inner_text() == "Axle"


def test_a_finding_is_shown_at_its_worst(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate, LAPTOP)
    card = page.locator("main article", has_text="Spring left to damper left")
    words = r"(\d+) mm, give or take (\d+) mm; wanted (\d+) mm, at (\d+) mm (droop|bump)"
    said = re.search(words, card.inner_text())
    assert said is not None
    card.get_by_role("button", name=re.compile("at its worst")).click()
    gap, doubt, wanted, heave, way = said.groups()
    figure = page.locator(".fig")
    assert until(lambda: f"At {heave} mm {way}" in figure.inner_text())
    shown = re.match(r"(\d+) mm ± (\d+) mm", figure.inner_text())
    assert shown is not None
    # the card gives the best value met, the figure the sure one just below it
    assert abs(int(shown.group(1)) - int(gap)) <= 1
    assert shown.group(2) == doubt
    assert f"{wanted} mm wanted" in figure.inner_text()
    assert until(lambda: abs(rise_mm(page) - (1 if way == "bump" else -1) * int(heave)) < 3.0)
    assert page.locator(".gapflag").inner_text().startswith(shown.group(1))


def test_a_cut_meets_what_stands_at_its_station(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    page.get_by_role("button", name="Cut", exact=True).click()
    station = page.get_by_label("Station of the cut")

    def names(at: float) -> set[str]:
        station.evaluate(f"e => {{ e.value = {at}; e.dispatchEvent(new Event('input', {{ bubbles: true }})) }}")
        page.get_by_text(f"Cut at {at:.0f} mm, from behind").wait_for()
        return set(page.locator(".cutsvg [data-thing]").evaluate_all("all => all.map((e) => e.dataset.thing)"))

    assert {"axle tube", "wheel left", "wheel right", "exhaust.main"} <= names(2650.0)
    ahead = names(1500.0)
    assert {"shaft", "exhaust.main"} <= ahead
    assert not {"axle tube", "wheel left"} & ahead
    page.locator('.cutsvg [data-thing="shaft"]').dispatch_event("click")
    page.get_by_role("heading", name="shaft", exact=True).wait_for()


def test_side_and_plan_can_be_printed(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    page.get_by_role("button", name="Paper", exact=True).click()
    page.locator(".paperview svg").wait_for()
    link = page.get_by_role("link", name=re.compile("Print side and plan"))
    answer = page.request.get(estate.address + link.get_attribute("href"))
    assert answer.ok
    assert answer.body().startswith(b"%PDF")


def test_inches_and_daylight_change_it_all_and_keep_its_place(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate, LAPTOP)
    page.get_by_role("button", name="Bump stop").click()
    assert until(lambda: abs(rise_mm(page) - BUMP_MM) < 2.0)
    ground = page.locator(".nicegui-scene canvas")
    before = ground.screenshot()
    page.get_by_role("button", name="Inches").click()
    assert until(lambda: re.search(r"\d in ± .* in", page.locator(".fig").inner_text()) is not None)
    assert " mm" not in page.locator(".fig").inner_text()
    assert " mm" not in page.locator(".profile").inner_text()
    page.get_by_role("button", name="Daylight").click()
    assert until(lambda: ground.screenshot() != before)
    assert rise_mm(page) == pytest.approx(BUMP_MM, abs=2.0)


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
@pytest.mark.parametrize("look", ["night.metric", "day.inch"])
def test_it_fits_the_screen_and_can_be_used_by_all(tabs: Tabs, estate: Served, size: tuple[int, int], look: str,
                                                   tmp_path: Path) -> None:
    axe = pytest.importorskip("axe_core_python.sync_playwright")
    page = opened(tabs, estate, size, look)
    page.get_by_text("Roll, engine rock, what is drawn").click()
    for view in ("Side", "Whole", "Cut", "Paper", "Below"):
        page.get_by_role("button", name=view, exact=True).click()
        page.wait_for_timeout(500)
        page.screenshot(path=tmp_path / f"{view}.png")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        small = page.evaluate(
            "[...document.querySelectorAll('.stage button, .stage input, .stage select, .stage summary')]"
            ".filter((e) => e.offsetParent && (e.offsetHeight < 44 || e.offsetWidth < 44))"
            ".map((e) => e.outerHTML.slice(0, 80))")
        assert small == []
        found = axe.Axe().run(page, context=".stage")
        serious = [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")]
        assert serious == []
    slider = page.get_by_label(HEAVE).bounding_box()
    bottom = size[1] - (70 if size == PHONE else 0)
    assert slider["y"] + slider["height"] <= bottom, "the slider is below the fold"


def corners() -> np.ndarray:
    from trialfit.buildfile import load
    from trialfit.survey import solve

    build = load(ESTATE / "build.yaml").build
    assert build is not None
    survey = solve(build)
    return np.array([survey.point(f"floor.{k}") for k in (1, 2, 3, 4)])


def write_heavy(folder: Path) -> None:
    """The estate with a scan of 200,978 triangles laid on its floor, under a name full of markup."""
    import trimesh

    ties = corners() - corners()[0]
    u, v = (a.ravel()[:, None] for a in np.meshgrid(*[np.linspace(0.0, 1.0, SCAN_SIDE)] * 2))
    points = (1 - u) * (1 - v) * ties[0] + u * (1 - v) * ties[1] + u * v * ties[2] + (1 - u) * v * ties[3]
    points[:, 2:] += 400.0 * np.sin(12 * u) * np.sin(9 * v) * u * (1 - u) * v * (1 - v)
    at = np.arange(SCAN_SIDE**2).reshape(SCAN_SIDE, SCAN_SIDE)
    a, b, c, d = at[:-1, :-1].ravel(), at[:-1, 1:].ravel(), at[1:, 1:].ravel(), at[1:, :-1].ravel()
    faces = np.vstack([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
    trimesh.Trimesh(points, faces, process=False).export(folder / "floor.stl")
    tied = ", ".join(f"floor.{k}: [{p[0]:.2f}, {p[1]:.2f}, {p[2]:.2f}]" for k, p in enumerate(ties, 1))
    text = (ESTATE / "build.yaml").read_text()
    text = text.replace("\nshapes:\n", f"\nshapes:\n  '{NAME}': {{mesh: floor.stl, scale: 1 mm, kind: floor, "
                                       f"ties: {{{tied}}}}}\n")
    (folder / "build.yaml").write_text(text)


def test_a_scan_of_200_000_triangles_under_a_name_of_markup(server: Callable[[Path], Served], tabs: Tabs,
                                                            tmp_path: Path) -> None:
    write_heavy(tmp_path)
    page = opened(tabs, server(tmp_path / "build.yaml"), PHONE, "night.metric", "bay=2")
    shown = page.evaluate("n => { let c = 0; trialfitVehicle.things.get(n).traverse("
                          "(o) => { if (o.isMesh) c += o.geometry.index.count / 3 }); return c }", NAME)
    assert 5_000 < shown <= 20_000
    times = page.evaluate(
        """async () => { const e = document.querySelector('input[aria-label="Heave of the axle"]'), out = [];
        for (let i = 0; i < 15; i++) { const was = trialfitVehicle.where('axle tube')[14], t = performance.now();
          e.value = -70 + 9 * i; e.dispatchEvent(new Event('input', { bubbles: true }));
          while (trialfitVehicle.where('axle tube')[14] === was && performance.now() - t < 3000)
            await new Promise((r) => setTimeout(r, 1));
          out.push(performance.now() - t); await new Promise((r) => setTimeout(r, 150)); }
        return out.sort((a, b) => a - b) }""")
    # a step of the slider: 50 ms is the aim; a busy machine that draws by software is given four times as long
    assert times[7] < 200.0, times
    # and its name is text wherever it stands
    page.get_by_role("button", name="Cut", exact=True).click()
    page.locator(".cutsvg svg").wait_for()
    station = page.get_by_label("Station of the cut")
    station.evaluate("e => { e.value = 1500; e.dispatchEvent(new Event('input', { bubbles: true })) }")
    thing = page.locator(".cutsvg [data-thing*=onerror]")
    thing.wait_for()
    assert thing.get_attribute("data-thing") == NAME
    thing.dispatch_event("click")
    page.get_by_role("button", name="Back to the bay").wait_for()
    assert page.locator("main h1").inner_text() == NAME
    assert "A scan of 200978 triangles, drawn thinned out and reckoned with whole" in page.locator("main").inner_text()
    assert page.locator("main img, .cutsvg img").count() == 0
    assert any(NAME in text for text in page.locator(".pick option").all_inner_texts())


def test_no_model_is_given_out_under_a_made_up_name(tabs: Tabs, estate: Served) -> None:
    page = opened(tabs, estate)
    for name in ("0" * 32 + ".glb", "..%2f..%2fbuild.yaml", "build.yaml"):
        assert page.request.get(f"{estate.address}/scene/{name}").status == 404
