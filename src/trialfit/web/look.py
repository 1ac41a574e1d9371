"""How the page looks: keys, verdict marks, chalk strokes, and every name shown as text, never as markup."""

import html
import math
from collections import Counter
from collections.abc import Callable
from typing import Any

from nicegui import ui

from trialfit import units
from trialfit.doubt.next_act import Face
from trialfit.doubt.odds import odds_words, of_twenty, places_mm
from trialfit.findings import RANK, SURE, Verdict

MODES = ("night", "day")
"""Dark garage and daylight."""
SYSTEMS = ("metric", "inch")
WORD = {Verdict.FITS: "Fits", Verdict.FITS_AFTER_WORK: "Fits after work", Verdict.DOES_NOT_FIT: "Does not fit",
        Verdict.CANNOT_TELL: "Cannot tell"}  # fmt: skip
_SETTLED = {Verdict.FITS: "yes", Verdict.DOES_NOT_FIT: "no"}


def esc(text: object) -> str:
    """Text as it is to be read, safe inside our own drawings and elements.

    >>> esc('<b>rail & "floor"</b>')
    '&lt;b&gt;rail &amp; &quot;floor&quot;&lt;/b&gt;'
    """
    return html.escape(str(text), quote=True)


def put(markup: str, classes: str = "", tag: str = "div") -> ui.html:
    """Our own markup; every name in it must have gone through :func:`esc`."""
    return ui.html(markup, sanitize=False, tag=tag).classes(classes)


def words(text: object, classes: str = "", tag: str = "div") -> ui.html:
    """Text as it is."""
    return put(esc(text), classes, tag)


def key(label: str, press: Callable[..., Any] | None, classes: str = "alt", *, markup: bool = False,
        aria: str = "") -> ui.element:  # fmt: skip
    """A button. ``classes``: ``go`` for the one yellow key of a card, ``alt`` for every other."""
    button = ui.element("button").classes(classes).props("type=button")
    if aria:
        button.props["aria-label"] = aria
    with button:
        put(label if markup else esc(label), tag="span")
    if press is not None:
        button.on("click", lambda _: press())
    return button


def label_of(button: ui.element) -> ui.html:
    """What stands on a key made by :func:`key`, to be changed in place."""
    label = button.default_slot.children[0]
    assert isinstance(label, ui.html)
    return label


def go_key(label: str, press: Callable[..., Any], beside: str = "→") -> ui.element:
    """The yellow key: what to press, and at its right what it brings."""
    hidden = ' aria-hidden="true"' if beside == "→" else ' style="white-space:nowrap"'
    return key(f'<span class="two"><span>{esc(label)}</span><span{hidden}>{esc(beside)}</span></span>', press, "go",
               markup=True)


def mark(verdict: Verdict, size: int = 26) -> str:
    """A verdict as two parts and what is between them: air; a wedge to take off; one through the other; a second face
    that is only dashed."""
    c = {Verdict.FITS: "var(--go)", Verdict.DOES_NOT_FIT: "var(--no)"}.get(verdict, "var(--ink)")
    drawn = {
        Verdict.FITS: f'<path d="M1 3h8v20H1zM19 3h8v20h-8z" fill="{c}"/>',
        Verdict.FITS_AFTER_WORK: f'<path d="M1 3h10v20H1z" fill="{c}"/><path d="M27 3v20H11z" fill="{c}"/>'
                                 f'<path d="M12 12l8-9" stroke="{c}" stroke-width="2.5" stroke-dasharray="3 2.5"/>',
        Verdict.DOES_NOT_FIT: f'<path d="M1 1h26v24H1z" fill="{c}"/><path d="M7 6.5l14 13M21 6.5l-14 13" '
                              'stroke="var(--cut,var(--bg))" stroke-width="4.5"/>',
        Verdict.CANNOT_TELL: f'<path d="M1 3h8v20H1z" fill="{c}"/><path d="M18 4.5h8v17h-8z" fill="none" '
                             f'stroke="{c}" stroke-width="2.8" stroke-dasharray="5.5 2.8"/>',
    }[verdict]  # fmt: skip
    return (f'<svg class="mark" width="{size * 28 / 26:.0f}" height="{size}" viewBox="0 0 28 26" role="img" '
            f'aria-label="{WORD[verdict]}">{drawn}</svg>')


def counted(verdicts: Counter[Verdict]) -> str:
    """How many of each verdict, worst first, in words.

    >>> counted(Counter({Verdict.FITS: 3, Verdict.DOES_NOT_FIT: 1}))
    '1 does not fit, 3 fit'
    """
    words = {Verdict.FITS: ("fits", "fit"), Verdict.FITS_AFTER_WORK: ("fits after work", "fit after work"),
             Verdict.DOES_NOT_FIT: ("does not fit", "do not fit"),
             Verdict.CANNOT_TELL: ("cannot be told", "cannot be told")}  # fmt: skip
    return ", ".join(f"{verdicts[v]} {words[v][verdicts[v] != 1]}" for v in sorted(Verdict, key=RANK.__getitem__)
                     if verdicts[v])


def capital(text: str) -> str:
    """A sentence with its first letter large."""
    return text[:1].upper() + text[1:]


def verdict_line(verdict: Verdict, size: int = 28) -> str:
    """Mark and word of a verdict; colour only where the question is closed."""
    return f'<div class="vd {_SETTLED.get(verdict, "")}">{mark(verdict, size)}<span>{WORD[verdict]}</span></div>'


def tag_mark(free: bool, size: int = 19) -> str:
    """The small lock-out tag: hollow while the step is held, filled when it is free."""
    body = 'fill="var(--ink)"' if free else 'fill="none" stroke="var(--ink)" stroke-width="2.4"'
    hole = "var(--floor)" if free else "var(--ink)"
    return (f'<svg class="mark" width="{size}" height="{size}" viewBox="0 0 20 20" role="img" '
            f'aria-label="{"free to go on" if free else "held"}"><path d="M7 2h11v16H7L2 13V7z" {body}/>'
            f'<circle cx="7.5" cy="10" r="2" fill="{hole}"/></svg>')


def tally(odds: float) -> str:
    """Twenty strokes in fives; those that go wrong are dashed."""
    right = of_twenty(odds)
    lines = "".join(
        f'<path d="M{5 + i * 12 + (i // 5) * 8} 3V27" stroke="currentColor" stroke-width="{4 if i < right else 1.6}" '
        f'{"" if i < right else "stroke-dasharray=" + chr(34) + "3 4" + chr(34)}/>' for i in range(20))  # fmt: skip
    return (f'<svg viewBox="0 0 280 30" width="100%" style="max-width:300px" role="img" aria-label="{right} of 20">'
            f'{lines}</svg>')


def small_length(mm: float, system: str, fraction: int = 16) -> str:
    """A length inside a drawing, where there is no room: whole millimetres, or the nearest mark of the tape."""
    if system == "metric":
        return units.show(mm, "mm", 0)
    return units.inch_length_text(mm, fraction).split(" in")[0] + " in"


_WIDE, _LEFT, _RIGHT = 340, 40, 44
_SHORT = 5
"""Longest name that stands inside the block [characters]."""


def strokes(face: Face, a: str, b: str, system: str, top_mm: float | None = None) -> str:
    """The chalk strokes: part A at the left, the needed gap as a hollow blade, and 20 equally likely places of B's
    face: those that clear stand, those too near lean. ``top_mm`` makes two drawings share one scale."""
    top = top_mm or reach_mm(face)
    scale = (_WIDE - _LEFT - _RIGHT) / top
    y0, y1 = 26, 62

    def x(mm: float) -> float:
        return _LEFT + max(mm, -0.1 * top) * scale

    step = (x(face.best_mm + face.sd_mm) - x(face.best_mm)) / 3.0
    places = places_mm(face.best_mm, face.sd_mm, 20 if step > 1.0 else 10)
    need = x(face.required_mm)
    blade = f"M{_LEFT} {y0 + 5}H{need:.1f}V{y1 - 5}H{_LEFT}z"
    out = [f'<path d="M0 {y0 - 4}H{_LEFT}V{y1 + 4}H0z" fill="var(--ink)"/>',
           f'<path d="{blade}" fill="var(--floor)" stroke="var(--soft)" stroke-width="2"/>']  # fmt: skip
    if len(a) <= _SHORT:
        out.append(f'<text x="{_LEFT / 2}" y="{(y0 + y1) / 2 + 5}" text-anchor="middle" font-size="15" '
                   f'font-weight="700" fill="var(--bg)">{esc(a)}</text>')
    if need - _LEFT > 46:
        out.append(f'<text x="{_LEFT + 6}" y="{(y0 + y1) / 2 + 5}" font-size="15" font-weight="700" '
                   'fill="var(--ink)">need</text>')
    for place in places:
        at = x(place)
        if place < face.required_mm:
            out.append(f'<path d="M{at - 7:.1f} {y1 - 1}L{at + 5:.1f} {y0 + 1}" stroke="var(--no)" stroke-width="3"/>')
        else:
            out.append(f'<path d="M{at:.1f} {y0}V{y1}" stroke="var(--go)" stroke-width="2.6"/>')
    out.append(f'<path d="M{need:.1f} {y0 - 8}V{y1 + 9}" stroke="var(--ink)" stroke-width="3"/>')
    best = x(face.best_mm)
    anchor, shift = ("end", 8) if best > 220 else ("start", -8) if best < 120 else ("middle", 0)
    said = f"gap {small_length(face.best_mm, system)} ± {small_length(SURE * face.sd_mm, system, 32)}"
    out.append(f'<path d="M{best - 6:.1f} {y0 - 10}h12l-6 8z" fill="var(--ink)"/><text x="{best:.1f}" y="13" '
               f'dx="{shift}" text-anchor="{anchor}" font-size="16" font-weight="700" fill="var(--ink)">{said}</text>')
    out.append(f'<text x="{min(max(need, 70), 260):.1f}" y="{y1 + 25}" text-anchor="middle" font-size="16" '
               f'font-weight="700" fill="var(--soft)">{small_length(face.required_mm, system)} needed</text>')
    label = f"{a} to {b}: {said}, {odds_words(face.odds, 'is too near')}"
    return (f'<svg viewBox="0 0 {_WIDE} {y1 + 32}" width="100%" style="max-width:420px" role="img" '
            f'aria-label="{esc(label)}">{"".join(out)}</svg>')


def reach_mm(face: Face) -> float:
    """How far the drawing of a gap has to reach [mm]."""
    return max(face.best_mm + 2.6 * face.sd_mm, face.required_mm * 1.35, 1.0) * (1.0 + 1e-9) if math.isfinite(
        face.best_mm) else 1.0


def clears(odds: float) -> str:
    """Odds of a gap in words.

    >>> clears(0.8), clears(0.999)
    ('clears in 16 of 20', '1 in 1000 is too near')
    """
    return f"clears in {of_twenty(odds)} of 20" if odds < 0.95 else odds_words(odds, "is too near")
