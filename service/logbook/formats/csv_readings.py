"""A table of readings as CSV: units in the header, every row good or none kept.

The first line names the columns: `at` or `at [Europe/Berlin]`, then names of
`service.logbook.formats.columns.COLUMNS`, quantities with their unit in brackets, such as `core [degF]`. Empty cells
were not looked at. Where the header has semicolons they part the cells, and a comma may be the decimal mark.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from pydantic_core import PydanticCustomError

from service.logbook.entries import Logged, read_parts
from service.logbook.formats.columns import COLUMNS, Column, put_value, unit_problem
from service.problems.json_text import JsonObject, first_twice
from service.problems.problem import Problem, cut
from service.status.moments import YEARS
from service.status.names import did_you_mean
from service.status.zone import read_zone
from service.units.table import BARE

MOST_ROWS: Final = 5000
MOST_COLUMNS: Final = len(COLUMNS) + 1
_HEADER: Final = re.compile(r"(\w+)\s*(?:\[([^\]]*)\])?")
_LOCAL: Final = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,6})?)?")

CellReader = Callable[[str], Any]


@dataclass(frozen=True, slots=True)
class _Cell:
    """How the cells of one column are read; `column` is None for the moment."""

    column: Column | None
    read: CellReader


def read_csv(body: bytes, now: datetime) -> Logged:
    """Read the table.

    Raises
    ------
    Problem
        If the header or a row cannot be used; the pointer is `/lines/` with the line's number in the file.
    """
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _header_problem(f"the table is not UTF-8 text: byte {error.start} cannot be read") from None
    separator = ";" if ";" in text.partition("\n")[0] else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        cells = _columns(next(reader, []))
        return read_parts(_rows(reader, cells), "metric", now)
    except csv.Error as error:
        raise _header_problem(f"this is not CSV: {error}", reader.line_num) from None


def _rows(reader: Any, cells: Sequence[_Cell]) -> Iterator[tuple[str, Any]]:
    """Each row as (place, entry)."""
    count = 0
    for row in reader:
        if not any(cell.strip() for cell in row):
            continue
        count += 1
        if count > MOST_ROWS:
            raise _header_problem(f"there are more than {MOST_ROWS} rows; send them in parts", reader.line_num)
        yield f"/lines/{reader.line_num}", _entry(row, cells)


def _entry(row: list[str], cells: Sequence[_Cell]) -> JsonObject | Problem:
    """One row as an entry, or the problem with its shape; cells are left for the reader of entries to judge."""
    if len(row) != len(cells):
        detail = f"the row has {len(row)} cells where the header has {len(cells)}."
        return Problem("invalid-request", detail)
    entry: JsonObject = {}
    for text, cell in zip(row, cells, strict=True):
        given = text.strip()
        if not given:
            continue
        if cell.column is None:
            entry["at"] = cell.read(given)
        else:
            put_value(entry, cell.column, cell.read(given))
    if "at" not in entry:
        entry["at"] = ""
    return entry


def _columns(header: list[str]) -> list[_Cell]:
    names = [match[1] if (match := _HEADER.fullmatch(written.strip())) else "" for written in header]
    twice = first_twice(name for name in names if name)
    if twice:
        raise _header_problem(f"the column {cut(twice)} is there twice")
    if len(names) > MOST_COLUMNS:
        raise _header_problem(f"there are {len(names)} columns where at most {MOST_COLUMNS} are known")
    if "at" not in names:
        raise _header_problem("a column `at` with the moment of each row is needed")
    if names == ["at"]:
        raise _header_problem("there is no column with a value")
    return [_column(written) for written in header]


def _column(written: str) -> _Cell:
    match = _HEADER.fullmatch(written.strip())
    if match is None:
        raise _header_problem(f"the column {cut(written)!r} is not a name, or a name with its unit in brackets")
    name, unit = match.groups()
    if name == "at":
        return _Cell(None, _moment_reader(unit))
    column = COLUMNS.get(name)
    if column is None:
        raise _header_problem(f"there is no column {cut(name)}.{did_you_mean(name, COLUMNS)}")
    if not column.has_unit:
        if unit is not None:
            raise _header_problem(f"the column {name} has no unit")
        return _Cell(column, _word_readers()[column.kind])
    if not unit:
        raise _header_problem(
            f"the unit of {name} is missing: write it in the header, such as `{name} [{_usual(column)}]`"
        )
    problem = unit_problem(column, unit)
    if problem is not None:
        raise _header_problem(f"{name} [{cut(unit)}]: {problem}")
    return _Cell(column, lambda text: f"{text} {unit}")


def _usual(column: Column) -> str:
    kind: Any = column.kind
    return BARE["metric"][kind].name


def _word_readers() -> dict[str, CellReader]:
    return {
        "word": lambda text: text,
        "words": lambda text: [] if text == "none" else text.split(),
        "flag": lambda text: {"true": True, "false": False}.get(text.lower(), text),
    }


def _moment_reader(zone: str | None) -> CellReader:
    if zone is None:
        return lambda text: text
    try:
        known = ZoneInfo(read_zone(zone.strip()))
    except PydanticCustomError as error:
        raise _header_problem(f"at [{cut(zone)}]: {error.message()}") from None
    return lambda text: _in_zone(text, known)


def _in_zone(text: str, zone: ZoneInfo) -> str:
    """A local time with its offset; a time that the clocks skipped or showed twice is left as it is, to be refused."""
    if _LOCAL.fullmatch(text) is None:
        return text
    try:
        local = datetime.fromisoformat(text)
    except ValueError:
        return text
    if local.year not in YEARS:  # the ends of the calendar have no other side of midnight to convert to
        return f"{text}Z"
    early, late = (local.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    skipped = early.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != local
    twice = early.utcoffset() != late.utcoffset()
    if skipped or twice:
        return f"{text} ({'was skipped by the clocks' if skipped else 'came twice'}: write its offset)"
    return early.isoformat()


def _header_problem(detail: str, line: int = 1) -> Problem:
    ended = detail if detail.endswith("?") else f"{detail}."
    error = {"pointer": f"/lines/{line}", "detail": ended}
    return Problem("invalid-request", f"Line {line}: {ended} Nothing was kept.", [error])
