"""Heat drawn by a buried water loop, by effectiveness and transfer units, with the chilled halo around the tube.

Two conductances in series, no source for either (common practice: 100 ft of copper, 1 gal/min, 42 degF in: the outlet
starts at 85-86 degF and settles near 75 degF): water to the halo (`inner`), halo to the heap (`outer`). A line
source with published conductivities gives a far colder outlet, so an outlet reading, where there is one, decides.
The settled plateau lasts for hours and drains the heap; it is no steady state.
"""

from __future__ import annotations

from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.air_duct import HIGHEST_EFFECTIVENESS, LEAST_APART_K, effectiveness
from service.heat.physics.arrays import Array
from service.heat.physics.piles import WATER_HEAT
from service.units.figures import figure

TubeMaterial = Literal["copper", "plastic"]

INNER_W_M_K: Final = figure(
    {"copper": 5.7, "plastic": 2.0},
    "W/(m.K)",
    "From water to the halo: copper by the outlet that 100 ft of it have at first (common practice); the "
    "wall of a rubber or vinyl hose, 3 mm at 0.17 W/(m.K), adds 0.3 m.K/W (derived)",
    "no source",
)
OUTER_W_M_K: Final = figure(
    12.5,
    "W/(m.K)",
    "From the chilled halo about a tube to the heap: the outlet of 100 ft of copper at 1 gal/min settles "
    "near 75 degF (common practice)",
    "no source",
)
HALO_J_M_K: Final = figure(75e3, "J/(m.K)", "Heat of a sleeve of wet chips about 10 cm thick", "derived")
DEFAULT_LENGTH_M: Final = figure(30.0, "m", "Tube in a heap where nobody told its length", "no source")

MOST_WARMED: Final = figure(
    0.95,
    "1",
    "Water that went round is taken to have come at most this share of the way to the heap's warmth",
    "no source",
)

LEAST_WARMED: Final = figure(
    0.01,
    "1",
    "Water that went round is taken to have come at least this share of the way to the heap's warmth",
    "no source",
)


def default_conductances(tube: TubeMaterial, length_m: ArrayLike) -> tuple[Array, Array]:
    """Inner and outer conductance of a loop that was not measured. [W/K]"""
    length = np.asarray(length_m, dtype=np.float64)
    if np.any(length <= 0.0):
        raise ValueError("tube length must be above 0 m")
    return INNER_W_M_K[tube] * length, OUTER_W_M_K * length


def running_conductance(
    flow_kg_s: ArrayLike, inner_w_k: ArrayLike, outer_w_k: ArrayLike, hour_share: ArrayLike
) -> Array:
    """Heat taken while the pump runs, per kelvin of heap over inlet, halo settled. [W/K]

    The halo answers over hours: the minutes of an hour even out in it, so short runs find it warmer. Its warmth over
    the inlet is x = outer/(outer + share * fresh) of the heap's, with fresh = mc (1 - exp(-inner/mc)).
    """
    capacity = WATER_HEAT * np.asarray(flow_kg_s, dtype=np.float64)
    fresh = capacity * effectiveness(inner_w_k, capacity)
    outer = np.asarray(outer_w_k, dtype=np.float64)
    result: Array = fresh * outer / np.maximum(outer + np.asarray(hour_share) * fresh, 1e-9)
    return result


def mean_conductance(
    flow_kg_s: ArrayLike, inner_w_k: ArrayLike, outer_w_k: ArrayLike, hour_share: ArrayLike, day_share: ArrayLike
) -> Array:
    """Heat taken on the mean of the day, per kelvin of heap over inlet. [W/K]

    Within a day the running hours count in full: hours are long enough for the halo to settle.
    """
    share = np.asarray(hour_share) * np.asarray(day_share)
    result: Array = share * running_conductance(flow_kg_s, inner_w_k, outer_w_k, hour_share)
    return result


def conductances_from_outlet(
    flow_kg_s: Array, hour_share: Array, *, inlet_c: Array, outlet_c: Array, material_c: Array, outer_w_k: Array
) -> tuple[Array, Array]:
    """Inner and outer conductance [W/K] that give this outlet while running, for an expected outer one.

    The expected outer conductance is raised where it could not carry the heat that was read.
    """
    capacity = WATER_HEAT * flow_kg_s
    difference = material_c - inlet_c
    safe = np.where(np.abs(difference) < LEAST_APART_K, LEAST_APART_K, difference)
    share = np.minimum(np.maximum((outlet_c - inlet_c) / safe, LEAST_WARMED), MOST_WARMED)
    running = capacity * share
    # Below this outer conductance no tube, however good, could deliver what was read.
    needed = hour_share * running / (1.0 - share / HIGHEST_EFFECTIVENESS)
    outer = np.maximum(outer_w_k, needed)
    fresh = np.minimum(running / (1.0 - hour_share * running / outer), HIGHEST_EFFECTIVENESS * capacity)
    return -capacity * np.log(1.0 - fresh / np.maximum(capacity, 1e-9)), outer


def outlet_after(
    hours: ArrayLike,
    flow_kg_s: float,
    *,
    inlet_c: float,
    heap_c: float,
    inner_w_k: float,
    outer_w_k: float,
    halo_j_k: float,
) -> Array:
    """Outlet temperature after the pump has run for some hours from a rested halo, the heap itself held. [degC]

    C dTh/dt = outer (T - Th) - mc e (Th - Ti) is linear: the exponential is exact for any time.
    """
    capacity = WATER_HEAT * flow_kg_s
    share = float(effectiveness(inner_w_k, capacity))
    fresh = capacity * share
    settled = inlet_c + (heap_c - inlet_c) * outer_w_k / (outer_w_k + fresh)
    decay = np.exp(-np.asarray(hours, dtype=np.float64) * 3600.0 * (outer_w_k + fresh) / halo_j_k)
    halo = settled + (heap_c - settled) * decay
    result: Array = inlet_c + share * (halo - inlet_c)
    return result


def halo_after_rest(hours: ArrayLike, halo_c: ArrayLike, heap_c: float, outer_w_k: float, halo_j_k: float) -> Array:
    """Temperature of the halo after the pump has stood still for some hours. [degC]"""
    decay = np.exp(-np.asarray(hours, dtype=np.float64) * 3600.0 * outer_w_k / halo_j_k)
    result: Array = heap_c + (np.asarray(halo_c) - heap_c) * decay
    return result
