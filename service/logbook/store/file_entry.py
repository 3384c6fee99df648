"""Rows as a pile's file writes them, held against the same models as what comes in.

Whatever shows a row of the log asks here whether it is sound, so that log, export, advice pages and `check` agree.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any, Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from rules.catalogue import said
from service.logbook.shapes.pile_file import (
    ExportedAdvice,
    ExportedFeedback,
    ExportedHead,
    ExportedReading,
    ExportedWork,
)
from service.logbook.shapes.requests import FeedbackBody, NewPileBody
from service.logbook.shapes.stored_answer import KeptValue
from service.logbook.store.damage import Damaged, sound_answer, sound_json, sound_reading, sound_work
from service.logbook.store.models import (
    AdviceRow,
    AdvisedActionRow,
    FeedbackRow,
    PileRow,
    ReadingRow,
    WorkRow,
    at_offset,
)
from service.problems.json_text import JsonObject, check_data
from service.problems.problem import Problem, cut
from service.status.part import Part
from service.status.reading import read_model, validated

_LONGEST_WHY: Final = 160
EntryRow = ReadingRow | WorkRow | AdviceRow | FeedbackRow


def file_entry(session: Session, row: EntryRow) -> JsonObject:
    """One row as a file writes it. Raises Damaged where it is not as it came in, or could not come in by a request."""
    out, model = _KINDS[type(row)]
    return _checked(lambda: _valid(out(session, row), model))


def file_head(pile: PileRow) -> JsonObject:
    """What a file says of the pile itself, sound or not."""
    return {
        "id": pile.id,
        "name": pile.name,
        "units": pile.units,
        "zone": pile.zone,
        "made_at": pile.made_at.isoformat(),
        "changes": pile.changes,
    }


def pile_fault(pile: PileRow) -> str | None:
    """What is wrong with the row of a pile; None where nothing is."""

    def look() -> JsonObject:
        told = _valid(file_head(pile), ExportedHead)
        read_model({name: told[name] for name in ("name", "units", "zone")}, NewPileBody, "A pile")
        return told

    try:
        _checked(look)
    except Damaged as damage:
        return str(damage)
    return None


def _checked(look: Callable[[], JsonObject]) -> JsonObject:
    try:
        return look()
    except Damaged:
        raise
    except Problem as problem:
        raise Damaged(cut(problem.detail, _LONGEST_WHY)) from None
    except (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        raise Damaged(said("check.not-as-it-came")) from None


def _valid(told: JsonObject, model: type[Part]) -> JsonObject:
    validated(told, model, "invalid-request")
    return told


def _reading(session: Session, row: ReadingRow) -> JsonObject:
    entry = sound_reading(row)
    check_data(entry.part)
    return {
        "id": row.id,
        "at": entry.at.isoformat(),
        "received_at": row.received_at.isoformat(),
        "source": row.source,
        "part": entry.part,
    }


def _work(session: Session, row: WorkRow) -> JsonObject:
    entry = sound_work(row)
    told_by = select(FeedbackRow.id).where(FeedbackRow.id == row.feedback_id, FeedbackRow.pile_id == row.pile_id)
    return {
        "id": row.id,
        "at": entry.at.isoformat(),
        "received_at": row.received_at.isoformat(),
        "action": entry.action,
        "amount": entry.amount,
        "feedback": None if row.feedback_id is None else session.scalar(told_by),
    }


def _advice(session: Session, row: AdviceRow) -> JsonObject:
    moments = {
        name: getattr(row, name).astimezone(UTC).isoformat()
        for name in ("given_at", "as_of", "valid_until", "keeps_until")
    }
    status, known = sound_json(row.status), sound_json(row.known)
    check_data(status)
    check_data(known)
    for value in known:
        validated(value, KeptValue, "invalid-request")
    given, answer = sound_answer(row)
    if answer["knowledge_version"] != row.knowledge:
        raise Damaged(said("check.other-knowledge"))
    return {
        "id": row.id,
        "answer_id": row.answer_id,
        **moments,
        "changes": row.changes,
        "effects": row.effects,
        "units": row.units,
        "knowledge": row.knowledge,
        "service": row.service,
        "status": status,
        "known": known,
        "answer": given.decode(),
        "superseded_at": _moment(row.superseded_at),
        "superseded_by": row.superseded_by,
    }


def _feedback(session: Session, row: FeedbackRow) -> JsonObject:
    advice = session.scalar(select(AdviceRow).where(AdviceRow.id == row.advice_id, AdviceRow.pile_id == row.pile_id))
    if advice is None:
        raise Damaged(said("check.no-advice"))
    if session.get(AdvisedActionRow, (advice.id, row.action)) is None and row.action not in _actions(advice):
        raise Damaged(said("check.no-action"))
    told = {
        "action": row.action,
        "verdict": row.verdict,
        "reason": row.reason,
        "comment": row.comment,
        "at": at_offset(row.at, row.offset_min).isoformat(),
        "outcome": row.outcome,
        "outcome_at": _moment(row.outcome_at),
    }
    read_model({**told, "advice": advice.answer_id}, FeedbackBody, "A feedback")
    return {"id": row.id, "advice": row.advice_id, **told}


def _actions(advice: AdviceRow) -> set[str]:
    return {action["action"] for action in sound_answer(advice)[1]["actions"]}


def _moment(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()


_KINDS: Final[dict[type[Any], tuple[Callable[[Session, Any], JsonObject], type[Part]]]] = {
    ReadingRow: (_reading, ExportedReading),
    WorkRow: (_work, ExportedWork),
    AdviceRow: (_advice, ExportedAdvice),
    FeedbackRow: (_feedback, ExportedFeedback),
}
"""By kind of row: how it is written, and the model it must fit."""
