"""Sheets joined into one file, with a page of contents in front."""

from collections.abc import Sequence

from trialfit.sheets.drawing import SMALL_FIGURE, TEXT, Leaf
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf


def book(chapters: Sequence[tuple[str, Sequence[Leaf]]], meta: SheetMeta) -> bytes:
    """All chapters as one PDF: contents first, then each as it is, its own foot kept.

    Parameters
    ----------
    chapters : sequence of (name, leaves)
        as the ``..._leaves`` functions give them
    meta : SheetMeta
        what the foot of the contents says

    Raises
    ------
    ValueError
        when there is no chapter, or one without a leaf
    """
    if not chapters or any(not leaves for _, leaves in chapters):
        raise ValueError("a book needs at least one chapter, each with at least one leaf")
    flow = Flow(meta, "Contents")
    flow.title(meta.build, "Everything the program has worked out, in one file. Each sheet also stands alone; its foot "
               "counts its own pages.")
    flow.section("Contents")
    rows: list[tuple[Cell, ...]] = []
    at = 2
    starts = [(0, "Contents")]
    for name, leaves in chapters:
        rows.append((Run(name, TEXT), Run(str(at), SMALL_FIGURE)))
        starts.append((at - 1, name))
        at += len(leaves)
    flow.table((Column("Sheet", 5.0), Column("Page of the file", 1.0, "right")), rows)
    front = flow.finish()
    if len(front) != 1:
        raise ValueError(f"contents of {len(chapters)} chapters take more than one page: 20 at most")
    return pdf([*front, *(leaf for _, leaves in chapters for leaf in leaves)], meta.build, starts)


