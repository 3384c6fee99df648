"""Accounts and their piles. Every look-up names the account: nobody reaches what belongs to another."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import delete, func, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from service.logbook.shapes.pages import PilePage
from service.logbook.store.engine import Store
from service.logbook.store.file_entry import pile_fault
from service.logbook.store.models import (
    AccountRow,
    AdviceRow,
    PileRow,
    ReadingRow,
    WorkRow,
    at_offset,
    new_pile_id,
    offset_of,
)
from service.problems.problem import Problem
from service.units.quantities import System

HOME: Final = "home"
"""The account of whoever sits at the machine, and of an open service."""
MOST_PILES: Final = 1000
MOST_CHANGES: Final = 2**53
"""More than any pile sees; what says more is damaged."""


@dataclass(frozen=True, slots=True)
class NewPile:
    """What a pile is to be; `id` and `made_at` where it was a pile before."""

    name: str
    units: System = "metric"
    zone: str = "UTC"
    id: str | None = None
    made_at: datetime | None = None


def account_named(session: Session, name: str, now: datetime) -> AccountRow:
    """The account of this name, made where there is none."""
    account = find_account(session, name)
    if account is not None:
        return account
    try:
        with session.begin_nested():
            account = AccountRow(name=name, made_at=now)
            session.add(account)
        return account
    except IntegrityError:  # another process made it in the meantime
        return session.scalars(select(AccountRow).where(AccountRow.name == name)).one()


def find_account(session: Session, name: str) -> AccountRow | None:
    """The account of this name, if there is one."""
    return session.scalars(select(AccountRow).where(AccountRow.name == name)).one_or_none()


def add_pile(session: Session, account_id: str, new: NewPile, now: datetime) -> PileRow:
    """A new, empty pile; with an id of its own where the one wanted is taken."""
    count = session.scalar(select(func.count()).select_from(PileRow).where(PileRow.account_id == account_id)) or 0
    if count >= MOST_PILES:
        raise Problem("too-many", f"One account keeps at most {MOST_PILES} piles; delete one first.")
    free = new.id is not None and session.get(PileRow, new.id) is None
    pile = PileRow(
        id=new.id if free else new_pile_id(),
        account_id=account_id,
        name=new.name,
        units=new.units,
        zone=new.zone,
        made_at=new.made_at or now,
        changes=0,
    )
    session.add(pile)
    session.flush()
    return pile


def piles_of(session: Session, account_id: str) -> list[PileRow]:
    """All piles of an account, oldest first."""
    found = select(PileRow).where(PileRow.account_id == account_id).order_by(PileRow.made_at, PileRow.id)
    return list(session.scalars(found))


def pile_of(session: Session, account_id: str, pile_id: str, *, to_change: bool = False) -> PileRow:
    """One pile of this account.

    With `to_change` it is locked until the transaction ends, so that two writers do not pass each other.

    Raises
    ------
    Problem
        `not-found` where there is none, and no other where it belongs to somebody else.
    """
    wanted = select(PileRow).where(PileRow.id == pile_id, PileRow.account_id == account_id)
    pile = session.scalars(wanted.with_for_update() if to_change else wanted).one_or_none()
    if pile is None:
        raise Problem("not-found", "There is no pile of this id.")
    return pile


def mark_changed(session: Session, pile: PileRow, now: datetime) -> None:
    """Count a change of what is known of the pile: advice given before is superseded."""
    pile.changes = (pile.changes if 0 <= pile.changes < MOST_CHANGES else 0) + 1  # a damaged count begins anew
    current = (AdviceRow.pile_id == pile.id, AdviceRow.superseded_at.is_(None))
    session.execute(update(AdviceRow).where(*current).values(superseded_at=now))


def change_pile(session: Session, pile: PileRow, changed: dict[str, str], now: datetime) -> None:
    """Set name, units or zone; advice in other units or of another day counts no longer."""
    for name, value in changed.items():
        setattr(pile, name, value)
    if changed.keys() - {"name"}:
        mark_changed(session, pile, now)
    session.flush()


def delete_for_good(store: Store, account_id: str, pile_id: str) -> bool | None:
    """Delete a pile and wipe it from SQLite's files; None where a server decides when its files forget."""
    with store.writing() as session:
        delete_pile(session, pile_of(session, account_id, pile_id, to_change=True))
    return store.wipe() if store.is_sqlite else None


def delete_pile(session: Session, pile: PileRow) -> None:
    """Delete a pile with everything that belongs to it; the tables' own rules take the rest along."""
    session.execute(delete(PileRow).where(PileRow.id == pile.id))


def local(pile: PileRow, at: datetime) -> datetime:
    """The moment on the clock of the pile's time zone."""
    return in_zone(pile.zone, at)


def in_zone(zone: str, at: datetime) -> datetime:
    """The moment on the clock of a time zone; in UTC where the zone is none (a damaged entry must hide nothing)."""
    try:
        here = at.astimezone(ZoneInfo(zone))
    except (ValueError, OSError, KeyError):
        here = at.astimezone(UTC)
    return at_offset(here, offset_of(here))


def pile_shown(session: Session, pile: PileRow) -> PilePage:
    """A pile as it is shown, with how much is logged of it."""

    def count(table: type[ReadingRow | WorkRow | AdviceRow]) -> int:
        return session.scalar(select(func.count()).select_from(table).where(table.pile_id == pile.id)) or 0

    newest = session.scalar(select(func.max(ReadingRow.at)).where(ReadingRow.pile_id == pile.id))
    page: PilePage = {
        "id": pile.id,
        "name": pile.name,
        "units": pile.units,
        "zone": pile.zone,
        "made_at": pile.made_at.isoformat(),
        "readings": count(ReadingRow),
        "work": count(WorkRow),
        "advice": count(AdviceRow),
        "newest_reading_at": None if newest is None else local(pile, newest).isoformat(),
    }
    fault = pile_fault(pile)
    if fault is not None:
        page["damaged"] = fault
    return page
