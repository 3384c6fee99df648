"""The build sheet as one page that needs nothing else: no script, no file from elsewhere, ready to print."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from pathlib import Path
from typing import Final

from rules.catalogue import said
from service.planning.shapes.sheet_answer import BuildSheet
from service.render.html import templates_in
from service.sheet import cells as told

MEDIA_TYPE: Final = "text/html"
TEMPLATES: Final = Path(__file__).parent / "templates"
PAPERS: Final = {"a4": "A4", "letter": "letter"}


@cache
def sheet_style(paper: str) -> str:
    """The style sheet, which stands in the page."""
    return (TEMPLATES / "sheet.css").read_text(encoding="utf-8").replace("PAPER", PAPERS[paper])


@cache
def sheet_policy(paper: str) -> str:
    """What a browser may do with the page: apply this one style sheet, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(sheet_style(paper).encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def as_html(content: BuildSheet, drawing_svg: str) -> str:
    """The page. Whatever the caller wrote is escaped; the drawing is ours and stands in it as it is."""
    from markupsafe import Markup

    return (
        templates_in(TEMPLATES)
        .get_template("sheet.html")
        .render(
            sheet=content,
            said=said,
            drawing=Markup(drawing_svg),
            style=Markup(sheet_style(content.paper)),
            facts=told.facts(content),
            materials=told.materials_rows(content),
            materials_head=told.head("materials"),
            layers=told.layers_rows(content),
            layers_head=told.head("layers"),
            checks=told.checks_rows(content),
            checks_head=told.head("checks"),
            barrow=told.barrow_note(content),
        )
    )
