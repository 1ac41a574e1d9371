"""The summary picture as a page: both views of the vehicle, and its smallest gaps in a table under them."""

from trialfit.sheets.drawing import SMALL, SMALL_BOLD, TEXT_BOLD, Leaf
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf
from trialfit.sheets.picture import Picture, ghost_words, views

SHEET = "Summary picture"


def summary_page(picture: Picture, meta: SheetMeta) -> bytes:
    """The picture as PDF.

    Parameters
    ----------
    picture : Picture
        outlines and gaps, worst first
    meta : SheetMeta
        what the foot says, and on which paper

    Raises
    ------
    ValueError
        when the picture holds no outline
    """
    return pdf(summary_leaves(picture, meta), f"{meta.build}: summary picture")


def summary_leaves(picture: Picture, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`summary_page`."""
    flow = Flow(meta, SHEET)
    flow.title(picture.name, f"{ghost_words(picture)}{picture.note}".strip())
    table = 8.0 * len(picture.gaps) + 16.0 if picture.gaps else 0.0
    high = max(flow.y - flow.bottom - table - 4.0, 120.0)
    flow.drawing(views(picture, (0.0, 0.0, flow.wide, high)), high)
    if picture.gaps:
        flow.section("Smallest gaps over the whole travel", 10.0)
        rows: list[tuple[Cell, ...]] = [
            (Run(str(number), SMALL_BOLD), tuple(verdict_words(gap.verdict, (0.0, 0.0))), Run(gap.between, TEXT_BOLD),
             tuple(Run(words, SMALL) for words in (gap.words, gap.inch_words) if words))
            for number, gap in enumerate(picture.gaps, 1)]
        flow.table((Column("", 0.3), Column("", 1.3), Column("", 2.5), Column("", 1.9)), rows)
    return flow.finish()
