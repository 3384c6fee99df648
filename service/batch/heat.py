"""The heat accounts of many heaps, counted together: the same numbers as `accounts.account_for` gives each alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from rules.language.conditions import Facts
from service.batch.ensembles import MEMBERS, ensembles
from service.heat.ahead import log_weights
from service.heat.physics.ahead import strides
from service.heat.physics.arrays import Array
from service.heat.physics.balance import balance
from service.heat.physics.flows import Moment
from service.heat.physics.ledger import burst_draw, carriage_known, season_draw, taken_at_full_of_all, usable_left
from service.heat.physics.members import degradable_left
from service.heat.physics.piles import DailyWeather, Piles, PileState
from service.heat.physics.spread import points
from service.picture.account import DRAWN, SECONDS_PER_DAY, Accounts, beyond, draws_told, picked_by_weight, share_of
from service.picture.record import Seen
from service.units.estimate import Estimate

NAMES: Final = tuple(field.name for field in fields(Accounts) if field.name not in ("chance_beyond", "core_ahead_c"))
BLOCK: Final = 128
"""Heaps counted at a time: more would leave the processor's cache."""

_PLACES: Final = [round(share * MEMBERS - 0.5) for share in (0.5, 0.1, 0.9)]


def accounts_for(heaps: Sequence[Seen]) -> list[Accounts]:
    """The heat account of each heap.

    Raises
    ------
    ValueError
        An estimate of any of the heaps cannot be: see `ensembles`.
    """
    return [
        account for start in range(0, len(heaps), BLOCK) for account in _accounts_of_block(heaps[start : start + BLOCK])
    ]


def _accounts_of_block(heaps: Sequence[Seen]) -> list[Accounts]:
    facts = [heap.derived.facts for heap in heaps]
    arrays = _counted(heaps)
    unknown = _drawn(arrays, facts)
    unknown["stored"] = _stored(arrays, facts)
    arrays["unexplained"] = arrays["lost"] + arrays["asked"] + arrays["stored"] - arrays["made"]
    unknown["unexplained"] = unknown["asked"] | unknown["stored"]
    unknown["burst_draw"] = np.array([not _draws(heap) for heap in heaps])
    values = np.swapaxes(np.array([arrays[name] for name in NAMES]), 0, 1)
    plain = np.sort(values, axis=2)[:, :, _PLACES].tolist()
    accounts = []
    for place, known in enumerate(facts):
        weights = log_weights(arrays["core_ahead_c"][:, place], known)
        rows = plain[place]
        if weights is not None:
            by_log = picked_by_weight(values[place], weights)
            rows = [own if name in DRAWN else weighed for name, own, weighed in zip(NAMES, rows, by_log, strict=True)]
        accounts.append(_account(rows, unknown, place, _of_members(arrays, unknown, place, weights)))
    return accounts


def _account(
    rows: list[list[float]], unknown: dict[str, NDArray[np.bool_]], place: int, chances: dict[str, Any]
) -> Accounts:
    """One heap's account from the median and range of everything; `place` is the heap's in the block."""
    values: dict[str, Any] = {}
    for name, (middle, low, high) in zip(NAMES, rows, strict=True):
        gone = name in unknown and unknown[name][place]
        values[name] = None if gone else Estimate(middle, low, high, "derived")
    return Accounts(**values, **chances)


def _of_members(
    arrays: dict[str, Array], unknown: dict[str, NDArray[np.bool_]], place: int, weights: Array | None
) -> dict[str, Any]:
    """As in `accounts.accounts_from`."""
    too_much = arrays["asked"][place] > beyond(arrays["season_draw"][place])
    return {
        "chance_beyond": None if unknown["asked"][place] else share_of(too_much, weights),
        "core_ahead_c": arrays["core_ahead_c"][:, place],
    }


def _draws(heap: Seen) -> bool:
    """Whether loop or duct is fitted, as far as is known."""
    e = heap.estimate
    return e.air is not None or e.water is not None or bool(e.has_air_duct) or bool(e.has_water_loop)


def _counted(heaps: Sequence[Seen]) -> dict[str, Array]:
    """Everything that can be counted without asking what is known of the draws, each (heaps, members)."""
    piles, state, weather = ensembles([heap.estimate for heap in heaps])
    days = np.repeat([heap.goal.days for heap in heaps], MEMBERS)
    limit = np.repeat([heap.goal.keep_core_above_c for heap in heaps], MEMBERS)
    moment = Moment.of(piles, state, weather)
    flows, held = balance(moment), moment.held
    bounded = np.repeat([_draws(heap) and carriage_known(heap.estimate) for heap in heaps], MEMBERS)
    taken = taken_at_full_of_all(piles, state, held)
    season = season_draw(piles, state, weather, days, limit, moment=moment, heaps=len(heaps))
    season = np.where(bounded, np.minimum(season, taken), season)
    ahead = strides(moment, state, days)
    core = ahead.core_c
    counted = {
        "made": flows["made_w"],
        "lost": flows["ground_and_air_w"] + flows["evaporation_w"],
        "ground_and_air": flows["ground_and_air_w"],
        "evaporation": flows["evaporation_w"],
        "air_sensible": flows["air_sensible_w"],
        "air_latent": flows["air_latent_w"],
        "water": flows["water_w"],
        "water_carried_off_kg_day": flows["water_off_kg_day"],
        "burst_draw": burst_draw(held, limit, taken, season),
        "season_draw": season,
        "degradable_left": degradable_left(piles, state),
        "capacity_j_k": flows["heat_capacity_j_k"],
        "stock_j": np.add.reduce(held.capacity * np.maximum(held.celsius - limit, 0.0)),
        "warmth_now": _moving_with_the_core(held.celsius, held.capacity, weather),
        "usable_left": usable_left(ahead.freed_j, season, days, held.celsius[0] >= limit, len(heaps)),
        "total": _total(heaps, piles, state),
    }
    by_heap = {name: np.broadcast_to(array, days.shape).reshape(-1, MEMBERS) for name, array in counted.items()}
    return by_heap | {"core_ahead_c": core.reshape(len(core), -1, MEMBERS)}


def _total(heaps: Sequence[Seen], piles: Piles, state: PileState) -> Array:
    """As in `ledger.energy`. [J]"""
    heating = np.repeat([heap.estimate.heating_value_j_kg for heap in heaps], MEMBERS)
    result: Array = heating * (piles.inert_kg + np.add.reduce(state.fast_kg + state.slow_kg))
    return result


def _moving_with_the_core(celsius: Array, capacity: Array, weather: DailyWeather) -> Array:
    """Heat capacity that moves along with the core, the rest of the heap in proportion to its warmth. [J/K]"""
    excess = celsius - weather.air_c[0]
    share = np.minimum(np.maximum(excess / np.where(np.abs(excess[0]) > 1.0, excess[0], 1.0), 0.0), 1.0)
    result: Array = (capacity * share).sum(axis=0)
    return result


def _drawn(arrays: dict[str, Array], facts: Sequence[Facts]) -> dict[str, NDArray[np.bool_]]:
    """Set what is known not to be drawn to nothing, add what is `asked`, and tell for which heaps each is unknown."""
    unknown = {}
    for fitted, drawing, names in (
        ("has_air_duct", "air_drawing", ("air_sensible", "air_latent", "water_carried_off_kg_day")),
        ("has_water_loop", "water_drawing", ("water",)),
    ):
        off = np.array([known.get(fitted) is False or known.get(drawing) is False for known in facts])
        on = np.array([known.get(drawing) is True for known in facts])
        for name in names:
            arrays[name] = np.where(off[:, None], 0.0, arrays[name])
            unknown[name] = ~(off | on)
    told = {
        name: np.where(unknown[name][:, None], 0.0, arrays[name]) for name in ("air_sensible", "air_latent", "water")
    }
    arrays["asked"] = told["air_sensible"] + told["air_latent"] + told["water"]
    unknown["asked"] = np.array([not draws_told(known) for known in facts])
    return unknown


def _stored(arrays: dict[str, Array], facts: Sequence[Facts]) -> NDArray[np.bool_]:
    """Add the heat stored now, from the core's trend, and tell for which heaps it is unknown."""
    trend = np.array([float(known.get("core_trend_k_per_day", 0.0)) for known in facts])[:, None]
    error = np.array([float(known.get("core_trend_error_k_per_day", 0.0)) for known in facts])[:, None]
    slope = trend + error * points("core", MEMBERS).normals
    arrays["stored"] = arrays["warmth_now"] * slope / SECONDS_PER_DAY
    return np.array(["core_trend_k_per_day" not in known for known in facts])
