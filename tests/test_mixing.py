"""Mixing formulas against published worked examples. Each case names its publication and how we know the value."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.tables.materials import MATERIALS
from service.facts.mixing import (
    MixedPortion,
    ammonia_fraction,
    carbon_from_ash,
    free_air_space,
    mass_for_c_to_n,
    mass_for_moisture,
    mixture_c_to_n,
    mixture_moisture,
    moisture_of,
    nitrogen_to_reach,
    relative_diffusion,
    water_to_reach,
)
from tests.each import each

GRASS = MixedPortion(10.0, 0.77, 0.45, 0.024)
LEAVES = MixedPortion(0.0, 0.35, 0.50, 0.0075)
CHIPS = MixedPortion(1000.0, 0.40, 0.0009 * 560, 0.0009)
UREA_NITROGEN = 0.466


def test_moisture_from_oven_drying():
    # Richard, Cornell moisture page, read: 10 g wet, 2.3 g dry is 77 %.
    assert moisture_of(10.0, 2.3) == pytest.approx(0.77, abs=1e-9)


def test_leaves_for_a_moisture_goal():
    # Same page, read: 10 kg of grass at 77 % wants 6.8 kg of leaves at 35 % for 60 %.
    assert mass_for_moisture(10.0, 0.77, 0.35, 0.60) == pytest.approx(6.8, abs=0.05)


def test_leaves_for_a_c_to_n_goal():
    # Richard and Trautmann, Cornell C/N page, from memory: 3.5 kg of leaves for 30:1.
    assert mass_for_c_to_n(GRASS, LEAVES, 30.0) == pytest.approx(3.5, abs=0.05)


def test_the_two_goals_pull_apart():
    # Derived from the two examples above: the moisture mix has C:N 36.7, the C:N mix is 66.2 % moist.
    for_moisture = MixedPortion(6.8, 0.35, 0.50, 0.0075)
    for_ratio = MixedPortion(mass_for_c_to_n(GRASS, LEAVES, 30.0), 0.35, 0.50, 0.0075)
    assert mixture_c_to_n((GRASS, for_moisture)) == pytest.approx(36.7, rel=0.01)
    assert mixture_moisture((GRASS, for_moisture)) == pytest.approx(0.600, abs=0.001)
    assert mixture_c_to_n((GRASS, for_ratio)) == pytest.approx(30.0, rel=1e-9)
    assert mixture_moisture((GRASS, for_ratio)) == pytest.approx(0.662, rel=0.01)


@each(
    [
        (400, 0.0, 16.0, 0.1),  # Ask Extension Q&A 351921, Oregon, 2016, read; it takes the as-is weight as dry
        (320, 0.0, 12.8, 0.1),  # the same page, for four fifths sawdust
        (400, 0.39, 9.8, 0.1),  # derived: the same sawdust at 39 % moisture; the wet/dry trap
    ]
)
def test_urea_for_a_cubic_yard_of_sawdust(mass_lb, moisture, urea_lb, tolerance):
    sawdust = MixedPortion(mass_lb, moisture, 0.60, 0.60 / 400)
    missing = nitrogen_to_reach(sawdust.dry_kg * sawdust.carbon, sawdust.dry_kg * sawdust.nitrogen, 30.0)
    assert missing / 0.46 == pytest.approx(urea_lb, abs=tolerance)


def test_nitrogen_for_a_cubic_yard_of_sawdust():
    # The same page, read: 240 lb of carbon want 8 lb of nitrogen, 0.6 lb is there, 7.4 lb are missing.
    assert nitrogen_to_reach(240.0, 0.6, 30.0) == pytest.approx(7.4, abs=0.05)


def test_chips_need_more_than_manure():
    # Derived from NRAES-54 App. A values: chips alone 560, with a tonne of horse manure 87, then litter 66.
    horse = MixedPortion(1000.0, 0.72, 0.016 * 30, 0.016)
    litter = MixedPortion(300.0, 0.37, 0.027 * 14, 0.027)
    assert mixture_c_to_n((CHIPS,)) == pytest.approx(560.0)
    assert mixture_c_to_n((CHIPS, horse)) == pytest.approx(87.0, rel=0.01)
    assert mixture_c_to_n((CHIPS, litter)) == pytest.approx(66.25, rel=0.01)
    assert mixture_moisture((CHIPS, litter)) == pytest.approx(0.393, abs=0.001)


def test_nobody_pushes_all_the_wood_to_30():
    # Derived: a tonne of chips to 30:1 of ALL carbon takes 20.5 kg of urea or 1,363 L of urine at 7 g N/L. Counting
    # only what can rot (WSU Whatcom, Compost Fundamentals, read) it is less than half of that.
    carbon, nitrogen = CHIPS.dry_kg * CHIPS.carbon, CHIPS.dry_kg * CHIPS.nitrogen
    all_of_it = nitrogen_to_reach(carbon, nitrogen, 30.0)
    assert all_of_it / UREA_NITROGEN == pytest.approx(20.5, rel=0.01)
    assert all_of_it / 0.007 == pytest.approx(1363, rel=0.01)
    within_reach = MATERIALS["wood_chips"].degradable_share
    assert nitrogen_to_reach(carbon * within_reach, nitrogen, 40.0) < 0.5 * all_of_it


def test_ratios_are_never_averaged_by_mass():
    # Derived: equal dry masses of chips (560:1) and grass (17:1) make 31.0; the mean of the ratios, 288.5, is wrong.
    mixed = mixture_c_to_n((MixedPortion(1, 0, 0.504, 0.0009), MixedPortion(1, 0, 0.578, 0.034)))
    assert mixed == pytest.approx(31.0, rel=0.01)
    assert mixed < 0.2 * (560 + 17) / 2


def test_water_to_add():
    # Derived from the moisture formula: 10 t from 40 to 55 % takes 3,333 kg.
    assert water_to_reach(10_000.0, 0.40, 0.55) == pytest.approx(3333.3, rel=1e-4)


def test_carbon_from_ash():
    # Richard, Cornell, after Adams et al. 1951, formula read: 10 % ash is 50 % carbon.
    assert carbon_from_ash(0.10) == pytest.approx(0.500)


def test_diffusion_falls_with_the_square_of_porosity():
    # Papendick and Campbell 1981 as in Richard, Inadequate Porosity, formula read: from .5 to .4 it falls to 64 %.
    assert relative_diffusion(0.4) / relative_diffusion(0.5) == pytest.approx(0.64)


@each([(400, 0.55, 0.670), (600, 0.60, 0.493), (700, 0.65, 0.395)])
def test_free_air_space(bulk_density, moisture, space):
    # Agnew and Leonard 2003, Richard et al. 2004, equation from memory; organic share .95.
    assert free_air_space(bulk_density, moisture) == pytest.approx(space, abs=0.001)


@each([(8, 25, 0.054), (8, 55, 0.280), (9, 55, 0.796)])
def test_free_ammonia(ph, temperature_c, share):
    # Emerson et al. 1975, equation from memory.
    assert ammonia_fraction(ph, temperature_c) == pytest.approx(share, abs=0.002)


@each(
    [
        (lambda: mass_for_moisture(10, 0.77, 0.35, 0.80), "wanted moisture 0.8 fraction"),
        (lambda: mass_for_moisture(10, 0.77, 0.35, 0.30), "wanted moisture 0.3 fraction"),
        (lambda: mass_for_moisture(10, 0.77, 0.35, 0.35), "wanted moisture 0.35 fraction"),
        (lambda: mass_for_moisture(-1, 0.77, 0.35, 0.60), "mass -1 kg"),
        (lambda: mass_for_c_to_n(GRASS, LEAVES, 80.0), "wanted C:N 80.0"),
        (lambda: mass_for_c_to_n(GRASS, LEAVES, 10.0), "wanted C:N 10.0"),
        (lambda: mixture_c_to_n(()), "nitrogen of the mixture"),
        (lambda: mixture_moisture(()), "mass of the mixture"),
        (lambda: mixture_moisture((MixedPortion(1, 1.3),)), "moisture 1.3 fraction"),
        (lambda: water_to_reach(10, 0.6, 0.5), "wanted moisture 0.5 fraction"),
        (lambda: water_to_reach(10, 0.6, 1.0), "wanted moisture 1.0 fraction"),
        (lambda: water_to_reach(math.nan, 0.4, 0.5), "mass nan kg"),
        (lambda: nitrogen_to_reach(10, 1, 0), "wanted C:N 0"),
        (lambda: nitrogen_to_reach(math.inf, 1, 30), "degradable carbon inf kg"),
        (lambda: moisture_of(10, 11), "dry mass 11 kg"),
        (lambda: free_air_space(1500, 0.6), "bulk density 1500 kg/m3"),
        (lambda: carbon_from_ash(1.2), "ash 1.2 fraction"),
        (lambda: ammonia_fraction(15, 20), "pH 15"),
        (lambda: ammonia_fraction(8, 500), "temperature 500 degC"),
    ]
)
def test_refusals_name_quantity_value_and_unit(call, said):
    with pytest.raises(ValueError, match=said):
        call()


fractions = st.floats(0.01, 0.95)
masses = st.floats(0.1, 1e5)


@given(masses, fractions, fractions, st.floats(0.01, 0.99))
def test_the_second_mass_reaches_the_moisture_goal(mass, first, second, where):
    wanted = first + where * (second - first)
    if wanted == second:
        return
    other = mass_for_moisture(mass, first, second, wanted)
    assert mixture_moisture((MixedPortion(mass, first), MixedPortion(other, second))) == pytest.approx(wanted, abs=1e-6)


@given(masses, fractions, st.floats(0.0, 1.0))
def test_water_reaches_the_goal(mass, moisture, where):
    wanted = moisture + where * (0.99 - moisture) if moisture < 0.99 else moisture
    water = water_to_reach(mass, moisture, wanted)
    assert mixture_moisture((MixedPortion(mass, moisture), MixedPortion(water, 1.0))) == pytest.approx(wanted, abs=1e-9)


@given(st.floats(15, 60), fractions, fractions)
def test_the_second_mass_reaches_the_ratio_goal(wanted, first_moisture, second_moisture):
    poor = MixedPortion(100.0, first_moisture, 0.5, 0.5 / 200)
    rich = MixedPortion(0.0, second_moisture, 0.45, 0.45 / 12)
    added = MixedPortion(mass_for_c_to_n(poor, rich, wanted), second_moisture, rich.carbon, rich.nitrogen)
    assert mixture_c_to_n((poor, added)) == pytest.approx(wanted, rel=1e-6)
