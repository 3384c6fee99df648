"""A whole pile out and in again, without loss."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any, Final

from sqlalchemy import insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from service.logbook.shapes.pile_file import FORMAT, FORMAT_VERSION
from service.logbook.store.advice import actions_of
from service.logbook.store.damage import Damaged
from service.logbook.store.faults import is_of_the_log_book
from service.logbook.store.file_entry import file_entry, file_head, pile_fault
from service.logbook.store.file_rows import FileRows, StoredRow, file_refused
from service.logbook.store.models import AdviceRow, Base, FeedbackRow, PileRow, ReadingRow, WorkRow, new_id
from service.logbook.store.piles import NewPile, add_pile
from service.problems.json_text import JsonObject
from service.problems.problem import cut

_AT_ONCE: Final = 500


def export(session: Session, pile: PileRow) -> JsonObject:
    """All of one pile, as `service.logbook.shapes.pile_file` describes it; what is damaged is named and left out."""
    damaged = damage_of_head(pile)
    file = {**head_of(pile), **{name: list(entries) for name, entries in entries_of(session, pile, damaged).items()}}
    return {**file, "damaged": damaged} if damaged else file


def head_of(pile: PileRow) -> JsonObject:
    """What a file says of the pile itself."""
    return {"format": FORMAT, "format_version": FORMAT_VERSION, "pile": file_head(pile)}


def damage_of_head(pile: PileRow) -> list[dict[str, str]]:
    """The pile itself as the first of what is damaged, where it is."""
    why = pile_fault(pile)
    return [] if why is None else [{"section": "pile", "id": cut(pile.id), "why": why}]


def entries_of(session: Session, pile: PileRow, damaged: list[dict[str, str]]) -> dict[str, Iterator[JsonObject]]:
    """The entries of a pile by section, read as they are asked for; those that are damaged are noted in `damaged`."""

    def entries(section: str, table: type[Any], at: Any) -> Iterator[Any]:
        wanted = select(table).where(table.pile_id == pile.id).order_by(at, table.id)
        for row in session.scalars(wanted.execution_options(yield_per=_AT_ONCE)):
            try:
                yield file_entry(session, row)
            except Damaged as why:
                damaged.append({"section": section, "id": cut(row.id), "why": str(why)})

    return {section[0]: entries(*section) for section in _SECTIONS}


def bring_in(session: Session, account_id: str, rows: FileRows, now: datetime) -> PileRow:
    """A new pile from a file that was read. It keeps its id and those of its entries, where they are free.

    Raises
    ------
    Problem
        If two entries contradict each other; then nothing is kept.
    """
    try:
        return _bring_in(session, account_id, rows, now)
    except IntegrityError as error:
        if is_of_the_log_book(error):
            raise
        raise file_refused("two entries of the file contradict each other; nothing was kept") from None


def _bring_in(session: Session, account_id: str, rows: FileRows, now: datetime) -> PileRow:
    head = rows.head
    pile = add_pile(session, account_id, NewPile(head.name, head.units, head.zone, head.id, head.made_at), now)
    pile.changes = head.changes
    session.flush()
    first: list[tuple[type[Base], list[StoredRow]]] = [(ReadingRow, rows.readings), (AdviceRow, rows.advice)]
    then: list[tuple[type[Base], list[StoredRow]]] = [
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


def _insert(session: Session, table: type[Any], pile: PileRow, rows: list[StoredRow], ids: dict[str, str]) -> None:
    def with_ids(row: StoredRow) -> StoredRow:
        own = {name: ids[row[name]] for name in ("id", "advice_id", "feedback_id") if row.get(name) is not None}
        return {**row, **own, "pile_id": pile.id}

    if rows:
        session.execute(insert(table), [with_ids(row) for row in rows])


_SECTIONS: Final[tuple[tuple[str, Any, Any], ...]] = (
    ("readings", ReadingRow, ReadingRow.at),
    ("work", WorkRow, WorkRow.at),
    ("advice", AdviceRow, AdviceRow.given_at),
    ("feedback", FeedbackRow, FeedbackRow.at),
)
"""The sections of a file: table and moment."""
