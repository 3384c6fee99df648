"""Requests that come twice: the answer is kept in the transaction of the work itself (Idempotency-Key)."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import ColumnElement, delete, func, select
from sqlalchemy.orm import Session

from service.logbook.store.models import RepeatRow
from service.problems.problem import Problem

KEPT_DAYS: Final = 7.0
_ADVISORY_SPACE: Final = 7236


@dataclass(frozen=True, slots=True)
class KeyedRequest:
    """A request with a key: whose, where, which key, and a hash of all that must be the same in its twin."""

    account_id: str
    route: str
    key: str
    fingerprint: bytes


@dataclass(frozen=True, slots=True)
class KeyedReply:
    """An answer: status code, body, and the pile it speaks of."""

    status: int
    body: str
    pile_id: str | None = None


def once(
    session: Session, asked: KeyedRequest | None, work: Callable[[Session], KeyedReply], now: datetime
) -> tuple[KeyedReply, bool]:
    """Do the work and keep its answer, or give the answer of its twin; the flag says which.

    Refused work keeps nothing: a problem undoes the transaction, and the request may come again.

    Raises
    ------
    Problem
        `key-reused` where the key came before with another request, `still-running` where its twin is being served by
        another worker.
    """
    if asked is None:
        return work(session), False
    _claim(session, asked)
    before = answered_before(session, asked, now)
    if before is not None:
        return before, True
    session.execute(delete(RepeatRow).where(*_is_twin(asked)))  # what is left is older than is kept
    reply = work(session)
    session.add(
        RepeatRow(
            account_id=asked.account_id,
            route=asked.route,
            key=asked.key,
            pile_id=reply.pile_id,
            fingerprint=asked.fingerprint,
            status=reply.status,
            body=reply.body,
            made_at=now,
        )
    )
    too_old = RepeatRow.made_at < now - timedelta(days=KEPT_DAYS)
    session.execute(delete(RepeatRow).where(RepeatRow.account_id == asked.account_id, too_old))
    return reply, False


def answered_before(session: Session, asked: KeyedRequest, now: datetime) -> KeyedReply | None:
    """The answer that the twin of a request got; None where there was none. Raises Problem `key-reused`."""
    kept = select(RepeatRow).where(*_is_twin(asked), RepeatRow.made_at >= now - timedelta(days=KEPT_DAYS))
    before = session.scalars(kept).one_or_none()
    if before is None:
        return None
    if before.fingerprint != asked.fingerprint:
        raise Problem("key-reused", "This Idempotency-Key came before with another request; make a new key.")
    if not is_sound_repeat(before):
        detail = "This was answered before, and the answer is damaged in the log book: look at what is logged."
        raise Problem("entry-damaged", detail)
    return KeyedReply(before.status, before.body, before.pile_id)


def is_sound_repeat(row: RepeatRow) -> bool:
    """Whether an answer can be given again."""
    try:
        return row.status in range(200, 300) and isinstance(json.loads(row.body), dict)
    except (ValueError, RecursionError):
        return False


def _is_twin(asked: KeyedRequest) -> tuple[ColumnElement[bool], ...]:
    return (RepeatRow.account_id == asked.account_id, RepeatRow.route == asked.route, RepeatRow.key == asked.key)


def _claim(session: Session, asked: KeyedRequest) -> None:
    """On a server, let only one worker serve a key at a time; SQLite's write lock does so by itself."""
    if session.get_bind().dialect.name != "postgresql":
        return
    what = f"{asked.account_id} {asked.route} {asked.key}"
    lock = func.pg_try_advisory_xact_lock(_ADVISORY_SPACE, func.hashtext(what))
    if not session.scalar(select(lock)):
        raise still_running()


def still_running() -> Problem:
    """The twin of this request has not been answered yet."""
    detail = "A request with this Idempotency-Key is still being served; ask again for its answer."
    return Problem("still-running", detail, headers={"Retry-After": "1"})
