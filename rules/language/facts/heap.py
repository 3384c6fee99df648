"""Facts of the heap itself: its age, warmth, make-up and moisture, and the probe in it."""

from __future__ import annotations

from typing import get_args

from rules.language import status_words as words
from rules.language.facts.declaration import flag, number, text
from rules.language.facts.fields import (
    AGE,
    CORE,
    CORE_SWAYS,
    FAILING_SWAYS,
    HEAP,
    HISTORY,
    HISTORY_SWAYS,
    SIZE,
    WATER_INSIDE,
)
from rules.language.vocabulary import SIGNS, SMELLS

# --- age and plan
age_days = number("age_days", "days", "Days since the heap was built.", tells=AGE)
season = text("season", "Whether the house is being heated.", *get_args(words.Season), field="/season")
prefer = text("prefer", "What the grower would rather have.", *get_args(words.Preference), field="/goal/prefer")
goal_days = number("goal_days", "days", "Days from now to the end of the goal.", tells=("/goal/until",), estimated=True)
keep_core_above_c = number(
    "keep_core_above_c",
    "degC",
    "The core to stay above: the goal's, or a usual one.",
    tells=("/goal/keep_core_above",),
    estimated=True,
)

# --- temperatures
core_c = number(
    "core_c", "degC", "Hottest reading at or below half the radius.", tells=("/temperatures/core",), sways=CORE_SWAYS
)
hottest_c = number(
    "hottest_c",
    "degC",
    "Hottest reading anywhere in the heap, now.",
    tells=("/temperatures/core",),
    sways=(*CORE_SWAYS, "/temperatures/outer"),
)
outer_c = number("outer_c", "degC", "Reading 15 to 30 cm deep.", field="/temperatures/outer")
outdoor_c = number("outdoor_c", "degC", "Air outside now.", field="/temperatures/outdoor")
core_above_outdoor_k = number(
    "core_above_outdoor_k",
    "delta_degC",
    "Core less outdoor air.",
    tells=("/temperatures/core", "/temperatures/outdoor"),
    sways=CORE_SWAYS,
)
core_above_outer_k = number(
    "core_above_outer_k",
    "delta_degC",
    "Core less outer reading.",
    tells=("/temperatures/core", "/temperatures/outer"),
    sways=CORE_SWAYS,
)
points_spread_k = number(
    "points_spread_k",
    "delta_degC",
    "Hottest less coldest of the probe points of like depth.",
    tells=("/temperatures/points",),
)
core_trend_k_per_day = number(
    "core_trend_k_per_day", "K/day", "Slope of the core from its readings.", tells=HISTORY, sways=HISTORY_SWAYS
)
core_trend_error_k_per_day = number(
    "core_trend_error_k_per_day", "K/day", "Standard error of that slope.", tells=HISTORY, sways=HISTORY_SWAYS
)
core_rising = flag(
    "core_rising", "The core rises by 0.7 K/day or more, beyond reading error.", tells=HISTORY, sways=HISTORY_SWAYS
)
core_falling = flag(
    "core_falling",
    "The core falls by 0.7 K/day or more, beyond reading error, or steadily for two weeks, however slowly.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
core_steady = flag(
    "core_steady", "There is a trend and it neither rises nor falls.", tells=HISTORY, sways=HISTORY_SWAYS
)
core_jump_k = number(
    "core_jump_k",
    "delta_degC",
    "Largest change of the core between readings under 36 h apart.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
peak_core_c = number(
    "peak_core_c",
    "degC",
    "Hottest core ever read, now included; known only with a history.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
days_since_peak = number(
    "days_since_peak",
    "days",
    "Days since the hottest core was read; known only with a history.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
hottest_lately_c = number(
    "hottest_lately_c", "degC", "Hottest core of the last days before now.", tells=HISTORY, sways=HISTORY_SWAYS
)
phase = text(
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
    tells=("/temperatures/core", "/history"),
    sways=(*HEAP, "/smell"),
)

# --- probe and other doubts about measurement
probe_too_short = flag(
    "probe_too_short",
    "No reading reaches half the radius: the core is only a lower bound.",
    tells=("/probe/length", "/pile/size"),
    sways=("/pile/ingredients", *CORE),
    estimated=True,
)
probe_fault = text(
    "probe_fault",
    "What the log shows to be wrong with the probe.",
    "broken",
    "pulled_out",
    "jumping",
    "stuck",
    "drifting",
    "silent",
    tells=("/history",),
    sways=("/temperatures/core", *FAILING_SWAYS),
)
probe_silent_days = number(
    "probe_silent_days",
    "days",
    "Days without a reading from a probe that was read regularly.",
    tells=("/history",),
    sways=("/temperatures/core",),
)
core_read_days_ago = number(
    "core_read_days_ago",
    "days",
    "Age of the newest reading of the core, where none of now was given.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
core_by_now_c = number(
    "core_by_now_c",
    "degC",
    "What a rising core has come to since it was last read, where it rose on as before.",
    tells=HISTORY,
    sways=HISTORY_SWAYS,
)
probe_checked = flag("probe_checked", "The probe was checked against ice or boiling water.", field="/probe/checked")
outlet_above_core_k = number(
    "outlet_above_core_k",
    "delta_degC",
    "Warmest draw outlet less core.",
    tells=("/draw/air/outlet", "/draw/water/outlet"),
    sways=("/temperatures/core", *CORE_SWAYS),
)
outlet_below_inlet = flag(
    "outlet_below_inlet",
    "A draw outlet reads colder than its inlet.",
    tells=("/draw/air/inlet", "/draw/air/outlet", "/draw/water/inlet", "/draw/water/outlet"),
)
size_disagrees = flag(
    "size_disagrees", "Size and ingredients differ by more than 1.6 times, or the bulk density is odd.", tells=SIZE
)
bulk_density_kg_m3 = number(
    "bulk_density_kg_m3", "kg/m3", "Mass over volume, where both were given.", tells=("/pile/size",)
)
core_below_outdoor = flag(
    "core_below_outdoor",
    "The core reads more than 3 K below the air outside.",
    tells=("/temperatures/core", "/temperatures/outdoor"),
    sways=CORE_SWAYS,
)
has_history = flag(
    "has_history",
    "At least one earlier core reading was given.",
    tells=("/history",),
    sways=("/temperatures/core", *FAILING_SWAYS),
)

# --- size and make-up
mass_kg = number(
    "mass_kg",
    "kg",
    "Mass of the heap today, best estimate; only where a size or ingredients were given.",
    tells=SIZE,
    estimated=True,
)
volume_m3 = number(
    "volume_m3",
    "m3",
    "Volume of the heap today, best estimate; only where a size or ingredients were given.",
    tells=SIZE,
    estimated=True,
)
wood_share_percent = number(
    "wood_share_percent", "%", "Share of the dry matter that is wood or bark.", tells=("/pile/ingredients",)
)
fine_share_percent = number(
    "fine_share_percent",
    "%",
    "Share of the fresh mass that packs: grass, food scraps, wet manure, sawdust.",
    tells=("/pile/ingredients",),
)
cn_ratio = number(
    "cn_ratio", "1", "All carbon to nitrogen of what is left now, dry basis.", tells=("/pile/ingredients",), sways=HEAP
)
cn_ratio_degradable = number(
    "cn_ratio_degradable",
    "1",
    "Carbon that can still rot to nitrogen of what is left now.",
    tells=("/pile/ingredients",),
    sways=HEAP,
)
has_ash = flag("has_ash", "Wood ash is among the ingredients.", tells=("/pile/ingredients",))
has_manure = flag("has_manure", "Manure is among the ingredients.", tells=("/pile/ingredients",))
has_poultry_manure = flag(
    "has_poultry_manure", "Poultry manure is among the ingredients.", tells=("/pile/ingredients",)
)
has_food_scraps = flag("has_food_scraps", "Food scraps are among the ingredients.", tells=("/pile/ingredients",))
has_rich_nitrogen = flag(
    "has_rich_nitrogen",
    "Urea, urine, blood meal or poultry manure is among the ingredients.",
    tells=("/pile/ingredients",),
)
could_rot_percent = number(
    "could_rot_percent",
    "%",
    "Share of the dry matter that could rot in time when the heap was built.",
    tells=("/pile/ingredients",),
)
degradable_left_percent = number(
    "degradable_left_percent",
    "%",
    "Share of the degradable dry matter still left, median.",
    tells=("/pile/ingredients", *AGE),
    sways=HEAP,
    estimated=True,
)
free_air_space_percent = number(
    "free_air_space_percent",
    "%",
    "Air-filled share of the heap's volume.",
    tells=(*SIZE, "/pile/moisture"),
    sways=WATER_INSIDE[1:],
    estimated=True,
)

# --- moisture, smell, signs
moisture_feel = text("moisture_feel", "Squeeze test.", *get_args(words.MoistureFeel), field="/moisture_feel")
moisture_feel_at = text(
    "moisture_feel_at",
    "Where the squeezed handful came from.",
    *get_args(words.MoistureFeelAt),
    field="/moisture_feel_at",
)
moisture_percent = number(
    "moisture_percent", "%", "Water in the wet mass, where it was measured.", tells=("/pile/moisture",)
)
smell = text("smell", "Smell.", *SMELLS, field="/smell")
for _sign in SIGNS.values():
    flag(_sign.id, _sign.means, tells=("/signs", "/not_seen"))
help_called = flag("help_called", "The fire service is called.", field="/help_called")
shrunk_percent = number(
    "shrunk_percent", "%", "How much of its first height or volume the heap has lost.", field="/pile/shrunk"
)
