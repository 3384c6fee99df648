"""Which want holds a heap back, member by member: the one whose relief would add most heat, or stop most of the loss.

A heap is looked at as if it were warm, so that a cold one is not called short of whatever its coldness slows. That
nitrogen relieves anything is built into the model (see `decay.nitrogen_factor`).
"""

from __future__ import annotations

from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from service.heat.physics import decay, losses
from service.heat.physics.arrays import Array
from service.heat.physics.cures import FRESH_MIX, WATER_WANTED, WELL_FED
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import Moving, PreparedHeaps, moving, oxygen_supply
from service.heat.physics.piles import Piles, PileState
from service.heat.physics.season_draw import SHAPE
from service.heat.physics.step import FAST_PER_S, SHARES, SLOW_PER_S
from service.units.figures import figure

Lack = Literal["water", "nitrogen", "air", "draw", "cold", "substrate"]
WANTS: Final[tuple[Lack, ...]] = get_args(Lack)

WARM_C: Final = figure(50.0, "degC", "A heap is judged at this core, or at its own where that is warmer", "no source")


def limit_shares(piles: Piles, state: PileState, weather: DailyWeather, weights: Array) -> dict[Lack, float]:
    """Share of the members' weight that each want holds back; the shares sum to 1."""
    wanting = limiting(piles, state, weather)
    shares = np.bincount(wanting, weights=weights, minlength=len(WANTS)) / weights.sum()
    return dict(zip(WANTS, shares.tolist(), strict=True))


def limiting(piles: Piles, state: PileState, weather: DailyWeather) -> NDArray[np.intp]:
    """Which of WANTS holds back each member, (n,), by its place there.

    - A member that would keep itself warm but is cold lacks warmth: `cold`.
    - One that could not with all the water, nitrogen and air it can use, and nothing drawn, lacks `substrate`; or, if
      a fresh mix could not either, it loses too much: `cold`.
    - Else it is the want whose relief adds most heat; the relief of the draw is what it takes.
    """
    moment = PreparedHeaps.of(piles, state, weather)
    warm = _warm(moment)
    now = moving(moment.fixed, moment.held, warm)
    lost = moment.heat_lost(warm, now)
    drawn = np.broadcast_to(np.add.reduce(now.loop + now.duct + now.duct_latent + now.fixed_draw), lost.shape)
    made = _made(moment, state, warm, now)
    gains = [made[want] - made["now"] for want in ("water", "nitrogen", "air")]
    keeps_warm = made["now"] >= lost + drawn
    hopeless = ~keeps_warm & (made["all"] < lost)
    is_cold = (keeps_warm & (moment.held.celsius[0] < WARM_C)) | (hopeless & (made["fresh"] < lost))
    wanting = np.where(hopeless, WANTS.index("substrate"), np.argmax([*gains, drawn], axis=0))
    return np.where(is_cold, WANTS.index("cold"), wanting)


def _warm(moment: PreparedHeaps) -> Array:
    """Node temperatures of each member, or of a warm core where it is colder. [degC]"""
    celsius, air_c = moment.held.celsius, moment.held.air.air_c
    return np.where(celsius[0] >= WARM_C, celsius, air_c + (WARM_C - air_c) * SHAPE)


def _made(moment: PreparedHeaps, state: PileState, celsius: Array, now: Moving) -> dict[str, Array]:
    """Heat made at these temperatures: now, with one want relieved, with all, and with fresh matter besides. [W]"""
    fixed, held = moment.fixed, moment.held
    dry = fixed.inert + state.fast_kg + state.slow_kg
    volume = np.add.reduce(dry) / fixed.dry_per_volume
    moisture = state.water_kg / (state.water_kg + dry)
    watered = decay.moisture_factor(np.maximum(moisture, WATER_WANTED)) / decay.moisture_factor(moisture)
    space = losses.air_space(dry, state.water_kg, volume * SHARES)
    opened = 1.0 / decay.air_space_factor(np.maximum(space, decay.LEAST_AIR_SPACE))
    left = FAST_PER_S * state.fast_kg + SLOW_PER_S * state.slow_kg
    renewed = (FAST_PER_S * FRESH_MIX["fast"] + SLOW_PER_S * FRESH_MIX["slow"]) * dry / left
    warming = decay.temperature_factor(celsius, fixed.cardinals)
    demand = decay.OXYGEN_PER_DRY_MATTER * held.burning * warming
    supply = oxygen_supply(fixed, held, now.carrier[-1])
    most = decay.HEAT_PER_DRY_MATTER * held.burning * warming
    fed = np.maximum(WELL_FED / fixed.piles.nitrogen, 1.0)
    return {
        **{
            name: np.add.reduce(most * more * decay.oxygen_factor(demand * more / supply))
            for name, more in {"now": np.ones_like(most), "water": watered, "nitrogen": fed}.items()
        },
        "air": np.add.reduce(most * opened),
        "all": np.add.reduce(most * opened * watered * fed),
        "fresh": np.add.reduce(most * opened * watered * fed * renewed),
    }
