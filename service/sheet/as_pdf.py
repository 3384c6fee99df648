"""The build sheet as a PDF, A4 or Letter: the same bytes for the same sheet.

Its letters are those of the PDF's own fonts (Latin-1); others in a title are shown by their nearest, or by `?`.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from rules.catalogue import said
from service.planning.shapes.sheet_answer import BuildSheet
from service.sheet.cells import (
    CellRow,
    barrow_note,
    checks_rows,
    facts,
    head,
    layers_rows,
    materials_rows,
)
from service.sheet.drawing import Drawing
from service.sheet.marks import Dot, Mark, Words

if TYPE_CHECKING:
    from datetime import datetime

    from fpdf import FPDF

MEDIA_TYPE: Final = "application/pdf"
MARGIN: Final = 12.0
POINTS_PER_MM: Final = 72 / 25.4
TEXT, SMALL, LARGE, HEADING = 9.5, 8.5, 15.0, 12.0
LINE: Final = 1.32
WIDTHS: Final = {
    "materials": (30, 45, 87, 18),
    "layers": (10, 50, 26, 18, 22, 22, 16, 16),
    "checks": (10, 48, 47, 75),
}
"""Shares of the width of each table's columns."""


def as_pdf(content: BuildSheet, drawing: Drawing, as_of: datetime) -> bytes:
    """The whole sheet; the drawing has a page of its own, true to scale."""
    pdf = _document(content, as_of)
    _text(pdf, content.title, LARGE, bold=True)
    if content.notice is not None:
        pdf.set_line_width(0.8)
        _text(pdf, said("sheet.not-as-asked", notice=content.notice), TEXT, bold=True, framed=True)
    _text(pdf, content.purpose)
    for name, value in facts(content):
        _text(pdf, f"{name}: {value}")
    _heading(pdf, said("sheet.part.bring"))
    _table(pdf, "materials", materials_rows(content))
    _text(pdf, barrow_note(content), SMALL)
    _heading(pdf, said("sheet.part.layers"))
    _table(pdf, "layers", layers_rows(content))
    _text(pdf, said("sheet.in-the-middle"), SMALL)
    _drawn(pdf, content, drawing)
    _after(pdf, content)
    return bytes(pdf.output())


def _document(content: BuildSheet, as_of: datetime) -> FPDF:
    from fpdf import FPDF
    from fpdf.prefs import ViewerPreferences

    foot = _plain(said("sheet.as-of", title=content.title, day=content.as_of[:10]))

    class Numbered(FPDF):
        def footer(self) -> None:
            self.set_y(-9)
            self.set_font("Helvetica", size=8)
            self.cell(0, 4, _plain(said("sheet.page", foot=foot, number=str(self.page_no()), count="{nb}")), align="C")

    pdf = Numbered(format=content.paper)
    pdf.set_margin(MARGIN)
    pdf.set_auto_page_break(True, MARGIN + 2)
    pdf.set_creation_date(as_of)
    pdf.set_title(_plain(content.title))
    pdf.set_lang("en")
    # So that printers offer 100 % first: the drawing is true to scale only then.
    pdf.viewer_preferences = ViewerPreferences(display_doc_title=True, print_scaling="None")
    pdf.add_page()
    return pdf


def _after(pdf: FPDF, content: BuildSheet) -> None:
    """Everything behind the drawing."""
    pdf.add_page()
    layout = content.layout
    if layout.loop is not None or layout.duct is not None:
        _heading(pdf, said("sheet.part.where"))
    for kind in ("loop", "duct"):
        if getattr(layout, kind) is not None:
            _text(pdf, f"{said(f'sheet.{kind}')}: {getattr(layout, kind).text}")
    _heading(pdf, said("sheet.part.order"))
    for number, step in enumerate(content.steps, start=1):
        _text(pdf, f"{number}. {step}")
    _heading(pdf, said("sheet.part.check-days"))
    _table(pdf, "checks", checks_rows(content))
    _heading(pdf, said("sheet.part.care"))
    for each in content.cautions:
        _text(pdf, f"- {each.text} [{each.source.cite}]")
    _heading(pdf, said("sheet.part.know-numbers"))
    for each in content.notes:
        _text(pdf, f"- {each.text} [{each.source.cite}]", SMALL)
    _text(pdf, said("sheet.knowledge", version=content.knowledge_version), SMALL)


def _heading(pdf: FPDF, text: str) -> None:
    if pdf.get_y() > pdf.h - 45:
        pdf.add_page()
    pdf.ln(3)
    pdf.start_section(_plain(text))
    _text(pdf, text, HEADING, bold=True)


def _text(pdf: FPDF, text: str, size: float = TEXT, *, bold: bool = False, framed: bool = False) -> None:
    from fpdf.enums import WrapMode, XPos, YPos

    pdf.set_font("Helvetica", "B" if bold else "", size)
    height = size / POINTS_PER_MM * LINE
    pdf.multi_cell(
        0,
        height,
        _plain(text),
        border=1 if framed else 0,
        align="L",
        new_x=XPos.LMARGIN,
        new_y=YPos.NEXT,
        wrapmode=WrapMode.WORD,
    )
    pdf.ln(0.8)


def _table(pdf: FPDF, name: str, rows: Sequence[CellRow]) -> None:
    pdf.set_font("Helvetica", size=SMALL - 0.5)
    pdf.set_line_width(0.2)
    height = SMALL / POINTS_PER_MM * LINE
    with pdf.table(col_widths=WIDTHS[name], text_align="LEFT", line_height=height, padding=0.6) as table:
        for cells in (head(name), *rows):
            row = table.row()
            for cell in cells:
                row.cell(_plain(cell))
    pdf.ln(1)


def _drawn(pdf: FPDF, content: BuildSheet, drawing: Drawing) -> None:
    pdf.add_page()
    pdf.start_section(_plain(said("sheet.part.drawing-to-scale")))
    _text(pdf, said("sheet.part.drawing-printed", scale=drawing.scale), HEADING, bold=True)
    left, top = 0.5 * (pdf.w - drawing.width), pdf.get_y()
    for mark in drawing.marks:
        _mark(pdf, mark, left, top)
    pdf.set_text_color(0)
    pdf.set_draw_color(0)
    pdf.set_fill_color(255)
    pdf.set_dash_pattern()


def _mark(pdf: FPDF, mark: Mark, left: float, top: float) -> None:
    if isinstance(mark, Words):
        _words(pdf, mark, left, top)
        return
    pdf.set_line_width(max(mark.width, 0.05))
    pdf.set_draw_color(mark.ink or "#ffffff")
    pdf.set_fill_color(mark.fill or "#ffffff")
    pdf.set_dash_pattern(*(mark.dashes or (0, 0)))
    style = ("D" if mark.ink else "") + ("F" if mark.fill else "")
    if isinstance(mark, Dot):
        pdf.circle(left + mark.at[0], top + mark.at[1], mark.radius, style=style)
    elif style:
        points = [(left + x, top + y) for x, y in mark.points]
        pdf.polyline(points, polygon=mark.closed or bool(mark.fill), style=style)


def _words(pdf: FPDF, mark: Words, left: float, top: float) -> None:
    text = _plain(mark.text)
    pdf.set_font("Helvetica", "B" if mark.bold else "", mark.size * POINTS_PER_MM)
    pdf.set_text_color(mark.ink)
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * pdf.get_string_width(text)
    pdf.text(left + mark.at[0] - shift, top + mark.at[1], text)


def _plain(text: str) -> str:
    """The text in Latin-1: letters it lacks by their nearest, else by a question mark."""
    found = []
    for mark in text:
        if ord(mark) < 256:
            found.append(mark)
            continue
        nearest = unicodedata.normalize("NFKD", mark).encode("latin-1", "ignore").decode("latin-1")
        found.append(nearest or "?")
    return "".join(found)
