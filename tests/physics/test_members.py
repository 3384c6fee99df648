"""The ensemble: even, repeatable, and true to what was reported."""

import numpy as np
import pytest

from service.heat.physics import air_duct, spread
from service.heat.physics.flows import flows
from service.heat.physics.members import degradable_left, members, weather_now
from service.heat.physics.moist_air import DRY_AIR_HEAT, VAPOUR_HEAT, humidity_ratio_at
from service.heat.physics.piles import node_temperatures
from service.units.estimate import AirDraw, Estimate, WaterDraw
from tests.each import each

from .samples import about, estimate


@each(spread.PRIMES, [64, 128])
def test_each_unknown_is_perfectly_even(name, n):
    points = spread.points(name, n)
    assert np.sort(points.shares) == pytest.approx((np.arange(n) + 0.5) / n)
    assert points.normals.mean() == pytest.approx(0.0, abs=1e-12)
    assert points.normals.std() == pytest.approx(1.0, abs=0.03)


@each([64, 128, 256, 512])
def test_unknowns_hardly_correlate(n):
    table = np.array([spread.points(name, n).shares for name in spread.PRIMES])
    correlation = np.corrcoef(table) - np.eye(len(table))
    assert np.abs(correlation).max() < 0.25


def test_points_are_cached_and_cannot_be_written():
    points = spread.points("rate", 64)
    assert spread.points("rate", 64) is points
    with pytest.raises(ValueError, match="read-only"):
        points.shares[0] = 1.0


def test_ranges_come_out_as_they_went_in():
    points = spread.points("moisture", 200)
    values = np.sort(points.around(Estimate(0.5, 0.42, 0.62, "derived")))
    assert np.quantile(values, [0.1, 0.5, 0.9]) == pytest.approx([0.42, 0.5, 0.62], abs=2e-3)
    values = points.around_log(Estimate(10.0, 5.0, 15.0, "derived"))
    assert np.quantile(values, [0.1, 0.5, 0.9]) == pytest.approx([5.0, 10.0, 15.0], rel=0.02)


@each([Estimate(0, 0, 1, "assumed"), Estimate(1, -1, 2, "assumed"), Estimate(3, 1, 2, "assumed")])
def test_an_estimate_without_a_logarithm_is_refused(bad):
    with pytest.raises(ValueError, match="logarithmic"):
        spread.points("mass", 8).around_log(bad)


def test_same_estimate_gives_the_same_bytes():
    first, second = members(estimate()), members(estimate())
    assert first[1].enthalpy_j.tobytes() == second[1].enthalpy_j.tobytes()
    assert first[0].rate.tobytes() == second[0].rate.tobytes()
    assert first[2].sum() == pytest.approx(1.0)


def test_members_keep_to_the_reported_temperatures():
    piles, state, _ = members(estimate())
    celsius = node_temperatures(piles, state)
    assert np.quantile(celsius[0], [0.1, 0.5, 0.9]) == pytest.approx([54.0, 55.0, 56.0], abs=0.1)
    assert (np.diff(celsius, axis=0) < 0.0).all()  # warm inside, cold outside
    assert celsius.min() > -4.0


def test_an_outer_reading_shapes_the_shell():
    warm = node_temperatures(*members(estimate(outer_c=45.0))[:2])
    cold = node_temperatures(*members(estimate(outer_c=15.0))[:2])
    assert (warm[3] > cold[3]).all()
    assert 15.0 < np.median(cold[2]) < 45.0


def test_a_cold_core_in_warmer_air_stays_between_them():
    chilled = estimate(core_c=Estimate.exact(4.0), outdoor_c=Estimate.exact(12.0))
    celsius = node_temperatures(*members(chilled)[:2])
    assert celsius.min() >= 4.0 - 1e-9
    assert celsius.max() <= 12.0 + 1e-9


def left(**changes):
    report = estimate(fast_share=about(0.05, 1.35), cn_degradable=about(80.0, 1.4), **changes)
    piles, state, _ = members(report)
    slow = np.median(state.slow_kg.sum(axis=0) / piles.dry_kg)
    fast = np.median(state.fast_kg.sum(axis=0) / piles.dry_kg)
    return fast, slow, float(np.median(degradable_left(piles, state)))


def test_four_week_chips_have_most_of_their_slow_pool():
    fast, slow, share = left(age_days=28.0)
    assert slow > 0.33
    assert 0.005 < fast < 0.04
    assert share > 0.8


def test_a_heap_of_twenty_months_has_little_left():
    fast, slow, share = left(age_days=608.0)
    assert fast < 1e-6
    assert slow < 0.22
    assert share < 0.5


def test_age_zero_has_everything():
    assert left(age_days=0.0)[2] == pytest.approx(1.0)


def test_solids_and_water_have_room_in_every_member():
    piles, state, _ = members(estimate(mass_kg=about(9000.0, 2.0), volume_m3=about(9.0, 2.0)), 256)
    filled = piles.dry_kg / 1500.0 + state.water_kg.sum(axis=0) / 1000.0
    assert (filled <= 0.881 * piles.volume_m3).all()


def test_a_read_water_outlet_comes_out_of_every_member():
    loop = WaterDraw(0.0315, 0.4, 0.5, 8.0, 24.0, "copper", 20.0)
    report = estimate(water=loop)
    piles, state, _ = members(report)
    watt = flows(piles, state, weather_now(report))["water"]
    assert watt == pytest.approx(0.4 * 0.5 * 4186.0 * 0.0315 * (24.0 - 8.0), rel=1e-6)


def test_a_read_air_outlet_comes_out_of_every_member():
    duct = AirDraw(0.0212, 0.3, 1.0, "closed_duct", 11.0, 28.0)
    report = estimate(air=duct)
    piles, state, _ = members(report)
    dry_air = float(air_duct.capacity_flow(0.0212, 11.0)[0])
    capacity = dry_air * (DRY_AIR_HEAT + VAPOUR_HEAT * float(humidity_ratio_at(11.0, 0.8)))
    assert flows(piles, state, weather_now(report))["air_sensible"] == pytest.approx(0.3 * capacity * 17.0, rel=1e-4)


def test_unread_outlets_spread():
    report = estimate(water=WaterDraw(0.0315, 0.4, 1.0, 8.0, None, "plastic", 30.0))
    piles, state, _ = members(report)
    watt = flows(piles, state, weather_now(report))["water"]
    low, high = np.quantile(watt, [0.1, 0.9])
    assert high > 1.5 * low


def test_nothing_fitted_draws_nothing():
    piles, state, _ = members(estimate())
    assert not flows(piles, state, weather_now(estimate())).drawn.any()
    assert not piles.loop_inner_w_k.any()
    assert not piles.air_conductance_w_k.any()


def test_a_fitted_loop_that_stands_still_draws_nothing_but_is_there():
    piles, state, _ = members(estimate(has_water_loop=True))
    assert (piles.loop_inner_w_k > 0.0).all()
    assert not flows(piles, state, weather_now(estimate())).drawn.any()


def test_members_of_two_estimates_share_their_draws():
    # Paired comparison: only what differs differs
    first, second = members(estimate())[0], members(estimate(cover="straw"))[0]
    assert first.rate.tobytes() == second.rate.tobytes()
    assert first.permeability_m2.tobytes() == second.permeability_m2.tobytes()
