"""One heap in its slot of a winter: how long it takes to warm, what may be drawn of it month by month, what it gives.

The draw follows the house's need by months and is held to what keeps the core at its limit for the chance asked. When
a core falls below the limit all the same, its drawing ends there: a cooled heap is let rest, not drained.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

import numpy as np

from rules.tables.thresholds import HOT_FROM
from service.heat.physics.arrays import Array
from service.heat.physics.kernel import simulate
from service.heat.physics.piles import Piles, State, Weather
from service.heat.physics.step import DAY_S
from service.planning.heap import PlannedMix, heaps, planned_estimate
from service.planning.hold import MEMBERS, STEP_H
from service.planning.ranges import of_members
from service.planning.stretch import START_DAYS
from service.status.names import Cover
from service.units.estimate import Estimate

LEADS: Final = (14, 21, 28, 42, 56)
"""Days between building and drawing that are tried."""
SURE_TO_BE_HOT: Final = 0.75
"""Share of such heaps that must be hot when drawing begins (our own)."""
SHARES: Final = (0.0, 0.01, 0.03, 0.06, 0.12, 0.25, 0.5, 1.0)
"""Shares of the house's need that are tried as the draw."""
CLOSER: Final = 6
LEAST_SHARE: Final = 0.005


@dataclass(frozen=True, slots=True)
class Site:
    """What all heaps of a plan share: air of every day from `begin` on [degC], each member's doubt, wind, mix, size."""

    begin: date
    daily_c: tuple[float, ...]
    doubt_k: Array
    wind_m_s: Array
    mix: PlannedMix
    laid_m3: float
    cover: Cover
    limit_c: float
    chance: float

    def air(self, first: date, days: int) -> tuple[float, ...]:
        """Mean air of some days; of the nearest one where the table does not reach. [degC]"""
        last = len(self.daily_c) - 1
        start = (first - self.begin).days
        return tuple(self.daily_c[min(max(start + number, 0), last)] for number in range(days))

    def weather(self, first: date, days: int) -> Weather:
        """Weather of each member over some days."""
        air = np.array(self.air(first, days))[:, None] + self.doubt_k
        return Weather.of(air, self.wind_m_s[None, :])

    def built(self, day: date) -> tuple[Piles, State]:
        """The members of a heap built on a day."""
        start = self.air(day, START_DAYS)
        estimate = planned_estimate(self.mix, self.laid_m3, sum(start) / len(start), self.cover)
        return heaps(estimate, np.ones(MEMBERS), MEMBERS)


@dataclass(frozen=True, slots=True)
class Slot:
    """Days a heap is drawn, first and last included, and the house's mean need on each. [W]"""

    first: date
    need_w: tuple[float, ...]

    @property
    def days(self) -> int:
        """How many."""
        return len(self.need_w)

    @property
    def last(self) -> date:
        """Last day."""
        return self.first + timedelta(days=self.days - 1)

    def months(self) -> list[tuple[date, int, float]]:
        """First day, number of days and mean need of each month in it."""
        told: list[tuple[date, int, float]] = []
        start = 0
        for number in range(1, self.days + 1):
            day = self.first + timedelta(days=number)
            if number == self.days or day.month != (day - timedelta(days=1)).month:
                part = self.need_w[start:number]
                told.append((self.first + timedelta(days=start), len(part), sum(part) / len(part)))
                start = number
        return told


@dataclass(frozen=True, slots=True)
class SlotPlan:
    """A heap in its slot. Draws in W by month, heat in J, days of drawing before the core is too cool.

    `core_c` is the core of each day from building to the end of the slot, (days + 1, members).
    """

    slot: Slot
    built_on: date
    lead_days: int
    hot_after: Estimate
    chance_hot: float
    share: float
    months: tuple[tuple[date, int, float], ...]
    heat_j: Estimate
    lasts: Estimate
    core_c: Array
    sure: bool

    def draw_on(self, day: date) -> float:
        """The draw set for a day; 0 outside the slot. [W]"""
        for first, days, draw in self.months:
            if 0 <= (day - first).days < days:
                return draw
        return 0.0


def slot_plan(site: Site, slot: Slot) -> SlotPlan:
    """Plan one heap for its slot."""
    lead, hot, share_hot, cores, piles, state = _lead(site, slot.first)
    share, sure = _share(site, slot, piles, state)
    found = _run(site, slot, piles, state, np.array([share]))
    return SlotPlan(
        slot=slot,
        built_on=slot.first - timedelta(days=lead),
        lead_days=lead,
        hot_after=of_members(hot),
        chance_hot=share_hot,
        share=share,
        months=tuple((first, days, share * need) for first, days, need in slot.months()),
        heat_j=of_members(found.heat_j),
        lasts=of_members(found.lasts),
        core_c=np.concatenate([cores, found.core_c[1:]]),
        sure=sure,
    )


def _share(site: Site, slot: Slot, piles: Piles, state: State) -> tuple[float, bool]:
    """Largest share of the need with which enough members hold their core to the end, and True.

    Where none do, the share that gives most until its core is too cool, and False.
    """
    coarse = np.array(SHARES)
    tried = _run(site, slot, piles, state, coarse)
    best = _largest_sure(site, tried)
    if best is None or coarse[best] < LEAST_SHARE:
        means = tried.heat_j.reshape(coarse.size, MEMBERS).mean(axis=1)
        return float(coarse[int(means.argmax())]), False
    fine = np.linspace(coarse[best], coarse[min(best + 1, coarse.size - 1)], CLOSER)
    closer = _largest_sure(site, _run(site, slot, piles, state, fine))
    return float(fine[closer or 0]), True


def _largest_sure(site: Site, tried: _Drawn) -> int | None:
    """Index of the largest share with enough members holding; None where there is none."""
    holds = (tried.least_c.reshape(-1, MEMBERS) >= site.limit_c).mean(axis=1) >= site.chance
    return int(np.flatnonzero(holds)[-1]) if holds.any() else None


def _lead(site: Site, first_draw: date) -> tuple[int, Array, float, Array, Piles, State]:
    """Shortest lead with enough heaps hot at the first draw; days to be hot, share hot, cores, and the state then."""
    for lead in LEADS:
        built = first_draw - timedelta(days=lead)
        piles, state = site.built(built)
        run = simulate(piles, state, site.weather(built, lead), float(lead), STEP_H)
        hot = run.core_c >= HOT_FROM.value
        share = float(hot[-1].mean())
        if share >= SURE_TO_BE_HOT or lead == LEADS[-1]:
            after = np.where(hot.any(axis=0), run.days[hot.argmax(axis=0)], float(lead))
            return lead, after, share, run.core_c, piles, run.state
    raise AssertionError("LEADS is not empty")


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A slot run with shares of the need: least core while drawn, heat until too cool, days until then; each column."""

    least_c: Array
    heat_j: Array
    lasts: Array
    core_c: Array


def _run(site: Site, slot: Slot, piles: Piles, state: State, shares: Array) -> _Drawn:
    """Draw month by month; columns are blocks of members, one block a share."""
    columns = np.tile(np.arange(MEMBERS), shares.size)
    factor = np.repeat(shares, MEMBERS)
    now_piles, now = piles.take(columns), state.take(columns)
    cores: list[Array] = []
    drawn: list[Array] = []
    before: Array = np.zeros(columns.size)
    for first, days, need in slot.months():
        weather = site.weather(first, days).repeated(shares.size)
        pulled = replace(now_piles, fixed_draw_w=factor * need, draw_from_day=np.zeros(columns.size))
        run = simulate(pulled, now, weather, float(days), STEP_H)
        cores.append(run.core_c if not cores else run.core_c[1:])
        drawn.append(before + (run.drawn_j if not drawn else run.drawn_j[1:]))
        before, now = drawn[-1][-1], run.state
    core, heat = np.concatenate(cores), np.concatenate(drawn)
    below = core < site.limit_c
    lasts = np.where(below.any(axis=0), below.argmax(axis=0), slot.days)
    return _Drawn(
        least_c=core.min(axis=0),
        heat_j=heat[lasts, np.arange(columns.size)],
        lasts=lasts.astype(np.float64),
        core_c=core,
    )


def slots_of(first: date, need_w: Sequence[float], count: int) -> list[Slot]:
    """So many slots one after another with about the same need in each; fewer where there are too few days."""
    total = np.concatenate([[0.0], np.cumsum(np.asarray(need_w, dtype=np.float64))])
    ends = [int(np.searchsorted(total, total[-1] * part / count)) for part in range(1, count)]
    edges = sorted({0, *ends, len(need_w)})
    return [Slot(first + timedelta(days=low), tuple(need_w[low:high])) for low, high in pairwise(edges) if high > low]


def heat_of(plans: Sequence[SlotPlan]) -> Estimate:
    """Heat of all heaps together; their lucks are taken as one, for they share mix, place and winter. [J]"""
    ends = [[getattr(plan.heat_j, end) for plan in plans] for end in ("value", "low", "high")]
    value, low, high = (float(sum(each)) for each in ends)
    return Estimate(value, low, high, "derived")


def scheduled_j(plan: SlotPlan) -> float:
    """Heat of the schedule if it is held to the end. [J]"""
    return sum(days * draw for _, days, draw in plan.months) * DAY_S
