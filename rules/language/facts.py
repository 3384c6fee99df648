"""Every fact a condition may name: its unit and what it means. The service fills them; a missing one is unknown.

Use it as `from rules import facts as f` and write `f.core_c < 40`. Units are SI-like: degC, delta_degC (a difference),
K/day, W, kg, m3, m, %, days, hours, m/s, min/h, m3/h, L/min, and 1 for pure numbers. A fact that repeats a field of the
status names it (`field`) and needs nothing more; where all others come from stands in `service.facts.fields`.
"""

from __future__ import annotations

from typing import Final, get_args

from rules.language import status_words as words
from rules.language.conditions import Fact
from rules.language.vocabulary import SIGNS, SMELLS

_ALL: Final[dict[str, Fact]] = {}


def _declare(fact: Fact) -> Fact:
    if fact.name in _ALL:
        raise ValueError(f"fact {fact.name} is declared twice")
    _ALL[fact.name] = fact
    return fact


def _number(name: str, unit: str, meaning: str, field: str = "") -> Fact:
    return _declare(Fact(name, "number", unit, meaning, field=field))


def _flag(name: str, meaning: str, field: str = "") -> Fact:
    return _declare(Fact(name, "flag", "", meaning, field=field))


def _text(name: str, meaning: str, *values: str, field: str = "") -> Fact:
    return _declare(Fact(name, "text", "", meaning, values, field))


# --- age and plan
age_days = _number("age_days", "days", "Days since the heap was built.")
season = _text("season", "Whether the house is being heated.", *get_args(words.Season), field="/season")
prefer = _text("prefer", "What the grower would rather have.", *get_args(words.Preference), field="/goal/prefer")
goal_days = _number("goal_days", "days", "Days from now to the end of the goal.")

# --- temperatures
core_c = _number("core_c", "degC", "Hottest reading at or below half the radius.")
hottest_c = _number("hottest_c", "degC", "Hottest reading anywhere in the heap, now.")
outer_c = _number("outer_c", "degC", "Reading 15 to 30 cm deep.", field="/temperatures/outer")
outdoor_c = _number("outdoor_c", "degC", "Air outside now.", field="/temperatures/outdoor")
core_above_outdoor_k = _number("core_above_outdoor_k", "delta_degC", "Core less outdoor air.")
core_above_outer_k = _number("core_above_outer_k", "delta_degC", "Core less outer reading.")
points_spread_k = _number("points_spread_k", "delta_degC", "Hottest less coldest of the probe points of like depth.")
core_trend_k_per_day = _number("core_trend_k_per_day", "K/day", "Slope of the core from its readings.")
core_trend_error_k_per_day = _number("core_trend_error_k_per_day", "K/day", "Standard error of that slope.")
core_rising = _flag("core_rising", "The core rises by 0.7 K/day or more, beyond reading error.")
core_falling = _flag(
    "core_falling",
    "The core falls by 0.7 K/day or more, beyond reading error, or steadily for two weeks, however slowly.",
)
core_steady = _flag("core_steady", "There is a trend and it neither rises nor falls.")
core_jump_k = _number("core_jump_k", "delta_degC", "Largest change of the core between readings under 36 h apart.")
peak_core_c = _number("peak_core_c", "degC", "Hottest core ever read, now included; known only with a history.")
days_since_peak = _number("days_since_peak", "days", "Days since the hottest core was read; known only with a history.")
hottest_lately_c = _number("hottest_lately_c", "degC", "Hottest core of the last days before now.")
phase = _text(
    "phase",
    "Heat phase by the first match of the phase table.",
    "overheating",
    "warming",
    "falling",
    "hot",
    "holding",
    "spent",
    "cold",
    "unclear",
)

# --- probe and other doubts about measurement
probe_too_short = _flag("probe_too_short", "No reading reaches half the radius: the core is only a lower bound.")
probe_fault = _text(
    "probe_fault",
    "What the log shows to be wrong with the probe.",
    "broken",
    "pulled_out",
    "jumping",
    "stuck",
    "drifting",
    "silent",
)
probe_silent_days = _number("probe_silent_days", "days", "Days without a reading from a probe that was read regularly.")
core_read_days_ago = _number(
    "core_read_days_ago", "days", "Age of the newest reading of the core, where none of now was given."
)
probe_checked = _flag("probe_checked", "The probe was checked against ice or boiling water.", field="/probe/checked")
outlet_above_core_k = _number("outlet_above_core_k", "delta_degC", "Warmest draw outlet less core.")
outlet_below_inlet = _flag("outlet_below_inlet", "A draw outlet reads colder than its inlet.")
size_disagrees = _flag(
    "size_disagrees", "Size and ingredients differ by more than 1.6 times, or the bulk density is odd."
)
bulk_density_kg_m3 = _number("bulk_density_kg_m3", "kg/m3", "Mass over volume, where both were given.")
core_below_outdoor = _flag("core_below_outdoor", "The core reads more than 3 K below the air outside.")
has_history = _flag("has_history", "At least one earlier core reading was given.")

# --- size and make-up
mass_kg = _number(
    "mass_kg", "kg", "Mass of the heap today, best estimate; only where a size or ingredients were given."
)
volume_m3 = _number(
    "volume_m3", "m3", "Volume of the heap today, best estimate; only where a size or ingredients were given."
)
wood_share_percent = _number("wood_share_percent", "%", "Share of the dry matter that is wood or bark.")
fine_share_percent = _number(
    "fine_share_percent", "%", "Share of the fresh mass that packs: grass, food scraps, wet manure, sawdust."
)
cn_ratio = _number("cn_ratio", "1", "All carbon to nitrogen of what is left now, dry basis.")
cn_ratio_degradable = _number("cn_ratio_degradable", "1", "Carbon that can still rot to nitrogen of what is left now.")
has_ash = _flag("has_ash", "Wood ash is among the ingredients.")
has_manure = _flag("has_manure", "Manure is among the ingredients.")
has_poultry_manure = _flag("has_poultry_manure", "Poultry manure is among the ingredients.")
has_food_scraps = _flag("has_food_scraps", "Food scraps are among the ingredients.")
has_rich_nitrogen = _flag("has_rich_nitrogen", "Urea, urine, blood meal or poultry manure is among the ingredients.")
degradable_left_percent = _number(
    "degradable_left_percent", "%", "Share of the degradable dry matter still left, median."
)
free_air_space_percent = _number("free_air_space_percent", "%", "Air-filled share of the heap's volume.")

# --- moisture, smell, signs
moisture_feel = _text("moisture_feel", "Squeeze test.", *get_args(words.MoistureFeel), field="/moisture_feel")
moisture_feel_at = _text(
    "moisture_feel_at",
    "Where the squeezed handful came from.",
    *get_args(words.MoistureFeelAt),
    field="/moisture_feel_at",
)
moisture_percent = _number("moisture_percent", "%", "Water in the wet mass, where it was measured.")
smell = _text("smell", "Smell.", *SMELLS, field="/smell")
for _sign in SIGNS.values():
    _flag(_sign.id, _sign.means)
help_called = _flag("help_called", "The fire service is called.", field="/help_called")
shrunk_percent = _number(
    "shrunk_percent", "%", "How much of its first height or volume the heap has lost.", field="/pile/shrunk"
)

# --- people
people_unwell = _flag("people_unwell", "Somebody by the heap or in the house has a headache, is dizzy or sick.")
people_sting = _flag("people_sting", "Somebody's eyes or throat sting, or somebody coughs.")

# --- what is on hand, where a rule asks for it
has_bubble_wrap = _flag("has_bubble_wrap", "Bubble wrap is on hand.")
has_antifreeze = _flag("has_antifreeze", "Antifreeze is on hand.")
has_heater = _flag("has_heater", "A heater is on hand.")
has_spare_fan = _flag("has_spare_fan", "A spare fan is on hand.")
has_mesh = _flag("has_mesh", "Wire mesh is on hand.")

# --- cover and weather
cover = _text("cover", "What lies over the heap.", *get_args(words.Cover), field="/pile/cover")
wind = _text("wind", "How exposed the place is.", *get_args(words.Exposure), field="/pile/wind")
wind_speed_m_s = _number("wind_speed_m_s", "m/s", "Wind now.", field="/weather/wind_speed")
sun = _text("sun", "Sky.", *get_args(words.Sun), field="/weather/sun")
rain = _text("rain", "Rain now.", *get_args(words.Rain), field="/weather/rain")
low_c = _number("low_c", "degC", "Lowest air expected tonight.", field="/weather/low")
forecast_low_c = _number("forecast_low_c", "degC", "Lowest air in the forecast, tonight included.")
cold_snap_k = _number(
    "cold_snap_k", "delta_degC", "How far the forecast's lowest lies below tonight's low, or below the air now."
)
snow_forecast = _flag("snow_forecast", "Snow is in the forecast.")
rain_forecast = _flag("rain_forecast", "Heavy rain is in the forecast.")
freezing = _flag("freezing", "The air is at or below 0 degC now or tonight.")
frost_may_come = _flag(
    "frost_may_come", "Nobody told how cold it is outside or gets tonight, and it is winter or the house is heated."
)

# --- what is fitted and what is drawn
has_air_duct = _flag("has_air_duct", "An air duct is fitted.")
has_water_loop = _flag("has_water_loop", "A water loop is fitted.")
air_drawing = _flag("air_drawing", "Air is being drawn.")
fan_is_set = _flag("fan_is_set", "The fan is set to run; one that stands still is one that somebody will mend.")
water_drawing = _flag("water_drawing", "Water is being drawn.")
drawing = _flag("drawing", "Heat is being drawn by air or water.")
air_flow_m3_h = _number("air_flow_m3_h", "m3/h", "Air flow while the fan runs.")
air_path = _text("air_path", "Whether duct air touches the heap.", *get_args(words.AirPath), field="/draw/air/path")
air_outlet_to_house = _flag("air_outlet_to_house", "The drawn air is blown into the greenhouse.")
air_inlet_from_house = _flag("air_inlet_from_house", "The drawn air is taken from the greenhouse.")
air_inlet_from_outdoors = _flag("air_inlet_from_outdoors", "The drawn air is taken from outdoors.")
air_minutes_per_hour = _number("air_minutes_per_hour", "min/h", "Fan minutes in each hour.")
water_minutes_per_hour = _number("water_minutes_per_hour", "min/h", "Pump minutes in each hour.")
water_flow_l_min = _number("water_flow_l_min", "L/min", "Water flow while the pump runs.")
water_outlet_c = _number("water_outlet_c", "degC", "Water leaving the heap.", field="/draw/water/outlet")
air_outlet_c = _number("air_outlet_c", "degC", "Air leaving the heap.", field="/draw/air/outlet")
water_tube = _text("water_tube", "Loop tube.", *get_args(words.Tube), field="/draw/water/tube")
water_loop_kind = _text(
    "water_loop_kind", "Whether the loop water is closed in or used.", *get_args(words.Loop), field="/draw/water/loop"
)
days_drawing = _number("days_drawing", "days", "Days since the present draw began.")
draw_w = _number("draw_w", "W", "Heat drawn now, mean over the hour and the day.")
season_draw_w = _number("season_draw_w", "W", "Draw that the heap can sustain to the goal's date, median.")
burst_draw_w = _number("burst_draw_w", "W", "What loop or duct could take for hours, median.")
hand_confirmed = _flag(
    "hand_confirmed", "Whether an earlier handful of the last weeks, or a second look, agrees that it is dry or wet."
)
days_since_insulate = _number("days_since_insulate", "days", "Days since the heap was last wrapped.")
days_since_film = _number("days_since_film", "days", "Days since clear film was last laid on.")
days_since_bulking = _number("days_since_bulking", "days", "Days since coarse dry matter was last mixed in.")
days_since_loop_guard = _number("days_since_loop_guard", "days", "Days since the loop was guarded from frost.")
backup_heat_known = _flag("backup_heat_known", "Whether a heater is known to be used in these weeks.")
emptying = _flag("emptying", "Whether the heap is in its last weeks, and warm enough to be emptied by the goal's date.")
plan_says = _text(
    "plan_says", "What the draw plan asks for, against what is drawn now.", "more", "less", "off", "as_now"
)
draw_over_season = _number("draw_over_season", "1", "Heat drawn over the season draw, medians.")
heat_vanished_w = _number("heat_vanished_w", "W", "Heat that leaves and is neither lost nor drawn as told, at least.")
heat_vanished_over_made = _number("heat_vanished_over_made", "1", "The same over the heat made.")
heat_beyond_w = _number("heat_beyond_w", "W", "Heat lost, drawn and stored beyond what rot makes, at least.")
heat_beyond_over_made = _number("heat_beyond_over_made", "1", "The same over the heat made.")
draw_over_made = _number("draw_over_made", "1", "Heat drawn over heat made, medians.")
made_w = _number("made_w", "W", "Heat made now, median.")
lost_w = _number("lost_w", "W", "Heat lost now to ground, air and evaporation, median.")
water_carried_off_kg_day = _number("water_carried_off_kg_day", "kg/day", "Water leaving with drawn air, median.")
beyond_chance_percent = _number(
    "beyond_chance_percent", "%", "Chance that more is drawn than the heap can keep up to the goal's date."
)
fall_3_days_k = _number(
    "fall_3_days_k", "delta_degC", "How far the core falls in 3 days if nothing is changed, median; below 0: it rises."
)
fall_7_days_k = _number("fall_7_days_k", "delta_degC", "The same in 7 days.")
days_until_cool = _number(
    "days_until_cool",
    "days",
    "Days until the core falls below the goal's limit if nothing is changed; 99 if not in a week.",
)
loop_stands = _flag("loop_stands", "A sign shows that no water flows in the loop, or must not.")
draw_stands = _flag("draw_stands", "Nothing can be drawn: a sign shows that pump or fan stands still, or has to.")
drawn_until_stopped = _flag("drawn_until_stopped", "Pump or fan ran as it was set until it was found standing.")
draw_assumed = _flag("draw_assumed", "Flow, minutes or hours of a draw that runs were not told.")
stored_heat_days = _number(
    "stored_heat_days", "days", "How long the stored heat above the goal's limit would feed the present draw."
)

# --- what holds the heap back: shares of the ensemble, known only where what-ifs are run
limited_by_water_percent = _number("limited_by_water_percent", "%", "Chance that more water would add most heat.")
limited_by_nitrogen_percent = _number(
    "limited_by_nitrogen_percent", "%", "Chance that more nitrogen would add most heat, as far as it adds any."
)
limited_by_air_percent = _number("limited_by_air_percent", "%", "Chance that more air inside would add most heat.")
limited_by_draw_percent = _number("limited_by_draw_percent", "%", "Chance that a rest from the draw would help most.")
limited_by_cold_percent = _number(
    "limited_by_cold_percent",
    "%",
    "Chance that the heap is chilled, or loses more than any mix of its size could make.",
)
limited_by_substrate_percent = _number(
    "limited_by_substrate_percent", "%", "Chance that too little is left to rot, whatever else is given."
)

# --- house
house_needs_w = _number("house_needs_w", "W", "Heat the greenhouse needs in tonight's cold, best estimate.")
house_c = _number("house_c", "degC", "Air in the greenhouse now.", field="/greenhouse/temperature")
house_over_target_k = _number("house_over_target_k", "delta_degC", "How far the house now lies above its night target.")
house_humidity_percent = _number(
    "house_humidity_percent", "%", "Relative humidity in the greenhouse now.", field="/greenhouse/humidity"
)
pile_share_percent = _number("pile_share_percent", "%", "Share of the house's need tonight that the heap can give.")

# --- recent work
days_since_add_water = _number("days_since_add_water", "days", "Days since water was added.")
days_since_add_nitrogen = _number("days_since_add_nitrogen", "days", "Days since nitrogen was added.")
days_since_open = _number("days_since_open", "days", "Days since the heap was loosened, bulked or topped up.")
days_since_draw_change = _number("days_since_draw_change", "days", "Days since the draw was changed.")
days_since_cover_change = _number("days_since_cover_change", "days", "Days since the cover was changed.")
days_since_add_carbon = _number("days_since_add_carbon", "days", "Days since carbon was added.")
days_since_ash = _number(
    "days_since_ash", "days", "Days since wood ash went on: from recent work, else the heap's age where ash is in it."
)

DECLARED: Final = dict(_ALL)


def __getattr__(name: str) -> Fact:
    """The fact of a sign, which stands in its record alone (`words.toml`): a rule that reads `f.flies` gets it here."""
    if name not in SIGNS:
        raise AttributeError(f"no fact {name}: declare it here, or put a sign of that id into words.toml")
    return _ALL[name]
