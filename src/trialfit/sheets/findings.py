"""The findings on paper: worst first, each gap drawn with its doubt."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.findings import RANK, Finding, Verdict, worst_first
from trialfit.sheets.drawing import SMALL, SMALL_FIGURE, TEXT, TEXT_BOLD, Leaf, line, shifted
from trialfit.sheets.marks import MEANING, GapBar, bar_scale, gap_bar, gap_words, gap_words_inch, verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop
from trialfit.sheets.pdf import pdf

SHEET = "Findings"


@dataclass(frozen=True, slots=True)
class GapLine:
    """One pair's smallest gap over the whole travel. ``where`` says at which pose and place in words; ``remedy`` what
    to do; ``rule`` who asks for the gap, with its source."""

    between: str
    bar: GapBar
    verdict: Verdict
    where: str = ""
    remedy: str = ""
    rule: str = ""




def findings_sheet(findings: Sequence[Finding], gaps: Sequence[GapLine], meta: SheetMeta,
                   stop: Stop | None = None, not_drawn: int = 0, elsewhere: int = 0) -> bytes:
    """All findings as PDF, worst first; gaps that are drawn need not stand among the findings again.

    Parameters
    ----------
    findings : sequence of Finding
        in any order
    gaps : sequence of GapLine
        in any order
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop or None
        whether anything may be cut yet
    not_drawn : int
        how many more gaps fit and are left out of ``gaps`` [-]
    elsewhere : int
        how many more findings of joints fit and are left to the list of joints [-]
    """
    return pdf(findings_leaves(findings, gaps, meta, stop, not_drawn, elsewhere), f"{meta.build}: findings")


def findings_leaves(findings: Sequence[Finding], gaps: Sequence[GapLine], meta: SheetMeta,
                    stop: Stop | None = None, not_drawn: int = 0, elsewhere: int = 0) -> list[Leaf]:
    """The leaves of :func:`findings_sheet`."""
    flow = Flow(meta, SHEET)
    flow.title("What fits, and what does not", meta.build)
    if stop is not None:
        flow.stop_bar(stop)
    flow.skip(2.0)
    counts = Counter([f.verdict for f in findings] + [g.verdict for g in gaps])
    counts[Verdict.FITS] += not_drawn + elsewhere
    _counts(flow, counts)
    if elsewhere:
        flow.paragraph(f"{elsewhere} of those that fit are about joints: they stand on the list of joints.", SMALL)
    ordered = sorted(gaps, key=lambda g: (RANK[g.verdict], g.bar.lower_mm - g.bar.required_mm, g.between))
    if ordered:
        _gaps(flow, ordered)
        if not_drawn:
            flow.paragraph(f"{not_drawn} more gaps fit by a wider margin and are not drawn.", SMALL)
    if findings:
        _findings(flow, worst_first(findings))
    return flow.finish()


def _counts(flow: Flow, counts: Counter[Verdict]) -> None:
    rows: list[tuple[Cell, ...]] = []
    for verdict in sorted(Verdict, key=RANK.__getitem__):
        if counts[verdict]:
            rows.append((tuple(verdict_words(verdict, (0.0, 0.0))), Run(str(counts[verdict]), TEXT_BOLD),
                         MEANING[verdict]))
    if not rows:
        flow.paragraph("Nothing has been looked at yet: no shape, no route, no reading stands in the build file.")
        return
    flow.table((Column("", 1.3), Column("", 0.5), Column("", 4.2)), rows)


_BAR_AT = 1.3


def _gaps(flow: Flow, gaps: Sequence[GapLine]) -> None:
    room = flow.right - flow.column(_BAR_AT)
    scale = bar_scale([g.bar for g in gaps], room)
    flow.section("Smallest gaps over the whole travel", 40.0)
    size = "full size" if scale == 1 else f"1 : {scale}"
    flow.paragraph(f"Drawn {size} from nought. Hatched: the gap that is wanted. Tall tick: the smallest gap found. "
                   "Black bar: where it lies in 95 of 100 cases, by the doubt of the readings. Clear of the hatching: "
                   "fits. All within it: does not fit. Else: cannot tell. An arrow: it goes on beyond the edge.", SMALL)
    for gap in gaps:
        _gap(flow, gap, room, scale)
    flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y)))


def _gap(flow: Flow, gap: GapLine, room: float, scale: int) -> None:
    words = [Run(gap.between, TEXT_BOLD)]
    below = [Run(f"{gap_words(gap.bar)}{'; ' + gap.where if gap.where else ''}", TEXT),
             Run(gap_words_inch(gap.bar), SMALL)]
    if gap.remedy:
        below.append(Run(f"Do: {gap.remedy}", TEXT))
    if gap.rule:
        below.append(Run(gap.rule, SMALL))
    column = Column("", 6.0 - _BAR_AT)
    above_marks, above = flow.cell(tuple(words), column)
    below_marks, under = flow.cell(tuple(below), column)
    high = above + 12.6 + under + 2.4
    flow.need(high)
    x, y = flow.column(_BAR_AT), flow.y
    flow.leaf.add(line((flow.left, y), (flow.right, y)))
    flow.leaf.extend(verdict_words(gap.verdict, (flow.left, y - 5.0)))
    flow.leaf.extend(shifted(m, x, y - 0.8) for m in above_marks)
    flow.leaf.extend(gap_bar(gap.bar, (x, y - above - 7.6), room, scale))
    flow.leaf.extend(shifted(m, x, y - above - 12.6) for m in below_marks)
    flow.skip(high)


def _findings(flow: Flow, findings: Sequence[Finding]) -> None:
    flow.section("All other findings, worst first", 30.0)
    rows: list[tuple[Cell, ...]] = []
    for finding in findings:
        told = [Run(_sentence(finding.reason), TEXT)]
        if finding.remedy:
            told.append(Run(f"Do: {_sentence(finding.remedy)}", TEXT_BOLD))
        by = "; ".join(p for p in (finding.rule, finding.source) if p)
        small = [finding.name, *([f"by: {by}"] if by else []), *([str(finding.where)] if finding.where else [])]
        told += [Run(part, SMALL_FIGURE if k == 0 else SMALL) for k, part in enumerate(small)]
        rows.append((tuple(verdict_words(finding.verdict, (0.0, 0.0))), tuple(told)))
    flow.table((Column("", _BAR_AT), Column("", 6.0 - _BAR_AT)), rows)


def _sentence(text: str) -> str:
    """A capital at the front unless a name stands there, and a full stop at the end."""
    first = text.split(" ", 1)[0]
    head = text if any(c in first for c in "._-0123456789") else f"{text[:1].upper()}{text[1:]}"
    return head if head.endswith((".", "?", "!")) else f"{head}."


