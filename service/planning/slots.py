"""One heap in its slot of a winter: how long it takes to warm, what may be drawn of it month by month, what it gives.

The draw follows the house's need by months, and its mean is held to the season draw that the chance asked allows: the
same count as that of a planned and of a standing heap (`service.heat.physics.season_draw`). A member that gives less
holds for fewer days, and its drawing ends there: a cooled heap is let rest, not drained.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

import numpy as np

from rules.language.status_words import Cover
from rules.tables.thresholds import HOT_FROM
from service.heat.physics.arrays import Array
from service.heat.physics.balance import of_members
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import simulate
from service.heat.physics.piles import Piles, PileState
from service.planning.heap import PlannedMix, heaps, planned_estimate
from service.planning.season_trial import MEMBERS, STEP_H, DrawSeason, draws_from, given_at_chance
from service.planning.stretch import START_DAYS
from service.units.estimate import SECONDS_PER_DAY, Estimate
from service.units.figures import figure

LEADS: Final = figure((14, 21, 28, 42, 56), "1", "Days between building and drawing that are tried", "no source")
SURE_TO_BE_HOT: Final = figure(0.75, "1", "Share of such heaps that must be hot when drawing begins", "no source")
SHARES: Final = figure(
    (0.0, 0.01, 0.03, 0.06, 0.12, 0.25, 0.5, 1.0),
    "1",
    "Shares of the house's need that are tried as the draw where none is sure",
    "no source",
)
LEAST_SHARE: Final = figure(0.005, "1", "A smaller share of the house's need is none", "no source")
PARTS: Final = figure(
    12, "1", "Times of a slot, evenly from its first day to its last, for which its season draw is counted", "no source"
)


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

    def weather(self, first: date, days: int) -> DailyWeather:
        """Weather of each member over some days."""
        air = np.array(self.air(first, days))[:, None] + self.doubt_k
        return DailyWeather.of(air, self.wind_m_s[None, :])

    def built(self, day: date) -> tuple[Piles, PileState]:
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

    `core_c` is the core of each day from building to the end of the slot, (days + 1, members). `late`: no lead makes
    enough of them hot by the first draw.
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
    late: bool

    def draw_on(self, day: date) -> float:
        """The draw set for a day; 0 outside the slot. [W]"""
        for first, days, draw in self.months:
            if 0 <= (day - first).days < days:
                return draw
        return 0.0


def slot_plan(site: Site, slot: Slot) -> SlotPlan:
    """Plan one heap for its slot."""
    lead = _lead(site, slot)
    lasts = lead.given.lasts(lead.share)
    return SlotPlan(
        slot=slot,
        built_on=slot.first - timedelta(days=lead.days),
        lead_days=lead.days,
        hot_after=of_members(lead.hot_after),
        chance_hot=lead.share_hot,
        share=lead.share,
        months=tuple((first, days, lead.share * need) for first, days, need in slot.months()),
        heat_j=of_members(lead.heat_j),
        lasts=of_members(lasts),
        core_c=np.concatenate([lead.core_c, _spent(site, slot, lead.core_c[-1], lead.given, lead.share)]),
        sure=lead.sure,
        late=lead.late,
    )


@dataclass(frozen=True, slots=True)
class _Given:
    """What a heap gives in its slot: the season draw of each member for the first so many days, (k, n). [W]

    `days`, (k,), end with those of the slot; `need_w` is the mean need over each. [W]
    """

    days: Array
    draw_w: Array
    need_w: Array

    def lasts(self, share: float) -> Array:
        """Days until each member's drawing ends with this share of the need, (n,); straight between those counted."""
        short = self.draw_w - share * self.need_w[:, None]
        fails = (short < 0.0) & (short[-1] < 0.0)
        at = np.where(fails.any(axis=0), fails.argmax(axis=0), len(self.days) - 1)
        columns = np.arange(at.size)
        before, days = np.maximum(at - 1, 0), np.where(at > 0, self.days[at - 1], 0.0)
        rest, over = short[before, columns], -short[at, columns]
        part = np.where(at > 0, rest / np.maximum(rest + over, 1e-9), 0.0)
        result: Array = np.where(fails.any(axis=0), days + part * (self.days[at] - days), self.days[-1])
        return result

    def heat_j(self, share: float) -> Array:
        """Heat that each member gives until its drawing ends, (n,). [J]"""
        drawn = np.concatenate([[0.0], share * self.need_w * self.days * SECONDS_PER_DAY])
        result: Array = np.interp(self.lasts(share), np.concatenate([[0.0], self.days]), drawn)
        return result


def _given(site: Site, slot: Slot, piles: Piles, state: PileState) -> _Given:
    days = np.unique(np.linspace(1, slot.days, PARTS).round().astype(int))
    weather = site.weather(slot.first, slot.days)
    draws = [draws_from(piles, state, DrawSeason(0, int(count), weather, site.limit_c)) for count in days]
    need = np.cumsum(slot.need_w)[days - 1] / days
    return _Given(days.astype(np.float64), np.array(draws), need)


def _share(site: Site, given: _Given) -> tuple[float, bool]:
    """Largest share of the need at which enough members hold their core to the end, and True.

    Where none do, the share that gives most until its core is too cool, and False.
    """
    share = min(given_at_chance(given.draw_w[-1], site.chance) / max(float(given.need_w[-1]), 1e-9), 1.0)
    if share >= LEAST_SHARE:
        return share, True
    means = [float(given.heat_j(tried).mean()) for tried in SHARES]
    return SHARES[int(np.argmax(means))], False


def _spent(site: Site, slot: Slot, core_c: Array, given: _Given, share: float) -> Array:
    """The core of each day of drawing, (days, members), by the same count: what is above the limit is spent evenly.

    A member that could give more keeps a part of it; one that cools too soon rests at the limit from then on.
    """
    above = np.maximum(core_c - site.limit_c, 0.0)
    asked = share * given.need_w[-1]
    left = np.maximum(1.0 - asked / np.maximum(given.draw_w[-1], 1e-9), 0.0)
    day = np.arange(1, slot.days + 1)[:, None]
    gone = np.minimum(day / np.maximum(given.lasts(share), 1.0), 1.0)
    result: Array = core_c - above * (1.0 - left) * gone
    return result


@dataclass(frozen=True, slots=True)
class _Lead:
    """A heap built so many days before its slot: days to be hot, (n,), the share hot by then, its core of each day.

    Then what it gives, the share of the need that is drawn, whether that is sure, the heat of it, (n,) [J], and whether
    no lead makes enough of them hot.
    """

    days: int
    hot_after: Array
    share_hot: float
    core_c: Array
    given: _Given
    share: float
    sure: bool
    heat_j: Array
    late: bool = False


def _lead(site: Site, slot: Slot) -> _Lead:
    """The shortest lead with enough heaps hot at the first draw, where the draw then is sure; else what gives most.

    A heap that does not last is not built so early that it is sure to be hot: it would have the less left.
    """
    tried = []
    for days in LEADS:
        tried.append(_built_before(site, slot, days))
        if tried[-1].share_hot >= SURE_TO_BE_HOT:
            break
    late = tried[-1].share_hot < SURE_TO_BE_HOT
    if not tried[-1].sure:
        tried += [_built_before(site, slot, days) for days in LEADS[len(tried) :]]
        return replace(max(tried, key=lambda each: float(each.heat_j.mean())), late=late)
    return replace(tried[-1], late=late)


def _built_before(site: Site, slot: Slot, days: int) -> _Lead:
    built = slot.first - timedelta(days=days)
    piles, state = site.built(built)
    run = simulate(piles, state, site.weather(built, days), float(days), STEP_H)
    hot = run.core_c >= HOT_FROM.value
    after = np.where(hot.any(axis=0), run.days[hot.argmax(axis=0)], float(days))
    given = _given(site, slot, piles, run.state)
    share, sure = _share(site, given)
    return _Lead(days, after, float(hot[-1].mean()), run.core_c, given, share, sure, given.heat_j(share))


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
    return sum(days * draw for _, days, draw in plan.months) * SECONDS_PER_DAY
