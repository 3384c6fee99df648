"""The heat phase: the first line of the phase table that matches."""

from __future__ import annotations

from rules.language.conditions import Facts
from rules.tables.thresholds import (
    COLD_BELOW,
    FIRE_OVERHEATING,
    HOLDING_FROM,
    HOT_FROM,
    LITTLE_LEFT_BELOW,
    YOUNG_COOL_BELOW,
    YOUNG_UNTIL,
)


def heat_phase(facts: Facts) -> str:
    """Name the phase from the core, its trend, age and what is left to rot; an unknown trend is not flat."""
    core_c = float(facts["core_c"])
    if float(facts["hottest_c"]) >= FIRE_OVERHEATING.value or facts.get("smoke") or facts.get("smell") == "burnt":
        return "overheating"
    young = "age_days" in facts and float(facts["age_days"]) <= YOUNG_UNTIL.value
    if facts.get("core_rising") or (young and core_c < YOUNG_COOL_BELOW.value):
        return "warming"
    if facts.get("core_falling"):
        return "falling"
    if core_c >= HOT_FROM.value:
        return "hot"
    if core_c >= HOLDING_FROM.value:
        return "holding"
    if core_c < COLD_BELOW.value:
        little_left = float(facts.get("degradable_left_percent", 100.0)) < LITTLE_LEFT_BELOW.value
        return "spent" if little_left else "cold"
    return "unclear"
