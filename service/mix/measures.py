"""The numbers a mix is judged by, each with its range, from the published ranges of what is in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from service.facts.size import SETTLED_SHARE
from service.heat.physics.decay import air_space_factor, moisture_factor, nitrogen_factor
from service.mix.matter import MixPart, Totals, combined, total
from service.units.estimate import Estimate
from service.units.figures import figure

SURROUNDINGS_C: Final = figure(20.0, "degC", "Air about a new mix whose peak is told; none was named", "no source")
SLOW_IN_TIME: Final = figure(
    0.15,
    "1",
    "Share of the slow pool that rots in the first three weeks, at 0.8 % a day; nearly all of the fast one does",
    "derived",
)
HALF_FUEL: Final = figure(
    0.015,
    "1",
    "Working fuel (share of the dry matter) that brings half of the highest rise: damp chips alone come to 46 degC, "
    "at most to the 61 degC of a published spruce-chip pile (Sampson and McBeath, read)",
    "derived",
)
FUEL_DOUBT: Final = figure(
    4.0,
    "1",
    "Factor up and down on it: published models miss peaks by 5 degC where all is measured (Mason, 2006, read), and "
    "here neither draw nor weather is known",
    "no source",
)
LARGE_PEAK_C: Final = figure(
    (65.0, 60.0, 70.0), "degC", "Hottest a rich large heap gets: 60 to 70 degC (Cornell, Compost Physics)", "read"
)
SMALL_PEAK_C: Final = figure(
    (45.0, 40.0, 50.0), "degC", "The same for a small one: 40 to 50 degC (Cornell, Compost Physics)", "read"
)
LARGE_FROM_M3: Final = figure(1.0, "m3", "Size from which a heap holds its heat at all", "no source")
NO_NITROGEN: Final = figure(1e6, "1", "Carbon to nitrogen where there is next to none of it", "no source")

Measures = dict[str, Estimate | None]


def plain_measures(sums: Totals) -> dict[str, float | None]:
    """The numbers of a mixture without their ranges: ratios, shares in %, and kg/m3; None where there is none."""
    return {
        "c_to_n": _ratio(sums.rotting_carbon, sums.nitrogen),
        "c_to_n_total": _ratio(sums.carbon, sums.nitrogen),
        "moisture": _percent(sums.water, sums.mass),
        "free_air_space": _percent(max(0.0, sums.volume - sums.filled), sums.volume),
        "bulk_density": _ratio(sums.mass, sums.volume),
        "soft_matter": _percent(sums.soft, sums.solid),
        "rots_in_weeks": _percent(sums.fast, sums.dry),
        "rots_in_years": _percent(sums.slow, sums.dry),
    }


def measure(parts: Sequence[MixPart], *, sized: bool) -> Measures:
    """The numbers of a mixture with their ranges; `sized` says that its amounts are those of the heap to be built.

    Each figure of each thing is moved to its published low and high end by itself, and the changes are put together
    as the root of the sum of their squares, low and high apart. Air space may also fall as the heap settles.
    """
    sums = total(parts)
    middle = plain_measures(sums)
    below, above = dict.fromkeys(middle, 0.0), dict.fromkeys(middle, 0.0)
    for stuff, mass in parts:
        for name, told in stuff.figures.items():
            for end in {told.low, told.high} - {told.value}:
                moved = combined([(sums, 1.0), (stuff.per_kg(), -mass), (stuff.per_kg({name: end}), mass)])
                _widen(middle, plain_measures(moved), below, above)
    settled = combined([(sums, 1.0), (Totals(volume=sums.volume), SETTLED_SHARE - 1.0)])
    _widen({"free_air_space": middle["free_air_space"]}, plain_measures(settled), below, above)
    found: Measures = {
        name: None if value is None else _estimate(name, value, below[name], above[name])
        for name, value in middle.items()
    }
    return found | {"expected_peak": _expected_peak(middle, large=not sized or sums.volume >= LARGE_FROM_M3)}


def _widen(
    middle: dict[str, float | None],
    moved: dict[str, float | None],
    below: dict[str, float],
    above: dict[str, float],
) -> None:
    for name, value in middle.items():
        other = moved[name]
        if value is not None and other is not None:
            side = below if other < value else above
            side[name] += (other - value) ** 2


def _estimate(name: str, value: float, below: float, above: float) -> Estimate:
    low, high = max(0.0, value - math.sqrt(below)), value + math.sqrt(above)
    is_share = name not in ("c_to_n", "c_to_n_total", "bulk_density")
    return Estimate(value, low, min(high, 100.0) if is_share else high, "derived")


def _expected_peak(found: dict[str, float | None], *, large: bool) -> Estimate | None:
    """Likely hottest core of a heap that is left alone. [degC]

    20 + rise x / (x + 0.015), where x is the dry matter that can rot in three weeks, times the published factors of
    moisture, air space (Haug, 1993) and nitrogen, and the rise leads to the published peaks of rich heaps.
    """
    fast, slow, moisture = found["rots_in_weeks"], found["rots_in_years"], found["moisture"]
    if fast is None or slow is None or moisture is None:
        return None
    air, ratio = found["free_air_space"] or 0.0, found["c_to_n"]
    fed = float(nitrogen_factor(max(ratio, 1e-6))) if ratio is not None else float(nitrogen_factor(NO_NITROGEN))
    water, room = (
        float(factor(np.asarray(share / 100)))
        for factor, share in ((moisture_factor, moisture), (air_space_factor, air))
    )
    fuel = (fast + SLOW_IN_TIME * slow) / 100 * water * room * fed
    middle, low, high = LARGE_PEAK_C if large else SMALL_PEAK_C

    def peak(top: float, half: float) -> float:
        return SURROUNDINGS_C + (top - SURROUNDINGS_C) * fuel / (fuel + half)

    return Estimate(
        peak(middle, HALF_FUEL), peak(low, HALF_FUEL * FUEL_DOUBT), peak(high, HALF_FUEL / FUEL_DOUBT), "derived"
    )


def _ratio(above: float, below: float) -> float | None:
    return above / below if below > 0 else None


def _percent(part: float, whole: float) -> float | None:
    return 100 * part / whole if whole > 0 else None
