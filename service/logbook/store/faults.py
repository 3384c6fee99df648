"""What can go wrong with a database, told as problems: full is 507, everything else that may pass is 503."""

from __future__ import annotations

import errno
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy.exc import DBAPIError, IntegrityError, TimeoutError

from service.problems.problem import Problem

FULL: Final = "The disk of the log book is full. Nothing of this request was kept; what was kept before is safe."
READ_ONLY: Final = "The log book cannot be written: its folder or file is read-only. Nothing was lost."
UNREACHABLE: Final = "The log book cannot be reached now. Nothing of this request was kept unless it is seen later."
BUSY: Final = "The log book is busy; try again in a moment."
DAMAGED: Final = "The log book's file is damaged. Run `warmheap check`, then `warmheap restore` with a backup."
REFUSES: Final = "The log book refuses what it should take. Run `warmheap check`. Nothing of this request was kept."
_NO_SPACE: Final = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
_LEAST_FREE: Final = 256 * 1024
_DISK_FULL_STATES: Final = frozenset({"53100"})
_READ_ONLY_STATES: Final = frozenset({"25006"})


@contextmanager
def told_as_problems(file: Path | None) -> Iterator[None]:
    """Raise faults of the database as problems; broken constraints too, which whoever writes looks for before."""
    try:
        yield
    except IntegrityError as error:
        raise Problem("storage-unavailable", REFUSES) from error
    except sqlite3.Error as error:  # from the driver itself, where SQLAlchemy is not in between
        raise _sqlite_problem(getattr(error, "sqlite_errorcode", 0), file) from error
    except DBAPIError as error:
        raise _problem(error, file) from error
    except TimeoutError as error:
        raise _busy() from error
    except OSError as error:
        raise (_full() if error.errno in _NO_SPACE else Problem("storage-unavailable", READ_ONLY)) from error


def is_of_the_log_book(error: IntegrityError) -> bool:
    """Whether a trigger that somebody put into the file broke it off, and not what came in."""
    return getattr(error.orig, "sqlite_errorcode", 0) == sqlite3.SQLITE_CONSTRAINT_TRIGGER


def _problem(error: DBAPIError, file: Path | None) -> Problem:
    cause = error.orig
    if isinstance(cause, sqlite3.Error):
        return _sqlite_problem(getattr(cause, "sqlite_errorcode", 0), file)
    state = getattr(cause, "sqlstate", None)
    if state in _DISK_FULL_STATES:
        return _full()
    if state in _READ_ONLY_STATES:
        return Problem("storage-unavailable", READ_ONLY)
    return Problem("storage-unavailable", UNREACHABLE)


def _sqlite_problem(code: int, file: Path | None) -> Problem:
    primary = code & 0xFF
    if primary == sqlite3.SQLITE_FULL or (primary in _MAY_BE_FULL and _is_full(file)):
        return _full()
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return _busy()
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return Problem("storage-unavailable", DAMAGED)
    if primary in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return Problem("storage-unavailable", READ_ONLY)
    return Problem("storage-unavailable", UNREACHABLE)


_MAY_BE_FULL: Final = frozenset({sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN})
"""A full disk shows as one of these where a file beside the database cannot grow."""


def _is_full(file: Path | None) -> bool:
    try:
        return file is not None and shutil.disk_usage(file.parent).free < _LEAST_FREE
    except OSError:
        return False


def _busy() -> Problem:
    return Problem("storage-busy", BUSY, headers={"Retry-After": "1"})


def _full() -> Problem:
    return Problem("storage-full", FULL)
