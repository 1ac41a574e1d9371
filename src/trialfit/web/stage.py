"""The picture of the vehicle with its sliders: moved through its travel, looked at, cut across, on paper.

What one tab looks at is kept in a :class:`Seat` while it is open, so that the picture comes back as it was left.
"""

import asyncio
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from nicegui import ui

from trialfit import units
from trialfit.checks import Results
from trialfit.checks.showing import (
    HARDPOINT,
    AlongHeave,
    GapLine,
    Subject,
    cut_at,
    gap_along_heave,
    gap_now,
    heave_range,
    reach_of,
    subject,
    subjects,
)
from trialfit.doubt import Weighed, pose_words
from trialfit.findings import RANK, SURE, Verdict
from trialfit.sheets.picture import summary_leaf
from trialfit.sheets.svg import svg
from trialfit.sheets.vehicle_views import picture_of
from trialfit.vehicle import PosePoint
from trialfit.web import look, strip
from trialfit.web.cut import cut_svg
from trialfit.web.page import Page
from trialfit.web.scene import DOUBT_TIMES, RIDE, Drawn, Flag, Scene3d, drawn
from trialfit.web.working import Worked

VIEWS = {"below": "Below", "side": "Side", "whole": "Whole", "cut": "Cut", "paper": "Paper"}
"""Ways of looking at it, and the word on the key."""
_STEP_S = 0.08
_PLAY_S = 7.0
_MOST_FLAGS = 4
_CURVES_KEPT = 24
_PROFILE_PX = 96.0
_LABEL_PX = 20.0
_NEAR_CUT_MM = 40.0
_SAME_MM = 0.5
_SAME_RAD = 0.002
_HERE = {Verdict.FITS: "Clear here.", Verdict.DOES_NOT_FIT: "Too near here.",
         Verdict.CANNOT_TELL: "May be too near here.", Verdict.FITS_AFTER_WORK: "Clear here after work."}  # fmt: skip


@dataclass(slots=True)
class Seat:
    """What one tab looks at, kept while it is open."""

    heave_mm: float = 0.0
    roll_rad: float = 0.0
    rock_rad: float = 0.0
    view: str = "below"
    pair: str = ""
    station_mm: float | None = None
    points: bool = True
    only_bay: bool = False
    note: str = ""
    seen_thing: str = ""
    drawn: Drawn | None = None
    curves: dict[tuple[int, str, float, float], AlongHeave] = field(default_factory=dict)
    stage: "Stage | None" = None
    lower: ui.element | None = None
    heard: bool = False
    styled: bool = False

    @property
    def pose(self) -> PosePoint:
        """Where everything stands."""
        return PosePoint(self.heave_mm, self.roll_rad, self.rock_rad)


def latest(page: Page) -> Worked | None:
    """What the text as it stands came to, or else an earlier one."""
    return page.desk.worked or page.desk.last


def weighed_of(worked: Worked, finding: str) -> Weighed | None:
    """The gap that a finding is about; None when it is about none."""
    return next((w for w in worked.weighed if f"gap.{w.answer.pair.name}" == finding), None)


def subject_of(worked: Worked, name: str) -> Subject | None:
    """The thing or hardpoint called so; None when there is none."""
    try:
        return subject(worked.results, name) if name else None
    except KeyError:
        return None


class Stage:
    """The picture with its sliders. ``choose`` is told the name of what was tapped."""

    def __init__(self, page: Page, seat: Seat, holder: ui.element, choose: Callable[[str], None]) -> None:
        self.page, self.seat, self.holder, self._choose = page, seat, holder, choose
        self._revision = -1
        self._playing: ui.timer | None = None
        self._phase = 0.0
        self._asked = 0
        self._keys: dict[str, ui.element] = {}
        with ui.element("div").classes("seg"):
            for view, word in VIEWS.items():
                self._keys[view] = look.key(word, lambda view=view: self.view(view), "")
        self.scene = Scene3d(page.mode, self._tapped)
        self._cut_box = ui.element("div").classes("stage")
        with self._cut_box:
            self._cut = ui.html("", sanitize=False).classes("cutsvg")
            self._cut.on("click", lambda e: self._tapped("thing", str(e.args)),
                         js_handler="(e) => { const t = e.target.closest('[data-thing]'); "
                                    "if (t) emit(t.dataset.thing) }")
            self._station = self._slide("Station of the cut", self._to_station)
            self._station_said = look.put("", "tick")
        self._paper = ui.element("div").classes("stage")
        self._travel()
        with ui.element("details").style("width:100%"):
            look.words("Roll, engine rock, what is drawn", tag="summary")
            self._roll = self._slide("Roll of the axle", self._to_roll)
            self._roll_said = look.put("", "tick")
            self._rock = self._slide("Rock of the engine on its mounts", self._to_rock)
            self._rock_said = look.put("", "tick")
            with ui.element("div").classes("keys"):
                self._points_key = look.key("Hardpoints", self._points, "alt")
                self._bay_key = look.key("Only this bay", self._only_bay, "alt")
            look.words("Drawn as you see it lying under the car, nose to the left: its right side is at the bottom. "
                       f"Each hardpoint is drawn with its doubt, {DOUBT_TIMES} times as large as it is.", "s")
        with self.holder:
            ui.timer(0.01, self._load, once=True)

    def _travel(self) -> None:
        self._box = ui.element("div").classes("travelbox")
        with self._box:
            with ui.element("div"):
                self._pick = ui.element("select").classes("pick").props('aria-label="Which gap"')
                self._pick.on("change", lambda e: self.choose(str(e.args)),
                              js_handler="(e) => emit(e.target.value)")
                self._figure = look.put("", "fig").props('aria-live="polite"')
                self._profile = look.put("", "profile")
                self._heave = self._slide("Heave of the axle", self._to_heave)
            with ui.element("div").classes("keys"):
                look.key("Droop stop", lambda: self._stop(-1), "alt")
                look.key("Ride", lambda: self._stop(0), "alt")
                look.key("Bump stop", lambda: self._stop(1), "alt")
                self._play_key = look.key("Play", self.play, "alt")

    def _slide(self, label: str, heard: Any) -> ui.element:
        # a range of the browser's own: its value is never among the props, so that redrawing cannot push it back
        one = ui.element("input").classes("slide").props('type=range min=0 max=0 step=any')
        one.props["aria-label"] = label
        for event in ("input", "change"):
            one.on(event, lambda e: heard(e.args), js_handler="(e) => emit(Number(e.target.value))", throttle=0.04)
        return one

    @property
    def there(self) -> bool:
        """Whether it can still be seen."""
        return not self.holder.is_deleted

    @property
    def results(self) -> Results | None:
        worked = self.worked
        return None if worked is None else worked.results

    @property
    def worked(self) -> Worked | None:
        """What the picture shows: the last text that was drawn."""
        return None if self.seat.drawn is None else self.seat.drawn.worked

    # -- from outside ---------------------------------------------------------------------------------------------

    def again(self, what: str) -> None:
        """Something changed: ``desk``, ``bay``, ``place``, ``thing``, ``units`` or ``mode``."""
        with self.holder:
            worked = latest(self.page)
            if worked is not None and worked.revision != self._revision:
                ui.timer(0.01, self._load, once=True)
                return
            if self.worked is None:
                return
            if what in ("bay", "place", "thing"):
                self._follow()
            self._paint()
            self._flags()
            self._list()
            self._say()
            self._draw_profile()
            if self.seat.view in ("cut", "paper"):
                self.view(self.seat.view)

    def worst(self, pair: str) -> None:
        """Stand everything where the gap of a pair is smallest."""
        line = self._line(pair)
        if line is None:
            return
        self.seat.pair = pair
        self.seat.heave_mm, self.seat.roll_rad, self.seat.rock_rad = (float(v) for v in line.pose)
        self.seat.station_mm = line.station_mm
        self.seat.note = ""
        self._aim(line.station_mm, float(0.5 * (line.first_mm[1] + line.second_mm[1])))
        self._set_limits()
        self._all()

    def choose(self, pair: str) -> None:
        """Follow the gap of another pair."""
        if self._line(pair) is None:
            return
        self.seat.pair = pair
        self._say()
        self._flags()
        self._paint()
        self._curve()

    # -- loading --------------------------------------------------------------------------------------------------

    async def _load(self) -> None:
        worked = latest(self.page)
        if worked is None or not self.there:
            self.scene.say("Not worked out yet" if self.page.desk.build is not None else "The build file has problems")
            return
        self._revision = worked.revision
        if self.seat.drawn is None or self.seat.drawn.worked is not worked:
            self.scene.say("Drawing it")
            found = await asyncio.to_thread(drawn, worked)
            if not self.there or worked.revision != self._revision:
                return
            if found is None:
                self.scene.say("Nothing lies on known hardpoints yet")
                return
            self.seat.drawn = found
        assert self.seat.drawn is not None
        with self.holder:
            self._keep_within()
            self.scene.show(self.seat.drawn, self.seat.pose)
            self.scene.say("")
            self._follow()
            self._set_limits()
            self.view(self.seat.view)
            self._all()

    def _keep_within(self) -> None:
        """After a change of the build the pose of before may lie beyond its stops: then back to ride height."""
        results = self.results
        assert results is not None
        travel = results.travel
        if tuple(self.seat.pose) != tuple(RIDE) and (travel is None or not travel.feasible(self.seat.pose)):
            self.seat.heave_mm = self.seat.roll_rad = self.seat.rock_rad = 0.0
            self.seat.note = "The stops have changed: back at ride height."

    def _all(self) -> None:
        self._paint()
        self.scene.pose(self.seat.pose)
        self._points(turn=False)
        self._flags()
        self._list()
        self._say()
        self._curve()
        self._sliders()
        if self.seat.view == "cut":
            self._draw_cut()

    # -- where it is looked at ------------------------------------------------------------------------------------

    def _follow(self) -> None:
        """Camera, cut and gap go where the page went: to a finding, a thing, or a bay."""
        page, worked = self.page, self.worked
        assert worked is not None
        weighed = weighed_of(worked, page.thing)
        if weighed is not None and self._line(weighed.answer.pair.name) is not None:
            if self.seat.seen_thing != page.thing:
                self.seat.seen_thing = page.thing
                self.worst(weighed.answer.pair.name)
            return
        self.seat.seen_thing = page.thing
        one = subject_of(worked, page.thing)
        names = self._pairs()
        if one is not None and one.kind != HARDPOINT:
            names = [n for n in names if (line := self._line(n)) is not None
                     and one.name in (line.pair.a.name, line.pair.b.name)] or names  # fmt: skip
            mine = self._line(self.seat.pair)
            if mine is None or one.name not in (mine.pair.a.name, mine.pair.b.name):
                self.seat.pair = names[0] if names else ""
        else:
            self.seat.pair = names[0] if names else ""
        if one is not None:
            try:
                front, rear = reach_of(worked.results, one.name)
                self._aim(0.5 * (front + rear))
                self.seat.station_mm = 0.5 * (front + rear)
            except KeyError:
                pass
        elif page.bays is not None:
            front, rear = page.bays.ends_mm(page.bay)
            self._aim(0.5 * (front + rear))
            if self.seat.station_mm is None or not front <= self.seat.station_mm <= rear:
                self.seat.station_mm = 0.5 * (front + rear)
        self._curve()

    def _aim(self, station_mm: float, across_mm: float = 0.0) -> None:
        bays, results = self.page.bays, self.results
        if bays is None or results is None or self.seat.view not in ("below", "side", "whole"):
            return
        aspect = 3.4 if self.page.wide else 1.43
        room = max((bays.rear_mm - bays.front_mm) / strip.BAYS * (4.0 if self.page.wide else 2.2), 1500.0)
        height = sum(float(p[2]) for p in results.points.values()) / max(len(results.points), 1)
        self.scene.look(self.seat.view, (station_mm - 0.5 * room, station_mm + 0.5 * room), across_mm, height, aspect)

    def view(self, view: str) -> None:
        """Another way of looking at it."""
        if view not in VIEWS:
            return
        self.seat.view = view
        for name, one in self._keys.items():
            one.classes(add="on" if name == view else "", remove="" if name == view else "on")
            one.props["aria-pressed"] = "true" if name == view else "false"
            one.update()
        solid = view in ("below", "side", "whole")
        self.scene.wrap.set_visibility(solid)
        self._cut_box.set_visibility(view == "cut")
        self._paper.set_visibility(view == "paper")
        self._box.set_visibility(view != "paper")
        if solid:
            ui.run_javascript("setTimeout(() => dispatchEvent(new Event('resize')), 60)")
            at = self.seat.station_mm
            if at is None and self.page.bays is not None:
                at = 0.5 * sum(self.page.bays.ends_mm(self.page.bay))
            self._aim(at or 0.0)
            self._paint()
        elif view == "cut":
            self._draw_cut()
        else:
            self._draw_paper()

    # -- gaps -----------------------------------------------------------------------------------------------------

    def _line(self, pair: str) -> GapLine | None:
        return None if self.seat.drawn is None else next((g for g in self.seat.drawn.lines if g.name == pair), None)

    def _weighed(self, pair: str) -> Weighed | None:
        return None if self.worked is None else weighed_of(self.worked, f"gap.{pair}")

    def _pairs(self) -> list[str]:
        """Pairs whose smallest gap is known, those of the bay first, worst first."""
        worked, bays = self.worked, self.page.bays
        if worked is None or self.seat.drawn is None:
            return []

        def key(line: GapLine) -> tuple[bool, int, float]:
            w = self._weighed(line.name)
            away = bays is not None and bays.of(line.station_mm) != self.page.bay
            return away, RANK[w.verdict] if w else 0, line.gap_mm - line.pair.required_mm

        return [line.name for line in sorted(self.seat.drawn.lines, key=key)]

    def _list(self) -> None:
        self._pick.clear()
        bays = self.page.bays
        with self._pick:
            for name in self._pairs():
                line = self._line(name)
                assert line is not None
                there = "" if bays is None else bays.names[bays.of(line.station_mm)]
                option = look.words(f"{line.pair.a.name} to {line.pair.b.name} ({there})", tag="option")
                option.props["value"] = name
                if name == self.seat.pair:
                    option.props["selected"] = True
        self._pick.set_visibility(bool(self._pairs()))

    def _figure_of(self, mm: float, sd_mm: float | None) -> str:
        if mm < 0.0:
            return f"{look.small_length(-mm, self.page.units)} overlap"
        doubt = "" if sd_mm is None else f" ± {look.small_length(SURE * sd_mm, self.page.units, 32)}"
        return f"{look.small_length(mm, self.page.units)}{doubt}"

    def _flags(self) -> None:
        bays, worked = self.page.bays, self.worked
        if worked is None:
            return
        flags: list[Flag] = []
        for name in self._pairs():
            line, weighed = self._line(name), self._weighed(name)
            if line is None or weighed is None:
                continue
            chosen = name == self.seat.pair
            here = bays is None or bays.of(line.station_mm) == self.page.bay
            unsettled = weighed.verdict is not Verdict.FITS
            if chosen or (here and unsettled and len(flags) < _MOST_FLAGS):
                text = self._figure_of(line.gap_mm, weighed.sd_mm) if chosen else ""
                flags.append(Flag(line, text, unsettled, chosen))
        self.scene.gaps(self.page.mode, flags)

    def _say(self) -> None:
        """The gap at this pose, in figures and words."""
        results, line, weighed = self.results, self._line(self.seat.pair), self._weighed(self.seat.pair)
        pose = self._pose_words()
        if results is None or line is None or weighed is None:
            self._figure.set_content(f'<span class="s">{look.esc(pose)}. No gap here is near enough to follow.</span>')
        else:
            now = gap_now(results, weighed.answer, self.seat.pose, weighed.sd_mm)
            said = f"{pose}. {_HERE[now.verdict]} {look.small_length(line.pair.required_mm, self.page.units)} wanted."
            tone = {Verdict.FITS: "var(--go)", Verdict.DOES_NOT_FIT: "var(--no)"}.get(now.verdict, "var(--ink)")
            self._figure.set_content(
                f'<span class="big" style="color:{tone}">'
                f'{look.esc(self._figure_of(now.least_mm, weighed.sd_mm))}</span>'
                f'<span class="s">{look.esc(said)} {look.esc(self.page.told(self.seat.note))}</span>')

    def _pose_words(self) -> str:
        heave, roll, rock = self.seat.pose
        words = pose_words(PosePoint(0.0, roll, rock))
        if abs(heave) >= _SAME_MM:
            way = "bump" if heave > 0.0 else "droop"
            words = f"at {look.small_length(abs(heave), self.page.units)} {way}{words.removeprefix('at ride height')}"
        return words[:1].upper() + words[1:]

    # -- travel ---------------------------------------------------------------------------------------------------

    def _set_limits(self) -> None:
        results = self.results
        if results is None:
            return
        low, high = heave_range(results, self.seat.roll_rad)
        bounds = (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)
        if results.travel is not None:
            bounds = tuple(results.travel.lo), tuple(results.travel.hi)
        for slide, lo, hi in ((self._heave, low, high), (self._roll, bounds[0][1], bounds[1][1]),
                              (self._rock, bounds[0][2], bounds[1][2])):
            slide.props["min"], slide.props["max"] = repr(float(lo)), repr(float(hi))
            if hi > lo:
                slide.props.pop("disabled", None)
            else:
                slide.props["disabled"] = True
            slide.update()
        if self.page.bays is not None:
            self._station.props["min"] = repr(self.page.bays.front_mm)
            self._station.props["max"] = repr(self.page.bays.rear_mm)
            self._station.update()

    def _sliders(self) -> None:
        """Put the sliders where the pose is, and say it beside them."""
        deg = [units.show(v, "deg", 1) for v in (self.seat.roll_rad, self.seat.rock_rad)]
        self._roll_said.set_content(f"<span>Left wheel up</span><b>Roll {deg[0]}</b><span>Right wheel up</span>")
        self._rock_said.set_content(f"<span>Left side up</span><b>Engine rock {deg[1]}</b><span>Right side up</span>")
        where = [(self._heave, self.seat.heave_mm), (self._roll, self.seat.roll_rad), (self._rock, self.seat.rock_rad)]
        if self.seat.station_mm is not None:
            where.append((self._station, self.seat.station_mm))
        sets = ";".join(f"(e=>{{if(e&&Math.abs(e.value-({v!r}))>1e-6)e.value={v!r}}})"
                        f"(document.getElementById('{one.html_id}'))" for one, v in where)  # fmt: skip
        ui.run_javascript(sets)

    def _moved(self) -> None:
        """The pose changed."""
        self.scene.pose(self.seat.pose)
        self._say()
        self._needle()
        if self.seat.view == "cut":
            self._draw_cut()

    def _to_heave(self, value: Any) -> None:
        results = self.results
        if results is None:
            return
        low, high = heave_range(results, self.seat.roll_rad)
        heave = _within(value, low, high)
        if heave is None:
            self.seat.note = f"The stops are at {low:.0f} mm and {high:.0f} mm."
            self._say()
            self._sliders()
            return
        self.seat.heave_mm = heave
        self.seat.note = ""
        self._stop_play()
        self._moved()

    def _to_roll(self, value: Any) -> None:
        results = self.results
        travel = None if results is None else results.travel
        roll = None if travel is None else _within(value, float(travel.lo[1]), float(travel.hi[1]))
        if results is None or roll is None:
            return
        low, high = heave_range(results, roll)
        self.seat.roll_rad, self.seat.note = roll, ""
        if not low <= self.seat.heave_mm <= high:
            self.seat.heave_mm = low if self.seat.heave_mm < low else high
            self.seat.note = "One wheel stands at its stop: the heave had to follow."
        self._stop_play()
        self._set_limits()
        self._sliders()
        self._moved()
        self._curve()

    def _to_rock(self, value: Any) -> None:
        travel = None if self.results is None else self.results.travel
        rock = None if travel is None else _within(value, float(travel.lo[2]), float(travel.hi[2]))
        if rock is None:
            return
        self.seat.rock_rad, self.seat.note = rock, ""
        self._stop_play()
        self._sliders()
        self._moved()
        self._curve()

    def _stop(self, which: int) -> None:
        results = self.results
        if results is None:
            return
        low, high = heave_range(results, self.seat.roll_rad)
        if which == 0 and not low <= 0.0 <= high:
            self.seat.note = "With this roll the axle cannot stand at ride height."
            self._say()
            return
        self.seat.heave_mm = (low, 0.0, high)[which + 1]
        if which == 0 and self.seat.roll_rad == 0.0:
            self.seat.rock_rad = 0.0
        self.seat.note = ""
        self._stop_play()
        self._sliders()
        self._moved()

    def play(self) -> None:
        """Through the travel and back until pressed again."""
        if self._playing is not None:
            self._stop_play()
            return
        results = self.results
        low, high = (0.0, 0.0) if results is None else heave_range(results, self.seat.roll_rad)
        if high <= low:
            self.seat.note = "The travel is not known: nothing moves."
            self._say()
            return
        self._phase = 0.0
        with self.holder:
            self._playing = ui.timer(_STEP_S, self._frame)
        self._play_words("Stop")

    def _frame(self) -> None:
        results = self.results
        if results is None or not self.there:
            self._stop_play()
            return
        low, high = heave_range(results, self.seat.roll_rad)
        self._phase = (self._phase + _STEP_S / _PLAY_S) % 1.0
        self.seat.heave_mm = 0.5 * (low + high) - 0.5 * (high - low) * math.cos(2.0 * math.pi * self._phase)
        self._sliders()
        self._moved()

    def _stop_play(self) -> None:
        if self._playing is not None:
            self._playing.delete()
            self._playing = None
            self._play_words("Play")

    def _play_words(self, word: str) -> None:
        self._play_key.clear()
        with self._play_key:
            look.words(word, tag="span")

    # -- the gap along the travel ---------------------------------------------------------------------------------

    def _curve_key(self) -> tuple[int, str, float, float]:
        return self._revision, self.seat.pair, round(self.seat.roll_rad, 6), round(self.seat.rock_rad, 6)

    def _curve(self) -> None:
        """Work out how the gap goes along the travel, unless it is known, and draw it."""
        if self._curve_key() in self.seat.curves or self._line(self.seat.pair) is None:
            self._draw_profile()
            return
        self._asked += 1
        asked = self._asked

        async def work() -> None:
            weighed, results, key = self._weighed(self.seat.pair), self.results, self._curve_key()
            if weighed is None or results is None or asked != self._asked:
                return
            found = await asyncio.to_thread(gap_along_heave, results, weighed.answer, self.seat.roll_rad,
                                            self.seat.rock_rad)
            while len(self.seat.curves) >= _CURVES_KEPT:
                self.seat.curves.pop(next(iter(self.seat.curves)))
            self.seat.curves[key] = found
            if self.there:
                self._draw_profile()

        with self.holder:
            ui.timer(0.05, work, once=True)

    def _draw_profile(self) -> None:
        curve, weighed = self.seat.curves.get(self._curve_key()), self._weighed(self.seat.pair)
        if curve is None or weighed is None or self._line(self.seat.pair) is None:
            self._profile.set_content("")
            return
        low, high = float(curve.heave_mm[0]), float(curve.heave_mm[-1])
        wanted, doubt = weighed.answer.pair.required_mm, SURE * (weighed.sd_mm or 0.0)
        top = max(110.0, 3.0 * wanted)

        def x(heave: float) -> float:
            return 50.0 if high <= low else 100.0 * (heave - low) / (high - low)

        def y(mm: float) -> float:
            return 100.0 - 100.0 * min(max(mm, 0.0), top) / top

        points = list(zip(curve.heave_mm, curve.least_mm, curve.most_mm, strict=True))
        if len(points) == 1:
            points = [(low - 1.0, *points[0][1:]), (low + 1.0, *points[0][1:])]
            low, high = low - 1.0, low + 1.0
        up = " ".join(f"{x(h):.2f},{y(m + doubt):.2f}" for h, _, m in points)
        down = " ".join(f"{x(h):.2f},{y(n - doubt):.2f}" for h, n, _ in reversed(points))
        line = " ".join(f"{x(h):.2f},{y(n):.2f}" for h, n, _ in points)
        thin = 'vector-effect="non-scaling-stroke"'
        stops = self.results is not None and self.results.travel is not None and self.results.travel.stops is not None
        ride = (f'<path d="M{x(0.0):.2f} 0V100" stroke="var(--line)" stroke-width="2" stroke-dasharray="3 4" {thin}/>'
                if low < 0.0 < high and stops else "")
        pair = f"{weighed.answer.pair.a.name} to {weighed.answer.pair.b.name}"
        drawing = (
            f'<svg viewBox="0 0 100 100" preserveAspectRatio="none" role="img" aria-label="{look.esc(pair)} against '
            f'the heave: at droop {look.esc(self._figure_of(float(curve.least_mm[0]), None))}, at bump '
            f'{look.esc(self._figure_of(float(curve.least_mm[-1]), None))}">'
            f'<path d="M0 {y(wanted):.2f}H100V100H0z" fill="var(--floor)" stroke="var(--soft)" stroke-width="2" '
            f'{thin}/>'
            f'<polygon points="{up} {down}" fill="var(--go)" opacity=".38"/>'
            f'<polyline points="{line}" fill="none" stroke="var(--ink)" stroke-width="3" {thin}/>{ride}'
            f'<path d="M0 0V100M100 0V100" stroke="var(--ink)" stroke-width="4" {thin}/></svg>')
        over = (f'<span class="lab s" style="left:6px;top:1px">over {look.small_length(top, self.page.units)}</span>'
                if max(curve.least_mm) > top else "")
        at = "right:6px" if float(curve.least_mm[0]) < float(curve.least_mm[-1]) else "left:6px"
        # where the floor is too thin for words the figure above says it alone
        said = f"{look.small_length(wanted, self.page.units)} wanted" if _PROFILE_PX * wanted / top > _LABEL_PX else ""
        labels = f'{over}<span class="lab" style="{at};bottom:1px"><b>{said}</b></span>'
        needle = f'<span class="needle" id="{self._needle_id}"></span>' if stops else ""
        self._profile.set_content(drawing + labels + needle)
        self._needle()

    @property
    def _needle_id(self) -> str:
        return f"{self._profile.html_id}-needle"

    def _needle(self) -> None:
        results = self.results
        if results is None:
            return
        low, high = heave_range(results, self.seat.roll_rad)
        share = 50.0 if high <= low else 100.0 * (self.seat.heave_mm - low) / (high - low)
        ui.run_javascript(f"(e=>{{if(e)e.style.left='{share:.3f}%'}})(document.getElementById('{self._needle_id}'))")

    # -- what is drawn --------------------------------------------------------------------------------------------

    def _paint(self) -> None:
        what, line = self.seat.drawn, self._line(self.seat.pair)
        if what is None:
            return
        one = subject_of(what.worked, self.page.thing)
        chosen = [one.name] if one is not None else []
        faded: list[str] = []
        if self.seat.only_bay and self.page.bays is not None:
            front, rear = self.page.bays.ends_mm(self.page.bay)
            near = {line.pair.a.name, line.pair.b.name} if line is not None else set()
            for node in what.nodes:
                ends = node.at(RIDE)[:3, :3] @ node.vertices.T
                stations = ends[0] + node.at(RIDE)[0, 3]
                if (stations.max() < front or stations.min() > rear) and node.name not in near:
                    faded.append(node.name)
        self.scene.paint(self.page.mode, chosen, faded, ("tyre",) if self.seat.view in ("side", "whole") else ())
        self.scene.points(self.page.mode, self.seat.points, one.name if one is not None else "")
        self._bay_key.classes(add="on" if self.seat.only_bay else "", remove="" if self.seat.only_bay else "on")
        self._bay_key.props["aria-pressed"] = "true" if self.seat.only_bay else "false"
        self._bay_key.update()

    def _points(self, turn: bool = True) -> None:
        if turn:
            self.seat.points = not self.seat.points
            self._paint()
        self._points_key.classes(add="on" if self.seat.points else "", remove="" if self.seat.points else "on")
        self._points_key.props["aria-pressed"] = "true" if self.seat.points else "false"
        self._points_key.update()

    def _only_bay(self) -> None:
        self.seat.only_bay = not self.seat.only_bay
        self._paint()

    def _tapped(self, kind: str, name: str) -> None:
        worked = self.worked
        if worked is None:
            return
        with self.holder:
            if kind == "gap" and self._line(name) is not None:
                self.choose(name)
            elif kind in ("thing", "point") and name in subjects(worked.results):
                self._choose(name)

    # -- cut and paper --------------------------------------------------------------------------------------------

    def _to_station(self, value: Any) -> None:
        bays = self.page.bays
        station = None if bays is None else _within(value, bays.front_mm, bays.rear_mm)
        if station is None:
            return
        self.seat.station_mm = station
        self._draw_cut()

    def _draw_cut(self) -> None:
        results, bays = self.results, self.page.bays
        if results is None or bays is None:
            return
        if self.seat.station_mm is None:
            self.seat.station_mm = 0.5 * sum(bays.ends_mm(self.page.bay))
        station = self.seat.station_mm
        cuts = cut_at(results, station, self.seat.pose)
        lines = [g for g in self.seat.drawn.lines if self._in_cut(g, station)] if self.seat.drawn is not None else []
        names = {g.name: self._figure_of(g.gap_mm, w.sd_mm) for g in lines if (w := self._weighed(g.name))}
        self._cut.set_content(cut_svg(results, cuts, self.page.thing, [(g, names.get(g.name, "")) for g in lines],
                                      640.0 if self.page.wide else 358.0))
        self._station_said.set_content(
            f"<span>Nose</span><b>Cut at {look.esc(look.small_length(station, self.page.units))}, from behind</b>"
            "<span>Tail</span>")

    def _in_cut(self, g: GapLine, station: float) -> bool:
        """A gap is drawn in the cut where it is near it, and only while everything stands at its worst pose."""
        here = abs(g.station_mm - station) < _NEAR_CUT_MM
        heave, roll, rock = (abs(a - b) for a, b in zip(g.pose, self.seat.pose, strict=True))
        return here and g.name == self.seat.pair and heave < _SAME_MM and roll < _SAME_RAD and rock < _SAME_RAD

    def _draw_paper(self) -> None:
        worked = self.worked
        if worked is None:
            return

        async def work() -> None:
            drawing = await asyncio.to_thread(_side_and_plan, worked)
            if not self.there or self.seat.view != "paper":
                return
            self._paper.clear()
            with self._paper:
                look.put(drawing, "paperview")
                if self.page.desk.worked is not None:
                    look.put('<a class="go" href="/sheets/summary.pdf" target="_blank"><span class="two"><span>'
                             'Print side and plan</span><span aria-hidden="true">→</span></span></a>')
                else:
                    look.words("It can be printed once it is worked out.", "s")

        if not self._paper.default_slot.children:
            with self._paper:
                look.words("Drawing it", "s")
        with self.holder:
            ui.timer(0.01, work, once=True)


def _within(value: Any, low: float, high: float) -> float | None:
    """What a slider sent, as a number of its range; None for anything else. The browser writes its ends with fewer
    digits, so that they come back a hair beyond."""
    if not isinstance(value, int | float) or not math.isfinite(value):
        return None
    hair = 1e-9 * max(abs(low), abs(high), 1.0)
    if abs(value - low) <= hair or abs(value - high) <= hair:
        return low if abs(value - low) < abs(value - high) else high
    return float(value) if low <= value <= high else None


def _side_and_plan(worked: Worked) -> str:
    return svg(summary_leaf(picture_of(worked.results, worked.weighed)), "side and plan")
