"""What is sent to a pile's log, read into single readings and pieces of work."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Final

from pydantic_core import to_json

from service.logbook.shapes.entry import NOT_LOGGED, Entries, Entry, EntryHead
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject, check_data, parse_json
from service.problems.problem import MOST_ERRORS, FieldError, Problem
from service.status.checks import CLOCK_SKEW
from service.status.explicit import with_units
from service.status.reading import read_model
from service.units.quantities import System

_OWN_MOMENTS: Final = ("history", "done")


@dataclass(frozen=True, slots=True)
class ReadingEntry:
    """A part of a status as it was at one moment; every quantity in it has its unit written."""

    at: datetime
    part: JsonObject

    @property
    def json(self) -> str:
        """The part as JSON that reads the same whatever order it was given in."""
        return canonical(self.part)

    @property
    def digest(self) -> bytes:
        """The same for twins: the same part at the same moment."""
        return digest_of(self.at, self.json)


@dataclass(frozen=True, slots=True)
class WorkEntry:
    """Something done to the heap; `amount` has its unit written."""

    at: datetime
    action: str
    amount: str | None = None

    @property
    def digest(self) -> bytes:
        """The same for twins: the same work at the same moment."""
        return digest_of(self.at, f"{self.action} {self.amount or ''}")


@dataclass(slots=True)
class Logged:
    """All that one request brings to the log."""

    readings: list[ReadingEntry] = field(default_factory=list)
    work: list[WorkEntry] = field(default_factory=list)


def canonical(data: Any) -> str:
    """JSON with its keys sorted."""
    return to_json(_sorted(data)).decode()


def digest_of(at: datetime, what: str) -> bytes:
    """Hash of something at a moment."""
    return hashlib.sha256(f"{at.astimezone(UTC).isoformat(timespec='microseconds')} {what}".encode()).digest()


def read_entries(body: bytes | Mapping[str, Any], units: System, now: datetime) -> Logged:
    """Read one entry, or `{"readings": […]}`; all of them are good, or none is taken.

    Raises
    ------
    Problem
        If one cannot be used, or is from the future; its pointer says which.
    """
    try:
        data = parse_json(body) if isinstance(body, bytes) else body
        check_data(data)
    except Problem as problem:
        raise problem.warned(fire_warning(body)) from None
    if isinstance(data, dict) and "readings" in data:
        parts = [(f"/readings/{index}", part) for index, part in enumerate(read_model(data, Entries, "A log").readings)]
    else:
        parts = [("", data)]
    return read_parts(parts, units, now)


def read_parts(parts: Iterable[tuple[str, Any]], units: System, now: datetime) -> Logged:
    """Read entries, each with the place it is told by when it is refused; a Problem is one refused already."""
    logged = Logged()
    errors: list[FieldError] = []
    seen: list[Any] = []
    for place, part in parts:
        seen.append(part)
        try:
            if isinstance(part, Problem):
                raise part
            _add(logged, part, units, now)
        except Problem as problem:
            errors += _placed(problem, place)
            if len(errors) >= MOST_ERRORS:
                break
    if errors:
        detail = f"{errors[0]['pointer'] or 'The body'}: {errors[0]['detail']}"
        rest = " Nothing was kept: mend the places named and send all again." if len(seen) > 1 else ""
        raise Problem("invalid-request", detail + rest, errors).warned(fire_warning(seen))
    return logged


def _placed(problem: Problem, place: str) -> Iterator[FieldError]:
    for error in problem.errors or ({"pointer": "", "detail": problem.detail},):
        yield {**error, "pointer": place + error["pointer"]}


def _add(logged: Logged, part: Any, units: System, now: datetime) -> None:
    """Read one entry; its history and work go to their own moments."""
    given = {**part, "units": part.get("units") or units} if isinstance(part, dict) else part
    entry = read_model(given, Entry, "An entry")
    system: System = entry.units or "metric"
    at = _moment(entry, now)
    read, written = dict(entry), with_units(Entry, given, system)
    logged.work += [
        WorkEntry(work.at, work.action, as_written.get("amount"))
        for work, as_written in zip(read["done"] or [], written.get("done", []), strict=True)
    ]
    logged.readings += [
        ReadingEntry(reading.at, {"temperatures": {"core": as_written["core"]}})
        for reading, as_written in zip(read["history"] or [], written.get("history", []), strict=True)
    ]
    rest = _filled({key: value for key, value in written.items() if key not in (*NOT_LOGGED, *_OWN_MOMENTS, "at")})
    if rest:
        logged.readings.append(ReadingEntry(at, rest))
    elif not any(written.get(key) for key in _OWN_MOMENTS):
        raise Problem("invalid-request", "The entry holds no value.", [{"pointer": "", "detail": "Nothing is told."}])
    _refuse_future(entry, now)


def _moment(entry: EntryHead, now: datetime) -> datetime:
    if entry.at is not None and entry.as_of is not None and entry.at != entry.as_of:
        detail = "at and as_of differ; keep one of them."
        raise Problem("invalid-request", f"/at: {detail}", [{"pointer": "/at", "detail": detail}])
    return entry.at or entry.as_of or now


def _refuse_future(entry: EntryHead, now: datetime) -> None:
    moments = [("/at" if entry.at else "/as_of", entry.at or entry.as_of)]
    for name in _OWN_MOMENTS:
        moments += [(f"/{name}/{n}/at", item.at) for n, item in enumerate(dict(entry)[name] or [])]
    for place, at in moments:
        if at is not None:
            refuse_future(at, now, place)


def refuse_future(at: datetime, now: datetime, place: str) -> None:
    """Refuse a moment later than now by more than clocks may be apart."""
    if at <= now + CLOCK_SKEW:
        return
    hours = (at - now).total_seconds() / 3600
    ahead = f"{hours:.1f} hours" if hours < 48 else f"{hours / 24:.0f} days"
    detail = f"this is {ahead} in the future: check the clock and the time zone it was written in."
    allowed = f"not after {now.isoformat()}"
    error = {"pointer": place, "detail": detail, "read": at.isoformat(), "allowed": allowed}
    raise Problem("invalid-request", f"{place}: {detail}", [error])


def _filled(data: JsonObject) -> JsonObject:
    """Without objects that hold nothing; empty lists stay, they say that nothing was seen."""
    kept = {key: _filled(value) if isinstance(value, dict) else value for key, value in data.items()}
    return {key: value for key, value in kept.items() if value != {}}


def _sorted(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _sorted(data[key]) for key in sorted(data)}
    return [_sorted(item) for item in data] if isinstance(data, list) else data
