"""A heap that may be hotter than the probe tells now: by what it read lately, by its rise since, by a trend untold.

Its wrong moves stand in `fire_warnings`.
"""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.conditions import Threshold
from rules.language.model import Act, Finding, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE
from rules.tables.thresholds import FIRE_OVERHEATING, FIRE_RISE, FIRE_WATCH_RISING

CLOSE_TO_VERY_HOT = Threshold(
    "CLOSE_TO_VERY_HOT", 68.0, "degC", "days from FIRE_LOOK_DAILY where it rises", COMMON_PRACTICE
)
STILL_RISES = Threshold("STILL_RISES", 0.5, "K/day", "may be a rise, may be the probe", COMMON_PRACTICE)

RULES: Final = (
    Rule(
        id="fire.rising-since-it-was-read",
        when=(f.core_by_now_c >= FIRE_WATCH_RISING)
        & (f.core_trend_k_per_day >= FIRE_RISE)
        & (f.hottest_c < FIRE_WATCH_RISING)
        & f.core_read_days_ago.known(),
        reason="The core was read {core_read_days_ago} ago and rose ({core_trend_k_per_day}): by now it may be about "
        "{core_by_now_c}.",
        gives=Finding("towards_fire"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="fire.rising-close-to-very-hot",
        when=(f.hottest_c >= CLOSE_TO_VERY_HOT) & (f.core_trend_k_per_day >= STILL_RISES),
        reason="The hottest spot reads {hottest_c}, close to {FIRE_LOOK_DAILY}, and the core may still rise "
        "({core_trend_k_per_day}).",
        gives=Finding("towards_fire"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="fire.hot-and-trend-untold",
        when=(f.hottest_c >= FIRE_WATCH_RISING) & f.core_trend_k_per_day.unknown(),
        reason="The hottest spot reads {hottest_c}, and no earlier reading tells whether it still rises.",
        gives=Finding("towards_fire"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="fire.very-hot-lately",
        when=f.hottest_lately_c >= FIRE_OVERHEATING,
        reason="It read {hottest_lately_c} within the last days, at or above {FIRE_OVERHEATING}. So much heat does not "
        "go in days: the probe may sit beside it now.",
        gives=Finding("very_hot"),
        source=HEAT_BALANCE,
        confidence=0.8,
    ),
    Rule(
        id="fire.overheating-lately",
        when=f.hottest_lately_c >= FIRE_OVERHEATING,
        reason="It read {hottest_lately_c} within the last days: it counts as on the way to a fire until that is past.",
        gives=Finding("overheating"),
        source=HEAT_BALANCE,
        confidence=0.8,
    ),
    Rule(
        id="fire.watch-hot-lately",
        when=(f.hottest_lately_c >= FIRE_OVERHEATING) & (f.hottest_c < FIRE_OVERHEATING) & found.fire_danger.not_seen(),
        reason="It read {hottest_lately_c} within the last days: take it as that hot until several readings tell less. "
        "Look from afar for smoke, and do not dig or squeeze. At {FIRE_KEEP_CLEAR}, or with smoke: keep clear and call "
        "the fire service.",
        gives=Act("watch_heat", Urgency.NOW),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
)
