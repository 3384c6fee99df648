"""One connection to the SQLite file: durable where it can be written, and able to read where it cannot."""

from __future__ import annotations

import os
import sqlite3
import stat
import time
from contextlib import suppress
from pathlib import Path
from typing import Final

_PRAGMAS: Final = ("synchronous=FULL", "foreign_keys=ON", "secure_delete=ON", "temp_store=MEMORY")
"""FULL: a commit is on the disk before it is acknowledged (NORMAL may lose the newest commits of a WAL file in a power
cut). temp_store: what is sorted needs no room on a disk that may be full. secure_delete: what is deleted is overwritten
with zeros."""
_CANNOT_WRITE: Final = frozenset(
    {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_PERM}
)
OWNER_ONLY: Final = 0o600
_NEW_FILES: Final = os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0)


class FileConnection(sqlite3.Connection):
    """A connection; `is_frozen` where it can only read, and sees the file as it was when it was opened."""

    is_frozen = False


def connection_to(file: Path, timeout_s: float) -> FileConnection:
    """A connection that reads and writes; on a full or read-only disk one that only reads.

    To read a file with a write-ahead log SQLite wants to write beside it. Where it cannot, and nothing waits in the
    log, the file is opened as one that does not change.
    """
    try:
        return _prepared(
            sqlite3.connect(file, timeout=timeout_s, check_same_thread=False, factory=FileConnection), timeout_s
        )
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF not in _CANNOT_WRITE or not _is_settled(file):
            raise
    uri = f"{file.absolute().as_uri()}?mode=ro&immutable=1"
    frozen = sqlite3.connect(uri, timeout=timeout_s, check_same_thread=False, factory=FileConnection, uri=True)
    frozen.isolation_level = None
    frozen.text_factory = _text
    frozen.is_frozen = True
    return frozen


def keep_private(file: Path) -> None:
    """See to it that only the owner of the file reads it: secrets of webhooks are in it.

    What SQLite puts beside it follows. A file of somebody else, or on a disk that cannot be written, is left as it is.
    """
    with suppress(OSError):
        if not file.exists():
            os.close(os.open(file, _NEW_FILES, OWNER_ONLY))
        for part in (file, *(file.with_name(f"{file.name}{ending}") for ending in ("-wal", "-shm"))):
            if part.exists() and stat.S_IMODE(part.stat().st_mode) & ~OWNER_ONLY:
                part.chmod(OWNER_ONLY)


def _prepared(connection: FileConnection, timeout_s: float) -> FileConnection:
    """Set up a connection; its transactions are begun by whoever uses it, not by the driver."""
    try:
        connection.isolation_level = None
        connection.text_factory = _text
        _use_wal(connection, timeout_s)
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchall()
    except BaseException:
        connection.close()
        raise
    return connection


def _is_settled(file: Path) -> bool:
    """Whether the file is there and holds all that was ever written to it."""
    log = file.with_name(f"{file.name}-wal")
    return file.exists() and file.stat().st_size > 0 and (not log.exists() or log.stat().st_size == 0)


def _text(stored: bytes) -> str:
    """A text of the file; one damaged byte makes one damaged entry, not a page of them unreadable."""
    return stored.decode("utf-8", "replace")


def _use_wal(connection: sqlite3.Connection, timeout_s: float) -> None:
    """Switch to the write-ahead log; while another process does the same the file is locked for a moment."""
    if connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal":
        return
    deadline = time.monotonic() + timeout_s
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > deadline:
                raise
            time.sleep(0.01)
