"""The heat account of one heap: the balance of now and the energy ledger, each number with its range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rules.language.conditions import Facts
from service.facts.record import Derived
from service.heat.ahead import log_weights
from service.heat.physics.arrays import Array
from service.heat.physics.members import DEFAULT_MEMBERS, members_of, usual_members, weather_of
from service.heat.physics.spread import points
from service.picture.member_account import Counted, heat_accounts
from service.units.estimate import HIGH_SHARE, LOW_SHARE, SECONDS_PER_DAY, Estimate, PileEstimate
from service.units.figures import figure

LEAST_DRAW_W = 1.0
"""A season draw below this counts as this: whatever is drawn of a heap that can spare nothing is many times too much
[W]."""
DRAWN: Final = frozenset({"air_sensible", "air_latent", "water", "asked", "water_carried_off_kg_day"})
"""What follows from the draws that were told."""
BLOCK: Final = figure(128, "heaps", "Counted at a time: more would leave the processor's cache", "derived")
LARGEST_RATIO: Final = figure(100.0, "1", "Ratios of draws are cut here; beyond it they say the same", "no source")


@dataclass(frozen=True, slots=True)
class Accounts:
    """Powers in W, energies in J, 80 % ranges; None where it cannot be told.

    `made` is counted from decay. `stored` follows from the core's trend and is positive while warming.
    `unexplained` = lost + drawn + stored - made: what the two ways of counting leave over. `chance_beyond` is the share
    of members in which more is drawn than can be kept up. `core_ahead_c` are the members' cores on each of `ahead.DAYS`
    from now, (4, n). [degC]
    """

    made: Estimate
    lost: Estimate
    ground_and_air: Estimate
    evaporation: Estimate
    air_sensible: Estimate | None
    air_latent: Estimate | None
    water: Estimate | None
    asked: Estimate | None
    stored: Estimate | None
    unexplained: Estimate | None
    total: Estimate
    usable_left: Estimate
    burst_draw: Estimate | None
    season_draw: Estimate
    degradable_left: Estimate
    capacity_j_k: Estimate
    stock_j: Estimate
    water_carried_off_kg_day: Estimate | None
    chance_beyond: float | None
    core_ahead_c: Array


@dataclass(frozen=True, slots=True)
class AccountRequest:
    """One heap whose heat is counted, the goal's days and limit [days, degC], and the facts told of it."""

    estimate: PileEstimate
    days: float
    keep_core_above_c: float
    facts: Facts


def accounts_for(heaps: Sequence[AccountRequest]) -> list[Accounts]:
    """The heat account of each heap on its ensemble, all counted together.

    Raises
    ------
    ValueError
        An estimate of any of the heaps cannot be: see `members_of`.
    """
    return [
        account for start in range(0, len(heaps), BLOCK) for account in _accounts_of_block(heaps[start : start + BLOCK])
    ]


def _accounts_of_block(heaps: Sequence[AccountRequest]) -> list[Accounts]:
    estimates = [heap.estimate for heap in heaps]
    one = len(estimates) == 1
    piles, state = usual_members(estimates[0])[:2] if one else members_of(estimates)
    days, limits = (
        np.repeat(each, DEFAULT_MEMBERS)
        for each in ([heap.days for heap in heaps], [heap.keep_core_above_c for heap in heaps])
    )
    found = heat_accounts(estimates, piles, state, weather_of(estimates), days=days, keep_core_above_c=limits)
    return [
        accounts_from(counted, heap.facts, log_weights(counted.core_ahead_c, heap.facts))
        for heap, counted in zip(heaps, found, strict=True)
    ]


def accounts_from(
    counted: Counted, facts: Facts, weights: Array | None = None, drawn_weights: Array | None = None
) -> Accounts:
    """The ranges of what was counted, over members of equal weight unless weights are given.

    `facts` tell what is fitted, what is drawn, and how the core moves. A draw that was told whole is as it was told: a
    log weighs only one of which something was taken as usual, unless what is drawn has weights of its own.
    """
    flows, ledger = counted.flows, counted.energy
    arrays: dict[str, Array | None] = {
        "made": flows["made_w"],
        "lost": flows["ground_and_air_w"] + flows["evaporation_w"],
        "ground_and_air": flows["ground_and_air_w"],
        "evaporation": flows["evaporation_w"],
        "total": ledger.total_j,
        "usable_left": ledger.usable_left_j,
        "burst_draw": ledger.burst_draw_w,
        "season_draw": ledger.season_draw_w,
        "degradable_left": counted.degradable_left,
        "capacity_j_k": flows["heat_capacity_j_k"],
        "stock_j": counted.stock_j,
    }
    arrays |= _drawn(flows, facts)
    arrays["stored"] = _stored(counted, facts)
    arrays["unexplained"] = _unexplained(arrays)
    asked = arrays["asked"]
    if drawn_weights is None and facts.get("draw_assumed") is True:
        drawn_weights = weights
    if weights is drawn_weights:
        ranges = _ranges(arrays, weights)
    else:
        drawn = _ranges({name: arrays[name] for name in sorted(DRAWN)}, drawn_weights)
        ranges = drawn | _ranges({name: values for name, values in arrays.items() if name not in DRAWN}, weights)
    return Accounts(
        **ranges,  # type: ignore[arg-type]  # what is None is what may be
        chance_beyond=None if asked is None else share_of_members(asked > beyond(ledger.season_draw_w), weights),
        core_ahead_c=counted.core_ahead_c,
    )


def beyond(season_draw_w: Array) -> Array:
    """What a draw must exceed to be more than can be kept up: next to nothing is no draw."""
    result: Array = np.maximum(season_draw_w, LEAST_DRAW_W)
    return result


def share_of_members(holds: NDArray[np.bool_], weights: Array | None) -> float:
    """Share of the members, or of their weight (sum 1), of which something holds."""
    return float(holds.mean()) if weights is None else float(weights[holds].sum() / weights.sum())


def _drawn(flows: Mapping[str, Array], facts: Facts) -> dict[str, Array | None]:
    """Heat drawn by each way, None where it was not told; `asked` is the sum of those told, None where none was."""
    nothing = 0.0 * flows["made_w"]

    def by(fitted: str, drawing: str, *names: str) -> list[Array | None]:
        if facts.get(fitted) is False or facts.get(drawing) is False:
            return [nothing] * len(names)
        return [flows[name] if facts.get(drawing) is True else None for name in names]

    sensible, latent, off = by("has_air_duct", "air_drawing", "air_sensible_w", "air_latent_w", "water_off_kg_day")
    (water,) = by("has_water_loop", "water_drawing", "water_w")
    told = [way for way in (sensible, latent, water) if way is not None]
    return {
        "air_sensible": sensible,
        "air_latent": latent,
        "water": water,
        "asked": np.add.reduce(told) if draws_told(facts) else None,
        "water_carried_off_kg_day": off,
    }


def draws_told(facts: Facts) -> bool:
    """Whether anything was told of what is drawn: a draw, or that nothing is fitted."""
    told = "air_drawing" in facts or "water_drawing" in facts
    return told or (facts.get("has_air_duct") is False and facts.get("has_water_loop") is False)


def _stored(counted: Counted, facts: Facts) -> Array | None:
    """Heat stored now [W] from the core's trend, the rest of the heap moving in proportion to its warmth.

    None where there is no trend, or where it is that of a draw that has stopped since.
    """
    if "core_trend_k_per_day" not in facts or facts.get("drawn_until_stopped") is True:
        return None
    excess = counted.celsius - counted.outdoor_c
    share = np.minimum(np.maximum(excess / np.where(np.abs(excess[0]) > 1.0, excess[0], 1.0), 0.0), 1.0)
    error = float(facts["core_trend_error_k_per_day"])
    slope = float(facts["core_trend_k_per_day"]) + error * points("core", excess.shape[-1]).normals
    result: Array = (counted.capacity * share).sum(axis=0) * slope / SECONDS_PER_DAY
    return result


def _unexplained(arrays: Mapping[str, Array | None]) -> Array | None:
    made, lost, asked, stored = (arrays[name] for name in ("made", "lost", "asked", "stored"))
    if made is None or lost is None or asked is None or stored is None:
        return None
    return lost + asked + stored - made


def _ranges(arrays: Mapping[str, Array | None], weights: Array | None) -> dict[str, Estimate | None]:
    """10, 50 and 90 % points of each array, all sorted at once."""
    if all(values is None for values in arrays.values()):
        return dict.fromkeys(arrays)
    known = [name for name, values in arrays.items() if values is not None]
    values = np.array([arrays[name] for name in known])
    picked = _picked(values) if weights is None else picked_by_weight(values, weights)
    found: dict[str, Estimate | None] = dict.fromkeys(arrays)
    for name, (middle, low, high) in zip(known, picked, strict=True):
        found[name] = Estimate(middle, low, high, "derived")
    return found


def _picked(values: Array) -> list[list[float]]:
    """Median, 10 and 90 % points of each row."""
    count = values.shape[1]
    places = [round(share * count - 0.5) for share in (0.5, LOW_SHARE, HIGH_SHARE)]
    result: list[list[float]] = np.sort(values, axis=1)[:, places].tolist()
    return result


def picked_by_weight(values: Array, weights: Array) -> list[list[float]]:
    """The same over members with weights: the first value up to which the weights reach the share."""
    order = np.argsort(values, axis=1)
    reached = np.cumsum(weights[order], axis=1) / weights.sum()
    places = np.stack([(reached < share - 1e-9).sum(axis=1) for share in (0.5, LOW_SHARE, HIGH_SHARE)], axis=1)
    ordered = np.take_along_axis(values, order, axis=1)
    result: list[list[float]] = np.take_along_axis(ordered, places, axis=1).tolist()
    return result


def put_facts(accounts: Accounts, derived: Derived) -> None:
    """Put the facts that follow from an account."""
    asked, season, made = accounts.asked, accounts.season_draw, accounts.made
    derived.put(
        made_w=made.value,
        lost_w=accounts.lost.value,
        season_draw_w=season.value,
        burst_draw_w=accounts.burst_draw.value if accounts.burst_draw else None,
        draw_w=asked.value if asked else None,
        degradable_left_percent=100 * accounts.degradable_left.value,
        water_carried_off_kg_day=accounts.water_carried_off_kg_day.value if accounts.water_carried_off_kg_day else None,
        beyond_chance_percent=None if accounts.chance_beyond is None else 100 * accounts.chance_beyond,
    )
    _put_unexplained(accounts.unexplained, made.value, derived)
    if asked is None:
        return
    derived.put(draw_over_season=min(asked.value / max(season.value, LEAST_DRAW_W), LARGEST_RATIO))
    if made.value > 0:
        derived.put(draw_over_made=min(asked.value / made.value, LARGEST_RATIO))
    if asked.value > 0:
        derived.put(stored_heat_days=accounts.stock_j.value / (asked.value * SECONDS_PER_DAY))


def _put_unexplained(unexplained: Estimate | None, made_w: float, derived: Derived) -> None:
    """Put what the two ways of counting leave open, where even the nearer end of its range is beyond what rot makes."""
    if unexplained is None or made_w <= 0.0:
        return
    vanished, beyond = max(-unexplained.high, 0.0), max(unexplained.low, 0.0)
    derived.put(
        heat_vanished_w=vanished,
        heat_vanished_over_made=min(vanished / made_w, LARGEST_RATIO),
        heat_beyond_w=beyond,
        heat_beyond_over_made=min(beyond / made_w, LARGEST_RATIO),
    )
