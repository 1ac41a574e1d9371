"""Reads a PDF back with a general-purpose library: sizes, words and lines as they would come out on paper [mm]."""

import ctypes
from dataclasses import dataclass

import pypdfium2 as pdfium
import pypdfium2.raw as raw

MM = 25.4 / 72.0


@dataclass(frozen=True)
class Word:
    text: str
    box: tuple[float, float, float, float]
    face: str
    embedded: bool


@dataclass(frozen=True)
class Page:
    width: float
    height: float
    words: list[Word]
    paths: list[list[tuple[float, float]]]
    boxes: list[tuple[float, float, float, float]]

    @property
    def text(self) -> str:
        return "\n".join(w.text for w in self.words)


def _points(obj):
    found = []
    for k in range(raw.FPDFPath_CountSegments(obj)):
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(obj, k), x, y)
        found.append((x.value * MM, y.value * MM))
    return found


def _word(obj, textpage, box):
    size = raw.FPDFTextObj_GetText(obj, textpage, None, 0)
    buffer = ctypes.create_string_buffer(size)
    raw.FPDFTextObj_GetText(obj, textpage, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), size)
    font = raw.FPDFTextObj_GetFont(obj)
    name = ctypes.create_string_buffer(200)
    raw.FPDFFont_GetBaseFontName(font, name, 200)
    return Word(buffer.raw[:size].decode("utf-16-le").rstrip("\0").strip(), box, name.value.decode(),
                raw.FPDFFont_GetIsEmbedded(font) == 1)


def pages(data: bytes) -> list[Page]:
    """Every page, measured."""
    document = pdfium.PdfDocument(data)
    found = []
    for page in document:
        words, paths, boxes = [], [], []
        textpage = page.get_textpage()
        for obj in page.get_objects():
            box = tuple(v * MM for v in obj.get_bounds())
            boxes.append(box)
            if obj.type == raw.FPDF_PAGEOBJ_TEXT:
                words.append(_word(obj.raw, textpage.raw, box))
            elif obj.type == raw.FPDF_PAGEOBJ_PATH:
                paths.append(_points(obj.raw))
        found.append(Page(page.get_width() * MM, page.get_height() * MM, words, paths, boxes))
    return found


def print_scaling(data: bytes) -> str:
    """What the file asks of the reader's program on printing, as the library reads it."""
    document = pdfium.PdfDocument(data)
    buffer = ctypes.create_string_buffer(50)
    raw.FPDF_VIEWERREF_GetName(document.raw, b"PrintScaling", buffer, 50)
    return buffer.value.decode()


def title(data: bytes) -> str:
    return pdfium.PdfDocument(data).get_metadata_value("Title")


def extent(points) -> tuple[float, float]:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def shared_area(a, b) -> float:
    w, h = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(w, 0.0) * max(h, 0.0)


def keeps_off_the_edge(found: list[Page], mm: float = 5.0) -> None:
    """Nothing is drawn where a printer cannot reach."""
    for page in found:
        assert min(b[0] for b in page.boxes) >= mm
        assert min(b[1] for b in page.boxes) >= mm
        assert max(b[2] for b in page.boxes) <= page.width - mm
        assert max(b[3] for b in page.boxes) <= page.height - mm


def keeps_words_apart(found: list[Page]) -> None:
    """No word lies on another."""
    for number, page in enumerate(found, 1):
        for k, a in enumerate(page.words):
            for b in page.words[k + 1:]:
                assert shared_area(a.box, b.box) < 0.05, (number, a.text, b.text)


def keeps_off_the_foot(found: list[Page]) -> None:
    """Words stand above the foot's rule or belong to the foot, five or six lines of it."""
    rule = 12.0 + 12.8
    for page in found:
        below = [w for w in page.words if w.box[3] < rule + 0.2]
        assert len(below) + sum(w.box[1] > rule - 0.2 for w in page.words) == len(page.words)
        assert 5 <= len(below) <= 6


def keeps_the_rules(data: bytes, found: list[Page], edge_mm: float = 5.0) -> None:
    """What every sheet keeps: off the edge, words apart and off the foot, not to be scaled, faces embedded."""
    keeps_off_the_edge(found, edge_mm)
    keeps_words_apart(found)
    keeps_off_the_foot(found)
    assert print_scaling(data) == "None"
    assert all(w.embedded and w.face.startswith("AtkinsonHyperlegible") for p in found for w in p.words)
