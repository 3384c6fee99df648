"""Arithmetic of values with ranges, and how they are shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from service.answer.quantities import assumed_shown, measured, round_off
from service.answer.shapes.part import Assumed
from service.facts.record import Derived
from service.mix.shapes.answer import Plain
from service.render.shape import Quantity
from service.units.estimate import Estimate
from service.units.quantities import Dimension, System
from service.units.table import BTU, FOOT

PER_KELVIN: Final[dict[System, tuple[str, float]]] = {
    "metric": ("W/K", 1.0),
    "us": ("BTU/(h.degF)", 3600.0 / BTU / 1.8),
}


PER_METRE_KELVIN: Final[dict[System, tuple[str, float]]] = {
    "metric": ("W/(m.K)", 1.0),
    "us": ("BTU/(h.ft.degF)", 3600.0 / BTU / 1.8 * FOOT),
}


def three(values: tuple[float, float, float] | list[float]) -> Estimate:
    """An estimate from its middle and its two ends, in either order."""
    return Estimate(values[0], min(values), max(values), "derived")


def mapped(function: Callable[..., float], *estimates: Estimate) -> Estimate:
    """A function that rises with each argument, at their middles, lows and highs."""
    ends = [[getattr(each, end) for each in estimates] for end in ("value", "low", "high")]
    return three([function(*arguments) for arguments in ends])


def times(first: Estimate, second: Estimate) -> Estimate:
    """Product of two estimates that are not below 0; their ends taken together."""
    return mapped(lambda a, b: a * b, first, second)


def less(first: Estimate, second: Estimate) -> Estimate:
    """What is left of the first without the second, never below 0: worst against best."""
    return three(
        [
            max(first.value - second.value, 0.0),
            max(first.low - second.high, 0.0),
            max(first.high - second.low, 0.0),
        ]
    )


def quantity_in_shared_unit(estimate: Estimate, unit: str, factor: float = 1.0) -> Quantity:
    """A value with its range in a unit that is the same in both systems, such as W of electricity."""
    return Quantity(
        value=round_off(estimate.value * factor),
        low=round_off(estimate.low * factor),
        high=round_off(estimate.high * factor),
        unit=unit,
    )


def exactly(value: float, dimension: Dimension, system: System) -> Plain:
    """A value that is in no doubt, in the reader's units."""
    told = measured(Estimate.exact(value), dimension, system)
    return Plain(value=told["value"], unit=told["unit"])


def per_kelvin(estimate: Estimate, system: System) -> Quantity:
    """A heat loss per kelvin in the reader's units."""
    unit, factor = PER_KELVIN[system]
    return quantity_in_shared_unit(estimate, unit, factor)


def all_assumed(derived: Derived, system: System) -> list[Assumed]:
    """What was assumed; electric power in W whatever the system."""
    listed = []
    for each in derived.assumed:
        electric = each.pointer.endswith(("fan_power", "pump_power"))
        told = (
            quantity_in_shared_unit(each.estimate, "W") if electric else measured(each.estimate, each.quantity, system)
        )
        listed.append(assumed_shown(each.pointer, told, each.why))
    return listed
