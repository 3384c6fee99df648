"""Values in words, in the reader's units: the edge where SI ends."""

from __future__ import annotations

import math
import string
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from typing import Any, Final

from rules.catalogue import said
from rules.language import facts, findings
from rules.language.conditions import Threshold, Value
from rules.tables.thresholds import FIRE_LIMITS
from rules.tables.unit_sentences import UNITS
from service.units.quantities import Dimension, System, to_units

DIMENSION_OF: Final[dict[str, tuple[Dimension, float]]] = {
    "degC": ("temperature", 1.0),
    "delta_degC": ("temperature_difference", 1.0),
    "K/day": ("temperature_rate", 1.0),
    "W": ("power", 1.0),
    "kg": ("mass", 1.0),
    "kg/day": ("mass_per_day", 1.0),
    "m3": ("volume", 1.0),
    "m": ("length", 1.0),
    "kg/m3": ("density", 1.0),
    "m/s": ("speed", 1.0),
    "m3/h": ("air_flow", 1 / 3600),
    "L/min": ("water_flow", 1 / 60),
    "min/h": ("minutes_per_hour", 1.0),
    "%": ("percent", 1.0),
    "days": ("duration", 1.0),
    "1": ("ratio", 1.0),
}
"""Dimension of each unit of facts and thresholds, with the factor to the inside unit of that dimension."""

WHOLE: Final = frozenset({"temperature", "minutes_per_hour", "percent"})
"""Dimensions shown as whole numbers: a probe or a squeeze test tells no more."""


MOST_KEPT: Final = 4096
"""Values in words that are kept; an answer has some dozens."""
WORKED_OUT: Final = frozenset({"power", "energy", "mass", "mass_per_day", "temperature_rate", "temperature_difference"})
"""Dimensions of what is worked out, not read off: two digits are as much as it can tell."""
WHOLE_FROM: Final = {"temperature_difference": 3.0}
"""From here up whole numbers: a fall that is foretold is not known to a tenth."""
SHORT_DAYS: Final = 1.0
"""Times shorter than this are told in hours [days]."""


def in_words(value: Value, unit: str, system: System, *, rough: bool = False) -> str:
    """One value with its unit as a person would write it, e.g. `121 °F`, `1,090 BTU/h`, `rotten egg`.

    `rough` tells a number in two digits, as one shovels.
    """
    if isinstance(value, bool):
        return said("word.yes" if value else "word.no")
    if isinstance(value, str):
        return said(f"word.{value}")
    digits, name = _digits(value, unit, system, rough)
    return f"{digits} {spelled(name)}".rstrip()


def spelled(unit: str) -> str:
    """A unit as a person writes it, e.g. `kg a day`; one without words of its own as it is."""
    text_id = f"unit.{unit}"
    return said(text_id) if text_id in UNITS else unit.removeprefix("1")


@lru_cache(maxsize=MOST_KEPT)
def _digits(value: float, unit: str, system: System, rough: bool) -> tuple[str, str]:
    """Digits and the unit they are of. Kept: every answer quotes the same limits, and its own values, ever again."""
    dimension, to_inside = DIMENSION_OF[unit]
    if dimension == "duration" and 0 < value < SHORT_DAYS:
        hours = max(round(24 * value), 1) if value > 1.5 / 24 else 1
        return str(hours), "hour" if hours == 1 else "hours"
    number, name = to_units(value * to_inside, dimension, system)
    number = float(f"{number:.2g}") if rough or dimension in WORKED_OUT else number
    digits = shown(number, whole=dimension in WHOLE or abs(number) >= WHOLE_FROM.get(dimension, math.inf))
    if dimension == "temperature" and _rounds_onto_a_fire_limit(number, system):
        digits = f"{math.floor(10 * number) / 10:g}"
    return digits, "day" if name == "days" and digits == "1" else name


def _rounds_onto_a_fire_limit(number: float, system: System) -> bool:
    """Whether a temperature that is below a limit of fire would be told as if it had reached it."""
    return any(number < limit <= round(number) for limit in _fire_limits(system))


@cache
def _fire_limits(system: System) -> tuple[float, ...]:
    return tuple(round(to_units(limit.value, "temperature", system)[0], 6) for limit in FIRE_LIMITS)


def shown(number: float, *, whole: bool = False) -> str:
    """A number with about two or three digits that count and thousands commas."""
    digits = 0 if whole or abs(number) >= 100 else 1 if abs(number) >= 1 else 2
    rounded = round(number, digits)
    if abs(rounded) >= 1000:
        rounded = float(f"{rounded:.3g}")
    text = f"{rounded:,.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def listed(names: Sequence[str]) -> str:
    """Names in a row: `a`, `a and b`, `a, b and c`."""
    return names[0] if len(names) == 1 else said("list.and", first=", ".join(names[:-1]), last=names[-1])


def unit_of_amount(amount: Mapping[str, Any]) -> str:
    """The unit of a quantity or dose as a person writes it, with the volume of heap that a dose is for."""
    unit = spelled(amount["unit"])
    per = amount.get("per")
    return unit if per is None else said("dose.per-volume-of-heap", unit=unit, volume=spelled(per))


@cache
def fields_of(template: str) -> tuple[str, ...]:
    """Names of the fields a template quotes."""
    return tuple(name for _, name, _, _ in string.Formatter().parse(template) if name)


def fill(template: str, values: Mapping[str, Value], limits: Mapping[str, Threshold], system: System) -> str:
    """Put facts and thresholds into a template, in the reader's units."""
    quoted: dict[str, str] = {}
    for name in fields_of(template):
        if name in limits:
            quoted[name] = in_words(limits[name].value, limits[name].unit, system)
        else:
            quoted[name] = in_words(values[name], unit_of(name), system)
    return template.format_map(quoted)


def unit_of(fact: str) -> str:
    """Unit of a declared fact; empty for flags and texts."""
    declared = facts.DECLARED.get(fact) or findings.DECLARED[fact]
    return declared.unit
