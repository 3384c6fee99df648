"""Quantities as people write them, to SI and back.

A quantity is a number or a text with a unit. A bare number is read in the system's own unit, or refused where two
readings are likely. Inside, temperatures are in degC, masses in kg, volumes in m3, lengths in m, areas in m2, water
flow in kg/s (a litre taken as a kilogram), air flow in m3/s, power in W, heat in J, durations in days, speeds in m/s,
moisture in %, running time in min/h and h/day.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from service.units.answer_units import SHOWN
from service.units.table import BARE, CASE_MATTERS, DIMENSIONS, LIKELY_SLIPS, WHY_NO_BARE, Dimension, System, Unit

__all__ = ["Dimension", "QuantityError", "ReadQuantity", "System", "Unit", "parse_quantity", "spell", "to_units"]

_WRITTEN: Final = re.compile(
    r"([+-]?) *([0-9]+|[0-9]*[.,][0-9]+|[0-9]+[.,])(?:[eE]([+-]?[0-9]{1,4}))? *((?:[^0-9 .,].*)?)"
)
_LONGEST: Final = 60


class QuantityError(ValueError):
    """The text or number is not a quantity of the kinds allowed; the message says why and what to write instead."""

    def __init__(self, detail: str, kind: Literal["bare", "number", "type", "unit"]) -> None:
        super().__init__(detail)
        self.detail = detail
        self.kind = kind


@dataclass(frozen=True, slots=True)
class ReadQuantity:
    """A quantity as it was read: `si` in the inside unit of its dimension, `number` and `unit` as given."""

    si: float
    dimension: Dimension
    number: float
    unit: Unit
    bare: bool

    def __str__(self) -> str:
        """As it was read, e.g. `131 degC`."""
        return spell(self.number, self.unit.name)


def parse_quantity(raw: object, dimensions: tuple[Dimension, ...], system: System) -> ReadQuantity:
    """Read a number, or a text with or without a unit, as one of `dimensions`.

    Raises
    ------
    QuantityError
        If it is neither, or no such unit is known, or the number is not finite, or a bare number could mean two things.
    """
    if isinstance(raw, str):
        number, unit_text = _split(raw)
    elif isinstance(raw, (int, float)) and not isinstance(raw, bool):
        number, unit_text = _as_float(raw), ""
    else:
        raise QuantityError(f"a number or a text with a unit is wanted, such as {_example(dimensions, system)}", "type")
    if not math.isfinite(number):
        raise QuantityError("the number is not finite", "number")
    if unit_text:
        dimension, unit = _find_unit(unit_text, dimensions, system)
    else:
        dimension, unit = _bare_unit(dimensions, system)
    return ReadQuantity(unit.to_si(number), dimension, number, unit, not unit_text)


def to_units(si: float, dimension: Dimension, system: System) -> tuple[float, str]:
    """Restate a value in the unit answers use for `dimension` in `system`, with that unit's name."""
    unit = SHOWN[dimension][system]
    return unit.from_si(si), unit.name


def spell(number: float, unit: str) -> str:
    """Number and unit as one text, six digits that count, e.g. `121 degF`."""
    digits = f"{number:.6g}" if not 1e6 <= abs(number) < 1e15 else f"{number:.0f}"
    return digits if unit in ("", "1") else f"{digits} {unit}"


def _as_float(raw: float) -> float:
    try:
        return float(raw)
    except OverflowError:
        return math.inf


def _split(text: str) -> tuple[float, str]:
    """Number and unit of a written quantity; a comma before three digits could be either mark, so it is refused."""
    if len(text) > _LONGEST:
        raise QuantityError("the text is too long for a quantity", "number")
    plain = text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ").strip()
    match = _WRITTEN.fullmatch(plain)
    if match is None or not plain.isprintable():
        if re.search(r"[0-9][ ,.'_][0-9]{3}\b", plain):
            raise QuantityError("write the number without marks between the thousands", "number")
        raise QuantityError("a quantity is one number and its unit, such as 121 degF", "number")
    sign, digits, exponent, unit = match.groups()
    whole, comma, part = digits.partition(",")
    if comma and len(part) == 3 and whole not in ("", "0"):
        detail = f"{digits} can be read two ways: write {whole}{part} or {whole}.{part}"
        raise QuantityError(detail, "number")
    return float(f"{sign}{digits.replace(',', '.')}e{exponent or 0}"), unit.strip()


@lru_cache(maxsize=2048)
def _find_unit(text: str, dimensions: tuple[Dimension, ...], system: System) -> tuple[Dimension, Unit]:
    folded = fold(text)
    for dimension in dimensions:
        unit = DIMENSIONS[dimension].get(folded)
        if unit is not None and (folded not in CASE_MATTERS or text.strip() in CASE_MATTERS[folded]):
            return dimension, unit
    if folded in ("ton", "tons") and "mass" in dimensions:
        if system == "us":
            return "mass", DIMENSIONS["mass"]["shortton"]
        detail = "ton is ambiguous: write t for the tonne (1000 kg) or short_ton for the US ton (907 kg)"
        raise QuantityError(detail, "unit")
    for dimension in dimensions:
        if folded in LIKELY_SLIPS.get(dimension, {}):
            raise QuantityError(f"{text} is not a unit here: {LIKELY_SLIPS[dimension][folded]}", "unit")
    raise QuantityError(f"unknown unit: one of {_known_units(dimensions)} is wanted", "unit")


def _bare_unit(dimensions: tuple[Dimension, ...], system: System) -> tuple[Dimension, Unit]:
    """Unit of a number that came without one: the first dimension decides."""
    unit = BARE[system].get(dimensions[0])
    if unit is None:
        raise QuantityError(f"a bare number is refused here: {WHY_NO_BARE[dimensions[0]]}", "bare")
    return dimensions[0], unit


def fold(text: str) -> str:
    """One spelling for all the ways a unit is written: lower case, no spaces, no brackets, plain digits."""
    plain = text.replace("º", "°").replace("˚", "°")
    plain = unicodedata.normalize("NFKC", plain).casefold()
    plain = re.sub(r"\bper\b", "/", plain)
    return re.sub(r"[\s_.^*\[\]°-]", "", plain)


def _known_units(dimensions: tuple[Dimension, ...]) -> str:
    names: dict[str, None] = {}
    for dimension in dimensions:
        names.update(dict.fromkeys(unit.name for unit in DIMENSIONS[dimension].values()))
    return ", ".join(names)


def _example(dimensions: tuple[Dimension, ...], system: System) -> str:
    unit = SHOWN[dimensions[0]][system].name
    return f'"20 {unit}"'
