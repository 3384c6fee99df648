"""Entries as they lie in the log book, told apart from what a fault of disk or hand has made of them.

Each reading and piece of work has a digest of what came in, and each answer its id. What no longer fits is damaged: it
is shown as damaged and left out of advice, and nothing else suffers.
"""

from __future__ import annotations

import json
import re
import zlib
from datetime import datetime
from typing import Any, Final

from pydantic import ValidationError

from rules.catalogue import said
from service.logbook.entries import ReadingEntry, WorkEntry, digest_of
from service.logbook.shapes.stored_answer import read_answer
from service.logbook.store.models import ID_LENGTH, NEVER, AdviceRow, ReadingRow, WorkRow, at_offset
from service.logbook.store.models import moment_in_utc as instant
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject
from service.problems.problem import Problem

ADVISED: Final = "This advice is damaged in the log book and cannot be shown; `warmheap check` names it."

SOURCES: Final = frozenset({"json", "senml", "csv"})
"""Ways readings come in."""
_ID: Final = re.compile(rf"[0-9a-f]{{{ID_LENGTH}}}")


class Damaged(Exception):
    """An entry that is not as it came in; the message says what is wrong with it."""


def sound_reading(row: ReadingRow) -> ReadingEntry:
    """A row as an entry, at its own offset. Raises Damaged."""
    return _entry_of(row, row.at, row.received_at)


def sound_columns(row: Any) -> ReadingEntry:
    """The same of its columns with their moments in microseconds, as they are read for merging."""
    return _entry_of(row, instant(row.at), instant(row.received_at))


def is_sound(row: Any) -> bool:
    """Whether such columns are as they came in, looked at without reading the part."""
    return _came_in(row, instant(row.at), instant(row.received_at))


def _entry_of(row: Any, at: datetime, received_at: datetime) -> ReadingEntry:
    if not _came_in(row, at, received_at):
        raise Damaged(said("check.not-as-it-came"))
    try:
        part = json.loads(row.part)
    except (ValueError, RecursionError):
        raise Damaged(said("check.no-json")) from None
    if not isinstance(part, dict):
        raise Damaged(said("check.no-part"))
    return ReadingEntry(at_offset(at, row.offset_min), part)


def _came_in(row: Any, at: datetime, received_at: datetime) -> bool:
    """Whether the columns of a reading are such as a request leaves; the digest tells of moment and part alone."""
    if row.source not in SOURCES or received_at == NEVER or _ID.fullmatch(row.id) is None:
        return False
    try:
        found = digest_of(at_offset(at, row.offset_min), row.part)
    except (ValueError, TypeError, OverflowError, AttributeError):
        return False
    same: bool = found == row.digest
    return same


def sound_work(row: WorkRow) -> WorkEntry:
    """The same for work."""
    if row.received_at == NEVER or _ID.fullmatch(row.id) is None:
        raise Damaged(said("check.not-as-it-came"))
    try:
        entry = WorkEntry(at_offset(row.at, row.offset_min), row.action, row.amount)
        same = entry.digest == row.digest
    except (ValueError, TypeError, OverflowError, AttributeError):
        same = False
    if not same:
        raise Damaged(said("check.not-as-it-came"))
    return entry


def sound_json(text: str) -> Any:
    """What an advice was given under. Raises Damaged."""
    try:
        return json.loads(text)
    except (ValueError, TypeError, RecursionError):
        raise Damaged(said("check.given-under")) from None


def sound_answer(row: AdviceRow) -> tuple[bytes, JsonObject]:
    """The bytes of an answer as they were given, and what they say. Raises Damaged."""
    try:
        given = zlib.decompress(row.answer)
        answer = read_answer(given.decode())
    except (ValueError, TypeError, zlib.error, Problem, ValidationError):
        raise Damaged(said("check.answer-unreadable")) from None
    if answer["id"] != row.answer_id:
        raise Damaged(said("check.another-answer"))
    return given, answer


def warning_in(row: ReadingRow) -> str | None:
    """To keep clear, where what is left of a damaged reading speaks of fire."""
    return fire_warning(str(row.part).encode("utf-8", "replace"))
