"""Weather ahead: the forecast first, then what is usual."""

from __future__ import annotations

from math import cos, exp, pi

import numpy as np
import pytest

from service.heat.weather import YEARLY_SWING_K, hemisphere, outdoor_ahead, weather_ahead
from service.picture.picture import picture_of
from tests.each import each
from tests.outlook.statuses import SMALLEST, STEADY, status_of


def bands(**changed: object) -> list[float]:
    status = status_of(STEADY, **changed)
    return [band.value for band in outdoor_ahead(status, picture_of(status).estimate.outdoor_c, 90)]


def test_a_forecast_day_is_the_middle_of_its_low_and_high() -> None:
    middle = bands()
    assert middle[0] == pytest.approx(-3)
    assert middle[1] == pytest.approx(-8)


@each(
    [
        # from a mean to its low or high are 4 K: our own
        ({"low": -10}, -6.0),
        ({"high": 2}, -2.0),
        ({"low": -10, "high": -8}, -9.0),
    ]
)
def test_half_a_forecast_is_used(day: dict[str, float], mean: float) -> None:
    assert bands(weather={"forecast": [{"date": "2026-01-20", **day}]})[2] == pytest.approx(mean)


def test_the_last_forecast_day_lingers_for_a_few_days() -> None:
    middle = bands()
    given = sum([-2, -6, -6, 0, -12, -4]) / 6
    assert middle[1] < middle[2] < middle[4] < given < middle[20]
    assert middle[2] - given == pytest.approx((-8 - given) * exp(-1 / 4), abs=0.1)


def test_the_year_warms_from_january_to_april_and_cools_from_july_in_the_south() -> None:
    north = bands(weather=None)
    # 86 days after the coldest day the cosine of the year has risen to 0.1 from 1
    assert north[88] - north[0] == pytest.approx(YEARLY_SWING_K * (1 - cos(2 * pi * 86 / 365.25)), abs=0.1)
    south = bands(weather=None, as_of="2026-07-18T07:30:00Z")  # three days before its coldest, then 57 after it
    assert south[60] - south[0] == pytest.approx(YEARLY_SWING_K * (1 - cos(2 * pi * 57 / 365.25)), abs=0.1)


@each(
    [
        ("2026-01-18T07:30:00Z", -5, None, 1),
        ("2026-01-18T07:30:00Z", 25, None, -1),
        ("2026-07-18T07:30:00Z", 2, None, -1),
        ("2026-07-18T07:30:00Z", 24, None, 1),
        ("2026-01-18T07:30:00Z", None, "heating", 1),
        ("2026-07-18T07:30:00Z", None, "heating", -1),
        ("2026-07-18T07:30:00Z", None, None, 0),
    ]
)
def test_which_half_of_the_earth(as_of: str, outdoor: float | None, season: str | None, sign: int) -> None:
    status = status_of(SMALLEST, as_of=as_of, temperatures={"core": 45, "outdoor": outdoor}, season=season)
    assert hemisphere(status, picture_of(status).estimate.outdoor_c) == sign


def test_doubt_grows_with_the_forecast_and_with_the_season() -> None:
    status = status_of(STEADY)
    found = outdoor_ahead(status, picture_of(status).estimate.outdoor_c, 90)
    widths = [band.high - band.low for band in found]
    assert widths[0] == pytest.approx(3.0)
    assert widths[0] < widths[1] < widths[10] < widths[90]


def test_members_have_the_bands_of_the_day_and_rain_only_where_it_was_forecast() -> None:
    rain = [{"date": "2026-01-19", "rain": "heavy"}, {"date": "2026-01-20", "rain": "light"}]
    status = status_of(STEADY, weather={"forecast": rain})
    estimate = picture_of(status).estimate
    weather = weather_ahead(status, estimate, 10, 64)
    assert weather.air_c.shape == (11, 64)
    middle = [band.value for band in outdoor_ahead(status, estimate.outdoor_c, 10)]
    assert np.median(weather.air_c, axis=1) == pytest.approx(middle, abs=0.3)
    assert weather.rain_mm_day[:, 0].tolist() == [0, 15, 2] + [0] * 8
