"""Everything printed for one build: which sheets, under which names, and whether they may be cut from."""

from collections.abc import Sequence
from dataclasses import replace

from trialfit import units
from trialfit.checks import Results
from trialfit.doubt import Weighed, for_people, pose_words, remedy
from trialfit.doubt.gates import leans_of_route
from trialfit.exhaust.welding import told_to_trim
from trialfit.findings import Finding, Verdict
from trialfit.sheets.axle_order import axle_order_sheet
from trialfit.sheets.cut_list import cut_list_sheet
from trialfit.sheets.findings import GapLine, findings_sheet
from trialfit.sheets.gearing_sheet import gearing_sheet
from trialfit.sheets.making_paper import making_paper
from trialfit.sheets.marks import GapBar
from trialfit.sheets.mates_paper import mates_paper
from trialfit.sheets.order_text import order_text
from trialfit.sheets.paper import SheetMeta, Stop
from trialfit.sheets.picture import summary_leaf
from trialfit.sheets.ring_and_pinion_sheet import ring_and_pinion_sheet
from trialfit.sheets.shaft_order import shaft_order_sheet
from trialfit.sheets.shaft_sheet import shaft_sheet
from trialfit.sheets.summary import summary_page
from trialfit.sheets.survey import survey_sheet
from trialfit.sheets.svg import svg
from trialfit.sheets.vehicle_views import picture_of
from trialfit.sheets.wrap import wrap_sheets
from trialfit.survey import advise

_CLOSEST = 12
"""How many of the gaps that fit are drawn, closest first; the others are counted."""


def build_paper(results: Results, weighed: Sequence[Weighed], found: Sequence[Finding], paper: str, day: str
                ) -> list[tuple[str, str, bytes]]:
    """Every sheet of a build as (file name, what it is, bytes); ``paper`` is A4 or Letter, ``day`` the date as printed.

    A sheet that the build has nothing for is left out.
    """
    build = results.build
    settings = build.settings
    meta = SheetMeta(build.name or "build", "1", build.digest, day, settings.load_state, paper,
                     settings.fraction if settings.fraction > 16 else 32)
    sheets: list[tuple[str, str, bytes]] = []
    if results.placed:
        picture = picture_of(results, weighed)
        sheets.append(("summary.pdf", "side and plan view, smallest gaps", summary_page(picture, meta)))
        sheets.append(("summary.svg", "the same for a screen",
                       svg(summary_leaf(picture), f"{meta.build}: side and plan").encode()))
    if results.survey.readings:
        advice = advise(results.survey) if results.survey.names else []
        sheets.append(("survey.pdf", "hardpoints, misread and unchecked readings, what to measure next",
                       survey_sheet(results.survey, advice, meta)))
    lines = _gap_lines(weighed)
    sheets.append(("findings.pdf", "every finding, worst first",
                   findings_sheet(_others(found), lines, meta, not_drawn=len(weighed) - len(lines),
                                  elsewhere=sum(_of_a_joint_that_fits(f) for f in for_people(found)))))
    fit_ups = {m.cuts.route: m.fit_up for m in results.makings}
    for cut in (told_to_trim(c, fit_ups.get(c.route)) for c in results.cuts):
        stop = stop_of_route(cut.route, found, results)
        sheets.append((f"cut-list-{cut.route}.pdf", "pieces of the exhaust, one by one",
                       cut_list_sheet(cut, meta, stop)))
        papers = [w for w in results.wraps if w.name.startswith(f"{cut.route} ") or len(results.cuts) == 1]
        if papers:
            sheets.append((f"wrap-{cut.route}.pdf", "templates at full size, to wrap round the pipe",
                           wrap_sheets(papers, meta, stop)))
        for making in results.makings:
            if making.cuts.route == cut.route:
                told = replace(making, cuts=told_to_trim(making.cuts, making.fit_up))
                sheets += making_paper(told, results, weighed, found, meta, stop)
    return [*sheets, *_driveline_paper(results, meta), *mates_paper(results, meta)]


def _driveline_paper(results: Results, meta: SheetMeta) -> list[tuple[str, str, bytes]]:
    """Sheets of shaft, gearing, ring and pinion, and the two orders: on paper, and as text to paste into a message."""
    sheets: list[tuple[str, str, bytes]] = []
    found = results.driveline
    if found is not None and found.shaft is not None:
        sheets.append(("shaft.pdf", "joint angles, slip, whirl, pinion setting, tubes",
                       shaft_sheet(found.shaft, meta)))
    if found is not None and found.gearing is not None:
        sheets.append(("gearing.pdf", "gears, pictures, axle ratios best first", gearing_sheet(found.gearing, meta)))
    for order in results.orders:
        draw = shaft_order_sheet if order.kind == "driveshaft" else axle_order_sheet
        ready = "" if order.may_order else "; NOT TO BE ORDERED FROM YET"
        sheets.append((f"order-{order.kind}.pdf", f"{order.title.lower()}{ready}", draw(order, meta)))
        sheets.append((f"order-{order.kind}.txt", "the same to paste into a message",
                       order_text(order, meta).encode("utf-8")))
    if found is not None and found.gear_set is not None:
        gears = found.gear_set
        sheets.append(("ring-and-pinion.pdf", "settings, contact pattern, running in",
                       ring_and_pinion_sheet(gears.set, meta, gears.shim, gears.findings)))
    return sheets


def _both(text: str) -> str:
    """Lengths of a sentence in both systems, as everything printed has them."""
    return units.retold(text, "metric", both=True)


def _of_a_joint_that_fits(finding: Finding) -> bool:
    return finding.verdict is Verdict.FITS and finding.name.startswith(("mate.", "bolts."))


def _others(found: Sequence[Finding]) -> list[Finding]:
    """Findings that are no gaps; those that fit only where they carry a number, and no joint that fits: the list of
    joints has them."""
    kept = [f for f in for_people(found) if not f.name.startswith("gap.") and not _of_a_joint_that_fits(f)]
    said: set[str] = set()
    told = []
    for f in kept:
        caution = "" if f.verdict is Verdict.FITS or f.caution in said else f.caution
        said.add(caution)
        remedy = ". Caution: ".join(text for text in (f.remedy, caution) if text)
        told.append(replace(f, reason=_both(f.reason), remedy=_both(remedy)))
    return told


def _gap_lines(weighed: Sequence[Weighed]) -> list[GapLine]:
    open_ = [w for w in weighed if w.verdict is not Verdict.FITS]
    fits = sorted((w for w in weighed if w.verdict is Verdict.FITS), key=lambda w: w.margin_mm)
    lines = []
    for w in (*open_, *fits[:_CLOSEST]):
        a = w.answer
        lines.append(GapLine(
            f"{a.pair.a.name} to {a.pair.b.name}", GapBar(a.lower_mm, a.upper_mm, a.pair.required_mm, w.sd_mm),
            w.verdict,
            _both(pose_words(a.pose)) if a.closed else "", _both(remedy(w)), f"{a.pair.rule} ({a.pair.source})"))
    return lines


def stop_of_route(route: str, found: Sequence[Finding], results: Results) -> Stop:
    """Whether a route may be cut from: nothing that it leans on is open, by the rule of the gates."""
    plan = next(r for r in results.build.routes if r.name == route)
    open_ = [f for f in leans_of_route(plan, results, found) if f.verdict is not Verdict.FITS]
    if open_:
        more = f" And {len(open_) - 1} more: see the findings." if len(open_) > 1 else ""
        return Stop(False, "cut", f"{_both(open_[0].reason)}.{more}", _both(open_[0].remedy))
    return Stop(True, "cut", "every gap and bend of this route fits",
                f"stands on {len(results.survey.readings)} readings")
