"""What was told, said back: each field as it was typed, temperatures in both scales."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from service.page.asked_more import FIELDS, LABELS
from service.page.fields import Field
from service.page.typed import EARLIER, Typed
from service.status.quantities import bare_numbers_in
from service.units.quantities import QuantityError, System, parse_quantity, to_units

_DEGREES: Final = {"metric": "°C", "us": "°F"}


@dataclass(frozen=True, slots=True)
class Told:
    """One field as it was typed, and how it was read where that is worth saying."""

    label: str
    value: str


def told(typed: Typed, system: System, read_as: list[dict[str, Any]]) -> list[Told]:
    """Every field with something in it, in the order of the form; then names that were read by a synonym."""
    said = [Told(label, _value(FIELDS[name], typed[name], system)) for name, label in LABELS.items() if name in typed]
    if EARLIER in typed:
        said.append(Told("Readings kept on this phone", str(len(typed[EARLIER]))))
    said += [Told(f"“{read['given']}” was read as", read["read_as"].replace("_", " ")) for read in read_as]
    return said


def both_scales(text: str, system: System) -> str:
    """A temperature in the scale asked for and the other, e.g. `121 °F (49 °C)`; the text itself if it is none."""
    try:
        with bare_numbers_in(system):
            celsius = parse_quantity(text, ("temperature",), system).si
    except QuantityError:
        return text
    scales: tuple[System, System] = ("us", "metric") if system == "us" else ("metric", "us")
    here, there = (f"{round(to_units(celsius, 'temperature', scale)[0], 1):g} {_DEGREES[scale]}" for scale in scales)
    return f"{here} ({there})"


def _value(asked: Field, values: tuple[str, ...], system: System) -> str:
    if asked.kind == "temperature":
        return both_scales(values[0].strip(), system)
    labels = {choice.value: choice.label for choice in asked.choices}
    return ", ".join(labels.get(value, value.strip()) for value in values)
