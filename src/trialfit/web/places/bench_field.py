"""One line to type into, or one choice to make; what is typed there is never laid over by the page."""

from collections.abc import Callable, Sequence

from nicegui import ui

from trialfit.web import look

LONGEST = 200
"""Longest text taken from one line [characters]."""
_ENTER = "(e) => { if (e.key === 'Enter' && e.target.tagName === 'INPUT') { e.target.blur(); %s } }"


def field(label: str, ident: str, value: str, heard: Callable[[str], None], *, says: str = "", hint: str = "",
          choices: Sequence[str] = (), at_once: bool = True, enter: str = "",
          every_s: float = 0.0) -> None:  # fmt: skip
    """A label, a sentence under it, and a line to type into.

    The line stands in markup of its own, which the page does not touch again: one laid out by the page itself would be
    set back to its first text whenever anything else changes.

    Parameters
    ----------
    ident : str
        of our own making: letters, digits, underscores and hyphens
    heard : callable
        told the text: at every key when ``at_once``, else when the line is left
    hint : str
        stands in the line while it is empty
    choices : sequence of str
        when there are any, one of them is chosen in place of typing
    enter : str
        script of our own that runs when Enter is pressed
    every_s : float
        least time between two tellings [s]; the last text is always told
    """
    described = f' aria-describedby="{ident}-says"' if says else ""
    under = f'<div class="s" id="{ident}-says">{look.esc(says)}</div>' if says else ""
    if choices:
        options = "".join(f'<option value="{look.esc(c)}"{" selected" if c == value else ""}>{look.esc(c)}</option>'
                          for c in (*(() if value in choices else ("",)), *choices))
        box = f'<select id="{ident}"{described}>{options}</select>'
    else:
        box = (f'<input type="text" id="{ident}"{described} autocomplete="off" autocapitalize="off" spellcheck="false" '
               f'maxlength="{LONGEST}" placeholder="{look.esc(hint)}" value="{look.esc(value)}">')
    put: ui.html = look.put(f'<label for="{ident}">{look.esc(label)}</label>{under}{box}', "ask")
    put.on("input" if at_once and not choices else "change", lambda event: heard(str(event.args)[:LONGEST]),
           js_handler="(e) => emit(e.target.value)", throttle=every_s)
    put.on("keydown", lambda _: None, js_handler=_ENTER % enter)
