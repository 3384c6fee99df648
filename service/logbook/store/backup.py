"""Copies of the whole log book, made and brought back while the service runs. A copy is always one SQLite file."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, func, insert, select
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from service.logbook.store.check import check
from service.logbook.store.engine import Store
from service.logbook.store.faults import told_as_problems
from service.logbook.store.models import Base
from service.problems.problem import Problem, cut

_ROWS_AT_ONCE: Final = 500
MOST_FAULTS: Final = 5
LONGEST_FAULT: Final = 200
TellPages = Callable[[int, int], None]
"""Told how many rows of how many are done."""


def backup(store: Store, target: Path, progress: TellPages | None = None) -> None:
    """Write a copy of the log book as it is at one moment to `target`, which must not exist.

    The copy is whole or not there: it is written beside its place, flushed to the disk, and then given its name.
    """
    if target.exists():
        raise Problem("invalid-request", f"{target} is there already; choose another name.")
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    except OSError as error:
        raise Problem("storage-unavailable", f"{target} cannot be written: {error.strerror}.") from None
    os.close(handle)
    unfinished = Path(name)
    try:
        with told_as_problems(target):
            _copy_out(store, unfinished, progress)
            _flush(unfinished)
            unfinished.replace(target)
            _flush(target.parent)
    finally:
        _remove(unfinished)


def restore(store: Store, source: Path, progress: TellPages | None = None, *, damaged_too: bool = False) -> None:
    """Replace all of the log book by a copy, in one transaction: others see it as it was, or as it is then.

    Every entry of the copy is looked at first, as by `check`; `damaged_too` takes a copy with faults all the same.

    Raises
    ------
    Problem
        If the file is not a sound copy; then nothing is changed.
    """
    refused = Problem("invalid-request", f"{source} is not a sound copy of a log book; nothing was changed.")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy.db"
        _take_copy(source, copy)
        other = Store(f"sqlite:///{copy}")
        try:
            faults = check(other.open())["faults"]
            if faults and not damaged_too:
                raise _faulty(source, faults)
            with other.reading() as there, store.writing() as here:
                try:
                    _copy_rows(there.connection(), here.connection(), progress, empty_first=True)
                except IntegrityError:
                    raise refused from None
        except (SQLAlchemyError, ValueError, TypeError) as error:  # tables or rows that are none of ours
            raise refused from error
        finally:
            other.close()
    store.wipe()


def _faulty(source: Path, faults: list[str]) -> Problem:
    more = f" and {len(faults) - MOST_FAULTS} more" if len(faults) > MOST_FAULTS else ""
    told = "; ".join(cut(fault, LONGEST_FAULT) for fault in faults[:MOST_FAULTS])
    detail = f"{source} has faults: {told}{more}. Nothing was changed; say --damaged-too to take it as it is."
    return Problem("invalid-request", detail)


def _copy_out(store: Store, target: Path, progress: TellPages | None) -> None:
    if store.file is not None:
        with closing(sqlite3.connect(store.file)) as source, closing(sqlite3.connect(target)) as copy:
            source.backup(copy)  # in one step: it sees one moment, and writers go on meanwhile
            copy.execute("PRAGMA journal_mode=DELETE")
        return
    other = Store(f"sqlite:///{target}").open()
    try:
        with _one_state(store.engine) as source_rows, other.writing() as session:
            _copy_rows(source_rows, session.connection(), progress, empty_first=False)
    finally:
        other.wipe()
        other.close()
    with closing(sqlite3.connect(target)) as copy:
        copy.execute("PRAGMA journal_mode=DELETE")


def _one_state(engine: Engine) -> Any:
    """A connection whose reads all see the same moment."""
    return engine.connect().execution_options(isolation_level="REPEATABLE READ")


def _copy_rows(source: Connection, target: Connection, progress: TellPages | None, *, empty_first: bool) -> None:
    tables = Base.metadata.sorted_tables
    if empty_first:
        for table in reversed(tables):
            target.execute(table.delete())
    counts = {t.name: source.execute(select(func.count()).select_from(t)).scalar() or 0 for t in tables}
    total, done = sum(counts.values()), 0
    for table in tables:
        for rows in source.execute(select(table)).partitions(_ROWS_AT_ONCE):
            target.execute(insert(table), [dict(row._mapping) for row in rows])
            done += len(rows)
            if progress is not None:
                progress(done, total)


def _take_copy(source: Path, copy: Path) -> None:
    """Copy the file to be restored, so that it is not changed, and see that it is sound."""
    refused = Problem("invalid-request", f"{source} is not a sound copy of a log book; nothing was changed.")
    if not source.is_file():
        raise Problem("invalid-request", f"{source} is not there.")
    try:
        uri = f"{source.absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(uri, uri=True)) as given, closing(sqlite3.connect(copy)) as taken:
            given.backup(taken)
            sound = taken.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            tables = {row[0] for row in taken.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    except sqlite3.Error:
        raise refused from None
    if not sound or not {"alembic_version", "piles", "readings"} <= tables:
        raise refused


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _remove(unfinished: Path) -> None:
    for ending in ("", "-wal", "-shm", "-journal"):
        with suppress(OSError):
            Path(f"{unfinished}{ending}").unlink()
