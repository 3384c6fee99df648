"""`POST /outlook`: a status in, the days ahead out, as JSON, a table or a chart."""

from __future__ import annotations

import re
from typing import Final

from fastapi import APIRouter, Request, Response
from pydantic_core import to_json

from service.course.outlook import LONGEST_DAYS
from service.http.accept import best_media_type
from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, Responses, problems, shape
from service.http.parameters import unknown
from service.outlook.answer import outlook_of, outlook_shown
from service.outlook.table import outlook_as_csv
from service.problems.problem import Problem, cut
from service.status.change import with_value
from service.status.models import Goal, Status
from service.status.quantities import bare_numbers_in
from service.status.reading import read_model, read_status
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
JSON, CSV, SVG = "application/json", "text/csv", "image/svg+xml"
CHART_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"
"""What a browser may do with a chart: nothing but apply its own style sheet."""
_QUERY: Final = ("days", "keep_core_above")
_PARAMETERS: Final[list[Described]] = [
    {
        "name": "days",
        "in": "query",
        "required": False,
        "description": "How many days to look ahead. Default: to the goal's date, at most 90; without a goal 30.",
        "schema": {"type": "integer", "minimum": 1, "maximum": LONGEST_DAYS},
        "examples": {"a_month": {"value": 30}},
    },
    {
        "name": "keep_core_above",
        "in": "query",
        "required": False,
        "description": "Limit below which the core is too cool to draw, in place of the goal's: a quantity; a bare "
        "number is read in the body's `units`. 0 to 80 degC.",
        "schema": {"type": "string", "minLength": 1, "maxLength": 60},
        "examples": {"with_a_unit": {"value": "104 degF"}},
    },
]
_REQUEST: Final[Described] = {
    "required": True,
    "description": "What is known of the pile, the same status as for `/advice`.",
    "content": {JSON: {"schema": shape("Status")}},
}
_ANSWERS: Final[Responses] = {
    200: {
        "description": "The outlook, in the form asked for by Accept; JSON where none is asked for.",
        "content": {
            JSON: {"schema": shape("OutlookAnswer")},
            CSV: {
                "schema": {"type": "string"},
                "example": "date,day,core_low_degF,core_median_degF,core_high_degF,…\r\n2026-01-18,0,118,121,124,…\r\n",
            },
            SVG: {
                "schema": {"type": "string"},
                "example": '<svg xmlns="http://www.w3.org/2000/svg" role="img">…</svg>',
            },
        },
    }
}


@router.post(
    "/outlook",
    operation_id="post_outlook",
    summary="Look up to 90 days ahead",
    description="The core day by day if nothing is changed, with an 80 % band; when it is too cool to draw; what can "
    "be drawn steadily with the core kept above a limit, with the timer of the pump or fan that is fitted; the heat of "
    "these days; and when to begin the next heap. The weather is the forecast of the status, then what is usual from "
    "what is known of the place. JSON, a table (`text/csv`) or a chart (`image/svg+xml`) by the Accept header; the "
    "chart carries the same `description` as the JSON for those who do not see it.",
    response_class=Response,
    responses={
        **_ANSWERS,
        **problems(*BODY_PROBLEMS, "not-acceptable", "invalid-status"),
    },
    openapi_extra={"requestBody": _REQUEST, "parameters": _PARAMETERS},
)
async def post_outlook(request: Request) -> Response:
    """Read the body, look ahead, and write it in the form asked for."""
    check_is_json(request)
    form = best_media_type(request, (JSON, CSV, SVG))
    days, limit = _asked(request)
    status = read_status(await read_body(request))
    if limit is not None:
        status = with_limit(status, limit)
    content = await work(outlook_as, status, days, form)
    own = {"content-security-policy": CHART_POLICY} if form == SVG else {}
    return Response(content, media_type=form, headers={"vary": "accept", **own})


def outlook_as(status: Status, days: int | None, form: str) -> bytes:
    """The outlook of a status as JSON, CSV or SVG."""
    outlook = outlook_of(status, days)
    if form == CSV:
        return outlook_as_csv(outlook).encode()
    if form == SVG:
        from service.outlook.chart import outlook_as_svg  # the drawing library is not needed for a first answer

        return outlook_as_svg(outlook).encode()
    return to_json(outlook_shown(outlook))


def with_limit(status: Status, limit: str) -> Status:
    """The status with another limit for the core, a quantity as text.

    Raises
    ------
    Problem
        If it is no temperature from 0 to 80 degC.
    """
    try:
        with bare_numbers_in(status.units):
            goal = read_model({"keep_core_above": limit}, Goal, "A goal")
    except Problem as problem:
        told = {key: value for key, value in problem.errors[0].items() if key != "pointer"}
        raise _refused("keep_core_above", **told) from None
    return with_value(status, "/goal/keep_core_above", goal.keep_core_above)


def days_from(text: str) -> int:
    """Days to look ahead, from text.

    Raises
    ------
    Problem
        If it is no whole number from 1 to 90.
    """
    days = int(text) if re.fullmatch(r"[0-9]{1,3}", text) else 0
    if not 1 <= days <= LONGEST_DAYS:
        detail = "A whole number of days is wanted."
        raise _refused("days", detail=detail, read=cut(text), allowed=f"1 to {LONGEST_DAYS}")
    return days


def _asked(request: Request) -> tuple[int | None, str | None]:
    """What the query asks for."""
    for name in request.query_params:
        if name not in _QUERY:
            raise _refused(name, detail=unknown(name, _QUERY))
        if len(request.query_params.getlist(name)) > 1:
            raise _refused(name, detail="It is given twice; give it once.")
    days, limit = (request.query_params.get(name) for name in _QUERY)
    return None if days is None else days_from(days), limit


def _refused(name: str, **told: str) -> Problem:
    error = {"pointer": "", "parameter": cut(name), **told}
    return Problem("invalid-request", f"{cut(name)}: {told['detail']}", [error])
