"""A field of a status as its record says: described, with examples, and read as a quantity where it is one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, cast

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema

from rules.tables.fields import FIELDS, Bounds
from service.status.part import Part
from service.status.quantities import Measure
from service.units.quantities import Dimension


def optional_field(at: str) -> Any:
    """The optional field at a pointer; one that is a number is read by its record, whatever stands beside it."""
    record = FIELDS[at]
    field: Any = Field(None, description=record.means, examples=list(record.examples))
    if record.number is not None:
        field.metadata.append(OptionalMeasure(measure_of(record.number)))
    return field


class RecordedPart(Part):
    """A part that has an optional number for each record at its place (`at`) that no line of its own tells of.

    So a new number needs its record alone; a line of its own gives a field the type that code reads it by, others are
    read by their pointer (`service.facts.fields`).
    """

    def __init_subclass__(cls, at: str = "", **kwargs: Any) -> None:
        super().__init_subclass__(**kwargs)
        for record in FIELDS.values():
            above, _, name = record.at.rpartition("/")
            if above == at and record.number is not None and name not in cls.__annotations__:
                cls.__annotations__[name] = "float | None"
                setattr(cls, name, optional_field(record.at))


def measure_of(bounds: Bounds) -> Measure:
    """How a number is read."""
    dimension = cast(Dimension, bounds.dimension)
    return Measure(dimension, bounds.low, bounds.high, bounds.bare_high, bounds.fraction_is_slip)


@dataclass(frozen=True, slots=True)
class OptionalMeasure:
    """Annotation of an optional float: null, or the quantity."""

    measure: Measure

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return handler.generate_schema(Annotated[float, self.measure] | None)
