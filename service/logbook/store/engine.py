"""Opening the log book: one `Store` for each database, made and brought up to date on first use."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.orm import Session, sessionmaker

from service.logbook.store import place, webhook_models  # noqa: F401 (its tables are part of the log book)
from service.logbook.store.faults import told_as_problems
from service.logbook.store.schema_version import HEAD, check_known
from service.logbook.store.sqlite_file import connection_to, keep_private
from service.problems.problem import Problem

BUSY_TIMEOUT_S: Final = 30.0
_WIPE_TIMEOUT_S: Final = 2.0
_MIGRATION_LOCK: Final = 7_236_427_001


class Store:
    """A database with its transactions. Faults of the database come out as problems."""

    def __init__(self, url: str) -> None:
        self.file = place.sqlite_file(url)
        self.engine = _sqlite_engine(url, self.file) if self.file is not None else _server_engine(url)
        self._one_writer = nullcontext() if self.file is None else threading.Lock()
        self._readers = sessionmaker(self.engine, expire_on_commit=False)
        self._writers = sessionmaker(self.engine.execution_options(writes=True), expire_on_commit=False)

    @property
    def is_sqlite(self) -> bool:
        """Whether it is a file of our own."""
        return self.file is not None

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one state of the log book and changes nothing."""
        with told_as_problems(self.file), self._readers() as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose changes are all kept once the block is left, or none of them."""
        with told_as_problems(self.file), self._one_writer, self._writers.begin() as session:
            yield session

    def open(self) -> Store:
        """Make the folder and the tables where they are missing, and bring older tables up to date."""
        with told_as_problems(self.file):
            if self.file is not None:
                make_folder(self.file.parent)
                keep_private(self.file)
            with self.engine.connect() as connection:
                found = version_in(connection)
            check_known(found)
            if found != HEAD:
                with self._one_writer:
                    _migrate(self.engine)
        return self

    def wipe(self) -> bool:
        """Empty SQLite's write-ahead log, so that nothing deleted stays in it; whether that could be done now.

        A reader that is at work keeps it; the next call, or the last to close the file, does it then.
        """
        if self.file is None:
            return False
        try:
            with closing(sqlite3.connect(self.file, timeout=_WIPE_TIMEOUT_S)) as connection:
                busy: int = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
        except sqlite3.Error:
            return False
        return busy == 0

    def close(self) -> None:
        """Give back all connections."""
        self.engine.dispose()


_stores: dict[tuple[str, int], Store] = {}
_opening = threading.Lock()


def the_store() -> Store:
    """The log book of this process, by the environment (see `service.logbook.store.place`); opened on first use.

    Raises Problem `storage-unavailable` where there is none that can be opened.
    """
    try:
        key = place.database_url(), os.getpid()
        with _opening:
            if key not in _stores:
                _stores[key] = Store(key[0]).open()
            return _stores[key]
    except ValueError as error:
        raise Problem("storage-unavailable", f"{error}.") from None
    except ModuleNotFoundError:
        raise Problem("storage-unavailable", "For PostgreSQL install the extra `postgres` (psycopg).") from None


def close_stores() -> None:
    """Give back the connections of every log book of this process."""
    with _opening:
        for key in [key for key in _stores if key[1] == os.getpid()]:
            _stores.pop(key).close()


def version_in(connection: Connection) -> str | None:
    """Version of the tables, None where there are none."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    version: str | None = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return version


def make_folder(folder: Path) -> None:
    """Make a folder that only its owner may read, and see to it that its name survives a power cut."""
    if folder.is_dir():
        return
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=0o700, exist_ok=True)
    parent = os.open(folder.parent, os.O_RDONLY)
    try:
        os.fsync(parent)
    finally:
        os.close(parent)


def _migrate(engine: Engine) -> None:
    from service.logbook.store.migrations.upgrade import upgrade  # slow to load, seldom needed

    with engine.execution_options(writes=True).begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATION_LOCK})
        if version_in(connection) != HEAD:
            upgrade(connection)


def _sqlite_engine(url: str, file: Path) -> Engine:
    engine = create_engine(url, pool_size=8, max_overflow=32, creator=lambda: connection_to(file, BUSY_TIMEOUT_S))
    event.listen(engine, "begin", _begin)
    event.listen(engine, "checkin", _let_go)
    return engine


def _server_engine(url: str) -> Engine:
    return create_engine(
        url,
        pool_size=5,
        max_overflow=10,
        pool_pre_ping=True,
        connect_args={"connect_timeout": 10},
        hide_parameters=True,
    )


def _let_go(connection: Any, record: Any) -> None:
    """Close a connection that can only read once it is given back: the next may be able to write."""
    if connection is not None and getattr(connection, "is_frozen", False):
        record.invalidate()


def _begin(connection: Connection) -> None:
    """Take the write lock at once where writing is meant: a reader that turns writer could not wait for it."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
