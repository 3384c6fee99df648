"""Noise that is the same everywhere, remembers the day before, and goes on from today's."""

from __future__ import annotations

import numpy as np
import pytest

from service.heat.learning import chance as unforeseen
from service.heat.learning.chance import Unforeseen
from service.heat.learning.members import learned
from service.heat.physics.daily_weather import DailyWeather
from service.picture.picture import learned_picture
from service.status.reading import read_status

USUAL = DailyWeather.of(-2.0)


def test_the_past_has_the_deviations_it_should():
    weather, today = unforeseen.past(USUAL, 14, 512)
    assert weather.air_c.shape == weather.pace.shape == (14, 512)
    assert weather.air_c.mean() == pytest.approx(-2.0, abs=0.2)
    assert weather.air_c.std() == pytest.approx(unforeseen.AIR_SD_K, rel=0.05)
    neighbours = np.corrcoef(weather.air_c[5], weather.air_c[6])[0, 1]
    assert neighbours == pytest.approx(unforeseen.AIR_MEMORY, abs=0.07)
    assert today.log_pace.std() == pytest.approx(unforeseen.PACE_LOG_SD, rel=0.07)
    assert today.drift.mean() == pytest.approx(unforeseen.DRIFT_PER_DAY[0], abs=1e-9)


def test_what_is_ahead_starts_from_today_and_widens():
    today = Unforeseen(np.full(64, 6.0), np.zeros(64), np.zeros(64))
    weather = unforeseen.ahead(USUAL, 30, today)
    assert weather.air_c[0] == pytest.approx(4.0)
    assert weather.pace[0] == pytest.approx(1.0)
    assert weather.air_c[1].mean() == pytest.approx(-2.0 + 6.0 * 0.75, abs=0.1)
    assert weather.air_c[15:].std() == pytest.approx(unforeseen.AIR_SD_K, rel=0.1)


def test_the_drift_of_the_pace_ends():
    still = Unforeseen(np.zeros(64), np.zeros(64), np.full(64, 0.05))
    moving = unforeseen.ahead(USUAL, 100, still)
    flat = unforeseen.ahead(USUAL, 100, Unforeseen(np.zeros(64), np.zeros(64), np.zeros(64)))
    drifted = np.log(moving.pace / flat.pace)
    assert drifted[1] == pytest.approx(0.05, rel=0.05)
    assert drifted[99] == pytest.approx(0.05 * unforeseen.DRIFT_LASTS_DAYS, rel=0.01)


def test_the_weather_given_day_by_day_is_kept():
    told = DailyWeather.of(np.array([0.0, -10.0, -10.0]))
    weather = unforeseen.ahead(told, 5, Unforeseen(np.zeros(64), np.zeros(64), np.zeros(64)))
    assert weather.air_c[0] == pytest.approx(0.0)
    assert weather.air_c[1:].mean() == pytest.approx(-10.0, abs=0.5)


def test_it_is_the_same_every_time():
    # Digits from this project: another machine must find the same
    weather, today = unforeseen.past(USUAL, 7, 64)
    again, _ = unforeseen.past(USUAL, 7, 64)
    assert np.array_equal(weather.air_c, again.air_c)
    assert today.air_k[:3].tolist() == pytest.approx(FIRST_THREE, rel=1e-9)


FIRST_THREE = [-0.35363802947300393, 4.342062864015636, 2.1266393236896963]


def test_a_log_that_one_member_alone_fits_leaves_others_standing() -> None:
    """Of a heap of untold size that is drawn hard and hardly cools, one great heap among 512 tells by chance."""
    estimate = learned_picture(
        read_status(
            {
                "as_of": "2026-01-18T07:30:00Z",
                "pile": {"age": 60},
                "temperatures": {"core": 53},
                "history": [{"at": "2026-01-14T07:30:00Z", "core": 57}],
                "draw": {"water": {"flow": 4, "minutes_per_hour": 30, "inlet": 10, "outlet": 30}},
            }
        )
    ).estimate
    volumes = np.sort(learned(estimate).piles.volume_m3)
    low, high = volumes[6], volumes[57]
    assert low < 10.0, low
    assert high > 50.0, high
