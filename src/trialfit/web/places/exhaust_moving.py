"""A point of the exhaust taken elsewhere by finger, arrow or number, and what that does to gaps and pieces."""

import json
from typing import Any

from nicegui import run, ui

from trialfit import units
from trialfit.checks.dragging import Dragged, DraggingError, RouteGap, dragged, moved
from trialfit.exhaust import CutList
from trialfit.findings import Verdict, worst_first
from trialfit.units import UnitsError
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import exhaust_views as views
from trialfit.web.places.exhaust_hand import (
    STEPS,
    Hand,
    Xyz,
    basis,
    hand_of,
    number_of,
    numbered,
    place_words,
    plan_in_hand,
    step_mm,
    wrong_said,
)
from trialfit.web.places.exhaust_pieces import kind_words
from trialfit.web.places.exhaust_search import put

VIEWS = "exhaust-hold"
_GAPS_DRAWN = 3
_AXES = ("Station, rearward", "Offset, right", "Height")
_ARROWS = (("Forward", 0, -1), ("Rearward", 0, 1), ("Left", 1, -1), ("Right", 1, 1), ("Down", 2, -1), ("Up", 2, 1))


def show(page: Page, hand: Hand) -> None:
    """The points, two views to drag in, and what comes of it."""
    base = hand.base
    if base is None:
        return
    last = len(base.laid.points_mm) - 1
    if last < 1:
        look.words("No place of its points is known, so there is nothing to move.")
        return
    hand.corner = min(max(hand.corner, 1), last)
    words = [*((str(n), f"point {n}") for n in range(1, last)), ("end", "the end")]
    numbered("Which point", words, hand.corner - 1, lambda n: choose(page, n + 1))
    hand.head = look.put("", "nowhead").props('role="status"')
    body = "".join(
        f'<figure><figcaption class="s">{views.TITLE[view]}</figcaption>{_view(page, hand, view)}</figure>'
        for view in (views.SIDE, views.PLAN))
    look.put(body, "views").props(f'id="{VIEWS}"')
    hand.keys = ui.element("div").classes("stack")
    hand.figures = look.put("", "now")
    with ui.element("div").classes("seg"):
        for nearer, word in ((True, "Near the point"), (False, "The whole pipe")):
            look.key(word, lambda n=nearer: _zoom(page, n), "on" if hand.near == nearer else "")
    _fill(page, hand)
    _arrows(page, hand)
    _numbers(page, hand)
    ui.run_javascript(f"import('/assets/exhaust.js').then(m => m.hold({json.dumps(VIEWS)}))")


def choose(page: Page, number: int) -> None:
    """Take another point in hand; one that was moved and not kept goes back."""
    hand = hand_of(page)
    hand.drop()
    hand.corner = number
    page.show_place()


def _zoom(page: Page, near: bool) -> None:
    hand_of(page).near = near
    page.show_place()


def _view(page: Page, hand: Hand, view: str) -> str:
    now = hand.now
    assert now is not None
    points = now.laid.points_mm
    window = views.near(view, points[hand.corner]) if hand.near else views.whole(view, points)
    worked = page.desk.worked or page.desk.last
    around = views.around(view, () if worked is None else worked.outlines, window)
    body = (f'{around}<g data-live="1">{_live(hand, now, view)}</g>'
            f'<g data-points="1">{views.points_drawn(view, points, hand.corner)}</g>')
    label = f"{views.TITLE[view]}: the arrow keys move the point, with shift ten times as far"
    return views.svg(view, window, body, label, hold=True)


def _live(hand: Hand, now: Dragged, view: str) -> str:
    return views.pipe_drawn(view, now.laid, now.cuts, now.gaps[:_GAPS_DRAWN])


# -- what it comes to -----------------------------------------------------------------------------------------------


def _fill(page: Page, hand: Hand) -> None:
    """Words and keys anew."""
    if hand.figures is None or hand.figures.is_deleted or hand.now is None:
        return
    hand.figures.set_content(figures(page, hand, hand.now))
    if hand.head is not None and not hand.head.is_deleted:
        hand.head.set_content(head(page, hand.now))
    if hand.note is not None and not hand.note.is_deleted:
        hand.note.set_content(f'<div class="kept">{look.esc(page.told(hand.reason))}</div>' if hand.reason else "")
    taken = hand.at is not None
    if hand.keys is not None and not hand.keys.is_deleted:
        shown = bool(list(hand.keys))
        if taken and not shown:
            with hand.keys:
                look.go_key("Keep it there", lambda: keep(page))
                look.key("Put it back", lambda: back(page), "alt")
        elif not taken and shown:
            hand.keys.clear()


def head(page: Page, now: Dragged) -> str:
    """The one figure that matters while the hand moves; always as high, so that the view stays under the finger."""
    if now.cuts is None:
        wrong = next((f for f in worst_first(now.findings) if f.verdict is Verdict.DOES_NOT_FIT), None)
        words = "It cannot be laid like this" if wrong is None else page.told(look.capital(wrong.reason))
        return f'{look.verdict_line(Verdict.DOES_NOT_FIT)}<div class="s">{look.esc(words)}</div>'
    if not now.gaps:
        return '<div class="h2">Nothing asks a gap of it</div>'
    return _nearest(page, now.gaps[0], now.about)


def figures(page: Page, hand: Hand, now: Dragged) -> str:
    """The next gaps, what changed in the cut list, and what is wrong with the route as it lies now."""
    out: list[str] = []
    wrong = [f for f in worst_first(now.findings) if f.verdict is not Verdict.FITS]
    if len(now.gaps) > 1:
        out.append('<ul class="s">' + "".join(
            f"<li>Then {_gap_words(page, g, now.about)}</li>" for g in now.gaps[1:_GAPS_DRAWN]) + "</ul>")
    out += [wrong_said(page, f) for f in wrong[:3]]
    if now.cuts is not None:
        out.append(f'<div class="s">{_cut_words(page, hand, now.cuts)}</div>')
    tail = ("" if hand.at is None else "As measured; the give or take of the tape is weighed when you keep it.")
    if tail:
        out.append(f'<div class="s">{tail}</div>')
    return "".join(out)


def _nearest(page: Page, gap: RouteGap, about: bool) -> str:
    low, _ = gap.spare_mm
    beyond = page.length(abs(low))
    sure = "about " if about else ""
    word = {Verdict.FITS: f"Clears by {sure}{beyond} as measured", Verdict.DOES_NOT_FIT: f"Too near by {sure}{beyond}",
            Verdict.CANNOT_TELL: f"Perhaps too near, by {sure}{beyond}"}[gap.verdict]  # fmt: skip
    # without the doubt of the tape nothing is a settled yes, so it gets no colour
    kind = "no" if gap.verdict is Verdict.DOES_NOT_FIT else "measured"
    return (f'<div class="vd {kind}">{look.mark(gap.verdict, 28)}<span data-gap="1">{look.esc(word)}</span></div>'
            f'<div class="s">Nearest: {_gap_words(page, gap, about)}</div>')


def _gap_words(page: Page, gap: RouteGap, about: bool) -> str:
    share = "" if gap.share.count(" ") == 0 else f" (its {gap.share.split(' ', 1)[1]})"
    if gap.lower_mm < 0.0:
        there = f"they meet, by up to {page.length(-gap.lower_mm)}"
    else:
        there = f"{'about ' if about else ''}{page.length(gap.lower_mm)} there"
    return look.esc(f"{gap.thing}{share}, {there}, {page.length(gap.required_mm)} needed")


def _cut_words(page: Page, hand: Hand, cuts: CutList) -> str:
    said = (f"Cut list: {len(cuts.pieces)} pieces, {page.length(cuts.total_length_mm)} along the middle, "
            f"{cuts.welds} welds.")
    was = None if hand.base is None else hand.base.cuts
    if hand.at is None or was is None:
        return look.esc(said)
    if [p.kind for p in was.pieces] != [p.kind for p in cuts.pieces]:
        return look.esc(f"{said} It is other pieces than before ({len(was.pieces)} then).")
    changed = []
    for old, new in zip(was.pieces, cuts.pieces, strict=True):
        before, after = page.length(old.length_to_cut_mm), page.length(new.length_to_cut_mm)
        if before != after:
            kind = kind_words(new).partition(",")[0].lower()
            changed.append(f"<li>{new.number} {look.esc(kind)}: <b>{look.esc(after)}</b>, was {look.esc(before)}</li>")
    return look.esc(said) + (f'<ul data-changed="1">{"".join(changed)}</ul>' if changed else "")


# -- moving ---------------------------------------------------------------------------------------------------------


def _arrows(page: Page, hand: Hand) -> None:
    with ui.element("div").classes("arrows").props('role="group" aria-label="Move the point"'):
        for word, along, sign in _ARROWS:
            look.key(word, lambda a=along, s=sign: nudge(page, a, s), "alt")
    keys: list[ui.element] = []

    def choose_step(coarse: bool) -> None:
        hand.coarse = coarse
        for button, on in zip(keys, (not coarse, coarse), strict=True):
            button.classes(add="on" if on else "", remove="" if on else "on")

    with ui.element("div").classes("seg").props('role="group" aria-label="How far a press goes"'):
        for coarse in (False, True):
            amount, unit = STEPS[page.units][int(coarse)]
            keys.append(look.key(f"Step {amount} {unit}", lambda c=coarse: choose_step(c),
                                 "on" if hand.coarse == coarse else ""))


def _numbers(page: Page, hand: Hand) -> None:
    at = _here(hand)
    assert at is not None
    # our own markup, so that what is half typed stays when something else is shown anew
    fields = "".join(
        f'<label><span class="k">{name}</span><input type="text" autocomplete="off" '
        f'value="{look.esc(_editable(page, mm))}"></label>' for name, mm in zip(_AXES, at, strict=True))
    look.put(f'<form class="numbers">{fields}<button type="submit" class="alt">Move it there</button></form>', "whole")
    hand.note = look.put("", "quiet whole").props('role="alert"')


def _editable(page: Page, mm: float) -> str:
    """A length as it stands in a field: the nearest mark of the tape, or tenths of a millimetre."""
    return page.length(mm) if page.units == "metric" else look.small_length(mm, page.units, 32)


def _here(hand: Hand) -> Xyz | None:
    if hand.at is not None:
        return hand.at
    if hand.base is None or len(hand.base.laid.points_mm) <= hand.corner:
        return None
    x, y, z = (float(v) for v in hand.base.laid.points_mm[hand.corner])
    return x, y, z


async def typed(page: Page, said: Any) -> None:
    """Take the point to the place that was typed."""
    hand = hand_of(page)
    here = _here(hand)
    if not isinstance(said, list) or len(said) != 3 or here is None:
        return
    shown = [_editable(page, mm) for mm in here]
    found: list[float] = []
    hand.reason = ""
    for name, text, was, mm in zip(_AXES, said, shown, here, strict=True):
        if str(text) == was:  # what was left as it stood is not rounded to what was shown
            found.append(mm)
            continue
        try:
            amount = units.parse(str(text), "length", "in" if page.units == "inch" else "mm")
        except UnitsError as error:
            hand.reason = f"{name}: {error}"
            _fill(page, hand)
            return
        if amount.suspicions:
            hand.reason = f'{name}, "{amount.typed}": {amount.suspicions[0]}'
        found.append(amount.value)
    await follow(page, (found[0], found[1], found[2]), still=True, typed=True)


async def nudge(page: Page, axis: int, sign: int, times: float = 1.0) -> None:
    """One press of an arrow."""
    hand = hand_of(page)
    hand.reason = ""
    here = _here(hand)
    if here is not None:
        at = list(here)
        at[axis] += sign * times * step_mm(page, hand)
        await follow(page, (at[0], at[1], at[2]), still=True)


async def follow(page: Page, xyz: Xyz, *, still: bool, typed: bool = False) -> None:
    """Say what the point at another place comes to: quickly, and once the hand is ``still`` with certain bounds. The
    fields take the place that was ``typed``; else what is half typed in them stays."""
    hand = hand_of(page)
    results, plan = basis(page), plan_in_hand(page, hand)
    if results is None or plan is None:
        if hand.head is not None and not hand.head.is_deleted:
            hand.head.set_content("The build has changed. Wait until it is worked out.")
        return
    hand.turn += 1
    mine = hand.turn
    corner, before = hand.corner, hand.at
    hand.at = xyz  # the next press goes on from here, though the answer is not there yet
    for quick in (True, False) if still else (True,):
        try:
            answer = await run.io_bound(dragged, results, plan.name, corner, xyz, quick=quick)
        except DraggingError as error:
            hand.at, hand.reason = before, str(error)
            _fill(page, hand)
            return
        if answer is None or hand.turn != mine or page.place != "Exhaust":
            return
        hand.answer = answer
        if quick:
            hand.reason = "" if not still else hand.reason  # a doubt about what was typed stays to be read
        _fill(page, hand)
        _drawn(page, hand, answer, taken=typed and quick)


def _drawn(page: Page, hand: Hand, answer: Dragged, *, taken: bool = False) -> None:
    """The pipe anew in the two views, grips and numbers with it."""
    points = answer.laid.points_mm
    if len(points) <= hand.corner:
        return
    said = {
        "live": {v: _live(hand, answer, v) for v in (views.SIDE, views.PLAN)},
        "points": {v: views.points_drawn(v, points, hand.corner) for v in (views.SIDE, views.PLAN)},
        "numbers": [_editable(page, float(v)) for v in points[hand.corner]],
        "taken": taken,
    }
    text = json.dumps(said).replace("<", "\\u003c")
    ui.run_javascript(f"import('/assets/exhaust.js').then(m => m.take({json.dumps(VIEWS)}, {text}))")


async def from_browser(page: Page, said: Any) -> None:
    """What the views tell: a point dragged, an arrow key, a point or a piece tapped. Nothing of it is trusted."""
    if not isinstance(said, dict) or page.place != "Exhaust":
        return
    hand = hand_of(page)
    what, view = said.get("what"), said.get("view")
    if what == "drag" and view in (views.SIDE, views.PLAN):
        u, v, here = number_of(said.get("u")), number_of(said.get("v")), _here(hand)
        if here is None or u is None or v is None:
            return
        xyz = (u, here[1], -v) if view == views.SIDE else (u, v, here[2])
        await follow(page, xyz, still=said.get("done") is True)
    elif what == "arrow" and view in (views.SIDE, views.PLAN):
        du, dv = said.get("du"), said.get("dv")
        times = 10.0 if said.get("ten") is True else 1.0
        if du in (-1, 1):
            await nudge(page, 0, int(du), times)
        elif dv in (-1, 1):
            await nudge(page, 2 if view == views.SIDE else 1, -int(dv) if view == views.SIDE else int(dv), times)
    elif what == "typed":
        await typed(page, said.get("said"))
    elif what == "corner" and isinstance(said.get("n"), int) and said["n"] > 0:
        choose(page, said["n"])


# -- keeping --------------------------------------------------------------------------------------------------------


async def keep(page: Page) -> None:
    """Write the route with its moved point into the build file."""
    hand = hand_of(page)
    was, at = plan_in_hand(page, hand), hand.at
    if was is None or at is None:
        return
    plan = moved(was, hand.corner, at)
    reason = await run.io_bound(put, page.desk, plan)
    if not reason:
        hand.drop()
    word = "The end" if hand.corner == len(plan.corners) + 1 else f"Point {hand.corner}"
    page.say(look.capital(reason) if reason else f"{word} of {plan.name} now stands at {place_words(page, at)}. Undo "
             "brings it back.")


def back(page: Page) -> None:
    """Put the point back where it was."""
    hand = hand_of(page)
    hand.drop()
    hand.reason = ""
    page.show_place()
