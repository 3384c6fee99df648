"""Energy of a heap in three numbers that never stand for each other, and how a claimed output is judged by them.

The ceiling is the chemical energy of the dry matter. What is usable is what rot frees to a date and can be led off. The
season draw keeps the core above a limit to that date, as far as a loop or duct that was told can carry it. The burst
draw is what loop or duct could take for hours out of stored heat, and never less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from service.heat.physics import air_duct, decay, water_loop
from service.heat.physics.ahead import strides
from service.heat.physics.air_duct import OUTLET_HUMIDITY, effectiveness
from service.heat.physics.arrays import Array, flow_or_usual
from service.heat.physics.balance import quantiles
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import PreparedHeaps, humidity_of, vapour_enthalpy
from service.heat.physics.geometry import BURIED_SHARES
from service.heat.physics.losses import AIR_DENSITY
from service.heat.physics.members import LIFETIME_ENVIRONMENT, NITROGEN_SPREAD, RATE_SPREAD
from service.heat.physics.moist_air import DRY_AIR_HEAT
from service.heat.physics.piles import Piles, PileState
from service.heat.physics.season_draw import RECOVERABLE, by_recovery, season_draw
from service.heat.physics.spread import points
from service.heat.physics.step import Held
from service.units.estimate import SECONDS_PER_DAY, USUAL_FAN, USUAL_PUMP, PileEstimate
from service.units.figures import figure

BURST_S: Final = figure(4.0 * 3600.0, "s", "For so long a burst is drawn", "no source")
PUMP_KG_S: Final = USUAL_PUMP.value
FAN_KG_S: Final = AIR_DENSITY * USUAL_FAN.value
"""Assumed while a fitted loop or duct stands still. [kg/s]"""
THROUGH_UNTOLD: Final = figure(
    1.0 / 3.0,
    "1",
    "Share of the members, those that stand most, whose air passes through the material where nobody "
    "told its path: few enough for the usual closed duct to stay the middle, enough for the range to "
    "reach what the other carries",
    "no source",
)


@dataclass(frozen=True, slots=True)
class EnergyLedger:
    """The ledger of one heap by member, (n,); the burst draw is None where neither loop nor duct is fitted."""

    total_j: Array
    usable_left_j: Array
    season_draw_w: Array
    burst_draw_w: Array | None


def energy(
    estimates: Sequence[PileEstimate],
    piles: Piles,
    state: PileState,
    weather: DailyWeather,
    *,
    days: float | Array,
    keep_core_above_c: float | Array,
    moment: PreparedHeaps | None = None,
    freed_j: Array | None = None,
) -> list[EnergyLedger]:
    """The energy ledger of the ensemble of each of these estimates, which lie side by side and are equally large.

    Parameters
    ----------
    days
        To the end of the goal, of all or of each column. [days]
    keep_core_above_c
        The goal's limit for the core, of all or of each column. [degC]
    moment
        The same piles, state and weather made ready, where somebody has done so.
    freed_j
        Heat that rot frees to that end, see `ahead.strides`, where somebody has followed them. [J]
    """
    ready, heaps = moment or PreparedHeaps.of(piles, state, weather), len(estimates)
    n = piles.rate.shape[-1] // heaps
    degradable = np.add.reduce(state.fast_kg + state.slow_kg)
    season = season_draw(piles, state, weather, days, keep_core_above_c, moment=ready, heaps=heaps)
    fitted = [is_fitted(estimate) for estimate in estimates]
    burst = season
    if any(fitted):
        taken = _taken_by_any_path(estimates, piles, state, ready.held)
        bounded = [on and carriage_known(estimate) for on, estimate in zip(fitted, estimates, strict=True)]
        season = np.where(np.repeat(bounded, n), np.minimum(season, taken), season)
        burst = burst_draw(ready.held, keep_core_above_c, taken, season)
    freed = strides(ready, state, days).freed_j if freed_j is None else freed_j
    heating = np.repeat([estimate.heating_value_j_kg for estimate in estimates], n)
    total = heating * (piles.inert_kg + degradable)
    usable = usable_left(freed, season, days, ready.held.celsius[0] >= keep_core_above_c, heaps)
    parts = [slice(start, start + n) for start in range(0, heaps * n, n)]
    return [
        EnergyLedger(total[own], usable[own], season[own], burst[own] if on else None)
        for own, on in zip(parts, fitted, strict=True)
    ]


def is_fitted(estimate: PileEstimate) -> bool:
    """Whether loop or duct is fitted, as far as is known."""
    drawn = estimate.air is not None or estimate.water is not None
    return drawn or bool(estimate.has_air_duct) or bool(estimate.has_water_loop)


def usable_left(
    freed_j: Array, season_w: Array, days: float | Array, is_warm: NDArray[np.bool_], heaps: int = 1
) -> Array:
    """What can be led off of the heat that rot frees in so many days, (n,), no less than a warm heap gives. [J]

    A heap that is drawn may rot faster than one that is left as it is; the season draw of one below the limit is that
    of the day on which it is warm again. `heaps` as in `season_draw`.
    """
    led_off = by_recovery(RECOVERABLE, freed_j.size // heaps, heaps) * freed_j
    result: Array = np.where(is_warm, np.maximum(led_off, season_w * days * SECONDS_PER_DAY), led_off)
    return result


def carriage_known(estimate: PileEstimate) -> bool:
    """Whether what loop and duct can take was told, each that is fitted: by an outlet, a tube's length, air that runs.

    A loop of unknown length may be as long as its heap needs, so it bounds no season draw.
    """
    water, air = estimate.water, estimate.air
    loop = water is not None and (water.outlet_c is not None or water.tube_length_m is not None)
    duct = air is not None and (air.outlet_c is not None or air.flow_m3_s > 0.0)
    return (loop or not (water is not None or estimate.has_water_loop)) and (
        duct or not (air is not None or estimate.has_air_duct)
    )


def burst_draw(held: Held, keep_core_above_c: float | Array, taken: Array, season: Array) -> Array:
    """What loop and duct, running all the time, could take for four hours, each (n,). [W]

    At most the heat stored above the limit, but never less than what they can take to the goal's date. No measure of
    what the heap can sustain.
    """
    stored = np.add.reduce(held.capacity * np.maximum(held.celsius - keep_core_above_c, 0.0))
    result: Array = np.maximum(np.minimum(taken, stored / BURST_S), season)
    return result


def taken_at_full(piles: Piles, state: PileState, held: Held) -> Array:
    """What loop and duct take now while they run all the time, each (n,); 0 where nothing is fitted. [W]"""
    taken = _loop_at_full(piles, held.celsius) + _duct_at_full(piles, state, held.celsius)
    result: Array = np.maximum(taken, 0.0)
    return result


def _taken_by_any_path(estimates: Sequence[PileEstimate], piles: Piles, state: PileState, held: Held) -> Array:
    """What loop and duct take at full, each (n,); where nobody told the path of the air, some members have it pass
    through the material. [W]"""
    taken = taken_at_full(piles, state, held)
    airs = [estimate.air for estimate in estimates]
    guessed = [air is not None and not air.path_told for air in airs]
    if not any(guessed):
        return taken
    n = taken.size // len(estimates)
    through = np.repeat(guessed, n) & np.tile(points("recoverable", n).shares > 1.0 - THROUGH_UNTOLD, len(estimates))
    unread = np.repeat([air is None or air.outlet_c is None for air in airs], n)
    better = np.where(through & unread, air_duct.THROUGH_HEAP_W_K / air_duct.CLOSED_DUCT_W_K, 1.0)
    touched = replace(
        piles,
        air_through_heap=np.where(through, 1.0, piles.air_through_heap),
        air_conductance_w_k=better * piles.air_conductance_w_k,
    )
    result: Array = np.maximum(taken, taken_at_full(touched, state, held))
    return result


def _loop_at_full(piles: Piles, celsius: Array) -> Array:
    flow = flow_or_usual(piles.water_flow_kg_s, PUMP_KG_S)
    conductance = water_loop.running_conductance(flow, piles.loop_inner_w_k, piles.loop_outer_w_k, 1.0)
    result: Array = conductance * (BURIED_SHARES @ celsius - piles.water_inlet_c)
    return result


def _duct_at_full(piles: Piles, state: PileState, celsius: Array) -> Array:
    flow = flow_or_usual(piles.air_flow_kg_s, FAN_KG_S)
    share = effectiveness(piles.air_conductance_w_k, flow * DRY_AIR_HEAT)
    sensible: Array = flow * DRY_AIR_HEAT * share * (BURIED_SHARES @ celsius - piles.air_inlet_c)
    if not piles.air_through_heap.any():
        return sensible
    wet = np.ones_like(state.water_kg)
    gained = OUTLET_HUMIDITY * (humidity_of(celsius, wet) - humidity_of(piles.air_inlet_c + 0.0 * celsius, wet))
    latent = BURIED_SHARES @ (np.maximum(gained, 0.0) * vapour_enthalpy(celsius))
    result: Array = sensible + piles.air_through_heap * flow * share * latent
    return result


# --- judging a rating

BEST_FAST_SHARE: Final = figure(
    0.181, "1", "Of dry matter, what rots fast in half chips, three tenths horse manure, one fifth grass", "derived"
)
BEST_SLOW_SHARE: Final = figure(0.364, "1", "Of dry matter, what rots slowly in the same mix", "derived")
BEST_HEATING_VALUE: Final = figure(18.4e6, "J/kg", "Heating value of the same mix", "derived")
SHARE_SPREAD: Final = figure(0.25, "1", "Standard deviation of the logarithm of the two shares", "no source")
JUDGING_MEMBERS: Final = figure(512, "1", "Members by which a new heap is judged", "no source")


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a claimed output compares: with the ceiling, and with what the best mix could release and deliver (P90)."""

    word: Literal["possible", "burst only", "impossible"]
    claimed_j: float
    claimed_w: float
    chemical_j: float
    optimistic_heat_j: float
    optimistic_draw_w: float


def judge_claim(
    mass_kg_wet: float, moisture: float, mean_w: float, days: float, *, fast: float = 0.0, slow: float = 0.0
) -> Verdict:
    """Judge a claimed mean output over a time, for the mix that would favour it most.

    `fast` and `slow` are the shares of the dry matter that rot so in a mix that is known, which may be a better one.

    Impossible: more than all the chemical energy. Burst only: more than nine in ten ensemble members of the best mix
    release or deliver in that time. Possible: neither.

    Raises
    ------
    ValueError
        A mass, power or time not above zero, or a moisture outside 0 to 1.
    """
    if min(mass_kg_wet, mean_w, days) <= 0.0 or not 0.0 <= moisture < 1.0:
        raise ValueError("mass, power and days must be above 0 and moisture from 0 to below 1")
    n = JUDGING_MEMBERS
    dry = mass_kg_wet * (1.0 - moisture)
    pace = points("environment", n).between(*LIFETIME_ENVIRONMENT)
    pace = days * pace * points("rate", n).factor(RATE_SPREAD) * points("nitrogen", n).factor(NITROGEN_SPREAD)
    quick = max(BEST_FAST_SHARE, fast) * points("fast", n).factor(SHARE_SPREAD) * -np.expm1(-decay.FAST_PER_DAY * pace)
    lasting = (
        max(BEST_SLOW_SHARE, slow) * points("slow", n).factor(SHARE_SPREAD) * -np.expm1(-decay.SLOW_PER_DAY * pace)
    )
    released = dry * decay.HEAT_PER_DRY_MATTER * (quick + lasting)
    heat = quantiles(released)[2]
    draw = quantiles(released * points("recoverable", n).between(*RECOVERABLE))[2] / (days * SECONDS_PER_DAY)
    claimed, chemical = mean_w * days * SECONDS_PER_DAY, dry * BEST_HEATING_VALUE
    word: Literal["possible", "burst only", "impossible"] = "possible"
    if claimed > chemical:
        word = "impossible"
    elif claimed > heat or mean_w > draw:
        word = "burst only"
    return Verdict(word, claimed, mean_w, chemical, heat, draw)
