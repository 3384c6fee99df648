"""Pieces that the planning answers share, with the examples that describe them."""

from __future__ import annotations

from typing import Any, Final

from pydantic import Field

from service.problems.json_text import JsonObject
from service.render.shape import Quantity

SOURCE: Final = {
    "kind": "standard",
    "cite": "ANSI/ASAE EP406.4, Heating, Ventilating and Cooling Greenhouses",
    "how_known": "from memory",
    "where": "",
}
NOTE: Final[JsonObject] = {"text": "Need is glazing and leaks times the warmth over outside.", "source": SOURCE}
ASSUMED: Final = {
    "field": "/house/glazing_area",
    "value": 126,
    "low": 103,
    "high": 149,
    "unit": "m2",
    "why": "taken from the volume of a small house",
}


def example_quantity(value: float, low: float, high: float, unit: str) -> Quantity:
    """An example of a value with its range."""
    return {"value": value, "low": low, "high": high, "unit": unit}


POWER: Final = example_quantity(900, 600, 1300, "W")
ENERGY: Final = example_quantity(21000, 16000, 27000, "MJ")
PERCENT: Final = example_quantity(92, 77, 97, "%")
CELSIUS: Final = example_quantity(-12, -12, -12, "degC")


def power(description: str) -> Any:
    """A field of heat per time."""
    return Field(description=f"{description} W or BTU/h.", examples=[POWER])


def energy_field(description: str) -> Any:
    """A field of heat."""
    return Field(description=f"{description} MJ or BTU.", examples=[ENERGY])


def share(description: str) -> Any:
    """A field in %."""
    return Field(description=description, examples=[PERCENT])


def temperature_field(description: str) -> Any:
    """A field of a temperature."""
    return Field(description=description, examples=[CELSIUS])
