"""Limits that more than one rule or the service itself reads. Limits of a single rule live beside that rule."""

from __future__ import annotations

from rules.language.conditions import Threshold
from rules.language.sources import (
    BUGGELN_RYNK,
    COMMON_PRACTICE,
    CORNELL_MIX,
    CORNELL_PHYSICS,
    NEW_BRUNSWICK,
    SURREY_FIRE,
)

FIRE_LOOK_DAILY = Threshold("FIRE_LOOK_DAILY", 70.0, "degC", "look daily and open the vent", SURREY_FIRE)
FIRE_OVERHEATING = Threshold("FIRE_OVERHEATING", 75.0, "degC", "overheating: look twice a day", SURREY_FIRE)
FIRE_KEEP_CLEAR = Threshold("FIRE_KEEP_CLEAR", 80.0, "degC", "keep clear and call the fire service", SURREY_FIRE)

FIRE_WATCH_DRY = Threshold("FIRE_WATCH_DRY", 65.0, "degC", "a dry heap: watch for fire from here", BUGGELN_RYNK)
FIRE_WATCH_RISING = Threshold(
    "FIRE_WATCH_RISING", 66.0, "degC", "where it still rises by FIRE_RISE: watch for fire", COMMON_PRACTICE
)
FIRE_LIMITS = (FIRE_WATCH_DRY, FIRE_WATCH_RISING, FIRE_LOOK_DAILY, FIRE_OVERHEATING, FIRE_KEEP_CLEAR)
FIRE_RISE = Threshold("FIRE_RISE", 1.0, "K/day", "a hot heap that rises so fast is not left to itself", COMMON_PRACTICE)

TREND_LIMIT = Threshold("TREND_LIMIT", 0.7, "K/day", "slower change is called steady", COMMON_PRACTICE)
YOUNG_UNTIL = Threshold("YOUNG_UNTIL", 14.0, "days", "a young heap may still be warming", CORNELL_PHYSICS)
HOT_FROM = Threshold("HOT_FROM", 50.0, "degC", "hot from here", CORNELL_PHYSICS)
HOLDING_FROM = Threshold(
    "HOLDING_FROM", 40.0, "degC", "working heat from here; a hot day reaches this", CORNELL_PHYSICS
)
YOUNG_COOL_BELOW = Threshold("YOUNG_COOL_BELOW", 45.0, "degC", "a young heap below this is warming", COMMON_PRACTICE)
COLD_BELOW = Threshold("COLD_BELOW", 30.0, "degC", "cold below here", COMMON_PRACTICE)
LITTLE_TO_ROT_BELOW = Threshold(
    "LITTLE_TO_ROT_BELOW", 18.0, "%", "built from stuff that has rotted already", COMMON_PRACTICE
)
LITTLE_LEFT_BELOW = Threshold(
    "LITTLE_LEFT_BELOW", 30.0, "%", "little degradable matter left below this share", COMMON_PRACTICE
)

TOO_DRY_BELOW = Threshold("TOO_DRY_BELOW", 40.0, "%", "rot slows below this moisture", CORNELL_MIX)
STALLED_DRY_BELOW = Threshold("STALLED_DRY_BELOW", 30.0, "%", "rot all but stops below this moisture", CORNELL_MIX)
TOO_WET_ABOVE = Threshold("TOO_WET_ABOVE", 65.0, "%", "air runs short above this moisture", NEW_BRUNSWICK)

WATER_SETTLES = Threshold("WATER_SETTLES", 4.0, "days", "water takes 3 to 5 days to act", COMMON_PRACTICE)
NITROGEN_SETTLES = Threshold("NITROGEN_SETTLES", 10.0, "days", "nitrogen takes 7 to 14 days to act", COMMON_PRACTICE)
OPEN_SETTLES = Threshold("OPEN_SETTLES", 7.0, "days", "an opened heap takes about a week to recover", COMMON_PRACTICE)
DRAW_SETTLES = Threshold("DRAW_SETTLES", 3.0, "days", "a heap answers a changed draw within days", COMMON_PRACTICE)

FALLS_IN_THREE_DAYS = Threshold("FALLS_IN_THREE_DAYS", 9.0, "delta_degC", "a collapse within days", COMMON_PRACTICE)
FALLS_IN_A_WEEK = Threshold("FALLS_IN_A_WEEK", 7.0, "delta_degC", "a collapse within a week", COMMON_PRACTICE)
MORE_THAN_A_DIP = Threshold("MORE_THAN_A_DIP", 8.0, "delta_degC", "work on a heap cools it by less", COMMON_PRACTICE)
COOL_SOON = Threshold("COOL_SOON", 3.5, "days", "too cool before one has looked again", COMMON_PRACTICE)
