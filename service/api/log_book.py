"""What the routes of the log book share: transactions off the event loop, bodies, and requests that come twice."""

from __future__ import annotations

import hashlib
import re
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final, TypeVar

from fastapi import Request, Response
from pydantic_core import PydanticCustomError, to_json
from starlette.concurrency import run_in_threadpool

from service import logbook
from service.http.access import Caller, caller_of, known_caller
from service.problems.problem import Problem, cut
from service.status.checks import CLOCK_SKEW
from service.status.moments import read_instant
from service.why.counts import Counts
from service.work.places import in_thread

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

    from service.logbook.store.engine import Store
    from service.logbook.store.repeats import KeyedReply, KeyedRequest

_Result = TypeVar("_Result")
_KEY: Final = re.compile(r'"([\x21\x23-\x5b\x5d-\x7e]{1,255})"|([\x21\x23-\x5b\x5d-\x7e]{1,255})')
_running: set[tuple[str, str, str]] = set()
"""Requests with a key that are being served in this process."""


def open_store() -> Store:
    """The log book, opened on first use."""
    return logbook.store.engine.the_store()


def close() -> None:
    """Close what was opened of the log book."""
    if "service.logbook.store.engine" in sys.modules:
        logbook.store.engine.close_stores()


async def with_store(work: Callable[[Store], _Result]) -> _Result:
    """Run `work` off the event loop."""
    return await run_in_threadpool(lambda: work(open_store()))


async def advise_from_store(work: Callable[[Store], _Result]) -> _Result:
    """Run `work` that may wait for a place to do heavy work; it takes none of the threads of the log book."""
    return await in_thread(lambda: work(open_store()))


async def read_from_store(work: Callable[[Session], _Result]) -> _Result:
    """Run `work` off the event loop with a session that only reads."""

    def run(store: Store) -> _Result:
        with store.reading() as session:
            return work(session)

    return await with_store(run)


LogChange = Callable[["Session", Caller], "KeyedReply"]


async def change(request: Request, body: bytes, work: LogChange) -> Response:
    """Run `work` in one transaction, once for each Idempotency-Key, and answer with what it replies."""
    return await change_with(request, body, lambda store, caller: work)


async def change_with(
    request: Request, body: bytes, prepare: Callable[[Store, Caller], LogChange], *, is_heavy: bool = False
) -> Response:
    """The same for work that is prepared before anything is locked: reading a large body takes its time.

    The twin of a request that was answered already is not prepared again. What `is_heavy` may wait for a place.
    """
    caller = caller_of(request)
    asked = _asked(request, caller, body)
    running = None if asked is None else (asked.account_id, asked.route, asked.key)
    if running in _running:
        raise logbook.store.repeats.still_running()
    if running is not None:
        _running.add(running)
    try:
        run = advise_from_store if is_heavy else with_store
        reply, replayed = await run(lambda store: _changed(store, caller, asked, prepare))
    finally:
        if running is not None:
            _running.discard(running)
    headers = {"idempotency-replayed": "true"} if replayed else {}
    if reply.status == 201 and reply.pile_id is not None:
        headers["location"] = f"/piles/{reply.pile_id}"
    return Response(reply.body, reply.status, headers, "application/json")


def _changed(
    store: Store, caller: Caller, asked: KeyedRequest | None, prepare: Callable[[Store, Caller], LogChange]
) -> tuple[KeyedReply, bool]:
    """The reply, and whether it was given before."""
    if asked is not None:
        with store.reading() as session:
            before = logbook.store.repeats.answered_before(session, asked, logbook.book.now_utc())
        if before is not None:
            return before, True
    work = prepare(store, caller)
    with store.writing() as session:
        return logbook.store.repeats.once(session, asked, lambda session: work(session, caller), logbook.book.now_utc())


async def feedback_on(request: Request, rule: str) -> Counts | None:
    """What became of a rule's advice over the piles of whoever asks.

    None where that is nobody we know, where no log book is kept, or where it cannot be read now.
    """

    def work(session: Session) -> Counts:
        return logbook.store.feedback.counts_of_rule(session, rule, account)

    try:
        caller = await known_caller(request) if logbook.store.place.exists() else None
        if caller is None:
            return None
        account = caller.account_id
        return await read_from_store(work)
    except (Problem, ValueError):
        return None


def reply_with(page: object, pile_id: str, status: int = 200) -> KeyedReply:
    """A page as the reply of a change."""
    return logbook.store.repeats.KeyedReply(status, to_json(page).decode(), pile_id)


def _asked(request: Request, caller: Caller, body: bytes) -> logbook.store.repeats.KeyedRequest | None:
    """The request with its Idempotency-Key, a quoted or bare text; None where it has none."""
    given = request.headers.get("idempotency-key")
    if given is None:
        return None
    match = _KEY.fullmatch(given.strip())
    if match is None:
        detail = 'An Idempotency-Key is 1 to 255 visible ASCII characters in quotes, such as "8e03978e-40d5".'
        raise Problem("invalid-request", detail, [{"pointer": "", "parameter": "Idempotency-Key", "detail": detail}])
    route = f"{request.method} {request.url.path}"[:120]
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    told = b"\0".join((route.encode(), request.url.query.encode(), kind.encode(), body))
    return logbook.store.repeats.KeyedRequest(
        caller.account_id, route, match[1] or match[2], hashlib.sha256(told).digest()
    )


def as_of_in(given: str | None) -> datetime | None:
    """The moment a parameter names. Raises Problem where it is none, or in the future."""
    if given is None:
        return None

    try:
        moment = read_instant(given)
        detail = (
            ""
            if moment <= logbook.book.now_utc() + CLOCK_SKEW
            else "this is in the future; the log only tells of the past."
        )
    except PydanticCustomError as error:
        detail = error.message()
    if detail:
        errors = [{"pointer": "", "parameter": "as_of", "detail": detail, "read": cut(given)}]
        raise Problem("invalid-request", f"as_of: {detail}", errors)
    return moment


def json_response(page: Any) -> Response:
    """A page as JSON bytes."""
    return Response(to_json(page), media_type="application/json")
