"""Readings and work of a pile: adding them without twins, and reading them back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final, TypeVar

from sqlalchemy import ColumnElement, and_, delete, or_, select, type_coerce
from sqlalchemy.orm import Session

from service.logbook.entries import Logged, ReadingEntry, WorkEntry
from service.logbook.merge import HISTORY_DAYS, is_lasting
from service.logbook.store.choice import entries_that_count
from service.logbook.store.columns import Big
from service.logbook.store.damage import Damaged, is_sound, sound_columns, sound_work
from service.logbook.store.engine import Store
from service.logbook.store.models import PileRow, ReadingRow, WorkRow, microseconds, new_id, offset_of
from service.logbook.store.piles import mark_changed, pile_of
from service.problems.problem import Problem
from service.status.checks import CLOCK_SKEW

MOSTCOLUMNS: Final = 20_000
"""How many readings of the history window are looked at for advice; of denser logs the newest."""
_AT_ONCE: Final = 500
COLUMNS: Final[tuple[Any, ...]] = (
    ReadingRow.id,
    type_coerce(ReadingRow.at, Big).label("at"),
    ReadingRow.offset_min,
    type_coerce(ReadingRow.received_at, Big).label("received_at"),
    ReadingRow.source,
    ReadingRow.part,
    ReadingRow.digest,
)
"""What reading an entry needs, as `damage.sound_columns` takes it."""
_Entry = TypeVar("_Entry", ReadingEntry, WorkEntry)


@dataclass(frozen=True, slots=True)
class Added:
    """What a request changed: ids of the new entries, and how many were there already."""

    readings: list[str]
    work: list[str]
    twins: int


def add(session: Session, pile: PileRow, logged: Logged, source: str, now: datetime) -> Added:
    """Add entries that are not there yet; the pile must be locked (`pile_of(…, to_change=True)`)."""
    readings = _new(session, ReadingRow, pile, {entry.digest: entry for entry in logged.readings})
    work = _new(session, WorkRow, pile, {entry.digest: entry for entry in logged.work})
    rows = [_reading(pile, entry, source, now) for entry in readings]
    work_rows = [_work(pile, entry, now) for entry in work]
    session.add_all([*rows, *work_rows])
    if rows or work_rows:
        mark_changed(session, pile, now)
    session.flush()
    twins = len(logged.readings) + len(logged.work) - len(rows) - len(work_rows)
    return Added([row.id for row in rows], [row.id for row in work_rows], twins)


def _new(
    session: Session, table: type[ReadingRow | WorkRow], pile: PileRow, by_digest: dict[bytes, _Entry]
) -> list[_Entry]:
    """The entries whose digests the table does not hold yet."""
    known: set[bytes] = set()
    for digests in _slices(list(by_digest)):
        known.update(session.scalars(select(table.digest).where(table.pile_id == pile.id, table.digest.in_(digests))))
    return [entry for digest, entry in by_digest.items() if digest not in known]


def _slices(items: Sequence[bytes]) -> Iterator[Sequence[bytes]]:
    return (items[start : start + _AT_ONCE] for start in range(0, len(items), _AT_ONCE))


def _reading(pile: PileRow, entry: ReadingEntry, source: str, now: datetime) -> ReadingRow:
    return ReadingRow(
        id=new_id(),
        pile_id=pile.id,
        at=entry.at,
        offset_min=offset_of(entry.at),
        received_at=now,
        source=source,
        part=entry.json,
        lasting=is_lasting(entry.part),
        digest=entry.digest,
    )


def _work(pile: PileRow, entry: WorkEntry, now: datetime, feedback_id: str | None = None) -> WorkRow:
    return WorkRow(
        id=new_id(),
        pile_id=pile.id,
        at=entry.at,
        offset_min=offset_of(entry.at),
        received_at=now,
        action=entry.action,
        amount=entry.amount,
        feedback_id=feedback_id,
        digest=entry.digest,
    )


def replace_work_of(session: Session, pile: PileRow, feedback_id: str, entry: WorkEntry | None, now: datetime) -> None:
    """The work that a feedback tells of: replaces what it told before; None takes it back."""
    before = session.scalars(select(WorkRow).where(WorkRow.feedback_id == feedback_id)).one_or_none()
    if entry is not None and before is not None and before.digest == entry.digest:
        return
    if before is not None:
        session.delete(before)
        session.flush()
    if entry is not None and _new(session, WorkRow, pile, {entry.digest: entry}):
        session.add(_work(pile, entry, now, feedback_id))
    if before is not None or entry is not None:
        mark_changed(session, pile, now)
    session.flush()


def remove(session: Session, pile: PileRow, entry_id: str, now: datetime) -> None:
    """Delete one reading or piece of work. Raises Problem `not-found`."""
    for table in (ReadingRow, WorkRow):
        gone = session.execute(
            delete(table).where(table.pile_id == pile.id, table.id == entry_id).returning(table.id)
        ).all()
        if gone:
            mark_changed(session, pile, now)
            return
    raise Problem("not-found", "There is no reading or work of this id in this pile's log.")


def remove_for_good(store: Store, account_id: str, pile_id: str, entry_id: str) -> bool | None:
    """Delete one entry and wipe it from SQLite's files; None where a server decides when its files forget."""
    with store.writing() as session:
        remove(session, pile_of(session, account_id, pile_id, to_change=True), entry_id, datetime.now(UTC))
    return store.wipe() if store.is_sqlite else None


@dataclass(slots=True)
class Past:
    """What of a pile's log may count as of a moment, in the order it was received; ids of what is damaged."""

    readings: list[ReadingEntry] = field(default_factory=list)
    work: list[WorkEntry] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)


def to_merge(session: Session, pile: PileRow, as_of: datetime, *, naming_all: bool = False) -> Past:
    """The readings and work that may still count as of a moment; what is damaged is left out and named.

    Of a dense log most readings are passed over unread; `naming_all` looks at these too, for what is damaged.
    """
    before, begin = ReadingRow.at <= as_of + CLOCK_SKEW, as_of - timedelta(days=HISTORY_DAYS)
    rows = _newest(session, pile, and_(before, or_(ReadingRow.at >= begin, ReadingRow.lasting)))
    if not any(row.at >= microseconds(begin) for row in rows):
        rows += _newest(session, pile, and_(before, ReadingRow.lasting.is_(False)), most=_AT_ONCE)
    past = Past()
    looked_at: set[str] = set()

    def read(row: Any) -> ReadingEntry | None:
        looked_at.add(row.id)
        try:
            return sound_columns(row)
        except Damaged:
            past.damaged.append(row.id)
            return None

    past.readings += entries_that_count(rows, as_of, read)
    if naming_all:
        past.damaged += [row.id for row in rows if row.id not in looked_at and not is_sound(row)]
    for work in session.scalars(select(WorkRow).where(WorkRow.pile_id == pile.id).order_by(WorkRow.at, WorkRow.id)):
        try:
            past.work.append(sound_work(work))
        except Damaged:
            past.damaged.append(work.id)
    return past


def _newest(session: Session, pile: PileRow, counts: ColumnElement[bool], most: int = MOSTCOLUMNS) -> list[Any]:
    """Rows with what merging needs, oldest first; not as objects, of which twenty thousand take a second."""
    found = select(*COLUMNS).where(ReadingRow.pile_id == pile.id, counts)
    rows = session.execute(found.order_by(ReadingRow.at.desc(), ReadingRow.id.desc()).limit(most)).all()
    return list(reversed(rows))
