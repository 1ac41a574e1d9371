"""Other routes for an exhaust: looked for while the page goes on, set side by side, and one of them laid."""

from typing import TYPE_CHECKING

from nicegui import run, ui

from trialfit.routing.problem import ObstacleGap
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import exhaust_views as views
from trialfit.web.places.exhaust_hand import Hand, hand_of, place_words, plan_in_hand
from trialfit.web.places.exhaust_search import LENGTHS_S, Alternatives, Search, put, same_question, search_of

if TYPE_CHECKING:
    from trialfit.routing import FoundRoute

_LOOK_S = 0.3
_PRESSURE, _MONEY = "back pressure", "money"


def show(page: Page, hand: Hand) -> None:
    """Ask for routes, watch the search, or choose one that was found."""
    search = search_of(page.desk)
    if search.running:
        _watch(page, search)
        return
    if search.reason and search.route == hand.route:
        look.words(page.told(search.reason), "kept").props('role="status"')
    if search.done is not None and search.route == hand.route:
        _side_by_side(page, hand, search.done)
    _ask(page, hand, again=search.done is not None)


def _ask(page: Page, hand: Hand, again: bool) -> None:
    plan = plan_in_hand(page, hand)
    if plan is None:
        return
    if plan.wish is None:
        look.words("Nothing is asked of this exhaust yet", "h2", tag="h2")
        look.words("Write find: under it in the build file, with exit, pipes and bends. Then routes can be looked for.")
        return
    with ui.element("section").classes("rule"):
        look.words("Look again" if again else "Is there a better way through?", "h2", tag="h2")
        look.words("It looks for the best route of each kind, over the axle or under it, left or right of what is in "
                   "the way. Nothing is changed until you lay one.", "s")
        if hand.through is not None:
            look.words(f"A straight of the pipe will run through {place_words(page, hand.through)}.", "kept")
            look.key("Let that point go", lambda: _let_go(page), "alt")
        with ui.element("div").classes("seg").props('role="group" aria-label="How long to look"'):
            for seconds in LENGTHS_S:
                word = f"{seconds} s" if seconds < 60 else f"{seconds // 60} min"
                button = look.key(word, lambda s=seconds: _long(page, s), "on" if hand.seconds == seconds else "")
                button.props["aria-pressed"] = "true" if hand.seconds == seconds else "false"
        if again:
            look.key("Look again", lambda: begin(page), "alt")
        else:
            look.go_key("Look for routes", lambda: begin(page), f"{hand.seconds} s")


def _long(page: Page, seconds: int) -> None:
    hand_of(page).seconds = seconds
    page.show_place()


def _let_go(page: Page) -> None:
    hand_of(page).through = None
    page.show_place()


def begin(page: Page) -> None:
    """Begin the search."""
    hand = hand_of(page)
    reason = search_of(page.desk).begin(page.desk, hand.route, hand.seconds, hand.through)
    if reason:
        page.say(reason)
    else:
        page.show_place()


def _watch(page: Page, search: Search) -> None:
    look.words(f"Looking for routes for {search.route}", "h2", tag="h2")
    said = look.put(_progress(search), "quiet").props('role="status"')
    turn = search.turn

    def tick() -> None:
        if search.turn != turn or not search.running:
            timer.deactivate()
            page.show_place()
        else:
            words = _progress(search)
            if words != said.content:
                said.set_content(words)

    timer = ui.timer(_LOOK_S, tick)
    if search.stopping:
        look.words("Stopping.")
        return
    look.key("Stop and keep the best", lambda: _stop(page, keep=True), "alt")
    look.key("Stop, keep nothing", lambda: _stop(page, keep=False), "alt")


def _progress(search: Search) -> str:
    seconds, cost, words = search.said
    best = "no route yet" if cost is None else f"best so far costs {cost:.1f}"
    share = min(100.0, 100.0 * seconds / search.seconds)
    return (f'<div>{seconds:.0f} of {search.seconds} s, {look.esc(best)}. {look.esc(words[:1].upper() + words[1:])}.'
            f' You can go on measuring.</div>'
            f'<div class="bar" aria-hidden="true"><i style="width:{share:.0f}%"></i></div>')


def _stop(page: Page, *, keep: bool) -> None:
    search_of(page.desk).stop(keep=keep)
    page.show_place()


# -- side by side ---------------------------------------------------------------------------------------------------


def _side_by_side(page: Page, hand: Hand, done: Alternatives) -> None:
    routes = done.found.routes
    if not routes:
        for blocked in done.found.blocked:
            sure = "" if blocked.proved else "As far as the search went: "
            look.words(page.told(f"{sure}{blocked.words}"))
            if blocked.remedy:
                look.put(f"<b>Do:</b> {look.esc(page.told(blocked.remedy))}")
        return
    count = len(routes)
    look.words(f"{count} kind{'' if count == 1 else 's'} of route, best first", "h2", tag="h2")
    if done.stopped:
        look.words("Stopped early: these are the best so far.", "s")
    if not same_question(page.desk.build, done.build):
        look.words("The build has changed since. Lay one and its gaps are worked out anew, or look again.", "kept")
    if not done.spared:
        look.words("No route leaves room for the give or take of the tape. These hold for the points as measured only.",
                   "kept")
    look.put(_table(page, hand, done))
    for number, route in enumerate(routes):
        _one(page, done, number, route)
    if done.found.unproved:
        look.words(f"{done.found.unproved} more left out: their gaps could not be proved.", "s")
    for words in done.left_out:
        look.words(f"Note: {words}.", "s")


def _table(page: Page, hand: Hand, done: Alternatives) -> str:
    """Every route in one row; what it is now comes first."""
    head = "".join(f'<th scope="col">{h}</th>' for h in ("", "Length", "Welds", "Spare gap", "Cost", "kPa"))
    rows = []
    now = hand.base
    if now is not None and now.cuts is not None:
        spare = page.length(now.gaps[0].spare_mm[0]) if now.gaps else "-"
        rows.append(f'<tr><th scope="row">now</th><td>{look.esc(page.length(now.cuts.total_length_mm))}</td>'
                    f"<td>{now.cuts.welds}</td><td>{look.esc(spare)}</td><td>-</td><td>-</td></tr>")
    for number, route in enumerate(done.found.routes, 1):
        way = route.way
        pressure = dict(way.terms).get(_PRESSURE)
        rows.append(
            f'<tr><th scope="row">{number}</th><td>{look.esc(page.length(way.length_mm))}</td><td>{way.welds}</td>'
            f"<td>{look.esc(page.length(route.certificate.lower_mm))}</td><td>{way.cost:.0f}</td>"
            f'<td>{"-" if pressure is None else f"{pressure:.1f}"}</td></tr>')
    said = (f"Spare gap: at least so far beyond every gap asked for{', room for the tape taken off' * done.spared}. "
            "Cost: money, hours, mass and back pressure as the build file weighs them.")
    return (f'<table class="beside"><caption class="s">{said}</caption><thead><tr>{head}</tr></thead>'
            f"<tbody>{''.join(rows)}</tbody></table>")


def nearest(route: "FoundRoute") -> ObstacleGap | None:
    """The gap with the least certain margin."""
    return min(route.certificate.gaps, key=lambda g: g.lower_mm, default=None)


def _one(page: Page, done: Alternatives, number: int, route: "FoundRoute") -> None:
    way = route.way
    size = done.problem.sizes[way.size]
    with ui.element("article").classes("rule"):
        look.words(f"{number + 1}  {route.name}", "h2", tag="h3")
        window = views.whole(views.PLAN, way.points)
        worked = page.desk.worked or page.desk.last
        around = views.around(views.PLAN, () if worked is None else worked.outlines, window)
        line = "L".join(f"{u:.0f} {v:.0f}" for u, v in (views.flat(views.PLAN, p) for p in way.points))
        pipe = (f'<path d="M{line}" fill="none" stroke="var(--ink)" stroke-width="{size.diameter_mm:.0f}" '
                'stroke-linejoin="round"/>')
        look.put(views.svg(views.PLAN, window, around + pipe, f"route {number + 1} from below"), "views")
        gap = nearest(route)
        spare = {o.name: o.spare_mm for o in done.problem.obstacles}
        if gap is not None:
            asked = gap.required_mm - spare.get(gap.obstacle, 0.0)
            look.words(f"Nearest: {gap.obstacle}, never under {page.length(gap.lower_mm + gap.required_mm)}, "
                       f"{page.length(asked)} needed.")
        bends = len(way.bends)
        amounts = dict(way.terms)
        paid = [f"{amounts[t.name]:.3g} {t.unit} {t.name}".strip().replace("  ", " ") for t in size.terms
                if amounts.get(t.name) and t.name not in (_PRESSURE,)]
        look.words(page.told(f"Pipe {size.name}, {bends} bend{'' if bends == 1 else 's'}; {', '.join(paid)}."), "s")
        if not route.certificate.clear:
            look.words("It is not certain to clear.", "kept")
        word = f"Lay route {number + 1}"
        if number == 0:
            look.go_key(word, lambda n=number: lay(page, n), "into the build file")
        else:
            look.key(word, lambda n=number: lay(page, n), "alt")


async def lay(page: Page, number: int) -> None:
    """Write one of the routes into the build file."""
    done = search_of(page.desk).done
    if done is None or number >= len(done.found.routes):
        page.say("That route is gone: look again.")
        return
    name = done.found.routes[number].name
    reason = await run.io_bound(lambda: put(page.desk, done.laid(number)))
    page.say(f"{reason[:1].upper()}{reason[1:]}" if reason else
             f"Route {number + 1}, {name}, is laid into the build file. Undo brings back what was there.")
