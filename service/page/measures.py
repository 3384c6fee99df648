"""The units offered beside a number, and a number put together with the unit that was chosen.

A unit that was typed stands above the one chosen beside it: `116F` is 116 °F whatever the box beside it says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from rules.catalogue import ENGLISH, said
from service.units.quantities import System

UNIT: Final = ".unit"
"""What follows a field's name in the name of the box with its units."""
BELOW_ZERO: Final = "-"
"""Before a unit: the number is below zero. Number pads of some phones have no minus."""
_TYPED_UNIT: Final = re.compile(r"[^\W\d_]|[°º˚%'\"]")


@dataclass(frozen=True, slots=True)
class Offered:
    """One unit: its name as `service.units.quantities` reads it."""

    name: str

    @property
    def label(self) -> str:
        """As a person writes it."""
        return said(f"form.unit.{self.name}") if f"form.unit.{self.name}" in ENGLISH else self.name


@dataclass(frozen=True, slots=True)
class OfferedUnits:
    """The units of a kind of number, and which is usual where; one alone is only shown."""

    units: tuple[Offered, ...]
    usual: dict[System, str]

    @property
    def is_fixed(self) -> bool:
        """Whether there is nothing to choose."""
        return len(self.units) == 1

    @property
    def on_paper(self) -> str:
        """The units to choose from with a pen: the usual ones, or the first three where all are usual."""
        usual = [offered.label for offered in self.units if offered.name in self.usual.values()]
        return " / ".join(usual if len(usual) > 1 else [offered.label for offered in self.units[:3]])


def _measure(units: str, metric: str, us: str = "") -> OfferedUnits:
    offered = tuple(Offered(name) for name in units.split(", "))
    return OfferedUnits(offered, {"metric": metric, "us": us or metric})


MEASURES: Final[dict[str, OfferedUnits]] = {
    "heat": _measure("degC, degF", "degC", "degF"),
    "air": _measure("degC, degF, -degC, -degF", "degC", "degF"),
    "age": _measure("days, weeks, months, years", "days"),
    "ago": _measure("hours, days, weeks, months", "days"),
    "side": _measure("m, cm, ft, in", "m", "ft"),
    "short side": _measure("cm, m, in, ft", "cm", "in"),
    "heap": _measure(
        "m3, t, kg, yd3, ft3, short_ton, lb, pickup_load, barrow",
        "m3",
        "yd3",
    ),
    "part": _measure(
        "m3, L, kg, t, yd3, ft3, gal, lb, pickup_load, barrow, bucket",
        "m3",
        "yd3",
    ),
    "work": _measure("L, kg, m3, gal, lb, yd3, barrow, bucket", "L", "gal"),
    "room": _measure("m3, ft3", "m3", "ft3"),
    "area": _measure("m2, ft2", "m2", "ft2"),
    "air flow": _measure("m3/h, L/s, ft3/min", "m3/h", "ft3/min"),
    "water flow": _measure("L/min, L/h, gal/min, gal/h", "L/min", "gal/min"),
    "wind": _measure("m/s, km/h, mile/hour, knot", "m/s", "mile/hour"),
    "percent": _measure("%", "%"),
    "minutes": _measure("min/h", "min/h"),
    "hours": _measure("h/day", "h/day"),
}
"""Every kind of number the form asks for. `heat` and `air` are temperatures; only `air` may lie below zero."""
TEMPERATURES: Final = frozenset({"heat", "air"})
TIMES: Final = frozenset({"age", "ago"})
_BARE: Final[dict[System, str]] = {"metric": "degC", "us": "degF"}
"""A temperature in the form's own scale goes on without its unit, so that one that can hardly be is asked about."""


def with_unit(number: str, unit: str, measure: str, system: System) -> str:
    """A number as it was typed, with the unit that was chosen beside it; the number alone where it says its own."""
    known = MEASURES[measure]
    if known.is_fixed or _TYPED_UNIT.search(number) or unit not in {offered.name for offered in known.units}:
        return number
    name = unit.removeprefix(BELOW_ZERO)
    if name != unit and not number.startswith(("-", "\N{MINUS SIGN}")):
        number = f"-{number}"
    return number if measure in TEMPERATURES and name == _BARE[system] else f"{number} {name}"


def label_of(unit: str, measure: str) -> str:
    """A unit as a person writes it; as it stands where it is not offered."""
    return next((offered.label for offered in MEASURES[measure].units if offered.name == unit), unit)
