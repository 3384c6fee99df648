"""Sensor readings as SenML (RFC 8428), JSON form: resolved into readings of one moment each."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final

from service.logbook.entries import Logged, read_parts
from service.logbook.formats.columns import COLUMNS, Column, put_value, unit_problem
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject, check_data, parse_json
from service.problems.problem import MOST_ERRORS, FieldError, Problem, cut
from service.status.names import did_you_mean

VERSION: Final = 10
_RELATIVE_BELOW: Final = 2**28
"""Times below this many seconds count from now (RFC 8428, 4.5.3)."""
_LATEST: Final = 7_258_118_400
"""The year 2200."""
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9\-:./_]*")
_KNOWN: Final = frozenset({"bn", "bt", "bu", "bv", "bs", "bver", "n", "u", "v", "vs", "vb", "vd", "s", "t", "ut"})
_UNITS: Final[dict[str, str]] = {
    "Cel": "degC",
    "K": "K",
    "%": "%",
    "m/s": "m/s",
    "m3/s": "m3/s",
    "l/s": "L/s",
    "km/h": "km/h",
    "min": "min/h",
    "h": "h/day",
}
"""Units of the SenML registries (RFC 8428, 12.1; RFC 8798) to ours."""


@dataclass(slots=True)
class _Base:
    """Base values that hold until they are given anew."""

    name: str = ""
    time: float = 0.0
    unit: str | None = None
    value: float = 0.0


@dataclass(slots=True)
class _Pack:
    """What has been resolved: entries by moment, and what was wrong."""

    base: _Base = field(default_factory=_Base)
    entries: dict[datetime, JsonObject] = field(default_factory=dict)
    places: dict[datetime, str] = field(default_factory=dict)
    errors: list[FieldError] = field(default_factory=list)


class _RecordError(ValueError):
    """A record that cannot be used: which field, and why."""

    def __init__(self, label: str, detail: str) -> None:
        super().__init__(detail)
        self.label = label
        self.detail = detail


def read_senml(body: bytes, now: datetime) -> Logged:
    """Read a SenML pack; the last part of each record's name says what it is, such as `barn/heap1:core`.

    Raises
    ------
    Problem
        If a record cannot be used: then nothing is taken.
    """
    records = parse_json(body)
    check_data(records)
    if not isinstance(records, list) or not records:
        raise _refused([{"pointer": "", "detail": "a SenML pack is a list of records, and not empty."}], body)
    pack = _Pack()
    for index, record in enumerate(records):
        if len(pack.errors) >= MOST_ERRORS:
            break
        try:
            _resolve(pack, record, now, f"/{index}")
        except _RecordError as error:
            pointer = f"/{index}/{error.label}" if error.label else f"/{index}"
            ended = error.detail if error.detail.endswith("?") else f"{error.detail}."
            pack.errors.append({"pointer": pointer, "detail": ended})
    if pack.errors:
        raise _refused(pack.errors, body)
    parts = [(pack.places[at], {"at": at.isoformat(), **entry}) for at, entry in pack.entries.items()]
    try:
        return read_parts(parts, "metric", now)
    except Problem as problem:
        raise problem.warned(fire_warning(body)) from None


def _resolve(pack: _Pack, record: Any, now: datetime, place: str) -> None:
    """Take in one record."""
    if not isinstance(record, dict):
        raise _RecordError("", "a record is an object")
    must = next((label for label in record if label.endswith("_")), None)
    if must is not None:
        raise _RecordError(cut(must), "this field must be understood and is not known here (RFC 8428, 4.4)")
    _rebase(pack.base, record)
    if not any(label in record for label in ("v", "vs", "vb", "vd", "s")):
        if "n" in record or "t" in record:
            raise _RecordError("", "the record has no value")
        return
    column = _column(pack.base.name + _text(record, "n"))
    at = _moment(pack.base.time + _number(record, "t"), now)
    entry = pack.entries.setdefault(at, {})
    pack.places.setdefault(at, place)
    put_value(entry, column, _value(record, column, pack.base))


def _rebase(base: _Base, record: JsonObject) -> None:
    if "bver" in record and not (isinstance(record["bver"], int) and 0 < record["bver"] <= VERSION):
        raise _RecordError("bver", f"versions up to {VERSION} are read")
    if "bs" in record or "s" in record:
        raise _RecordError("bs" if "bs" in record else "s", "sums are not read; send values")
    base.name = _text(record, "bn") if "bn" in record else base.name
    base.time = _number(record, "bt") if "bt" in record else base.time
    base.unit = _text(record, "bu") if "bu" in record else base.unit
    base.value = _number(record, "bv") if "bv" in record else base.value


def _column(name: str) -> Column:
    if _NAME.fullmatch(name) is None:
        raise _RecordError("n", "a name is letters, digits and -:./_, and starts with a letter or digit")
    last = re.split(r"[:/.]", name)[-1]
    column = COLUMNS.get(last)
    if column is None:
        near = did_you_mean(last, COLUMNS)
        raise _RecordError(
            "n", f"the last part of a name says what it is: {cut(last)} is not known{near and '.' + near}"
        )
    return column


def _moment(seconds: float, now: datetime) -> datetime:
    """Seconds since 1970, or from now where they are few."""
    if not -_RELATIVE_BELOW < seconds < _LATEST:
        raise _RecordError("t", "this time cannot be")
    if seconds < _RELATIVE_BELOW:
        return now + timedelta(seconds=seconds)
    return datetime.fromtimestamp(0, UTC) + timedelta(seconds=seconds)


def _value(record: JsonObject, column: Column, base: _Base) -> Any:
    if column.has_unit:
        if "v" not in record:
            raise _RecordError("v", "a number is wanted")
        number = base.value + _number(record, "v")
        return f"{number!r} {_unit(_text(record, 'u') if 'u' in record else base.unit, column)}"
    if column.kind == "flag":
        return record.get("vb")
    words = _text(record, "vs")
    if column.kind == "words":
        return [] if words == "none" else words.split()
    return words


def _unit(given: str | None, column: Column) -> str:
    if given is None:
        raise _RecordError("u", "the unit is missing")
    unit = _UNITS.get(given)
    if unit is None or unit_problem(column, unit) is not None:
        fitting = [name for name, ours in _UNITS.items() if unit_problem(column, ours) is None]
        raise _RecordError("u", f"the unit {cut(given)} is not read here; send {' or '.join(fitting)}")
    return unit


def _number(record: JsonObject, label: str) -> float:
    value = record.get(label, 0)
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise _RecordError(label, "a number is wanted")
    return value


def _text(record: JsonObject, label: str) -> str:
    value = record.get(label, "")
    if not isinstance(value, str):
        raise _RecordError(label, "a text is wanted")
    return value


def _refused(errors: list[FieldError], body: bytes) -> Problem:
    detail = f"{errors[0]['pointer'] or 'The body'}: {errors[0]['detail']} Nothing was kept."
    return Problem("invalid-request", detail, errors[:MOST_ERRORS]).warned(fire_warning(body))
