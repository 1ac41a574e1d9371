"""May I cut, order, machine: every one-way step as a lock-out tag, front to back, with the findings it leans on."""

import re
from collections.abc import Sequence

from nicegui import ui

from trialfit.doubt.gates import Gate, Step
from trialfit.doubt.odds import ENOUGH, odds_words
from trialfit.findings import Finding, Verdict
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places.tape import reading_thing

_LEANS = 3
_ASIDE = re.compile(r"\s*\([^()]*\)")


def show(page: Page) -> None:
    """The tags."""
    worked = page.desk.worked or page.desk.last
    look.words("May I?", "hide", tag="h1")
    look.words("One-way steps, front to back", "k", tag="h2")
    page.busy()
    if worked is None:
        if page.desk.loaded.problems:
            look.words("Not while the build file has lines that cannot be read.", "h2")
        return
    if not worked.gates:
        look.words("No cut, order or machining is known yet. Lay a route, or write parts and joints into the build "
                   "file.")
    if page.desk.worked is None and page.desk.loaded.problems:
        look.words("These are from before the lines that cannot be read. Cut nothing by them.", "kept")
    elif page.desk.worked is None:
        look.words("These are from before your last change. Wait for the new answer before you cut.", "kept")
    for gate in worked.gates:
        _tag(page, gate, settled=page.desk.worked is not None)


def _tag(page: Page, gate: Gate, settled: bool) -> None:
    may = gate.may and settled
    with ui.element("section").classes("tag free" if may else "tag"):
        if gate.station_mm is not None and page.bays is not None:
            look.words(page.bays.names[page.bays.of(gate.station_mm)], "k")
        look.words(gate.words if may or not gate.may else f"Do not {gate.step} yet", "word", tag="h3")
        look.words(f"{gate.what[:1].upper()}{gate.what[1:]}", "h2")
        if not may and gate.odds is not None:
            look.words(f"{look.capital(odds_words(gate.odds))}. It needs {odds_words(ENOUGH)} or better.")
            look.put(look.tally(gate.odds))
        open_ = [f for f in gate.leans if f.verdict is not Verdict.FITS]
        if may and open_:
            look.words(f"Open, but not what holds {'an order' if gate.step is Step.ORDER else 'this step'}:", "s")
        _leans(page, open_[:_LEANS])
        rest = [*open_[_LEANS:], *(f for f in gate.leans if f.verdict is Verdict.FITS)]
        if rest:
            with ui.element("details"):
                fits = sum(f.verdict is Verdict.FITS for f in rest)
                more = f"{len(rest)} more" if open_ else str(len(rest))
                look.words(f"It leans on {more}, {'all of which fit' if fits == len(rest) else f'{fits} of which fit'}",
                           "", "summary")
                _leans(page, rest)
        if may:
            look.words(_twice(gate), "s")
        elif gate.again:
            stem = gate.stem
            then = "" if gate.then is None else odds_words(gate.then).removesuffix(" it comes out right")
            look.go_key(f"Measure {gate.again}", lambda: page.go("Tape", thing=reading_thing(*stem)),
                        f"then {then}" if then else "→")
        elif open_:
            bay = page.bays.of(gate.station_mm) if gate.station_mm is not None and page.bays is not None else None
            look.go_key("See what holds it", lambda: page.go("Bench" if bay is None else "Vehicle", bay, open_[0].name))


def _twice(gate: Gate) -> str:
    if gate.step is Step.ORDER:
        return "Read the order sheet against the parts once more before it goes out."
    return "Measure twice: read the size once more before you begin. Local rules and licensed work come first."


def _leans(page: Page, findings: Sequence[Finding]) -> None:
    if not findings:
        return
    rows = "".join(f"<li>{look.mark(f.verdict, 22)}<span>{look.esc(page.told(_short(f)))}</span></li>"
                   for f in findings)
    look.put(f"<ul>{rows}</ul>")


def _short(f: Finding) -> str:
    """What a finding says, without the sources in brackets: those stand with the finding itself."""
    return look.capital(_ASIDE.sub("", f.reason))
