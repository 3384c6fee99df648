"""A pile's file as one CSV table and back, without loss.

The columns are section, entry, field and value. A value is plain text where it cannot be taken for anything else, and
JSON where it could: numbers, true, false, null, lists, and texts that look like one of these or like a formula.
Parts of readings are spread over rows by JSON pointer; everything else that is not a single value is one JSON cell.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping
from typing import Any, Final, TextIO

from service.logbook.shapes.pile_file import (
    ExportedAdvice,
    ExportedFeedback,
    ExportedHead,
    ExportedReading,
    ExportedWork,
    PileFile,
)
from service.problems.json_text import DEEPEST, MOST_FIELDS, JsonObject, parse_text
from service.problems.problem import Problem, cut

COLUMNS: Final = ("section", "entry", "field", "value")
_SINGLE: Final = ("file", "pile")
_SECTIONS: Final = ("readings", "work", "advice", "feedback")
_FIELDS: Final[dict[str, frozenset[str]]] = {
    "file": frozenset(PileFile.model_fields) - {"pile", *_SECTIONS},
    "pile": frozenset(ExportedHead.model_fields),
    "readings": frozenset(ExportedReading.model_fields),
    "work": frozenset(ExportedWork.model_fields),
    "advice": frozenset(ExportedAdvice.model_fields),
    "feedback": frozenset(ExportedFeedback.model_fields),
}
"""What each section may hold."""
_SPREAD: Final = "part"
"""The field that is spread over rows."""
_LARGEST_CELL: Final = 64 * 1024 * 1024
_NOT_PLAIN: Final = ("=", "+", "-", "@", '"', " ", "\t", "'")
"""Starts that a spreadsheet or a reader could take for something else than text."""

csv.field_size_limit(_LARGEST_CELL)


def to_table(file: JsonObject) -> str:
    """The file as CSV (RFC 4180)."""
    out = io.StringIO()
    write_table(file, out)
    return out.getvalue()


def write_table(file: Mapping[str, Any], out: TextIO) -> None:
    """Write the file as CSV; its entries may be iterators, each gone through once and in order."""
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for name in ("format", "format_version"):
        writer.writerow(("file", "", f"/{name}", _cell(file[name])))
    writer.writerows(("pile", "", field, _cell(value)) for field, value in _spread(file["pile"]))
    for section in _SECTIONS:
        for number, entry in enumerate(file[section], start=1):
            writer.writerows((section, number, field, _cell(value)) for field, value in _spread(entry))
    if file.get("damaged"):  # what could not be written is known once all was gone through
        writer.writerow(("file", "", "/damaged", _cell(file["damaged"])))


def from_table(text: str) -> JsonObject:
    """The file again. Raises Problem where the table is not one of ours, naming the line."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    file: JsonObject = {"pile": {}, **{section: [] for section in _SECTIONS}}
    try:
        if tuple(next(reader, ())) != COLUMNS:
            raise _refused(1, f"the first line must be {','.join(COLUMNS)}")
        for row in reader:
            if row:
                _take(file, row, reader.line_num)
    except csv.Error as error:
        raise _refused(reader.line_num, f"this is not CSV: {error}") from None
    return file


def _take(file: JsonObject, row: list[str], line: int) -> None:
    if len(row) != len(COLUMNS):
        raise _refused(line, f"{len(COLUMNS)} columns are wanted, {len(row)} were found")
    section, number, field, cell = row
    if section not in _FIELDS:
        raise _refused(line, f"there is no section {cut(section)}")
    first, *parts = _places(field, line)
    if first not in _FIELDS[section] or (parts and first != _SPREAD):
        raise _refused(line, f"{cut(section)} has no field {cut(field)}")
    target, name = _entry(file, section, number, line), first
    for part in parts:
        target = target.setdefault(name, {})
        if not isinstance(target, dict):
            raise _refused(line, f"{cut(field)} lies inside a single value")
        name = part
    if name in target:
        raise _refused(line, f"{cut(field)} is given twice")
    if len(target) >= MOST_FIELDS:
        raise _refused(line, f"one object holds more than {MOST_FIELDS} fields")
    target[name] = _value(cell)


def _places(field: str, line: int) -> list[str]:
    """The steps of a JSON pointer."""
    if not field.startswith("/"):
        raise _refused(line, "the field is not a JSON pointer")
    steps = field.split("/", DEEPEST + 2)[1:]
    if len(steps) > DEEPEST:
        raise _refused(line, f"{cut(field)} is nested deeper than {DEEPEST} levels")
    return [step.replace("~1", "/").replace("~0", "~") for step in steps]


def _entry(file: JsonObject, section: str, number: str, line: int) -> JsonObject:
    if section in _SINGLE:
        if number:
            raise _refused(line, f"{section} is one; it has no number")
        single: JsonObject = file if section == "file" else file[section]
        return single
    entries: list[JsonObject] = file[section]
    if number == str(len(entries) + 1):
        entries.append({})
    elif not entries or number != str(len(entries)):
        raise _refused(line, "entries must be numbered from 1 and in order")
    return entries[-1]


def _spread(entry: JsonObject, place: str = "") -> Iterator[tuple[str, Any]]:
    for name, value in entry.items():
        field = f"{place}/{name.replace('~', '~0').replace('/', '~1')}"
        if value and isinstance(value, dict) and field.split("/", 2)[1] == _SPREAD:
            yield from _spread(value, field)
        else:
            yield field, value


def _cell(value: Any) -> str:
    if isinstance(value, str) and not value.startswith(_NOT_PLAIN) and value.isprintable() and _value(value) == value:
        return value
    return json.dumps(value, ensure_ascii=False)


def _value(cell: str) -> Any:
    """What a cell holds: JSON, else its text; what only Python would take for JSON is a text too."""
    try:
        return parse_text(cell)
    except Problem:
        return cell


def _refused(line: int, detail: str) -> Problem:
    error = {"pointer": f"/lines/{line}", "detail": f"{detail}."}
    return Problem("invalid-request", f"Line {line}: {detail}. Nothing was kept.", [error])
