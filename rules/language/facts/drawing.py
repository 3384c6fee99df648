"""Facts of what is fitted and drawn, and of what holds the heap back."""

from __future__ import annotations

from typing import Final, get_args

from rules.language import status_words as words
from rules.language.facts.declaration import flag, number, text
from rules.language.facts.fields import (
    AIR_ON,
    AIR_SINCE,
    CORE,
    DRAWN,
    DRAWN_SWAYS,
    FITTED,
    GOAL,
    HEAP,
    SIZE,
    UNEXPLAINED,
    UNEXPLAINED_SWAYS,
    WATER_ON,
    WATER_SINCE,
)

# --- what is fitted and what is drawn
has_air_duct = flag("has_air_duct", "An air duct is fitted.", tells=("/equipment", "/draw/air"), sways=("/signs",))
has_water_loop = flag(
    "has_water_loop", "A water loop is fitted.", tells=("/equipment", "/draw/water"), sways=("/signs",)
)
air_drawing = flag("air_drawing", "Air is being drawn.", tells=AIR_ON, sways=AIR_SINCE, estimated=True)
fan_is_set = flag(
    "fan_is_set",
    "The fan is set to run; one that stands still is one that somebody will mend.",
    tells=AIR_ON,
    sways=AIR_SINCE,
    estimated=True,
)
water_drawing = flag("water_drawing", "Water is being drawn.", tells=WATER_ON, sways=WATER_SINCE, estimated=True)
drawing = flag(
    "drawing",
    "Heat is being drawn by air or water.",
    tells=(*DRAWN, *FITTED),
    sways=(*AIR_SINCE, *WATER_SINCE),
    estimated=True,
)
air_flow_m3_h = number("air_flow_m3_h", "m3/h", "Air flow while the fan runs.", tells=("/draw/air/flow",))
air_path = text("air_path", "Whether duct air touches the heap.", *get_args(words.AirPath), field="/draw/air/path")
air_outlet_to_house = flag(
    "air_outlet_to_house", "The drawn air is blown into the greenhouse.", tells=("/draw/air/outlet_to",)
)
air_inlet_from_house = flag(
    "air_inlet_from_house", "The drawn air is taken from the greenhouse.", tells=("/draw/air/inlet_from",)
)
air_inlet_from_outdoors = flag(
    "air_inlet_from_outdoors", "The drawn air is taken from outdoors.", tells=("/draw/air/inlet_from",)
)
air_minutes_per_hour = number(
    "air_minutes_per_hour", "min/h", "Fan minutes in each hour.", tells=AIR_ON, sways=AIR_SINCE, estimated=True
)
water_still_days = number(
    "water_still_days", "days", "Part of each day in which the pump stands.", tells=("/draw/water/hours_per_day",)
)
water_minutes_per_hour = number(
    "water_minutes_per_hour", "min/h", "Pump minutes in each hour.", tells=WATER_ON, sways=WATER_SINCE, estimated=True
)
water_flow_l_min = number("water_flow_l_min", "L/min", "Water flow while the pump runs.", tells=("/draw/water/flow",))
water_outlet_c = number("water_outlet_c", "degC", "Water leaving the heap.", field="/draw/water/outlet")
air_outlet_c = number("air_outlet_c", "degC", "Air leaving the heap.", field="/draw/air/outlet")
water_tube = text("water_tube", "Loop tube.", *get_args(words.Tube), field="/draw/water/tube")
water_loop_kind = text(
    "water_loop_kind", "Whether the loop water is closed in or used.", *get_args(words.Loop), field="/draw/water/loop"
)
days_drawing = number(
    "days_drawing", "days", "Days since the present draw began.", tells=("/draw/air/since", "/draw/water/since")
)
draw_w = number(
    "draw_w", "W", "Heat drawn now, mean over the hour and the day.", tells=DRAWN, sways=DRAWN_SWAYS, estimated=True
)
season_draw_w = number(
    "season_draw_w",
    "W",
    "Draw that the heap can sustain to the goal's date, median.",
    tells=SIZE,
    sways=(*HEAP, *GOAL),
    estimated=True,
)
burst_draw_w = number(
    "burst_draw_w",
    "W",
    "What loop or duct could take for hours, median.",
    tells=FITTED,
    sways=(*DRAWN_SWAYS, *GOAL),
    estimated=True,
)
hand_confirmed = flag(
    "hand_confirmed",
    "Whether an earlier handful of the last weeks, or a second look, agrees that it is dry or wet.",
    tells=("/history", "/done", "/moisture_feel"),
)
hand_after_water = flag(
    "hand_after_water",
    "The handful is dry though water went on lately, and no handful since then tells.",
    tells=("/history", "/done", "/moisture_feel"),
)
days_since_insulate = number("days_since_insulate", "days", "Days since the heap was last wrapped.", tells=("/done",))
days_since_film = number("days_since_film", "days", "Days since clear film was last laid on.", tells=("/done",))
days_since_bulking = number(
    "days_since_bulking", "days", "Days since coarse dry matter was last mixed in.", tells=("/done",)
)
days_since_loop_guard = number(
    "days_since_loop_guard", "days", "Days since the loop was guarded from frost.", tells=("/done",)
)
backup_heat_known = flag("backup_heat_known", "Whether a heater is known to be used in these weeks.", tells=("/done",))
emptying = flag(
    "emptying",
    "Whether the heap is in its last weeks, and warm enough to be emptied by the goal's date.",
    tells=("/goal/until", *FITTED),
    sways=(*CORE, "/goal/keep_core_above", "/greenhouse/night_target", "/season", "/smell", "/signs", "/not_seen"),
)
plan_says = text(
    "plan_says",
    "What the draw plan asks for, against what is drawn now.",
    "more",
    "less",
    "off",
    "as_now",
    tells=FITTED,
    sways=(*DRAWN_SWAYS, *GOAL, "/season", "/smell", "/not_seen"),
    estimated=True,
)
draw_over_season = number(
    "draw_over_season",
    "1",
    "Heat drawn over the season draw, medians.",
    tells=DRAWN,
    sways=(*DRAWN_SWAYS, *GOAL),
    estimated=True,
)
heat_vanished_w = number(
    "heat_vanished_w",
    "W",
    "Heat that leaves and is neither lost nor drawn as told, at least.",
    tells=UNEXPLAINED,
    sways=UNEXPLAINED_SWAYS,
    estimated=True,
)
heat_vanished_over_made = number(
    "heat_vanished_over_made",
    "1",
    "The same over the heat made.",
    tells=UNEXPLAINED,
    sways=UNEXPLAINED_SWAYS,
    estimated=True,
)
heat_beyond_w = number(
    "heat_beyond_w",
    "W",
    "Heat lost, drawn and stored beyond what rot makes, at least.",
    tells=UNEXPLAINED,
    sways=UNEXPLAINED_SWAYS,
    estimated=True,
)
heat_beyond_over_made = number(
    "heat_beyond_over_made",
    "1",
    "The same over the heat made.",
    tells=UNEXPLAINED,
    sways=UNEXPLAINED_SWAYS,
    estimated=True,
)
draw_over_made = number(
    "draw_over_made", "1", "Heat drawn over heat made, medians.", tells=DRAWN, sways=DRAWN_SWAYS, estimated=True
)
made_w = number("made_w", "W", "Heat made now, median.", tells=SIZE, sways=HEAP, estimated=True)
lost_w = number(
    "lost_w", "W", "Heat lost now to ground, air and evaporation, median.", tells=SIZE, sways=HEAP, estimated=True
)
water_carried_off_kg_day = number(
    "water_carried_off_kg_day",
    "kg/day",
    "Water leaving with drawn air, median.",
    tells=AIR_ON,
    sways=DRAWN_SWAYS,
    estimated=True,
)
beyond_chance_percent = number(
    "beyond_chance_percent",
    "%",
    "Chance that more is drawn than the heap can keep up to the goal's date.",
    tells=DRAWN,
    sways=(*DRAWN_SWAYS, *GOAL),
    estimated=True,
)
AHEAD_SWAYS: Final = (*HEAP, *DRAWN_SWAYS, *GOAL, "/smell")
"""What the course ahead follows from."""
fall_3_days_k = number(
    "fall_3_days_k",
    "delta_degC",
    "How far the core falls in 3 days if nothing is changed, median; below 0: it rises.",
    tells=SIZE,
    sways=AHEAD_SWAYS,
    estimated=True,
)
fall_7_days_k = number(
    "fall_7_days_k",
    "delta_degC",
    "The same in 7 days.",
    tells=SIZE,
    sways=AHEAD_SWAYS,
    estimated=True,
)
days_until_cool = number(
    "days_until_cool",
    "days",
    "Days until the core falls below the goal's limit if nothing is changed; 99 if not in a week.",
    tells=SIZE,
    sways=AHEAD_SWAYS,
    estimated=True,
)
core_below_limit = flag(
    "core_below_limit",
    "The core is below the goal's limit already.",
    tells=SIZE,
    sways=AHEAD_SWAYS,
)
loop_stands = flag("loop_stands", "A sign shows that no water flows in the loop, or must not.", tells=("/signs",))
draw_stands = flag(
    "draw_stands",
    "Nothing can be drawn: a sign shows that pump or fan stands still, or has to.",
    tells=("/signs",),
    sways=("/equipment", "/draw"),
)
drawn_until_stopped = flag(
    "drawn_until_stopped", "Pump or fan ran as it was set until it was found standing.", tells=("/signs", "/draw")
)
draw_assumed = flag(
    "draw_assumed",
    "Flow, minutes or hours of a draw that runs were not told.",
    tells=DRAWN,
    sways=(*AIR_SINCE, *WATER_SINCE),
    estimated=True,
)
stored_heat_days = number(
    "stored_heat_days",
    "days",
    "How long the stored heat above the goal's limit would feed the present draw.",
    tells=DRAWN,
    sways=(*DRAWN_SWAYS, *GOAL),
    estimated=True,
)

# --- what holds the heap back: shares of the ensemble, known only where what-ifs are run
limited_by_water_percent = number(
    "limited_by_water_percent",
    "%",
    "Chance that more water would add most heat.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
limited_by_nitrogen_percent = number(
    "limited_by_nitrogen_percent",
    "%",
    "Chance that more nitrogen would add most heat, as far as it adds any.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
limited_by_air_percent = number(
    "limited_by_air_percent",
    "%",
    "Chance that more air inside would add most heat.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
limited_by_draw_percent = number(
    "limited_by_draw_percent",
    "%",
    "Chance that a rest from the draw would help most.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
limited_by_cold_percent = number(
    "limited_by_cold_percent",
    "%",
    "Chance that the heap is chilled, or loses more than any mix of its size could make.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
limited_by_substrate_percent = number(
    "limited_by_substrate_percent",
    "%",
    "Chance that too little is left to rot, whatever else is given.",
    tells=SIZE,
    sways=(*HEAP, *DRAWN_SWAYS),
    estimated=True,
)
