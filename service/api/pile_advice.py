"""`/piles/{pile}/advice`: advice from the log, what it was given under, given again, and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Query, Request, Response

from service import logbook
from service.api.log import work_logged
from service.api.log_book import (
    advise_from_store,
    as_of_in,
    change,
    json_response,
    read_from_store,
    reply_with,
    with_store,
)
from service.api.piles import READS, WRITES, PileId
from service.http.access import Caller, caller_of
from service.http.body import check_is_json, read_body
from service.http.description import answer, body_of, problems, repeatable, shape
from service.http.parameters import check_parameters
from service.problems.json_text import check_data, parse_json
from service.problems.problem import Problem
from service.status.reading import read_model

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from service.logbook.shapes.requests import FeedbackBody
    from service.logbook.store.models import FeedbackRow, PileRow
    from service.logbook.store.repeats import KeyedReply

router: Final = APIRouter(tags=["log book"])
AdviceId = Annotated[str, Path(description="Advice id.", examples=["5f2c0e9a7d14b6c3"], alias="advice")]


@router.get(
    "/piles/{pile}/advice",
    operation_id="get_pile_advice",
    summary="Advise on a pile from its log",
    response_model=None,
    responses={**answer("PileAdvice", "The advice."), **problems(*READS, "not-enough-known", "invalid-request")},
)
async def get_pile_advice(
    request: Request,
    pile_id: PileId,
    effects: Annotated[
        Literal["none", "full"],
        Query(description="full: with what each action is expected to gain; none: without.", examples=["none"]),
    ] = "full",
    as_of: Annotated[
        str | None,
        Query(description="As of this earlier moment instead of now.", examples=["2026-01-18T07:30:00Z"]),
    ] = None,
) -> Response:
    """Merge what is known with its age, advise, and keep the answer; the same again while nothing has changed."""
    check_parameters(request, "effects", "as_of")
    account, moment = caller_of(request).account_id, as_of_in(as_of)
    return json_response(
        await advise_from_store(lambda store: logbook.book.advice_for(store, account, pile_id, effects, moment))
    )


@router.get(
    "/piles/{pile}/advice/{advice}",
    operation_id="get_advice_record",
    summary="An advice with all it was given under",
    response_model=None,
    responses={**answer("AdviceRecord", "The record."), **problems(*READS)},
)
async def get_advice_record(request: Request, pile_id: PileId, advice_id: AdviceId) -> Response:
    """Its status, weather and knowledge version, and what has superseded it."""
    account = caller_of(request).account_id
    return json_response(await with_store(lambda store: logbook.book.record_advice(store, account, pile_id, advice_id)))


@router.get(
    "/piles/{pile}/advice/{advice}/replay",
    operation_id="replay_advice",
    summary="Give an advice again",
    description="With `knowledge=then` the bytes of the answer as it was given; the header `warmheap-replay` says "
    "whether making it again gives the same bytes: `same`, `differs` (the service has changed beside its rules), or "
    "`not-rerun` (its knowledge has changed since). With `knowledge=current` what would be said today, and what "
    "differs.",
    response_model=None,
    responses={
        200: {
            "description": "The answer as it was given, or the difference.",
            "content": {"application/json": {"schema": shape("AnswerOrReplay")}},
        },
        **problems(*READS, "invalid-request"),
    },
)
async def replay_advice(
    request: Request,
    pile_id: PileId,
    advice_id: AdviceId,
    knowledge: Annotated[
        Literal["then", "current"],
        Query(description="then: as it was given; current: with today's knowledge.", examples=["current"]),
    ] = "then",
) -> Response:
    """Run the flow again on the status that was kept."""
    check_parameters(request, "knowledge")
    account = caller_of(request).account_id
    if knowledge == "current":
        return json_response(
            await advise_from_store(lambda store: logbook.book.replay_now(store, account, pile_id, advice_id))
        )
    again = await advise_from_store(lambda store: logbook.book.replay(store, account, pile_id, advice_id))
    return Response(again.answer, headers={"warmheap-replay": again.verdict}, media_type="application/json")


@router.get(
    "/piles/{pile}/season",
    operation_id="get_pile_season",
    summary="What a season of a pile came to",
    description="What the pile gave, what it cost in work, how forecasts and rules did, and what to change in the next "
    "heap, all from its log.",
    response_model=None,
    responses={**answer("SeasonPage", "The season."), **problems(*READS, "invalid-request")},
)
async def get_pile_season(
    request: Request,
    pile_id: PileId,
    begin: Annotated[
        str | None,
        Query(alias="from", description="From this moment on.", examples=["2025-10-01T00:00:00Z"]),
    ] = None,
    to: Annotated[
        str | None, Query(description="Up to this moment; now if left out.", examples=["2026-04-01T00:00:00Z"])
    ] = None,
) -> Response:
    """Look back over the log."""
    check_parameters(request, "from", "to")
    account, first, last = caller_of(request).account_id, as_of_in(begin), as_of_in(to)
    return json_response(
        await read_from_store(
            lambda session: logbook.review.season.season_of(
                session, logbook.store.piles.pile_of(session, account, pile_id), first, last or logbook.book.now_utc()
            )
        )
    )


@router.post(
    "/piles/{pile}/feedback",
    operation_id="add_feedback",
    summary="Say what became of an advice",
    response_class=Response,
    responses={**answer("FeedbackPage", "What was kept."), **problems(*WRITES)},
    openapi_extra=repeatable(body_of("FeedbackOrSeveral", "What became of one action, or of several as `feedback`.")),
)
async def add_feedback(request: Request, pile_id: PileId) -> Response:
    """Done, rejected, ignored, and what came of it. Saying it twice changes nothing; the last word counts."""
    check_is_json(request)
    body = await read_body(request)
    given = _words_in(body)

    def work(session: Session, caller: Caller) -> KeyedReply:
        pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
        rows = [_keep(session, pile, word) for word in given]
        return reply_with(
            {"pile": pile.id, "feedback": [logbook.store.timeline.feedback_shown(session, row) for row in rows]},
            pile.id,
        )

    return await change(request, body, work)


@router.get(
    "/feedback",
    operation_id="get_feedback_counts",
    summary="What became of advice, by rule",
    response_model=None,
    responses={**answer("CountsPage", "Counts over your piles."), **problems(*READS)},
)
async def get_feedback_counts(request: Request) -> Response:
    """How often each rule's advice was given, done, rejected or ignored, and how promised chances turned out."""
    account = caller_of(request).account_id
    return json_response(await read_from_store(lambda session: logbook.store.feedback.counts_page(session, account)))


def _words_in(body: bytes) -> list[FeedbackBody]:
    data = parse_json(body)
    check_data(data)
    if not (isinstance(data, dict) and "feedback" in data):
        return [read_model(data, logbook.shapes.requests.FeedbackBody, "A feedback")]
    words = []
    for index, one in enumerate(
        read_model(data, logbook.shapes.requests.SeveralFeedbacks, "A list of feedback").feedback
    ):
        try:
            words.append(read_model(one, logbook.shapes.requests.FeedbackBody, "A feedback"))
        except Problem as problem:
            place = f"/feedback/{index}"
            errors = [{**error, "pointer": place + error["pointer"]} for error in problem.errors]
            raise Problem(problem.slug, f"{place}: {problem.detail} Nothing was kept.", errors) from None
    return words


def _keep(session: Session, pile: PileRow, word: FeedbackBody) -> FeedbackRow:
    """Keep one word; its amount is checked as that of any work."""
    now = logbook.book.now_utc()
    at = (
        word.at
        or logbook.store.feedback.said_at(session, pile, word.advice, word.action)
        or logbook.store.piles.local(pile, now)
    )
    logbook.entries.refuse_future(at, now, "/at")
    if word.outcome_at is not None:
        logbook.entries.refuse_future(word.outcome_at, now, "/outcome_at")
    units: Any = pile.system
    amount = work_logged(word.action, word.amount, at, units, now).work[0].amount
    told = logbook.store.feedback.ActionFeedback(
        advice=word.advice,
        action=word.action,
        verdict=word.verdict,
        at=at,
        reason=word.reason,
        comment=word.comment,
        amount=amount,
        outcome=word.outcome,
        outcome_at=word.outcome_at,
    )
    return logbook.store.feedback.give(session, pile, told, now)
