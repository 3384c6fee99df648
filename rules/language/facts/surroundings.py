"""Facts of what is around the heap: its cover, the weather, the house, and the work done lately."""

from __future__ import annotations

from typing import get_args

from rules.language import status_words as words
from rules.language.facts.declaration import flag, number, text
from rules.language.facts.fields import AGE, GOAL, HEAP, HOUSE, HOUSE_SWAYS

# --- cover and weather
cover = text("cover", "What lies over the heap.", *get_args(words.Cover), field="/pile/cover")
wind = text("wind", "How exposed the place is.", *get_args(words.Exposure), field="/pile/wind")
wind_speed_m_s = number("wind_speed_m_s", "m/s", "Wind now.", field="/weather/wind_speed")
sun = text("sun", "Sky.", *get_args(words.Sun), field="/weather/sun")
rain = text("rain", "Rain now.", *get_args(words.Rain), field="/weather/rain")
low_c = number("low_c", "degC", "Lowest air expected tonight.", field="/weather/low")
forecast_low_c = number(
    "forecast_low_c",
    "degC",
    "Lowest air in the forecast, tonight included.",
    tells=("/weather/low", "/weather/forecast"),
)
near_low_c = number(
    "near_low_c",
    "degC",
    "Lowest air expected within two days, tonight included.",
    tells=("/weather/low", "/weather/forecast"),
)
cold_snap_k = number(
    "cold_snap_k",
    "delta_degC",
    "How far the forecast's lowest lies below tonight's low, or below the air now.",
    tells=("/weather/forecast", "/weather/low"),
    sways=("/temperatures/outdoor",),
)
snow_forecast = flag("snow_forecast", "Snow is in the forecast.", tells=("/weather/forecast",))
rain_forecast = flag("rain_forecast", "Heavy rain is in the forecast.", tells=("/weather/forecast",))
freezing = flag(
    "freezing",
    "The air is at or below 0 degC now or tonight.",
    tells=("/weather/low", "/temperatures/outdoor", "/weather/forecast"),
)
frost_may_come = flag(
    "frost_may_come",
    "Nobody told how cold it gets tonight, the air now is not warm, and it is winter or the house is heated.",
    tells=("/temperatures/outdoor", "/weather/low", "/weather/forecast"),
    sways=("/season",),
)

# --- house
house_needs_w = number(
    "house_needs_w",
    "W",
    "Heat the greenhouse needs in tonight's cold, best estimate.",
    tells=HOUSE,
    sways=HOUSE_SWAYS,
    estimated=True,
)
house_c = number("house_c", "degC", "Air in the greenhouse now.", field="/greenhouse/temperature")
house_over_target_k = number(
    "house_over_target_k",
    "delta_degC",
    "How far the house now lies above its night target.",
    tells=("/greenhouse/temperature", "/greenhouse/night_target"),
)
house_humidity_percent = number(
    "house_humidity_percent", "%", "Relative humidity in the greenhouse now.", field="/greenhouse/humidity"
)
pile_share_percent = number(
    "pile_share_percent",
    "%",
    "Share of the house's need tonight that the heap can give.",
    tells=HOUSE,
    sways=(*HOUSE_SWAYS, *HEAP, *GOAL, "/goal/prefer", "/equipment"),
    estimated=True,
)

# --- recent work
days_since_add_water = number("days_since_add_water", "days", "Days since water was added.", tells=("/done",))
days_since_add_nitrogen = number("days_since_add_nitrogen", "days", "Days since nitrogen was added.", tells=("/done",))
days_since_open = number(
    "days_since_open", "days", "Days since the heap was loosened, bulked or topped up.", tells=("/done",)
)
days_since_draw_change = number("days_since_draw_change", "days", "Days since the draw was changed.", tells=("/done",))
days_since_cover_change = number(
    "days_since_cover_change", "days", "Days since the cover was changed.", tells=("/done",)
)
days_since_add_carbon = number("days_since_add_carbon", "days", "Days since carbon was added.", tells=("/done",))
days_since_ash = number(
    "days_since_ash",
    "days",
    "Days since wood ash went on: from recent work, else the heap's age where ash is in it.",
    tells=("/pile/ingredients",),
    sways=AGE,
)
