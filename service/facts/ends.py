"""Inlet and outlet of a draw: what is gone by where they were told, doubted, or not read."""

from __future__ import annotations

from typing import Final

from service.facts.record import Derived
from service.heat.physics.piles import DEFAULT_INLET_C
from service.status.models import DrawnAir, DrawnWater
from service.units.estimate import Estimate
from service.units.figures import figure

OUTLET_DOUBT_K: Final = figure(
    0.5, "K", "An outlet colder than its inlet by more than this is a doubtful reading (common practice)", "no source"
)
Ends = tuple[float | None, float | None]
_USUAL: Final = Estimate(DEFAULT_INLET_C, DEFAULT_INLET_C, DEFAULT_INLET_C, "assumed")


def is_turned(draw: DrawnAir | DrawnWater) -> bool:
    """Whether what is drawn is told to come out colder than it went in."""
    return draw.inlet is not None and draw.outlet is not None and draw.outlet < draw.inlet - OUTLET_DOUBT_K


def ends_of(draw: DrawnAir | DrawnWater, pointer: str, derived: Derived) -> Ends:
    """Inlet and outlet to count with [degC]; neither where a heap warmer than both is told to cool what passes it.

    That cannot be, and nobody knows which of the two is wrong: the thermometers may be swapped.
    """
    inlet, outlet = draw.inlet, draw.outlet
    core_c = derived.facts.get("core_c")
    if inlet is not None and is_turned(draw) and core_c is not None and float(core_c) > inlet:
        derived.assume(f"{pointer}/inlet", _USUAL, "temperature", "assumed.ends-in-doubt")
        return None, None
    if inlet is None:
        derived.assume(f"{pointer}/inlet", _USUAL, "temperature", "assumed.cool-greenhouse")
    return inlet, outlet
