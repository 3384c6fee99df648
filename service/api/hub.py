"""`/piles/{pile}/now`: a pile in a few numbers, for machines that poll. `/piles/{pile}/calendar.ics`: its dates."""

from __future__ import annotations

import hashlib
from typing import Final

from fastapi import APIRouter, Request, Response
from pydantic_core import to_json

from service.api.log_book import advise_from_store
from service.api.piles import READS, PileId
from service.http.access import caller_of
from service.http.description import answer, problems, shape
from service.http.entity_tags import is_known
from service.http.parameters import check_parameters

router: Final = APIRouter(tags=["log book"])
NOW_MAX_AGE_S: Final = 60
CALENDAR_MAX_AGE_S: Final = 3600
CALENDAR: Final = "text/calendar"


@router.get(
    "/piles/{pile}/now",
    operation_id="get_pile_now",
    summary="A pile in a few numbers",
    description="For machines that poll: numbers or null, never text in a number's place; words of fixed lists; true, "
    "false or null. Units are in the names, whatever the pile's own are. `available` is false where nothing can be "
    "said now. With `ETag`: send it back as `If-None-Match` and get 304 while nothing has changed.",
    response_model=None,
    responses={**answer("PileNow", "The pile now."), **problems(*READS, "invalid-request")},
)
async def get_pile_now(request: Request, pile_id: PileId) -> Response:
    """Advice and outlook of now, in short."""
    from service.machines.hub.now import now_of

    check_parameters(request)
    account = caller_of(request).account_id
    page = await advise_from_store(lambda store: now_of(store, account, pile_id))
    return fresh(request, to_json(page), "application/json", NOW_MAX_AGE_S)


@router.get(
    "/piles/{pile}/calendar.ics",
    operation_id="get_pile_calendar",
    summary="The dates of a pile for a calendar",
    description="An iCalendar feed (RFC 5545): when to look again, and when to start the next heap. Ids stay the same, "
    "so a calendar that subscribes moves the events. With `ETag`.",
    response_class=Response,
    responses={
        200: {"description": "The feed.", "content": {CALENDAR: {"schema": shape("PileCalendar")}}},
        **problems(*READS, "invalid-request"),
    },
)
async def get_pile_calendar(request: Request, pile_id: PileId) -> Response:
    """The dates of the advice and outlook of now."""
    from service.machines.hub.calendar import pile_calendar

    check_parameters(request)
    account = caller_of(request).account_id
    content = await advise_from_store(lambda store: pile_calendar(store, account, pile_id))
    return fresh(request, content, f"{CALENDAR}; charset=utf-8", CALENDAR_MAX_AGE_S)


def fresh(request: Request, content: bytes, media_type: str, max_age_s: int) -> Response:
    """The content with its ETag, or 304 where the caller has it already (RFC 9110, 13.1.2)."""
    tag = f'"{hashlib.sha256(content).hexdigest()[:24]}"'
    headers = {"etag": tag, "cache-control": f"private, max-age={max_age_s}", "vary": "authorization"}
    if is_known(request, tag):
        return Response(None, 304, headers)
    return Response(content, headers=headers, media_type=media_type)
