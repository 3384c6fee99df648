"""`/piles/{pile}/now`: a pile in a few numbers, for machines that poll. `/piles/{pile}/calendar.ics`: its dates."""

from __future__ import annotations

import hashlib
from typing import Any, Final

from fastapi import APIRouter, Request, Response

from service.access import caller_of
from service.api.described import answer, problems
from service.api.log_book import check_parameters, with_store
from service.api.piles import READS, PileId

router: Final = APIRouter(tags=["log book"])
NOW_MAX_AGE_S: Final = 60
CALENDAR_MAX_AGE_S: Final = 3600
CALENDAR: Final = "text/calendar"
_UNCHANGED: Final[dict[int | str, dict[str, Any]]] = {304: {"description": "Nothing has changed since that ETag."}}


@router.get(
    "/piles/{pile}/now",
    operation_id="get_pile_now",
    summary="A pile in a few numbers",
    description="For machines that poll: numbers or null, never text in a number's place; words of fixed lists; true, "
    "false or null. Units are in the names, whatever the pile's own are. `available` is false where nothing can be "
    "said now. With `ETag`: send it back as `If-None-Match` and get 304 while nothing has changed.",
    response_model=None,
    responses={**answer("PileNow", "The pile now."), **_UNCHANGED, **problems(*READS, "invalid-request")},
)
async def get_pile_now(request: Request, pile_id: PileId) -> Response:
    """Advice and outlook of now, in short."""
    from pydantic_core import to_json

    from service.hub.now import now_of

    check_parameters(request)
    account = caller_of(request).account_id
    page = await with_store(lambda store: now_of(store, account, pile_id))
    return fresh(request, to_json(page), "application/json", NOW_MAX_AGE_S)


def fresh(request: Request, content: bytes, media_type: str, max_age_s: int) -> Response:
    """The content with its ETag, or 304 where the caller has it already (RFC 9110, 13.1.2)."""
    tag = f'"{hashlib.sha256(content).hexdigest()[:24]}"'
    headers = {"etag": tag, "cache-control": f"private, max-age={max_age_s}", "vary": "authorization"}
    wanted = {each.strip().removeprefix("W/") for each in request.headers.get("if-none-match", "").split(",")}
    if wanted & {tag, "*"}:
        return Response(None, 304, headers)
    return Response(content, headers=headers, media_type=media_type)
