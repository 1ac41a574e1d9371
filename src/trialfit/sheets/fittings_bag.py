"""Which fittings go into which bag: a line for each end of each fitting, and how many of each to buy."""

from collections.abc import Mapping, Sequence

from trialfit.mates.chain import BagItem
from trialfit.sheets.drawing import FIGURE, FIGURE_BOLD, SMALL, SMALL_FIGURE, TEXT, TEXT_BOLD, Leaf, LineKind, rectangle
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf

SHEET = "Fittings bag list"
CAUTIONS = (
    (
        "Thread, seat and tube must all three be the same on both sides of a joint. Two seats that nearly go "
        "together seal on the bench and leak under a foot. Hold each fitting against its mate before the bag is "
        "closed."
    ),
    "Clean, dry, capped at both ends until it is fitted. Nothing that was dropped, crushed or once leaked goes in.",
    (
        "Brake and fuel lines carry lives: no taper threads, no compression unions, no sealing tape on a seat that "
        "seals by itself. Local codes and licensed practice come first."
    ),
)
_BOX = (rectangle(0.0, -0.6, 3.6, 3.0, LineKind.OUTLINE),)


def fittings_bag_sheet(items: Sequence[BagItem], meta: SheetMeta, names: Mapping[str, str] | None = None) -> bytes:
    """The bag list as PDF.

    Parameters
    ----------
    items : sequence of BagItem
        as the chains of fittings give them, a line's fittings one after the other
    meta : SheetMeta
        what the foot says, and on which paper
    names : mapping, optional
        line number to what the line is (``B3`` to ``rear axle, left``)
    """
    return pdf(fittings_bag_leaves(items, meta, names), f"{meta.build}: fittings bag list")


def fittings_bag_leaves(
    items: Sequence[BagItem], meta: SheetMeta, names: Mapping[str, str] | None = None
) -> list[Leaf]:
    """The leaves of :func:`fittings_bag_sheet`."""
    flow = Flow(meta, SHEET)
    flow.title(SHEET, "One bag for each line, its number on the label. Tick a fitting when it is in the bag.")
    if not items:
        flow.paragraph("No line needs a fitting.")
        return flow.finish()
    rows: list[tuple[Cell, ...]] = []
    last_line = last_place = ""
    for item in items:
        place, _, side = item.end.partition(" ")
        new_line = item.line != last_line
        first = new_line or place != last_place
        name = (names or {}).get(item.line, "")
        label = (Run(item.line, TEXT_BOLD), *([Run(name, SMALL)] if name else [])) if new_line else Run("", SMALL)
        rows.append(
            (
                _BOX if first else "",
                label,
                Run(item.fitting, TEXT) if first else Run("", TEXT),
                Run(side or item.end, SMALL),
                Run(item.thread, FIGURE_BOLD),
                Run(item.seat, TEXT),
                Run(item.tube, SMALL_FIGURE),
            )
        )
        last_line, last_place = item.line, place
    flow.table(
        (
            Column("", 0.25),
            Column("Line", 0.9),
            Column("Fitting", 1.4),
            Column("End", 0.4),
            Column("Thread", 1.0),
            Column("Seat", 1.25),
            Column("Tube", 0.8),
        ),
        rows,
    )
    flow.section("To buy", 20.0)
    flow.table(
        (Column("", 0.25), Column("", 0.45), Column("Fitting", 1.6), Column("From", 1.85), Column("To", 1.85)),
        [
            (_BOX, Run(f"{count} \u00d7", FIGURE_BOLD), Run(fitting, TEXT_BOLD), _end(a), _end(b))
            for (fitting, a, b), count in to_buy(items).items()
        ],
    )
    flow.section("Before a bag is closed", 16.0)
    flow.points(CAUTIONS)
    return flow.finish()


End = tuple[str, str, str]
"""Thread, seat and tube of one end."""


def to_buy(items: Sequence[BagItem]) -> dict[tuple[str, End, End], int]:
    """How many of each fitting, told apart by name and by thread, seat and tube of both its ends, whichever way round
    it is fitted."""
    fittings: dict[tuple[str, str, str], list[End]] = {}
    for item in items:
        place = item.end.partition(" ")[0]
        fittings.setdefault((item.line, place, item.fitting), []).append((item.thread, item.seat, item.tube))
    counts: dict[tuple[str, End, End], int] = {}
    for (_, _, fitting), ends in fittings.items():
        a, b = sorted((ends[0], ends[-1]))
        counts[fitting, a, b] = counts.get((fitting, a, b), 0) + 1
    return dict(sorted(counts.items()))


def _end(end: End) -> tuple[Run, ...]:
    thread, seat, tube = end
    return Run(thread or "no thread", FIGURE), Run(", ".join(p for p in (seat, tube) if p), SMALL)
