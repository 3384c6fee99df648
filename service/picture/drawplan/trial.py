"""The members run under each candidate, side by side: useful heat, and whether the heap lives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.physics.arrays import Array, flow_or_usual
from service.heat.physics.kernel import follow
from service.heat.physics.ledger import FAN_KG_S, PUMP_KG_S
from service.heat.physics.piles import Piles, PileState, heat_capacity, joined, node_temperatures
from service.heat.physics.step import Prepared
from service.picture.drawplan.ahead import LAST_WEEKS_DAYS, NIGHT_HOURS, SINGLE_DAYS, TimeAhead
from service.picture.drawplan.candidates import Candidate
from service.units.figures import figure

DEAD_BELOW_C: Final = figure(
    25.0, "degC", "A core below this counts as a dead heap: it seldom comes back in winter", "no source"
)
NIGHT_SHARE: Final = NIGHT_HOURS / 24.0
HALVINGS: Final = figure(
    1,
    "1",
    "A step of a trial is halved once at most: candidates are compared in pairs, and their heat errs by under 1 %",
    "no source",
)
SOON_DAYS: Final = figure(
    14.0,
    "days",
    "Heat of the next days counts most where tonight comes first: it fades by a factor of e within so long",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of each candidate, member by member.

    `useful_j` and `weighed_j` are the useful heat, plain and by preference, (c, n); `dies` whether the heap is dead
    before it may be empty, (c, n); `by_step_j` the useful heat of each step, (k, c, n); `running` the share of the
    time it runs to the next reading, (c, n); `nights_short` nights with heat missing, (c, n).
    """

    candidates: Sequence[Candidate]
    useful_j: Array
    weighed_j: Array
    dies: Array
    by_step_j: Array
    running: Array
    nights_short: Array
    core_c: Array


class _Thermostats:
    """Pump or fan of each column by its own two temperatures; within a step it holds the core between them."""

    def __init__(self, candidates: Sequence[Candidate], n: int, ahead: TimeAhead, *, housed: bool) -> None:
        def each(values: Sequence[float]) -> Array:
            return np.repeat(np.array(values, dtype=np.float64), n)

        def pair(start: Sequence[float], stop: Sequence[float]) -> tuple[Array, Array]:
            return each(start), each(stop)

        self.usual = pair([c.start_c for c in candidates], [c.stop_c for c in candidates])
        self.last = pair([c.last_start_c for c in candidates], [c.last_stop_c for c in candidates])
        self.late = ahead.late
        self.housed, self.n, self.blocks = housed, n, len(candidates)
        self.wanted_j = ahead.night_j, ahead.day_j
        self.by_day_from = each([-np.inf if c.hours == "all" else c.by_day_from_c for c in candidates])
        self.fixed = each([{"as_now": 1.0, "off": 0.0, "core": np.nan}[c.by] for c in candidates])
        self.by_core = np.isnan(self.fixed)
        self.on = np.zeros(self.fixed.size, dtype=bool)
        self.shares: list[Array] = []
        self.at_night: list[Array] = []

    def __call__(self, number: int, fixed: Prepared, state: PileState, seconds: float) -> Array:
        celsius = node_temperatures(fixed.piles, state)
        core = celsius[0]
        start, stop = self.last if self.late[number] else self.usual
        self.on = (core >= start) | (self.on & (core > stop))
        pull = (fixed.loop * (celsius - fixed.piles.water_inlet_c)).sum(axis=0)
        pull = pull + (fixed.duct * (celsius - fixed.piles.air_inlet_c)).sum(axis=0)
        drop = np.maximum(pull, 0.0) * seconds / heat_capacity(fixed.piles, state).sum(axis=0)
        # Held implicitly, so that a small heap that would be chilled through within a step is not.
        share = np.maximum(core - stop, 0.0) / np.maximum(start - stop + drop, 1e-6)
        night, day = self._parts(number, core >= self.by_day_from, np.maximum(pull, 1.0) * seconds)
        most = night + day
        self.at_night.append(night / np.maximum(most, 1e-9))
        running = np.where(self.on, np.minimum(np.maximum(share, 0.0), most), 0.0)
        self.shares.append(np.where(self.by_core, running, self.fixed))
        return self.shares[-1]

    def _parts(self, number: int, by_day: NDArray[np.bool_], in_full_j: Array) -> tuple[Array, Array]:
        """Share of the step for which it may run by night, and by day; while the house wants heat, if that stops it."""
        night, day = np.full(by_day.size, NIGHT_SHARE), np.where(by_day, 1.0 - NIGHT_SHARE, 0.0)
        if not self.housed:
            return night, day
        wants = (np.tile(np.broadcast_to(j[number], (self.n,)), self.blocks) / in_full_j for j in self.wanted_j)
        by_night, through_day = (np.minimum(part, want) for part, want in zip((night, day), wants, strict=True))
        return by_night, through_day


def tried(
    piles: Piles,
    state: PileState,
    ahead: TimeAhead,
    candidates: Sequence[Candidate],
    *,
    way: str,
    tonight: bool,
    housed: bool = False,
) -> Trial:
    """Run the members under all candidates; `housed` where a thermostat in the house stops the draw besides."""
    n = piles.rate.shape[-1]
    running = _at_full(piles, way)
    blocks = joined([piles if c.by == "as_now" else running for c in candidates])
    thermostats = _Thermostats(candidates, n, ahead, housed=housed)
    weather = ahead.weather.repeated(len(candidates))
    run = follow(blocks, joined([state] * len(candidates)), weather, ahead.hours, thermostats, halvings=HALVINGS)
    shape = (len(ahead.hours), len(candidates), n)
    drawn = np.maximum(np.diff(run.drawn_j, axis=0).reshape(shape), 0.0)
    useful, night_share = _useful(drawn, ahead, np.array(thermostats.at_night).reshape(shape))
    fade = np.exp(-(ahead.days - ahead.hours / 48.0) / SOON_DAYS)[:, None, None] if tonight else 1.0
    core = run.core_c.reshape(len(ahead.hours) + 1, len(candidates), n)
    shares = np.array(thermostats.shares).reshape(shape)
    steps = _to_next_reading(ahead)
    nights = (ahead.hours / 24.0)[:, None, None]
    wanted = ahead.night_j[:, None, :] > 0.0
    return Trial(
        candidates,
        useful.sum(axis=0),
        (useful * fade).sum(axis=0),
        _dead(core, ahead),
        useful,
        shares[:steps].mean(axis=0),
        (np.where(wanted, 1.0 - np.minimum(night_share, 1.0), 0.0) * nights).sum(axis=0),
        core,
    )


def _at_full(piles: Piles, way: str) -> Piles:
    """The same heaps with pump or fan running all the time, as fast as it was told, else as is usual."""
    ones = np.ones(piles.rate.shape[-1])
    if way == "air":
        return replace(piles, air_share=ones, air_flow_kg_s=flow_or_usual(piles.air_flow_kg_s, FAN_KG_S))
    flow = flow_or_usual(piles.water_flow_kg_s, PUMP_KG_S)
    return replace(piles, water_hour_share=ones, water_day_share=ones, water_flow_kg_s=flow)


def _useful(drawn: Array, ahead: TimeAhead, at_night: Array) -> tuple[Array, Array]:
    """Heat that the house can use, (k, c, n) [J], and the share of its nights' want that is met."""
    night_j, day_j = ahead.night_j[:, None, :], ahead.day_j[:, None, :]
    by_night = np.minimum(drawn * at_night, night_j)
    by_day = np.minimum(drawn * (1.0 - at_night), day_j)
    met = by_night / np.maximum(np.where(np.isfinite(night_j), night_j, np.maximum(by_night, 1.0) * 2.0), 1.0)
    return by_night + by_day, met


def _to_next_reading(ahead: TimeAhead) -> int:
    """Steps to the next reading, some four days ahead."""
    return min(int(np.searchsorted(ahead.days, SINGLE_DAYS)) + 1, len(ahead.days))


def _dead(core: Array, ahead: TimeAhead) -> Array:
    """1 where a heap, (c, n), is dead before its last weeks, else 0: in these it may be emptied.

    Without a date the last four weeks do not count, nor more than half of the time.
    """
    if np.isfinite(ahead.last_weeks_in):
        place = int((~ahead.late).sum())
        return np.where((core[place] < DEAD_BELOW_C) & (place > 0), 1.0, 0.0)
    last = float(ahead.days[-1])
    day = max(last - LAST_WEEKS_DAYS, 0.5 * last)
    return np.where(core[int(np.searchsorted(ahead.days, day)) + 1] < DEAD_BELOW_C, 1.0, 0.0)
