"""The size of a heap for a wanted draw, and what a heap of that size would truly give; or the nearest that can be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, isclose, isfinite
from typing import Final

import numpy as np

from rules.tables.thresholds import HOT_FROM
from service.facts.record import Derived
from service.facts.size import SETTLED_SHARE
from service.heat.physics.arrays import Array
from service.heat.physics.balance import of_members
from service.heat.physics.flows import PreparedHeaps
from service.heat.physics.kernel import Run
from service.heat.physics.ledger import Verdict, burst_draw, judge_claim, taken_at_full
from service.heat.physics.members import members
from service.heat.physics.piles import Piles, PileState, dry_matter, heat_capacity, node_temperatures
from service.heat.physics.water_loop import DEFAULT_LENGTH_M, default_conductances
from service.mix.shapes.things import RecipePart
from service.planning.heap import planned_mix
from service.planning.order import DEFAULT_MIX, LEAST_DRAW_W, HeapOrder, loop_inlet_c, order_of, wants_loop
from service.planning.season_trial import (
    FEWER_SIZES,
    MEMBERS,
    SIZES,
    at_chance,
    coolest_limit,
    draws_from,
    draws_of_sizes,
    given_at_chance,
    least_that_holds,
    most_days,
    sizes_that_hold,
    undrawn,
)
from service.planning.shapes.sizing import SizingRequest
from service.units.estimate import HIGH_SHARE, LOW_SHARE, Estimate
from service.units.figures import figure

WARM_UP_WATCHED: Final = figure(60, "1", "Days over which the warming of an undrawn heap is followed", "no source")
LEAST_USE_C: Final = figure(20.0, "degC", "A core let down to less than this warms nothing", "no source")
MOST_HEAPS: Final = figure(20, "heaps", "More heaps side by side than this are no answer", "no source")
ABOUT: Final = figure(0.98, "1", "A draw this near to the one asked for is that one", "no source")
OTHER_MIXES: Final = figure(
    {
        "chips": (("wood_chips", 1.0),),
        DEFAULT_MIX: (("wood_chips", 3.0), ("horse_manure", 1.0)),
        "chips-manure-and-grass": (
            ("wood_chips", 5.0),
            ("horse_manure", 3.0),
            ("grass_clippings", 2.0),
        ),
    },
    "1",
    "Mixes that are compared with the one asked for, in parts by volume",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Nearest:
    """What can be had where the whole cannot: each is enough by itself; None where it does not help."""

    lead_days: float | None
    draw_w: float | None
    heaps: int | None
    days: float | None
    limit_c: float | None


@dataclass(frozen=True, slots=True)
class OtherMixFit:
    """What another mix would do: the draw of a heap of the same size [W], and the size that would suffice [m3].

    The size is None where none within the bounds does.
    """

    name: str
    season_w: Estimate
    needed_m3: Estimate | None


@dataclass(frozen=True, slots=True)
class HeapFit:
    """A planned heap with what it gives. Volumes as laid [m3], draws in W, heat in J.

    `needed_m3` is the size that suffices for the chance asked, with what one and nine members in ten would need, cut
    at the bounds; None where no heap within them does, or where the size was chosen. `hot_after_days` is cut at two
    months; `warming_c` is the core of each day after building while nothing is drawn [degC], and `hot_by` the share of
    heaps that have been hot by then (0 to 1).
    """

    wanted: HeapOrder
    laid_m3: float
    chosen: bool
    needed_m3: Estimate | None
    season_w: Estimate
    claimed_w: Estimate
    chance_of_asked: float
    chance_of_nothing: float
    burst_w: Estimate
    stored_j: Estimate
    chemical_j: Estimate
    hot_after_days: Estimate
    chance_hot: float
    warming_c: tuple[Estimate, ...]
    hot_by: tuple[float, ...]
    nearest: Nearest | None
    others: tuple[OtherMixFit, ...]

    @property
    def possible(self) -> bool:
        """Whether one heap within the bounds can give what was asked."""
        return self.nearest is None

    @property
    def laid_out_w(self) -> float:
        """The draw that loop and duct are laid out for: what was asked, or what can be had instead. [W]"""
        if self.nearest is None:
            return self.wanted.asked_w
        return max(self.nearest.draw_w or 0.0, self.season_w.value)

    @property
    def mass_kg(self) -> float:
        """Wet mass as built. [kg]"""
        return self.laid_m3 * self.wanted.mix.sums.mass

    def judged(self, mean_w: float, days: float) -> Verdict:
        """How a mean output of so many days compares with what such a heap, or one of the best mix, could give."""
        estimate, mix = self.wanted.estimate(self.wanted.mix), self.wanted.mix
        fast, slow = estimate.fast_share.value, estimate.slow_share.value
        return judge_claim(self.mass_kg, mix.moisture, mean_w, days, fast=fast, slow=slow)

    @property
    def settled_m3(self) -> float:
        """Volume after the first hot weeks. [m3]"""
        return self.laid_m3 * SETTLED_SHARE


def fit_heap(
    request: SizingRequest, derived: Derived, chosen_m3: float | None = None, *, compare: bool = True
) -> HeapFit:
    """Find the size, and tell what a heap of that size gives; of the largest one where none is large enough.

    Parameters
    ----------
    chosen_m3
        Size to build, as laid: it is not sought then. [m3]
    compare
        Whether other mixes are looked at too.
    """
    wanted = order_of(request, derived)
    season = wanted.season
    needed = None if chosen_m3 is not None else _found(wanted)
    laid = chosen_m3 if chosen_m3 is not None else wanted.bounds_m3[1] if needed is None else needed.value
    piles, state = wanted.heaps(wanted.mix, laid)
    warm = undrawn(piles, state, season, season.lead_days).state
    draws = draws_from(piles, warm, season)
    chance = float((draws >= ABOUT * wanted.asked_w).mean())
    holds = needed is not None or (chosen_m3 is not None and chance >= wanted.chance)
    warming = undrawn(piles, state, season, WARM_UP_WATCHED)
    hot, rating = _hot_after(warming), request.rating
    claimed_days = None if rating is None else rating.days
    return HeapFit(
        wanted=wanted,
        laid_m3=laid,
        chosen=chosen_m3 is not None,
        needed_m3=needed,
        season_w=_sustained(draws),
        claimed_w=_sustained(draws if claimed_days is None else draws_from(piles, warm, season, claimed_days)),
        chance_of_asked=chance,
        chance_of_nothing=float((draws <= 0.0).mean()),
        burst_w=_burst(request, wanted, piles, warm, draws),
        stored_j=_stored(piles, warm, wanted.limit_c),
        chemical_j=of_members(wanted.mix.heating_value_j_kg * dry_matter(piles, state).sum(axis=0)),
        hot_after_days=of_members(hot),
        chance_hot=float((hot <= season.lead_days).mean()),
        warming_c=tuple(of_members(core) for core in warming.core_c),
        hot_by=_hot_by(warming),
        nearest=None if holds else _nearest(wanted, piles, warm, draws, hot),
        others=_others(request, wanted, laid) if compare else (),
    )


def _found(wanted: HeapOrder, tried: tuple[int, int] = SIZES) -> Estimate | None:
    """The size that suffices for the chance asked; None where no heap within the bounds does. [m3]"""
    largest = wanted.bounds_m3[1]
    estimate, bounds = wanted.estimate(wanted.mix), wanted.bounds_m3
    sizes = sizes_that_hold(estimate, largest, bounds, wanted.season, wanted.asked_w, tried=tried)
    near = at_chance(sizes, wanted.chance)
    if not isfinite(near):
        return None
    season, asked = wanted.season, wanted.asked_w
    enough = least_that_holds(estimate, bounds, season, asked, near_m3=near, chance=wanted.chance)
    return _needed(sizes, enough, largest) if isfinite(enough) else None


def _sustained(draws: Array) -> Estimate:
    """What five, nine and one heaps in ten give or more, so that a size found for an even chance tells what was asked.

    Many members give nothing or much, so the middle between two neighbours can lie far from both.
    """
    middle, low, high = (given_at_chance(draws, chance) for chance in (0.5, HIGH_SHARE, LOW_SHARE))
    return Estimate(middle, low, high, "derived")


def _hot_by(warming: Run) -> tuple[float, ...]:
    ever = np.maximum.accumulate(warming.core_c >= HOT_FROM.value, axis=0)
    return tuple(float(share) for share in ever.mean(axis=1))


def _needed(sizes: Array, enough: float, largest: float) -> Estimate:
    low, high = (min(at_chance(sizes, share), largest) for share in (LOW_SHARE, HIGH_SHARE))
    return Estimate(enough, min(low, enough), max(high, enough), "derived")


def _burst(request: SizingRequest, wanted: HeapOrder, piles: Piles, state: PileState, draws: Array) -> Estimate:
    """What a loop of usual length, or a duct, could take for hours when drawing begins. [W]"""
    loop = wants_loop(request.equipment)
    inlet = loop_inlet_c(request)
    n = np.ones(MEMBERS)
    estimate = replace(wanted.estimate(wanted.mix), has_water_loop=loop, has_air_duct=not loop)
    fitted, _, _ = members(estimate, MEMBERS)
    tube = request.loop.tube if request.loop is not None and request.loop.tube is not None else "plastic"
    inner, outer = default_conductances(tube, DEFAULT_LENGTH_M)
    piles = replace(
        piles,
        loop_inner_w_k=inner * n if loop else 0.0 * n,
        loop_outer_w_k=outer * n if loop else 0.0 * n,
        water_inlet_c=inlet * n,
        air_conductance_w_k=fitted.air_conductance_w_k,
    )
    held = PreparedHeaps.of(piles, state, wanted.season.weather).held
    return of_members(burst_draw(held, wanted.limit_c, taken_at_full(piles, state, held), draws))


def _stored(piles: Piles, state: PileState, limit_c: float) -> Estimate:
    """Heat above the limit when drawing begins. [J]"""
    warm = np.maximum(node_temperatures(piles, state) - limit_c, 0.0)
    return of_members((heat_capacity(piles, state) * warm).sum(axis=0))


def _hot_after(warming: Run) -> Array:
    """Days until the core is first hot, each member; the days watched where it never is."""
    hot = warming.core_c >= HOT_FROM.value
    result: Array = np.where(hot.any(axis=0), warming.days[hot.argmax(axis=0)], warming.days[-1])
    return result


def _nearest(wanted: HeapOrder, piles: Piles, warm: PileState, draws: Array, hot: Array) -> Nearest:
    """What the largest heap can do instead: give less, or as much for fewer days, or let its core get cooler.

    Where too few members are hot when drawing begins, no size helps: then how long before it should be built.
    """
    season, asked = wanted.season, wanted.asked_w
    draw = given_at_chance(draws, wanted.chance)
    days = most_days(piles, warm, season, asked, wanted.chance)
    cooler = coolest_limit(piles, warm, season, asked, least_c=LEAST_USE_C, chance=wanted.chance)
    lead = at_chance(hot, wanted.chance)
    gives = draw >= LEAST_DRAW_W
    return Nearest(
        lead_days=lead if season.lead_days < lead < WARM_UP_WATCHED else None,
        draw_w=draw if gives else None,
        heaps=ceil(asked / draw) if gives and ceil(asked / draw) <= MOST_HEAPS else None,
        days=float(days) if 1 <= days < season.days else None,
        limit_c=cooler,
    )


def _is_asked(request: SizingRequest, name: str, shares: dict[str, float]) -> bool:
    """Whether a mix is the one that was asked about."""
    if request.mix is None:
        return name == DEFAULT_MIX
    given = {part.material: part.share for part in request.mix if part.share is not None and part.moisture is None}
    if len(given) < len(request.mix) or given.keys() != shares.keys():
        return False
    whole, all_shares = sum(given.values()), sum(shares.values())
    return all(isclose(share / whole, shares[material] / all_shares) for material, share in given.items())


def _others(request: SizingRequest, wanted: HeapOrder, laid_m3: float) -> tuple[OtherMixFit, ...]:
    """The same question for other mixes."""
    told: list[OtherMixFit] = []
    for name, shares in OTHER_MIXES.items():
        if _is_asked(request, name, dict(shares)):
            continue
        recipe = [RecipePart.model_construct(material=material, share=share) for material, share in shares]
        mix = planned_mix(recipe, feed=request.feed is not False)
        sizes = np.full((1, MEMBERS), laid_m3)
        draws = draws_of_sizes(wanted.estimate(mix), wanted.bounds_m3[1], sizes, wanted.season)[0]
        told.append(OtherMixFit(name, _sustained(draws), _found(replace(wanted, mix=mix), FEWER_SIZES)))
    return tuple(told)
