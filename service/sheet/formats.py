"""A build sheet in each of its forms, by media type."""

from __future__ import annotations

from typing import Final

from pydantic_core import to_json

from service.planning.shapes.sheet import BuildSheetRequest
from service.sheet.content import content
from service.sheet.drawing import drawing_of
from service.sheet.heap import sheet_of

HTML, PDF, SVG, JSON = "text/html", "application/pdf", "image/svg+xml", "application/json"
FORMS: Final = (HTML, PDF, SVG, JSON)
TEXT: Final = "text/plain"


def sheet_as(request: BuildSheetRequest, form: str) -> bytes:
    """The sheet as a page, a PDF, a drawing, data or text. What a form needs is loaded when it is first asked for."""
    sheet = sheet_of(request)
    drawing = drawing_of(sheet)
    told = content(sheet, drawing)
    if form == JSON:
        return to_json(told)
    if form == PDF:
        from service.sheet.as_pdf import as_pdf

        return as_pdf(told, drawing, request.as_of)
    if form == TEXT:
        from service.sheet.as_text import as_text

        return as_text(told).encode()
    from service.sheet.as_svg import as_svg

    drawn = as_svg(drawing, told.drawing.title, told.drawing.description)
    if form == SVG:
        return drawn.encode()
    from service.sheet.as_html import as_html

    return as_html(told, drawn).encode()
