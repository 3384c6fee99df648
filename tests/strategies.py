"""Whole statuses that the service takes, from the smallest to the fullest, for laws that must hold of all of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any, get_args

from hypothesis import strategies as st

from rules.actions.records import ACTIONS
from rules.tables.materials import MATERIALS, SUPPLIES
from service.status.models import (
    AirPath,
    AirPlace,
    Cover,
    Exposure,
    Glazing,
    Loop,
    MoistureFeel,
    MoistureFeelAt,
    Preference,
    Rain,
    Season,
    Sign,
    Smell,
    Sun,
    Tube,
)

Body = dict[str, Any]
NOW = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
HEAP_MATERIALS = sorted(name for name, material in MATERIALS.items() if material.density.value > 0)


def words(kind: Any) -> st.SearchStrategy[str]:
    """Any of the words of a literal type, or of one with synonyms."""
    first, *rest = get_args(kind)
    return st.sampled_from(rest[0].ids if first is str else (first, *rest))


def number(low: float, high: float, places: int = 1) -> st.SearchStrategy[float]:
    """A number as a person would report it."""
    return st.floats(low, high, allow_nan=False).map(lambda value: round(value, places))


def moment(days_ago: float) -> str:
    return (NOW - timedelta(days=days_ago)).isoformat()


def day(days_ahead: float) -> str:
    return (NOW + timedelta(days=days_ahead)).date().isoformat()


def record(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[Body]:
    """Any of these fields, each present or not."""
    return st.fixed_dictionaries({}, optional=fields)


CORES = st.one_of(number(-5, 95), st.sampled_from([29.9, 30, 39.9, 40, 45, 49.9, 50, 55, 69.9, 70, 74.9, 75, 79.9, 80]))
HOT_CORES = st.integers(75, 400).map(lambda value: f"{value} degC")
AIR = number(-25, 25)

SIZES = st.one_of(
    st.fixed_dictionaries({"volume": number(1, 60)}),
    st.fixed_dictionaries({"mass": number(300, 30000, 0)}),
    st.fixed_dictionaries({"cone": st.fixed_dictionaries({"diameter": number(1, 6), "height": number(0.5, 3)})}),
    st.fixed_dictionaries(
        {"box": st.fixed_dictionaries({"length": number(1, 6), "width": number(1, 4), "height": number(0.5, 2.5)})}
    ),
)
INGREDIENTS = st.lists(
    st.fixed_dictionaries({"material": st.sampled_from(HEAP_MATERIALS), "amount": number(20, 5000, 0)}),
    min_size=1,
    max_size=4,
)
READINGS = st.lists(
    st.fixed_dictionaries({"at": number(0.2, 40).map(moment), "core": number(0, 78)}), min_size=1, max_size=4
)
WORK = st.lists(
    st.fixed_dictionaries({"at": number(0, 30).map(moment), "action": st.sampled_from(sorted(ACTIONS))}), max_size=3
)
SIGNS = st.lists(words(Sign), unique=True, max_size=4)
ON_HAND = st.lists(st.sampled_from([*SUPPLIES, *HEAP_MATERIALS]), unique=True, max_size=6)
RUNNING = {
    "minutes_per_hour": st.integers(0, 60),
    "hours_per_day": st.integers(1, 24),
    "since": number(0, 60).map(lambda d: day(-d)),
}
AIR_DRAWN = record(
    flow=number(0, 300),
    inlet=number(-10, 15),
    path=words(AirPath),
    inlet_from=words(AirPlace),
    outlet_to=words(AirPlace),
    **RUNNING,
)
WATER_DRAWN = record(
    flow=number(0, 12), inlet=number(2, 15), tube=words(Tube), tube_length=number(5, 120), loop=words(Loop), **RUNNING
)
HOUSE = record(volume=number(10, 300), glazing=words(Glazing), glazing_area=number(20, 300), night_target=number(2, 15))
FORECAST = st.lists(
    st.builds(
        lambda ahead, low, more, snow, rain: {
            "date": day(ahead),
            "low": low,
            "high": round(low + more, 1),
            "snow": snow,
            "rain": rain,
        },
        st.integers(0, 9),
        AIR,
        number(0, 12),
        st.booleans(),
        words(Rain),
    ),
    min_size=1,
    max_size=3,
)
WEATHER = record(low=AIR, wind_speed=number(0, 14), sun=words(Sun), rain=words(Rain), forecast=FORECAST)


@st.composite
def bodies(draw: st.DrawFn, *, hot: bool = True) -> Body:
    """A status as it would be sent; `hot` lets cores come up to those of a fire."""
    core = draw(st.one_of(CORES, CORES, HOT_CORES) if hot else CORES)
    number_of_core = float(str(core).removesuffix(" degC"))
    body: Body = {
        "as_of": NOW.isoformat(),
        "pile": {"age": draw(st.one_of(st.integers(0, 30), st.integers(0, 900)))}
        | draw(
            record(
                size=SIZES,
                ingredients=INGREDIENTS,
                moisture=number(10, 80, 0),
                cover=words(Cover),
                wind=words(Exposure),
            )
        ),
        "temperatures": {"core": core}
        | draw(record(outer=number(-5, min(number_of_core, 90) if number_of_core > -4 else 0), outdoor=AIR)),
    }
    drawn = draw(st.one_of(st.none(), record(air=AIR_DRAWN, water=WATER_DRAWN)))
    body |= draw(
        record(
            season=words(Season),
            goal=record(until=st.integers(1, 120).map(day), keep_core_above=number(30, 50), prefer=words(Preference)),
            probe=record(length=number(0.2, 1.5), checked=st.booleans()),
            history=READINGS,
            done=WORK,
            moisture_feel=words(MoistureFeel),
            moisture_feel_at=words(MoistureFeelAt),
            smell=words(Smell),
            signs=SIGNS,
            greenhouse=HOUSE,
            weather=WEATHER,
            on_hand=ON_HAND,
        )
    )
    if drawn is not None:
        body["draw"] = drawn
    if draw(st.booleans()):
        extra = draw(st.lists(st.sampled_from(["air_duct", "water_loop"]), unique=True))
        fitted = {name for name, way in (("air_duct", "air"), ("water_loop", "water")) if drawn and way in drawn}
        body["equipment"] = sorted({*fitted, *extra})
    if draw(st.booleans()):
        outlet = round(min(number_of_core, 90) - draw(number(0, 30)), 1)
        for way in (drawn or {}).values():
            way["outlet"] = max(outlet, -30.0)
    return body
