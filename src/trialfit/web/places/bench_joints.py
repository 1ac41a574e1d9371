"""Does it go together: every joint between two parts, place by place, worst first, with what to do and its drawing."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from nicegui import ui

from trialfit.checks import slug
from trialfit.checks.assembly import MateResult
from trialfit.checks.fittings import ChainResult
from trialfit.findings import RANK, Finding, Verdict
from trialfit.mates import Answer, Figure, Plate, Work
from trialfit.sheets.drawing import Leaf
from trialfit.sheets.mates_list import MateLine, margin_words, mate_line, measures, twins_joined
from trialfit.sheets.plate_drawing import limits_words, plate_drawing
from trialfit.sheets.svg import svg
from trialfit.sheets.turned_drawing import turned_drawing
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.working import Worked

PLACES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Engine and gearbox", ("gearbox on engine", "mount on bracket", "dipstick and tube", "dipstick tube in case")),
    ("Shaft, yokes and splines", ("joint in yoke", "spline in spline", "flange on flange")),
    ("Wheels and brakes", ("wheel on hub", "wheel over brake", "rotor on hub", "rotor in caliper", "drum over shoes",
                           "brake bracket on housing end")),
    ("Axle on its springs", ("axle tube on spring",)),
    ("Bolts through brackets and ears", ("bolt through hole",)),
    ("Exhaust", ("pipe to pipe", "V-band", "exhaust flange to flange", "sensor in bung")),
    ("Brake, fuel and water lines", ("hydraulic end to end", "hose on barb")),
)
"""Places on the vehicle, and the kinds of joint that are found there."""
_ELSEWHERE = "Elsewhere"
_WIDTHS_MM = (92.0, 120.0, 150.0, 186.0)
"""How wide a drawing is laid out, the first that holds it: on a phone the words of a narrow one come out about as large
as those beside it; a wide one is moved about under the finger [mm]."""
_LEAST_SCALE = 0.19
"""Smallest scale that a drawing is shown at while there is a wider one [-]."""
_FIRST = 3


@dataclass(frozen=True, slots=True)
class Shown:
    """One row: the joint (left and right as one where the same is said of both) and all that is said of it."""

    line: MateLine
    result: MateResult

    @property
    def slug(self) -> str:
        """As the names of its findings have it."""
        return slug(self.result.joint.name)


def rows(mates: Sequence[MateResult]) -> list[tuple[str, list[Shown]]]:
    """Every joint under its place: the place with the worst joint first, within it the worst joint first."""
    by_name = {m.joint.name: m for m in mates}
    lines = twins_joined([mate_line(m.joint, m.answers) for m in mates])
    shown = [Shown(one, by_name.get(one.joint) or by_name[f"{one.joint.removesuffix(', left and right')} left"])
             for one in lines]
    known = {kind: place for place, kinds in PLACES for kind in kinds}
    groups: dict[str, list[Shown]] = {}
    for one in sorted(shown, key=lambda s: RANK[s.line.verdict]):
        groups.setdefault(known.get(one.line.kind, _ELSEWHERE), []).append(one)
    return sorted(groups.items(), key=lambda g: (RANK[g[1][0].line.verdict],
                                                 -sum(s.line.verdict is g[1][0].line.verdict for s in g[1])))


def show(page: Page, thing: str) -> None:
    """The joints; the one that ``thing`` names stands open."""
    look.words("Does it go together?", "h1", tag="h1")
    worked = page.desk.worked or page.desk.last
    page.busy()
    if worked is None:
        return
    if page.desk.worked is None:
        look.words("These are from before your last change.", "kept")
    mates, chains = worked.results.mates, worked.results.chains
    if not mates and not chains:
        look.words("No joint between two parts is written down yet. Write the parts and their mates into the build "
                   "file: what meets what, and the sizes that you know.")
        look.go_key("Open the build file", lambda: page.go("Bench", thing="build file"))
        return
    grouped = rows(mates)
    look.words(f"{len(mates)} joints: {look.counted(Counter(m.verdict for m in mates))}.")
    _first(page, [s.line for _, group in grouped for s in group])
    opened = _opened(page)
    for place, group in grouped:
        _place(page, worked, place, group, thing, opened)
    _chains(page, worked, chains, thing)
    loose = [f for f in worked.findings if f.name.startswith("bolts.") and f.verdict is not Verdict.FITS]
    if loose:
        look.words("Bolts and what they hold", "h2 rule", tag="h2")
        for finding in loose:
            finding_said(page, finding)
    _links(page, (("mates.pdf", "The list of joints, on paper"), ("torque.pdf", "The torque list, with boxes to tick")))


def _opened(page: Page) -> set[str]:
    found = page.kept.setdefault("bench open", set())
    assert isinstance(found, set)
    return found


def _first(page: Page, lines: Sequence[MateLine]) -> None:
    asked = measures(lines)
    if not asked:
        return
    with ui.element("section").classes("rule"):
        look.words("Measure this first", "h2", tag="h2")
        for text, joints in asked[:_FIRST]:
            with ui.element("div").classes("said open"):
                look.words(_sentence(page.told(text)), tag="p")
                look.words(f"Settles {', '.join(joints)}.", "s")
        if len(asked) > _FIRST:
            look.words(f"{len(asked) - _FIRST} more to measure, each with its joint below.", "s")


def _place(page: Page, worked: Worked, place: str, group: Sequence[Shown], thing: str, opened: set[str]) -> None:
    with ui.element("section").classes("rule").style("gap:0"):
        look.words(place, "h2", tag="h2").style("padding-bottom:8px")
        open_ = [s for s in group if s.line.verdict is not Verdict.FITS]
        fits = [s for s in group if s.line.verdict is Verdict.FITS]
        for one in open_:
            _row(page, worked, one, thing, opened)
        if not fits:
            return
        wanted = any(_named(one, thing) or one.slug in opened for one in fits)
        if not open_:
            for one in fits:
                _row(page, worked, one, thing, opened)
            return
        with ui.element("details").classes("opens plain") as more:
            look.words(f"{len(fits)} more that fit{'s' if len(fits) == 1 else ''}", "", "summary")
            if wanted:
                more.props["open"] = True
            with ui.element("div"):
                for one in fits:
                    _row(page, worked, one, thing, opened)


def _named(one: Shown, thing: str) -> bool:
    if not thing.startswith("mate."):
        return False
    name = thing.split(".")[1]
    other = f"{one.slug.removesuffix('-left')}-right" if one.line.joint.endswith(", left and right") else one.slug
    return name in (one.slug, other)


def _row(page: Page, worked: Worked, one: Shown, thing: str, opened: set[str]) -> None:
    open_now = _named(one, thing) or one.slug in opened
    under = one.line.reasons[0] if one.line.reasons else one.line.margin
    if one.line.reasons and len(one.line.reasons) > 1:
        under = f"{under}; and {len(one.line.reasons) - 1} more"
    with ui.element("details").classes("opens") as row:
        row.props["data-joint"] = one.slug
        with ui.element("summary"):
            look.put(look.mark(one.line.verdict, 26), tag="span")
            look.put(f'<b>{look.esc(one.line.joint)}</b><span class="s">{look.esc(page.told(under))}</span>', "t",
                     "span")
        inner = ui.element("div").classes("inner")

    def fill() -> None:
        with inner:
            _detail(page, worked, one)

    if open_now:
        row.props["open"] = True
        fill()
        if _named(one, thing):
            ui.run_javascript(f"getElement({row.id}).scrollIntoView({{block:'start'}})")

    def turned(event: object) -> None:
        is_open = bool(getattr(event, "args", None))
        if is_open:
            opened.add(one.slug)
            if not list(inner):
                fill()
        else:
            opened.discard(one.slug)

    row.on("toggle", turned, js_handler="(e) => emit(e.target.open)")


def _detail(page: Page, worked: Worked, one: Shown) -> None:
    joint = one.result.joint
    look.words(f"{joint.kind}: {joint.a_part} and {joint.b_part}", "s")
    ordered = sorted(one.result.answers, key=lambda a: RANK[a.verdict])
    told: set[str] = set()
    for answer in ordered:
        if answer.verdict is not Verdict.FITS:
            _answer(page, answer, told)
    fits = [a for a in ordered if a.verdict is Verdict.FITS]
    if fits:
        with ui.element("details").classes("opens plain"):
            look.words(f"{len(fits)} question{'' if len(fits) == 1 else 's'} answered with fits", "", "summary")
            with ui.element("div").classes("inner"):
                for answer in fits:
                    with ui.element("div").classes("said"):
                        look.put(f"<b>{look.esc(answer.question)}</b>: {look.esc(page.told(answer.reason))}", tag="p")
                        _source(page, answer.rule, answer.source)
                        _caution(page, answer.caution, told)
    works = [w for a in one.result.answers for w in a.works]
    links = [("mates.pdf", "The list of joints, on paper")]
    if works:
        links.insert(0, ("order-machine-shop.pdf", "The order to the machine shop"))
    if any(isinstance(w.figure, Plate) for w in works):
        links.insert(1, ("hole-templates.pdf", "The template at full size"))
    if page.desk.worked is worked:
        _links(page, tuple(links))
    if joint.where is not None:
        line = joint.where.line
        look.key(f"Its line in the build file: {line}", lambda: page.go("Bench", thing=f"build file:{line}"))


def _answer(page: Page, answer: Answer, told: set[str]) -> None:
    with ui.element("div").classes("said open"):
        look.put(look.verdict_line(answer.verdict, 24))
        look.put(f"<b>{look.esc(look.capital(answer.question))}</b>: {look.esc(page.told(answer.reason))}.", tag="p")
        if answer.margin is not None:
            look.words(page.told(margin_words(answer)), "s")
        if answer.measure:
            look.put(f"<b>Measure:</b> {look.esc(_sentence(page.told(answer.measure)))}", tag="p")
        if answer.remedy:
            look.put(f"<b>Do:</b> {look.esc(_sentence(page.told(answer.remedy)))}", tag="p")
        for work in answer.works:
            _work(page, work, answer.remedy)
        _source(page, answer.rule, answer.source)
        _caution(page, answer.caution, told)


def _work(page: Page, work: Work, remedy: str) -> None:
    if work.words != remedy:
        look.put(f"<b>Work:</b> {look.esc(_sentence(page.told(work.words)))}", tag="p")
    if work.target is not None:
        t = work.target
        metric, inch = limits_words(t.low_mm, t.high_mm)
        first, second = (inch, metric) if page.units == "inch" else (metric, inch)
        look.put(f"<b>To size:</b> {look.esc(first)} ({look.esc(second)}), {look.esc(t.fit)}", tag="p")
    if work.true_to:
        run_out = "" if work.runout_mm is None else f", to {work.runout_mm:.2f} mm"
        look.put(f"<b>True to:</b> {look.esc(work.true_to)}{look.esc(page.told(run_out))}", tag="p")
    if work.forbidden:
        items = "".join(f"<li>– {look.esc(page.told(f))}</li>" for f in work.forbidden)
        look.put(f"<b>Not allowed:</b><ul>{items}</ul>")
    if work.figure is not None:
        figure = work.figure
        leaf, scale = drawing(figure)
        look.words(f"{look.capital(figure.title)}, drawn {scale}; sizes in mm. A: {figure.datum}.", "s")
        box = look.put(svg(leaf, figure.title), "drawn" if leaf.width == _WIDTHS_MM[0] else "drawn large")
        if leaf.width != _WIDTHS_MM[0]:
            box.props["tabindex"] = "0"
            box.props["role"] = "region"
            box.props["aria-label"] = f"Drawing of {figure.title}"


def drawing(figure: Figure) -> tuple[Leaf, str]:
    """A machining drawing no wider than it must be, and its scale in words.

    Raises
    ------
    ValueError
        for a part that goes on no paper
    """
    for wide in _WIDTHS_MM:
        try:
            drawn = plate_drawing(figure, wide) if isinstance(figure, Plate) else turned_drawing(figure, wide)
        except ValueError:
            if wide == _WIDTHS_MM[-1]:
                raise
            continue
        # one that hardly leaves room for the part beside its words is of no use
        if drawn.paper_per_mm < _LEAST_SCALE and wide != _WIDTHS_MM[-1]:
            continue
        leaf = Leaf(wide, drawn.height_mm)
        leaf.extend(drawn.marks)
        return leaf, drawn.scale
    raise AssertionError("the last width either draws or refuses")


def _source(page: Page, rule: str, source: str) -> None:
    said = "; ".join(t for t in (f"Rule: {rule}" if rule else "", f"Source: {source}" if source else "") if t)
    if said:
        look.words(page.told(said), "s")


def _caution(page: Page, text: str, told: set[str]) -> None:
    if text and text not in told:
        told.add(text)
        look.words(page.told(text), "caution s")


def _chains(page: Page, worked: Worked, chains: Sequence[ChainResult], thing: str) -> None:
    if not chains:
        return
    with ui.element("section").classes("rule"):
        look.words("Lines whose ends do not meet", "h2", tag="h2")
        for finding in worked.findings:
            if finding.name.startswith("chain."):
                finding_said(page, finding, here=finding.name == thing)
        if page.desk.worked is worked:
            _links(page, (("fittings-bag.pdf", "Which fittings go into which bag"),))


def finding_said(page: Page, finding: Finding, here: bool = False) -> None:
    """One finding as it stands on the bench: verdict, reason, what to do, where from, its line in the file."""
    with ui.element("div").classes("said open") as box:
        look.put(look.verdict_line(finding.verdict, 24))
        look.words(_sentence(page.told(finding.reason)), tag="p")
        if finding.remedy and finding.verdict is not Verdict.FITS:
            look.put(f"<b>Do:</b> {look.esc(_sentence(page.told(finding.remedy)))}", tag="p")
        _source(page, finding.rule, finding.source)
        _caution(page, finding.caution, set())
        if finding.where is not None:
            line = finding.where.line
            look.key(f"Line {line} of the build file", lambda: page.go("Bench", thing=f"build file:{line}"), "back")
    if here:
        ui.run_javascript(f"getElement({box.id}).scrollIntoView({{block:'start'}})")


def _links(page: Page, links: Sequence[tuple[str, str]]) -> None:
    from trialfit.web.places.bench_sheets import sheet_link

    worked = page.desk.worked
    if worked is None:
        return
    for name, words in links:
        if name == "torque.pdf" and not worked.results.torques:
            continue
        sheet_link(name, words)


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{look.capital(text)}{'' if text.endswith(('.', '?', '!')) else '.'}" if text else ""
