"""The bench: what meets, what is made and sent, the sums, the build file, and how the page is shown."""

from collections import Counter

from nicegui import ui

from trialfit.findings import Verdict
from trialfit.sums import all_sums
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import bench_driveline, bench_file, bench_joints, bench_sheets, bench_sums

_JOINTS = ("mate.", "chain.", "bolts.")
_DRIVELINE = ("gearing.", "shaft.", "pinion.", "ring-and-pinion")


def show(page: Page) -> None:
    """The rows, or the one that is open."""
    if not page.kept.get("bench styled"):
        page.kept["bench styled"] = True
        ui.add_head_html('<link rel="stylesheet" href="/assets/bench.css">')
    thing = page.thing
    if thing == "joints" or thing.startswith(_JOINTS):
        _back(page)
        bench_joints.show(page, thing)
    elif thing == "shaft and gearing" or thing.startswith(_DRIVELINE):
        _back(page)
        bench_driveline.show(page, thing)
    elif thing == "sheets" or thing.startswith("order."):
        _back(page)
        bench_sheets.show(page)
    elif thing == "sums" or thing.startswith("sum:"):
        if thing == "sums":
            _back(page)
        bench_sums.show(page, thing.removeprefix("sum:") if thing.startswith("sum:") else "")
    elif thing == "build file" or thing.startswith("build file:"):
        _back(page)
        line = thing.removeprefix("build file:")
        bench_file.show(page, int(line) if line.isascii() and line.isdigit() and len(line) < 7 else None)
    else:
        _rows(page)


def changed(page: Page) -> None:
    """The desk changed: half-typed work stays as it is, everything else is shown anew."""
    if page.thing.startswith("build file"):
        bench_file.changed(page)
    elif page.thing.startswith("sum"):
        return
    else:
        page.show_place()


def _back(page: Page) -> None:
    look.key('<span aria-hidden="true">←</span> Bench', lambda: page.go("Bench"), "back", markup=True)


def _rows(page: Page) -> None:
    look.words("What you make and what you send", "h1", tag="h1")
    page.busy()
    with ui.element("nav").classes("benchlist").props('aria-label="On the bench"'):
        for thing, name, under in (
                ("exhaust", "The exhaust: its route and its pieces", _exhaust(page)),
                ("joints", "Does it go together?", _joints(page)),
                ("shaft and gearing", "Shaft and gearing", _gearing(page)),
                ("sheets", "Sheets to print and to send", "Each one seen before it is printed"),
                ("sums", "Sums, one at a time", f"{len(all_sums())} of them, each with its source"),
                ("build file", "The build file", _file(page))):
            label = (f'<span class="in"><b>{look.esc(name)}</b><span class="s">{look.esc(page.told(under))}</span>'
                     '<i aria-hidden="true">→</i></span>')
            look.key(label, lambda thing=thing: _open(page, thing), "benchrow", markup=True)
    for said, current, choose, choices in (
            ("Lengths in", page.units, page.set_units, (("inch", "Inches"), ("metric", "Millimetres"))),
            ("Light", page.mode, page.set_mode, (("night", "Garage"), ("day", "Daylight")))):
        look.words(said, "k")
        with ui.element("div").classes("seg").props(f'role="group" aria-label="{said}"'):
            for value, word in choices:
                one = look.key(word, lambda choose=choose, value=value: choose(value),
                               "on" if value == current else "")
                one.props["aria-pressed"] = "true" if value == current else "false"


def _open(page: Page, thing: str) -> None:
    if thing == "exhaust":
        page.go("Exhaust")
    else:
        page.go("Bench", thing=thing)


def _joints(page: Page) -> str:
    worked = page.desk.worked or page.desk.last
    if worked is None:
        return "Parts where they meet, worst first"
    said = look.counted(Counter(m.verdict for m in worked.results.mates))
    return f"{len(worked.results.mates)} joints: {said}" if said else "No joint is written down yet"


def _exhaust(page: Page) -> str:
    worked = page.desk.worked or page.desk.last
    names = () if worked is None else tuple(r.plan.name for r in worked.results.routes)
    return f"Laid: {', '.join(names)}" if names else "No route is laid yet"


def _gearing(page: Page) -> str:
    build = page.desk.build
    if build is None or (build.power is None and build.shaft is None):
        return "Nothing is written down about them yet"
    worked = page.desk.worked or page.desk.last
    if worked is None:
        return "Joint angles, whirl, gears, axle ratio"
    open_ = [f for f in worked.findings if f.name.startswith(_DRIVELINE) and f.verdict is not Verdict.FITS]
    return f"{len(open_)} open question{'' if len(open_) == 1 else 's'}" if open_ else "Everything asked of them fits"


def _file(page: Page) -> str:
    desk = page.desk
    count = len(desk.loaded.problems)
    lines = f"{desk.path.name}, {len(desk.text.splitlines())} lines"
    return lines if not count else f"{lines}, {count} that cannot be read" if count > 1 else (
        f"{lines}; line {desk.loaded.problems[0].place.line} cannot be read")
