"""Planning: `POST /greenhouse`, a house's need; `POST /sizing`, a heap for a wanted heat; `POST /season`, a winter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeVar

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel
from pydantic_core import to_json

from service.answer.shapes.part import AnswerPart
from service.api.outlook import CHART_POLICY
from service.http.accept import best_media_type
from service.http.body import check_is_json, read_body
from service.http.description import BODY_PROBLEMS, Described, Responses, answer, problems, shape
from service.http.parameters import check_parameters
from service.planning.formats import CALENDAR, CHART, JSON, TABLE, calendar_of, table_of, winter_chart
from service.planning.greenhouse import answer_greenhouse
from service.planning.season import answer_season
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.planning.shapes.season import SeasonRequest
from service.planning.shapes.season_answer import SeasonPlan
from service.planning.shapes.sizing import SizingRequest
from service.planning.sizing import answer_sizing
from service.status.reading import read_model
from service.work.places import work

router: Final = APIRouter(tags=["advice"])
_HOUSE: Final[Described] = {
    "house": {"volume": "2600 ft3", "glazing": "double_film", "night_target": "41 degF"},
    "outdoor": {
        "design": "10 degF",
        "monthly": [
            {"month": "december", "low": "22 degF", "high": "38 degF"},
            {"month": "january", "low": "18 degF", "high": "33 degF"},
            {"month": "february", "low": "20 degF", "high": "36 degF"},
        ],
    },
}
_GREENHOUSE_EXAMPLES: Final = {
    "house_alone": {
        "summary": "What a house needs",
        "value": {
            "house": {"volume": "74 m3", "glazing": "double_film", "glazing_area": "97 m2", "night_target": 6},
            "outdoor": {"design": -12},
        },
    },
    "house_and_heap": {
        "summary": "A house, a heap, a fan off the grid",
        "value": {
            "units": "us",
            **_HOUSE,
            "pile": {"draw": {"value": 900, "low": 500, "high": 1500, "unit": "BTU/h"}},
            "draw": {"air": {"flow": "64 ft3/min", "inlet": "41 degF", "outlet": "79 degF", "fan_power": "25 W"}},
            "off_grid": {"sun_hours": 1.5},
        },
    },
}
_SIZING_EXAMPLES: Final = {
    "heat_for_a_winter": {
        "summary": "A heap for a mean of 1,000 BTU/h from December to February",
        "value": {
            "units": "us",
            "heat": {"power": "1000 BTU/h"},
            "period": {"start": "2025-12-01", "until": "2026-02-28"},
            "outdoor": {"monthly": _HOUSE["outdoor"]["monthly"]},
            "mix": [{"material": "wood_chips", "share": 3}, {"material": "horse_manure", "share": 1}],
        },
    },
    "judge_a_rating": {
        "summary": "A small heap, and a rating to be judged",
        "value": {
            "heat": {"power": "200 W"},
            "days": "2 months",
            "largest": {"height": "2 m", "diameter": "5 m"},
            "equipment": ["water_loop"],
            "rating": {"power": "6 kW", "days": "5 months"},
        },
    },
}
_SEASON_EXAMPLES: Final = {
    "a_winter": {
        "summary": "A winter with up to two heaps",
        "value": {
            **_HOUSE,
            "units": "us",
            "period": {"start": "2025-12-01", "until": "2026-02-28"},
            "heap": "26 yd3",
            "most_heaps": 2,
        },
    },
}
_FORMS: Final = {CALENDAR: calendar_of, TABLE: table_of, CHART: winter_chart}
_WRITTEN: Final[Described] = {
    CALENDAR: {"schema": {"type": "string"}, "example": "BEGIN:VCALENDAR\r\n…\r\nEND:VCALENDAR\r\n"},
    CHART: {"schema": {"type": "string"}, "example": '<svg xmlns="http://www.w3.org/2000/svg" role="img">…</svg>'},
    TABLE: {"schema": {"type": "string"}, "example": "month,nights,needed_value_MJ,…\r\n2025-12,31,7970,…\r\n"},
}
_Asked = TypeVar("_Asked", bound=BaseModel)


def _request_body(model: str, description: str, examples: Described) -> Described:
    content = {"application/json": {"schema": shape(model), "examples": examples}}
    return {"requestBody": {"required": True, "description": description, "content": content}}


async def _answered(
    request: Request,
    model: type[_Asked],
    what: str,
    answer: Callable[[_Asked], AnswerPart],
    forms: Sequence[str] = (),
) -> Response:
    """Read the body, work it out beside the event loop, and write the answer in the form wanted; JSON by default."""
    form = best_media_type(request, (JSON, *forms)) if forms else JSON
    check_parameters(request)
    check_is_json(request)
    asked = read_model(await read_body(request), model, what)
    written = await work(plan_written, answer, asked, form, weight="long")
    headers = {"vary": "accept"} if forms else {}
    if form == CHART:
        headers["content-security-policy"] = CHART_POLICY
    return Response(written, media_type=form, headers=headers)


def plan_written(answer: Callable[[_Asked], AnswerPart], asked: _Asked, form: str) -> bytes:
    """The answer to a question about a plan, in the form wanted."""
    plan = answer(asked)
    if form != JSON and isinstance(plan, SeasonPlan):
        return _FORMS[form](plan).encode()
    return to_json(plan)


@router.post(
    "/greenhouse",
    operation_id="post_greenhouse",
    summary="What a house needs, and what a heap covers of it",
    description="Heat demand by the handbook's method from volume, glazing, leaks and outdoor air: the coldest "
    "night, the season by months and nights, what a heap covers and the stove's share, what better glazing, a night "
    "curtain or water in barrels would save, what duct and loop carry, and the electricity that takes.",
    response_class=Response,
    responses={**answer("GreenhousePlan", "The house's winter."), **problems(*BODY_PROBLEMS)},
    openapi_extra=_request_body(
        "GreenhouseRequest", "The house, its outdoor air, and what is known of the heap.", _GREENHOUSE_EXAMPLES
    ),
)
async def post_greenhouse(request: Request) -> Response:
    """Answer a question about a house."""
    return await _answered(request, GreenhouseRequest, "A question about a house", answer_greenhouse)


@router.post(
    "/sizing",
    operation_id="post_sizing",
    summary="How big a heap for how much heat",
    description="The size of a heap that sustains a wanted heat over the days asked, found on an ensemble of heaps "
    "simulated day by day: volume, mass, shape, loop and duct, what to bring and how to lay it. The season draw stands "
    "beside the burst and beside what a rule of thumb of the trade would promise, with why they differ. Where one heap "
    "cannot do it, the nearest that can be had.",
    response_class=Response,
    responses={**answer("HeapPlan", "The heap."), **problems(*BODY_PROBLEMS)},
    openapi_extra=_request_body("SizingRequest", "Heat wanted, days, place, mix and bounds.", _SIZING_EXAMPLES),
)
async def post_sizing(request: Request) -> Response:
    """Answer a question about a heap to be built."""
    return await _answered(request, SizingRequest, "A question about a heap", answer_sizing)


def _season_answers() -> Responses:
    told = answer("SeasonPlan", "The plan, in the form asked for by Accept; JSON where none is asked for.")
    told[200]["content"] |= _WRITTEN
    return told


@router.post(
    "/season",
    operation_id="post_season",
    summary="A winter or a year ahead",
    description="When to order, build and begin drawing; a schedule of draws by month that keeps the core; when to "
    "start the next heap so that it is hot in time; and the ways through the winter, one heap, several in a row or "
    "side by side, with heat, heaps and nights short told apart. JSON, the dates as a calendar (`text/calendar`), "
    "the months as a table (`text/csv`) or a chart (`image/svg+xml`, with a text that tells what it shows) by the "
    "Accept header.",
    response_class=Response,
    responses={**_season_answers(), **problems(*BODY_PROBLEMS, "not-acceptable")},
    openapi_extra=_request_body(
        "SeasonRequest", "The house, its winter, and the heaps you would build.", _SEASON_EXAMPLES
    ),
)
async def post_season(request: Request) -> Response:
    """Answer a question about a winter ahead."""
    return await _answered(request, SeasonRequest, "A question about a winter", answer_season, tuple(_FORMS))
