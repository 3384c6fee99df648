"""Quantities as people write them: against pint, an independent units registry, and against exact constants."""

from __future__ import annotations

import itertools
from typing import get_args

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.units.answer_units import SHOWN
from service.units.quantities import QuantityError, parse_quantity, spell, to_units
from service.units.table import BARE, DIMENSIONS, Dimension, System
from tests.each import each

PINT: pint.UnitRegistry[float] = pint.UnitRegistry()
PINT_NAMES = {
    "degC": "degC",
    "degF": "degF",
    "K": "kelvin",
    "delta_degC": "delta_degC",
    "delta_degF": "delta_degF",
    "kg": "kg",
    "t": "tonne",
    "g": "gram",
    "lb": "pound",
    "oz": "ounce",
    "short_ton": "short_ton",
    "long_ton": "long_ton",
    "m3": "m**3",
    "L": "liter",
    "mL": "milliliter",
    "yd3": "yard**3",
    "ft3": "foot**3",
    "gal": "gallon",
    "imperial_gal": "imperial_gallon",
    "m": "m",
    "cm": "cm",
    "mm": "mm",
    "km": "km",
    "ft": "foot",
    "in": "inch",
    "yd": "yard",
    "m2": "m**2",
    "ft2": "foot**2",
    "yd2": "yard**2",
    "L/min": "liter/minute",
    "L/s": "liter/second",
    "L/h": "liter/hour",
    "m3/h": "m**3/hour",
    "m3/min": "m**3/minute",
    "m3/s": "m**3/second",
    "gal/min": "gallon/minute",
    "gal/h": "gallon/hour",
    "ft3/min": "foot**3/minute",
    "ft3/h": "foot**3/hour",
    "W": "watt",
    "kW": "kilowatt",
    "BTU/h": "Btu_it/hour",
    "kBTU/h": "kiloBtu_it/hour",
    "MJ": "megajoule",
    "J": "joule",
    "kJ": "kilojoule",
    "GJ": "gigajoule",
    "Wh": "watt_hour",
    "kWh": "kilowatt_hour",
    "BTU": "Btu_it",
    "kBTU": "kiloBtu_it",
    "MMBTU": "megaBtu_it",
    "days": "day",
    "weeks": "week",
    "years": "year",
    "hours": "hour",
    "min": "minute",
    "m/s": "m/s",
    "km/h": "km/hour",
    "mile/hour": "mile/hour",
    "ft/s": "foot/second",
    "knot": "knot",
}
PINT_SI: dict[Dimension, str] = {
    "temperature": "degC",
    "temperature_difference": "delta_degC",
    "mass": "kg",
    "volume": "m**3",
    "length": "m",
    "area": "m**2",
    "water_flow": "liter/second",  # a litre of water is taken as a kilogram
    "air_flow": "m**3/second",
    "power": "watt",
    "energy": "joule",
    "duration": "day",
    "speed": "m/s",
}
CHECKED = sorted(
    {
        (dimension, unit.name)
        for dimension in PINT_SI
        for unit in DIMENSIONS[dimension].values()
        if unit.name in PINT_NAMES and (dimension, unit.name) != ("water_flow", "kg/s")
    }
)


@each(CHECKED, [0.0, 0.37, 1.0, 17.5, 131.0, 9876.5])
def test_agrees_with_pint(dimension: Dimension, name: str, number: float) -> None:
    """Oracle: pint 0.24 and later, its default registry."""
    expected = PINT.Quantity(number, PINT_NAMES[name]).to(PINT_SI[dimension]).magnitude
    assert parse_quantity(f"{number} {name}", (dimension,), "metric").si == pytest.approx(expected, rel=1e-9, abs=1e-9)


@each(
    [
        ("131 degF", "temperature", 55.0),  # exact
        ("104 F", "temperature", 40.0),  # exact
        ("158 degF", "temperature", 70.0),  # exact
        ("1 Btu_IT/h", "power", 0.29307107),  # NIST SP 811, app. B.8
        ("1 gpm", "water_flow", 3.785412 / 60),  # 231 cubic inches, NIST SP 811, app. B.8
        ("1 yd3", "volume", 0.764554858),  # NIST SP 811, app. B.8: 7.645 549 E-01
        ("1 cfm", "air_flow", 1.699011 / 3600),  # 0.3048^3 * 60
        ("1 short_ton", "mass", 907.18474),  # 2000 lb, NIST SP 811, app. B.8
        ("1 month", "duration", 30.44),  # mean month, 365.25 / 12 = 30.4375
        ("1 MMBTU", "energy", 1.05505585262e9),  # NIST SP 811, app. B.8
    ]
)
def test_exact_constants(text: str, dimension: Dimension, si: float) -> None:
    """NIST SP 811, appendix B, is quoted from memory."""
    assert parse_quantity(text, (dimension,), "us").si == pytest.approx(si, rel=3e-7)


SPELLINGS = {
    ("temperature", "degF"): "degF deg_F °F F f ℉ [degF] Fahrenheit fahrenheit|deg F|degrees F|º F|DEGF",
    ("temperature", "degC"): "degC °C C c ℃ Cel celsius Celsius|deg C|degrees C|˚C",
    ("volume", "yd3"): "yd3 yd³ yd^3 cu_yd|cubic yards|cubic yard|cu yd|cu. yd.|Cubic Yards|yd**3|[cyd_i]",
    ("volume", "ft3"): "ft3 ft³ ft^3|cubic feet|cu ft|cu. ft.|[cft_i]",
    ("volume", "gal"): "gal gallons Gal [gal_us]|US gallons|US gal",
    ("volume", "L"): "L l litres liters litre",
    ("mass", "short_ton"): "short_ton short_tons short-ton [ston_av]|short ton|short tons|US tons",
    ("mass", "t"): "t tonne tonnes|metric ton",
    ("mass", "lb"): "lb lbs pounds LB [lb_av]",
    ("air_flow", "ft3/min"): "cfm CFM ft3/min ft³/min|cubic feet per minute|cu ft/min",
    ("air_flow", "m3/h"): "m3/h m³/h m3/hr|m3 per hour",
    ("water_flow", "gal/min"): "gpm GPM gal/min|gallons per minute|gal / min",
    ("water_flow", "L/min"): "L/min l/min lpm|litres per minute",
    ("power", "BTU/h"): "BTU/h Btu/h btu/hr BTUH|BTU per hour|[Btu_IT]/h",
    ("power", "kW"): "kW kw KW",
    ("speed", "mile/hour"): "mph MPH mi/h mile/hour|miles per hour|[mi_i]/h",
    ("speed", "km/h"): "km/h kmh kph|km per hour",
    ("duration", "days"): "d day days Days",
    ("duration", "weeks"): "wk weeks week",
    ("length", "ft"): "ft feet foot [ft_i] '",
    ("length", "in"): 'in inches " inch',
    ("area", "ft2"): "ft2 ft² sqft|sq ft|square feet",
    ("percent", "%"): "% percent pct",
    ("minutes_per_hour", "min/h"): "min/h min minutes|minutes per hour|min per hour",
}


@each(
    [
        (dimension, name, spelling)
        for (dimension, name), listed in SPELLINGS.items()
        for first, *phrases in [listed.split("|")]
        for spelling in [*first.split(), *phrases]
    ]
)
def test_everyday_and_ucum_spellings(dimension: Dimension, name: str, spelling: str) -> None:
    """UCUM codes in brackets: The Unified Code for Units of Measure (from memory)."""
    for text in (f"12 {spelling}", f"12{spelling}", f"  12   {spelling} "):
        read = parse_quantity(text, (dimension,), "metric")
        assert (read.number, read.unit.name) == (12.0, name)


@each(
    [
        ("60,5 C", 60.5),
        ("60.5 C", 60.5),
        ("0,125 C", 0.125),
        (",5 C", 0.5),
        ("5. C", 5.0),
        ("-5 C", -5.0),
        ("\N{MINUS SIGN}5 C", -5.0),
        ("- 5 C", -5.0),
        ("+5 C", 5.0),
        ("1e1 C", 10.0),
        ("12345 C", 12345.0),
        ("1.250 C", 1.25),
        ("5\N{NO-BREAK SPACE}C", 5.0),
    ]
)
def test_numbers_as_written(text: str, number: float) -> None:
    assert parse_quantity(text, ("temperature",), "metric").number == number


@each(
    [
        ("1,000 kg", "two ways"),
        ("12,345 kg", "two ways"),
        ("1 000 kg", "thousands"),
        ("1.000,5 kg", "thousands"),
        ("1,000.5 kg", "thousands"),
        ("1e400 kg", "not finite"),
        ("", "one number"),
        ("kg", "one number"),
        ("about 5 kg", "one number"),
        ("5-6 kg", "unknown unit"),
        ("5 kg or so", "unknown unit"),
        ("1/2 kg", "unknown unit"),
        ("nan kg", "one number"),
        ("inf kg", "one number"),
        ("٣ kg", "one number"),
        ("5\n kg", "one number"),
        ("5 \0kg", "one number"),
        ("5 kg" + " " * 100, "too long"),
        ("5 °C", "unknown unit"),
        ("5 yards", "yd3"),
        ("9 T", "short_ton"),
    ]
)
def test_refuses_what_could_be_read_two_ways(text: str, hint: str) -> None:
    with pytest.raises(QuantityError, match=hint):
        parse_quantity(text, ("mass", "volume"), "metric")


@each([True, False, None, [], {}, [5], b"5 kg"])
def test_only_numbers_and_texts_are_quantities(raw: object) -> None:
    with pytest.raises(QuantityError, match="a number or a text"):
        parse_quantity(raw, ("mass",), "metric")


@each([float("nan"), float("inf"), float("-inf"), 10**400])
def test_numbers_must_be_finite(raw: float) -> None:
    with pytest.raises(QuantityError, match="not finite"):
        parse_quantity(raw, ("mass",), "metric")


# The interface's own table of bare numbers.
METRIC_BARE = {
    "temperature": "degC",
    "mass": "kg",
    "volume": "m3",
    "water_flow": "L/min",
    "air_flow": "m3/h",
    "length": "m",
    "power": "kW",
    "duration": "days",
}
US_BARE = {
    "temperature": "degF",
    "water_flow": "gal/min",
    "air_flow": "ft3/min",
    "length": "ft",
    "power": "BTU/h",
    "duration": "days",
}


@each(
    [("metric", *row) for row in METRIC_BARE.items()] + [("us", *row) for row in US_BARE.items()],
    [7, 7.0, "7", " 7 ", "7,0"],
)
def test_bare_numbers_are_read_in_the_system(system: str, dimension: Dimension, unit: str, raw: object) -> None:
    read = parse_quantity(raw, (dimension,), system)  # type: ignore[arg-type]
    assert (read.number, read.unit.name, read.bare) == (7.0, unit, True)


@pytest.mark.parametrize("dimensions", [("mass",), ("volume",), ("mass", "volume"), ("mass", "volume", "duration")])
def test_bare_sizes_are_refused_under_us(dimensions: tuple[Dimension, ...]) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_quantity(7, dimensions, "us")
    assert "yd3" in str(refused.value) and "short_ton" in str(refused.value)


def test_a_ton_is_short_under_us_and_ambiguous_under_metric() -> None:
    assert parse_quantity("9 ton", ("mass", "volume"), "us").si == pytest.approx(9 * 907.18474)
    assert parse_quantity("9 tons", ("mass",), "us").unit.name == "short_ton"
    with pytest.raises(QuantityError, match="ambiguous"):
        parse_quantity("9 ton", ("mass", "volume"), "metric")
    assert parse_quantity("9 t", ("mass",), "us").si == 9000.0


def test_case_matters_only_where_it_changes_the_unit() -> None:
    assert parse_quantity("2 MJ", ("energy",), "metric").si == 2e6
    for text in ("2 mJ", "2 mj", "2 MBtu"):
        with pytest.raises(QuantityError):
            parse_quantity(text, ("energy",), "metric")


ANSWER_UNITS = {
    "temperature": ("degC", "degF"),
    "temperature_difference": ("delta_degC", "delta_degF"),
    "mass": ("kg", "lb"),
    "volume": ("m3", "yd3"),
    "water": ("L", "gal"),
    "length": ("m", "ft"),
    "area": ("m2", "ft2"),
    "water_flow": ("L/min", "gal/min"),
    "air_flow": ("m3/h", "ft3/min"),
    "power": ("W", "BTU/h"),
    "energy": ("MJ", "BTU"),
    "duration": ("days", "days"),
    "percent": ("%", "%"),
    "minutes_per_hour": ("min/h", "min/h"),
}


@each(ANSWER_UNITS.items())
def test_answers_use_these_units(dimension: Dimension, units: tuple[str, str]) -> None:
    assert tuple(to_units(1.0, dimension, system)[1] for system in ("metric", "us")) == units


@each(
    [
        (55.0, "temperature", 55.0, 131.0),  # exact
        (5.0, "temperature_difference", 5.0, 9.0),  # exact
        (1000.0, "power", 1000.0, 3412.142),  # NIST SP 811, app. B.8
        (1000.0, "water", 1000.0, 264.1721),  # kg of water to L and US gal
        (1.0, "density", 1.0, 1.685555),  # 0.764554858 / 0.45359237
        (5.678263, "u_value", 5.678263, 1.0),  # NIST SP 811, app. B.8: Btu_IT/(h.ft2.degF)
        (1e9, "energy", 1000.0, 947817.1),  # NIST SP 811, app. B.8
    ]
)
def test_restated_values(si: float, dimension: Dimension, metric: float, us: float) -> None:
    assert to_units(si, dimension, "metric")[0] == pytest.approx(metric, rel=1e-6)
    assert to_units(si, dimension, "us")[0] == pytest.approx(us, rel=1e-6)


def test_every_dimension_is_shown_in_both_systems_and_every_bare_unit_is_known() -> None:
    for dimension, system in itertools.product(get_args(Dimension), get_args(System)):
        assert SHOWN[dimension][system] in DIMENSIONS[dimension].values()
        bare = BARE[system].get(dimension)
        assert bare is None or bare in DIMENSIONS[dimension].values()


@given(st.floats(-1e6, 1e6), st.sampled_from(get_args(Dimension)), st.sampled_from(["metric", "us"]))
def test_restating_and_reading_again_gives_the_value_back(si: float, dimension: Dimension, system: str) -> None:
    value, unit = to_units(si, dimension, system)  # type: ignore[arg-type]
    again = next(known for known in DIMENSIONS[dimension].values() if known.name == unit).to_si(value)
    assert again == pytest.approx(si, rel=1e-9, abs=1e-6)


@given(st.text(max_size=80), st.sampled_from(["metric", "us"]))
def test_any_text_is_read_or_refused_and_never_fails_otherwise(text: str, system: str) -> None:
    try:
        read = parse_quantity(text, ("mass", "volume"), system)  # type: ignore[arg-type]
    except QuantityError:
        return
    assert abs(read.si) < float("inf")


@each([(131.0, "degC", "131 degC"), (0.1 + 0.2, "m", "0.3 m"), (5e6, "kg", "5000000 kg"), (0.5, "1", "0.5")])
def test_spelled_without_exponent(number: float, unit: str, text: str) -> None:
    assert spell(number, unit) == text
