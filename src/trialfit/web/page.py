"""One open tab: where it is, how it is shown, and the frame round the five places."""

import asyncio
from collections.abc import Callable
from importlib import import_module
from types import ModuleType

from fastapi import Request
from nicegui import context, ui

from trialfit import units
from trialfit.findings import Verdict
from trialfit.web import look, strip
from trialfit.web.desk import Desk

PLACES = {"Next": "next", "Vehicle": "vehicle", "Tape": "tape", "May I?": "may_i", "Bench": "bench"}
"""The five words, and the module of ``places`` that shows each."""
BEHIND = {"Exhaust": ("exhaust", "Bench")}
"""Places that are reached from one of the five: module, and the word that stays lit."""
LOOK_COOKIE = "trialfit-look"
_WIDE_PX = 1000
_TICK_S = 0.3


class Page:
    """One open tab.

    A place is a module with ``show(page)``, which builds it inside the present NiceGUI slot. It may also have
    ``changed(page)``, called in place of building anew when the desk changed (for a place with half-typed work in it);
    and ``beside(page)`` of ``places.vehicle``, which builds what stands at the right on a laptop, once for each tab.

    Attributes
    ----------
    desk : Desk
        the build file, shared by all tabs
    units : str
        ``metric`` or ``inch``
    mode : str
        ``night`` or ``day``
    bay : int
        which of the six bays, from 0
    place, thing : str
        where the tab is, and which thing there ("" for none)
    wide : bool
        a laptop: the vehicle stands beside the column
    kept : dict
        what places want to keep while the tab is open, by their own name
    """

    def __init__(self, desk: Desk, *, system: str, mode: str, place: str, bay: int | None, thing: str) -> None:
        self.desk = desk
        self.units = system
        self.mode = mode
        self.place = place if place in PLACES or place in BEHIND else "Next"
        self.thing = thing
        self.bays = strip.bays_of(desk.build, desk.survey())
        self.bay = bay if bay is not None and 0 <= bay < strip.BAYS else self._worst_bay()
        self.wide = False
        self.kept: dict[str, object] = {}
        self.message = ""
        self._seen = desk.version
        self._client = context.client
        self._listeners: list[Callable[[str], None]] = []
        self._busy: ui.html | None = None
        self._bay_keys: list[ui.element] = []
        self._nav_keys: dict[str, ui.element] = {}

    # -- for the places -------------------------------------------------------------------------------------------

    def go(self, place: str, bay: int | None = None, thing: str = "") -> None:
        """Go to a place, and to a bay or a thing there."""
        if place not in PLACES and place not in BEHIND:
            raise ValueError(f"no place is called {place!r}; known: {', '.join([*PLACES, *BEHIND])}")
        was = self.place
        self.place, self.thing = place, thing
        if bay is not None:
            self.bay = bay
        self.message = ""
        ui.run_javascript(f"trialfit.went({place!r}, {self.bay}, {_js(thing)})")
        moved = getattr(self.module, "moved", None) if place == was else None
        if moved is None:
            self.show_all()
        else:
            # a scene is dear to build: the place turns to the other bay by itself
            self.show_strip()
            self.show_nav()
            moved(self)
        self._tell("place" if bay is None else "bay")

    def told(self, text: str) -> str:
        """A sentence of the program's own in the builder's unit; still to be escaped."""
        return units.retold(text, self.units, self.fraction)

    def length(self, mm: float) -> str:
        """A length in the builder's unit."""
        return units.length_text(mm, self.units, self.fraction)

    @property
    def fraction(self) -> int:
        """Finest part of an inch that is shown."""
        build = self.desk.build
        return 16 if build is None else build.settings.fraction

    def say(self, text: str) -> None:
        """A sentence at the top of the place, until the next step: what was done, or why not."""
        self.message = text
        self.show_place()

    def listen(self, heard: Callable[[str], None]) -> None:
        """Be told of changes for as long as the tab is open: ``bay``, ``place``, ``units``, ``mode`` or ``desk``."""
        self._listeners.append(heard)

    def set_units(self, system: str) -> None:
        """Show everything in another system."""
        self.units = system
        self._kept_look()
        self.show_all()
        self._tell("units")

    def set_mode(self, mode: str) -> None:
        """Garage or daylight."""
        self.mode = mode
        self._kept_look()
        ui.query("body").classes(remove=" ".join(look.MODES), add=mode)
        self.show_all()
        self._tell("mode")

    # -- the frame ------------------------------------------------------------------------------------------------

    def build(self) -> None:
        """Lay out the frame and show the place."""
        ui.query("body").classes(self.mode)
        with ui.element("header").classes("top"):
            self._strip = ui.element("div").classes("strip")
            look.put('<b role="status">No link. Kept here: <span data-kept>0</span>. Keep measuring.</b>', "band")
        self._nav = ui.element("nav").classes("nav").props('aria-label="Places"')
        with ui.element("div").classes("cols"):
            self._main = ui.element("section").classes("page").props('aria-label="Place"')
            self._side = ui.element("aside").classes("side").props('aria-label="The vehicle"')
        self.show_all()
        ui.timer(_TICK_S, self._tick)

    async def ready(self) -> None:
        """When the tab is connected: how wide it is, and what stands beside on a wide one."""
        await self._client.connected(timeout=30.0)
        wide = await ui.run_javascript("innerWidth", timeout=10.0)
        self.wide = int(wide) >= _WIDE_PX
        if self.wide:
            vehicle = import_module("trialfit.web.places.vehicle")
            if hasattr(vehicle, "beside"):
                with self._side:
                    vehicle.beside(self)
            if self.place == "Vehicle":
                # the picture has moved beside it; elsewhere what was typed meanwhile stays
                self.show_place()

    def show_all(self) -> None:
        """Strip, words and place anew."""
        self.show_strip()
        self.show_nav()
        self.show_place()

    def show_strip(self) -> None:
        """The strip as it is now. Its keys stay the same elements: a press while they change must not be lost."""
        worked, bays = self.desk.worked or self.desk.last, self.bays
        if not self._bay_keys:
            with self._strip:
                self._car = look.put("")
                with ui.element("div").classes("bays"):
                    for i in range(strip.BAYS):
                        button = look.key("", lambda i=i: self._bay(i), "bay")
                        self._bay_keys.append(button)
        _said(self._car, strip.plan_svg(worked, bays))
        worst = strip.worst_by_bay(worked, bays) if worked is not None and bays is not None else {}
        gates = () if worked is None or bays is None else tuple(
            (bays.of(g.station_mm), g.may) for g in worked.gates if g.station_mm is not None)
        for i, button in enumerate(self._bay_keys):
            name = bays.names[i] if bays is not None else ""
            tags = [may for bay, may in gates if bay == i]
            _said(look.label_of(button), strip.bay_label(name or "–", worst.get(i), tags))
            _lit(button, i == self.bay and bays is not None)
            button.props["aria-label"] = self._bay_words(i, name, worst, tags)

    def _bay_words(self, i: int, name: str, worst: dict[int, Verdict], tags: list[bool]) -> str:
        if self.bays is None:
            return f"bay {i + 1}, nothing measured yet"
        said = [name]
        if i in worst:
            said.append(look.WORD[worst[i]].lower())
        if tags:
            said.append("free to go on" if all(tags) else "a step is held here")
        return ", ".join(said)

    def _bay(self, bay: int) -> None:
        if self.place == "Tape":
            self.bay = bay
            ui.run_javascript(f"trialfit.bay({bay})")
            self.show_strip()
            self._tell("bay")
        else:
            self.go("Vehicle", bay=bay)

    def show_nav(self) -> None:
        """The five words as they are now."""
        if not self._nav_keys:
            with self._nav:
                for name in PLACES:
                    self._nav_keys[name] = look.key(name, lambda name=name: self.go(name), "")
                with ui.element("div").classes("spare"):
                    self._told_about = look.words("", "s")
                    self._other_units = look.key("", self._swap_units, "")
                    self._other_mode = look.key("", self._swap_mode, "")
        lit = BEHIND[self.place][1] if self.place in BEHIND else self.place
        for name, button in self._nav_keys.items():
            _lit(button, name == lit)
            if name == lit:
                button.props["aria-current"] = "page"
            else:
                button.props.pop("aria-current", None)
        _said(self._told_about, look.esc(self._about()))
        _said(look.label_of(self._other_units), "Inches" if self.units == "metric" else "Millimetres")
        _said(look.label_of(self._other_mode), "Daylight" if self.mode == "night" else "Garage")

    def _swap_units(self) -> None:
        self.set_units("inch" if self.units == "metric" else "metric")

    def _swap_mode(self) -> None:
        self.set_mode("day" if self.mode == "night" else "night")

    def _about(self) -> str:
        build = self.desk.build
        if build is None:
            count = len(self.desk.loaded.problems)
            return f"{self.desk.path.name}: {count} problem{'' if count == 1 else 's'}"
        return f"{build.name or self.desk.path.name}, {len(build.readings)} readings"

    def show_place(self) -> None:
        """The place anew."""
        self._main.clear()
        self._main.classes(remove="tape")
        self._busy = None
        with self._main:
            if self.message:
                look.words(self.told(self.message), "kept").props('role="status"')
            self._faulty()
            self.module.show(self)

    def _faulty(self) -> None:
        """On every place that does not say so itself: the file cannot be read, and what stands here is older."""
        problems = self.desk.loaded.problems
        if not problems or self.place == "Next" or (self.place == "Bench" and self.thing == "build file"):
            return
        lines = list(dict.fromkeys(p.place.line for p in problems))
        which = f"Line {lines[0]}" if len(lines) == 1 else f"{len(lines)} lines"
        older = "What stands here is from before; " if self.desk.last is not None else ""
        look.words(f"{which} of the build file cannot be read. {older}nothing new is worked out until that is mended.",
                   "kept").props('role="alert"')
        look.key("Mend it", lambda: self.go("Bench", thing="build file"))

    @property
    def module(self) -> ModuleType:
        """The module that shows the present place."""
        name = PLACES.get(self.place) or BEHIND[self.place][0]
        return import_module(f"trialfit.web.places.{name}")

    def main_classes(self, add: str) -> None:
        """Classes for the column, until the next place."""
        self._main.classes(add=add)

    def busy(self) -> None:
        """A line with a bar that says how far the work on the last change is; nothing when it is done."""
        self._busy = look.put(self._busy_words(), "quiet")
        self._busy.props('role="status"')

    def _busy_words(self) -> str:
        desk = self.desk
        if desk.fault:
            return f'<div class="kept"><b>The work stopped.</b>{look.esc(desk.fault)}</div>'
        if desk.worked is not None or desk.build is None:
            return ""
        p = desk.progress
        share = 0.0 if p is None or p.of < 1 else 100.0 * p.done / p.of
        what = "" if p is None else f"{look.esc(p.what)}{f', {p.done} of {p.of}' if p.of > 1 else ''}"
        return (f'<div class="s">Working it out: {what}. You can go on measuring.</div>'
                f'<div class="bar" aria-hidden="true"><i style="width:{share:.0f}%"></i></div>')

    def _tick(self) -> None:
        if not self._client.has_socket_connection:
            return  # a tab that lost its link is shown what it missed when it is back
        if self._busy is not None and not self._busy.is_deleted:
            said = self._busy_words()
            if said != self._busy.content:
                self._busy.set_content(said)
        if self.desk.version == self._seen:
            return
        self._seen = self.desk.version
        self.bays = strip.bays_of(self.desk.build, self.desk.known_survey) or self.bays
        self.show_strip()
        self.show_nav()
        changed = getattr(self.module, "changed", None)
        if changed is not None:
            changed(self)
        else:
            self.show_place()
        self._tell("desk")

    def _tell(self, what: str) -> None:
        for heard in self._listeners:
            heard(what)

    def _kept_look(self) -> None:
        ui.run_javascript(f"trialfit.look({self.mode!r}, {self.units!r})")

    def _worst_bay(self) -> int:
        worked = self.desk.worked or self.desk.last
        if worked is not None and self.bays is not None:
            for act in worked.acts:
                if act.station_mm is not None:
                    return self.bays.of(act.station_mm)
        return strip.BAYS - 2


def _said(element: ui.html, content: str) -> None:
    """Change what an element says, if it says anything else."""
    if element.content != content:
        element.set_content(content)


def _lit(button: ui.element, on: bool) -> None:
    if on != ("on" in button.classes):
        button.classes(**({"add": "on"} if on else {"remove": "on"}))


def _js(text: str) -> str:
    import json

    return json.dumps(text).replace("<", "\\u003c")


def look_of(request: Request, desk: Desk) -> tuple[str, str]:
    """Mode and units as this browser had them last; those of the build when it had none."""
    mode, _, system = request.cookies.get(LOOK_COOKIE, "").partition(".")
    build = desk.build
    return (mode if mode in look.MODES else "night",
            system if system in look.SYSTEMS else ("metric" if build is None else build.settings.units))


async def open_tab(desk: Desk, request: Request, place: str, bay: int | None, thing: str) -> None:
    """Build one tab."""
    mode, system = look_of(request, desk)
    await asyncio.to_thread(desk.survey)
    page = Page(desk, system=system, mode=mode, place=place, bay=bay, thing=thing)

    def went(event: object) -> None:
        said = getattr(event, "args", None)
        if isinstance(said, dict):
            to, at = str(said.get("place", "Next")), said.get("bay")
            page.place = to if to in PLACES or to in BEHIND else "Next"
            page.thing = str(said.get("thing", ""))[:200]
            if isinstance(at, int) and 0 <= at < strip.BAYS:
                page.bay = at
            page.show_all()
            page._tell("bay")

    ui.on("trialfit-back", went)
    ui.on("trialfit-taken", lambda event: page.go("Tape", thing=f"answer:{str(event.args)[:40]}"))
    page.build()
    await page.ready()
