"""Requests that come twice: the answer is kept in the transaction of the work itself (Idempotency-Key)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import ColumnElement, delete, func, select
from sqlalchemy.orm import Session

from service.logbook.store.models import Answered
from service.problems.problem import Problem

KEPT_DAYS: Final = 7.0
_ADVISORY_SPACE: Final = 7236


@dataclass(frozen=True, slots=True)
class Asked:
    """A request with a key: whose, where, which key, and a hash of all that must be the same in its twin."""

    account_id: str
    route: str
    key: str
    fingerprint: bytes


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer: status code, body, and the pile it speaks of."""

    status: int
    body: str
    pile_id: str | None = None


def once(session: Session, asked: Asked | None, work: Callable[[Session], Reply], now: datetime) -> tuple[Reply, bool]:
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
    session.execute(delete(Answered).where(*_is_twin(asked)))  # what is left is older than is kept
    reply = work(session)
    session.add(
        Answered(
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
    too_old = Answered.made_at < now - timedelta(days=KEPT_DAYS)
    session.execute(delete(Answered).where(Answered.account_id == asked.account_id, too_old))
    return reply, False


def answered_before(session: Session, asked: Asked, now: datetime) -> Reply | None:
    """The answer that the twin of a request got; None where there was none. Raises Problem `key-reused`."""
    kept = select(Answered).where(*_is_twin(asked), Answered.made_at >= now - timedelta(days=KEPT_DAYS))
    before = session.scalars(kept).one_or_none()
    if before is None:
        return None
    if before.fingerprint != asked.fingerprint:
        raise Problem("key-reused", "This Idempotency-Key came before with another request; make a new key.")
    return Reply(before.status, before.body, before.pile_id)


def _is_twin(asked: Asked) -> tuple[ColumnElement[bool], ...]:
    return (Answered.account_id == asked.account_id, Answered.route == asked.route, Answered.key == asked.key)


def _claim(session: Session, asked: Asked) -> None:
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
