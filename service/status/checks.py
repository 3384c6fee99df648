"""What must fit together in a status, beyond each field by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any, Protocol

from pydantic_core import PydanticCustomError

from service.status.pile import Goal, Pile
from service.status.quantities import refused
from service.status.readings import Reading, Temperatures, Work
from service.status.surroundings import Draw, DrawnAir, DrawnWater
from service.units.quantities import System, spell, to_units

CLOCK_SKEW = timedelta(minutes=10)
"""How far clocks may be apart before a moment counts as later than `as_of`."""
FARTHEST_AHEAD = timedelta(hours=14)
"""A date written at home may be this far ahead of the same moment in UTC."""
OUTLET_ABOVE_CORE_K = 8.0
"""What is drawn cannot come out warmer than the hottest place, reading errors allowed."""
ROUNDING_K = 1e-6
"""Readings turned from degF to degC may be off by this much."""
AGE_SLACK_DAYS = 3.0
AGE_SLACK_SHARE = 0.15
"""Age and building date may differ by this much, as ages are told in round figures (our own)."""


Place = tuple[str | int, ...]
Misfit = tuple[Place, PydanticCustomError]


class CheckedStatus(Protocol):
    """What the checks read of a status."""

    @property
    def as_of(self) -> datetime:
        """When this was so."""

    @property
    def units(self) -> System:
        """How bare numbers were read."""

    @property
    def pile(self) -> Pile:
        """The heap."""

    @property
    def temperatures(self) -> Temperatures:
        """Readings of now."""

    @property
    def goal(self) -> Goal | None:
        """What the heat is wanted for."""

    @property
    def draw(self) -> Draw | None:
        """How heat is drawn now."""

    @property
    def history(self) -> Sequence[Reading] | None:
        """Earlier core readings."""

    @property
    def done(self) -> Sequence[Work] | None:
        """Recent work."""

    @property
    def read_at(self) -> Mapping[Any, datetime] | None:
        """When readings were taken that were not taken at `as_of`."""


def misfits(status: CheckedStatus) -> list[Misfit]:
    """What cannot all be true, or is missing though no advice can do without it: where, and why."""
    return [*_core_misfits(status), *_age_misfits(status), *_time_misfits(status), *_outlet_misfits(status)]


def _core_misfits(status: CheckedStatus) -> Iterator[Misfit]:
    readings = status.temperatures
    if readings.core is None and not readings.points and not status.history:
        detail = "one core temperature is needed: the hottest reading from the middle of the heap, now or earlier"
        yield ("temperatures", "core"), refused(detail)


def _age_misfits(status: CheckedStatus) -> Iterator[Misfit]:
    pile, as_of = status.pile, status.as_of
    if pile.age is None and pile.built_on is None:
        yield ("pile", "age"), refused('the age of the heap is needed: "age", such as "63 days", or "built_on", a date')
    if pile.built_on is None:
        return
    if _is_after(pile.built_on, as_of):
        yield ("pile", "built_on"), _too_late("the heap cannot have been built after as_of", pile.built_on, as_of)
        return
    since_built = max((as_of.date() - pile.built_on).days, 0)
    if pile.age is not None and abs(pile.age - since_built) > AGE_SLACK_DAYS + AGE_SLACK_SHARE * since_built:
        detail = f"the age and the day it was built disagree: {pile.built_on} is {since_built} days before as_of"
        yield ("pile", "age"), refused(detail, read=spell(pile.age, "days"))


def _time_misfits(status: CheckedStatus) -> Iterator[Misfit]:
    as_of = status.as_of
    for place, at in _moments(status):
        if at > as_of + CLOCK_SKEW:
            allowed = f"not after {as_of.isoformat()}"
            yield place, refused("this is after as_of", read=at.isoformat(), allowed=allowed)
    for kind, drawn in _draws(status):
        if drawn.since is not None and _is_after(drawn.since, as_of):
            yield ("draw", kind, "since"), _too_late("it cannot have run since after as_of", drawn.since, as_of)
    until = status.goal.until if status.goal else None
    if until is not None and until < (as_of.astimezone(UTC) - FARTHEST_AHEAD).date():
        detail = "the goal ends before as_of; give a later day, or leave it out"
        yield ("goal", "until"), refused(detail, read=str(until), allowed=f"from {as_of.date()}")


def _moments(status: CheckedStatus) -> Iterator[tuple[Place, datetime]]:
    """Every moment that cannot be after `as_of`, with its place."""
    for index, reading in enumerate(status.history or []):
        yield ("history", index, "at"), reading.at
    for index, work in enumerate(status.done or []):
        yield ("done", index, "at"), work.at
    for field, at in (status.read_at or {}).items():
        yield ("read_at", field), at


def _outlet_misfits(status: CheckedStatus) -> Iterator[Misfit]:
    readings = status.temperatures
    now = [value for value in (readings.core, *(point.value for point in readings.points or [])) if value is not None]
    if not now:
        return
    highest = max(now) + OUTLET_ABOVE_CORE_K
    for kind, drawn in _draws(status):
        if drawn.outlet is not None and drawn.outlet > highest + ROUNDING_K:
            detail = (
                "what is drawn cannot come out more than 8 K above the core; does the core reading come from the "
                "middle, and is each in the unit it says?"
            )
            read, allowed = (spell(*to_units(value, "temperature", status.units)) for value in (drawn.outlet, highest))
            yield ("draw", kind, "outlet"), refused(detail, read=read, allowed=f"at most {allowed}")


def _draws(status: CheckedStatus) -> Iterator[tuple[str, DrawnAir | DrawnWater]]:
    if status.draw is not None:
        if status.draw.air is not None:
            yield "air", status.draw.air
        if status.draw.water is not None:
            yield "water", status.draw.water


def _is_after(day: date, as_of: datetime) -> bool:
    """Whether a day lies after `as_of` everywhere on Earth."""
    return day > (as_of.astimezone(UTC) + FARTHEST_AHEAD).date()


def _too_late(detail: str, day: date, as_of: datetime) -> PydanticCustomError:
    return refused(detail, read=str(day), allowed=f"up to {as_of.date()}")
