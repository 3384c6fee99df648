"""Air drawn through the heap: in a closed duct (warmth only) or through the material (warmth, vapour and water).

The air nears the material's temperature as in a heat exchanger: effectiveness 1 - exp(-UA/mc).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics import moist_air
from service.heat.physics.arrays import Array
from service.units.figures import figure

CLOSED_DUCT_W_K: Final = figure(
    40.0, "W/K", "Of 10 m3 of heap: set by air of 100 to 105 degF at 88 ft3/min (common practice)", "no source"
)
THROUGH_HEAP_W_K: Final = figure(
    200.0, "W/K", "Of 10 m3 of heap: the wet material is a very good exchanger", "no source"
)
REFERENCE_VOLUME_M3: Final = figure(10.0, "m3", "Heap of which these conductances are meant", "no source")
OUTLET_HUMIDITY: Final = figure(0.95, "1", "Of saturation, in air that leaves the material", "no source")
INLET_HUMIDITY: Final = figure(0.8, "1", "Of saturation, in air that goes in", "no source")
HIGHEST_EFFECTIVENESS: Final = figure(
    0.98, "1", "No duct brings its air nearer to the heap's warmth than this share of the way", "no source"
)

LEAST_APART_K: Final = figure(
    0.1, "K", "Two temperatures nearer than this count as so far apart: their difference divides", "no source"
)


def default_conductance(volume_m3: ArrayLike, through_heap: bool) -> Array:
    """Conductance between duct air and heap where no outlet was read; grows with the heap's length. [W/K]"""
    base = THROUGH_HEAP_W_K if through_heap else CLOSED_DUCT_W_K
    result: Array = base * np.cbrt(np.asarray(volume_m3) / REFERENCE_VOLUME_M3)
    return result


def effectiveness(conductance_w_k: ArrayLike, capacity_flow_w_k: ArrayLike) -> Array:
    """Share of the way from inlet to material temperature that the fluid is warmed; 0 without flow. [1]"""
    flow = np.asarray(capacity_flow_w_k, dtype=np.float64)
    return np.where(flow > 0.0, 1.0 - np.exp(-np.asarray(conductance_w_k) / np.maximum(flow, 1e-9)), 0.0)


def conductance_from_outlet(capacity_flow_w_k: Array, inlet_c: Array, outlet_c: Array, material_c: Array) -> Array:
    """Conductance that gives the outlet reading: UA = -mc ln(1 - (To - Ti)/(T - Ti)). [W/K]

    A reading at or past the material's temperature cannot be solved and is taken as an effectiveness of 0.98;
    one on the wrong side of the inlet as 0.
    """
    difference = material_c - inlet_c
    safe = np.where(np.abs(difference) < LEAST_APART_K, LEAST_APART_K, difference)
    share = np.minimum(np.maximum((outlet_c - inlet_c) / safe, 0.0), HIGHEST_EFFECTIVENESS)
    result: Array = -capacity_flow_w_k * np.log(1.0 - share)
    return result


def capacity_flow(flow_m3_s: ArrayLike, inlet_c: ArrayLike) -> tuple[Array, Array]:
    """Dry-air mass flow [kg/s] and its heat capacity flow [W/K] for a volume flow measured at the inlet."""
    ratio = moist_air.humidity_ratio_at(inlet_c, INLET_HUMIDITY)
    dry_air = np.asarray(flow_m3_s) / moist_air.specific_volume(inlet_c, ratio)
    return dry_air, dry_air * (moist_air.DRY_AIR_HEAT + moist_air.VAPOUR_HEAT * ratio)


def capacity_of(dry_air_kg_s: ArrayLike, inlet_c: ArrayLike) -> Array:
    """Heat capacity flow of a dry-air mass flow with the moisture of its inlet. [W/K]"""
    ratio = moist_air.humidity_ratio_at(inlet_c, INLET_HUMIDITY)
    result: Array = np.asarray(dry_air_kg_s) * (moist_air.DRY_AIR_HEAT + moist_air.VAPOUR_HEAT * ratio)
    return result


def heat_taken(
    flow_m3_s: ArrayLike, inlet_c: ArrayLike, outlet_c: ArrayLike, saturated: bool
) -> tuple[Array, Array, Array]:
    """Sensible [W] and latent heat [W] and water [kg/s] that air takes along, from its two temperatures.

    The inlet is at 80 % relative humidity. Saturated: the air leaves wet, as from the material; otherwise no water
    is taken up. Sensible plus latent is the enthalpy difference.
    """
    dry_air, capacity = capacity_flow(flow_m3_s, inlet_c)
    inlet = moist_air.humidity_ratio_at(inlet_c, INLET_HUMIDITY)
    outlet = moist_air.humidity_ratio_at(outlet_c) if saturated else inlet
    gained = np.maximum(outlet - inlet, 0.0)
    vapour_enthalpy = moist_air.EVAPORATION_HEAT_0C + moist_air.VAPOUR_HEAT * np.asarray(outlet_c)
    return capacity * (np.asarray(outlet_c) - np.asarray(inlet_c)), dry_air * gained * vapour_enthalpy, dry_air * gained
