"""Sums, one at a time: what is asked for, typed with units; the answer with its doubt, words, source and caution."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from nicegui import ui

from trialfit import units
from trialfit.findings import SURE
from trialfit.sums import Ask, Sum, all_sums, find_sum, work
from trialfit.units import DIMENSIONS
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places.bench_field import field

_INCH_UNITS = {"mm": "in", "N": "lbf", "kN": "lbf", "N*m": "lbf*ft", "MPa": "psi", "kPa": "psi", "kg": "lb",
               "km/h": "mph", "mm2": "in2", "kN/mm": "lbf/in", "kW": "hp", "mm4": "in4", "GPa": "psi",
               "kg/m": "lb/ft"}  # fmt: skip
"""For each unit that the register answers in, the one that an inch builder reads."""
_METRIC_EXAMPLES = {"length": "67.1 mm", "force": "1100 N", "torque": "47 N*m"}
_INCH_EXAMPLES = {"length": "2 5/8 in", "mass": "187 lb", "pressure": "260 psi", "power": "400 hp", "speed": "65 mph",
                  "area": "1.9 in2", "force": "250 lbf", "torque": "35 lbf*ft", "stiffness": "11400 lbf/in",
                  "density": "0.284 lb/in3", "temperature": "1300 degF"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Answered:
    """A sum that was worked: the amount, its give-or-take ("" when no input had one), and the suspicions to say."""

    amount: str
    doubt: str
    suspicions: tuple[str, ...]


class Refused(Exception):
    """What was typed cannot be worked: for each input that is wrong, why; ``whole`` when all of them together are."""

    def __init__(self, by_key: Mapping[str, str], whole: str = "") -> None:
        super().__init__(whole or "; ".join(by_key.values()))
        self.by_key = dict(by_key)
        self.whole = whole


def answered(sum_: Sum, typed: Mapping[str, str], system: str, fraction: int) -> Answered:
    """Work one sum from what was typed.

    Parameters
    ----------
    typed : mapping
        input key to text; an input that may be left out may be ""
    system : str
        ``metric`` or ``inch``, in which the answer is told
    fraction : int
        denominator of inch fractions [-]

    Raises
    ------
    Refused
        naming every input that cannot be read, or why the sum has no answer
    """
    values: dict[str, float | str] = {}
    doubts: dict[str, float] = {}
    wrong: dict[str, str] = {}
    suspicions: list[str] = []
    for ask in sum_.asks:
        text = typed.get(ask.key, "").strip()
        if not text:
            if ask.default is None:
                wrong[ask.key] = f"still needed: {_example(ask, system)}"
            continue
        if ask.dimension == "text":
            if ask.choices and text not in ask.choices:
                wrong[ask.key] = f'"{text}" is not one of {", ".join(ask.choices)}'
            values[ask.key] = text
            continue
        try:
            quantity, sd = units.parse_with_doubt(text, ask.dimension)
        except units.UnitsError as error:
            wrong[ask.key] = str(error)
            continue
        values[ask.key] = quantity.value
        suspicions += quantity.suspicions
        if sd is not None:
            doubts[ask.key] = sd
    if wrong:
        raise Refused(wrong)
    try:
        result = work(sum_, values, doubts)
    except ValueError as error:
        raise Refused({}, str(error)) from None
    unit = _INCH_UNITS.get(sum_.unit, sum_.unit) if system == "inch" else sum_.unit
    dimension = sum_.dimension if unit else None
    step = "temperature-difference" if dimension == "temperature" else dimension
    doubt, digits = "", None
    if result.sd:
        digits = _digits(units.in_unit(SURE * result.sd, unit, step))
        doubt = units.show(SURE * result.sd, unit, digits, step)
    amount = units.show(result.value, unit, digits, dimension)
    if dimension == "length" and system == "inch":
        amount = f"{amount} ({units.inch_length_text(result.value, fraction)})"
    return Answered(amount, doubt, tuple(suspicions))


def _digits(doubt: float) -> int:
    """Digits after the point that show the first two figures of a doubt.

    >>> _digits(0.0266), _digits(1.4), _digits(310.0)
    (3, 1, 0)
    """
    return max(0, 1 - math.floor(math.log10(doubt)))


def _example(ask: Ask, system: str) -> str:
    if ask.choices:
        return " or ".join(ask.choices)
    d = DIMENSIONS[ask.dimension]
    if ask.dimension == "text":
        return "a word or a designation"
    words = (_INCH_EXAMPLES if system == "inch" else _METRIC_EXAMPLES).get(ask.dimension, d.example)
    return f"{d.noun}, such as {words}"


def show(page: Page, name: str) -> None:
    """The register, or one sum of it."""
    if not name:
        _register(page)
        return
    look.key('<span aria-hidden="true">←</span> All sums', lambda: page.go("Bench", thing="sums"), "back", markup=True)
    try:
        found = find_sum(name)
    except KeyError as error:
        look.words("No such sum", "h1", tag="h1")
        look.words(f"{error.args[0]}.")
        return
    _One(page, found).show()


def _register(page: Page) -> None:
    look.words("Sums, one at a time", "h1", tag="h1")
    look.words("Everything the program works out is one of these. Each can be worked alone and held against a "
               "handbook.", "s")
    field("Look for", "bench-find", str(page.kept.get("bench find", "")), lambda text: fill(text),
          hint="whirl, bolt circle, tyre ...", every_s=0.2)
    listed = ui.element("div").classes("benchlist").props('data-sums role="region" aria-label="Sums" aria-live=polite')

    def fill(text: str) -> None:
        page.kept["bench find"] = text
        wanted = text.lower().split()
        listed.clear()
        with listed:
            count = 0
            for one in all_sums():
                said = f"{one.name} {one.title} {one.gives} {' '.join(a.meaning for a in one.asks)}".lower()
                if not all(w in said for w in wanted):
                    continue
                count += 1
                label = (f'<span class="in"><b>{look.esc(one.title)}</b><span class="s">{look.esc(one.name)}: '
                         f'{look.esc(", ".join(a.key.replace("_", " ") for a in one.asks))}</span>'
                         '<i aria-hidden="true">→</i></span>')
                look.key(label, lambda name=one.name: page.go("Bench", thing=f"sum:{name}"), "benchrow", markup=True)
            if not count:
                look.words("No sum has all of these words. Try one word of it.", "s")

    fill(str(page.kept.get("bench find", "")))


class _One:
    """One sum on the page; what was typed stays while the tab is open, also when the units change."""

    def __init__(self, page: Page, sum_: Sum) -> None:
        self.page = page
        self.sum = sum_
        typed = page.kept.setdefault(f"bench sum {sum_.name}", {})
        assert isinstance(typed, dict)
        self.typed: dict[str, str] = typed
        self.wrong: dict[str, ui.html] = {}

    def show(self) -> None:
        look.words(self.sum.title, "h1", tag="h1")
        look.words(f"Gives the {self.sum.gives}.", "s")
        for ask in self.sum.asks:
            self._ask(ask)
        look.words("Behind an amount you may write how well you know it: 1230 mm +- 3 mm.", "s")
        look.go_key("Work it out", self._work, "=")
        self.out = ui.element("div").props('role="status"').style(
            "width:100%;display:flex;flex-direction:column;gap:12px")
        if self.typed and all(self.typed.get(a.key) for a in self.sum.asks if a.default is None):
            self._work()
        with ui.element("div").classes("rule"):
            look.put(f"<b>How:</b> {look.esc(self.sum.words)}", tag="p")
            look.put(f"<b>Source:</b> {look.esc(self.sum.source)}", tag="p")
            if self.sum.caution:
                look.put(f"<b>Caution:</b> {look.esc(self.page.told(self.sum.caution))}", "caution")

    def _ask(self, ask: Ask) -> None:
        mark = f"bench-{ask.key}"
        may = "" if ask.default is None else ", may be left out"
        default = ask.default if isinstance(ask.default, str) else ""
        field(look.capital(ask.key.replace("_", " ")), mark, self.typed.get(ask.key, default if ask.choices else ""),
              lambda text: self.typed.__setitem__(ask.key, text), says=f"{look.capital(ask.meaning)}{may}",
              hint=_example(ask, self.page.units), choices=ask.choices,
              enter="setTimeout(() => document.querySelector('.page button.go').click(), 250);")
        self.wrong[ask.key] = look.put("", "bad").props('role="alert"')
        self.wrong[ask.key].set_visibility(False)

    def _work(self) -> None:
        for one in self.wrong.values():
            one.set_content("")
            one.set_visibility(False)
        self.out.clear()
        try:
            got = answered(self.sum, self.typed, self.page.units, self.page.fraction)
        except Refused as refused:
            for name, why in refused.by_key.items():
                self.wrong[name].set_content(look.esc(why))
                self.wrong[name].set_visibility(True)
            with self.out:
                look.words(self.page.told(refused.whole) if refused.whole else
                           "Not worked yet: mend what is marked.", "kept")
            return
        with self.out, ui.element("div").classes("rule"):
            look.words(got.amount, "big").props("data-answer")
            look.words(look.capital(self.sum.gives), "k")
            if got.doubt:
                look.words(f"± {got.doubt}, 19 times in 20, from how well the inputs are known. What the sum itself "
                           "leaves out is not in it.")
            else:
                look.words("How well the inputs are known was not said, so its doubt is not known.", "s")
            for odd in got.suspicions:
                look.words(f"Mind: {odd}.", "kept")
