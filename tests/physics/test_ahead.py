"""The rough look ahead, held to runs of half a day of the same heaps."""

from __future__ import annotations

import numpy as np
import pytest

from service.heat.ahead import days_until_below, falls_of, log_weights
from service.heat.physics.ahead import DAYS, strides
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import PreparedHeaps
from service.heat.physics.kernel import simulate
from tests.each import each
from tests.physics.samples import ordinary

NEAR = (5.0, 15.0)
"""Falls in three days that decide between a collapse and a hold [K]."""


def test_falls_that_decide_are_met_within_a_kelvin() -> None:
    piles, state = ordinary(100, seed=5)
    weather = DailyWeather.of(-2.0, 2.5)
    run = simulate(piles, state, weather, DAYS[-1], 12.0)
    rough = strides(PreparedHeaps.of(piles, state, weather), state, DAYS[-1]).core_c
    fine = run.core_c[[round(2 * day) for day in DAYS]]
    falls, fine_falls = rough[0] - rough[2], fine[0] - fine[2]
    near = (fine_falls > NEAR[0]) & (fine_falls < NEAR[1])
    assert near.sum() > 10
    error = np.abs(falls - fine_falls)[near]
    assert np.median(error) < 0.5
    assert np.quantile(error, 0.9) < 2.0
    agreed = ((rough[0] - rough[3] >= 8.0) == (fine[0] - fine[3] >= 8.0)).mean()
    assert agreed > 0.95


@each([5.0, 30.0, 90.0])
def test_the_heat_freed_is_that_of_a_run(days: float) -> None:
    piles, state = ordinary(100, seed=6)
    weather = DailyWeather.of(-2.0, 2.5)
    freed = strides(PreparedHeaps.of(piles, state, weather), state, days).freed_j
    made = simulate(piles, state, weather, days, 24.0).ledger["made"]
    assert freed.sum() == pytest.approx(made.sum(), rel=0.3)  # strides overshoot the best warmth of the liveliest heaps
    off = np.log(freed / made)[made > 1e7]
    assert np.median(off) == pytest.approx(0.0, abs=0.06)
    assert np.quantile(np.abs(off), 0.8) < 0.3


def test_each_heap_is_followed_to_its_own_date() -> None:
    piles, state = ordinary(3, seed=7)
    moment = PreparedHeaps.of(piles, state, DailyWeather.of(-2.0, 2.5))
    dates = np.resize([3.0, 20.0, 400.0], piles.rate.size)
    together = strides(moment, state, dates).freed_j
    assert together == pytest.approx([strides(moment, state, day).freed_j[at] for at, day in enumerate(dates)])


def test_the_day_below_the_limit_lies_between_the_strides() -> None:
    core = np.array([[50.0, 38.0, 60.0], [46.0, 36.0, 59.0], [38.0, 30.0, 58.0], [30.0, 25.0, 57.0]])
    falls = falls_of(core, 40.0)
    assert falls.in_3_days_k.tolist() == [12.0, 8.0, 2.0]
    assert falls.in_7_days_k.tolist() == [20.0, 13.0, 3.0]
    # 46 to 38 between day 1 and day 3: 40 is passed after three quarters of it
    assert falls.until_cool_days.tolist() == [2.5, 0.0, np.inf]


def test_members_that_move_as_the_log_weigh_most() -> None:
    core = np.array([[50.0, 50.0, 50.0], [50.0, 48.0, 44.0]])
    weights = log_weights(core, {"core_trend_k_per_day": -2.0, "core_trend_error_k_per_day": 0.3})
    assert weights is not None
    assert weights.argmax() == 1
    assert weights.sum() == np.float64(1.0) or abs(weights.sum() - 1.0) < 1e-12
    assert log_weights(core, {}) is None


def test_a_slope_that_hardly_any_member_has_leaves_a_quarter_of_them() -> None:
    core = np.vstack([np.full(64, 50.0), np.linspace(20.0, 44.0, 64)])
    weights = log_weights(core, {"core_trend_k_per_day": -2.0, "core_trend_error_k_per_day": 0.1})
    assert weights is not None
    assert weights.argmax() == 63
    assert abs(weights.sum() - 1.0) < 1e-12
    assert 1.0 / np.square(weights).sum() >= 16.0


def test_a_reading_at_the_limit_is_not_below_it_but_its_fall_is() -> None:
    days, told = np.array([0.0, 1.0, 2.0]), np.array([[39.0, 40.0, 41.0], [38.0, 39.0, 40.5], [37.0, 38.0, 40.2]])
    assert days_until_below(days, told, 40.0).tolist() == [1.0, 1.0, np.inf]
    assert days_until_below(days, told, 42.0).tolist() == [0.0, 0.0, 0.0]
