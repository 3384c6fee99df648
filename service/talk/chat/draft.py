"""What a conversation has told so far: a status in the making, checked as it grows."""

from __future__ import annotations

import copy
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import date, datetime, timedelta
from typing import Any, Final, get_args

from rules.catalogue import said
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.status.explicit import with_units
from service.status.partial import check_partial
from service.status.status import Aged, Status
from service.talk.chat.reading import HeardValue, in_scale, needs_scale
from service.units.quantities import System

SYSTEM_OF: Final[dict[str, System]] = {"degC": "metric", "degF": "us"}
SCALE_OF: Final[dict[str, str]] = {"metric": "degC", "us": "degF"}
MOST_WAITING: Final = 40
FRESH: Final = timedelta(hours=1)
"""A reading told longer ago than this is given with the time it was told."""
_AGED: Final = frozenset(get_args(Aged))
_ONCE: Final = {"/pile/age": ("age", "built_on"), "/pile/ingredients": ("ingredients",)}
_WHICH: Final = {
    "/pile/age": said("chat.age-or-ago"),
    "/pile/ingredients": said("chat.heap-or-hand"),
}
"""What is asked where a word or number that stands alone would be told a second time."""
_WET: Final = ("wet", "soggy")
_DRY: Final = ("dusty", "dry")


@dataclass(slots=True)
class Draft:
    """A status in the making.

    `skipped` holds what nobody could tell, `waiting` temperatures whose scale is not known, `asked` the field of the
    question that stands, `told_at` when the readings that age were told, `advised_at` when advice was last given,
    `recent` the pointers that the last message filled,
    `before` the status before the last message, `unsettled` the kinds of alarm that stand (see `unsettled`).
    """

    status: JsonObject = field(default_factory=dict)
    skipped: list[str] = field(default_factory=list)
    waiting: list[HeardValue] = field(default_factory=list)
    asked: str | None = None
    told_at: dict[str, str] = field(default_factory=dict)
    advised_at: str | None = None
    recent: list[str] = field(default_factory=list)
    before: JsonObject | None = None
    unsettled: list[str] = field(default_factory=list)

    @classmethod
    def of(cls, status: JsonObject, **rest: Any) -> Draft:
        """A draft that goes on from a status found good; its bare numbers get the units they were written in."""
        system: System = "us" if status.get("units") == "us" else "metric"
        return cls(status=with_units(Status, status, system), **rest)

    @property
    def system(self) -> System | None:
        """The system of units the talk is in, once a temperature told its scale."""
        return self.status.get("units")

    def settle(self, system: System) -> list[HeardValue]:
        """Fix the system of units; the readings that waited for it come back with their scale."""
        self.status["units"] = system
        ready = [HeardValue(item.pointer, in_scale(item.value, SCALE_OF[system])) for item in self.waiting]
        self.waiting = []
        return ready

    def take(self, reading: HeardValue, now: datetime) -> str | None:
        """Put a reading in its place; where it cannot be, say why and leave everything as it was."""
        if reading.unless_told and any(name in self.status.get("pile", {}) for name in _ONCE[reading.pointer]):
            return _WHICH[reading.pointer]
        if needs_scale(reading.value):
            self.waiting = [*self.waiting, reading][-MOST_WAITING:]
            return None
        before = copy.deepcopy(self.status)
        _put(self.status, reading)
        try:
            check_partial({**self.status, "as_of": now.isoformat()})
        except Problem as problem:
            self.status = before
            return str(problem.errors[0]["detail"] if problem.errors else problem.detail)
        if reading.pointer in _AGED:
            self.told_at[reading.pointer] = now.isoformat()
        return None

    def older_core(self, reading: HeardValue, now: datetime) -> HeardValue | None:
        """The core told before as an earlier reading, where a newer one takes its place; None where it is as fresh."""
        told = (self.status.get("temperatures") or {}).get("core")
        at = self.told_at.get(reading.pointer)
        if reading.pointer != "/temperatures/core" or told is None or at is None or needs_scale(reading.value):
            return None
        return HeardValue("/history/-", {"at": at, "core": told}) if now - datetime.fromisoformat(at) > FRESH else None

    def goal_passed(self, now: datetime) -> str | None:
        """Drop a goal whose day is past; the day, or None where there is none."""
        until = (self.status.get("goal") or {}).get("until")
        if until is None or date.fromisoformat(str(until)) >= now.date():
            return None
        self.drop("/goal/until", until)
        if not self.status["goal"]:
            del self.status["goal"]
        return str(until)

    def drop(self, pointer: str, value: Any) -> None:
        """Take back what was told there; of a list this value alone."""
        *parents, name = pointer.removesuffix("/-").strip("/").split("/")
        place = self.status
        for parent in parents:
            place = place.get(parent) or {}
        if pointer.endswith("/-") and value in (place.get(name) or []):
            place[name] = [other for other in place[name] if other != value]
        if not pointer.endswith("/-") or not place.get(name):
            place.pop(name, None)
        if pointer == "/moisture_feel":
            place.pop("moisture_feel_at", None)

    def as_of(self, now: datetime) -> JsonObject:
        """The status at a moment; a reading told well before carries the time it was told."""
        read_at = {pointer: at for pointer, at in self.told_at.items() if now - datetime.fromisoformat(at) > FRESH}
        read_at = {**self.status.get("read_at", {}), **read_at}
        return {**self.status, "as_of": now.isoformat()} | ({"read_at": read_at} if read_at else {})

    def ways_drawn(self) -> list[str]:
        """The ways heat is drawn that were spoken of."""
        return [way for way in ("air", "water") if way in (self.status.get("draw") or {})]

    def become(self, told: JsonObject) -> None:
        """Take over what another draft holds, from its fields as plain data."""
        self.waiting = [HeardValue(**item) for item in told["waiting"]]
        for name in ("status", "skipped", "asked", "told_at", "advised_at", "unsettled"):
            setattr(self, name, told[name])

    def forget(self) -> None:
        """Start over."""
        self.status, self.skipped, self.waiting, self.told_at, self.recent = {}, [], [], {}, []
        self.asked = self.advised_at = self.before = None
        self.unsettled = []

    def as_state(self) -> JsonObject:
        """All of it as data, to be sent back with the next message."""
        waiting = [{"pointer": item.pointer, "value": item.value} for item in self.waiting]
        return {**asdict(self), "waiting": waiting}

    def undo(self) -> bool:
        """Take back what the last message told; False where there is nothing to take back."""
        if self.before is None or self.before == self.status:
            return False
        self.status, self.before, self.waiting, self.asked = self.before, None, [], None
        return True


def without_goal_day(status: JsonObject) -> JsonObject:
    """A status without the day till which heat is wanted: in a talk that is kept for long it may be past."""
    goal = status.get("goal")
    if not isinstance(goal, dict) or not _is_day(goal.get("until")):
        return status
    return {**status, "goal": {name: value for name, value in goal.items() if name != "until"}}


def _is_day(written: Any) -> bool:
    try:
        return isinstance(written, str) and date.fromisoformat(written) is not None
    except ValueError:
        return False


def _put(status: JsonObject, reading: HeardValue) -> None:
    """Write one reading into a status."""
    pointer, value = reading.pointer, reading.value
    match pointer:
        case "/moisture_feel":
            _put_feel(status, value)
        case "/signs/-":
            _move(status, reading.value, "not_seen", "signs")
        case "/not_seen/-":
            _move(status, reading.value, "signs", "not_seen")
        case "/pile/age" | "/pile/built_on":
            pile = status.setdefault("pile", {})
            pile.pop("built_on" if pointer == "/pile/age" else "age", None)
            _set(status, pointer, value)
        case "/history/-":
            kept = [entry for entry in status.get("history", []) if entry["at"] != value["at"]]
            status["history"] = [*kept, value]
        case _ if pointer.endswith("/-"):
            _add(status, pointer.removesuffix("/-"), value)
        case _:
            _set(status, pointer, value)


def _put_feel(status: JsonObject, feel: dict[str, str]) -> None:
    """The feel inside counts; a wet skin over a dry inside is a sign of its own."""
    earlier: dict[str, str] = {}
    for name in ("moisture_feel", "moisture_feel_at"):
        if name in status:
            earlier[name] = status[name]
    if feel.get("moisture_feel_at") == "surface":
        inside, skin = earlier, feel
    else:
        inside, skin = feel, earlier
    both = skin.get("moisture_feel_at") == "surface" and bool(earlier) and inside.get("moisture_feel_at") != "surface"
    if both and inside.get("moisture_feel") in _DRY and skin["moisture_feel"] in _WET:
        _add(status, "/signs", "wet_skin_dry_core")
    chosen = inside if both else feel
    status.pop("moisture_feel_at", None)
    status.update(chosen)


def _add(status: JsonObject, pointer: str, value: Any) -> None:
    *parents, name = pointer.strip("/").split("/")
    place = _place(status, parents)
    listed = place.get(name) or []
    place[name] = listed if value in listed else [*listed, value]


def _move(status: JsonObject, sign: str, out_of: str, into: str) -> None:
    """Note a sign in one list; what was told of it before no longer counts."""
    if sign in (status.get(out_of) or []):
        status[out_of] = [other for other in status[out_of] if other != sign]
        if not status[out_of]:
            del status[out_of]
    _add(status, f"/{into}", sign)


def _set(status: JsonObject, pointer: str, value: Any) -> None:
    *parents, name = pointer.strip("/").split("/")
    _place(status, parents)[name] = value


def _place(status: JsonObject, parents: Iterable[str]) -> JsonObject:
    for parent in parents:
        status = status.setdefault(parent, {})
    return status
