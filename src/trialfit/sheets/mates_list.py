"""Every joint between two parts on one page, worst first, what to measure at the top; behind it what each one needs."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialfit import units
from trialfit.exhaust.cuts import letter
from trialfit.findings import RANK, SURE, Verdict
from trialfit.mates import Answer, Joint, worst
from trialfit.sheets.drawing import (
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE_BOLD,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Words,
    line,
    rectangle,
)
from trialfit.sheets.lengths import minus
from trialfit.sheets.marks import WORD, verdict_mark, verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, fitted
from trialfit.sheets.pdf import pdf
from trialfit.sheets.plate_drawing import both

SHEET = "Mates list"
MOST_MEASURES = 6
"""How many things to measure stand at the top; the rest stand with their joints."""
_FIT_ROW_MM = 4.8


@dataclass(frozen=True, slots=True)
class MateLine:
    """One joint on the list. ``place`` is where on the vehicle, ``kind`` the kind of joint in trade words; ``reasons``
    what its worst answers say, worst first; ``remedy`` what to do, ``measure`` what to measure, "" for nothing;
    ``margin`` the least room left, in words."""

    place: str
    joint: str
    kind: str
    verdict: Verdict
    reasons: tuple[str, ...] = ()
    remedy: str = ""
    measure: str = ""
    margin: str = ""
    cautions: tuple[str, ...] = ()


def mate_line(joint: Joint, answers: Sequence[Answer], place: str = "") -> MateLine:
    """A joint and its answers as one line: the answers that bear its verdict, and the least margin where all fit.

    Raises
    ------
    ValueError
        without any answer
    """
    verdict = worst(answers)
    bad = [a for a in answers if a.verdict is verdict] if verdict is not Verdict.FITS else []
    also = [a for a in answers if a.verdict is not Verdict.FITS and a not in bad]
    reasons = tuple(f"{a.question}: {a.reason}" for a in (*bad, *also))
    do = [a.remedy for a in bad if a.remedy] or [w.words for a in bad for w in a.works]
    measures = [a.measure for a in (*bad, *also) if a.measure]
    known = [(a.margin, a) for a in answers if a.margin is not None]
    least = min(known, key=lambda pair: pair[0])[1] if known else None
    return MateLine(
        place,
        joint.name,
        joint.kind,
        verdict,
        reasons,
        "; ".join(dict.fromkeys(do)),
        "; ".join(dict.fromkeys(measures)),
        "" if least is None else margin_words(least),
        tuple(dict.fromkeys(a.caution for a in bad if a.caution)),
    )


def margin_words(answer: Answer) -> str:
    """The room left at one question with its doubt, in words.

    >>> margin_words(Answer("bore", Verdict.FITS, "", 0.12, 0.02, "mm"))
    'bore: 0.12 ± 0.04 mm to spare'
    """
    if answer.margin is None:
        return ""
    amount, doubt = answer.margin, answer.sd
    unit = answer.unit
    if unit not in ("", "-"):
        amount = units.in_unit(amount, unit)
        doubt = None if doubt is None else units.in_unit(doubt, unit)
    half = f" \u00b1 {SURE * doubt:.2f}" if doubt else ""
    size = f"{minus(abs(amount), 2)}{half} {unit}".strip()
    side = "to spare" if amount >= 0.0 else "short"
    return f"{answer.question}: {size} {side}{', doubt not known' if doubt is None else ''}"


def mates_list_sheet(lines: Sequence[MateLine], meta: SheetMeta) -> bytes:
    """The mates list as PDF.

    Parameters
    ----------
    lines : sequence of MateLine
        every joint of the build, in any order
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(mates_list_leaves(lines, meta), f"{meta.build}: mates list")


def mates_list_leaves(lines: Sequence[MateLine], meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`mates_list_sheet`: the first holds every joint, the others what each needs."""
    flow = Flow(meta, SHEET)
    flow.title("Does it go together", "")
    _counts(flow, lines)
    if not lines:
        flow.paragraph("No joint between two parts stands in the build file yet.")
        return flow.finish()
    ordered = sorted(twins_joined(lines), key=lambda m: RANK[m.verdict])
    asked = measures(ordered)
    _measures(flow, asked)
    _every(flow, ordered)
    open_ = [m for m in ordered if m.verdict is not Verdict.FITS]
    if open_:
        flow.next_leaf()
        cautions = list(dict.fromkeys(c for m in open_ for c in m.cautions))
        _open(flow, open_, {text: n for n, (text, _) in enumerate(asked, 1)}, cautions)
        _cautions(flow, cautions)
    return flow.finish()


def twins_joined(lines: Sequence[MateLine]) -> list[MateLine]:
    """The lines with left and right of one joint as one, where the same is said of both.

    >>> pair = [MateLine("", f"rear wheel {side}", "wheel on hub", Verdict.FITS) for side in ("left", "right")]
    >>> [mate.joint for mate in twins_joined(pair)]
    ['rear wheel, left and right']
    """
    found: list[MateLine] = []
    waiting: dict[MateLine, int] = {}
    for mate in lines:
        stem, _, side = mate.joint.rpartition(" ")
        bare = replace(mate, joint=stem)
        if side == "right" and bare in waiting:
            at = waiting.pop(bare)
            found[at] = replace(found[at], joint=f"{stem}, left and right")
            continue
        if side == "left":
            waiting[bare] = len(found)
        found.append(mate)
    return found


def measures(lines: Sequence[MateLine]) -> list[tuple[str, tuple[str, ...]]]:
    """What is to be measured and which joints wait for it: what settles most of them first."""
    waiting: dict[str, list[str]] = {}
    for mate in lines:
        if mate.measure and mate.verdict is not Verdict.FITS:
            waiting.setdefault(mate.measure, []).append(mate.joint)
    ordered = sorted(waiting.items(), key=lambda item: -len(item[1]))
    return [(text, tuple(joints)) for text, joints in ordered]


def _counts(flow: Flow, lines: Sequence[MateLine]) -> None:
    counts = Counter(m.verdict for m in lines)
    flow.skip(4.0)
    x = flow.left
    for verdict in sorted(Verdict, key=RANK.__getitem__):
        flow.leaf.extend(verdict_words(verdict, (x, flow.y)))
        flow.leaf.add(
            Words((x + 8.4 + TEXT_BOLD.width(WORD[verdict]), flow.y), str(counts[verdict]), SMALL_FIGURE_BOLD)
        )
        x += flow.wide / 4.0
    flow.skip(1.0)


def _measures(flow: Flow, asked: Sequence[tuple[str, tuple[str, ...]]]) -> None:
    if not asked:
        return
    flow.section("Measure this first", 12.0)
    box = (rectangle(0.0, -0.6, 3.4, 2.8, LineKind.OUTLINE),)
    rows: list[tuple[Cell, ...]] = []
    for number, (text, joints) in enumerate(asked[:MOST_MEASURES], 1):
        rows.append(
            (
                box,
                Run(str(number), SMALL_FIGURE_BOLD),
                Run(both(_sentence(text)), SMALL_BOLD),
                Run(f"settles {', '.join(joints)}", SMALL),
            )
        )
    flow.table((Column("", 0.25), Column("", 0.25), Column("", 3.7), Column("", 1.8)), rows)
    if len(asked) > MOST_MEASURES:
        flow.paragraph(f"{len(asked) - MOST_MEASURES} more to measure, with their joints on the next pages.", SMALL)


def _open(flow: Flow, lines: Sequence[MateLine], numbers: dict[str, int], cautions: Sequence[str]) -> None:
    flow.section("Joints that need something, worst first", 20.0)
    rows: list[tuple[Cell, ...]] = []
    for mate in lines:
        told = [Run(both(_sentence(r)), SMALL) for r in mate.reasons]
        if mate.remedy:
            told.append(Run(f"Do: {both(_sentence(mate.remedy))}", SMALL_BOLD))
        if mate.measure:
            number = numbers[mate.measure]
            told.append(
                Run(
                    f"Measure: number {number} on the first page."
                    if number <= MOST_MEASURES
                    else f"Measure: {both(_sentence(mate.measure))}",
                    SMALL_BOLD,
                )
            )
        if mate.cautions:
            told.append(Run(f"Caution {', '.join(letter(cautions.index(c)) for c in mate.cautions)} below.", SMALL))
        rows.append(
            (
                tuple(verdict_words(mate.verdict, (0.0, 0.0), SMALL_BOLD)),
                (Run(mate.joint, SMALL_BOLD), Run(", ".join(p for p in (mate.place, mate.kind) if p), SMALL)),
                tuple(told) or Run("", SMALL),
            )
        )
    flow.table((Column("", 1.1), Column("", 1.6), Column("", 3.3)), rows)


def _cautions(flow: Flow, cautions: Sequence[str]) -> None:
    if not cautions:
        return
    flow.section("Cautions", 14.0)
    flow.table((Column("", 0.3), Column("", 5.7)),
               [(Run(letter(n), SMALL_BOLD), Run(both(_sentence(c)), SMALL)) for n, c in enumerate(cautions)])


def _every(flow: Flow, lines: Sequence[MateLine]) -> None:
    """Every joint, a line each, worst first down the columns: two with the least margin, three where room is short."""
    rows = -(-len(lines) // 2)
    roomy = flow.y - 14.0 - _FIT_ROW_MM * rows >= flow.bottom
    columns = 2 if roomy else 3
    rows = -(-len(lines) // columns)
    flow.section("Every joint, worst first", 14.0)
    wide = flow.wide / columns
    for row in range(rows):
        flow.need(_FIT_ROW_MM)
        flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y)))
        flow.skip(_FIT_ROW_MM)
        for column, mate in enumerate(lines[row::rows]):
            x, y = flow.left + wide * column, flow.y + 1.3
            flow.leaf.extend(verdict_mark(mate.verdict, (x + 1.7, flow.y + 2.3), 2.6))
            margin = mate.margin.removesuffix(" to spare") if roomy and mate.verdict is Verdict.FITS else ""
            room = (0.48 if margin else 1.0) * wide - 8.0
            style = SMALL if mate.verdict is Verdict.FITS else SMALL_BOLD
            flow.leaf.add(Words((x + 5.0, y), fitted(mate.joint, style, room), style))
            if margin:
                words = fitted(margin, SMALL, 0.52 * wide - 4.0)
                flow.leaf.add(Words((x + wide - 4.0 * (column < columns - 1), y), words, SMALL, "right"))
    flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y)))


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}" if text else ""
