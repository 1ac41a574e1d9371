"""Shaft and gearing: what is open about them, and both pictures of the gearing with other ratios tried on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nicegui import run, ui

from trialfit import units
from trialfit.checks import GearingAnswers
from trialfit.driveline import (
    Cruise,
    GearTrain,
    Launch,
    RoadLoad,
    TopSpeed,
    cruise,
    effort_curve,
    gear_lines,
    launch,
    rank_axle_ratios,
    top_speed,
)
from trialfit.driveline.gearing import Effort, GearLine
from trialfit.driveline.ranking import Ranked
from trialfit.findings import Finding, Verdict, worst_first
from trialfit.sheets.gearing_plots import Axis, axis_to
from trialfit.sheets.gearing_sheet import CAUTIONS as GEARING_CAUTIONS
from trialfit.sheets.shaft_sheet import CAUTIONS as SHAFT_CAUTIONS
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places.bench_field import field
from trialfit.web.places.bench_joints import finding_said
from trialfit.web.places.bench_sheets import pages_of, sheet_link, svg_pages

GRADES = (0.0, 0.06, 0.12)
"""Grades that the resistance is drawn for [-]: level, a steep main road, a steep side road. Our own choice."""
_WIDE, _HIGH = 358.0, 300.0
_LABEL = 44.0
_LEFT, _BELOW, _ABOVE, _RIGHT = 46.0, 46.0, 34.0, 14.0


@dataclass(frozen=True, slots=True)
class Tried:
    """The gearing with an axle ratio and a cruising speed tried on; what the build says too little for is None."""

    train: GearTrain
    lines: tuple[GearLine, ...]
    start: Launch
    load: RoadLoad | None
    at_cruise: Cruise | None
    top: TopSpeed | None
    speed_mm_s: float
    efforts: tuple[tuple[Effort, ...], ...]
    ranking: tuple[Ranked, ...] = ()
    """of the ratio tried on among those of the build, by its uses; empty where it names none"""


def tried(found: GearingAnswers, ratio: float, speed_mm_s: float) -> Tried:
    """The gearing of a build with another axle ratio, at another road speed.

    Parameters
    ----------
    found : GearingAnswers
        what the build as it stands came to
    ratio : float
        axle ratio [-]
    speed_mm_s : float
        cruising speed [mm/s]

    Raises
    ------
    ValueError
        for a ratio or a speed out of range, with the range
    """
    train = replace(found.train, axle=ratio)
    at = None if found.load is None else cruise(train, found.load, speed_mm_s)
    top = None if found.load is None else top_speed(train, found.load)
    ratios = sorted({ratio, found.train.axle, *(r.axle for r in found.ranking)})
    ranking = rank_axle_ratios(train, ratios, found.wishes, found.load) if found.wishes else ()
    return Tried(train, gear_lines(train, found.slip_n), launch(train), found.load, at, top, speed_mm_s,
                 tuple(effort_curve(train, g) for g in range(1, len(train.gears) + 1)), ranking)


def show(page: Page, thing: str) -> None:
    """What is open, then the gearing, then the shaft."""
    look.words("Shaft and gearing", "h1", tag="h1")
    page.busy()
    worked = page.desk.worked or page.desk.last
    if worked is None:
        return
    if page.desk.worked is None:
        look.words("These are from before your last change.", "kept")
    answers = worked.results.driveline
    if answers is None or (answers.shaft is None and answers.gearing is None and answers.gear_set is None):
        look.words("Neither shaft nor engine, gearbox and axle ratio stand in the build file. Write them under shaft "
                   "and power.")
        look.go_key("Open the build file", lambda: page.go("Bench", thing="build file"))
        return
    if answers.gearing is not None:
        _gearing(page, answers.gearing, [f for f in worked.findings if f.name.startswith("gearing.")], thing)
    shaft = [f for f in worked.findings if f.name.startswith(("shaft.", "pinion."))]
    if shaft:
        with ui.element("section").classes("rule"):
            look.words("The shaft", "h2", tag="h2")
            _findings(page, shaft, thing)
            for caution in SHAFT_CAUTIONS:
                look.words(page.told(caution), "s")
            _pages(page, "shaft.pdf", "The shaft sheet as it is printed")
    gears = [f for f in worked.findings if f.name.startswith("ring-and-pinion")]
    if gears:
        with ui.element("section").classes("rule"):
            look.words("Ring and pinion", "h2", tag="h2")
            _findings(page, gears, thing)
            _pages(page, "ring-and-pinion.pdf", "The ring and pinion sheet as it is printed")


def _findings(page: Page, found: Sequence[Finding], thing: str) -> None:
    ordered = worst_first(found)
    open_ = [f for f in ordered if f.verdict is not Verdict.FITS]
    fits = [f for f in ordered if f.verdict is Verdict.FITS]
    for one in open_:
        finding_said(page, one, here=one.name == thing)
    if fits:
        with ui.element("details").classes("opens plain") as more:
            look.words(f"{len(fits)} that fit{'s' if len(fits) == 1 else ''}", "", "summary")
            if any(f.name == thing for f in fits):
                more.props["open"] = True
            with ui.element("div").classes("inner"):
                for one in fits:
                    finding_said(page, one, here=one.name == thing)


def _pages(page: Page, name: str, words: str) -> None:
    if page.desk.worked is None:
        return
    sheet_link(name, words)
    svg_pages(pages_of(page.desk.worked, name), words)


# -- the gearing, live ----------------------------------------------------------------------------------------------


def _gearing(page: Page, found: GearingAnswers, findings: Sequence[Finding], thing: str) -> None:
    with ui.element("section").classes("rule"):
        look.words("The gearing", "h2", tag="h2")
        _findings(page, findings, thing)
    with ui.element("section").classes("rule"):
        look.words("Try another axle ratio", "h2", tag="h2")
        look.words("Nothing here changes the build file.", "s")
        _Live(page, found).show()
        for caution in GEARING_CAUTIONS:
            look.words(caution, "s")
        _pages(page, "gearing.pdf", "The gearing sheet as it is printed")


class _Live:
    """The inputs that can be tried on and what they come to; what was tried stays while the tab is open."""

    def __init__(self, page: Page, found: GearingAnswers) -> None:
        self.page = page
        self.found = found
        self._count = 0
        power = page.desk.build.power if page.desk.build is not None else None
        steady = None if power is None else next((u for u in power.uses if u.kind == "cruise"), None)
        usual = found.lines[-1].fastest_mm_s if steady is None else steady.speed_mm_s
        kept = page.kept.get("bench gearing")
        self.ratio, self.speed_mm_s = kept if isinstance(kept, tuple) else (found.train.axle, usual)
        self.choices = sorted({found.train.axle, *(r.axle for r in found.ranking)})
        self.unit = "mph" if page.units == "inch" else "km/h"

    def show(self) -> None:
        look.words("Axle ratio", "k").props('id="bench-ratios"')
        with ui.element("div").classes("seg").props('role="group" aria-labelledby="bench-ratios"') as self._seg:
            self._keys()
        field("Another ratio", "bench-ratio", "" if self.ratio in self.choices else f"{self.ratio:g}",
              lambda text: self._put("ratio", text), hint="such as 3.55", at_once=False)
        field("Cruising speed", "bench-speed", units.show(self.speed_mm_s, self.unit, 0),
              lambda text: self._put("speed", text), hint=f"such as 60 {self.unit}", at_once=False)
        self._wrong = ui.element("div").props('role="alert"')
        self._out = ui.element("div").classes("inner").style("width:100%;display:flex;flex-direction:column;gap:14px")
        ui.timer(0.0, self._again, once=True)

    def _keys(self) -> None:
        for ratio in self.choices:
            one = look.key(f"{ratio:g}", lambda ratio=ratio: self._choose(ratio), "on" if ratio == self.ratio else "")
            one.props["aria-pressed"] = "true" if ratio == self.ratio else "false"

    def _choose(self, ratio: float) -> None:
        self.ratio = ratio
        ui.run_javascript("document.getElementById('bench-ratio').value = ''")
        self._seg.clear()
        with self._seg:
            self._keys()
        ui.timer(0.0, self._again, once=True)

    def _put(self, name: str, text: str) -> None:
        self._wrong.clear()
        if not text.strip():
            return
        try:
            if name == "ratio":
                self.ratio = units.parse(text, "ratio").value
            else:
                self.speed_mm_s = units.parse(text, "speed", self.unit).value
        except units.UnitsError as error:
            with self._wrong:
                look.words(str(error), "kept")
            return
        self._seg.clear()
        with self._seg:
            self._keys()
        ui.timer(0.0, self._again, once=True)

    async def _again(self) -> None:
        self._wrong.clear()
        self._count += 1
        mine = self._count
        try:
            got = await run.io_bound(tried, self.found, self.ratio, self.speed_mm_s)
        except ValueError as error:
            with self._wrong:
                look.words(self.page.told(str(error)), "kept")
            return
        if got is None or self._out.is_deleted or mine != self._count:
            return
        self.page.kept["bench gearing"] = (self.ratio, self.speed_mm_s)
        self._out.clear()
        with self._out:
            self._told(got)

    def _told(self, got: Tried) -> None:
        u = self.unit
        rank = next((r for r in got.ranking if r.axle == self.ratio), None)
        head = f"Axle ratio {self.ratio:g}"
        if rank is not None:
            head += f": place {rank.place} of {len(got.ranking)}"
        look.words(head, "h2", tag="h3")
        if rank is not None:
            look.words(f"{rank.reason[:1].upper()}{rank.reason[1:]}. Held against the uses in the build file.")
            if len(got.ranking) > 1:
                order = ", ".join(f"{r.axle:g}" for r in sorted(got.ranking, key=lambda r: r.place))
                look.words(f"Best first: {order}.", "s")
        look.put(speed_picture(got, u), "plot")
        rows = []
        for g in got.lines:
            after = "" if g.after_shift_rad_s is None else units.show(g.after_shift_rad_s, "rpm", 0)
            rows.append((f"{g.gear}: {g.ratio:.2f}", units.show(g.per_1000_rpm_mm_s, u, 1),
                         units.show(g.fastest_mm_s, u, 0), after))
        look.put(table(("Gear", "at 1000 rpm", "fastest", "after the shift"), rows))
        said = [f"Launch ratio {got.start.ratio:.2f}."]
        turning = got.train.input_rad_s(len(got.lines), got.speed_mm_s)
        at = f"{units.show(got.speed_mm_s, u, 0)} in top gear: {units.show(turning, 'rpm', 0)}"
        if got.at_cruise is not None:
            c = got.at_cruise
            at += f", shaft {units.show(c.shaft_rad_s, 'rpm', 0)}"
            if c.load is not None:
                at += f", {units.show(c.load, '%', 0)} of the torque there is"
        said.append(f"{at}.")
        if got.top is not None:
            t = got.top
            said.append(f"Top speed by the sum, level, no wind: {units.show(t.speed_mm_s, u, 0)} in gear {t.gear} at "
                        f"{units.show(t.engine_rad_s, 'rpm', 0)}, held by {t.limit}.")
        for one in said:
            look.words(one, tag="p")
        if got.load is None:
            look.words("Mass, drag and front area are not all written down, so push and resistance are not drawn.", "s")
            return
        look.put(push_picture(got, self.found.slip_n, u), "plot")


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table of figures, everything in it escaped."""
    head = "".join(f'<th scope="col">{look.esc(h)}</th>' for h in heads)
    body = "".join("<tr>" + "".join(f"<td>{look.esc(c)}</td>" for c in row) + "</tr>" for row in rows)
    return f'<table class="figs"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


# -- pictures -------------------------------------------------------------------------------------------------------


def _text(x: float, y: float, words: str, anchor: str = "middle", bold: bool = False, soft: bool = False) -> str:
    """Words in a picture, with the ground's colour round them so that no line runs through."""
    return (f'<text x="{x:.1f}" y="{y:.1f}" font-size="15" text-anchor="{anchor}" '
            f'fill="var(--{"soft" if soft else "ink"})" font-weight="{700 if bold else 400}" '
            'stroke="var(--bg)" stroke-width="5" stroke-linejoin="round" paint-order="stroke">'
            f"{look.esc(words)}</text>")


def _axes(across: Axis, up: Axis, names: tuple[str, str]) -> list[str]:
    out = []
    for tick in across.ticks():
        x = across.place(tick)
        out.append(f'<path d="M{x:.1f} {up.at:.1f}V{up.to:.1f}" stroke="var(--floor)" stroke-width="2"/>')
        out.append(_text(x, up.at + 18, f"{tick:g}", soft=True))
    for tick in up.ticks():
        y = up.place(tick)
        out.append(f'<path d="M{across.at:.1f} {y:.1f}H{across.to:.1f}" stroke="var(--floor)" stroke-width="2"/>')
        out.append(_text(across.at - 5, y + 5, f"{tick:g}", "end", soft=True))
    out.append(f'<path d="M{across.at:.1f} {up.to:.1f}V{up.at:.1f}H{across.to:.1f}" fill="none" stroke="var(--ink)" '
               'stroke-width="3"/>')
    out.append(_text(across.to, up.at + 38, names[0], "end", bold=True))
    out.append(_text(0, 16, names[1], "start", bold=True))
    return out


def _svg(parts: Sequence[str], label: str) -> str:
    return (f'<svg viewBox="0 0 {_WIDE:g} {_HIGH:g}" width="100%" role="img" aria-label="{look.esc(label)}">'
            f'{"".join(parts)}</svg>')


def _line(points: Sequence[tuple[float, float]], colour: str, width: float, dashes: str = "") -> str:
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{path}" fill="none" stroke="var(--{colour})" stroke-width="{width:g}"{dashed}/>'


def speed_picture(got: Tried, unit: str) -> str:
    """Engine speed over road speed, one line a gear, with the cruising speed marked."""
    fast = got.train.engine.fastest_rad_s
    across = axis_to(units.in_unit(max(got.lines[-1].fastest_mm_s, got.speed_mm_s), unit), _LEFT, _WIDE - _RIGHT, 44.0)
    up = _upward(units.in_unit(fast, "rpm"))
    out = _axes(across, up, (unit, f"{'engine' if got.train.converter is None else 'gearbox input'}, rpm"))

    def at(gear: int, speed_mm_s: float) -> tuple[float, float]:
        turning = got.train.input_rad_s(gear, speed_mm_s)
        return across.place(units.in_unit(speed_mm_s, unit)), up.place(units.in_unit(turning, "rpm"))

    names = []
    for g in got.lines:
        end = at(g.gear, g.fastest_mm_s)
        out.append(_line(((across.at, up.at), end), "ink", 3))
        if g.gear < len(got.lines):
            out.append(_line((end, at(g.gear + 1, g.fastest_mm_s)), "soft", 2, "4 4"))
        names.append(_text(min(end[0], across.to - 6), end[1] - 8, str(g.gear), bold=True))
    x, y = at(len(got.lines), got.speed_mm_s)
    turning = units.show(got.train.input_rad_s(len(got.lines), got.speed_mm_s), "rpm", 0)
    out.append(_line(((x, up.at), (x, y), (across.at, y)), "go", 2.5, "7 5"))
    out.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="var(--acc)" stroke="var(--ink)" stroke-width="2.5"/>')
    names.append(_text(min(x + 12, across.to), y + 24, turning, "start" if x < 250 else "end", bold=True))
    said = (f"Engine speed over road speed, {len(got.lines)} gears, axle ratio {got.train.axle:g}; in top gear "
            f"{turning} at {units.show(got.speed_mm_s, unit, 0)}")
    return _svg([*out, *names], said)


def _upward(most: float) -> Axis:
    """A scale up the picture, where y counts down from the top."""
    plain = axis_to(most, 0.0, _HIGH - _BELOW - _ABOVE, 30.0)
    return Axis(plain.end, plain.step, _HIGH - _BELOW, _ABOVE)


def push_picture(got: Tried, slip_n: float | None, unit: str) -> str:
    """Push of the wheels in each gear over road speed, with what holds back on three grades and what the tyres hold."""
    assert got.load is not None
    force = "lbf" if unit == "mph" else "kN"
    most = max(e.force_n for curve in got.efforts for e in curve)
    across = axis_to(units.in_unit(got.lines[-1].fastest_mm_s, unit), _LEFT, _WIDE - _RIGHT, 44.0)
    up = _upward(units.in_unit(max(most, slip_n or 0.0), force))
    out = _axes(across, up, (unit, f"push at the tyres, {force}"))

    def at(speed_mm_s: float, force_n: float) -> tuple[float, float]:
        return across.place(units.in_unit(speed_mm_s, unit)), up.place(units.in_unit(force_n, force))

    names = []
    for number, curve in enumerate(got.efforts, 1):
        out.append(_line([at(e.speed_mm_s, e.force_n) for e in curve], "ink", 3))
        top = at(max(curve, key=lambda e: e.force_n).speed_mm_s, max(e.force_n for e in curve))
        names.append(_text(top[0] + 3, top[1] - 7, str(number), bold=True))
    speeds = [e.speed_mm_s for e in got.efforts[-1]]
    for grade in GRADES:
        hill = got.load.on_grade(grade)
        points = [at(v, hill.force_n(v)) for v in (0.0, *speeds)]
        out.append(_line(points, "no", 2.5, "8 5"))
        words = "level" if grade == 0.0 else units.show(grade, "%", 0)
        x, y = points[-1]
        beside = x < across.to - _LABEL
        names.append(_text(x + 6 if beside else x, y + 5 if beside else y - 6, words, "start" if beside else "end"))
    if slip_n is not None:
        y = at(0.0, slip_n)[1]
        out.append(_line(((across.at, y), (across.to, y)), "go", 2.5, "14 4 3 4"))
        names.append(_text(across.to, y - 6, f"tyres slip at {units.show(slip_n, force, 1 if force == 'kN' else 0)}",
                           "end"))
    return _svg([*out, *names], f"Push of the wheels at full throttle in {len(got.efforts)} gears, and what holds back "
                                "on the level, at 6 % and at 12 %")
