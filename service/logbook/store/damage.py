"""Entries as they lie in the log book, told apart from what a fault of disk or hand has made of them.

Each reading and piece of work has a digest of what came in, and each answer its id. What no longer fits is damaged: it
is shown as damaged and left out of advice, and nothing else suffers.
"""

from __future__ import annotations

import json
import zlib
from datetime import datetime
from typing import Any, Final

from pydantic import ValidationError

from service.logbook.entries import ReadingEntry, WorkEntry, digest_of
from service.logbook.shapes.stored_answer import read_answer
from service.logbook.store.models import AdviceRow, ReadingRow, WorkRow, at_offset
from service.logbook.store.models import moment as instant
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject
from service.problems.problem import Problem

ADVISED: Final = "This advice is damaged in the log book and cannot be shown; `warmheap check` names it."


class Damaged(Exception):
    """An entry that is not as it came in; the message says what is wrong with it."""


def sound_reading(row: ReadingRow) -> ReadingEntry:
    """A row as an entry, at its own offset. Raises Damaged."""
    return sound_part(row.at, row.offset_min, row.part, row.digest)


def sound_part(moment: datetime, offset_min: int, written: str, digest: bytes) -> ReadingEntry:
    """The same from its columns."""
    try:
        at = at_offset(moment, offset_min)
        found = digest_of(at, written)
        part = json.loads(written)
    except (ValueError, TypeError, OverflowError, AttributeError, RecursionError):
        raise Damaged("it is not JSON, or has no moment") from None
    if found != digest:
        raise Damaged("it is not as it came in")
    return ReadingEntry(at, part)


def is_sound(row: Any) -> bool:
    """Whether the columns of a reading are as they came in, looked at without reading it."""
    try:
        found = digest_of(at_offset(instant(row.at), row.offset_min), row.part)
    except (ValueError, TypeError, OverflowError, AttributeError):
        return False
    same: bool = found == row.digest
    return same


def sound_work(row: WorkRow) -> WorkEntry:
    """The same for work."""
    try:
        entry = WorkEntry(at_offset(row.at, row.offset_min), row.action, row.amount)
        same = entry.digest == row.digest
    except (ValueError, TypeError, OverflowError, AttributeError):
        same = False
    if not same:
        raise Damaged("it is not as it came in")
    return entry


def sound_json(text: str) -> Any:
    """What an advice was given under. Raises Damaged."""
    try:
        return json.loads(text)
    except (ValueError, TypeError, RecursionError):
        raise Damaged("what it was given under cannot be read") from None


def sound_answer(row: AdviceRow) -> tuple[bytes, JsonObject]:
    """The bytes of an answer as they were given, and what they say. Raises Damaged."""
    try:
        given = zlib.decompress(row.answer)
        answer = read_answer(given.decode())
    except (ValueError, TypeError, zlib.error, Problem, ValidationError):
        raise Damaged("the answer cannot be read") from None
    if answer["id"] != row.answer_id:
        raise Damaged("it holds another answer")
    return given, answer


def answer_shown(row: AdviceRow) -> tuple[bytes, JsonObject]:
    """The same for whoever asked for this advice by its id. Raises Problem `entry-damaged`."""
    try:
        return sound_answer(row)
    except Damaged:
        raise Problem("entry-damaged", ADVISED) from None


def warning_in(row: ReadingRow) -> str | None:
    """To keep clear, where what is left of a damaged reading speaks of fire."""
    return fire_warning(str(row.part).encode("utf-8", "replace"))
