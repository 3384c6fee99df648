"""`/piles/{pile}/…`: readings and work into the log, the log by time, and the status it adds up to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Final, Literal

from fastapi import APIRouter, Path, Query, Request, Response

from service import logbook
from service.api.log_book import (
    LogChange,
    as_of_in,
    change,
    change_with,
    json_response,
    read_from_store,
    reply_with,
    with_store,
)
from service.api.piles import READS, WRITES, PileId
from service.http.access import Caller, caller_of
from service.http.body import check_is_json, read_body
from service.http.description import answer, body_of, problems, repeatable
from service.http.parameters import check_parameters
from service.problems.fire import fire_warning
from service.problems.problem import Problem
from service.status.reading import read_model

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

    from service.logbook.entries import Logged
    from service.logbook.shapes.pages import LoggedPage, StatusPage
    from service.logbook.store.engine import Store
    from service.logbook.store.repeats import KeyedReply
    from service.units.quantities import System

router: Final = APIRouter(tags=["log book"])
SENML: Final = "application/senml+json"
CSV: Final = "text/csv"
LONGEST_PAGE: Final = 500
LogFormat = Literal["json", "senml", "csv"]
_CHANGED: Final = "The pile's units or zone were changed while this was read; send it again."


@router.post(
    "/piles/{pile}/readings",
    operation_id="add_readings",
    summary="Log what was read or seen",
    description="One entry, or several as `readings`; also SenML (the last part of a name says what it is, such as "
    "`heap1:core`) and CSV (units in the header, such as `at,core [degF],smell`). All entries are kept or none. The "
    "order does not matter, and what is there already is not doubled; give `at`, or an `Idempotency-Key`, where a "
    "request may be repeated.",
    response_class=Response,
    responses={**answer("LoggedPage", "What was added."), **problems(*WRITES)},
    openapi_extra=repeatable(body_of("EntryOrEntries", "What was read.", {SENML: "SenmlPack", CSV: "ReadingsTable"})),
)
async def add_readings(request: Request, pile_id: PileId) -> Response:
    """Read the body by its media type and add what is new."""
    source = _source(request)
    body = await read_body(request)

    def prepare(store: Store, caller: Caller) -> LogChange:
        now = logbook.book.now_utc()
        with store.reading() as session:
            before = logbook.store.piles.pile_of(session, caller.account_id, pile_id)
        units: System = "us" if before.units == "us" else "metric"
        logged = _read(body, source, units, logbook.store.piles.local(before, now))
        warning = fire_warning([entry.part for entry in logged.readings])

        def work(session: Session, caller: Caller) -> KeyedReply:
            pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
            if (pile.units, pile.zone) != (before.units, before.zone):
                raise Problem("storage-busy", _CHANGED, headers={"Retry-After": "1"})
            added = logbook.store.readings.add(session, pile, logged, source, now)
            return reply_with(_added(pile.id, added.readings, added.work, added.twins, warning), pile.id)

        return work

    return await change_with(request, body, prepare)


@router.post(
    "/piles/{pile}/work",
    operation_id="add_work",
    summary="Log what was done",
    response_class=Response,
    responses={**answer("LoggedPage", "What was added."), **problems(*WRITES)},
    openapi_extra=repeatable(body_of("WorkBody", "What was done.")),
)
async def add_work(request: Request, pile_id: PileId) -> Response:
    """Water given, the heap opened, the draw changed: it enters the history that advice rests on."""
    check_is_json(request)
    body = await read_body(request)
    given = read_model(body, logbook.shapes.requests.WorkBody, "A piece of work")

    def work(session: Session, caller: Caller) -> KeyedReply:
        now = logbook.book.now_utc()
        pile = logbook.store.piles.pile_of(session, caller.account_id, pile_id, to_change=True)
        units = pile.system
        logged = work_logged(given.action, given.amount, given.at or logbook.store.piles.local(pile, now), units, now)
        added = logbook.store.readings.add(session, pile, logged, "json", now)
        return reply_with(_added(pile.id, added.readings, added.work, added.twins, None), pile.id)

    return await change(request, body, work)


@router.get(
    "/piles/{pile}/log",
    operation_id="get_log",
    summary="Everything that was logged, newest first",
    response_model=None,
    responses={**answer("LogPage", "A page of the log."), **problems(*READS, "invalid-request")},
)
async def get_log(
    request: Request,
    pile_id: PileId,
    kind: Annotated[
        Literal["reading", "work", "advice", "feedback"] | None,
        Query(description="Only entries of this kind.", examples=["reading"]),
    ] = None,
    limit: Annotated[int, Query(description="How many at most.", ge=1, le=LONGEST_PAGE, examples=[50])] = 100,
    after: Annotated[
        str | None, Query(description="The `next` of the page before.", max_length=80, examples=[None])
    ] = None,
) -> Response:
    """Readings, work, advice and feedback by time."""
    check_parameters(request, "kind", "limit", "after")
    account = caller_of(request).account_id
    kinds = logbook.store.timeline.KINDS if kind is None else (kind,)
    page = await read_from_store(
        lambda session: logbook.store.timeline.log_of(
            session, logbook.store.piles.pile_of(session, account, pile_id), kinds, limit, after
        )
    )
    return json_response(page)


@router.delete(
    "/piles/{pile}/log/{entry}",
    operation_id="delete_entry",
    summary="Delete one reading or piece of work",
    response_model=None,
    responses={**answer("DeletedPage", "It is gone."), **problems(*READS, "storage-full")},
)
async def delete_entry(
    request: Request,
    pile_id: PileId,
    entry: Annotated[str, Path(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])],
) -> Response:
    """Take out a reading that was wrong, or work that was not done. Advice given before is superseded."""
    account = caller_of(request).account_id
    wiped = await with_store(lambda store: logbook.store.readings.remove_for_good(store, account, pile_id, entry))
    return json_response({"deleted": entry, "wiped": wiped})


@router.get(
    "/piles/{pile}/status",
    operation_id="get_status",
    summary="What is known of the pile, and how old it is",
    response_model=None,
    responses={**answer("StatusPage", "The status."), **problems(*READS, "not-enough-known", "invalid-request")},
)
async def get_status(
    request: Request,
    pile_id: PileId,
    as_of: Annotated[
        str | None, Query(description="As of this moment instead of now.", examples=["2026-01-18T07:30:00Z"])
    ] = None,
) -> Response:
    """The log as one status, as advice would be given on it."""
    check_parameters(request, "as_of")
    account, moment = caller_of(request).account_id, as_of_in(as_of)

    def work(store: Store) -> StatusPage:
        merged, at, _ = logbook.book.merged_status(store, account, pile_id, moment, naming_all=True)
        known = [value.as_dict(at) for value in merged.known]
        return {
            "pile": pile_id,
            "as_of": at.isoformat(),
            "status": merged.written,
            "known": known,
            "damaged": merged.damaged,
        }

    return json_response(await with_store(work))


def work_logged(action: str, amount: str | float | None, at: datetime, units: System, now: datetime) -> Logged:
    """Work in the form of a log; raises Problem where the amount cannot be or the moment is in the future."""
    told = {"at": at.isoformat(), "action": action, "amount": amount}
    try:
        return logbook.entries.read_parts([("", {"done": [told]})], units, now)
    except Problem as problem:
        errors = [{**error, "pointer": error["pointer"].removeprefix("/done/0")} for error in problem.errors]
        raise Problem(problem.slug, problem.detail.replace("/done/0", ""), errors) from None


def _source(request: Request) -> LogFormat:
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind == CSV:
        return "csv"
    check_is_json(request)
    return "senml" if kind == SENML else "json"


def _read(body: bytes, source: LogFormat, units: System, now: datetime) -> Logged:
    if source == "csv":
        return logbook.formats.csv_readings.read_csv(body, now)
    if source == "senml":
        return logbook.formats.senml.read_senml(body, now)

    return logbook.entries.read_entries(body, units, now)


def _added(pile_id: str, readings: list[str], work: list[str], twins: int, warning: str | None) -> LoggedPage:
    return {"pile": pile_id, "readings": readings, "work": work, "already_there": twins, "warning": warning}
