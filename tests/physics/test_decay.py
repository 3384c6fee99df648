"""Rate factors against the published forms and their check values."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.heat.physics import decay
from tests.each import each


def handbook_temperature_factor(celsius: np.ndarray) -> np.ndarray:
    """Haug (1993), from memory: only here, to show what it praises."""
    return 1.066 ** (celsius - 20.0) - 1.21 ** (celsius - 60.0)


def test_cardinal_factor_is_one_at_its_best_and_zero_at_its_bounds():
    # Rosso et al. 1993: the form's own properties
    assert float(decay.temperature_factor(56.0)) == pytest.approx(1.0, rel=1e-12)
    assert decay.temperature_factor([-5.0, 72.0]) == pytest.approx([0.0, 0.0], abs=1e-12)


@given(st.floats(-60, 400))
def test_cardinal_factor_stays_between_zero_and_one(celsius):
    factor = float(decay.temperature_factor(celsius))
    assert 0.0 <= factor <= 1.0 + 1e-12
    if not -5.0 < celsius < 72.0:
        assert factor == pytest.approx(0.0, abs=1e-12)


def test_cardinal_form_with_published_temperatures(monkeypatch):
    # Composting values 5, 58.6, 71.6 degC (from memory): 40 degC .597, 50 .874, 65 .852 (derived)
    low, best, high = 5.0, 58.6, 71.6
    celsius = np.array([40.0, 50.0, 65.0])
    span = best - low
    bracket = span * (celsius - best) - (best - high) * (best + low - 2 * celsius)
    want = (celsius - high) * (celsius - low) ** 2 / (span * bracket)
    assert want == pytest.approx([0.597, 0.874, 0.852], rel=0.01)
    monkeypatch.setattr(decay, "COLDEST_C", low)
    assert decay.temperature_factor(celsius, decay.Cardinals.of(best, high)) == pytest.approx(want, rel=1e-12)


@each([66.0, 70.0, 74.0])
def test_every_member_has_its_own_end_of_decay(hottest):
    own = decay.Cardinals.of(decay.BEST_C, np.array([hottest]))
    celsius = np.array([hottest - 0.1, hottest, hottest + 5.0, decay.BEST_C])
    factor = decay.temperature_factor(celsius, own)
    assert factor[0] > 0.0
    assert factor[1:] == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)


def test_slope_is_the_derivative():
    celsius, step = np.linspace(-4.5, 71.5, 60), 1e-5
    rise = decay.temperature_factor(celsius + step) - decay.temperature_factor(celsius - step)
    assert decay.temperature_slope(celsius) == pytest.approx(rise / (2 * step), abs=1e-8)


def test_ours_does_not_praise_seventy_degrees_as_the_handbook_factor_does():
    # Best 40-60 degC, harm above 65-70 (Cornell and Manitoba, read); the handbook form peaks at 71.55 degC (derived)
    celsius = np.linspace(0.0, 80.0, 8001)
    handbook = handbook_temperature_factor(celsius)
    assert celsius[handbook.argmax()] == pytest.approx(71.55, abs=0.05)
    assert handbook_temperature_factor(np.array([20.0, 40.0, 55.0, 60.0, 70.0, 75.0])) == pytest.approx(
        [0.9995, 3.568, 8.979, 11.891, 17.70, 16.17], rel=2e-3
    )
    ours = decay.temperature_factor(celsius)
    assert celsius[ours.argmax()] == pytest.approx(56.0, abs=0.01)
    assert float(decay.temperature_factor(70.0)) < 0.4 * float(decay.temperature_factor(60.0))


def test_moisture_factor():
    # Haug 1993 (from memory), check values derived
    want = [0.147, 0.503, 0.856, 0.972]
    assert decay.moisture_factor(np.array([0.3, 0.4, 0.5, 0.6])) == pytest.approx(want, abs=1e-3)


def test_air_space_factor():
    # Haug 1993 (from memory), check values derived
    want = [0.245, 0.514, 0.776, 0.974]
    assert decay.air_space_factor(np.array([0.1, 0.15, 0.2, 0.3])) == pytest.approx(want, abs=1e-3)


def test_oxygen_half_saturation():
    # Haug 1993 (from memory): O2/(O2 + 2): 2 % .500, 5 .714, 10 .833, 20.9 .913; ours is that over its fresh-air value
    level = np.array([2.0, 5.0, 10.0, 20.9]) / 20.9
    handbook = level / (level + decay.HALF_OXYGEN)
    assert handbook == pytest.approx([0.5, 0.714, 0.833, 0.913], abs=1e-3)
    assert (1 + decay.HALF_OXYGEN) * handbook[-1] == pytest.approx(1.0)


@given(st.floats(0, 1e9))
def test_oxygen_factor_balances_supply_and_use(ratio):
    factor = float(decay.oxygen_factor(np.array(ratio)))
    assert 0.0 < factor <= 1.0 + 1e-12
    level = decay.HALF_OXYGEN * factor / (1 + decay.HALF_OXYGEN - factor) if factor < 1 else 1.0
    assert 1.0 - level == pytest.approx(ratio * factor, rel=1e-6, abs=1e-9)


def test_nitrogen_factor_falls_from_thirty_to_one():
    assert decay.nitrogen_factor([15.0, 30.0, 60.0, 1000.0]) == pytest.approx([1.0, 1.0, 0.5, 0.25])
    with pytest.raises(ValueError, match="carbon to nitrogen"):
        decay.nitrogen_factor(0.0)


@given(st.floats(0, 1e6))
def test_share_lost_is_bounded_and_close_to_the_exponential(a):
    share = float(decay.share_lost(np.array(a)))
    assert 0.0 <= share < 0.93
    if a < 0.5:
        assert share == pytest.approx(-np.expm1(-a), abs=1e-4)


def test_wood_chip_losses_lie_in_the_published_span():
    # Slow pool .38 of the dry matter at the prior rate and a mean environment of .6 without nitrogen limit, 6 months.
    # Published: pine stemwood 2.4-3.8 % in 5.9 months, spruce up to 11 % in 5, poplar about a quarter in 7 (read).
    share = 0.38 * -np.expm1(-decay.SLOW_PER_DAY * 0.6 * 0.4 * 180.0)
    assert 0.024 < share < 0.25


def test_heat_per_kilowatt():
    # 1 kW costs 4.9 kg of dry matter and 6.2 kg of oxygen a day (derived)
    dry = 1000.0 * 86_400.0 / decay.HEAT_PER_DRY_MATTER
    assert dry == pytest.approx(4.9, rel=0.01)
    assert dry * decay.OXYGEN_PER_DRY_MATTER == pytest.approx(6.2, rel=0.02)
