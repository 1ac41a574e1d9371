"""Every sheet of the build: seen before it is printed, and how to tell that it came out at its true size."""

from collections.abc import Callable, Sequence
from datetime import date

from nicegui import run, ui

from trialfit.sheets import (
    SheetMeta,
    axle_order_leaves,
    fittings_bag_leaves,
    gearing_leaves,
    hole_template_leaves,
    machine_order_leaves,
    mate_line,
    mates_list_leaves,
    ring_and_pinion_leaves,
    shaft_leaves,
    shaft_order_leaves,
    summary_leaves,
    survey_leaves,
    svg,
    torque_leaves,
)
from trialfit.sheets.drawing import Leaf, bounds, shifted
from trialfit.sheets.machine_order import machine_stop, parts_to_work, plates_of, quantities_of
from trialfit.sheets.paper import paper_called
from trialfit.sheets.vehicle_views import picture_of
from trialfit.sheets.wrap import check_bars
from trialfit.survey import advise
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.serving import paper
from trialfit.web.working import Worked

TRUE_SIZE = ("wrap-", "hole-templates")
"""How the names of sheets begin that are worked from at their true size."""
_TO_SEND = ("order-", "plate-", "plates-")
_ABOVE_MM = 6.0
"""What reaches higher above the bars at the foot is the bar up the side [mm]."""
_BESIDE_MM = 6.0
"""What begins further to the right of them is words that stand here already [mm]."""
_ROUND_MM = 2.0


def show(page: Page) -> None:
    """The list of sheets: to work from, to send, to read."""
    look.words("Sheets to print and to send", "h1", tag="h1")
    page.busy()
    if page.desk.worked is None:
        look.words("The sheets are laid out when everything is worked out: none is ever older than your last change."
                   if page.desk.build is not None else
                   "There is nothing to print while the build file has lines that cannot be read.")
        return
    laying = look.words("Laying out the paper. It takes some seconds.", "s").props('role="status"')
    place = ui.element("div").style("width:100%;display:flex;flex-direction:column;gap:14px")

    async def lay_out() -> None:
        worked = page.desk.worked
        made = await run.io_bound(paper, page.desk)
        if place.is_deleted or worked is None or made is None:
            return
        laying.delete()
        with place:
            _listed(page, worked, made)

    ui.timer(0.0, lay_out, once=True)


def _listed(page: Page, worked: Worked, made: Sequence[tuple[str, str, bytes]]) -> None:
    groups: dict[str, list[tuple[str, str, bytes]]] = {}
    for one in made:
        head = ("Worked from at true size" if one[0].startswith(TRUE_SIZE) else
                "Sent to a shop" if one[0].startswith(_TO_SEND) else "Read, ticked, carried into the shop")
        groups.setdefault(head, []).append(one)
    for head in ("Worked from at true size", "Sent to a shop", "Read, ticked, carried into the shop"):
        if head not in groups:
            continue
        with ui.element("section").classes("rule").style("gap:0"):
            look.words(head, "h2", tag="h2").style("padding-bottom:8px")
            if head.startswith("Worked"):
                _true_size(page)
            for name, what, data in groups[head]:
                _sheet(worked, name, what, data)


def _true_size(page: Page) -> None:
    """How to print at true size and how to tell that it worked."""
    with ui.element("div").classes("caution").style("display:flex;flex-direction:column;gap:8px;margin-bottom:14px"):
        look.words("Measure the bar before you cut", "k", tag="h3")
        look.put("<ol><li>1. Print at 100 %: “actual size”, never “fit to page”.</li>"
                 "<li>2. Lay a steel rule on the bars of every page: 100 mm and 4 in, along the foot and up the "
                 "side.</li><li>3. Off by more than half a millimetre: throw the page away and set the printer right. "
                 "Never work from it.</li></ol>")
        build = page.desk.build
        sheet = paper_called("A4" if build is None else build.settings.paper)
        bars = check_bars(sheet)
        _, _, end, top = bounds(bars[:2])
        along = [mark for mark in bars if bounds([mark])[3] < top + _ABOVE_MM and bounds([mark])[0] < end + _BESIDE_MM]
        left, low, right, high = bounds(along)
        leaf = Leaf(right - left + 2.0 * _ROUND_MM, high - low + 2.0 * _ROUND_MM)
        leaf.extend(shifted(mark, _ROUND_MM - left, _ROUND_MM - low) for mark in along)
        look.put(svg(leaf, "The two bars at the foot of the page, 100 mm and 4 in"), "drawn")
        look.words("So they look; on a screen they have no true size.", "s")


def _sheet(worked: Worked, name: str, what: str, data: bytes) -> None:
    if name.endswith(".txt"):
        with ui.element("details").classes("opens plain"):
            words = look.esc(look.capital(what))
            look.put(f'<span class="t"><b>{words}</b><span class="s">{look.esc(name)}</span></span>',
                     "", "summary")
            with ui.element("div").classes("inner"):
                look.put(look.esc(data.decode("utf-8", "replace")), "pre", "pre").props("tabindex=0")
        return
    picture = name.endswith(".svg")
    if not picture and _kind(name) not in _DRAWN:
        sheet_link(name, look.capital(what))
        return
    with ui.element("details").classes("opens plain") as row:
        row.props["data-sheet"] = name
        look.put(f'<span class="t"><b>{look.esc(look.capital(what))}</b><span class="s">{look.esc(name)}</span></span>',
                 "", "summary")
        inner = ui.element("div").classes("inner")

    async def fill(event: object) -> None:
        if not getattr(event, "args", False) or list(inner):
            return
        if picture:
            with inner:
                look.put(f'<img src="/sheets/{look.esc(name)}" alt="{look.esc(what)}" width="100%">', "drawn")
            return
        leaves = await run.io_bound(pages_of, worked, name)
        with inner:
            sheet_link(name, "Open it to print")
            svg_pages(leaves or [], what)

    row.on("toggle", fill, js_handler="(e) => emit(e.target.open)")


def sheet_link(name: str, words: str) -> None:
    """A link that opens a sheet in a new tab, where it can be printed."""
    look.put(f'<a class="sheet" href="/sheets/{look.esc(name)}" target="_blank" rel="noopener"><b>{look.esc(words)}</b>'
             f'<span class="s">{look.esc(name)}, opens in a new tab</span></a>')


def svg_pages(leaves: Sequence[Leaf], what: str) -> None:
    """Pages as they are printed, one under the other, in a window of their own that scrolls both ways."""
    drawn = "".join(svg(leaf, f"{what}, page {number} of {len(leaves)}") for number, leaf in enumerate(leaves, 1))
    if drawn:
        box = look.put(drawn, "pages")
        box.props["tabindex"] = "0"
        box.props["role"] = "region"
        box.props["aria-label"] = f"Pages of {what}"


# -- leaves of one sheet --------------------------------------------------------------------------------------------


def meta_of(worked: Worked) -> SheetMeta:
    """What the foot of a page says, as it is printed."""
    build, today = worked.results.build, date.today()
    settings = build.settings
    return SheetMeta(build.name or "build", "1", build.digest, f"{today.day} {today:%b %Y}", settings.load_state,
                     settings.paper, settings.fraction if settings.fraction > 16 else 32)


def pages_of(worked: Worked, name: str) -> list[Leaf]:
    """The pages of one sheet as leaves; none for a sheet that the build has nothing for.

    Raises
    ------
    KeyError
        for a sheet that is only to be had as a file
    """
    return _DRAWN[_kind(name)](worked, meta_of(worked))


def _kind(name: str) -> str:
    return name.rsplit(".", 1)[0]


def _shaft(w: Worked, meta: SheetMeta) -> list[Leaf]:
    found = w.results.driveline
    return [] if found is None or found.shaft is None else shaft_leaves(found.shaft, meta)


def _gearing(w: Worked, meta: SheetMeta) -> list[Leaf]:
    found = w.results.driveline
    return [] if found is None or found.gearing is None else gearing_leaves(found.gearing, meta)


def _ring(w: Worked, meta: SheetMeta) -> list[Leaf]:
    found = w.results.driveline
    gears = None if found is None else found.gear_set
    return [] if gears is None else ring_and_pinion_leaves(gears.set, meta, gears.shim, gears.findings)


def _order(kind: str) -> Callable[[Worked, SheetMeta], list[Leaf]]:
    draw = shaft_order_leaves if kind == "driveshaft" else axle_order_leaves

    def leaves(w: Worked, meta: SheetMeta) -> list[Leaf]:
        return [leaf for order in w.results.orders if order.kind == kind for leaf in draw(order, meta)]

    return leaves


def _survey(w: Worked, meta: SheetMeta) -> list[Leaf]:
    survey = w.results.survey
    return survey_leaves(survey, advise(survey) if survey.names else [], meta) if survey.readings else []


def _summary(w: Worked, meta: SheetMeta) -> list[Leaf]:
    return list(summary_leaves(picture_of(w.results, w.weighed), meta)) if w.results.placed else []


def _mates(w: Worked, meta: SheetMeta) -> list[Leaf]:
    return mates_list_leaves([mate_line(m.joint, m.answers) for m in w.results.mates], meta) if w.results.mates else []


def _machine(w: Worked, meta: SheetMeta) -> list[Leaf]:
    parts = parts_to_work((m.joint, m.answers) for m in w.results.mates)
    return machine_order_leaves(parts, meta, {"vehicle": meta.build}) if parts else []


def _holes(w: Worked, meta: SheetMeta) -> list[Leaf]:
    from dataclasses import replace

    parts = parts_to_work((m.joint, m.answers) for m in w.results.mates)
    plates = plates_of(parts)
    stop = replace(machine_stop(parts, {"vehicle": meta.build}), work="drilled") if plates else None
    return hole_template_leaves(plates, meta, stop, quantities_of(parts)) if stop is not None else []


def _torques(w: Worked, meta: SheetMeta) -> list[Leaf]:
    return torque_leaves(w.results.torques, meta) if w.results.torques else []


def _bag(w: Worked, meta: SheetMeta) -> list[Leaf]:
    bag = [item for chain in w.results.chains for item in chain.bag]
    return fittings_bag_leaves(bag, meta, {str(c.number): c.asked.name for c in w.results.chains}) if bag else []


_DRAWN: dict[str, Callable[[Worked, SheetMeta], list[Leaf]]] = {
    "summary": _summary, "survey": _survey, "shaft": _shaft, "gearing": _gearing, "ring-and-pinion": _ring,
    "order-driveshaft": _order("driveshaft"), "order-differential": _order("differential"), "mates": _mates,
    "order-machine-shop": _machine, "hole-templates": _holes, "torque": _torques, "fittings-bag": _bag,
}
