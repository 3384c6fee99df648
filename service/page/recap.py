"""What was told, said back: each field as typed, with its unit, and how it was read where that is worth saying."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from pydantic_core import PydanticCustomError

from rules.catalogue import said
from service.answer.shapes.part import ReadAsShown
from service.page.body import days_in
from service.page.entries import EARLIER, READ_AT, Typed, first, system_of, with_chosen_unit
from service.page.form import FIELDS, labels
from service.page.measures import TEMPERATURES, TIMES, UNIT, label_of
from service.status.moments import read_instant
from service.status.quantities import bare_numbers_in
from service.units.quantities import QuantityError, System, parse_quantity, to_units

_DEGREES: Final = {"metric": "°C", "us": "°F"}


@dataclass(frozen=True, slots=True)
class TypedField:
    """One field as it was typed, and how it was read where that is worth saying."""

    label: str
    value: str


def recap_of(typed: Typed, read_as: list[ReadAsShown], as_of: datetime) -> list[TypedField]:
    """Every field with something in it, in the order of the form; readings kept earlier; names read by a synonym."""
    found = [TypedField(label, _value(typed, name, as_of)) for name, label in labels().items() if name in typed]
    if first(typed, READ_AT):
        found.append(TypedField(said("page.told.read-at"), _day(first(typed, READ_AT), as_of)))
    for kept in typed.get(EARLIER, ()):
        at, _, core = kept.strip().partition(" ")
        found.append(TypedField(said("page.told.kept", day=_day(at, as_of)), both_scales(core, system_of(typed))))
    found += [
        TypedField(said("page.told.read-as", given=read["given"]), read["read_as"].replace("_", " "))
        for read in read_as
    ]
    return found


def day_and_hour(at: datetime) -> str:
    """A moment as `28 Nov 2026, 06:40`, in its own offset; with `UTC` where it has none."""
    return f"{at.day} {at:%b %Y, %H:%M}" + ("" if at.utcoffset() else " UTC")


def both_scales(text: str, system: System) -> str:
    """A temperature in the scale asked for and the other, e.g. `121 °F (49 °C)`; the text itself if it is none."""
    try:
        with bare_numbers_in(system):
            celsius = parse_quantity(text, ("temperature",), system).si
    except QuantityError:
        return text
    scales: tuple[System, System] = ("us", "metric") if system == "us" else ("metric", "us")
    here, there = (f"{round(to_units(celsius, 'temperature', scale)[0], 1):g} {_DEGREES[scale]}" for scale in scales)
    return f"{here} ({there})"


def _value(typed: Typed, name: str, as_of: datetime) -> str:
    asked, text = FIELDS[name], with_chosen_unit(typed, name)
    if asked.measure in TEMPERATURES:
        return both_scales(text, system_of(typed))
    if asked.measure in TIMES:
        return _time(text, as_of, ago=asked.measure == "ago")
    if asked.measure:
        unit = first(typed, name + UNIT)
        return text if text == first(typed, name) else f"{first(typed, name)} {label_of(unit, asked.measure)}"
    called = {choice.value: choice.label for choice in asked.choices}
    return ", ".join(called.get(value, value.strip()) for value in typed[name])


def _time(text: str, as_of: datetime, *, ago: bool) -> str:
    """A time with what it is in days, `9 weeks (63 days)`, or what it leads back to, `3 days (25 Nov 2026, 06:40)`."""
    days = days_in(text)
    if days is None:
        return text
    if ago:
        try:
            return f"{text} ({day_and_hour(as_of - timedelta(days=days))})"
        except OverflowError:
            return text
    shown = said("page.told.one-day" if days == 1 else "page.told.days", count=f"{round(days, 1):g}")
    return text if text == shown else f"{text} ({shown})"


def _day(moment: str, as_of: datetime) -> str:
    """A moment somebody's phone kept, in the offset of now; as it stands where it is none."""
    try:
        return day_and_hour(read_instant(moment).astimezone(as_of.tzinfo))
    except (PydanticCustomError, OverflowError):
        return moment
