"""A whole pile out and in again, without loss."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from service.entries import ReadingEntry, WorkEntry, refuse_future
from service.errors import Problem
from service.flat_table import from_table
from service.merge import is_lasting
from service.reading import read_model, validated
from service.schema.entry import Entry
from service.schema.exported import (
    FORMAT,
    FORMAT_VERSION,
    ExportedAdvice,
    ExportedFeedback,
    ExportedReading,
    ExportedWork,
    PileFile,
)
from service.store.advice import actions_of, answer_of
from service.store.models import Advice, Base, Feedback, Pile, Reading, Work, at_offset, new_id, offset_of
from service.store.piles import NewPile, add_pile


def export(session: Session, pile: Pile) -> dict[str, Any]:
    """All of one pile, as `service.schema.exported` describes it."""

    def rows(table: type[Any], order: Any) -> list[Any]:
        return list(session.scalars(select(table).where(table.pile_id == pile.id).order_by(order, table.id)))

    return {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "pile": {
            "id": pile.id,
            "name": pile.name,
            "units": pile.units,
            "zone": pile.zone,
            "made_at": pile.made_at.isoformat(),
            "changes": pile.changes,
        },
        "readings": [_reading_out(row) for row in rows(Reading, Reading.at)],
        "work": [_work_out(row) for row in rows(Work, Work.at)],
        "advice": [_advice_out(row) for row in rows(Advice, Advice.given_at)],
        "feedback": [_feedback_out(row) for row in rows(Feedback, Feedback.at)],
    }


def read_file(body: bytes, *, is_table: bool) -> PileFile:
    """A file made by an export, as JSON or as CSV.

    Raises
    ------
    Problem
        If it is not one, or holds what no text may hold.
    """
    try:
        text = body.decode("utf-8")
        data = from_table(text) if is_table else json.loads(text)
        written = json.dumps(data, ensure_ascii=False, allow_nan=False)
        written.encode()
    except (ValueError, RecursionError):
        raise _refused("this is not a file made by an export") from None
    if not isinstance(data, dict) or "\\u0000" in written:
        raise _refused("this is not a file made by an export")
    return validated(data, PileFile, "invalid-request")


def bring_in(session: Session, account_id: str, file: PileFile, now: datetime) -> Pile:
    """A new pile from a file. It keeps its id and those of its entries, where they are free.

    Raises
    ------
    Problem
        If an entry cannot be used; then nothing is kept.
    """
    try:
        return _bring_in(session, account_id, file, now)
    except IntegrityError:
        raise _refused("two entries of the file contradict each other; nothing was kept") from None


def _bring_in(session: Session, account_id: str, file: PileFile, now: datetime) -> Pile:
    head = file.pile
    pile = add_pile(session, account_id, NewPile(head.name, head.units, head.zone, head.id, head.made_at), now)
    pile.changes = head.changes
    named = _Names(session)
    _each(session, "readings", file.readings, lambda given: _reading_in(pile, named, given, now))
    _each(session, "advice", file.advice, lambda given: _advice_in(pile, named, given))
    session.flush()
    for given in file.advice:
        session.add_all(actions_of(named.known(given.id), json.loads(given.answer)))
    _each(session, "feedback", file.feedback, lambda given: _feedback_in(pile, named, given))
    session.flush()
    _each(session, "work", file.work, lambda given: _work_in(pile, named, given, now))
    session.flush()
    return pile


class _Names:
    """Ids of the file to ids of the store: the same where they are free."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._ids: dict[str, str] = {}

    def new(self, given: str, table: type[Base]) -> str:
        """An id for an entry of the file."""
        if given in self._ids:
            raise _refused(f"the id {given} is given twice")
        self._ids[given] = given if self._session.get(table, given) is None else new_id()
        return self._ids[given]

    def known(self, given: str) -> str:
        """The id that an entry of the file has got."""
        if given not in self._ids:
            raise _refused(f"the file holds no entry {given}")
        return self._ids[given]


def _each(session: Session, section: str, entries: list[Any], take: Callable[[Any], Base]) -> None:
    seen: set[bytes] = set()
    for index, given in enumerate(entries):
        try:
            row = take(given)
        except Problem as problem:
            raise Problem(
                "invalid-request",
                f"/{section}/{index}: {problem.detail} Nothing was kept.",
                [{"pointer": f"/{section}/{index}", "detail": problem.detail}],
            ) from None
        digest = getattr(row, "digest", None)
        if digest is None or digest not in seen:
            session.add(row)
        if digest is not None:
            seen.add(digest)


def _reading_out(row: Reading) -> dict[str, Any]:
    return {
        "id": row.id,
        "at": at_offset(row.at, row.offset_min).isoformat(),
        "received_at": row.received_at.isoformat(),
        "source": row.source,
        "part": json.loads(row.part),
    }


def _reading_in(pile: Pile, named: _Names, given: ExportedReading, now: datetime) -> Reading:
    refuse_future(given.at, now, "/at")
    read_model(given.part, Entry, "A reading")
    entry = ReadingEntry(given.at, given.part)
    return Reading(
        id=named.new(given.id, Reading),
        pile_id=pile.id,
        at=given.at,
        offset_min=offset_of(given.at),
        received_at=given.received_at,
        source=given.source,
        part=entry.json,
        lasting=is_lasting(given.part),
        digest=entry.digest,
    )


def _work_out(row: Work) -> dict[str, Any]:
    return {
        "id": row.id,
        "at": at_offset(row.at, row.offset_min).isoformat(),
        "received_at": row.received_at.isoformat(),
        "action": row.action,
        "amount": row.amount,
        "feedback": row.feedback_id,
    }


def _work_in(pile: Pile, named: _Names, given: ExportedWork, now: datetime) -> Work:
    refuse_future(given.at, now, "/at")
    told = {"at": given.at.isoformat(), "action": given.action, "amount": given.amount}
    read_model({"done": [told]}, Entry, "A piece of work")
    return Work(
        id=named.new(given.id, Work),
        pile_id=pile.id,
        at=given.at,
        offset_min=offset_of(given.at),
        received_at=given.received_at,
        action=given.action,
        amount=given.amount,
        feedback_id=None if given.feedback is None else named.known(given.feedback),
        digest=WorkEntry(given.at, given.action, given.amount).digest,
    )


def _advice_out(row: Advice) -> dict[str, Any]:
    moments = {
        name: getattr(row, name).astimezone(UTC).isoformat()
        for name in ("given_at", "as_of", "valid_until", "keeps_until")
    }
    return {
        "id": row.id,
        "answer_id": row.answer_id,
        **moments,
        "changes": row.changes,
        "effects": row.effects,
        "units": row.units,
        "knowledge": row.knowledge,
        "service": row.service,
        "status": json.loads(row.status),
        "known": json.loads(row.known),
        "answer": answer_of(row).decode(),
        "superseded_at": None if row.superseded_at is None else row.superseded_at.isoformat(),
        "superseded_by": row.superseded_by,
    }


def _advice_in(pile: Pile, named: _Names, given: ExportedAdvice) -> Advice:
    try:
        answer = json.loads(given.answer)
        good = answer["id"] == given.answer_id and isinstance(actions_of(given.id, answer), list)
    except (ValueError, KeyError, TypeError, AttributeError):
        good = False
    if not good:
        raise _refused("the answer is not an advice of this id")
    return Advice(
        id=named.new(given.id, Advice),
        pile_id=pile.id,
        answer_id=given.answer_id,
        given_at=given.given_at,
        as_of=given.as_of,
        valid_until=given.valid_until,
        keeps_until=given.keeps_until,
        changes=given.changes,
        effects=given.effects,
        units=given.units,
        knowledge=given.knowledge,
        service=given.service,
        status=json.dumps(given.status),
        known=json.dumps(given.known),
        answer=zlib.compress(given.answer.encode()),
        superseded_at=given.superseded_at,
        superseded_by=given.superseded_by,
    )


def _feedback_out(row: Feedback) -> dict[str, Any]:
    return {
        "id": row.id,
        "advice": row.advice_id,
        "action": row.action,
        "verdict": row.verdict,
        "reason": row.reason,
        "comment": row.comment,
        "at": at_offset(row.at, row.offset_min).isoformat(),
        "outcome": row.outcome,
        "outcome_at": None if row.outcome_at is None else row.outcome_at.isoformat(),
    }


def _feedback_in(pile: Pile, named: _Names, given: ExportedFeedback) -> Feedback:
    return Feedback(
        id=named.new(given.id, Feedback),
        pile_id=pile.id,
        advice_id=named.known(given.advice),
        action=given.action,
        verdict=given.verdict,
        reason=given.reason,
        comment=given.comment,
        at=given.at,
        offset_min=offset_of(given.at),
        outcome=given.outcome,
        outcome_at=given.outcome_at,
    )


def _refused(detail: str) -> Problem:
    return Problem("invalid-request", f"{detail}.", [{"pointer": "", "detail": f"{detail}."}])
