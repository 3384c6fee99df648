"""A status with one field changed: for asking what would follow if it were so."""

from __future__ import annotations

from typing import Any, Final, TypeVar

from pydantic import BaseModel

from service.problems.json_text import JsonObject
from service.status.models import Amount, Draw, DrawnAir, DrawnWater, Goal, Ingredient, Probe, Size, Status, Weather

Model = TypeVar("Model", bound=BaseModel)

_NO_SHAPE: Final[JsonObject] = {"mass": None, "cone": None, "windrow": None, "cylinder": None, "box": None}
_PARENTS: Final[dict[str, type[BaseModel]]] = {
    "goal": Goal,
    "probe": Probe,
    "weather": Weather,
    "draw": Draw,
    "air": DrawnAir,
    "water": DrawnWater,
}
"""Parts that are made where the status has none."""


def with_fields(part: Model, **values: Any) -> Model:
    """A copy of a part with these fields, in SI, not checked again."""
    return part.model_copy(update=values)


def with_value(status: Status, pointer: str, value: Any) -> Status:
    """The status with `value` (in SI, or a word) at a pointer of plain field names."""
    return _with(status, pointer.strip("/").split("/"), value)


def _with(part: Model, names: list[str], value: Any) -> Model:
    name, *rest = names
    if not rest:
        return with_fields(part, **{name: value})
    inner = getattr(part, name)
    if inner is None:
        inner = _PARENTS[name]()
    return with_fields(part, **{name: _with(inner, rest, value)})


def with_volume(status: Status, volume_m3: float) -> Status:
    """The status of a heap of this volume [m3]."""
    return with_value(status, "/pile/size", size_of(volume_m3))


def size_of(volume_m3: float) -> Size:
    """A size that only tells the volume [m3]."""
    return Size.model_construct(volume=volume_m3, **_NO_SHAPE)


def with_ingredients(status: Status, shares: dict[str, float], volume_m3: float) -> Status:
    """The status with ingredients of these wet-mass shares; `volume_m3` stands in where no size was given."""
    parts = [
        Ingredient.model_construct(material=name, amount=Amount("mass", 100 * share), moisture=None)
        for name, share in shares.items()
    ]
    pile = with_fields(status.pile, ingredients=parts, size=status.pile.size or size_of(volume_m3))
    return with_fields(status, pile=pile)
