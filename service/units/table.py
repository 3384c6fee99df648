"""The units the service can read and write: factors to SI and the spellings people use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from service.units.estimate import WATER_DENSITY

System = Literal["metric", "us"]
Dimension = Literal[
    "temperature",
    "temperature_difference",
    "mass",
    "volume",
    "water",
    "length",
    "area",
    "water_flow",
    "air_flow",
    "power",
    "energy",
    "duration",
    "speed",
    "percent",
    "minutes_per_hour",
    "hours_per_day",
    "density",
    "mass_per_day",
    "temperature_rate",
    "u_value",
    "ratio",
]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: `si = (number - zero) * factor`."""

    name: str
    factor: float
    zero: float = 0.0

    def to_si(self, number: float) -> float:
        """The inside value of `number` of this unit."""
        return (number - self.zero) * self.factor

    def from_si(self, si: float) -> float:
        """How many of this unit an inside value is."""
        return si / self.factor + self.zero


# Exact by definition: foot, pound, US gallon (231 cubic inches), international table Btu (NIST SP 811, app. B).
FOOT: Final = 0.3048
POUND: Final = 0.45359237
CUBIC_FOOT: Final = FOOT**3
GALLON: Final = 231 * 0.0254**3
BTU: Final = 1055.05585262
MILE: Final = 1609.344
MONTH_DAYS: Final = 30.44
YEAR_DAYS: Final = 365.25

PICKUP_LOAD: Final = 54 * CUBIC_FOOT
BARROW: Final = 3 * CUBIC_FOOT
BUCKET: Final = 5 * GALLON
"""What people count in [m3]: a full-size bed filled level, a garden barrow, a five-gallon bucket (common practice)."""

_Row = tuple[str, float, float, str]

_MASS: Final[tuple[_Row, ...]] = (
    ("kg", 1.0, 0.0, "kgs kilo kilos kilogram kilograms kilogramme kilogrammes"),
    ("t", 1000.0, 0.0, "tonne tonnes metricton metrictons"),
    ("g", 0.001, 0.0, "gram grams gramme grammes"),
    ("lb", POUND, 0.0, "lbs pound pounds lbav lbm"),
    ("oz", POUND / 16, 0.0, "ounce ounces ozav"),
    ("short_ton", 2000 * POUND, 0.0, "shortton shorttons uston ustons stonav"),
    ("long_ton", 2240 * POUND, 0.0, "longton longtons imperialton imperialtons ltonav"),
)
_VOLUME: Final[tuple[_Row, ...]] = (
    ("m3", 1.0, 0.0, "cubicmetre cubicmetres cubicmeter cubicmeters cum"),
    ("L", 0.001, 0.0, "l litre litres liter liters ltr"),
    ("mL", 1e-6, 0.0, "ml millilitre millilitres milliliter milliliters"),
    ("yd3", 27 * CUBIC_FOOT, 0.0, "yds3 cubicyard cubicyards cuyd cuyds cuyard cuyards yards3 yard3 cydi"),
    ("ft3", CUBIC_FOOT, 0.0, "cubicfoot cubicfeet cuft cufeet cufoot feet3 foot3 cfti"),
    ("gal", GALLON, 0.0, "gallon gallons gals galus usgal usgallon usgallons"),
    ("imperial_gal", 0.00454609, 0.0, "imperialgal imperialgallon imperialgallons impgal galimp galbr ukgal"),
    ("pickup_load", PICKUP_LOAD, 0.0, "pickuploads pickupload pickup pickups truckbed truckbeds"),
    ("barrow", BARROW, 0.0, "barrows barrowload barrowloads wheelbarrow wheelbarrows wheelbarrowload wheelbarrowloads"),
    ("bucket", BUCKET, 0.0, "buckets bucketful bucketfuls pail pails"),
)
_ROWS: Final[dict[Dimension, tuple[_Row, ...]]] = {
    "temperature": (
        ("degC", 1.0, 0.0, "c cel celsius centigrade degreec degreesc degreecelsius degreescelsius"),
        ("degF", 1 / 1.8, 32.0, "f fahrenheit degreef degreesf degreefahrenheit degreesfahrenheit"),
        ("K", 1.0, 273.15, "kelvin kelvins degk"),
    ),
    "temperature_difference": (
        ("delta_degC", 1.0, 0.0, "k kelvin kelvins degc c cel celsius"),
        ("delta_degF", 1 / 1.8, 0.0, "degf f fahrenheit"),
    ),
    "mass": _MASS,
    "volume": _VOLUME,
    "water": (
        *((name, factor, zero, words) for name, factor, zero, words in _MASS),
        *((name, factor * WATER_DENSITY, zero, words) for name, factor, zero, words in _VOLUME),
    ),
    "length": (
        ("m", 1.0, 0.0, "metre metres meter meters"),
        ("cm", 0.01, 0.0, "centimetre centimetres centimeter centimeters"),
        ("mm", 0.001, 0.0, "millimetre millimetres millimeter millimeters"),
        ("km", 1000.0, 0.0, "kilometre kilometres kilometer kilometers"),
        ("ft", FOOT, 0.0, "foot feet fti '"),
        ("in", FOOT / 12, 0.0, 'inch inches ini "'),
        ("yd", 3 * FOOT, 0.0, "yds yard yards ydi"),
    ),
    "area": (
        ("m2", 1.0, 0.0, "squaremetre squaremetres squaremeter squaremeters sqm"),
        ("ft2", FOOT**2, 0.0, "squarefoot squarefeet sqft feet2 foot2 sfti"),
        ("yd2", 9 * FOOT**2, 0.0, "squareyard squareyards sqyd"),
    ),
    "water_flow": (
        ("L/min", 1 / 60, 0.0, "lpm l/minute litre/minute litres/minute liter/minute liters/minute"),
        ("L/s", 1.0, 0.0, "l/second litres/second liters/second"),
        ("L/h", 1 / 3600, 0.0, "lph l/hour l/hr litres/hour liters/hour"),
        ("m3/h", WATER_DENSITY / 3600, 0.0, "m3/hr m3/hour"),
        ("kg/s", 1.0, 0.0, "kg/second"),
        ("gal/min", GALLON * WATER_DENSITY / 60, 0.0, "gpm usgpm gal/minute gallon/minute gallons/minute galus/min"),
        ("gal/h", GALLON * WATER_DENSITY / 3600, 0.0, "gph gal/hr gal/hour gallon/hour gallons/hour galus/h"),
    ),
    "air_flow": (
        ("m3/h", 1 / 3600, 0.0, "m3/hr m3/hour cmh cubicmetres/hour cubicmeters/hour"),
        ("m3/min", 1 / 60, 0.0, "m3/minute"),
        ("m3/s", 1.0, 0.0, "m3/second"),
        ("L/s", 0.001, 0.0, "l/second litres/second liters/second"),
        ("ft3/min", CUBIC_FOOT / 60, 0.0, "cfm ft3/minute cuft/min cubicfeet/minute cubicfoot/minute cfti/min"),
        ("ft3/h", CUBIC_FOOT / 3600, 0.0, "cfh ft3/hr ft3/hour cubicfeet/hour"),
    ),
    "power": (
        ("W", 1.0, 0.0, "watt watts"),
        ("kW", 1000.0, 0.0, "kilowatt kilowatts"),
        ("BTU/h", BTU / 3600, 0.0, "btu/hr btu/hour btuh btuit/h"),
        ("kBTU/h", BTU / 3.6, 0.0, "kbtu/hr kbtu/hour kbtuh"),
    ),
    "energy": (
        ("MJ", 1e6, 0.0, "megajoule megajoules"),
        ("J", 1.0, 0.0, "joule joules"),
        ("kJ", 1000.0, 0.0, "kilojoule kilojoules"),
        ("GJ", 1e9, 0.0, "gigajoule gigajoules"),
        ("Wh", 3600.0, 0.0, "watthour watthours"),
        ("kWh", 3.6e6, 0.0, "kilowatthour kilowatthours"),
        ("BTU", BTU, 0.0, "btus btuit"),
        ("kBTU", 1000 * BTU, 0.0, "kbtus"),
        ("MMBTU", 1e6 * BTU, 0.0, "mmbtus"),
    ),
    "duration": (
        ("days", 1.0, 0.0, "d day"),
        ("weeks", 7.0, 0.0, "wk wks week"),
        ("fortnights", 14.0, 0.0, "fortnight"),
        ("months", MONTH_DAYS, 0.0, "mo mos month"),
        ("years", YEAR_DAYS, 0.0, "a yr yrs year"),
        ("hours", 1 / 24, 0.0, "h hr hrs hour"),
        ("min", 1 / 1440, 0.0, "mins minute minutes"),
    ),
    "speed": (
        ("m/s", 1.0, 0.0, "mps m/second m/sec metres/second meters/second"),
        ("km/h", 1 / 3.6, 0.0, "kmh kph km/hr km/hour kilometres/hour kilometers/hour"),
        ("mile/hour", MILE / 3600, 0.0, "mph mile/h miles/hour miles/h mi/h mi/hr mi/hour mii/h"),
        ("ft/s", FOOT, 0.0, "fps feet/second"),
        ("knot", 1852 / 3600, 0.0, "knots kn kt kts kni"),
    ),
    "percent": (("%", 1.0, 0.0, "percent pct"),),
    "minutes_per_hour": (("min/h", 1.0, 0.0, "min mins minute minutes minutes/hour minute/hour min/hr min/hour"),),
    "hours_per_day": (("h/day", 1.0, 0.0, "h hr hrs hour hours hours/day hour/day h/d hr/day"),),
    "density": (("kg/m3", 1.0, 0.0, ""), ("lb/yd3", POUND / (27 * CUBIC_FOOT), 0.0, "")),
    "mass_per_day": (("kg/day", 1.0, 0.0, "kg/d"), ("lb/day", POUND, 0.0, "lb/d")),
    "temperature_rate": (("delta_degC/day", 1.0, 0.0, "k/day"), ("delta_degF/day", 1 / 1.8, 0.0, "")),
    "u_value": (
        ("W/(m2.K)", 1.0, 0.0, "w/m2k w/m2/k w/(m2k)"),
        ("BTU/(h.ft2.degF)", BTU / 3600 * 1.8 / FOOT**2, 0.0, "btu/(hrft2f) btu/hft2f btu/hrft2f btu/(hft2f)"),
    ),
    "ratio": (("1", 1.0, 0.0, ""),),
}


def _spellings(rows: tuple[_Row, ...]) -> dict[str, Unit]:
    table: dict[str, Unit] = {}
    for name, factor, zero, words in rows:
        unit = Unit(name, factor, zero)
        table |= dict.fromkeys((name.lower().replace("_", "").replace(".", ""), *words.split()), unit)
    return table


DIMENSIONS: Final[dict[Dimension, dict[str, Unit]]] = {name: _spellings(rows) for name, rows in _ROWS.items()}
"""Folded spelling -> unit, by dimension."""

CASE_MATTERS: Final[dict[str, frozenset[str]]] = {"mj": frozenset({"MJ"}), "t": frozenset({"t"})}
"""Spellings that mean another unit in another case (mJ; T for a US ton), with the only cases read."""

_YARDS: Final = "write yd3 for cubic yards"
LIKELY_SLIPS: Final[dict[Dimension, dict[str, str]]] = {
    "mass": {"t": "write t for the tonne (1000 kg) or short_ton for the US ton (907 kg)"},
    "volume": dict.fromkeys(("yd", "yds", "yard", "yards"), _YARDS) | dict.fromkeys(("ft", "feet"), "write ft3"),
    "duration": {"m": "write min for minutes or months"},
    "air_flow": dict.fromkeys(("gpm", "gal/min"), "air is counted in ft3/min or m3/h"),
    "water_flow": dict.fromkeys(("cfm", "ft3/min"), "water is counted in gal/min or L/min"),
    "energy": {"mbtu": "write kBTU for a thousand or MMBTU for a million BTU", "mj": "write MJ"},
    "power": dict.fromkeys(("btu", "kwh"), "that is heat, not heat per time: write BTU/h or kW"),
}
"""Units that are wrong for their dimension but easily meant, with what to write."""


def units_of(**names: str) -> dict[Dimension, Unit]:
    """The unit called so in the table, for each dimension named."""
    by_dimension: dict[Dimension, Unit] = {}
    for dimension in get_args(Dimension):
        if dimension in names:
            by_dimension[dimension] = next(u for u in DIMENSIONS[dimension].values() if u.name == names[dimension])
    return by_dimension


SAME_IN_BOTH: Final = {
    "duration": "days",
    "percent": "%",
    "minutes_per_hour": "min/h",
    "hours_per_day": "h/day",
    "ratio": "1",
}
BARE: Final[dict[System, dict[Dimension, Unit]]] = {
    "metric": units_of(
        temperature="degC",
        temperature_difference="delta_degC",
        mass="kg",
        volume="m3",
        water="kg",
        length="m",
        area="m2",
        water_flow="L/min",
        air_flow="m3/h",
        power="kW",
        speed="m/s",
        density="kg/m3",
        u_value="W/(m2.K)",
        **SAME_IN_BOTH,
    ),
    "us": units_of(
        temperature="degF",
        temperature_difference="delta_degF",
        length="ft",
        area="ft2",
        water_flow="gal/min",
        air_flow="ft3/min",
        power="BTU/h",
        speed="mile/hour",
        density="lb/yd3",
        u_value="BTU/(h.ft2.degF)",
        **SAME_IN_BOTH,
    ),
}
"""How a bare number is read; a dimension that is missing takes no bare number."""

WHY_NO_BARE: Final[dict[Dimension, str]] = {
    "mass": 'write its unit, such as "9 short_ton" for a mass or "22 yd3" for a volume',
    "volume": 'write its unit, such as "22 yd3" for a volume or "9 short_ton" for a mass; ft3 and gal are read too',
    "water": 'write its unit, such as "60 gal" or "500 lb"',
    "energy": "write its unit, such as MJ, kWh or BTU",
}
"""What to write instead of a bare number, where none is taken."""
