"""Decay of the degradable pools: how fast, given warmth, water, air room, oxygen and nitrogen. Factors run from 0 to 1.

rate = k * f_temperature * f_moisture * f_air_space * f_oxygen * f_nitrogen, for a fast and a slow pool.
The temperature factor is the cardinal one (zero outside its range). The exponential one of the handbook peaks at
71.6 degC and would praise a heap that kills its own workers, so it is used only in the tests.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.arrays import Array
from service.units.figures import figure

HEAT_PER_DRY_MATTER: Final = figure(
    17.6e6,
    "J/kg",
    "Heat of what is oxidised: net values 17.2 to 17.5 MJ/kg of cellulose, 16 of hemicellulose (read); "
    "the choice is ours",
    "no source",
)
HEAT_PER_OXYGEN: Final = figure(
    14.1e6, "J/kg", "13.6 to 14.5 MJ/kg (Haug 1993, from memory); 21.1 kJ per litre for glucose (read)", "from memory"
)
OXYGEN_PER_DRY_MATTER = HEAT_PER_DRY_MATTER / HEAT_PER_OXYGEN
WATER_PER_DRY_MATTER: Final = figure(
    0.55, "kg/kg", "Water made by the rot of carbohydrates: stoichiometry", "from memory"
)

FAST_PER_DAY: Final = figure(0.20, "1/day", "Rate of what rots fast, at the optimum", "no source")
SLOW_PER_DAY: Final = figure(
    0.008,
    "1/day",
    "Rate of what rots slowly, at the optimum: checked against published storage losses of wood chips",
    "no source",
)

COLDEST_C: Final = figure(
    -5.0,
    "degC",
    "Below this nothing rots: our choice within composting values remembered near 58.6 and 71.6 degC",
    "no source",
)
BEST_C: Final = figure(
    56.0,
    "degC",
    "Here rot is fastest: our choice within composting values remembered near 58.6 and 71.6 degC",
    "no source",
)
HOTTEST_C: Final = figure(
    72.0,
    "degC",
    "Above this nothing rots: our choice within composting values remembered near 58.6 and 71.6 degC",
    "no source",
)

LEAST_AIR_SPACE: Final = figure(0.01, "1", "Room for air counts as at least this: it divides", "no source")


class Cardinals(NamedTuple):
    """Best and hottest temperatures of decay in the form its factor needs; numbers, or one per pile, (n,).

    The divisor of the cardinal factor is linear in temperature: `slope` T + `offset`.
    """

    hottest: Array
    slope: Array
    offset: Array

    @classmethod
    def of(cls, best_c: ArrayLike, hottest_c: ArrayLike) -> Cardinals:
        """From the best temperature and the one at which decay ends; the coldest is COLDEST_C. [degC]"""
        best, hottest = np.asarray(best_c, dtype=np.float64), np.asarray(hottest_c, dtype=np.float64)
        span, beyond = best - COLDEST_C, best - hottest
        slope = span * (span + 2.0 * beyond)
        offset = -span * (span * best + beyond * (best + COLDEST_C))
        return cls(hottest, np.asarray(slope), np.asarray(offset))


USUAL = Cardinals.of(BEST_C, HOTTEST_C)

HALF_OXYGEN: Final = figure(
    2.0 / 20.9, "1", "Half-saturation 2 % by volume over fresh air's 20.9 % (Haug 1993, from memory)", "from memory"
)
CN_ENOUGH: Final = figure(
    30.0,
    "1",
    "Degradable carbon to nitrogen below which nitrogen does not limit (Cornell: start about 30, read)",
    "read",
)
LEAST_NITROGEN_FACTOR: Final = figure(
    0.25, "1", "However little nitrogen there is, rot goes on at this share of its pace", "no source"
)


def temperature_factor(celsius: ArrayLike, cardinals: Cardinals = USUAL) -> Array:
    """Cardinal temperature factor: 1 at the best temperature, 0 outside the range; by default 56 and -5 to 72 degC.

    f = (T-Tx)(T-Tn)^2 / {(To-Tn)[(To-Tn)(T-To) - (To-Tx)(To+Tn-2T)]}

    References
    ----------
    Rosso, Lobry and Flandrois, J. Theor. Biology 162:447, 1993 (form read; the three temperatures are ours).
    """
    # Outside the range the formula has a pole: it is evaluated at the bound instead, where it is zero.
    t = np.minimum(np.maximum(celsius, COLDEST_C), cardinals.hottest)
    above = t - COLDEST_C
    result: Array = (t - cardinals.hottest) * above * above / (cardinals.slope * t + cardinals.offset)
    return result


def temperature_slope(celsius: Array, cardinals: Cardinals = USUAL) -> Array:
    """Derivative of the temperature factor by temperature; at and outside the bounds that of the bound. [1/K]"""
    t = np.minimum(np.maximum(celsius, COLDEST_C), cardinals.hottest)
    above, below = t - COLDEST_C, t - cardinals.hottest
    divisor = 1.0 / (cardinals.slope * t + cardinals.offset)
    result: Array = above * divisor * (above + below * (2.0 - cardinals.slope * above * divisor))
    return result


MOISTURE_CURVE: Final = figure(
    (7.0622, 17.684), "1", "Offset and slope of the logistic curve of moisture (Haug 1993)", "from memory"
)
AIR_SPACE_CURVE: Final = figure(
    (3.4945, 23.675), "1", "Offset and slope of the logistic curve of free air space (Haug 1993)", "from memory"
)


def moisture_factor(moisture: Array) -> Array:
    """Factor of the moisture, wet basis 0 to 1: 0.15 at 0.30, 0.50 at 0.40, 0.86 at 0.50, 0.97 at 0.60.

    References
    ----------
    Haug, Practical Handbook of Compost Engineering, 1993 (from memory).
    """
    result: Array = 1.0 / (1.0 + np.exp(MOISTURE_CURVE[0] - MOISTURE_CURVE[1] * moisture))
    return result


def air_space_factor(air_space: Array) -> Array:
    """Factor of the free air space, share of the volume 0 to 1: 0.25 at 0.10, 0.78 at 0.20, 0.97 at 0.30.

    References
    ----------
    Haug, Practical Handbook of Compost Engineering, 1993 (from memory).
    """
    result: Array = 1.0 / (1.0 + np.exp(AIR_SPACE_CURVE[0] - AIR_SPACE_CURVE[1] * air_space))
    return result


def oxygen_factor(demand_over_supply: Array) -> Array:
    """Oxygen factor at the level where use equals supply, 1 in fresh air.

    With u the oxygen over that of fresh air and K its half-saturation, supply S (1 - u) equals use
    rho (1 + K) u / (u + K); the positive root of that quadratic is u, and the factor (1 + K) u / (u + K).

    Parameters
    ----------
    demand_over_supply
        rho/S: oxygen use in fresh air over oxygen supply at zero oxygen inside. [1]
    """
    b = (1.0 - HALF_OXYGEN) - (1.0 + HALF_OXYGEN) * demand_over_supply
    root = np.sqrt(b * b + 4.0 * HALF_OXYGEN)
    # For strong demand b < 0 and b + root would cancel; 2K / (root - b) is the same number without the loss.
    level = np.where(b > 0.0, 0.5 * (b + root), 2.0 * HALF_OXYGEN / (root - b))
    result: Array = (1.0 + HALF_OXYGEN) * level / (level + HALF_OXYGEN)
    return result


def nitrogen_factor(cn_degradable: ArrayLike) -> Array:
    """Factor of the degradable carbon to nitrogen ratio when the heap was built: min(1, 30/ratio), at least 0.25.

    A heuristic and the weakest of the factors; that nitrogen helps is built into it and no evidence for it.
    """
    ratio = np.asarray(cn_degradable, dtype=np.float64)
    if np.any(ratio <= 0.0):
        raise ValueError("the carbon to nitrogen ratio must be above 0")
    return np.minimum(np.maximum(CN_ENOUGH / ratio, LEAST_NITROGEN_FACTOR), 1.0)


def share_lost(rate_times_time: Array) -> Array:
    """Share of a pool lost, 1 - exp(-a), as a/(1 + a/2 + a^2/12): positive and below 0.93 for every a >= 0."""
    a = rate_times_time
    result: Array = a / (1.0 + a * (0.5 + a * (1.0 / 12.0)))
    return result
