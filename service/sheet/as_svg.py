"""A drawing as SVG: in millimetres, so that it prints true; with a title and a description for those who do not see."""

from __future__ import annotations

from typing import Final

import svg

from service.sheet.drawing import Drawing
from service.sheet.marks import Dot, Mark, Path, Words

MEDIA_TYPE: Final = "image/svg+xml"
FONT: Final = "'Liberation Sans', Arial, Helvetica, sans-serif"


def as_svg(drawing: Drawing, title: str, description: str) -> str:
    """The text of an SVG file; it may also stand in a page."""
    chart = svg.SVG(
        xmlns="http://www.w3.org/2000/svg",
        viewBox=svg.ViewBoxSpec(0, 0, drawing.width, drawing.height),
        width=svg.mm(drawing.width),
        height=svg.mm(drawing.height),
        lang="en",
        extra={
            "role": "img",
            "aria-labelledby": "drawing-title drawing-text",
            "font-family": FONT,
            "data-section-scale": str(drawing.section),
            "data-plan-scale": str(drawing.plan),
        },
        elements=[
            svg.Title(id="drawing-title", text=svg.escape(title)),
            svg.Desc(id="drawing-text", text=svg.escape(description)),
            *(_element(mark) for mark in drawing.marks),
        ],
    )
    return str(chart)


def _element(mark: Mark) -> svg.Element:
    if isinstance(mark, Path):
        return _path(mark)
    if isinstance(mark, Dot):
        return svg.Circle(
            cx=_mm(mark.at[0]),
            cy=_mm(mark.at[1]),
            r=_mm(mark.radius),
            stroke=mark.ink,
            stroke_width=mark.width,
            fill=mark.fill or "none",
            extra=_extra(mark.part, {}, mark.dashes),
        )
    return _words(mark)


def _path(mark: Path) -> svg.Element:
    kind = svg.Polygon if mark.closed else svg.Polyline
    return kind(
        points=[svg.Point(_mm(x), _mm(y)) for x, y in mark.points],
        stroke=mark.ink or "none",
        stroke_width=mark.width,
        fill=mark.fill or "none",
        extra=_extra(mark.part, mark.facts, mark.dashes) | {"stroke-linejoin": "round"},
    )


def _words(mark: Words) -> svg.Element:
    weight = {"font-weight": "bold"} if mark.bold else {}
    return svg.Text(
        text=svg.escape(mark.text),
        x=_mm(mark.at[0]),
        y=_mm(mark.at[1]),
        font_size=mark.size,
        fill=mark.ink,
        extra={"text-anchor": mark.anchor, **weight},
    )


def _extra(part: str, facts: dict[str, str], dashes: tuple[float, float] | None) -> dict[str, str]:
    told = {f"data-{name}": value for name, value in facts.items()}
    return {
        **({"data-part": part} if part else {}),
        **told,
        **({"stroke-dasharray": f"{dashes[0]:g} {dashes[1]:g}"} if dashes else {}),
    }


def _mm(value: float) -> float:
    """Hundredths of a millimetre, the last bits of which differ between machines."""
    return round(value, 2) + 0.0
