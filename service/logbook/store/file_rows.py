"""A pile's file read into rows that wait only for their ids: everything is checked here, before the log book is locked.

Each part goes through what a request with the same content goes through, so that nothing comes in by a file that could
not have come in by itself.
"""

from __future__ import annotations

import json
import time
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from pydantic import ValidationError
from pydantic_core import to_json

from rules.version import knowledge_version
from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.logbook.entries import Logged, ReadingEntry, WorkEntry, read_parts, refuse_future
from service.logbook.formats.flat_table import from_table
from service.logbook.merge import is_lasting
from service.logbook.shapes.entry import NOT_LOGGED
from service.logbook.shapes.pile_file import (
    ExportedAdvice,
    ExportedFeedback,
    ExportedHead,
    ExportedReading,
    ExportedWork,
    PileFile,
)
from service.logbook.shapes.requests import FeedbackBody, NewPileBody
from service.logbook.shapes.stored_answer import LONGEST_ANSWER, KeptValue, read_answer
from service.logbook.store.models import offset_of
from service.problems.json_text import JsonObject, check_data, first_twice, parse_text
from service.problems.problem import Problem
from service.status.reading import read_model, read_status, validated
from service.units.quantities import System
from service.work.places import ADVICE, done

LARGEST_FILE: Final = 16 * 1024 * 1024
MOST_VALUES: Final = 2_000_000
"""In one file: a season of readings each minute has about this many."""
AT_ONCE: Final = 50
PAUSE_S: Final = 0.001
"""After so many entries others get their turn at the interpreter for so long [s]."""
_APART: Final = frozenset({"at", "history", "done"}) | NOT_LOGGED
"""What a reading has beside its part, so that no part holds it."""
StoredRow = dict[str, Any]
"""A row of a table by its columns, as the database library takes it."""


@dataclass(slots=True)
class FileRows:
    """The rows of one pile by table; ids and references are those of the file."""

    head: ExportedHead
    readings: list[StoredRow] = field(default_factory=list)
    advice: list[StoredRow] = field(default_factory=list)
    answers: dict[str, JsonObject] = field(default_factory=dict)
    feedback: list[StoredRow] = field(default_factory=list)
    work: list[StoredRow] = field(default_factory=list)


def read_file(body: bytes, now: datetime, *, is_table: bool) -> FileRows:
    """A file made by an export, as JSON or as CSV.

    Raises
    ------
    Problem
        If it is not one, or an entry of it could not have been logged by itself.
    """
    file = _file(body, is_table=is_table)
    refuse_future(file.pile.made_at, now, "/pile/made_at")
    rows = FileRows(file.pile)
    units: System = "us" if file.pile.units == "us" else "metric"
    rows.readings = _each("readings", file.readings, lambda given: _reading(given, units, now))
    rows.advice = _each("advice", file.advice, lambda given: _advice(given, rows, now))
    _supersede_what_would_not_be_said(rows, now)
    left_out = {entry.id for entry in file.damaged or ()}
    words = [given for given in file.feedback if given.advice not in left_out]
    left_out |= {given.id for given in file.feedback if given.advice in left_out}
    rows.feedback = _each("feedback", words, lambda given: _feedback(given, rows, now))
    told = {row["id"] for row in rows.feedback}
    rows.work = _each("work", file.work, lambda given: _work(_without(given, left_out), told, units, now))
    twice = first_twice(row["id"] for row in [*rows.readings, *rows.advice, *rows.feedback, *rows.work])
    if twice is not None:
        raise file_refused(f"the id {twice} is given twice")
    return rows


def _file(body: bytes, *, is_table: bool) -> PileFile:
    try:
        text = body.decode("utf-8")
        data = from_table(text) if is_table else parse_text(text)
        if not isinstance(data, dict):
            raise Problem("invalid-request", "it is no object")
        check_data(data, MOST_VALUES, LARGEST_FILE)
    except (UnicodeDecodeError, Problem) as error:
        why = f": {error.detail}" if isinstance(error, Problem) else ""
        raise file_refused(f"this is not a file made by an export{why.rstrip('.')}") from None
    file = validated(data, PileFile, "invalid-request")
    told = {"name": file.pile.name, "units": file.pile.units, "zone": file.pile.zone}
    read_model(told, NewPileBody, "A pile")
    return file


def _each(section: str, entries: Iterable[Any], take: Callable[[Any], StoredRow]) -> list[StoredRow]:
    """Read every entry; twins are one. A refusal names the entry."""
    rows: list[StoredRow] = []
    seen: set[bytes] = set()
    for index, given in enumerate(entries):
        if index % AT_ONCE == AT_ONCE - 1:
            time.sleep(PAUSE_S)
        try:
            row = take(given)
        except Problem as problem:
            place = f"/{section}/{index}"
            error = {"pointer": place, "detail": problem.detail}
            raise Problem("invalid-request", f"{place}: {problem.detail} Nothing was kept.", [error]) from None
        digest = row.get("digest")
        if digest is None or digest not in seen:
            rows.append(row)
        if digest is not None:
            seen.add(digest)
    return rows


def _logged(given: JsonObject, units: System, now: datetime) -> Logged:
    return read_parts([("", given)], units, now)


def _reading(given: ExportedReading, units: System, now: datetime) -> StoredRow:
    refuse_future(given.received_at, now, "/received_at")
    if beside := _APART & given.part.keys():
        raise file_refused(f"a part of a reading has no {min(beside)}")
    logged = _logged({**given.part, "at": given.at.isoformat()}, units, now)
    entry = ReadingEntry(given.at, logged.readings[0].part)
    return {
        "id": given.id,
        "at": given.at,
        "offset_min": offset_of(given.at),
        "received_at": given.received_at,
        "source": given.source,
        "part": entry.json,
        "lasting": is_lasting(entry.part),
        "digest": entry.digest,
    }


def _without(given: ExportedWork, left_out: set[str]) -> ExportedWork:
    """Work without the feedback that told of it, where that was damaged."""
    return given.model_copy(update={"feedback": None}) if given.feedback in left_out else given


def _work(given: ExportedWork, feedback: set[str], units: System, now: datetime) -> StoredRow:
    refuse_future(given.received_at, now, "/received_at")
    told = {"at": given.at.isoformat(), "action": given.action, "amount": given.amount}
    amount = _logged({"done": [told]}, units, now).work[0].amount
    if given.feedback is not None and given.feedback not in feedback:
        raise file_refused(f"the file holds no feedback {given.feedback}")
    return {
        "id": given.id,
        "at": given.at,
        "offset_min": offset_of(given.at),
        "received_at": given.received_at,
        "action": given.action,
        "amount": amount,
        "feedback_id": given.feedback,
        "digest": WorkEntry(given.at, given.action, amount).digest,
    }


def _advice(given: ExportedAdvice, rows: FileRows, now: datetime) -> StoredRow:
    refuse_future(given.given_at, now, "/given_at")
    answer = _answer(given)
    read_status(given.status)
    check_data(given.known)
    for value in given.known:
        validated(value, KeptValue, "invalid-request")
    rows.answers[given.id] = answer
    return {
        **{name: value for name, value in given if name not in ("status", "known", "answer")},
        "status": json.dumps(given.status),
        "known": json.dumps(given.known),
        "answer": zlib.compress(given.answer.encode()),
    }


def _answer(given: ExportedAdvice) -> JsonObject:
    try:
        answer = read_answer(given.answer) if len(given.answer) <= LONGEST_ANSWER else {}
    except (Problem, ValidationError):
        answer = {}
    if answer.get("id") != given.answer_id or answer["knowledge_version"] != given.knowledge:
        raise file_refused("the answer is not an advice of this id")
    return answer


def _supersede_what_would_not_be_said(rows: FileRows, now: datetime) -> None:
    """Let no advice count as today's because a file says so: what would be given again is made again here."""
    made: set[str] = set()
    for row in reversed(rows.advice):
        knowledge, changes = row["knowledge"], row["changes"]
        if row["superseded_at"] is not None or knowledge != knowledge_version() or changes != rows.head.changes:
            continue
        effects: WhatIfs = "full" if row["effects"] == "full" else "none"
        if effects in made or not _would_be_said(row, effects):
            row["superseded_at"] = now
        made.add(effects)


def _would_be_said(row: StoredRow, effects: WhatIfs) -> bool:
    """Whether an advice is what would be said today: made again in a place for heavy work, if there is one."""
    status = read_status(json.loads(row["status"]))
    try:
        again = done(advise, status, effects, weight=ADVICE[effects])
    except Problem:
        return False
    return to_json(again) == zlib.decompress(row["answer"])


def _feedback(given: ExportedFeedback, rows: FileRows, now: datetime) -> StoredRow:
    refuse_future(given.at, now, "/at")
    if given.advice not in rows.answers:
        raise file_refused(f"the file holds no entry {given.advice}")
    if given.action not in {action["action"] for action in rows.answers[given.advice]["actions"]}:
        raise file_refused("its advice does not hold that action")
    told = given.model_dump(mode="json", exclude={"id", "advice"})
    read_model({**told, "advice": rows.answers[given.advice]["id"]}, FeedbackBody, "A feedback")
    return {
        **{name: value for name, value in given if name != "advice"},
        "advice_id": given.advice,
        "offset_min": offset_of(given.at),
    }


def file_refused(detail: str) -> Problem:
    """A file that cannot be used."""
    return Problem("invalid-request", f"{detail}.", [{"pointer": "", "detail": f"{detail}."}])
