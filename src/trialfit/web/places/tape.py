"""What did I read: one reading on a keypad, then the survey's answer. The pad itself runs in the browser, so that a
reading typed without a link is kept and sent when the link is back."""

import json
from collections.abc import Iterable

from nicegui import ui

from trialfit.buildfile.notebook import SIGN_WORDS
from trialfit.findings import Verdict
from trialfit.vehicle import DEFAULT_INSTRUMENTS, ReadingKind
from trialfit.vehicle.reading import DEFAULT_FOR_KIND
from trialfit.web import look
from trialfit.web.desk import ReadingAnswer
from trialfit.web.page import Page

_KIND_WORDS = {
    ReadingKind.TAPE: "Point to point", ReadingKind.HEIGHT: "Height", ReadingKind.OFFSET: "Offset",
    ReadingKind.STATION: "Station", ReadingKind.ANGLE: "Slope", ReadingKind.SIZE: "Size",
}  # fmt: skip
_MEASURES = {ReadingKind.ANGLE: ("angle",), ReadingKind.SIZE: ("size", "length")}
_SIDES = {ReadingKind.OFFSET: ("left", "right"), ReadingKind.STATION: ("behind", "ahead"),
          ReadingKind.ANGLE: ("up", "down")}  # fmt: skip
_FRACTIONS = {1: (1, 8), 2: (1, 4), 3: (3, 8), 4: (1, 2), 5: (5, 8), 6: (3, 4), 7: (7, 8)}


def reading_thing(kind: str, points: Iterable[str], size: str = "") -> str:
    """The ``thing`` that opens the pad on one reading.

    >>> reading_thing("tape", ("eye.L", "pad.L"))
    'read:tape:eye.L:pad.L'
    """
    return ":".join(["read", kind, *(points if not size else (size,))])


def again_thing(identity: str) -> str:
    """The ``thing`` that opens the pad on a reading that gives way to the new one."""
    return f"again:{identity}"


def show(page: Page) -> None:
    """The pad, or the answer to the reading just written down."""
    if page.thing.startswith("answer:"):
        answer = page.desk.answers.get(page.thing.removeprefix("answer:"))
        if answer is not None:
            page.main_classes("tape")
            _answer(page, answer)
            return
    page.main_classes("tape")
    look.words("Tape", "hide", tag="h1")
    look.put(_form(page)).style("width:100%")
    ui.run_javascript("trialfit.pad()")


def changed(page: Page) -> None:
    """A pad with something typed in it stays; an answer follows the work."""
    if page.thing.startswith("answer:"):
        page.show_place()


# -- the pad --------------------------------------------------------------------------------------------------------


def _wanted(page: Page) -> dict[str, object]:
    """Which reading the pad is opened on."""
    words = page.thing.split(":")
    if words[0] == "read" and len(words) > 1:
        return {"kind": words[1], "points": words[2:], "insteadOf": ""}
    if words[0] == "again" and page.desk.build is not None:
        identity = page.thing.removeprefix("again:")
        one = next((r for r in page.desk.build.readings if r.identity == identity), None)
        if one is not None:
            return {"kind": one.kind.value, "points": [one.size] if one.size else list(one.points),
                    "insteadOf": identity, "by": one.instrument.name}
    return {}


def _points(page: Page) -> list[tuple[str, list[str]]]:
    """Hardpoints by bay, those of the present bay first; those without a place last."""
    survey = page.desk.known_survey
    build = page.desk.build or (None if survey is None else survey.build)
    if build is None:
        return []
    groups: dict[str, list[str]] = {}
    if page.bays is not None:
        order = [page.bay, *(i for i in range(len(page.bays.names)) if i != page.bay)]
        groups = {page.bays.names[i]: [] for i in order}
    for name in sorted(build.hardpoint_names(), key=str.casefold):
        if survey is not None and survey.has(name) and page.bays is not None:
            groups[page.bays.names[page.bays.of(float(survey.point(name)[0]))]].append(name)
        else:
            groups.setdefault("No place yet", []).append(name)
    return [(bay, names) for bay, names in groups.items() if names]


def _settings(page: Page) -> dict[str, object]:
    build = page.desk.build
    instruments = dict(DEFAULT_INSTRUMENTS)
    if build is not None:
        instruments |= {r.instrument.name: r.instrument for r in build.readings}
    kinds = {}
    for kind in ReadingKind:
        measures = _MEASURES.get(kind, ("length",))
        kinds[kind.value] = {
            "ends": 2 if kind in (ReadingKind.TAPE, ReadingKind.ANGLE) else 1, "words": _KIND_WORDS[kind],
            "sides": [s for s in _SIDES.get(kind, ()) if s in SIGN_WORDS[kind]],
            "by": [i.name for i in instruments.values() if i.measures in measures],
            "usual": DEFAULT_FOR_KIND[kind], "unit": "deg" if kind is ReadingKind.ANGLE else "",
        }  # fmt: skip
    sizes = [] if build is None else list(dict.fromkeys(r.size for r in build.readings if r.size))
    return {"kinds": kinds, "points": _points(page), "sizes": sizes, "wanted": _wanted(page),
            "bays": list(page.bays.names) if page.bays else [],
            "unit": "in" if page.units == "inch" else "mm"}  # fmt: skip


def _form(page: Page) -> str:
    settings = look.esc(json.dumps(_settings(page)))
    name = '<input type="text" class="both" data-new="{0}" aria-label="Name of the new {1}" placeholder="name of it">'
    return f"""<form data-pad="{settings}" autocomplete="off" style="display:flex;flex-direction:column;gap:8px">
<div class="ends">
<select data-kind aria-label="What is read"></select><select data-by aria-label="Read with"></select>
<select data-a aria-label="First point"></select><select data-b aria-label="Second point"></select>
<select data-side aria-label="Which way"></select>
{name.format("a", "first point")}{name.format("b", "second point")}
</div>
<div class="says"><input type="text" data-says inputmode="none" aria-label="The reading" placeholder="–"
 enterkeyhint="done"><small data-other></small></div>
<div data-inch></div>
{_inch_pad()}{_mm_pad()}
<button type="button" class="go" data-k="write"><span class="two"><span>Write it down</span>
<span aria-hidden="true">→</span></span></button>
<div data-done class="s" role="status"></div>
<div data-rows></div>
<label class="alt photo">A photo with it
<input type="file" data-photo accept="image/jpeg,image/png,image/webp" capture="environment" class="hide"></label>
</form>"""


def _keys(keys: Iterable[tuple[str, str, str, str]]) -> str:
    return "".join(f'<button type="button" class="{c}" data-k="{k}" aria-label="{aria}">{text}</button>'
                   for k, text, c, aria in keys)


def _fraction(top: int, bottom: int) -> str:
    return f'<span class="fr"><i>{top}</i><b></b><i>{bottom}</i></span>'


def _inch_pad() -> str:
    def eighth(n: int) -> tuple[str, str, str, str]:
        top, bottom = _FRACTIONS[n]
        return f"e{n}", _fraction(top, bottom), "f", f"{top}/{bottom}"

    def digits(row: str) -> list[tuple[str, str, str, str]]:
        return [(d, d, "", d) for d in row]

    rows = [*digits("123"), eighth(1), eighth(2), *digits("456"), eighth(3), eighth(4), *digits("789"), eighth(5),
            eighth(6), ("back", "rub<br>out", "w", "rub out"), ("0", "0", "", "0"), ("e0", "even", "w", "even"),
            eighth(7),
            ("+16", "+ " + _fraction(1, 16), "f", "and 1/16"), ("shy", "shy of it", "w c2", "shy of it, 1/32 less"),
            ("strong", "strong", "w c3", "strong, 1/32 more")]  # fmt: skip
    return f'<div class="pad" data-for="in">{_keys(rows)}</div>'


def _mm_pad() -> str:
    rows = [*((d, d, "", d) for d in "123456789"), ("back", "rub out", "w", "rub out"), ("0", "0", "", "0"),
            (".", ".", "", "point")]  # fmt: skip
    return f'<div class="pad mm" data-for="mm">{_keys(rows)}</div>'


# -- the answer -----------------------------------------------------------------------------------------------------


def _answer(page: Page, answer: ReadingAnswer) -> None:
    look.words(f"Written down: {answer.line}", "k")
    if not answer.counted:
        look.words("Not written down" if answer.reason != "rubbed out" else "Rubbed out", "h1", tag="h1")
        if answer.reason != "rubbed out":
            look.words(page.told(answer.reason))
        look.go_key("Read on", lambda: page.go("Tape"))
        return
    taken = answer.taken
    if taken is None:
        look.words("It is in the notebook.", "h1", tag="h1")
        if page.desk.loaded.problems:
            look.words("What it says waits until the lines that cannot be read are mended.")
        look.go_key("Read on", lambda: page.go("Tape"))
        return
    look.put(f"{look.mark(taken.verdict, 34)} {look.esc(taken.head)}", "h1", "h1")
    look.words(page.told(taken.says))
    if taken.slip:
        look.put(f"<b>{look.esc(page.told(taken.slip))}</b>")
    with ui.element("div").classes("rule"):
        for sentence in taken.doubts:
            look.words(page.told(sentence))
    suspect = taken.suspect
    if suspect is not None:
        look.go_key("Measure again" if suspect.reading == taken.identity else f"Measure {suspect.reading} again",
                    lambda: page.go("Tape", thing=again_thing(suspect.reading)))
        look.key("What is next?", lambda: page.go("Next"))
    elif taken.verdict is Verdict.CANNOT_TELL and taken.next_reading is not None:
        offer = taken.next_reading
        look.go_key(f"Measure {offer.words}", lambda: page.go("Tape", thing=reading_thing(
            offer.kind.value, offer.points, offer.size)))
        look.key("What is next?", lambda: page.go("Next"))
    else:
        if taken.next_words and taken.next_reading is None:
            look.words(page.told(f"Still missing. {taken.next_words[:1].upper()}{taken.next_words[1:]}."), "s")
            look.go_key("Read on", lambda: page.go("Tape"))
            look.key("What is next?", lambda: page.go("Next"))
        else:
            look.go_key("What is next?", lambda: page.go("Next"))
            look.key("Read on", lambda: page.go("Tape"))
    look.key("Rub that reading out", lambda: _rub_out(page, answer.ident))
    page.busy()


def _rub_out(page: Page, ident: str) -> None:
    reason = page.desk.rub_out(ident)
    if reason:
        page.say(f"Not rubbed out: {reason}.")
    else:
        page.show_place()
