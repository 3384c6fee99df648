"""Field types that read quantities into SI.

Bare numbers are read in the unit system of the body they stand in; `bare_numbers_in` sets it while a body is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, Final

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from service.units.quantities import Dimension, QuantityError, ReadQuantity, System, Unit, parse_quantity, spell
from service.units.table import BARE, DIMENSIONS

_SYSTEM: Final[ContextVar[System]] = ContextVar("unit system of bare numbers", default="metric")


@contextmanager
def bare_numbers_in(system: System) -> Iterator[None]:
    """Read bare numbers in `system` meanwhile."""
    token = _SYSTEM.set(system)
    try:
        yield
    finally:
        _SYSTEM.reset(token)


def refused(detail: str, *, read: str | None = None, allowed: str | None = None) -> PydanticCustomError:
    """The error a validator raises: `read` and `allowed` are quoted to the caller."""
    known = {"detail": detail, "read": read, "allowed": allowed}
    return PydanticCustomError("refused", "{detail}", {key: value for key, value in known.items() if value is not None})


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity that may be of several kinds: `value` in the inside unit of `dimension` (kg, m3, days, kg/s ...)."""

    dimension: Dimension
    value: float

    @property
    def mass_kg(self) -> float | None:
        """The amount if it is a mass."""
        return self.value if self.dimension == "mass" else None

    @property
    def volume_m3(self) -> float | None:
        """The amount if it is a volume."""
        return self.value if self.dimension == "volume" else None


SENSOR_FAILS_BELOW_C: Final = -40.0
"""Readings that may go down to here are out of reach of frost: what is sent below comes from a sensor that fails."""
_BROKEN_SENSOR: Final = (
    " A broken or unplugged sensor sends such numbers: look at its plug and cable, and leave the reading out. Where "
    "it is the core, an earlier reading in `history` will do."
)


@dataclass(frozen=True, slots=True)
class Measure:
    """Annotation of a float field that takes a quantity; the float is in the inside unit.

    `low` and `high` bound it; a bare number is bounded by `bare_high` instead, above which its unit must be written.
    """

    dimension: Dimension
    low: float
    high: float
    bare_high: float | None = None
    fraction_is_slip: bool = False

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        unit = BARE["metric"][self.dimension]
        beyond = "" if self.bare_high is None else f"; with its unit up to {spell(unit.from_si(self.high), unit.name)}"
        return _quantity_schema((self.dimension,), self.range_in("metric") + beyond)

    def range_in(self, system: System) -> str:
        """What a bare number may be, in its unit; in the metric one where `system` takes none bare."""
        unit = BARE[system].get(self.dimension) or BARE["metric"][self.dimension]
        return _span(self.low, self.high if self.bare_high is None else self.bare_high, unit)

    def read(self, raw: object) -> float:
        """The value in the inside unit, or the refusal a validator raises."""
        quantity = _parse(raw, (self.dimension,))
        high = self.bare_high if quantity.bare and self.bare_high is not None else self.high
        if not self.low <= quantity.si <= high:
            allowed = self.range_in(_SYSTEM.get()) if quantity.bare else _span(self.low, high, quantity.unit)
            raise refused(self._why_out(quantity), read=str(quantity), allowed=allowed)
        if self.fraction_is_slip and quantity.bare and 0 < quantity.si < 1:
            slip = f"{quantity.number:g} is read as percent; did you mean {100 * quantity.number:g} %?"
            raise refused(slip, read=str(quantity), allowed=self.range_in(_SYSTEM.get()))
        return quantity.si

    def _why_out(self, quantity: ReadQuantity) -> str:
        """Why the value cannot be, with the likely slip."""
        if quantity.si < self.low:
            broken = self.dimension == "temperature" and self.low <= SENSOR_FAILS_BELOW_C
            return f"{quantity} is less than this can be.{_BROKEN_SENSOR if broken else ''}"
        if not quantity.bare or self.dimension != "temperature":
            return f"{quantity} is more than this can be."
        celsius, fahrenheit = DIMENSIONS["temperature"]["degc"], DIMENSIONS["temperature"]["degf"]
        slip = ""
        if quantity.unit == celsius and self.low <= fahrenheit.to_si(quantity.number) <= self.high:
            meant = spell(round(fahrenheit.to_si(quantity.number), 1), "degC")
            slip = f' Did you mean degF? "{quantity.number:g} degF" is {meant}.'
        truly = f' If it truly is {quantity}, write "{quantity}".' if quantity.si <= self.high else ""
        return f"The bare number {quantity.number:g} was read as {quantity}, more than is taken bare.{slip}{truly}"


@dataclass(frozen=True, slots=True)
class AmountOf:
    """Annotation of an `Amount` field: the dimensions it may have, and the least and most in each one's inside unit."""

    dimensions: tuple[Dimension, ...]
    low: float
    high: float

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return _quantity_schema(self.dimensions, f"{self.low:g} to {self.high:.0f} kg or m3")

    def _read(self, raw: object) -> Amount:
        quantity = _parse(raw, self.dimensions)
        if not self.low <= quantity.si <= self.high:
            word = "less" if quantity.si < self.low else "more"
            allowed = _span(self.low, self.high, quantity.unit)
            raise refused(f"{quantity} is {word} than this can be.", read=str(quantity), allowed=allowed)
        return Amount(quantity.dimension, quantity.si)


def _parse(raw: object, dimensions: tuple[Dimension, ...]) -> ReadQuantity:
    try:
        return parse_quantity(raw, dimensions, _SYSTEM.get())
    except QuantityError as error:
        raise refused(error.detail, read=raw if isinstance(raw, str) else None) from None


def _span(low: float, high: float, unit: Unit) -> str:
    return f"{spell(unit.from_si(low), '')} to {spell(unit.from_si(high), unit.name)}"


def _quantity_schema(dimensions: tuple[Dimension, ...], allowed: str) -> JsonSchemaValue:
    """A number or a text with a unit; how a bare number is read, what is allowed, and which units are known."""
    known = dict.fromkeys(unit.name for dimension in dimensions for unit in DIMENSIONS[dimension].values())
    bare = {system: BARE[system].get(dimensions[0]) for system in ("metric", "us")}
    return {
        "anyOf": [{"type": "number"}, {"type": "string", "minLength": 1, "maxLength": 60}],
        "x-bare-number-in": {system: unit.name if unit else "refused" for system, unit in bare.items()},
        "x-allowed": allowed,
        "x-units": list(known),
    }
