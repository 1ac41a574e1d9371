"""The hangers of the exhaust taken from place to place by finger or key, and what the pipe does then."""

import json
import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from nicegui import run, ui

from trialfit.buildfile import EditError, write_hangers
from trialfit.checks.dragging import DraggingError, hangers_in_hand
from trialfit.checks.hung_exhaust import InHand
from trialfit.exhaust.hanger_points import Hanger, HangerPlan, Seat
from trialfit.exhaust.hangers import CAUTION
from trialfit.findings import Finding, Verdict, worst_first
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import exhaust_views as views
from trialfit.web.places.exhaust_hand import Hand, basis, hand_of, number_of, numbered, plan_in_hand, wrong_said

VIEWS = "exhaust-hang"
_OPEN = (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)
_TOLD = 4
"""Findings told at once; the sheet has them all."""


def show(page: Page, hand: Hand) -> None:
    """Where it hangs, two views to drag in, and what comes of it."""
    if hand.base is None:
        return
    if hand.rack_of != page.desk.revision:
        look.words("Working out what the pipe does on each place.", "s").props('role="status"')
        if not hand.racking:
            ui.timer(0.02, lambda: _racked(page, hand), once=True)
        return
    if hand.rack is None:
        look.words(page.told(look.capital(hand.no_rack)), "kept")
        return
    if not hand.hang:
        look.words("No place for hangers is chosen yet. Tap a place in a view to hang it there first.")
    else:
        hand.hanger = min(max(hand.hanger, 0), len(hand.hang) - 1)
        numbered("Which hanger", [(str(n + 1), f"hanger {n + 1}") for n in range(len(hand.hang))], hand.hanger,
                 lambda n: choose(page, n))
    hand.head = look.put("", "nowhead").props('role="status"')
    drawn = "".join(
        f'<figure><figcaption class="s">{views.TITLE[view]}</figcaption>{_view(page, hand, view)}</figure>'
        for view in (views.SIDE, views.PLAN))
    look.put(drawn, "views").props(f'id="{VIEWS}"')
    hand.keys = ui.element("div").classes("stack")
    with ui.element("div").classes("arrows").props('role="group" aria-label="Move the hanger"'):
        look.key("To the place ahead", lambda: step(page, -1), "alt")
        look.key("To the place behind", lambda: step(page, 1), "alt")
        look.key("One hanger more", lambda: more(page), "alt")
        look.key("Without this one", lambda: less(page), "alt")
    with ui.element("div").classes("seg"):
        for nearer, word in ((True, "Near the hanger"), (False, "The whole pipe")):
            look.key(word, lambda n=nearer: _zoom(page, n), "on" if hand.near == nearer else "")
    hand.note = look.put("", "quiet whole").props('role="alert"')
    hand.figures = look.put("", "now")
    if _written(page, hand):
        look.key("Have the least dear places looked for", lambda: keep(page, ()), "alt")
    look.words(CAUTION, "s")
    _fill(page, hand)
    ui.run_javascript(f"import('/assets/exhaust.js').then(m => m.hold({json.dumps(VIEWS)}))")


async def _racked(page: Page, hand: Hand) -> None:
    """Work out what every place does; waits for the results where there are none to hold it against."""
    results, plan, revision = basis(page), plan_in_hand(page, hand), page.desk.revision
    if hand.racking or results is None or plan is None or page.desk.worked is None:
        return  # it comes when the results do
    made = next((m for m in results.makings if m.route == plan.name), None)
    if made is not None and made.waiting:
        return
    hand.racking = True
    try:
        found = await run.io_bound(hangers_in_hand, results, plan.name)
        reason = found.reason if isinstance(found, Finding) else ""
    except DraggingError as error:
        found, reason = None, str(error)
    finally:
        hand.racking = False
    if page.desk.revision != revision or hand.route != plan.name or (found is None and not reason):
        return  # of another text or route by now, or broken off because the place was built anew
    hand.rack_of, hand.no_rack = revision, reason
    hand.rack = found if isinstance(found, InHand) else None
    hand.hung, hand.hanger, hand.reason = None, 0, ""
    hung = None if made is None or hand.rack is None else made.hangers
    hand.hang = hand.hang_was = () if hung is None else tuple(h.candidate.name for h in hung.hangers)
    await _ask(hand)
    if page.place == "Exhaust":
        page.show_place()


async def _ask(hand: Hand) -> bool:
    """What the pipe does on the places in hand; False when other places were taken in hand meanwhile."""
    rack, names = hand.rack, hand.hang
    if rack is None or not names:
        hand.hung = None
        return True
    reason = ""
    try:
        hung = await run.io_bound(rack.rack.on, names)
    except ValueError as error:
        hung, reason = None, str(error)
    if hand.rack is not rack or hand.hang != names:
        return False
    hand.hung, hand.reason = hung, reason or hand.reason
    return True


# -- drawn ----------------------------------------------------------------------------------------------------------


def _view(page: Page, hand: Hand, view: str) -> str:
    assert hand.base is not None
    one = _seat(hand, hand.hang[hand.hanger]) if hand.hang else None
    if one is not None and hand.near:
        window = views.near(view, 0.5 * (one.foot + np.array(one.candidate.xyz_mm)))
    else:
        window = views.whole(view, [*hand.base.laid.points_mm, *(s.candidate.xyz_mm for s in _seats(hand))])
    worked = page.desk.worked or page.desk.last
    around = views.around(view, () if worked is None else worked.outlines, window)
    body = (f'{around}<g data-live="1">{_live(hand, view)}</g><g data-points="1">{_places(hand, view)}</g>')
    return views.svg(view, window, body, f"{views.TITLE[view]}: the arrow keys take the hanger to the next place",
                     hold=True)


def _seats(hand: Hand) -> tuple[Seat, ...]:
    return () if hand.rack is None else hand.rack.rack.setting.seats


def _seat(hand: Hand, name: str) -> Seat | None:
    return next((s for s in _seats(hand) if s.candidate.name == name), None)


def _live(hand: Hand, view: str) -> str:
    """The pipe, and every hanger in hand: rubber from the frame, rod to the pipe."""
    assert hand.base is not None
    out = [views.pipe_drawn(view, hand.base.laid, hand.base.cuts, ())]
    for name in hand.hang:
        seat = _seat(hand, name)
        if seat is None:
            continue
        rod = [views.flat(view, p) for p in seat.rod.line.polyline()]
        said = " ".join(f"{u:.1f},{v:.1f}" for u, v in rod)
        frame = views.flat(view, seat.candidate.xyz_mm)
        pin = min((rod[0], rod[-1]), key=lambda p: math.dist(p, frame))
        out.append(f'<polyline class="rod" points="{said}"/>'
                   f'<path class="rubber" d="M{frame[0]:.1f} {frame[1]:.1f}L{pin[0]:.1f} {pin[1]:.1f}"/>')
    return "".join(out)


def _places(hand: Hand, view: str) -> str:
    """Every place that a rod can use; the chosen hanger's as a grip."""
    out: list[str] = []
    chosen = hand.hang[hand.hanger] if hand.hang else ""
    for number, seat in enumerate(_seats(hand), 1):
        u, v = views.flat(view, seat.candidate.xyz_mm)
        if seat.candidate.name != chosen:
            kind = "corner used" if seat.candidate.name in hand.hang else "corner"
            out.append(f'<circle class="{kind}" data-corner="{number}" cx="{u:.1f}" cy="{v:.1f}">'
                       f'<title>{look.esc(seat.candidate.name)}</title></circle>')
    one = _seat(hand, chosen)
    if one is not None:
        (a, b), (u, v) = views.flat(view, one.foot), views.flat(view, one.candidate.xyz_mm)
        out.append(f'<polyline class="legs" data-legs="1" points="{a:.1f},{b:.1f} {u:.1f},{v:.1f}"/>'
                   f'<g data-grip="1" data-u="{u:.2f}" data-v="{v:.2f}" transform="translate({u:.2f} {v:.2f})">'
                   '<circle class="grip"/><circle class="dot"/></g>')
    return "".join(out)


# -- what it comes to -----------------------------------------------------------------------------------------------


def _fill(page: Page, hand: Hand) -> None:
    if hand.figures is None or hand.figures.is_deleted:
        return
    hand.figures.set_content(_figures(page, hand))
    if hand.head is not None and not hand.head.is_deleted:
        hand.head.set_content(_head(page, hand))
    if hand.note is not None and not hand.note.is_deleted:
        hand.note.set_content(f'<div class="kept">{look.esc(page.told(hand.reason))}</div>' if hand.reason else "")
    if hand.keys is None or hand.keys.is_deleted:
        return
    moved, shown = hand.hang != hand.hang_was, bool(list(hand.keys))
    if moved and not shown:
        with hand.keys:
            look.go_key("Hang it there", lambda: keep(page, hand_of(page).hang))
            look.key("Put them back", lambda: back(page), "alt")
    elif shown and not moved:
        hand.keys.clear()


def _head(page: Page, hand: Hand) -> str:
    """The one answer that matters while the hand moves; always as high, so that the views stay under the finger."""
    if hand.hung is None:
        return '<div class="h2">It hangs on nothing</div>'
    carries = hand.hung.tried.carries
    verdict = Verdict.FITS if carries else Verdict.DOES_NOT_FIT
    count = len(hand.hung.hangers)
    word = f"{count} hanger{'' if count == 1 else 's'} {'carry' if count > 1 else 'carries'} it"
    if not carries:
        word = "These do not carry it"
    elif any(f.verdict is Verdict.DOES_NOT_FIT for f in _open(hand.hung)):
        word, verdict = f"{word}, against a rule", Verdict.FITS_AFTER_WORK
    price = f"{hand.hung.tried.price:g} to pay; " if hand.hung.tried.price else ""
    low, high = hand.hung.sag_mm
    more = page.told(f"{price}sags {low:.1f} to {high:.1f} mm")
    return (f'<div class="vd {"measured" if carries else "no"}">{look.mark(verdict, 28)}<span data-carries="1">'
            f'{look.esc(word)}</span></div><div class="s">{look.esc(more)}</div>')


def _figures(page: Page, hand: Hand) -> str:
    if hand.hung is None:
        return ""
    out = [wrong_said(page, f) for f in _open(hand.hung)[:_TOLD]]
    rows = "".join(f"<li>{look.esc(_hanger_words(page, hand, n, h))}</li>" for n, h in enumerate(hand.hung.hangers, 1))
    out.append(f'<ul class="s" data-hangers="1">{rows}</ul>')
    if hand.hang != hand.hang_was:
        out.append('<div class="s">Nothing is written before you press Hang it there.</div>')
    return "".join(out)


def _open(plan: HangerPlan) -> list[Finding]:
    """What is open of the hangers in hand; that they do not carry it, when nothing else says why."""
    found = [f for f in worst_first(plan.findings) if f.verdict in _OPEN]
    others = [f for f in found if not f.name.endswith(".choice")]
    return others if any(f.verdict is Verdict.DOES_NOT_FIT for f in others) else found


def _hanger_words(page: Page, hand: Hand, number: int, one: Hanger) -> str:
    def size(mm: float) -> str:
        return look.small_length(mm, page.units)

    place = None if hand.rack is None else hand.rack.places.get(one.candidate.name)
    name = one.candidate.name if place is None or not place.end else (
        f"{place.start} to {place.end} at {size(place.along_mm)}")
    cold, hot = (f"{low:.0f} to {high:.0f} N" for low, high in (one.cold_n, one.hot_n))
    bends = len(one.rod.bends)
    return (f"{number}, {name}: {cold} cold, {hot} hot; rod {size(one.rod.length_mm)} with {bends} "
            f"bend{'' if bends == 1 else 's'}, welded {size(one.at_mm)} from the outlet")


# -- moving ---------------------------------------------------------------------------------------------------------


def choose(page: Page, number: int) -> None:
    """Take another hanger in hand."""
    hand_of(page).hanger = number
    page.show_place()


def _zoom(page: Page, near: bool) -> None:
    hand_of(page).near = near
    page.show_place()


async def step(page: Page, by: int) -> None:
    """Take the hanger in hand to the next free place along the pipe."""
    hand = hand_of(page)
    names = [s.candidate.name for s in _seats(hand)]
    if not hand.hang or hand.hang[hand.hanger] not in names:
        return
    at = names.index(hand.hang[hand.hanger]) + by
    while 0 <= at < len(names) and names[at] in hand.hang:
        at += by
    if 0 <= at < len(names):
        await _take(page, hand, names[at])


async def more(page: Page) -> None:
    """One hanger more, at the free place that lies farthest from those there are."""
    hand = hand_of(page)
    seats, most = _seats(hand), _most(hand)
    free = [s for s in seats if s.candidate.name not in hand.hang]
    if not free or len(hand.hang) >= most:
        hand.reason = f"{most} hangers are allowed" if len(hand.hang) >= most else "no place is left"
        _fill(page, hand)
        return
    held = [s.at_mm for s in seats if s.candidate.name in hand.hang]
    best = max(free, key=lambda s: min((abs(s.at_mm - a) for a in held), default=s.at_mm))
    await _anew(page, hand, (*hand.hang, best.candidate.name), best.candidate.name)


async def less(page: Page) -> None:
    """Without the hanger in hand."""
    hand = hand_of(page)
    if len(hand.hang) < 2:
        hand.reason = "it must hang on something"
        _fill(page, hand)
        return
    names = tuple(n for k, n in enumerate(hand.hang) if k != hand.hanger)
    await _anew(page, hand, names, names[min(hand.hanger, len(names) - 1)])


async def _anew(page: Page, hand: Hand, names: Sequence[str], chosen: str) -> None:
    """Another set of places, in order along the pipe, one of them in hand."""
    hand.hang = tuple(s.candidate.name for s in _seats(hand) if s.candidate.name in names)
    hand.hanger = hand.hang.index(chosen)
    hand.reason = ""
    if await _ask(hand) and page.place == "Exhaust":
        page.show_place()


async def _take(page: Page, hand: Hand, name: str) -> None:
    """The hanger in hand at another place."""
    if not hand.hang or name in hand.hang:
        return
    names = tuple(name if k == hand.hanger else n for k, n in enumerate(hand.hang))
    hand.reason = ""
    # in order along the pipe, and the one in hand stays in hand
    hand.hang = tuple(s.candidate.name for s in _seats(hand) if s.candidate.name in names)
    hand.hanger = hand.hang.index(name)
    if await _ask(hand) and page.place == "Exhaust":
        _fill(page, hand)
        _drawn(page, hand)


def _drawn(page: Page, hand: Hand) -> None:
    said = {"live": {v: _live(hand, v) for v in (views.SIDE, views.PLAN)},
            "points": {v: _places(hand, v) for v in (views.SIDE, views.PLAN)}, "numbers": [], "taken": False}
    text = json.dumps(said).replace("<", "\\u003c")
    ui.run_javascript(f"import('/assets/exhaust.js').then(m => m.take({json.dumps(VIEWS)}, {text}))")


def _most(hand: Hand) -> int:
    return 0 if hand.rack is None else hand.rack.rack.setting.wish.most


async def from_browser(page: Page, said: Any) -> None:
    """What the views tell: the grip dragged, an arrow key, a place tapped. Nothing of it is trusted."""
    hand = hand_of(page)
    if not isinstance(said, dict) or hand.rack is None or (hand.hang and hand.hanger >= len(hand.hang)):
        return
    what, view = said.get("what"), said.get("view")
    if what == "drag" and view in (views.SIDE, views.PLAN) and hand.hang:
        u, v = number_of(said.get("u")), number_of(said.get("v"))
        if u is None or v is None:
            return
        here = hand.hang[hand.hanger]
        free = [s for s in _seats(hand) if s.candidate.name == here or s.candidate.name not in hand.hang]
        near = min(free, key=lambda s: math.dist(views.flat(view, s.candidate.xyz_mm), (u, v)))
        if near.candidate.name != here:
            await _take(page, hand, near.candidate.name)
        else:
            _drawn(page, hand)  # the grip goes back to its place
    elif what == "arrow":
        way = said.get("du") or said.get("dv")
        if way in (-1, 1):
            await step(page, int(way))
    elif what == "corner" and isinstance(said.get("n"), int) and 0 < said["n"] <= len(_seats(hand)):
        name = _seats(hand)[said["n"] - 1].candidate.name
        if name in hand.hang:
            choose(page, hand.hang.index(name))
        elif hand.hang:
            await _take(page, hand, name)
        else:
            await _anew(page, hand, (name,), name)


# -- keeping --------------------------------------------------------------------------------------------------------


def _written(page: Page, hand: Hand) -> bool:
    """Whether the file names the places already."""
    plan = plan_in_hand(page, hand)
    return plan is not None and plan.making is not None and plan.making.hangers is not None and bool(
        plan.making.hangers.use)


async def keep(page: Page, names: Sequence[str]) -> None:
    """Write the places into the build file; none has them looked for."""
    hand = hand_of(page)
    plan = plan_in_hand(page, hand)
    if plan is None:
        return
    places = [] if hand.rack is None else [hand.rack.places[name] for name in names]

    def write() -> str:
        seen, text = page.desk.revision, page.desk.text
        try:
            made = write_hangers(text, plan.name, places)
        except EditError as error:
            return f"the build file was left as it is: {error}"
        clash = page.desk.apply(made, seen=seen)
        return "" if clash is None else f"the build file was left as it is: {clash.reason}"

    reason = await run.io_bound(write)
    if reason:
        page.say(look.capital(reason))
    else:
        page.say(f"{plan.name} hangs where you decided. Undo brings it back." if names else
                 "The least dear places are looked for.")


async def back(page: Page) -> None:
    """Put the hangers back where they were."""
    hand = hand_of(page)
    hand.hang, hand.reason = hand.hang_was, ""
    hand.hanger = 0
    if await _ask(hand):
        page.show_place()
