"""Whether the log book is whole: its file, its references, and every entry in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypedDict, get_args

from sqlalchemy import func, select, text
from sqlalchemy.orm import Session

from service.logbook.shapes.entry import Entry
from service.logbook.shapes.requests import NewPileBody
from service.logbook.shapes.words import Verdict
from service.logbook.store.damage import Damaged, sound_answer, sound_json, sound_reading, sound_work
from service.logbook.store.engine import Store, version_in
from service.logbook.store.models import (
    NEVER,
    AccountRow,
    AdviceRow,
    FeedbackRow,
    PileRow,
    ReadingRow,
    TokenRow,
    WorkRow,
)
from service.logbook.store.schema_version import HEAD
from service.problems.problem import Problem, cut
from service.status.reading import read_model

COUNTED = {
    "accounts": AccountRow,
    "tokens": TokenRow,
    "piles": PileRow,
    "readings": ReadingRow,
    "work": WorkRow,
    "advice": AdviceRow,
}


class CheckedStore(TypedDict):
    """Where the log book lies, how much it holds, and every fault."""

    where: str
    counts: dict[str, int | None]
    faults: list[str]


def check(store: Store) -> CheckedStore:
    """Counts, and every fault found; an empty list of faults means that all is well."""
    with store.reading() as session:
        faults = [*_file_faults(store, session), *_entry_faults(session)]
        tables = {**COUNTED, "feedback": FeedbackRow}
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
    """Every entry that is not as it came in, or could not come in by a request, by its id."""
    for pile in session.scalars(select(PileRow)).yield_per(500):
        yield from _pile_faults(pile)
    for reading in session.scalars(select(ReadingRow)).yield_per(500):
        yield from _faults(f"reading {reading.id}", _read_again, reading)
    for work in session.scalars(select(WorkRow)).yield_per(500):
        yield from _faults(f"work {work.id}", sound_work, work)
    for advice in session.scalars(select(AdviceRow)).yield_per(100):
        yield from _faults(f"advice {advice.answer_id}", _advised_again, advice)
    for feedback in session.scalars(select(FeedbackRow)).yield_per(500):
        if feedback.verdict not in get_args(Verdict) or NEVER in (feedback.at, feedback.outcome_at):
            yield f"feedback {feedback.id} is not as it came in"


def _faults(name: str, look: Callable[[Any], object], row: object) -> Iterator[str]:
    try:
        look(row)
    except (Damaged, Problem) as fault:
        yield f"{name} is damaged: {fault}"
    except (ValueError, TypeError, OverflowError, RecursionError):
        yield f"{name} is damaged: it cannot be read"


def _pile_faults(pile: PileRow) -> Iterator[str]:
    told = {"name": pile.name, "units": pile.units, "zone": pile.zone}
    try:
        read_model(told, NewPileBody, "A pile")
    except Problem as problem:
        yield f"pile {cut(str(pile.id))} is damaged: {problem.detail}"
    if pile.made_at == NEVER or not isinstance(pile.changes, int):
        yield f"pile {cut(str(pile.id))} is damaged: nobody can tell when it was entered, or how often it was changed"


def _read_again(row: ReadingRow) -> None:
    read_model(sound_reading(row).part, Entry, "A reading")


def _advised_again(row: AdviceRow) -> None:
    """An answer, and what it was given under."""
    sound_answer(row)
    for under in (row.status, row.known):
        sound_json(under)
    if NEVER in (row.given_at, row.as_of, row.valid_until, row.keeps_until, row.superseded_at):
        raise Damaged("nobody can tell when it was given")
    if not isinstance(row.changes, int):
        raise Damaged("its count of changes is no number")
