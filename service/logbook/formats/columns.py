"""Names by which machines send single values: columns of a CSV table, names of SenML records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

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


COLUMNS: Final[dict[str, Column]] = {
    "core": Column("/temperatures/core", "temperature"),
    "outer": Column("/temperatures/outer", "temperature"),
    "outdoor": Column("/temperatures/outdoor", "temperature"),
    "moisture": Column("/pile/moisture", "percent"),
    "low": Column("/weather/low", "temperature"),
    "wind_speed": Column("/weather/wind_speed", "speed"),
    "air_flow": Column("/draw/air/flow", "air_flow"),
    "air_inlet": Column("/draw/air/inlet", "temperature"),
    "air_outlet": Column("/draw/air/outlet", "temperature"),
    "air_minutes_per_hour": Column("/draw/air/minutes_per_hour", "minutes_per_hour"),
    "air_hours_per_day": Column("/draw/air/hours_per_day", "hours_per_day"),
    "water_flow": Column("/draw/water/flow", "water_flow"),
    "water_inlet": Column("/draw/water/inlet", "temperature"),
    "water_outlet": Column("/draw/water/outlet", "temperature"),
    "water_minutes_per_hour": Column("/draw/water/minutes_per_hour", "minutes_per_hour"),
    "water_hours_per_day": Column("/draw/water/hours_per_day", "hours_per_day"),
    "moisture_feel": Column("/moisture_feel", "word"),
    "moisture_feel_at": Column("/moisture_feel_at", "word"),
    "smell": Column("/smell", "word"),
    "signs": Column("/signs", "words"),
    "cover": Column("/pile/cover", "word"),
    "sun": Column("/weather/sun", "word"),
    "rain": Column("/weather/rain", "word"),
    "season": Column("/season", "word"),
    "probe_checked": Column("/probe/checked", "flag"),
}
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


def put(part: dict[str, Any], column: Column, value: Any) -> None:
    """Put a value where it belongs in a reading."""
    *parents, name = column.field.split("/")[1:]
    for parent in parents:
        part = part.setdefault(parent, {})
    part[name] = value
