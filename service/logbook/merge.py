"""A log becomes one status: of each value the newest that still counts, with its age."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any, Final, get_args

from rules.catalogue import said
from rules.tables.lifetimes import FOREVER
from service.heat.learning.shape import LearnedShown
from service.logbook.entries import ReadingEntry, WorkEntry
from service.logbook.shapes.known_value import KnownValue, State
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.status.checks import CLOCK_SKEW
from service.status.lifetimes import ENDED_BY, MADE_BY, TOGETHER, lifetime_of
from service.status.models import Status
from service.status.reading import read_status
from service.status.status import Aged
from service.units.estimate import SECONDS_PER_DAY
from service.units.quantities import System, parse_quantity

HISTORY_DAYS: Final = 60.0
"""Older core readings tell the heat model nothing more (our own)."""
MOST_HISTORY: Final = 200
MOST_WORK: Final = 100
_CONTAINERS: Final = frozenset(
    {"/pile", "/temperatures", "/probe", "/draw", "/draw/air", "/draw/water", "/greenhouse", "/weather", "/goal"}
)
_AGED: Final = frozenset(get_args(Aged))
_COUNTS: Final = ("fresh", "stale")
_CORE: Final = "/temperatures/core"


@dataclass(slots=True)
class LoggedValue:
    """One value of the log: where it belongs, when it was read, whether it still counts and, where not, why."""

    field: str
    value: Any
    at: datetime
    state: State = "fresh"
    why: str = ""

    def as_dict(self, as_of: datetime) -> KnownValue:
        """As it is shown, with its age in seconds."""
        age = max(round((as_of - self.at).total_seconds()), 0)
        return {"field": self.field, "at": self.at.isoformat(), "age_s": age, "state": self.state, "why": self.why}


@dataclass(frozen=True, slots=True)
class Merged:
    """A status as of one moment, what it was made from, and until when it would be made the same again."""

    status: Status
    written: JsonObject
    known: list[LoggedValue]
    keeps_until: datetime
    damaged: list[str] = field(default_factory=list)
    """Ids of entries that were left out because they are damaged."""


def is_lasting(part: JsonObject) -> bool:
    """Whether a reading says something that counts for longer than the history."""
    return any(
        lifetime_of(field).lapses > HISTORY_DAYS or (field == "/signs" and "smoke" in value)
        for field, value in _fields(part, "")
    )


def merge(
    readings: Iterable[ReadingEntry],
    work: Iterable[WorkEntry],
    units: System,
    as_of: datetime,
    learned: LearnedShown | None = None,
) -> Merged:
    """One status from the log, as of a moment. The order in which entries came does not matter, only their own moments.

    `learned` is what an earlier advice learned of the heap.

    Raises
    ------
    Problem
        `not-enough-known` where no age or no core temperature was ever logged.
    """
    latest = as_of + CLOCK_SKEW
    past = sorted((entry for entry in readings if entry.at <= latest), key=lambda entry: entry.at)
    done = sorted((entry for entry in work if entry.at <= latest), key=lambda entry: entry.at)
    known = _newest(past, done)
    for value in known.values():
        _judge(value, known, done, as_of)
    written: JsonObject = {"as_of": as_of.isoformat(), "units": units}
    if learned is not None:
        written["learned"] = learned
    for value in known.values():
        if value.state in _COUNTS:
            _put(written, value.field, _as_of_now(value, as_of))
    _add_moments(written, known, past, done, as_of)
    status = _read(written, known)
    return Merged(status, written, sorted(known.values(), key=lambda value: value.field), _keeps_until(known, as_of))


def _newest(past: Sequence[ReadingEntry], done: Sequence[WorkEntry]) -> dict[str, LoggedValue]:
    """The newest value of each field; work that makes a value known counts like a reading of its moment."""
    told = [(entry.at, field, value) for entry in past for field, value in _fields(entry.part, "")]
    told += [(work.at, field, value) for work in done for field, value in MADE_BY.get(work.action, {}).items()]
    newest = {field: LoggedValue(field, value, at) for at, field, value in sorted(told, key=lambda one: one[0])}
    _look_again(newest)
    return newest


def _look_again(newest: dict[str, LoggedValue]) -> None:
    """Of what was seen at one time and looked for in vain at another the later counts."""
    if not {"/signs", "/not_seen"} <= newest.keys():
        return
    earlier, later = sorted((newest.pop("/signs"), newest.pop("/not_seen")), key=lambda value: value.at)
    left = [sign for sign in earlier.value if sign not in later.value]
    newest[later.field] = later
    if left or not earlier.value:
        newest[earlier.field] = replace(earlier, value=left)


def _fields(part: JsonObject, place: str) -> Iterator[tuple[str, Any]]:
    for name, value in part.items():
        field = f"{place}/{name}"
        if field in _CONTAINERS and isinstance(value, dict):
            yield from _fields(value, field)
        else:
            yield field, value


def _judge(value: LoggedValue, known: dict[str, LoggedValue], done: Sequence[WorkEntry], as_of: datetime) -> None:
    """Say whether a value still counts."""
    lifetime = lifetime_of(value.field)
    days = _days(value.at, as_of)
    smoke = value.field == "/signs" and "smoke" in value.value
    if smoke:
        value.why = said("log.smoke-counts") if days > lifetime.fresh else ""
        return
    ending = next((w for w in reversed(done) if w.at > value.at and value.field in ENDED_BY.get(w.action, ())), None)
    newer = _newer_companion(value, known)
    if newer is not None:
        value.state, value.why = "set_aside", said("log.read-later", field=newer.field)
    elif ending is not None:
        value.state, value.why = "ended", said("log.done-after", action=ending.action)
    elif value.field == "/goal/until" and str(value.value)[:10] < as_of.date().isoformat():
        value.state, value.why = "ended", said("log.day-over")
    elif days > lifetime.lapses:
        value.state, value.why = "lapsed", lifetime.why
    elif days > lifetime.fresh:
        value.state, value.why = "stale", lifetime.why


def _newer_companion(value: LoggedValue, known: dict[str, LoggedValue]) -> LoggedValue | None:
    """A field that goes with this one and was read later."""
    for group in TOGETHER:
        if value.field in group:
            others = (known[field] for field in group if field in known and field != value.field)
            return next((other for other in others if other.at > value.at), None)
    return None


def _as_of_now(value: LoggedValue, as_of: datetime) -> Any:
    """The value as it is at `as_of`: ages grow, forecasts lose the days that are over."""
    if value.field == "/pile/age":
        days = parse_quantity(value.value, ("duration",), "metric").si + _days(value.at, as_of)
        return f"{days:.4f} days"
    if value.field == "/weather/forecast":
        return [day for day in value.value if str(day["date"])[:10] >= as_of.date().isoformat()]
    return value.value


def _put(written: JsonObject, field: str, value: Any) -> None:
    *parts, name = field.split("/")[1:]
    for part in parts:
        written = written.setdefault(part, {})
    written[name] = value


def _add_moments(
    written: JsonObject,
    known: dict[str, LoggedValue],
    past: Sequence[ReadingEntry],
    done: Sequence[WorkEntry],
    as_of: datetime,
) -> None:
    """Add history, work, and when what loses its worth fast was read."""
    current = known[_CORE].at if _CORE in known and known[_CORE].state in _COUNTS else None
    cores = {entry.at: core for entry in past if (core := _core_in(entry.part)) is not None and entry.at != current}
    history = {at: core for at, core in cores.items() if _days(at, as_of) <= HISTORY_DAYS}
    if not history and current is None and cores:
        newest = max(cores)
        history = {newest: cores[newest]}
    if history:
        written["history"] = [{"at": at.isoformat(), "core": core} for at, core in thinned(history, as_of)]
    if done:
        written["done"] = [_work_shown(entry) for entry in done[-MOST_WORK:]]
    ages = {f: v.at.isoformat() for f, v in known.items() if f in _AGED and v.state in _COUNTS and v.at != as_of}
    if ages:
        written["read_at"] = ages


def _core_in(part: JsonObject) -> Any:
    """The core of one reading, else its hottest point."""
    temperatures = part.get("temperatures", {})
    values = [temperatures["core"]] if "core" in temperatures else [p["value"] for p in temperatures.get("points", [])]
    return max(values, key=lambda value: parse_quantity(value, ("temperature",), "metric").si, default=None)


def thinned(readings: dict[datetime, Any], as_of: datetime) -> list[tuple[datetime, Any]]:
    """At most `MOST_HISTORY` readings: the newest of each equal span of time."""
    if len(readings) <= MOST_HISTORY:
        return sorted(readings.items())
    span = timedelta(days=HISTORY_DAYS / MOST_HISTORY)
    newest = {min((as_of - at) // span, MOST_HISTORY - 1): (at, value) for at, value in sorted(readings.items())}
    return sorted(newest.values(), key=lambda reading: reading[0])


def _work_shown(work: WorkEntry) -> dict[str, str]:
    shown = {"at": work.at.isoformat(), "action": work.action}
    return shown if work.amount is None else {**shown, "amount": work.amount}


def _read(written: JsonObject, known: dict[str, LoggedValue]) -> Status:
    """Read the status; values of different moments that cannot all be true are set aside, the named one first."""
    _refuse_if_too_little(written, known)
    while True:
        try:
            return read_status(written)
        except Problem as problem:
            named = next((k for e in problem.errors for k in _values_named(e["pointer"], known)), None)
            if named is None:
                raise Problem("not-enough-known", problem.detail, problem.errors) from None
            named.state, named.why = "set_aside", problem.errors[0]["detail"]
            _remove(written, named.field)


def _values_named(pointer: str, known: dict[str, LoggedValue]) -> Iterator[LoggedValue]:
    return (value for field, value in known.items() if value.state in _COUNTS and pointer.startswith(field))


def _remove(written: JsonObject, field: str) -> None:
    *parts, name = field.split("/")[1:]
    within = written
    for part in parts:
        within = within[part]
    del within[name]
    if "read_at" in written:
        written["read_at"].pop(field, None)


def _refuse_if_too_little(written: JsonObject, known: dict[str, LoggedValue]) -> None:
    pile, temperatures = written.get("pile", {}), written.get("temperatures", {})
    missing = []
    if "age" not in pile and "built_on" not in pile:
        detail = "the age of the heap, or the day it was built, is needed once"
        missing.append({"pointer": "/pile/age", "detail": detail})
    if "core" not in temperatures and not temperatures.get("points") and "history" not in written:
        missing.append({"pointer": _CORE, "detail": "one core temperature is needed"})
    if missing:
        words = " and ".join(error["detail"] for error in missing)
        raise Problem("not-enough-known", f"The log does not hold enough for advice: {words}.", missing)
    written.setdefault("pile", {})


def _keeps_until(known: dict[str, LoggedValue], as_of: datetime) -> datetime:
    """When the first value turns stale or lapses."""
    turns = [
        value.at + timedelta(days=limit)
        for value in known.values()
        if value.state in _COUNTS
        for limit in (lifetime_of(value.field).fresh, lifetime_of(value.field).lapses)
        if limit != FOREVER
    ]
    return min((turn for turn in turns if turn > as_of), default=datetime.max.replace(tzinfo=UTC))


def _days(earlier: datetime, later: datetime) -> float:
    return (later - earlier).total_seconds() / SECONDS_PER_DAY
