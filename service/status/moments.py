"""Field types that read instants and dates into Python's own types."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any, Final, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from service.status.quantities import refused

DayOrMoment = TypeVar("DayOrMoment", date, datetime)

_INSTANT: Final = re.compile(r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d(:\d\d(\.\d{1,9})?)?([Zz]|[+-]\d\d:\d\d)", re.ASCII)
_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
YEARS: Final = range(1900, 2201)
"""Years a moment may lie in (our own)."""


class _Instant:
    """Annotation of a datetime field: RFC 3339 with its offset."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(read_instant)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "format": "date-time"}


class _Day:
    """Annotation of a date field: a date, or an instant whose own date is taken."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(read_day)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"anyOf": [{"type": "string", "format": "date"}, {"type": "string", "format": "date-time"}]}


INSTANT: Final = _Instant()
DAY: Final = _Day()


def read_instant(raw: object) -> datetime:
    """A date and time with its offset, as RFC 3339 writes it; seconds may be left out."""
    if isinstance(raw, datetime) and raw.tzinfo is not None:
        return raw
    if not isinstance(raw, str) or len(raw) > 40:
        raise refused('a date and time with its offset is wanted, such as "2026-01-18T07:30:00Z"')
    if _INSTANT.fullmatch(raw) is None:
        missing = "the offset is missing: " if _INSTANT.fullmatch(raw + "Z") else ""
        detail = f'{missing}write the date and time with its offset, such as "2026-01-18T07:30:00Z"'
        raise refused(detail, read=raw)
    return _in_range(_made(datetime, raw.upper()), raw)


def read_day(raw: object) -> date:
    """A date; of a date and time with its offset, the date it names."""
    if isinstance(raw, date):
        return raw.date() if isinstance(raw, datetime) else raw
    if isinstance(raw, str) and _DAY.fullmatch(raw):
        return _in_range(_made(date, raw), raw)
    if isinstance(raw, str) and _INSTANT.fullmatch(raw):
        return read_instant(raw).date()
    raise refused('a date is wanted, such as "2026-01-18"', read=raw if isinstance(raw, str) else None)


def _made(kind: type[DayOrMoment], raw: str) -> DayOrMoment:
    try:
        return kind.fromisoformat(raw)
    except ValueError:
        raise refused("there is no such date or time", read=raw) from None


def _in_range(moment: DayOrMoment, raw: str) -> DayOrMoment:
    if moment.year not in YEARS:
        raise refused("the year cannot be", read=raw, allowed=f"{YEARS[0]} to {YEARS[-1]}")
    return moment
