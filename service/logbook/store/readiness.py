"""Whether the log book can be read and written now, without changing anything in it."""

from __future__ import annotations

import os
import shutil
import threading
import time
from pathlib import Path
from typing import Final

from sqlalchemy import select, text

from service.logbook.store import place
from service.logbook.store.engine import Store, the_store
from service.logbook.store.faults import DAMAGED, READ_ONLY
from service.logbook.store.models import AccountRow, AdviceRow, FeedbackRow, PileRow, ReadingRow, TokenRow, WorkRow
from service.problems.problem import Problem

LEAST_FREE: Final = 16 * 1024 * 1024
"""Bytes of free disk below which a log book counts as full: a season of readings, and what SQLite needs (ours)."""
LOOK_EVERY_S: Final = 60.0
"""How old a look through the whole file may be: it reads every page, about a second for each 500 MB [s]."""
LARGEST_LOOKED_THROUGH: Final = 1024 * 1024 * 1024
"""Bytes of the largest file that is looked through; `warmheap check` looks at larger ones."""
_TABLES: Final = (AccountRow, AdviceRow, FeedbackRow, PileRow, ReadingRow, TokenRow, WorkRow)
FOREIGN: Final = "Triggers or views that are not ours lie in the log book: run `warmheap check`."
_FOREIGN: Final = text("SELECT count(*) FROM sqlite_master WHERE type IN ('trigger', 'view')")
_looking: Final = threading.Lock()
_looked: dict[Path, tuple[float, str | None]] = {}
"""When a file was looked through last, and what was wrong."""


def store_fault() -> str | None:
    """What keeps the log book from being read and written, in one sentence; None where nothing does.

    Where none was made yet it is the place for it that counts.
    """
    try:
        if not place.exists():
            return _place_fault(place.sqlite_file(place.database_url()))
        return _fault_of(the_store())
    except Problem as problem:
        return problem.detail
    except ValueError as error:
        return f"{error}."


def _place_fault(file: Path | None) -> str | None:
    folder = file.parent if file is not None else Path.cwd()
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    if not os.access(folder, os.W_OK):
        return "The folder for the log book cannot be written."
    return _space_fault(folder)


def _space_fault(folder: Path) -> str | None:
    free = shutil.disk_usage(folder).free
    return f"The disk of the log book has {free // 1024} kB left." if free < LEAST_FREE else None


def _fault_of(store: Store) -> str | None:
    with store.reading() as session:
        for table in _TABLES:
            session.scalars(select(table).limit(1)).all()
        if not store.is_sqlite:
            read_only = session.scalar(text("SHOW transaction_read_only"))
            return READ_ONLY if read_only == "on" else None
        if session.scalar(_FOREIGN):
            return FOREIGN
    assert store.file is not None
    if not os.access(store.file, os.W_OK) or not os.access(store.file.parent, os.W_OK):
        return READ_ONLY
    return _space_fault(store.file.parent) or _file_fault(store)


def _file_fault(store: Store) -> str | None:
    """What is wrong within SQLite's file, looked through now and then; one at a time does so."""
    assert store.file is not None
    at, fault = _looked.get(store.file, (0.0, None))
    is_new = at and time.monotonic() - at < LOOK_EVERY_S
    if is_new or store.file.stat().st_size > LARGEST_LOOKED_THROUGH or not _looking.acquire(blocking=False):
        return fault
    try:
        with store.reading() as session:
            fault = None if session.scalar(text("PRAGMA quick_check(1)")) == "ok" else DAMAGED
    finally:
        _looking.release()
    _looked[store.file] = (time.monotonic(), fault)
    return fault
