"""A heap that was far too hot within the last days, whatever the probe reads now; wrong moves: `fire_warnings`."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.model import Act, Finding, Rule, Urgency
from rules.language.sources import HEAT_BALANCE
from rules.tables.thresholds import FIRE_OVERHEATING

RULES: Final = (
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
