"""What the charts have in common: their colours on light and dark screens, and the SVG around what is drawn.

Colours are written at each element, so a chart is legible where styles are not applied; the style sheet inside only
changes them for dark screens. Nothing is fetched from elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import svg

FONT: Final = "system-ui, 'Segoe UI', 'Liberation Sans', sans-serif"

PAPER, INK, FAINT_INK, GRID = "#fbf6ec", "#2a2018", "#63564a", "#e2d6c3"
EMBER, BAND, COLD, COLD_INK = "#a33c0c", "#eeb689", "#dfe7e6", "#235c74"
DARK: Final = {
    "paper": "#1b1611",
    "ink": "#f4eadc",
    "faint": "#c3b5a3",
    "grid": "#3d3329",
    "ember": "#ffb072",
    "band": "#7d441f",
    "cold": "#1f2b2e",
    "cold-ink": "#8fcbe0",
}
LIGHT: Final = {
    "paper": PAPER,
    "ink": INK,
    "faint": FAINT_INK,
    "grid": GRID,
    "ember": EMBER,
    "band": BAND,
    "cold": COLD,
    "cold-ink": COLD_INK,
}
"""Colours by role, on light and dark screens: text has at least 4.5 to 1 against its ground, lines 3 to 1."""

ChartPoint = tuple[float, float]


def text_at(words: str, x: float, y: float, role: str = "ink", *, size: int = 12, anchor: str = "start") -> svg.Text:
    """Words at a place, in the colour of a role."""
    return svg.Text(
        text=svg.escape(words),
        x=round(x, 1),
        y=round(y, 1),
        font_size=size,
        fill=LIGHT[role],
        class_=[f"fill-{role}"],
        extra={"text-anchor": anchor},
    )


def line_between(start: ChartPoint, end: ChartPoint, role: str, width: float = 1, dashes: str = "") -> svg.Line:
    """A straight line in the colour of a role."""
    return svg.Line(
        x1=start[0],
        y1=start[1],
        x2=end[0],
        y2=end[1],
        stroke=LIGHT[role],
        stroke_width=width,
        class_=[f"line-{role}"],
        extra={"stroke-dasharray": dashes} if dashes else None,
    )


def as_chart(title: str, description: str, width: int, height: int, drawn: Sequence[svg.Element]) -> str:
    """The text of an SVG file: a title and a description for screen readers, the paper, and what is drawn on it."""
    rules = [f".fill-{role}{{fill:{colour}}}.line-{role}{{stroke:{colour}}}" for role, colour in DARK.items()]
    chart = svg.SVG(
        xmlns="http://www.w3.org/2000/svg",
        viewBox=svg.ViewBoxSpec(0, 0, width, height),
        width=width,
        height=height,
        lang="en",
        extra={"role": "img", "aria-labelledby": "title desc", "font-family": FONT},
        elements=[
            svg.Title(id="title", text=svg.escape(title)),
            svg.Desc(id="desc", text=svg.escape(description)),
            svg.Style(text=f"@media (prefers-color-scheme:dark){{{''.join(rules)}}}"),
            svg.Rect(width=width, height=height, rx=12, fill=PAPER, class_=["fill-paper"]),
            *drawn,
        ],
    )
    return str(chart)
