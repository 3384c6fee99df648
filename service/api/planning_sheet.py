"""`POST /build-sheet`: a planned heap as a page, a PDF, a drawing or data."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request, Response

from service.api.outlook import CHART_POLICY
from service.http.accept import best_media_type
from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, Responses, answer, problems, shape
from service.http.parameters import check_parameters
from service.planning.shapes.sheet import BuildSheetRequest
from service.sheet.formats import FORMS, HTML, JSON, PDF, SVG, sheet_as
from service.sheet.heap import paper_of
from service.status.reading import read_model
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
FILE_NAME: Final = "build-sheet.pdf"
_EXAMPLES: Final = {
    "as_a_page": {
        "summary": "A sheet for a heap of 1,000 BTU/h from December to February",
        "value": {
            "units": "us",
            "title": "North heap",
            "as_of": "2025-10-20T12:00:00Z",
            "heat": {"power": "1000 BTU/h"},
            "period": {"start": "2025-12-01", "until": "2026-02-28"},
            "outdoor": {"monthly": [{"month": "january", "low": "18 degF", "high": "33 degF"}]},
            "mix": [{"material": "wood_chips", "share": 3}, {"material": "horse_manure", "share": 1}],
            "cover": "clear_film",
        },
    },
    "a_chosen_size": {
        "summary": "A sheet for a heap of 20 m3 with a loop",
        "value": {
            "as_of": "2025-10-20T12:00:00Z",
            "heat": {"power": "200 W"},
            "days": 60,
            "heap": "20 m3",
            "equipment": ["water_loop"],
            "paper": "a4",
        },
    },
}
_REQUEST: Final[Described] = {
    "required": True,
    "description": "The same question as for `/sizing`, and what is to be printed.",
    "content": {JSON: {"schema": shape("BuildSheetRequest"), "examples": _EXAMPLES}},
}


def _answers() -> Responses:
    told = answer("BuildSheet", "The sheet, in the form asked for by Accept; a page where none is asked for.")
    told[200]["content"] |= {
        HTML: {"schema": {"type": "string"}, "example": '<!doctype html>\n<html lang="en">…</html>\n'},
        PDF: {"schema": {"type": "string", "format": "binary"}},
        SVG: {"schema": {"type": "string"}, "example": '<svg xmlns="http://www.w3.org/2000/svg" role="img">…</svg>'},
    }
    return told


@router.post(
    "/build-sheet",
    operation_id="post_build_sheet",
    summary="A printable sheet for building a heap",
    description="What to bring, the layers from the ground up with their amounts, a drawing true to scale (section and "
    "plans, with every turn of tube and duct), the order of work, what to expect on day 1, 3, 7 and 14 and what to do "
    "if not, and what to mind. A page (`text/html`), a PDF (`application/pdf`), the drawing alone (`image/svg+xml`) or "
    "data (`application/json`) by the Accept header. Where no heap gives what was asked, the sheet is for the nearest "
    "that can be, and says so on top.",
    response_class=Response,
    responses={
        **_answers(),
        **problems(*BODY_PROBLEMS, "not-acceptable"),
    },
    openapi_extra={"requestBody": _REQUEST},
)
async def post_build_sheet(request: Request) -> Response:
    """Read the body, plan the heap, and write its sheet in the form asked for."""
    form = best_media_type(request, FORMS)
    check_parameters(request)
    check_is_json(request)
    asked = read_model(await read_body(request), BuildSheetRequest, "A question about a heap")
    content = await work(sheet_as, asked, form, weight="long")
    return Response(content, media_type=form, headers={"vary": "accept", **_headers(asked, form)})


def _headers(asked: BuildSheetRequest, form: str) -> dict[str, str]:
    if form == SVG:
        return {"content-security-policy": CHART_POLICY}
    if form == PDF:
        return {"content-disposition": f'inline; filename="{FILE_NAME}"'}
    if form == HTML:
        from service.sheet.as_html import sheet_policy

        return {"content-security-policy": sheet_policy(paper_of(asked))}
    return {}
