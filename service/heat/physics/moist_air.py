"""Moist air: saturation pressure, humidity ratio, enthalpy, density. Closed forms over arrays, SI units.

Symbols and equation numbers are those of the ASHRAE Handbook - Fundamentals (2017), SI edition, chapter 1
(read second hand, in a public psychrometric library and its tests).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.arrays import Array

STANDARD_PRESSURE_PA = 101_325.0
ZERO_CELSIUS_K = 273.15
WATER_TO_AIR_MASS = 0.621945  # ratio of molar masses, eqn 20
DRY_AIR_GAS_CONSTANT = 287.042  # J/(kg K)
DRY_AIR_HEAT = 1006.0  # J/(kg K), eqn 30
VAPOUR_HEAT = 1860.0  # J/(kg K), eqn 30
EVAPORATION_HEAT_0C = 2.501e6  # J/kg at 0 degC, eqn 30

# Hyland and Wexler (1983), eqns 5 (ice) and 6 (water): powers -1, 0, 1, 2, 3, 4 of the absolute temperature, then ln T.
_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def _hyland_wexler(kelvin: Array, c: tuple[float, ...]) -> Array:
    powers = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
    result: Array = np.exp(c[0] / kelvin + powers + c[6] * np.log(kelvin))
    return result


def saturation_pressure(dry_bulb_c: ArrayLike) -> Array:
    """Vapour pressure over water, or over ice below 0.01 degC. [Pa]

    Parameters
    ----------
    dry_bulb_c
        Temperature, -100 to 200. [degC]

    References
    ----------
    ASHRAE Handbook - Fundamentals (2017), ch. 1, eqns 5 and 6 (Hyland and Wexler).
    """
    kelvin = np.asarray(dry_bulb_c, dtype=np.float64) + ZERO_CELSIUS_K
    if np.any(kelvin < 173.15) or np.any(kelvin > 473.15):
        raise ValueError("saturation pressure holds from -100 to 200 degC")
    return np.where(kelvin < 273.16, _hyland_wexler(kelvin, _ICE), _hyland_wexler(kelvin, _WATER))


def saturation_pressure_quick(dry_bulb_c: Array) -> Array:
    """Vapour pressure over water by one exponential, for the inner loop. [Pa]

    Within 0.05 % of `saturation_pressure` from 0 to 90 degC. Below zero it stays over (supercooled) water.

    References
    ----------
    Buck, New equations for computing vapor pressure, J. Appl. Meteorology 20, 1981, as revised 1996 (from memory).
    """
    result: Array = 611.21 * np.exp((18.678 - dry_bulb_c / 234.5) * (dry_bulb_c / (257.14 + dry_bulb_c)))
    return result


def humidity_ratio(vapour_pressure_pa: ArrayLike, pressure_pa: float = STANDARD_PRESSURE_PA) -> Array:
    """Water vapour per kilogram of dry air, eqn 20. [kg/kg]

    Raises
    ------
    ValueError
        The vapour pressure is below zero or not below the air pressure.
    """
    vapour = np.asarray(vapour_pressure_pa, dtype=np.float64)
    if np.any(vapour < 0.0) or np.any(vapour >= pressure_pa):
        raise ValueError(f"vapour pressure must lie in 0 to {pressure_pa:.0f} Pa")
    result: Array = WATER_TO_AIR_MASS * vapour / (pressure_pa - vapour)
    return result


def humidity_ratio_at(
    dry_bulb_c: ArrayLike, relative_humidity: ArrayLike = 1.0, pressure_pa: float = STANDARD_PRESSURE_PA
) -> Array:
    """Humidity ratio of air at a relative humidity (0 to 1), by default saturated. [kg/kg]"""
    return humidity_ratio(np.asarray(relative_humidity) * saturation_pressure(dry_bulb_c), pressure_pa)


def enthalpy(dry_bulb_c: ArrayLike, ratio: ArrayLike) -> Array:
    """Enthalpy of moist air per kilogram of its dry air, zero for dry air at 0 degC, eqn 30. [J/kg]

    h = 1006 t + W (2501e3 + 1860 t)
    """
    celsius = np.asarray(dry_bulb_c, dtype=np.float64)
    result: Array = DRY_AIR_HEAT * celsius + np.asarray(ratio) * (EVAPORATION_HEAT_0C + VAPOUR_HEAT * celsius)
    return result


def specific_volume(dry_bulb_c: ArrayLike, ratio: ArrayLike, pressure_pa: float = STANDARD_PRESSURE_PA) -> Array:
    """Volume of moist air per kilogram of its dry air, eqn 26. [m3/kg]"""
    kelvin = np.asarray(dry_bulb_c, dtype=np.float64) + ZERO_CELSIUS_K
    return DRY_AIR_GAS_CONSTANT * kelvin * (1.0 + 1.607858 * np.asarray(ratio)) / pressure_pa


def density(dry_bulb_c: ArrayLike, ratio: ArrayLike, pressure_pa: float = STANDARD_PRESSURE_PA) -> Array:
    """Mass of moist air, vapour included, per volume. [kg/m3]"""
    return (1.0 + np.asarray(ratio)) / specific_volume(dry_bulb_c, ratio, pressure_pa)
