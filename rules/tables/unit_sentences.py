"""Units as a person writes them; the others are written as they are named."""

from __future__ import annotations

from typing import Final

UNITS: Final[dict[str, str]] = {
    "unit.degC": "°C",
    "unit.degF": "°F",
    "unit.delta_degC": "°C",
    "unit.delta_degF": "°F",
    "unit.delta_degC/day": "°C a day",
    "unit.delta_degF/day": "°F a day",
    "unit.kg/day": "kg a day",
    "unit.lb/day": "lb a day",
    "unit.m3": "m³",
    "unit.yd3": "yd³",
    "unit.m2": "m²",
    "unit.ft2": "ft²",
    "unit.kg/m3": "kg/m³",
    "unit.lb/yd3": "lb/yd³",
    "unit.m3/h": "m³/h",
    "unit.ft3/min": "ft³/min",
    "unit.mile/hour": "mph",
    "unit.min/h": "minutes an hour",
    "unit.h/day": "hours a day",
    "unit.W/(m2.K)": "W per m² and °C",
    "unit.BTU/(h.ft2.degF)": "BTU/h per ft² and °F",
    "unit.BTU/(h.degF)": "BTU/h per °F",
    "unit.delta_degC.h": "°C times hours",
    "unit.delta_degF.h": "°F times hours",
}
