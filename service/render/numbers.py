"""Numbers as a person says them: no more digits than their range allows, millions in words, chances out of ten.

The one place where a number with a range is rounded, for answers as data and for every text.
"""

from __future__ import annotations

import math
from typing import Final

from rules.catalogue import said
from service.render.shape import Quantity
from service.render.wording import shown, unit_of_amount

ONE_DIGIT: Final = 0
TWO_DIGITS: Final = 1
"""Digits behind the first where the range is as wide as the number or wider, and where it is narrower (our own)."""
LEADING: Final = 3.55
"""Below it a number keeps its second digit even in a wide range: told in one, 14 would be 10 (the rounding rule of the
Particle Data Group's reviews, from memory)."""
SURE_WITHIN: Final = 0.02
"""Of a number with a range narrower than this share of it three digits are told (our own)."""
THREE_DIGITS: Final = 2
MILLION: Final = 1e6
"""From here numbers are told in millions, as people say them."""
MJ_PER_KWH: Final = 3.6
BTU_PER_THERM: Final = 1e5
TENTHS: Final = 10
DEGREES: Final = frozenset({"degC", "degF"})
WHOLE_DEGREE: Final = 1.0
"""No coarser than this is a temperature: how far it lies from the nought of its scale says nothing of its range."""
EXACT: Final = 1e-9
"""A number this close to a step, in steps, stands on it."""
SHOVELLED: Final = frozenset({"m3", "yd3"})
AS_GOOD_AS_ONE: Final = 0.8
"""A dose of dry matter whose low end is this share of its high end is told as one number (our own)."""
RARE: Final = 0.05
"""A chance below this, or as near to certain, is told as one in twenty, not as none or all in ten."""


def to_range(
    value: float, low: float, high: float, *, unit: str = "", as_data: bool = False
) -> tuple[float, float, float]:
    """Value and both ends rounded to what the range between them allows; the value stays between the ends.

    `as_data` keeps one digit more, and two of each number in the widest of ranges, so that what is worked out from
    the numbers again is no further off than they are. Temperatures are told to the degree.
    """
    step = step_of(value, low, high) / (TENTHS if as_data else 1)
    narrow = high - low < SURE_WITHIN * max(abs(value), (high - low) / 2)
    digits = 3 if as_data or narrow else 2
    if unit in DEGREES:
        step, digits = min(step, WHOLE_DEGREE), 3
    rounded = [
        _to_step(number, min(step, _second_digit(number)) if as_data else step, digits) for number in (value, low, high)
    ]
    return min(max(rounded[0], rounded[1]), rounded[2]), rounded[1], rounded[2]


def to_range_no_less(
    shown: tuple[float, float, float], least: tuple[float, float, float]
) -> tuple[float, float, float]:
    """A value and both ends as data, each raised to no less than another's that was rounded in smaller steps.

    What is too small goes up to the next number of its own steps: it gains no digit that its range does not allow.
    """
    step = step_of(*shown) / TENTHS
    value, low, high = (
        number if number >= floor else _up_to_step(floor, min(step, _second_digit(floor)))
        for number, floor in zip(shown, least, strict=True)
    )
    return min(max(value, low), max(high, low)), low, max(high, low)


def _up_to_step(number: float, step: float) -> float:
    return float(f"{math.ceil(number / step - EXACT) * step:.3g}") if step and math.isfinite(step) else number


def _second_digit(number: float) -> float:
    """What the second of its digits stands for; without end where it has none."""
    known = number != 0 and math.isfinite(number)
    return float(10.0 ** (math.floor(math.log10(abs(number))) - 1)) if known else math.inf


def step_of(value: float, low: float, high: float) -> float:
    """What the numbers are rounded to: a power of ten; 0 where one of them is not finite."""
    spread = high - low
    size = max(abs(value), spread / 2)
    if not math.isfinite(spread) or not math.isfinite(size) or size == 0:
        return 0.0
    decade = 10.0 ** math.floor(math.log10(size))
    wide = spread >= abs(value) and size >= LEADING * decade
    digits = THREE_DIGITS if spread < SURE_WITHIN * size else ONE_DIGIT if wide else TWO_DIGITS
    return float(decade / 10.0**digits)


def _to_step(number: float, step: float, digits: int) -> float:
    rounded = float(f"{round(number / step) * step if step else number:.{digits}g}")
    return 0.0 if rounded == 0 else rounded


def quantity_in_words(quantity: Quantity | None) -> str:
    """A quantity with its range, e.g. `380 gal (220 to 510)`, `up to 7 days`, `62 million BTU`, `18 kWh`."""
    if quantity is None:
        return said("number.unknown")
    told = (quantity["value"], quantity["low"], quantity["high"])
    unit = unit_of_amount(quantity)
    if unit == "MJ":
        told, unit = (told[0] / MJ_PER_KWH, told[1] / MJ_PER_KWH, told[2] / MJ_PER_KWH), "kWh"
    degrees = str(quantity["unit"])
    scale, word = (MILLION, f" {said('number.million')}") if max(map(abs, told)) >= MILLION else (1.0, "")
    value, low, high = (shown(number / scale) for number in to_range(*told, unit=degrees))
    unit = f"{word} {unit}".rstrip()
    if low == high:
        return f"{value}{_one(value, unit)}"
    if low == "0":
        return said("number.up-to", high=high, unit=_one(high, unit).strip()).rstrip()
    return said("number.range", value=f"{value}{_one(value, unit)}", low=low, high=f"{high}{word}")


_COUNTED: Final = frozenset({"days", "therms", "hours", "weeks", "months", "short tons", "buckets", "barrows"})
"""Units that are told in the singular of one."""


def dose_in_words(dose: Quantity) -> str:
    """A dose with its range; the likely amount stands also where the range begins at next to nothing."""
    told = (dose["value"], dose["low"], dose["high"])
    _, low, high = (shown(number) for number in to_range(*told, unit=str(dose["unit"])))
    if dose["unit"] in SHOVELLED and dose["low"] >= AS_GOOD_AS_ONE * dose["high"] - EXACT:
        # nobody shovels a range so narrow
        return quantity_in_words({**dose, "low": dose["value"], "high": dose["value"]})
    if low != "0" or low == high or not dose["value"]:
        return quantity_in_words(dose)
    unit = f" {unit_of_amount(dose)}"
    decade = 10.0 ** math.floor(math.log10(abs(dose["value"])))
    digits = TWO_DIGITS if abs(dose["value"]) < LEADING * decade else ONE_DIGIT
    value = shown(_to_step(dose["value"], decade / 10**digits, digits + 1))
    return said("number.at-most", value=f"{value}{_one(value, unit)}", high=high)


def _one(number: str, unit: str) -> str:
    return unit.removesuffix("s") if number == "1" and unit.strip() in _COUNTED else unit


def chance_in_words(chance: float) -> str:
    """A chance from 0 to 1 as `7 in 10`; near its ends out of twenty, for nothing is certain."""
    if chance < RARE:
        return said("number.hardly-ever")
    if chance > 1 - RARE:
        return said("number.almost-always")
    return said("number.in-ten", count=str(min(max(round(TENTHS * chance), 1), TENTHS - 1)))
