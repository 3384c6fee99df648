"""Names by which machines send single values: columns of a CSV table, names of SenML records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal, cast

from rules.tables.fields import FIELDS, FieldRecord
from service.problems.json_text import JsonObject
from service.units.quantities import Dimension, QuantityError, parse_quantity


@dataclass(frozen=True, slots=True)
class Column:
    """A value of a reading: where it belongs, and its dimension, or how its words are read."""

    field: str
    kind: Dimension | Literal["word", "words", "flag"]

    @property
    def has_unit(self) -> bool:
        """Whether it is a quantity."""
        return self.kind not in ("word", "words", "flag")


_KINDS: Final[dict[str, Literal["word", "words", "flag"]]] = {"word": "word", "names": "words", "flag": "flag"}


def _column(record: FieldRecord) -> Column:
    if record.number is not None:
        return Column(record.at, cast(Dimension, record.number.dimension))
    return Column(record.at, _KINDS[record.kind])


COLUMNS: Final[dict[str, Column]] = {record.column: _column(record) for record in FIELDS.values() if record.column}
"""By name. Words of `signs` are parted by spaces; `none` means looked and saw none."""


def unit_problem(column: Column, unit: str) -> str | None:
    """Why `unit` is not one of this column's, or None."""
    assert column.has_unit
    dimension: Any = column.kind
    try:
        parse_quantity(f"1 {unit}", (dimension,), "metric")
    except QuantityError as error:
        return error.detail
    return None


def put_value(part: JsonObject, column: Column, value: Any) -> None:
    """Put a value where it belongs in a reading."""
    *parents, name = column.field.split("/")[1:]
    for parent in parents:
        part = part.setdefault(parent, {})
    part[name] = value
