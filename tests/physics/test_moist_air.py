"""Moist air against the ASHRAE table, PsychroLib and CoolProp."""

import numpy as np
import psychrolib
import pytest

from service.heat.physics import moist_air
from tests.each import each

psychrolib.SetUnitSystem(psychrolib.SI)

# ASHRAE Handbook - Fundamentals (2017), ch. 1, table 2, as asserted in PsychroLib's own tests (read second hand):
# temperature degC, saturation pressure Pa, humidity ratio kg/kg, enthalpy J/kg, relative tolerances of the last two.
ASHRAE = [
    (-20.0, 103.24, 0.0006373, -18_542.0, 0.01, 0.01),
    (-5.0, 401.74, 0.0024863, 1_164.0, 0.01, 0.03),
    (5.0, 872.6, 0.005425, 18_639.0, 0.01, 0.01),
    (25.0, 3_169.7, 0.020173, 76_504.0, 0.01, 0.01),
    (50.0, 12_351.3, 0.086863, 275_353.0, 0.01, 0.01),
    (85.0, None, 0.838105, 2_307_500.0, 0.02, 0.02),
]


@pytest.mark.parametrize("row", ASHRAE, ids=lambda row: f"{row[0]:.0f} degC")
def test_saturated_air_agrees_with_the_handbook_table(row):
    celsius, pressure, ratio, enthalpy, ratio_rel, enthalpy_rel = row
    if pressure is not None:
        assert float(moist_air.saturation_pressure(celsius)) == pytest.approx(pressure, rel=3e-4)
    own = moist_air.humidity_ratio_at(celsius)
    assert float(own) == pytest.approx(ratio, rel=ratio_rel)
    assert float(moist_air.enthalpy(celsius, own)) == pytest.approx(enthalpy, rel=enthalpy_rel)


# Saturated at 101,325 Pa by PsychroLib 2.5.0 (computed): humidity ratio, kJ/kg.
@each([(40, 0.04888, 166.1), (45, 0.06504, 213.4), (55, 0.11455, 353.5), (60, 0.15242, 458.6), (65, 0.20413, 600.6)])
def test_hot_saturated_air(celsius, ratio, kilojoule):
    own = moist_air.humidity_ratio_at(celsius)
    assert float(own) == pytest.approx(ratio, rel=1e-3)
    assert float(moist_air.enthalpy(celsius, own)) == pytest.approx(kilojoule * 1e3, rel=1e-3)


@each([-30.0, -10.0, 0.0, 0.5, 10.0, 35.0, 55.0, 75.0], [0.2, 0.8, 1.0])
def test_agrees_with_psychrolib(celsius, humidity):
    pressure = moist_air.STANDARD_PRESSURE_PA
    want = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure)
    assert float(moist_air.saturation_pressure(celsius)) == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-9)
    assert float(moist_air.humidity_ratio_at(celsius, humidity)) == pytest.approx(want, rel=1e-6)
    assert float(moist_air.enthalpy(celsius, want)) == pytest.approx(
        psychrolib.GetMoistAirEnthalpy(celsius, want), rel=1e-9, abs=1e-6
    )
    assert float(moist_air.specific_volume(celsius, want)) == pytest.approx(
        psychrolib.GetMoistAirVolume(celsius, want, pressure), rel=1e-5
    )
    assert float(moist_air.density(celsius, want)) == pytest.approx(
        psychrolib.GetMoistAirDensity(celsius, want, pressure), rel=1e-5
    )


@pytest.mark.slow
@pytest.mark.parametrize("celsius", [0.0, 10.0, 40.0, 60.0])
def test_agrees_with_coolprop_as_an_ideal_gas_can(celsius):
    from CoolProp.HumidAirProp import HAPropsSI

    kelvin = celsius + 273.15
    want = HAPropsSI("W", "T", kelvin, "P", 101_325.0, "R", 0.8)
    dry = HAPropsSI("H", "T", 273.15, "P", 101_325.0, "W", 0.0)
    assert float(moist_air.humidity_ratio_at(celsius, 0.8)) == pytest.approx(want, rel=0.01)
    heat = HAPropsSI("H", "T", kelvin, "P", 101_325.0, "W", want) - dry
    assert float(moist_air.enthalpy(celsius, want)) == pytest.approx(heat, rel=5e-3, abs=50)


def test_handbook_example_one():
    # ASHRAE (2017) ch. 1, example 1: 40 degC dry, W .0065: h 56.7 kJ/kg, v .896 m3/kg (read second hand)
    assert float(moist_air.enthalpy(40.0, 0.0065)) == pytest.approx(56_700.0, rel=0.01)
    assert float(moist_air.specific_volume(40.0, 0.0065)) == pytest.approx(0.896, rel=2e-3)


def test_dry_air_at_25_degrees():
    # ASHRAE (2017) ch. 1, table 2 (read second hand)
    assert float(moist_air.enthalpy(25.0, 0.0)) == pytest.approx(25_148.0, rel=3e-4)
    assert float(moist_air.specific_volume(25.0, 0.0)) == pytest.approx(0.8443, rel=1e-3)


def test_quick_saturation_pressure_stays_close():
    celsius = np.linspace(0.0, 90.0, 181)
    ratio = moist_air.saturation_pressure_quick(celsius) / moist_air.saturation_pressure(celsius)
    assert np.abs(ratio - 1.0).max() < 5e-4


def test_latent_heat_from_enthalpies():
    # CoolProp (computed): 2,453.5 at 20, 2,406.0 at 40, 2,357.7 kJ/kg at 60 degC
    for celsius, kilojoule in [(20.0, 2453.5), (40.0, 2406.0), (60.0, 2357.7)]:
        latent = moist_air.EVAPORATION_HEAT_0C + (moist_air.VAPOUR_HEAT - 4186.0) * celsius
        assert latent == pytest.approx(kilojoule * 1e3, rel=2e-3)


@each([-120.0, 250.0])
def test_temperature_out_of_range_is_refused(celsius):
    with pytest.raises(ValueError, match="-100 to 200 degC"):
        moist_air.saturation_pressure(celsius)


def test_impossible_vapour_pressure_is_refused():
    with pytest.raises(ValueError, match="vapour pressure"):
        moist_air.humidity_ratio(-1.0)
    with pytest.raises(ValueError, match="vapour pressure"):
        moist_air.humidity_ratio(101_325.0)
