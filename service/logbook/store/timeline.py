"""All that is logged of a pile by time: readings, work, advice and feedback in one list, newest first."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Final, Literal, get_args

from sqlalchemy import select, tuple_
from sqlalchemy.orm import Session

from service.logbook.shapes.pages import FeedbackShown, LogPage
from service.logbook.store.damage import Damaged, sound_answer, warning_in
from service.logbook.store.file_entry import EntryRow, file_entry
from service.logbook.store.models import AdviceRow, FeedbackRow, PileRow, ReadingRow, WorkRow, at_offset
from service.logbook.store.piles import local
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.status.moments import read_instant

LogKind = Literal["reading", "work", "advice", "feedback"]
KINDS: Final[tuple[LogKind, ...]] = get_args(LogKind)
_TABLES: Final[dict[LogKind, tuple[Any, Any]]] = {
    "reading": (ReadingRow, ReadingRow.at),
    "work": (WorkRow, WorkRow.at),
    "advice": (AdviceRow, AdviceRow.given_at),
    "feedback": (FeedbackRow, FeedbackRow.at),
}
"""Table and moment of each kind of entry."""


def log_of(session: Session, pile: PileRow, kinds: tuple[LogKind, ...], limit: int, after: str | None) -> LogPage:
    """A page of the log; `after` is the `next` of the page before."""
    cursor = None if after is None else _cursor(after)
    rows: list[tuple[datetime, str, LogKind, EntryRow]] = []
    for kind in kinds:
        table, at = _TABLES[kind]
        found = select(table).where(table.pile_id == pile.id)
        if cursor is not None:
            found = found.where(tuple_(at, table.id) < cursor)
        for row in session.scalars(found.order_by(at.desc(), table.id.desc()).limit(limit + 1)):
            rows.append((getattr(row, at.key), row.id, kind, row))
    rows.sort(key=lambda row: row[:2], reverse=True)
    page = rows[:limit]
    following = f"{page[-1][0].isoformat()}~{page[-1][1]}" if len(rows) > limit else None
    return {"pile": pile.id, "entries": [entry_shown(session, pile, row[3]) for row in page], "next": following}


def _cursor(after: str) -> tuple[datetime, str]:
    moment, _, entry_id = after.partition("~")
    try:
        return read_instant(moment), entry_id
    except Exception:
        detail = "`after` is the `next` of the page before."
        error = {"pointer": "", "parameter": "after", "detail": detail}
        raise Problem("invalid-request", detail, [error]) from None


def entry_shown(session: Session, pile: PileRow, row: EntryRow) -> JsonObject:
    """One entry as it is shown."""
    try:
        return _sound_shown(session, pile, row)
    except Damaged as why:
        kind: LogKind = next(kind for kind, (table, _) in _TABLES.items() if isinstance(row, table))
        at = getattr(row, _TABLES[kind][1].key)
        shown = {"kind": kind, "id": row.id, "at": at.isoformat(), "damaged": str(why)}
        return {**shown, "warning": warning_in(row)} if isinstance(row, ReadingRow) else shown


def _sound_shown(session: Session, pile: PileRow, row: EntryRow) -> JsonObject:
    told = file_entry(session, row)
    if isinstance(row, ReadingRow):
        return {"kind": "reading", **{name: told[name] for name in ("id", "at", "source", "part")}}
    if isinstance(row, WorkRow):
        return {"kind": "work", **{name: told[name] for name in ("id", "at", "action", "amount")}}
    if isinstance(row, AdviceRow):
        return {
            "kind": "advice",
            "id": row.answer_id,
            "at": local(pile, row.given_at).isoformat(),
            "headline": sound_answer(row)[1]["headline"],
            "valid_until": local(pile, row.valid_until).isoformat(),
            "superseded_by": row.superseded_by,
        }
    return {"kind": "feedback", **feedback_shown(session, row)}


def feedback_shown(session: Session, row: FeedbackRow) -> FeedbackShown:
    """What was said about one action of an advice; the row must be sound, or have just been written."""
    return {
        "id": row.id,
        "at": at_offset(row.at, row.offset_min).isoformat(),
        "advice": session.get_one(AdviceRow, row.advice_id).answer_id,
        "action": row.action,
        "verdict": row.verdict,
        "reason": row.reason,
        "comment": row.comment,
        "outcome": row.outcome,
        "outcome_at": None if row.outcome_at is None else row.outcome_at.isoformat(),
    }
