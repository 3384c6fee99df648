"""Values with ranges in the units of the answer."""

from __future__ import annotations

from typing import Any

from service.estimate import Estimate
from service.units import Dimension, System, to_units


def quantity(estimate: Estimate | None, dimension: Dimension, system: System) -> dict[str, Any] | None:
    """A value with its 80 % range in the system's unit, or None where it cannot be told."""
    if estimate is None:
        return None
    value, unit = to_units(estimate.value, dimension, system)
    ends = sorted(to_units(end, dimension, system)[0] for end in (estimate.low, estimate.high))
    return {
        "value": round_off(value),
        "low": round_off(min(ends[0], value)),
        "high": round_off(max(ends[1], value)),
        "unit": unit,
    }


def round_off(number: float) -> float:
    """Three digits that count; the data allow no more, and the last bits differ between machines."""
    rounded = float(f"{number:.3g}")
    return 0.0 if rounded == 0 else rounded
