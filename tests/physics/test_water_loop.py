"""The buried loop: exchanger arithmetic, the copper loop of common practice, and the halo."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.heat.physics import water_loop

GAL_MIN_KG_S = 3.785412e-3 / 60.0 * 998.0
FT = 0.3048


def f_to_c(fahrenheit):
    return (fahrenheit - 32.0) / 1.8


def c_to_f(celsius):
    return celsius * 1.8 + 32.0


def test_five_litres_a_minute():
    # 5 L/min, 10 K rise at 40 degC: 3.455 kW (derived)
    assert pytest.approx(3455.0, rel=2e-3) == water_loop.WATER_HEAT * 5.0 / 60.0 * 0.9922 * 10.0


def test_trade_rule_of_five_hundred():
    # Btu/h = 500 x gal/min x degF (trade rule, from memory; derived 500.1)
    watt = water_loop.WATER_HEAT * GAL_MIN_KG_S * (1.0 / 1.8)
    assert watt / 0.29307107 == pytest.approx(500.0, rel=3e-3)


def test_a_gallon_a_minute_from_42_to_75():
    # common practice, no source: about 16.5 kBTU/h
    watt = water_loop.WATER_HEAT * GAL_MIN_KG_S * (75.0 - 42.0) / 1.8
    assert watt / 293.1 == pytest.approx(16.5, rel=0.01)


def copper_outlet(hours):
    inner, outer = water_loop.default_conductances("copper", 100 * FT)
    return c_to_f(
        water_loop.outlet_after(
            hours,
            GAL_MIN_KG_S,
            inlet_c=f_to_c(42.0),
            heap_c=56.0,
            inner_w_k=float(inner),
            outer_w_k=float(outer),
            halo_j_k=water_loop.HALO_J_M_K * 100 * FT,
        )
    )


def test_hundred_feet_of_copper_starts_at_85_and_settles_near_75():
    # common practice, no source: 100 ft of copper, 1 gal/min, 42 degF in: starts at 85-86 degF, settles near 75 degF
    outlet = copper_outlet([0.0, 0.5, 1.0, 2.0, 3.0, 6.0])
    assert 84.5 <= outlet[0] <= 86.5
    assert (np.diff(outlet) < 0.0).all()
    assert 74.0 <= outlet[3] <= 78.0
    assert outlet[-1] == pytest.approx(75.0, abs=1.0)


def test_settled_outlet_is_the_series_conductance():
    inner, outer = water_loop.default_conductances("copper", 100 * FT)
    running = float(water_loop.running_conductance(GAL_MIN_KG_S, inner, outer, 1.0))
    capacity = water_loop.WATER_HEAT * GAL_MIN_KG_S
    outlet = f_to_c(42.0) + running / capacity * (56.0 - f_to_c(42.0))
    assert c_to_f(outlet) == pytest.approx(copper_outlet(100.0), abs=1e-6)
    # As one exchanger that is 110-160 W/K over 30 m of tube (derived)
    assert 110.0 <= -capacity * np.log(1.0 - running / capacity) <= 160.0


def test_plastic_hose_in_a_small_pile():
    # common practice, no source: a hose in a 1-2 ton pile gives 60-70 degF, at half a gallon a minute
    inner, outer = water_loop.default_conductances("plastic", 100 * FT)
    flow = 0.5 * GAL_MIN_KG_S
    running = float(water_loop.running_conductance(flow, inner, outer, 1.0))
    outlet = f_to_c(42.0) + running / (water_loop.WATER_HEAT * flow) * (50.0 - f_to_c(42.0))
    assert 60.0 <= c_to_f(outlet) <= 70.0


def test_short_runs_take_more_per_minute_than_a_settled_loop():
    inner, outer = water_loop.default_conductances("copper", 30.0)
    quarter = float(water_loop.mean_conductance(GAL_MIN_KG_S, inner, outer, 0.25, 1.0))
    full = float(water_loop.mean_conductance(GAL_MIN_KG_S, inner, outer, 1.0, 1.0))
    assert 0.25 * full < quarter < full


def test_halo_rests_and_runs_back():
    rested = water_loop.halo_after_rest([0.0, 1.7, 50.0], 30.0, 55.0, 380.0, 2.3e6)
    assert rested[0] == pytest.approx(30.0)
    assert rested[1] == pytest.approx(55.0 - 25.0 * np.exp(-1.7 * 3600 * 380.0 / 2.3e6))
    assert rested[2] == pytest.approx(55.0, abs=1e-6)


def test_halo_law_against_an_integrator():
    from scipy.integrate import solve_ivp

    inner, outer, halo = 170.0, 380.0, 2.3e6
    capacity = water_loop.WATER_HEAT * 0.063
    share = 1 - np.exp(-inner / capacity)
    got = solve_ivp(
        lambda t, h: (outer * (56.0 - h) - capacity * share * (h - 5.6)) / halo,
        (0, 7200),
        [56.0],
        rtol=1e-10,
        atol=1e-10,
    )
    want = 5.6 + share * (got.y[0, -1] - 5.6)
    own = water_loop.outlet_after(2.0, 0.063, inlet_c=5.6, heap_c=56.0, inner_w_k=inner, outer_w_k=outer, halo_j_k=halo)
    assert float(own) == pytest.approx(want, abs=1e-6)


@given(st.floats(0.005, 0.2), st.floats(0.05, 1.0), st.floats(0.05, 0.9), st.floats(20, 2000))
def test_conductances_from_outlet_give_the_outlet_back(flow, hour_share, share, outer):
    one = np.ones(1)
    inlet, heap = 8.0, 55.0
    outlet = inlet + share * (heap - inlet)
    inner, fitted = water_loop.conductances_from_outlet(
        flow * one,
        hour_share * one,
        inlet_c=inlet * one,
        outlet_c=outlet * one,
        material_c=heap * one,
        outer_w_k=outer * one,
    )
    running = water_loop.running_conductance(flow, inner, fitted, hour_share)
    assert float(running[0]) == pytest.approx(water_loop.WATER_HEAT * flow * share, rel=1e-6)
    assert fitted[0] >= outer * (1 - 1e-12)


def test_a_tube_has_a_length():
    with pytest.raises(ValueError, match="length"):
        water_loop.default_conductances("copper", 0.0)


def test_no_flow_takes_nothing():
    assert float(water_loop.mean_conductance(0.0, 100.0, 300.0, 1.0, 1.0)) == 0.0
    assert float(water_loop.mean_conductance(0.1, 0.0, 0.0, 1.0, 1.0)) == 0.0
