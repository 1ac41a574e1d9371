"""The four faces on paper, and which characters they can set."""

import unicodedata
from enum import StrEnum
from functools import cache
from importlib.resources import files
from io import BytesIO


class Face(StrEnum):
    """A typeface by what it is for. Figures are of one width, so they stand under each other."""

    WORDS = "TrialfitWords"
    WORDS_BOLD = "TrialfitWordsBold"
    FIGURES = "TrialfitFigures"
    FIGURES_BOLD = "TrialfitFiguresBold"


_FILES = {
    Face.WORDS: "AtkinsonHyperlegibleNext_400Regular.ttf",
    Face.WORDS_BOLD: "AtkinsonHyperlegibleNext_700Bold.ttf",
    Face.FIGURES: "AtkinsonHyperlegibleMono_400Regular.ttf",
    Face.FIGURES_BOLD: "AtkinsonHyperlegibleMono_700Bold.ttf",
}

CSS_FAMILY = {
    Face.WORDS: ("'Atkinson Hyperlegible Next', Verdana, 'DejaVu Sans', sans-serif", 400),
    Face.WORDS_BOLD: ("'Atkinson Hyperlegible Next', Verdana, 'DejaVu Sans', sans-serif", 700),
    Face.FIGURES: ("'Atkinson Hyperlegible Mono', 'DejaVu Sans Mono', monospace", 400),
    Face.FIGURES_BOLD: ("'Atkinson Hyperlegible Mono', 'DejaVu Sans Mono', monospace", 700),
}
"""Family list and weight for SVG, where the reader's machine may not have the face."""

_STAND_INS = {
    "\u2192": "->", "\u2190": "<-", "\u2191": "up", "\u2193": "down", "\u2044": "/", "\u2033": '"', "\u2032": "'",
    "\u00b5": "\u03bc", "\u2011": "-", "\u2010": "-", "\u2012": "-",
}


@cache
def register() -> None:
    """Make the faces known to the PDF writer; once a process is enough."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = files("trialfit.sheets") / "fonts"
    for face, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(face.value, BytesIO((folder / file).read_bytes())))


@cache
def _glyphs(face: Face) -> frozenset[int]:
    from reportlab.pdfbase import pdfmetrics

    register()
    return frozenset(pdfmetrics.getFont(face.value).face.charToGlyph)


@cache
def _one(char: str, face: Face) -> str:
    glyphs = _glyphs(face)
    if ord(char) in glyphs and (char == " " or not unicodedata.category(char).startswith("C")):
        return char
    if unicodedata.category(char) in ("Cc", "Zl", "Zp", "Zs"):
        return " "
    if unicodedata.category(char) in ("Cf", "Mn"):
        return ""
    for instead in (_STAND_INS.get(char, ""), unicodedata.normalize("NFKD", char)):
        kept = "".join("/" if c == "\u2044" else c for c in instead if not unicodedata.combining(c))
        if kept and all(ord(c) in glyphs for c in kept):
            return kept
    return "?"


def printable(text: str, face: Face = Face.WORDS) -> str:
    """The text with every character that ``face`` cannot set put in its nearest spelling, or ``?`` where none is near.

    >>> printable("eye.L \u2192 pad.L, \u215b in, 2\u00b0 \u00b1 \u00bd")
    'eye.L -> pad.L, 1/8 in, 2\u00b0 \u00b1 \u00bd'
    >>> printable("\u8eca")
    '?'
    """
    return "".join(_one(c, face) for c in unicodedata.normalize("NFC", text))


@cache
def _points_wide(text: str, face: Face) -> float:
    from reportlab.pdfbase import pdfmetrics

    register()
    return float(pdfmetrics.stringWidth(text, face.value, 1000.0))


def width_mm(text: str, face: Face, size_pt: float) -> float:
    """How long ``text`` comes out on paper [mm]; ``size_pt`` [pt]."""
    return _points_wide(printable(text, face), face) * size_pt / 1000.0 * 25.4 / 72.0
