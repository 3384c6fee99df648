"""Bare numbers to quantities with their units, so that a value means the same wherever it is read again."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from pydantic import BaseModel

from service.status.pile import Size
from service.status.quantities import AmountOf, Measure
from service.units.quantities import Dimension, System, parse_quantity


def with_units(model: type[BaseModel], given: dict[str, Any], system: System) -> dict[str, Any]:
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
    hints = get_type_hints(model, include_extras=True)
    return tuple((name, hints[name]) for name in model.model_fields)


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
    for inner in get_args(hint):
        yield from _models_in(inner)


def _dimensions_in(hint: Any) -> Iterator[tuple[Dimension, ...]]:
    """The dimensions of the quantity an annotation holds."""
    if get_origin(hint) is Annotated:
        for note in hint.__metadata__:
            if isinstance(note, Measure):
                yield (note.dimension,)
            elif isinstance(note, AmountOf):
                yield note.dimensions
    for inner in get_args(hint):
        yield from _dimensions_in(inner)
