"""Whether the log book is whole: its file, its references, and every entry in it."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterator
from typing import Any

from sqlalchemy import func, select, text
from sqlalchemy.orm import Session

from service.errors import Problem
from service.reading import read_model
from service.schema.entry import Entry
from service.store.advice import answer_of
from service.store.engine import Store, version_in
from service.store.models import Account, Advice, Feedback, Pile, Reading, Token, Work
from service.store.readings import reading_entry, work_entry
from service.store.schema_version import HEAD

COUNTED = {"accounts": Account, "tokens": Token, "piles": Pile, "readings": Reading, "work": Work, "advice": Advice}


def check(store: Store) -> dict[str, Any]:
    """Counts, and every fault found; an empty list of faults means that all is well."""
    with store.reading() as session:
        faults = [*_file_faults(store, session), *_entry_faults(session)]
        tables = {**COUNTED, "feedback": Feedback}
        counts = {name: session.scalar(select(func.count()).select_from(table)) for name, table in tables.items()}
    return {"where": str(store.file or store.engine.url.render_as_string()), "counts": counts, "faults": faults}


def _file_faults(store: Store, session: Session) -> Iterator[str]:
    version = version_in(session.connection())
    if version != HEAD:
        yield f"the tables are of version {version}, not {HEAD}"
    if not store.is_sqlite:
        return
    for (line,) in session.execute(text("PRAGMA integrity_check")):
        if line != "ok":
            yield f"integrity: {line}"
    for row in session.execute(text("PRAGMA foreign_key_check")):
        yield f"a row of {row[0]} belongs to nothing in {row[2]}"


def _entry_faults(session: Session) -> Iterator[str]:
    for reading in session.scalars(select(Reading)).yield_per(500):
        yield from _reading_faults(reading)
    for work in session.scalars(select(Work)).yield_per(500):
        if work_entry(work).digest != work.digest:
            yield f"work {work.id} is not as it came in"
    for advice in session.scalars(select(Advice)).yield_per(100):
        yield from _advice_faults(advice)


def _reading_faults(row: Reading) -> Iterator[str]:
    try:
        entry = reading_entry(row)
        read_model(entry.part, Entry, "A reading")
    except ValueError:
        yield f"reading {row.id} is not JSON"
        return
    except Problem as problem:
        yield f"reading {row.id} cannot be used: {problem.detail}"
        return
    if entry.digest != row.digest:
        yield f"reading {row.id} is not as it came in"


def _advice_faults(row: Advice) -> Iterator[str]:
    try:
        answer = json.loads(answer_of(row))
    except (ValueError, zlib.error):
        yield f"advice {row.answer_id} cannot be read"
        return
    if answer.get("id") != row.answer_id:
        found = hashlib.sha256(answer_of(row)).hexdigest()[:12]
        yield f"advice {row.answer_id} holds another answer ({found})"
