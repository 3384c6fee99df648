"""A whole pile out and in again, without loss."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from typing import Any, Final

from sqlalchemy import insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from service.logbook.shapes.pile_file import FORMAT, FORMAT_VERSION
from service.logbook.store.advice import actions_of
from service.logbook.store.damage import Damaged, sound_answer, sound_json, sound_reading, sound_work
from service.logbook.store.file_rows import FileRows, Row, refused
from service.logbook.store.models import AdviceRow, Base, FeedbackRow, PileRow, ReadingRow, WorkRow, at_offset, new_id
from service.logbook.store.piles import NewPile, add_pile
from service.problems.json_text import JsonObject

_AT_ONCE: Final = 500


def export(session: Session, pile: PileRow) -> JsonObject:
    """All of one pile, as `service.logbook.shapes.pile_file` describes it; what is damaged is named and left out."""
    damaged: list[dict[str, str]] = []
    file = {**head_of(pile), **{name: list(entries) for name, entries in entries_of(session, pile, damaged).items()}}
    return {**file, "damaged": damaged} if damaged else file


def head_of(pile: PileRow) -> JsonObject:
    """What a file says of the pile itself."""
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
    }


def entries_of(session: Session, pile: PileRow, damaged: list[dict[str, str]]) -> dict[str, Iterator[JsonObject]]:
    """The entries of a pile by section, read as they are asked for; those that are damaged are noted in `damaged`."""

    def entries(section: str, table: type[Any], at: Any, shown: Callable[[Any], JsonObject]) -> Iterator[Any]:
        wanted = select(table).where(table.pile_id == pile.id).order_by(at, table.id)
        yield from _sound(section, session.scalars(wanted.execution_options(yield_per=_AT_ONCE)), shown, damaged)

    return {section[0]: entries(*section) for section in _SECTIONS}


def _sound(
    section: str, rows: Iterable[Any], shown: Callable[[Any], JsonObject], damaged: list[dict[str, str]]
) -> Iterator[JsonObject]:
    """The entries that are as they came in; the others are noted as damaged."""
    for row in rows:
        try:
            yield shown(row)
        except (Damaged, ValueError, TypeError, OverflowError) as error:
            why = str(error) if isinstance(error, Damaged) else "it is not as it came in"
            damaged.append({"section": section, "id": row.id, "why": why})


def bring_in(session: Session, account_id: str, rows: FileRows, now: datetime) -> PileRow:
    """A new pile from a file that was read. It keeps its id and those of its entries, where they are free.

    Raises
    ------
    Problem
        If two entries contradict each other; then nothing is kept.
    """
    try:
        return _bring_in(session, account_id, rows, now)
    except IntegrityError:
        raise refused("two entries of the file contradict each other; nothing was kept") from None


def _bring_in(session: Session, account_id: str, rows: FileRows, now: datetime) -> PileRow:
    head = rows.head
    pile = add_pile(session, account_id, NewPile(head.name, head.units, head.zone, head.id, head.made_at), now)
    pile.changes = head.changes
    session.flush()
    first: list[tuple[type[Base], list[Row]]] = [(ReadingRow, rows.readings), (AdviceRow, rows.advice)]
    then: list[tuple[type[Base], list[Row]]] = [
        (FeedbackRow, rows.feedback),
        (WorkRow, rows.work),
    ]  # they refer to the first
    ids: dict[str, str] = {}
    for table, wanted in (*first, *then):
        ids |= _ids(session, table, [row["id"] for row in wanted])
    for table, wanted in first:
        _insert(session, table, pile, wanted, ids)
    for given, answer in rows.answers.items():
        session.add_all(actions_of(ids[given], answer))
    session.flush()
    for table, wanted in then:
        _insert(session, table, pile, wanted, ids)
    return pile


def _ids(session: Session, table: type[Any], given: list[str]) -> dict[str, str]:
    """Ids of the file to ids of the store: the same where they are free."""
    taken: set[str] = set()
    for start in range(0, len(given), _AT_ONCE):
        taken.update(session.scalars(select(table.id).where(table.id.in_(given[start : start + _AT_ONCE]))))
    return {one: new_id() if one in taken else one for one in given}


def _insert(session: Session, table: type[Any], pile: PileRow, rows: list[Row], ids: dict[str, str]) -> None:
    def with_ids(row: Row) -> Row:
        own = {name: ids[row[name]] for name in ("id", "advice_id", "feedback_id") if row.get(name) is not None}
        return {**row, **own, "pile_id": pile.id}

    if rows:
        session.execute(insert(table), [with_ids(row) for row in rows])


def _reading_out(row: ReadingRow) -> JsonObject:
    entry = sound_reading(row)
    return {
        "id": row.id,
        "at": entry.at.isoformat(),
        "received_at": row.received_at.isoformat(),
        "source": row.source,
        "part": entry.part,
    }


def _work_out(row: WorkRow) -> JsonObject:
    entry = sound_work(row)
    return {
        "id": row.id,
        "at": entry.at.isoformat(),
        "received_at": row.received_at.isoformat(),
        "action": entry.action,
        "amount": entry.amount,
        "feedback": row.feedback_id,
    }


def _advice_out(row: AdviceRow) -> JsonObject:
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
        "status": sound_json(row.status),
        "known": sound_json(row.known),
        "answer": sound_answer(row)[0].decode(),
        "superseded_at": None if row.superseded_at is None else row.superseded_at.isoformat(),
        "superseded_by": row.superseded_by,
    }


def _feedback_out(row: FeedbackRow) -> JsonObject:
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


_SECTIONS: Final[tuple[tuple[str, Any, Any, Callable[[Any], JsonObject]], ...]] = (
    ("readings", ReadingRow, ReadingRow.at, _reading_out),
    ("work", WorkRow, WorkRow.at, _work_out),
    ("advice", AdviceRow, AdviceRow.given_at, _advice_out),
    ("feedback", FeedbackRow, FeedbackRow.at, _feedback_out),
)
"""The sections of a file: table, moment, and how a row is written."""
