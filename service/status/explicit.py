"""Bare numbers to quantities with their units, so that a value means the same wherever it is read again."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, get_args

from pydantic import BaseModel

from service.problems.json_text import JsonObject
from service.status.field import OptionalMeasure
from service.status.pile import Size
from service.status.quantities import AmountOf, Measure
from service.units.quantities import Dimension, System, parse_quantity


def with_units(model: type[BaseModel], given: JsonObject, system: System) -> JsonObject:
    """What was given for `model`, already found good, with every bare number written with its unit of `system`.

    Nulls are left out: they mean not looked at.
    """
    hints = dict(_hints(model))
    if model is Size and given.get("shape") is not None:
        hints |= dict(_hints(next(_models_in(hints[given["shape"]]))))
    return {
        name: _written(hints[name], value, system) if name in hints else value
        for name, value in given.items()
        if value is not None
    }


@lru_cache(maxsize=64)
def _hints(model: type[BaseModel]) -> tuple[tuple[str, Any], ...]:
    """Of each field, its annotation and what is noted beside it."""
    return tuple((name, (field.annotation, *field.metadata)) for name, field in model.model_fields.items())


def _written(hint: Any, value: Any, system: System) -> Any:
    if isinstance(value, dict):
        inner = next(_models_in(hint), None)
        return value if inner is None else with_units(inner, value, system)
    if isinstance(value, list):
        return [_written(hint, item, system) for item in value]
    dimensions = next(_dimensions_in(hint), None)
    if dimensions is None or isinstance(value, bool):
        return value
    quantity = parse_quantity(value, dimensions, system)
    if not quantity.bare:
        return value
    number = value.strip() if isinstance(value, str) else repr(value)
    return f"{number} {quantity.unit.name}"


def _models_in(hint: Any) -> Iterator[type[BaseModel]]:
    """The models an annotation holds, inside lists, unions and annotations."""
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        yield hint
    for inner in _inside(hint):
        yield from _models_in(inner)


def _dimensions_in(hint: Any) -> Iterator[tuple[Dimension, ...]]:
    """The dimensions of the quantity an annotation holds."""
    match hint:
        case OptionalMeasure(measure=measure):
            yield (measure.dimension,)
        case Measure(dimension=dimension):
            yield (dimension,)
        case AmountOf(dimensions=dimensions):
            yield dimensions
    for inner in _inside(hint):
        yield from _dimensions_in(inner)


def _inside(hint: Any) -> tuple[Any, ...]:
    """What an annotation, or one with notes beside it, is made of."""
    return hint if isinstance(hint, tuple) else get_args(hint)
