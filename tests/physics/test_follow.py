"""Runs in steps of any length under a draw that is governed as it goes."""

from __future__ import annotations

import numpy as np
import pytest

from service.facts.house import House
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import follow, simulate
from service.heat.physics.piles import Piles, PileState
from service.picture.drawplan.ahead import ahead_of, steps_to
from service.picture.drawplan.candidates import OFF, Candidate, candidates_of
from service.picture.drawplan.trial import tried
from service.units.estimate import Estimate

N = 6


def _heaps() -> tuple[Piles, PileState]:
    volume = np.linspace(6.0, 30.0, N)
    dry = 170.0 * volume
    piles = Piles.of(
        N,
        "clear_film",
        volume_m3=volume,
        dry_kg=dry,
        inert_kg=0.5 * dry,
        degradable_kg=0.5 * dry,
        water_flow_kg_s=0.05,
        water_hour_share=1.0,
        water_day_share=1.0,
        loop_inner_w_k=60.0,
        loop_outer_w_k=375.0,
    )
    return piles, PileState.of(piles, 58.0, 0.1 * dry, 0.4 * dry, 1.3 * dry)


def test_equal_steps_are_a_simulation() -> None:
    piles, state = _heaps()
    weather = DailyWeather.of(np.linspace(8.0, -4.0, 20))
    once = simulate(piles, state, weather, 20.0, 24.0)
    again = follow(piles, state, weather, np.full(20, 24.0))
    assert np.array_equal(once.core_c, again.core_c)
    assert np.array_equal(once.drawn_j, again.drawn_j)


def test_long_steps_lie_near_short_ones() -> None:
    piles, state = _heaps()
    idle = Piles.of(N, "clear_film", volume_m3=piles.volume_m3, dry_kg=piles.dry_kg, inert_kg=piles.inert_kg)
    weather = DailyWeather.of(np.full(60, 2.0))
    edges = steps_to(60.0)
    fine = simulate(idle, state, weather, 60.0, 12.0)
    rough = follow(idle, state, weather.rows(np.arange(60)).averaged(edges[:-1]), np.diff(edges) * 24.0)
    assert np.abs(fine.core_c[-1] - rough.core_c[-1]).max() < 2.5


def test_no_draw_brings_nothing_and_a_thermostat_keeps_its_lower_core() -> None:
    piles, state = _heaps()
    ahead = ahead_of(DailyWeather.of(np.full(40, 0.0)), 40.0, None)
    plans = [OFF, Candidate("core", 55.0, 42.0, "all"), Candidate("core", 55.0, 42.0, "night")]
    trial = tried(piles, state, ahead, plans, way="water", tonight=False)
    assert np.all(trial.useful_j[0] == 0.0)
    assert np.all(trial.useful_j[1] > 0.0)
    drawing = trial.by_step_j[:, 1] > 1.0
    assert trial.core_c[:-1, 1][drawing].min() > 42.0


def test_a_thermostat_in_the_house_draws_no_more_than_it_wants() -> None:
    piles, state = _heaps()
    house = House(Estimate.exact(20.0), Estimate.exact(8.0))
    ahead = ahead_of(DailyWeather.of(np.full(30, 4.0)), 30.0, house)
    way = [OFF, Candidate("core", 40.0, 33.0, "all")]
    free, housed = (tried(piles, state, ahead, way, way="water", tonight=False, housed=h) for h in (False, True))
    wanted_j = float((ahead.night_j + ahead.day_j).sum())
    assert housed.useful_j[1] == pytest.approx(np.full(N, wanted_j), rel=0.1)
    assert np.all(housed.core_c[-1, 1] > free.core_c[-1, 1] + 5.0)


def test_a_persons_limit_lifts_every_pair() -> None:
    for limit in (30.0, 40.0, 50.0, 58.0):
        cores = [each for each in candidates_of(limit) if each.by == "core"]
        assert cores
        assert all(each.stop_c >= limit and each.start_c > each.stop_c for each in cores)
