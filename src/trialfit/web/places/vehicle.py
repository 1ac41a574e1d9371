"""The vehicle: does it go together, does it stay apart, here? Seen from below, moved through its travel, cut across.

On a laptop the picture stands beside the column for as long as the tab is open (:func:`beside`); on a phone it is the
top of the place.
"""

import json

from nicegui import context, ui

from trialfit.checks.showing import HARDPOINT, Subject, findings_of, readings_of
from trialfit.doubt.next_act import Face
from trialfit.doubt.odds import odds_of
from trialfit.findings import SURE, Finding, Verdict, worst_first
from trialfit.survey import Checked, amount_words
from trialfit.vehicle import ReadingKind
from trialfit.web import look, strip
from trialfit.web.page import Page
from trialfit.web.places.tape import reading_thing
from trialfit.web.stage import Seat, Stage, latest, subject_of, weighed_of
from trialfit.web.working import Worked

_WIDE_PX = 1000
_MOST_OPEN = 12
_RIDES = {"frame": "the frame", "engine": "the engine", "axle": "the axle", "wheel-left": "the left wheel",
          "wheel-right": "the right wheel", "shaft": "the shaft", "ground": "the ground"}  # fmt: skip


def _seat(page: Page) -> Seat:
    seat = page.kept.get("vehicle")
    if not isinstance(seat, Seat):
        seat = page.kept["vehicle"] = Seat()
    if not seat.styled:
        seat.styled = True
        ui.add_head_html('<link rel="stylesheet" href="/assets/vehicle.css">')
    if not seat.heard:
        seat.heard = True
        page.listen(lambda what: _heard(page, what))
    return seat


def _heard(page: Page, what: str) -> None:
    stage = _seat(page).stage
    if stage is not None and stage.there:
        stage.again(what)


def show(page: Page) -> None:
    """The present bay, or the thing that was tapped: its findings, worst first; on a phone under the picture."""
    seat = _seat(page)
    if latest(page) is not None and not page.wide:
        _later(page, ui.element("div").classes("stage"))
    seat.lower = ui.element("section").style("width:100%;display:flex;flex-direction:column;gap:14px;"
                                            "scroll-margin-top:110px")
    _fill(page)


def changed(page: Page) -> None:
    """The desk changed: the picture stays, what is said of it is said anew."""
    seat = _seat(page)
    if (seat.stage is None or not seat.stage.there) and not page.wide:
        page.show_place()
    else:
        _fill(page)


def moved(page: Page) -> None:
    """Another bay or another thing of the same place: the picture stays."""
    seat = _seat(page)
    if seat.lower is None or seat.lower.is_deleted or (not page.wide and (seat.stage is None or not seat.stage.there)):
        page.show_place()
    else:
        _fill(page)


def beside(page: Page) -> None:
    """The picture, at the right of a laptop."""
    seat = _seat(page)
    holder = ui.element("div").classes("stage")
    with holder:
        seat.stage = Stage(page, seat, holder, lambda name: _choose(page, name))


def _later(page: Page, holder: ui.element) -> None:
    """The picture, once it is known that it does not stand beside."""
    async def put() -> None:
        await context.client.connected(timeout=30.0)
        wide = page.wide or int(await ui.run_javascript("innerWidth", timeout=10.0)) >= _WIDE_PX
        if not wide and not holder.is_deleted:
            with holder:
                seat = _seat(page)
                seat.stage = Stage(page, seat, holder, lambda name: _choose(page, name))

    with holder:
        ui.timer(0.01, put, once=True)


# -- what is said -------------------------------------------------------------------------------------------------


def _fill(page: Page) -> None:
    """The words of the place."""
    seat = _seat(page)
    if seat.lower is None or seat.lower.is_deleted:
        return
    seat.lower.clear()
    with seat.lower:
        page.busy()
        worked = latest(page)
        if worked is None or page.bays is None:
            look.words("Nothing worked out yet", "h1", tag="h1")
            look.words("What has no readings yet is not drawn.", "s")
            return
        one = subject_of(worked, page.thing)
        if one is not None:
            _say_subject(page, worked, one)
        else:
            _say_bay(page, worked)


def _finding(worked: Worked, name: str) -> Finding | None:
    return next((f for f in worked.findings if f.name == name), None) if name else None


def _say_bay(page: Page, worked: Worked) -> None:
    assert page.bays is not None
    bays = page.bays
    front, rear = bays.ends_mm(page.bay)
    look.words(bays.names[page.bay], "h1", tag="h1")
    look.words(f"Station {look.small_length(front, page.units)} to {look.small_length(rear, page.units)}", "k")
    here = [f for f in worked.findings if not f.name.startswith("survey.unchecked")
            and (at := strip.station_of(worked, f)) is not None and bays.of(at) == page.bay]
    asked = _finding(worked, page.thing)
    if asked is not None:
        _say_finding(page, worked, asked)
        here = [f for f in here if f.name != asked.name]
    if not here and asked is None:
        look.words("Nothing is near anything here", "h2", tag="h2")
        look.words("No gap, shaft or exhaust of this bay is in question.", "s")
    _say_findings(page, worked, here)


def _say_findings(page: Page, worked: Worked, found: list[Finding]) -> None:
    ordered = worst_first(found)
    unsettled = [f for f in ordered if f.verdict is not Verdict.FITS]
    fit = [f for f in ordered if f.verdict is Verdict.FITS]
    for f in unsettled[:_MOST_OPEN]:
        _say_finding(page, worked, f)
    for rest, words in ((unsettled[_MOST_OPEN:], "more in question"), (fit, "fit" if len(fit) != 1 else "fits")):
        if rest:
            with ui.element("details").classes("found").style("width:100%"):
                look.words(f"{len(rest)} {words}", tag="summary")
                for f in rest:
                    _say_finding(page, worked, f)


def _say_finding(page: Page, worked: Worked, f: Finding) -> None:
    weighed = weighed_of(worked, f.name)
    with ui.element("article").classes("rule"):
        look.put(look.verdict_line(f.verdict))
        look.words(page.told(_sentence(f.reason)))
        near = weighed is not None and weighed.answer.closed
        if weighed is not None and weighed.sd_mm is not None and near and f.verdict is not Verdict.FITS:
            a = weighed.answer
            face = Face(a.lower_mm, weighed.sd_mm, a.pair.required_mm, odds_of(weighed.margin_mm, weighed.sd_mm))
            look.put(look.strokes(face, a.pair.a.name, a.pair.b.name, page.units))
        if f.remedy:
            look.put(f"<b>Do:</b> {look.esc(page.told(_sentence(f.remedy, False)))}")
        if f.caution and f.verdict is not Verdict.FITS:
            look.put(f"<b>Caution:</b> {look.esc(page.told(f.caution))}")
        rule = f"Rule: {', '.join(t for t in (f.rule, f.source) if t)}" if f.rule or f.source else ""
        told = [page.told(rule), f"{f.where.file}, line {f.where.line}" if f.where else ""]
        if any(told):
            look.words(". ".join(t for t in told if t) + ".", "s")
        act = next((a for a in worked.acts if a.finding.name == f.name and a.kind), None)
        if near or act is not None:
            with ui.element("div").classes("keys"):
                if weighed is not None and near:
                    name = weighed.answer.pair.name
                    look.key("Show it at its worst", lambda: _worst(page, name), "alt",
                             aria=f"Show {weighed.answer.pair.a.name} to {weighed.answer.pair.b.name} at its worst")
                if act is not None:
                    thing = reading_thing(act.kind, act.points, act.size)
                    look.key("Measure it", lambda: page.go("Tape", thing=thing), "alt")


def _say_subject(page: Page, worked: Worked, one: Subject) -> None:
    results = worked.results
    look.words(one.name, "h1", tag="h1")
    look.words(_what(page, worked, one))
    look.key("Back to the bay", lambda: _choose(page, ""), "alt")
    _say_findings(page, worked, findings_of(results, one, worked.findings))
    read = readings_of(results, one)
    with ui.element("section").classes("rule"):
        look.words("Its readings" if read else "It has no readings", "h2", tag="h2")
        for checked in read:
            _say_reading(page, checked)
        if one.kind != HARDPOINT:
            known = [p for p in one.points if p in results.points]
            if known:
                look.words("It hangs on", "k")
                for p in known:
                    look.key(p, lambda p=p: _choose(page, p), "alt")
        elif one.on:
            look.words("On it hang", "k")
            for name in one.on:
                look.key(name, lambda name=name: _choose(page, name), "alt")


def _what(page: Page, worked: Worked, one: Subject) -> str:
    results = worked.results
    rides = " and ".join(_RIDES.get(b, b) for b in one.bodies)
    if one.kind == HARDPOINT:
        x, y, z = (float(v) for v in results.points[one.name])
        side = "on the centre line" if abs(y) < 0.5 else f"{page.length(abs(y))} {'right' if y > 0 else 'left'} of it"
        doubt = page.length(SURE * results.survey.doubt_mm(one.name)) if results.survey.has(one.name) else "?"
        return (f"A hardpoint on {rides}: station {page.length(x)}, {side}, {page.length(z)} above the floor; "
                f"give or take {doubt} where it is known least.")
    said = [f"Kind: {one.kind}. " + (f"It spans {rides}." if len(one.bodies) > 1 else f"It rides on {rides}.")]
    for name in one.sizes:
        if name in results.sizes:
            mm, sd = results.sizes[name]
            said.append(f"Size {name}: {page.length(mm)}, give or take {page.length(SURE * sd)}.")
    node = next((p for p in results.placed if p.thing.name == one.name), None)
    fit = next((m for m in results.mesh_fits if m.name == one.name), None)
    if node is not None and fit is not None:
        count = len(results.meshes[one.name].triangles)
        said.append(f"A scan of {count} triangles, drawn thinned out and reckoned with whole; it lies on its "
                    f"hardpoints to {page.length(fit.rms_mm)}.")
    return " ".join(said)


def _say_reading(page: Page, checked: Checked) -> None:
    o = checked.observation
    state = {"used": "", "out": "Left out as misread. ", "doubted": "Doubted. "}[checked.state]
    if o.kind is ReadingKind.ANGLE:
        off = amount_words(checked.residual, True)
    else:
        off = f"{page.length(abs(checked.residual))} too {'long' if checked.residual > 0 else 'short'}"
    held = "nothing checks it" if checked.redundancy < 0.01 else f"against the others {off}"
    times = f", {o.repeats} times" if o.repeats > 1 else ""
    where = f"{o.where.file}, line {o.where.line}. " if o.where is not None else ""
    look.put(f'<div class="reading"><b>{look.esc(o.typed)}</b>{times}<div class="s">{state}{look.esc(where)}'
             f'{look.esc(held[0].upper() + held[1:])}.</div></div>')


def _sentence(text: str, whole: bool = True) -> str:
    text = text.rstrip(".")
    return f"{text[:1].upper() if whole else text[:1]}{text[1:]}."


def _choose(page: Page, name: str) -> None:
    """Take a thing, a hardpoint, or nothing in hand."""
    if page.wide or page.place != "Vehicle":
        page.go("Vehicle", thing=name)
        return
    page.thing = name
    seat = _seat(page)
    text = json.dumps(name).replace("<", "\\u003c")
    ui.run_javascript(f"trialfit.went('Vehicle', {page.bay}, {text})")
    _fill(page)
    if seat.stage is not None and seat.stage.there:
        seat.stage.again("thing")
    if name and seat.lower is not None:
        ui.run_javascript(f"document.getElementById('{seat.lower.html_id}').scrollIntoView({{block:'start'}})")


def _worst(page: Page, pair: str) -> None:
    """Show a gap where it is smallest."""
    stage = _seat(page).stage
    if stage is not None and stage.there:
        stage.worst(pair)
        if not page.wide:
            ui.run_javascript("scrollTo(0, 0)")
