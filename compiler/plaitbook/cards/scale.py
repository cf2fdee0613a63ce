"""The true-scale strip: a ruler, circles for the sizes of pieces, and a bar that checks the printer.

One user unit of the drawing is one millimetre, so a renderer that keeps the
stated width prints it true.
"""

from __future__ import annotations

from functools import lru_cache
from html import escape

from .speech import Speech
from .wording import MM_PER_INCH, letter_room

WIDE = 86.0
BAR = 50.0
TEXT = 3.4
"""Letter size in mm: about 9.6 pt, drawn beside marks and not read across a room. Our own estimate."""
CIRCLE_TOP = 17.5
LETTER = 0.54 * TEXT
"""Breadth of a letter on average; Noto Sans, measured over the labels, rounded up."""
GAP = 1.8
"""Between a label and the next circle, mm; our own estimate."""


@lru_cache(maxsize=64)
def scale_svg(pieces: tuple[tuple[float, str], ...], say: Speech) -> tuple[str, float, float]:
    """The drawing, its width and its height in mm. ``pieces`` are (diameter in mm, words)."""
    marks = _ruler(say)
    bar_words = say("this bar is 50 mm")
    bar_size = min(TEXT, TEXT * (WIDE - BAR - 2.0) / (_breadth(bar_words) + LETTER))
    bar_y = 14.0
    out = [
        f'<path d="M0.2 {bar_y - 2}V{bar_y + 2}M{BAR + 0.2} {bar_y - 2}V{bar_y + 2}" fill="none" stroke="#000" stroke-width="0.3"/>'
        f'<rect x="0.2" y="{bar_y - 0.6}" width="{BAR:g}" height="1.2" fill="#000"/>'
        f'<text x="{BAR + 1.5:g}" y="{bar_y + 1.1:g}" font-size="{bar_size:.2f}">{escape(bar_words)}</text>'
    ]
    y = CIRCLE_TOP
    for row in _rows(pieces):
        height = max(*(d for d, _ in row), TEXT + 1.0)
        middle = y + height / 2
        x = 0.3
        for diameter, label in row:
            out.append(f'<circle cx="{x + diameter / 2:.2f}" cy="{middle:.2f}" r="{diameter / 2:.3f}" fill="#000"/>'
                       f'<text x="{x + diameter + 1.0:.1f}" y="{middle + 1.2:.2f}">{escape(label)}</text>')
            x += diameter + 1.0 + _breadth(label) + GAP
        y += height + 1.4
    high = round(y, 1)
    svg = (f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}mm" height="{high:g}mm" viewBox="0 0 {WIDE:g} {high:g}" '
           f'font-family="Noto Sans, DejaVu Sans, Arial, sans-serif" font-size="{TEXT}" fill="#000">{marks}{"".join(out)}</svg>')
    return svg, WIDE, high


def _breadth(label: str) -> float:
    """About how wide a label comes out, mm. The "mm" that every label ends in is counted in ``LETTER``."""
    return (sum(map(letter_room, label.removesuffix("mm"))) + 2 * label.endswith("mm")) * LETTER


def _rows(pieces: tuple[tuple[float, str], ...]) -> list[list[tuple[float, str]]]:
    """As many circles with their words side by side as the strip has room for."""
    rows: list[list[tuple[float, str]]] = []
    used = WIDE
    for diameter, label in pieces:
        need = diameter + 1.0 + GAP + _breadth(label)
        if used + need > WIDE:
            rows.append([])
            used = 0.0
        rows[-1].append((diameter, label))
        used += need
    return rows


def _ruler(say: Speech) -> str:
    """Inches in eighths above, or millimetres; both edges start at the same zero."""
    inch = say.units == "inch"
    step, per, count = (MM_PER_INCH / 8, 8, 26) if inch else (1.0, 10, 85)
    unit = say.inch if inch else "cm"
    path, text = [], []
    for i in range(count + 1):
        x = 0.2 + i * step
        tall = 7.0 if i % per == 0 else 4.5 if i % (per // 2) == 0 else 3.2 if not inch or i % 2 == 0 else 2.2
        path.append(f"M{x:.3f} 0V{tall}")
        if i % per == 0 and i:
            text.append(f'<text x="{x - 0.8:.2f}" y="10" text-anchor="end">{i // per}{f" {unit}" if i + per > count else ""}</text>')
    text.append('<text x="0.8" y="10">0</text>')
    return f'<path d="M0.2 0H{0.2 + count * step:.3f}{"".join(path)}" fill="none" stroke="#000" stroke-width="0.25"/>{"".join(text)}'
