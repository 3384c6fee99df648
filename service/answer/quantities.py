"""Values with ranges in the units of the answer."""

from __future__ import annotations

from collections.abc import Iterable

from service.answer.shapes.part import Assumed, ReadAsShown
from service.render.numbers import to_range, to_range_no_less
from service.render.shape import Quantity
from service.status.status import ReadAs
from service.units.answer_units import SHOWN
from service.units.estimate import Estimate
from service.units.quantities import System
from service.units.table import Dimension


def quantity(estimate: Estimate | None, dimension: Dimension, system: System) -> Quantity | None:
    """A value with its 80 % range in the system's unit, or None where it cannot be told."""
    if estimate is None:
        return None
    unit = SHOWN[dimension][system]
    value, low, high = unit.from_si(estimate.value), unit.from_si(estimate.low), unit.from_si(estimate.high)
    value, low, high = to_range(value, min(low, value, high), max(low, value, high), unit=unit.name, as_data=True)
    return {"value": value, "low": low, "high": high, "unit": unit.name}


def measured(estimate: Estimate, dimension: Dimension, system: System) -> Quantity:
    """A value with its 80 % range in the system's unit, as it goes out."""
    shown = quantity(estimate, dimension, system)
    assert shown is not None  # only what cannot be told is None
    return shown


def assumed_shown(pointer: str, value: Quantity, why: str) -> Assumed:
    """A value that nobody gave, as it goes out."""
    return {"field": pointer, **value, "why": why}


def read_as_shown(names: Iterable[ReadAs]) -> list[ReadAsShown]:
    """Names of a question that were read by a synonym, as they go out."""
    return [{"field": each.pointer, "given": each.given, "read_as": each.read_as} for each in names]


def burst_shown(burst: Estimate | None, season: Estimate, system: System) -> Quantity | None:
    """The burst draw, as told no less than the season draw: a wide range is told in larger steps, and may round up."""
    shown, least = quantity(burst, "power", system), quantity(season, "power", system)
    if shown is None or least is None:
        return shown
    value, low, high = to_range_no_less(
        (shown["value"], shown["low"], shown["high"]), (least["value"], least["low"], least["high"])
    )
    return {"value": value, "low": low, "high": high, "unit": shown["unit"]}


def round_off(number: float) -> float:
    """Three digits that count; the data allow no more, and the last bits differ between machines."""
    rounded = float(f"{number:.3g}")
    return 0.0 if rounded == 0 else rounded
