"""The exhaust: its pieces, its points to be moved, and other routes for it."""

from collections.abc import Callable, Mapping

from nicegui import run, ui

from trialfit.checks.dragging import DraggingError, standing
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import exhaust_hangers, exhaust_moving, exhaust_others, exhaust_pieces
from trialfit.web.places.exhaust_hand import HANG, MOVE, OTHERS, PIECES, Hand, basis, hand_of, place_words, plan_in_hand

Part = Callable[[Page, Hand], None]

PARTS: Mapping[str, Part] = {PIECES: exhaust_pieces.show, MOVE: exhaust_moving.show, HANG: exhaust_hangers.show,
                             OTHERS: exhaust_others.show}
"""The parts of the place, by the word on their key."""
_WORDS = {"pieces": PIECES, "move": MOVE, "hangers": HANG, "others": OTHERS}


def thing(route: str, part: str = "pieces", number: int = 0) -> str:
    """The ``thing`` that opens one part of a route at a piece or a point.

    >>> thing("main", "move", 3)
    'main/move/3'
    """
    return f"{route}/{part}/{number}"


def show(page: Page) -> None:
    """The route in hand."""
    hand = hand_of(page)
    _heard(page, hand)
    _opened_on(page, hand)
    plan = plan_in_hand(page, hand)
    look.words("Exhaust" if plan is None else f"Exhaust: {plan.name}", "h1", tag="h1")
    build = page.desk.build
    if build is None:
        look.words("Not while the build file has lines that cannot be read.", "h2")
        return
    if plan is None:
        look.words("The build has no exhaust yet", "h2", tag="h2")
        look.words("Write one under exhaust: in the build file, with its outlet, and what to look for.")
        return
    if len(build.routes) > 1:
        _choice("Which exhaust", [r.name for r in build.routes], plan.name, lambda name: _route(page, name))
    _choice("What of it", list(PARTS), hand.part, lambda word: _part(page, word))
    if hand.part == OTHERS or hand.base_of == page.desk.revision:
        if hand.base is None and hand.reason and hand.part != OTHERS:
            look.words(page.told(hand.reason), "kept")
        PARTS[hand.part](page, hand)
    else:
        look.words("Laying it out.", "s").props('role="status"')
    if hand.base_of != page.desk.revision:
        ui.timer(0.02, lambda: _lay_out(page, hand), once=True)
    if hand.part == MOVE and hand.base is not None and plan.wish is not None:
        look.key("Look for a route through this point", lambda: _through(page), "alt")
    page.busy()
    with ui.element("div").classes("both rule"):
        for word, act, can in (("Undo", page.desk.undo, page.desk.can_undo), ("Redo", page.desk.redo,
                                                                            page.desk.can_redo)):  # fmt: skip
            button = look.key(word, lambda act=act: _back(page, act), "alt")
            if not can:
                button.props("disabled")
    hand.shown = page.desk.revision


def changed(page: Page) -> None:
    """The desk changed: a point in hand stays in hand, unless the text itself is another."""
    hand = hand_of(page)
    if hand.shown == page.desk.revision:
        # a key that is built anew under the finger takes no press: nothing is, but for what waits for the results
        waits = hand.base_of != page.desk.revision or (hand.part == HANG and hand.rack_of != page.desk.revision)
        if waits and not hand.laying:
            page.show_place()
        return
    hand.drop()
    hand.reason = ""
    page.show_place()


def _heard(page: Page, hand: Hand) -> None:
    if not hand.heard:
        hand.heard = True
        ui.add_head_html('<link rel="stylesheet" href="/assets/exhaust.css">')
        ui.on("trialfit-exhaust", lambda event: _told(page, event.args))
        ui.on("trialfit-piece", lambda event: _tapped(page, event.args))


async def _told(page: Page, said: object) -> None:
    part = exhaust_hangers if hand_of(page).part == HANG else exhaust_moving
    if page.place == "Exhaust":
        await part.from_browser(page, said)


def _tapped(page: Page, said: object) -> None:
    if page.place == "Exhaust" and isinstance(said, int):
        exhaust_pieces.choose(page, said)


def _opened_on(page: Page, hand: Hand) -> None:
    route, _, rest = page.thing.partition("/")
    part, _, number = rest.partition("/")
    if part in _WORDS:
        hand.route, hand.part = route, _WORDS[part]
        count = int(number) if number.isascii() and number.isdigit() and len(number) < 4 else 0
        if part == "move" and count:
            hand.corner = count
        elif part == "pieces":
            hand.piece = count
    elif route:
        hand.route = route
    page.thing = ""


def _choice(label: str, words: list[str], current: str, choose: Callable[[str], None]) -> None:
    with ui.element("div").classes("seg parts").props(f'role="group" aria-label="{label}"'):
        for word in words:
            button = look.key(word, lambda w=word: choose(w), "on" if word == current else "")
            button.props["aria-pressed"] = "true" if word == current else "false"


def _route(page: Page, name: str) -> None:
    hand = hand_of(page)
    hand.drop()
    hand.route, hand.piece, hand.corner, hand.base, hand.base_of, hand.rack_of = name, 0, 1, None, 0, 0
    page.show_place()


def _part(page: Page, word: str) -> None:
    hand = hand_of(page)
    hand.drop()
    hand.reason = ""
    hand.part = word
    page.show_place()


async def _lay_out(page: Page, hand: Hand) -> None:
    """Lay the route of the text as it stands; waits for the results where there are none to hold it against."""
    results, plan, revision = basis(page), plan_in_hand(page, hand), page.desk.revision
    if plan is None or results is None:
        return  # it comes when the results do
    hand.laying = True
    try:
        base = await run.io_bound(standing, results, plan.name)
        reason = ""
    except DraggingError as error:
        base, reason = None, str(error)
    finally:
        hand.laying = False
    if page.desk.revision != revision or hand.route != plan.name or (base is None and not reason):
        return  # of another text or route by now, or broken off because the place was built anew
    hand.base, hand.base_of, hand.reason = base, revision, reason
    if page.place == "Exhaust" and hand.at is None:
        page.show_place()


def _through(page: Page) -> None:
    hand = hand_of(page)
    at = hand.at
    if at is None and hand.base is not None:
        x, y, z = (float(v) for v in hand.base.laid.points_mm[hand.corner])
        at = (x, y, z)
    hand.drop()
    hand.through, hand.part = at, OTHERS
    page.show_place()


async def _back(page: Page, act: Callable[[], object]) -> None:
    hand = hand_of(page)
    hand.drop()
    clash = await run.io_bound(act)
    page.message = ""
    if clash is not None:
        page.say(f"Not done: {getattr(clash, 'reason', '')}.")
    else:
        page.show_place()


__all__ = ["PARTS", "changed", "place_words", "show", "thing"]
