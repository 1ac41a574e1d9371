"""The build file: written here with its faults at their lines; two changes of one text shown three ways, none lost."""

from collections.abc import Callable
from dataclasses import dataclass, field

from nicegui import run, ui

from trialfit.buildfile import Loaded, read
from trialfit.web import look
from trialfit.web.desk import Clash
from trialfit.web.page import Page
from trialfit.web.places.bench_three_way import BASE, BOTH, MINE, THEIRS, Stretch, put_together, stretches

_SHOWN = 30
"""Faults listed; the others are marked at their lines all the same."""
_WAIT_S = 0.6
_WORDS = {MINE: "Mine", THEIRS: "Theirs", BOTH: "Both", BASE: "As it was"}


@dataclass
class Draft:
    """Text that is being written: of which revision it began, and what was chosen where two changes met."""

    seen: int
    text: str
    clash: Clash | None = None
    chosen: dict[int, str] = field(default_factory=dict)


class _Editing:
    """What is on the screen of one tab."""

    def __init__(self) -> None:
        self.editor: ui.codemirror | None = None
        self.problems: ui.element | None = None
        self.state: ui.element | None = None
        self.keys: ui.element | None = None
        self.read = 0
        self.shown: tuple[bool, bool, bool, bool] | None = None


def _draft(page: Page) -> Draft:
    draft = page.kept.get("bench draft")
    if not isinstance(draft, Draft):
        draft = page.kept["bench draft"] = Draft(page.desk.revision, page.desk.text)
    return draft


def _own(page: Page, draft: Draft) -> bool:
    """Whether there is something typed that is not in the file."""
    return draft.text != page.desk.text


def _fresh(page: Page) -> Draft:
    draft = _draft(page)
    draft.seen, draft.text, draft.clash = page.desk.revision, page.desk.text, None
    draft.chosen.clear()
    return draft


def show(page: Page, line: int | None) -> None:
    """The editor; or, where two changes met, the three texts."""
    draft = _draft(page)
    if draft.clash is not None:
        _three(page, draft)
        return
    if draft.seen != page.desk.revision and page.kept.get("bench typed") is not True:
        draft = _fresh(page)
    _editor(page, draft, line)


def changed(page: Page) -> None:
    """The file changed: taken into the editor when nothing was typed there, else only said."""
    draft = _draft(page)
    if draft.clash is not None:
        return
    editing = page.kept.get("bench editing")
    if not isinstance(editing, _Editing) or editing.editor is None or editing.editor.is_deleted:
        page.show_place()
        return
    if draft.seen != page.desk.revision and page.kept.get("bench typed") is not True:
        draft = _fresh(page)
        editing.editor.set_value(draft.text)
        _told(page, editing, page.desk.loaded)
    _state_and_keys(page, editing)


def _editor(page: Page, draft: Draft, line: int | None) -> None:
    editing = _Editing()
    page.kept["bench editing"] = editing
    ui.element("div").classes("broad").style("display:none")
    look.words("The build file", "h1", tag="h1")
    page.busy()
    with ui.element("div").classes("editing"):
        with ui.element("div"):
            editing.editor = ui.codemirror(
                draft.text, language="YAML", theme="basicDark" if page.mode == "night" else "basicLight", indent="  ",
                line_wrapping=True, on_change=lambda event: _typed(page, editing, str(event.value)),
                keymap={"Mod-s": lambda _: _apply(page)}).classes("text")
            editing.state = ui.element("div").props('role="status"')
            editing.keys = ui.element("div").style("display:flex;flex-direction:column;gap:8px;width:100%")
        with ui.element("div"):
            editing.problems = ui.element("div").props('role="region" aria-label="What cannot be read" '
                                                       "aria-live=polite data-problems").style(
                "display:flex;flex-direction:column;gap:10px;width:100%")
            look.words("The words of this file, and what may stand where: see the chapter on the build file in the "
                       "manual. A text with faults can be kept; nothing is worked out from it until they are mended.",
                       "s")
    _told(page, editing, page.desk.loaded if draft.text == page.desk.text else read(draft.text, page.desk.path.name))
    _state_and_keys(page, editing)
    ui.run_javascript(f"""(async () => {{
      for (let i = 0; i < 100; i++) {{
        const box = document.getElementById('c{editing.editor.id}'), text = box && box.querySelector('.cm-content');
        if (text) {{ text.setAttribute('aria-label', 'Text of the build file'); return; }}
        await new Promise((r) => setTimeout(r, 50));
      }}
    }})()""")
    wrong = page.desk.loaded.problems if draft.text == page.desk.text else ()
    if line is not None or wrong:
        _to_line(editing, wrong[0].place.line if line is None else line, draft.text)


def _to_line(editing: _Editing, line: int, text: str) -> None:
    editor = editing.editor
    if editor is None or not 1 <= line <= max(1, text.count("\n") + 1):
        return
    ui.run_javascript(f"""(async () => {{
      for (let i = 0; i < 100; i++) {{
        const it = getElement({editor.id});
        if (it && it.editor) {{
          const at = it.editor.state.doc.line(Math.min({line}, it.editor.state.doc.lines)).from;
          it.editor.dispatch({{selection: {{anchor: at}}, scrollIntoView: true}});
          it.revealLine({line});
          if (matchMedia('(pointer: fine)').matches) it.editor.focus();
          return;
        }}
        await new Promise((r) => setTimeout(r, 50));
      }}
    }})()""")


def _typed(page: Page, editing: _Editing, text: str) -> None:
    draft = _draft(page)
    if text == draft.text:
        return
    draft.text = text
    page.kept["bench typed"] = _own(page, draft)
    editing.read += 1
    mark = editing.read

    async def look_at_it() -> None:
        if mark != editing.read:
            return
        found = await run.io_bound(read, text, page.desk.path.name)
        if mark == editing.read and editing.problems is not None and not editing.problems.is_deleted and found:
            _told(page, editing, found)

    assert editing.problems is not None
    with editing.problems:
        ui.timer(_WAIT_S, look_at_it, once=True)
    _state_and_keys(page, editing)


def _told(page: Page, editing: _Editing, found: Loaded) -> None:
    """Faults listed beside the text, and marked at their lines."""
    assert editing.problems is not None
    assert editing.editor is not None
    editing.problems.clear()
    lines: dict[int, list[str]] = {}
    for problem in found.problems:
        said = f"{problem.typed}: {problem.message}" if problem.typed else problem.message
        lines.setdefault(problem.place.line, []).append("; ".join(
            t for t in (said, f"expected {problem.expected}" if problem.expected else "", problem.mend) if t))
    doubted: dict[int, list[str]] = {}
    for one in found.suspicions:
        doubted.setdefault(one.place.line, []).append(one.message)
    count = max(1, found.text.count("\n") + 1)
    editing.editor.decorations = [
        *({"kind": "line", "line": n, "class": "wrong"} for n in lines if 1 <= n <= count),
        *({"kind": "line", "line": n, "class": "doubted"} for n in doubted if 1 <= n <= count and n not in lines)]
    editing.editor.line_tooltips = {n: "\n".join(t) for n, t in {**doubted, **lines}.items() if 1 <= n <= count}
    with editing.problems:
        if not found.problems:
            look.words("Every line can be read.", "k")
        else:
            n = len(found.problems)
            look.words("One line cannot be read" if n == 1 else f"{n} things cannot be read", "h2", tag="h2")
        for problem in found.problems[:_SHOWN]:
            typed = f"“{look.esc(problem.typed)}”: " if problem.typed else ""
            more = "; ".join(t for t in (f"expected {problem.expected}" if problem.expected else "", problem.mend) if t)
            label = (f"<b>Line {problem.place.line}</b><span>{typed}{look.esc(problem.message)}</span>"
                     f'<span class="s">{look.esc(more)}</span>')
            look.key(label, lambda at=problem.place.line: _to_line(editing, at, _draft(page).text), "problem",
                     markup=True)
        if len(found.problems) > _SHOWN:
            look.words(f"{len(found.problems) - _SHOWN} more below these.", "s")
        if found.suspicions and not found.problems:
            with ui.element("details").classes("opens plain"):
                look.words(f"{len(found.suspicions)} thing{'' if len(found.suspicions) == 1 else 's'} read, but odd",
                           "", "summary")
                with ui.element("div").classes("inner"):
                    for one in found.suspicions[:_SHOWN]:
                        look.key(f"<b>Line {one.place.line}</b><span>{look.esc(one.message)}</span>",
                                 lambda at=one.place.line: _to_line(editing, at, _draft(page).text), "rowkey",
                                 markup=True)


def _state_and_keys(page: Page, editing: _Editing) -> None:
    """Laid out anew only when they say something else, so that no key is taken away under the finger."""
    draft = _draft(page)
    now = (_own(page, draft), draft.seen == page.desk.revision, page.desk.can_undo, page.desk.can_redo)
    if now != editing.shown:
        editing.shown = now
        _state(page, editing)
        _keys(page, editing)


def _state(page: Page, editing: _Editing) -> None:
    draft = _draft(page)
    assert editing.state is not None
    editing.state.clear()
    with editing.state:
        if not _own(page, draft):
            look.words("Everything here is in the file.", "s")
        elif draft.seen != page.desk.revision:
            look.words("The file was changed meanwhile, on the disk or in another tab. What you typed is still here; "
                       "put it in, and both are shown side by side.", "kept")
        else:
            look.words("Typed, not yet in the file.", "s")


def _keys(page: Page, editing: _Editing) -> None:
    draft = _draft(page)
    assert editing.keys is not None
    editing.keys.clear()
    with editing.keys:
        if _own(page, draft):
            look.go_key("Put it into the file", lambda: _apply(page))
            look.key("Put it aside, show the file as it stands", lambda: _leave(page))
        left = page.kept.get("bench left")
        if isinstance(left, str) and left != page.desk.text and not _own(page, draft):
            look.key("Show again what I put aside", lambda: _take_up(page))
        with ui.element("div").classes("twokeys"):
            for words, can, step in (("Undo", page.desk.can_undo, page.desk.undo),
                                     ("Redo", page.desk.can_redo, page.desk.redo)):
                one = look.key(words, (lambda step=step, words=words: _step(page, step, words)) if can else None)
                if not can or _own(page, draft):
                    one.props["disabled"] = True


async def _apply(page: Page) -> None:
    draft = _draft(page)
    clash = await run.io_bound(lambda: page.desk.apply(draft.text, seen=draft.seen))
    _after(page, clash, "It is in the file.")


async def _step(page: Page, step: Callable[[], Clash | None], words: str) -> None:
    clash = await run.io_bound(step)
    _after(page, clash, "The last change is taken back." if words == "Undo" else "The change is there again.")


def _after(page: Page, clash: Clash | None, done: str) -> None:
    draft = _draft(page)
    if clash is None:
        page.kept["bench typed"] = False
        _fresh(page)
        count = len(page.desk.loaded.problems)
        if count:
            done += (" One line of it cannot be read" if count == 1 else f" {count} things in it cannot be read") + (
                "; nothing is worked out until that is mended.")
        page.say(done)
    elif clash.theirs == clash.base:
        page.say(clash.reason)
    else:
        draft.clash = clash
        draft.chosen.clear()
        page.show_place()


def _leave(page: Page) -> None:
    _put_aside(page, _draft(page).text)
    page.show_place()


def _put_aside(page: Page, text: str) -> None:
    """The file as it stands is shown; the text that gives way stays in hand while the tab is open."""
    page.kept["bench typed"] = False
    page.kept["bench left"] = text
    _fresh(page)


def _take_up(page: Page) -> None:
    """What was put aside is written on, from the file as it stands now."""
    draft = _draft(page)
    draft.seen, draft.text = page.desk.revision, str(page.kept.pop("bench left"))
    page.kept["bench typed"] = True
    page.show_place()


# -- three texts ----------------------------------------------------------------------------------------------------


def _three(page: Page, draft: Draft) -> None:
    clash = draft.clash
    assert clash is not None
    parts = stretches(clash.base, clash.mine, clash.theirs)
    parted = [(n, s) for n, s in enumerate(parts) if s.parted]
    both = [n for n, s in parted if s.clash]
    ui.element("div").classes("broad").style("display:none")
    look.words("Two changes met", "h1", tag="h1")
    look.words("While you were writing, the file was changed on the disk or in another tab. Nothing is lost: choose "
               "line by line, or take one text whole.")
    left = [n for n in both if n not in draft.chosen]
    look.words(f"{len(parted)} place{'' if len(parted) == 1 else 's'} differ{'s' if len(parted) == 1 else ''}; "
               + (f"{len(left)} of them changed by both and still to choose." if left else "all are chosen."),
               "k").props('role="status"')
    for number, one in parted:
        _stretch(page, draft, number, one)
    with ui.element("div").classes("rule broadkeys"):
        if left:
            look.words("Choose at every place that both changed; then it can be put in.", "s")
        else:
            look.go_key("Put this into the file", lambda: _settle(page, put_together(parts, draft.chosen)))
        with ui.element("div").classes("twokeys"):
            look.key("Take mine whole", lambda: _settle(page, clash.mine))
            look.key("Take theirs whole", lambda: _theirs(page))
        look.key("Go on writing mine", lambda: _go_on(page))
        look.words("A text that gives way is kept: undo brings back theirs, and yours is put aside.", "s")


def _stretch(page: Page, draft: Draft, number: int, one: Stretch) -> None:
    choice = draft.chosen.get(number) or one.usual

    def choose(word: str) -> None:
        draft.chosen[number] = word
        page.show_place()

    with ui.element("section").classes("three").props(f"data-stretch={number}"):
        said = "changed by both" if one.clash else "changed alike by both" if one.mine == one.theirs else (
            "changed by you" if one.mine != one.base else "changed by the other")
        look.words(f"Line {one.line}, {said}", "h2", tag="h2")
        with ui.element("div").classes("texts"):
            for word, lines in ((BASE, one.base), (MINE, one.mine), (THEIRS, one.theirs)):
                kept = word == choice or (choice == BOTH and word != BASE)
                with ui.element("div").classes("col kept" if kept else "col"):
                    look.put(f'<span class="k">{_WORDS[word]}{", taken" if kept else ""}</span>')
                    text = "".join(lines)
                    look.put(look.esc(text) if text else '<span class="s">nothing stands here</span>', tag="pre")
        with ui.element("div").classes("pick3").props(f'role="group" aria-label="What stands at line {one.line}"'):
            for word in (MINE, THEIRS, BOTH, BASE):
                key = look.key(_WORDS[word], lambda word=word: choose(word), "on" if word == choice else "")
                key.props["aria-pressed"] = "true" if word == choice else "false"


async def _settle(page: Page, text: str) -> None:
    """Put a text in over what stood there when the three were shown; when that changed again, they are shown anew."""
    draft = _draft(page)
    clash = draft.clash
    assert clash is not None
    if page.desk.text != clash.theirs:
        draft.clash = Clash(clash.theirs, text, page.desk.text, clash.reason)
        draft.chosen.clear()
        page.say("The file was changed once more meanwhile. Look again.")
        return
    seen = page.desk.revision
    again = await run.io_bound(lambda: page.desk.apply(text, seen=seen))
    if again is None:
        draft.clash = None
    _after(page, again, "It is in the file.")


def _theirs(page: Page) -> None:
    draft = _draft(page)
    assert draft.clash is not None
    _put_aside(page, draft.clash.mine)
    page.say("The file stands as the other wrote it. Yours is put aside and can be shown again.")


def _go_on(page: Page) -> None:
    """Back to my text, which now counts as begun from theirs only when it is put in and chosen."""
    draft = _draft(page)
    assert draft.clash is not None
    draft.text = draft.clash.mine
    draft.clash = None
    page.kept["bench typed"] = True
    page.show_place()
