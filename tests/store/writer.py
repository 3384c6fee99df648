"""A process that logs readings one by one and says so after each: run by the tests of durability.

`python -m tests.store.writer PILE FIRST COUNT [ACKS]` logs COUNT readings to PILE, numbered from FIRST, and writes each
number to ACKS (default: standard output) once it is acknowledged. The log book is the one of the environment; the
pragma of WRITER_PRAGMA is set on each connection, to show what another setting would lose.
"""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import event

from service.logbook.entries import Logged, ReadingEntry
from service.logbook.store.engine import Store, the_store
from service.logbook.store.models import PileRow
from service.logbook.store.piles import HOME, NewPile, account_named, add_pile, pile_of
from service.logbook.store.readings import add

START = datetime(2026, 1, 1, tzinfo=UTC)


def entry(number: int) -> ReadingEntry:
    """The reading of this number, unlike every other."""
    return ReadingEntry(START + timedelta(seconds=number), {"temperatures": {"core": f"{number % 60 + 10} degC"}})


def new_pile(store: Store) -> str:
    """A pile to write to."""
    with store.writing() as session:
        account = account_named(session, HOME, START)
        return add_pile(session, account.id, NewPile("heap"), START).id


def write(store: Store, pile_id: str, number: int) -> None:
    """Log one reading; when this returns it is acknowledged."""
    with store.writing() as session:
        account = session.get_one(PileRow, pile_id).account_id
        pile = pile_of(session, account, pile_id, to_change=True)
        add(session, pile, Logged([entry(number)]), "json", datetime.now(UTC))


def write_many(url: str, pile: str, first: int, count: int) -> None:
    """Log `count` readings in a process of its own."""
    store = Store(url).open()
    for number in range(first, first + count):
        write(store, pile, number)
    store.close()


def numbers_in(moments: Any) -> list[int]:
    """Numbers of the readings whose moments (microseconds since 1970) a log book holds."""
    start = round(START.timestamp() * 1e6)
    return sorted((at - start) // 1_000_000 for at in moments)


def main(pile_id: str, first: int, count: int, acks: int) -> None:
    """Write and acknowledge."""
    store = the_store()
    pragma = os.environ.get("WRITER_PRAGMA")
    if pragma:
        store.engine.dispose()
        event.listen(store.engine, "connect", lambda connection, _: connection.execute(f"PRAGMA {pragma}"))
    for number in range(first, first + count):
        write(store, pile_id, number)
        os.write(acks, b"%d\n" % number)


if __name__ == "__main__":
    target = os.open(sys.argv[4], os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600) if len(sys.argv) > 4 else 1
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), target)
