"""Which readings count, and how far each is trusted."""

from __future__ import annotations

import numpy as np
import pytest

from service.heat.learning.log import counted_log
from service.units.estimate import Estimate
from tests.each import each
from tests.physics.samples import estimate


@each(
    [
        ((), [0.0]),
        ((30.0,), [0.0]),  # too old to tell of today
        ((20.0, 15.0, 9.0), [-15.0, -9.0, 0.0]),  # fewer than three in a week: older ones step in
        ((9.0, 6.0, 3.0), [-6.0, -3.0, 0.0]),
        ((6.5, 4.0, 2.0, 1.0), [-6.5, -4.0, -2.0, -1.0, 0.0]),
    ]
)
def test_the_last_week_counts_or_the_last_three_readings(ages, kept):
    # Chosen on simulated heaps: longer windows forecast worse
    log = counted_log(estimate(history=tuple((age, 50.0) for age in ages)))
    assert log.days.tolist() == kept
    assert log.length_days == np.ceil(-kept[0])


def test_a_usual_reading_errs_by_about_a_kelvin():
    log = counted_log(estimate(history=((1.0, 54.0),)))
    assert log.errors_k.tolist() == [1.2, 1.2]
    assert log.shared_k == 0.0


def test_an_old_reading_is_trusted_less_than_those_of_its_day():
    log = counted_log(estimate(history=((3.0, 54.0),), core_c=Estimate(52.0, 46.0, 58.0, "measured")))
    assert log.errors_k.tolist() == pytest.approx([1.2, 6.0 / 1.2816], rel=1e-3)


def test_a_probe_that_is_too_short_raises_and_doubts_all_readings_alike():
    log = counted_log(estimate(history=((2.0, 50.0),), core_c=Estimate(48.0, 46.5, 60.0, "measured")))
    assert log.core_c.tolist() == [55.25, 53.25]
    assert log.shared_k == 5.25
    assert log.errors_k.tolist() == pytest.approx([1.2, 1.5 / 1.2816], abs=0.05)
