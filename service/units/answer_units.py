"""The units that answers are told in."""

from __future__ import annotations

from typing import Final, get_args

from service.units.table import SAME_IN_BOTH, Dimension, System, Unit, units_of

_SHOWN_METRIC: Final = units_of(
    temperature="degC",
    temperature_difference="delta_degC",
    mass="kg",
    volume="m3",
    water="L",
    length="m",
    area="m2",
    water_flow="L/min",
    air_flow="m3/h",
    power="W",
    energy="MJ",
    speed="m/s",
    density="kg/m3",
    mass_per_day="kg/day",
    temperature_rate="delta_degC/day",
    u_value="W/(m2.K)",
    **SAME_IN_BOTH,
)
_SHOWN_US: Final = units_of(
    temperature="degF",
    temperature_difference="delta_degF",
    mass="lb",
    volume="yd3",
    water="gal",
    length="ft",
    area="ft2",
    water_flow="gal/min",
    air_flow="ft3/min",
    power="BTU/h",
    energy="BTU",
    speed="mile/hour",
    density="lb/yd3",
    mass_per_day="lb/day",
    temperature_rate="delta_degF/day",
    u_value="BTU/(h.ft2.degF)",
    **SAME_IN_BOTH,
)
SHOWN: Final[dict[Dimension, dict[System, Unit]]] = {
    dimension: {"metric": _SHOWN_METRIC[dimension], "us": _SHOWN_US[dimension]} for dimension in get_args(Dimension)
}
"""Units of answers."""
