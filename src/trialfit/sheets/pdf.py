"""Leaves to PDF at true size."""

import math
from collections.abc import Sequence
from io import BytesIO
from typing import Any

from trialfit.sheets.drawing import Circle, Fill, Leaf, LineKind, Mark, Stroke, Words
from trialfit.sheets.faces import printable, register

_PT = 72.0 / 25.4


def pdf(leaves: Sequence[Leaf], title: str, contents: Sequence[tuple[int, str]] = ()) -> bytes:
    """Draw the leaves, one page each. Same leaves, same bytes.

    The file asks the reader's program not to scale on printing (ISO 32000-1 table 150, PrintScaling None).

    Parameters
    ----------
    leaves : sequence of Leaf
        pages in order, at least one
    title : str
        goes into the file's metadata
    contents : sequence of (page index from 0, words)
        entries of the reader's side list

    Raises
    ------
    ValueError
        when there is no leaf
    """
    from reportlab.pdfgen.canvas import Canvas

    if not leaves:
        raise ValueError("no leaf to print: 1 at least")
    register()
    out = BytesIO()
    canvas = Canvas(out, pagesize=(leaves[0].width * _PT, leaves[0].height * _PT), invariant=1, pageCompression=1,
                    lang="en")
    canvas.setTitle(printable(title))
    canvas.setCreator("Trialfit")
    canvas.setSubject("Numbers from a tape: not an approval")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    entries = dict(contents)
    for number, leaf in enumerate(leaves):
        canvas.setPageSize((leaf.width * _PT, leaf.height * _PT))
        if number in entries:
            canvas.bookmarkPage(f"leaf{number}")
            canvas.addOutlineEntry(printable(entries[number]), f"leaf{number}")
        for mark in leaf.marks:
            _draw(canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, mark: Mark) -> None:
    if isinstance(mark, Stroke):
        path = canvas.beginPath()
        path.moveTo(mark.points[0][0] * _PT, mark.points[0][1] * _PT)
        for x, y in mark.points[1:]:
            path.lineTo(x * _PT, y * _PT)
        if mark.closed:
            path.close()
        _pen(canvas, mark.kind, mark.fill)
        canvas.drawPath(path, stroke=int(mark.kind is not None), fill=int(mark.fill is not Fill.NONE))
    elif isinstance(mark, Circle):
        _pen(canvas, mark.kind, mark.fill)
        canvas.circle(mark.centre[0] * _PT, mark.centre[1] * _PT, mark.radius * _PT,
                      stroke=int(mark.kind is not None), fill=int(mark.fill is not Fill.NONE))
    else:
        _write(canvas, mark)


def _pen(canvas: Any, kind: LineKind | None, fill: Fill) -> None:
    if kind is not None:
        canvas.setStrokeGray(0.0)
        canvas.setLineWidth(kind.width_mm * _PT)
        canvas.setLineJoin(1)
        canvas.setLineCap(0)
        canvas.setDash([d * _PT for d in kind.dashes_mm])
    if fill is not Fill.NONE:
        canvas.setFillGray(1.0 - fill.value)


def _write(canvas: Any, words: Words) -> None:
    if words.patch:
        _draw(canvas, Stroke(words.corners(0.6), None, True, Fill.WHITE))
    text = printable(words.text, words.style.face)
    wide = words.style.width(words.text)
    back = {"left": 0.0, "centre": wide / 2.0, "right": wide}[words.align]
    turn = math.radians(words.turn_deg)
    c, s = math.cos(turn), math.sin(turn)
    x, y = words.at[0] - c * back, words.at[1] - s * back
    canvas.setFillGray(1.0 if words.white else 0.0)
    line = canvas.beginText()
    line.setFont(words.style.face.value, words.style.size_pt)
    line.setTextTransform(c, s, -s, c, x * _PT, y * _PT)
    line.textOut(text)
    canvas.drawText(line)
