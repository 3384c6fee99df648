"""What a situation says of near days and of far ones is two things: its numbers come by the lead, too."""

from __future__ import annotations

import numpy as np
import pytest

from service.heat.learning.log import Log
from service.heat.learning.situation import FEATURES, PAIRS, Situation, situation_of
from tests.physics.samples import estimate

NEWBORN = Situation(
    now_c=12.0,
    level_c=12.0,
    slope=0.0,
    outdoor_c=5.0,
    age_days=0.0,
    readings=1,
    log_days=0.0,
    peak_c=12.0,
    range_k=0.0,
    rough_k=1.0,
    draw_days=7.0,
    drawing=1.0,
    draw_read=False,
    misses_k=0.0,
    weekly_k=None,
)


def test_products_are_those_of_their_two_numbers() -> None:
    days = np.array([3.5, 7.0, 14.0])
    found = NEWBORN.features(days, moves_k=np.zeros(3), damped_k=np.zeros(3), half_k=np.full(3, 20.0))
    by_name = dict(zip(FEATURES, found, strict=True))
    lead = np.log(days / 7.0)
    assert by_name["newborn_lead"] == pytest.approx(lead)
    assert by_name["no_log_lead"] == pytest.approx(lead)
    assert by_name["plateau_lead"] == pytest.approx(0.0 * lead)
    assert by_name["changed_wide"] == pytest.approx(np.full(3, 2.0 * np.exp(-1.0)))
    assert len(FEATURES) == len(set(FEATURES)) and set(PAIRS) < set(FEATURES)


def test_the_first_rise_of_a_young_heap_is_no_slope() -> None:
    # It rose by 40 K in three days and has stood for three: of an old heap the same readings are a steep rise
    days = np.arange(-6.0, 0.5)
    log = Log(days, np.array([20.0, 33.0, 47.0, 60.0, 60.4, 59.8, 60.0]), np.full(7, 1.2), 0.0)
    young, old = (situation_of(estimate(age_days=age), log, 0.0) for age in (6.0, 60.0))
    assert young.slope == pytest.approx(0.0, abs=0.1) and young.level_c == pytest.approx(60.0, abs=0.3)
    assert young.range_k < 1.0
    assert old.slope > 3.0 and old.range_k > 40.0
    assert young.readings == old.readings == 7 and young.log_days == 6.0


def read(days: list[float], core: list[float]) -> Log:
    return Log(np.array(days), np.array(core), np.full(len(days), 1.2), 0.0)


def test_a_log_that_is_kept_seldom_is_a_log() -> None:
    # 0.2 K a day over three weeks, the last reading but one older than a week
    found = situation_of(estimate(), read([-20.0, -10.0, 0.0], [52.0, 50.0, 48.0]), 0.0)
    assert found.readings == 2 and found.log_days == 10.0
    assert found.slope == pytest.approx(-0.2, abs=0.01)


def test_one_reading_is_no_log() -> None:
    found = situation_of(estimate(), read([0.0], [48.0]), 0.0)
    assert found.readings == 1 and found.log_days == 0.0 and found.slope == 0.0


def test_the_line_is_that_of_the_draw_of_now() -> None:
    # Level for four days, then two days of a new draw that takes 3 K a day
    log = read([-6.0, -5.0, -4.0, -3.0, -2.0, -1.0, 0.0], [60.0, 60.0, 60.0, 60.0, 60.0, 57.0, 54.0])
    drawn, always = (situation_of(estimate(drawn_days=days), log, 0.0) for days in (2.0, None))
    assert drawn.slope < always.slope < 0.0
    assert drawn.slope < -2.0
    assert drawn.readings == always.readings == 7
