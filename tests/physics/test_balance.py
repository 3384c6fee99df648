"""The balance of the moment, and ranges of an ensemble."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.heat.physics.balance import balance_now, quantiles
from service.units.estimate import AirDraw, WaterDraw

from .samples import estimate

THROUGH = AirDraw(0.0212, 0.5, 1.0, "through_heap", 11.0, 45.0)
LOOP = WaterDraw(0.0315, 0.25, 1.0, 8.0, None, "plastic", 48.0)


def test_first_law():
    b = balance_now(estimate(air=THROUGH, water=LOOP))
    drawn = b["air_sensible_w"] + b["air_latent_w"] + b["water_w"]
    # Rain and drainage are nil here
    assert b["made_w"] == pytest.approx(b["ground_and_air_w"] + b["evaporation_w"] + drawn + b["stored_w"], abs=1e-6)


def test_nine_tons_of_two_months_make_about_a_kilowatt():
    # A static pile of prunings gave a mean of 2.75 kW over a year (Malesani et al. 2021, read): same order
    low, median, high = quantiles(balance_now(estimate())["made_w"])
    assert 100.0 < low < median < high < 10_000.0
    assert 300.0 < median < 3_000.0


def test_heat_capacity_per_short_ton():
    # 2.70 MJ/K per short ton at a moisture of .55 (derived)
    per_ton = np.median(balance_now(estimate())["heat_capacity_j_k"]) / (8165.0 / 907.2)
    assert per_ton == pytest.approx(2.65e6, rel=0.06)


def test_through_heap_air_carries_water_off():
    b = balance_now(estimate(air=THROUGH))
    assert quantiles(b["water_off_kg_day"])[1] > 30.0
    assert quantiles(balance_now(estimate())["water_off_kg_day"]) == (0.0, 0.0, 0.0)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=100))
def test_quantiles_are_those_of_middle_ranks(values):
    array = np.array(values)
    want = np.quantile(array, [0.1, 0.5, 0.9], method="hazen")
    assert quantiles(array) == pytest.approx(want.tolist(), rel=1e-9, abs=1e-6)
    equal = np.full(array.size, 1.0 / array.size)
    assert quantiles(array, equal) == pytest.approx(want.tolist(), rel=1e-6, abs=1e-3)


def test_weights_move_the_range():
    values = np.arange(10.0)
    weights = np.where(values < 5, 1.0, 9.0)
    assert quantiles(values, weights)[1] > quantiles(values)[1]


def test_members_can_be_more():
    assert balance_now(estimate(), 128)["made_w"].shape == (128,)
