"""What now: one card with the one thing that helps most, and small under it what waits behind."""

from nicegui import ui

from trialfit.doubt.next_act import Act, Deed
from trialfit.findings import Verdict
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places.tape import again_thing, reading_thing

_WAITING = 3


def show(page: Page) -> None:
    """The card."""
    desk = page.desk
    if not desk.has_readings:
        _empty(page)
        return
    if desk.build is None:
        _problems(page)
        return
    worked = desk.worked or desk.last
    if worked is None:
        look.words("Reading your notebook", "h1", tag="h1")
        page.busy()
        look.go_key("Read the tape meanwhile", lambda: page.go("Tape"))
        return
    page.busy()
    acts = worked.acts
    if not acts:
        look.words("Nothing is open", "h1", tag="h1")
        look.words("Every question the build asks has its answer, and everything fits.")
        look.go_key("What may I do?", lambda: page.go("May I?"))
        return
    skipped = page.kept.get("skipped", 0)
    first = skipped if isinstance(skipped, int) else 0
    _card(page, acts[first % len(acts)])
    if len(acts) > 1:
        def later() -> None:
            page.kept["skipped"] = (first + 1) % len(acts)
            page.show_place()

        look.key("I can't do that now", later)
        look.words("Waiting behind it", "k", tag="h2").style("margin-top:12px")
        with ui.element("div").style("width:100%"):
            for step in range(1, min(_WAITING + 1, len(acts))):
                _row(page, acts[(first + step) % len(acts)], first + step)


def _problems(page: Page) -> None:
    problems = page.desk.loaded.problems
    look.words("In the build file", "k")
    look.words("One line cannot be read" if len(problems) == 1 else f"{len(problems)} lines cannot be read", "h1",
               tag="h1")
    for problem in problems[:3]:
        look.words(str(problem), "kept")
    look.words("Nothing is worked out until they are mended. Nothing is lost.", "s")
    look.go_key("Mend them", lambda: page.go("Bench", thing="build file"))


def _empty(page: Page) -> None:
    look.words("Nothing measured yet", "k")
    look.words("Chalk a line on the floor under the middle of the car.", "h1", tag="h1")
    look.words("Hang a plumb bob from the front hub centre and mark the floor. That mark is station 0; every length is "
               "read back from it.")
    look.words("Jack stands under it before you are; never under a car on its jack.", "s")
    look.go_key("The mark is on the floor", lambda: page.go("Tape"))
    look.key("I have a build file already", lambda: page.go("Bench", thing="build file"))


def _card(page: Page, act: Act) -> None:
    where = ""
    if act.station_mm is not None and page.bays is not None:
        where = f", at the {page.bays.names[page.bays.of(act.station_mm)].lower()}"
    look.words(f"Next{where}", "k")
    look.words(page.told(f"{act.what}."), "h1", tag="h1")
    look.words(page.told(f"{act.why}."))
    if act.before is not None:
        top = max(look.reach_mm(f) for f in (act.before, act.after) if f is not None)
        with ui.element("div").classes("rule"):
            look.words(f"Now: {look.clears(act.before.odds)}", "k")
            look.put(look.strokes(act.before, act.first, act.second, page.units, top))
            if act.after is not None:
                look.words(f"After it, as expected: {look.clears(act.after.odds)}", "k")
                look.put(look.strokes(act.after, act.first, act.second, page.units, top))
    elif act.finding.verdict is not Verdict.FITS:
        look.put(look.verdict_line(act.finding.verdict))
    if act.deed is Deed.WORK or not act.kind:
        look.go_key("Show it", lambda: _show(page, act))
    else:
        look.go_key("I have the tape there", lambda: _measure(page, act))
    if act.before is not None:
        look.words(f"The block is {act.first}; each stroke is one place where {act.second} may be, as well as your "
                   "tape knows. ± is where it lies 19 times in 20.", "s")
    if act.more:
        look.words(page.told(f"{act.more.rstrip('.')}."), "s")


def _row(page: Page, act: Act, at: int) -> None:
    def up() -> None:
        page.kept["skipped"] = at
        page.show_place()

    text = page.told(act.what if act.kind else act.why)
    label = f'<span class="row">{look.mark(act.finding.verdict, 24)}<span class="t">{look.esc(text)}</span></span>'
    look.key(label, up, "rowkey", markup=True)


def _measure(page: Page, act: Act) -> None:
    thing = again_thing(act.instead_of) if act.instead_of else reading_thing(act.kind, act.points, act.size)
    page.go("Tape", page.bays.of(act.station_mm) if act.station_mm is not None and page.bays else None, thing)


def _show(page: Page, act: Act) -> None:
    name = act.finding.name
    if act.station_mm is None and name.startswith(("mate.", "chain.", "order.", "gearing.", "ring-and-pinion")):
        page.go("Bench", thing=name)
        return
    page.go("Vehicle", page.bays.of(act.station_mm) if act.station_mm is not None and page.bays else None, name)
