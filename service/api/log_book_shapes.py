"""JSON schemas of what goes in and out of the log book. Imported only when the description is asked for."""

from __future__ import annotations

from typing import Any, Final

from pydantic import BaseModel

from service.http.description import Described, shape
from service.logbook.shapes.entry import Entries, Entry
from service.logbook.shapes.pages import (
    AdviceRecord,
    CountsPage,
    DeletedPage,
    FeedbackPage,
    LoggedPage,
    LogPage,
    PileAdvice,
    PilePage,
    PilesPage,
    ReplayPage,
    StatusPage,
)
from service.logbook.shapes.pile_file import PileFile
from service.logbook.shapes.requests import ChangedPileBody, FeedbackBody, NewPileBody, SeveralFeedbacks, WorkBody
from service.logbook.shapes.season_page import SeasonPage

INCOMING: Final[tuple[type[BaseModel], ...]] = (
    ChangedPileBody,
    Entries,
    Entry,
    FeedbackBody,
    NewPileBody,
    PileFile,
    SeveralFeedbacks,
    WorkBody,
)
OUTGOING: Final[tuple[type[Any], ...]] = (
    AdviceRecord,
    CountsPage,
    DeletedPage,
    FeedbackPage,
    LoggedPage,
    LogPage,
    PileAdvice,
    PilePage,
    PilesPage,
    ReplayPage,
    SeasonPage,
    StatusPage,
)


def _either(description: str, *models: str) -> Described:
    return {"description": description, "anyOf": [shape(model) for model in models]}


OTHERS: Final[dict[str, Described]] = {
    "EntryOrEntries": _either("One entry, or several at once.", "Entry", "Entries"),
    "FeedbackOrSeveral": _either("What became of one action, or of several.", "FeedbackBody", "SeveralFeedbacks"),
    "AnswerOrReplay": _either("The answer as it was given, or what differs today.", "Advice", "ReplayPage"),
    "SenmlPack": {
        "description": "A SenML pack in JSON (RFC 8428). The last part of each name is one of the columns of a table "
        "of readings; units are Cel, K, %, l/s, m3/s, m/s. Times below 2^28 count from now.",
        "type": "array",
        "items": {"type": "object"},
        "minItems": 1,
        "examples": [[{"bn": "heap1:", "bt": 1768687200, "n": "core", "u": "Cel", "v": 49.5}]],
    },
    "ReadingsTable": {
        "description": "A table (RFC 4180) with a header: `at` or `at [Europe/Berlin]`, then names with their unit in "
        "brackets. Empty cells were not looked at.",
        "type": "string",
        "examples": ["at,core [degF],smell\r\n2026-01-18T06:00:00Z,121,earthy\r\n"],
    },
    "PileTable": {
        "description": "A pile file as a table: section, entry, field, value.",
        "type": "string",
        "examples": ["section,entry,field,value\r\nfile,,/format,warmheap-pile\r\n"],
    },
}
"""Schemas of what is no single model."""
