"""A plot of lines over a logarithmic axis as plain SVG text."""

import math

INKS = ("#1b6ca8", "#b3541e", "#2f7d4f", "#7a4fa3", "#a8283f", "#5a6270", "#0d8a8a", "#8a6d00", "#c2498f", "#3f51a3",
        "#4a7a1f")
WIDE, HIGH, LEFT, BELOW, ABOVE, RIGHT = 760, 430, 70, 56, 40, 110


def chart(title: str, across: str, up: str, lines: dict[str, list[tuple[float, float]]], log_y: bool) -> str:
    """Lines over a logarithmic axis, each named at its end."""
    kept = {name: [(x, y) for x, y in points if x > 0 and math.isfinite(y) and (y > 0 or not log_y)]
            for name, points in lines.items()}
    kept = {n: p for n, p in kept.items() if p}
    if not kept:
        return ""
    xs = [math.log10(x) for p in kept.values() for x, _ in p]
    ys = [math.log10(y) if log_y else y for p in kept.values() for _, y in p]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    x1, y1 = (x1 if x1 > x0 else x0 + 1.0), (y1 if y1 > y0 else y0 + 1.0)

    def px(x: float) -> float:
        return LEFT + (math.log10(x) - x0) / (x1 - x0) * (WIDE - LEFT - RIGHT)

    def py(y: float) -> float:
        return HIGH - BELOW - ((math.log10(y) if log_y else y) - y0) / (y1 - y0) * (HIGH - BELOW - ABOVE)

    head = (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" font-family="sans-serif" '
            'font-size="12" role="img">')
    parts = [head, f"<title>{title}</title>",
             f'<rect width="{WIDE}" height="{HIGH}" fill="#fff"/>',
             f'<text x="{LEFT}" y="22" font-size="14" font-weight="bold">{title}</text>']
    for x in _ticks(x0, x1):
        parts.append(f'<line x1="{px(x):.1f}" y1="{ABOVE}" x2="{px(x):.1f}" y2="{HIGH - BELOW}" stroke="#e3e3e3"/>'
                     f'<text x="{px(x):.1f}" y="{HIGH - BELOW + 16}" text-anchor="middle">{x:g}</text>')
    for y in _ticks(y0, y1) if log_y else [y0 + (y1 - y0) * k / 5.0 for k in range(6)]:
        parts.append(f'<line x1="{LEFT}" y1="{py(y):.1f}" x2="{WIDE - RIGHT}" y2="{py(y):.1f}" stroke="#e3e3e3"/>'
                     f'<text x="{LEFT - 6}" y="{py(y) + 4:.1f}" text-anchor="end">{y:.3g}</text>')
    ends: list[float] = []
    for ink, (name, points) in zip(INKS * 3, sorted(kept.items(), key=lambda i: -i[1][-1][1]), strict=False):
        trail = " ".join(f"{px(x):.1f},{py(y):.1f}" for x, y in points)
        at = py(points[-1][1]) + 4.0
        at = max(at, ends[-1] + 13.0) if ends else at
        ends.append(at)
        parts.append(f'<polyline points="{trail}" fill="none" stroke="{ink}" stroke-width="1.8"/>'
                     f'<text x="{px(points[-1][0]) + 5:.1f}" y="{at:.1f}" fill="{ink}">{name}</text>')
    parts.append(f'<text x="{(LEFT + WIDE - RIGHT) / 2}" y="{HIGH - 12}" text-anchor="middle">{across}</text>')
    parts.append(f'<text transform="translate(16 {(ABOVE + HIGH - BELOW) / 2}) rotate(-90)" text-anchor="middle">'
                 f"{up}</text>")
    parts.append("</svg>")
    return "\n".join(parts) + "\n"


def _ticks(low: float, high: float) -> list[float]:
    steps = [m * 10.0**k for k in range(math.floor(low) - 1, math.ceil(high) + 1) for m in (1, 2, 5)]
    return [s for s in steps if low - 1e-9 <= math.log10(s) <= high + 1e-9]
