"""Answers held to their shapes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from typing import Any, TypeVar

from pydantic import BaseModel, TypeAdapter
from pydantic.fields import FieldInfo
from typing_extensions import get_type_hints, is_typeddict

Shape = TypeVar("Shape")


@cache
def _adapter(shape: Any) -> TypeAdapter[Any]:
    return TypeAdapter(shape)


def shaped(shape: type[Shape], told: Any) -> Shape:
    """What was told, as data or as JSON, held to its shape: nothing is missing, nothing else stands there."""
    data = json.loads(told) if isinstance(told, bytes | str) else told
    held: Shape = _adapter(shape).validate_python(data)
    return held


def fields_of(shape: Any) -> dict[str, FieldInfo]:
    """The fields of a model or of a typed dict, by name."""
    if isinstance(shape, type) and issubclass(shape, BaseModel):
        return shape.model_fields
    return {name: _field(hint) for name, hint in get_type_hints(shape, include_extras=True).items()}


def _field(hint: Any) -> FieldInfo:
    inner = hint.__args__[0] if "NotRequired" in str(getattr(hint, "__origin__", "")) else hint
    return FieldInfo.from_annotation(inner)


def shapes_below(shape: Any, seen: set[Any]) -> set[Any]:
    """A shape with all that it is made of."""
    if shape not in seen:
        seen.add(shape)
        for field in fields_of(shape).values():
            for inner in _shapes_in(field.annotation):
                shapes_below(inner, seen)
    return seen


def _shapes_in(annotation: Any) -> Iterator[Any]:
    if is_typeddict(annotation) or (isinstance(annotation, type) and issubclass(annotation, BaseModel)):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _shapes_in(inner)
