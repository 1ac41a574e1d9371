"""A leaf to SVG text, for a screen or a page of words; 1 mm of paper is 1 unit."""

from xml.sax.saxutils import escape, quoteattr

from trialfit.sheets.drawing import MM_PER_PT, Circle, Fill, Leaf, LineKind, Mark, Stroke, Words
from trialfit.sheets.faces import CSS_FAMILY, printable

_FILLS = {Fill.NONE: "none", Fill.WHITE: "#ffffff", Fill.TINT: "#bfbfbf", Fill.DARK: "#666666", Fill.BLACK: "#000000"}


def svg(leaf: Leaf, title: str) -> str:
    """Draw one leaf. Every run of words carries its printed length, so another face does not move the layout."""
    body = "\n".join(_draw(mark, leaf.height) for mark in leaf.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(leaf.width)} {_n(leaf.height)}" '
        f'width="{_n(leaf.width)}mm" height="{_n(leaf.height)}mm" role="img">\n'
        f"<title>{escape(printable(title))}</title>\n"
        f'<rect width="{_n(leaf.width)}" height="{_n(leaf.height)}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _paint(kind: LineKind | None, fill: Fill) -> str:
    text = f'fill="{_FILLS[fill]}"'
    if kind is not None:
        text += f' stroke="#000000" stroke-width="{_n(kind.width_mm)}" stroke-linejoin="round"'
        if kind.dashes_mm:
            text += f' stroke-dasharray="{" ".join(_n(d) for d in kind.dashes_mm)}"'
    return text


def _draw(mark: Mark, height: float) -> str:
    if isinstance(mark, Stroke):
        name = "polygon" if mark.closed else "polyline"
        points = " ".join(f"{_n(x)},{_n(height - y)}" for x, y in mark.points)
        return f'<{name} points="{points}" {_paint(mark.kind, mark.fill)}/>'
    if isinstance(mark, Circle):
        x, y = mark.centre
        return f'<circle cx="{_n(x)}" cy="{_n(height - y)}" r="{_n(mark.radius)}" {_paint(mark.kind, mark.fill)}/>'
    return _write(mark, height)


def _write(words: Words, height: float) -> str:
    family, weight = CSS_FAMILY[words.style.face]
    x, y = words.at[0], height - words.at[1]
    anchor = {"left": "start", "centre": "middle", "right": "end"}[words.align]
    turn = f' transform="rotate({_n(-words.turn_deg)} {_n(x)} {_n(y)})"' if words.turn_deg else ""
    under = ""
    if words.patch:
        points = " ".join(f"{_n(px)},{_n(height - py)}" for px, py in words.corners(0.6))
        under = f'<polygon points="{points}" fill="#ffffff"/>\n'
    return (
        f'{under}<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}" font-family={quoteattr(family)} '
        f'font-weight="{weight}" font-size="{_n(words.style.size_pt * MM_PER_PT)}" '
        f'textLength="{_n(words.style.width(words.text))}" lengthAdjust="spacingAndGlyphs" '
        f'fill="{"#ffffff" if words.white else "#000000"}"{turn} xml:space="preserve">'
        f"{escape(printable(words.text, words.style.face))}</text>"
    )
