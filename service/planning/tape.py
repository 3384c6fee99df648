"""Lengths as they are read off a tape: centimetres and metres, or feet and inches."""

from __future__ import annotations

from typing import Final

from service.units.figures import figure
from service.units.quantities import System
from service.units.table import FOOT

INCH: Final = FOOT / 12
NO_INCHES_FROM_FT: Final = figure(
    20, "ft", "From here on no inches are told: nobody lays a heap to an inch", "no source"
)
TO_TENTHS_FROM_M: Final = figure(10.0, "m", "From here on no centimetres are told", "no source")


def on_tape(metres: float, system: System) -> str:
    """A length to the centimetre or the inch; long ones to the decimetre or the foot."""
    if system == "metric":
        centimetres = round(100 * metres)
        if centimetres < 100:
            return f"{centimetres} cm"
        return f"{metres:.1f} m" if metres >= TO_TENTHS_FROM_M else f"{centimetres / 100:g} m"
    feet, inches = divmod(round(metres / INCH), 12)
    if feet >= NO_INCHES_FROM_FT:
        return f"{round(metres / FOOT)} ft"
    parts = [*([f"{feet} ft"] if feet else []), *([f"{inches} in"] if inches or not feet else [])]
    return " ".join(parts)
