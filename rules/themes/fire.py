"""Too hot, and fire: from the first warning to keeping clear. The hottest reading at any point counts."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import LOOP_DRAWS_NOTHING
from rules.language.model import Act, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import (
    BUGGELN_FIRE,
    BUGGELN_RYNK,
    CO_FROM_COMPOST,
    COMMON_PRACTICE,
    HEAT_BALANCE,
    SURREY_FIRE,
)
from rules.tables.thresholds import (
    FIRE_KEEP_CLEAR,
    FIRE_LOOK_DAILY,
    FIRE_OVERHEATING,
    FIRE_RISE,
    FIRE_WATCH_DRY,
    FIRE_WATCH_RISING,
    TOO_DRY_BELOW,
)

_BURNING = found.fire_danger.is_true()
_NOT_BURNING = found.fire_danger.not_seen()
_SEEN_DRY = f.moisture_feel.one_of("dusty", "dry") | f.dry_pockets.is_true() | f.wet_skin_dry_core.is_true()

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="fire.hot-and-dry",
        when=(f.hottest_c >= FIRE_WATCH_DRY) & _SEEN_DRY,
        reason="The hottest spot reads {hottest_c}, and the heap is dry there: hot and dry is how fires begin.",
        gives=Finding("towards_fire"),
        source=BUGGELN_RYNK,
        confidence=0.8,
    ),
    Rule(
        id="fire.hot-and-dry-by-measure",
        when=(f.hottest_c >= FIRE_WATCH_DRY) & (f.moisture_percent < TOO_DRY_BELOW),
        reason="The hottest spot reads {hottest_c}, and water is {moisture_percent} of the mass: hot and dry is how "
        "fires begin.",
        gives=Finding("towards_fire"),
        source=BUGGELN_RYNK,
        confidence=0.75,
    ),
    Rule(
        id="fire.hot-and-rising",
        when=(f.hottest_c >= FIRE_WATCH_RISING) & (f.core_trend_k_per_day >= FIRE_RISE),
        reason="The hottest spot reads {hottest_c}, and the core still rises ({core_trend_k_per_day}).",
        gives=Finding("towards_fire"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="fire.very-hot",
        when=f.hottest_c >= FIRE_LOOK_DAILY,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_LOOK_DAILY}.",
        gives=Finding("very_hot"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.overheating",
        when=f.hottest_c >= FIRE_OVERHEATING,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_OVERHEATING}: on the way to a fire.",
        gives=Finding("overheating"),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.overheating-phase",
        when=f.phase.one_of("overheating"),
        reason="The heap is {phase}.",
        gives=Finding("overheating"),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.danger-by-heat",
        when=f.hottest_c >= FIRE_KEEP_CLEAR,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_KEEP_CLEAR}. It may catch fire by itself.",
        gives=Finding("fire_danger"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.danger-by-smoke",
        when=f.smoke.is_true(),
        reason="Smoke is seen at the heap.",
        gives=Finding("fire_danger"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.danger-by-smell",
        when=f.smell.one_of("burnt"),
        reason="It smells {smell}: something inside may smoulder.",
        gives=Finding("fire_danger"),
        source=BUGGELN_FIRE,
        confidence=0.85,
    ),
)

_KEEP_CLEAR: tuple[Rule, ...] = (
    Rule(
        id="fire.keep-clear-too-hot",
        when=_BURNING & (f.hottest_c >= FIRE_KEEP_CLEAR),
        reason="The hottest spot reads {hottest_c}. From {FIRE_KEEP_CLEAR} a heap can burst into flame when air gets "
        "in. Keep clear, do not open it, and call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.keep-clear-smoke",
        when=_BURNING & f.smoke.is_true(),
        reason="You see smoke: the heap may burn inside. Keep clear, do not open it, and call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.keep-clear-burnt-smell",
        when=_BURNING & f.smell.one_of("burnt"),
        reason="It smells {smell}: the heap may smoulder inside. Keep clear, do not open it, call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=BUGGELN_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.help-is-called",
        when=_BURNING & f.help_called.is_true(),
        reason="The fire service is called. Wait for it well away and upwind, keep the way free, and tell it how hot "
        "the heap is and how it is built.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.85,
    ),
    Rule(
        id="fire.keep-clear-hot-and-dry",
        when=_BURNING & f.moisture_feel.one_of("dusty", "dry"),
        reason="The heap is {moisture_feel} as well. Hot and dry catches fire sooner than hot and wet.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=BUGGELN_RYNK,
        confidence=0.9,
    ),
)

_TOO_HOT: tuple[Rule, ...] = (
    Rule(
        id="fire.watch-overheating",
        when=found.overheating.is_true() & (f.hottest_c >= FIRE_OVERHEATING) & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}. Look at it from afar each morning and evening. At "
        "{FIRE_KEEP_CLEAR}, or with any smoke: keep clear and call the fire service.",
        gives=Act("watch_heat", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.watch-very-hot",
        when=found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & found.overheating.not_seen() & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}: hotter than the heap's own life can stand. Read it every day. At "
        "{FIRE_OVERHEATING} look at it from afar, twice a day.",
        gives=Act("watch_heat", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.watch-towards-fire",
        when=found.towards_fire.is_true() & f.hottest_c.known() & found.very_hot.not_seen() & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}, and it may go on to a fire. Read it every day. At "
        "{FIRE_KEEP_CLEAR}, or with any smoke or burnt smell: keep clear and call the fire service.",
        gives=Act("watch_heat", Urgency.TODAY),
        source=BUGGELN_RYNK,
        confidence=0.8,
    ),
    Rule(
        id="fire.watch-hot-and-dry",
        when=found.very_hot.is_true() & f.moisture_feel.one_of("dusty", "dry") & _NOT_BURNING,
        reason="The heap is very hot, and a handful is {moisture_feel}. Hot and dry catches fire sooner than hot and "
        "wet.",
        gives=Act("watch_heat", Urgency.NOW),
        source=BUGGELN_RYNK,
        confidence=0.9,
    ),
    Rule(
        id="fire.vent-the-film",
        when=found.very_hot.is_true() & f.cover.one_of("clear_film") & _NOT_BURNING,
        reason="The heap is very hot and the cover is {cover}. Open the ridge, so that heat and steam get out.",
        gives=Act("open_vent_in_film", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.85,
    ),
    Rule(
        id="fire.vent-the-film-in-time",
        when=f.cover.one_of("clear_film")
        & (f.core_c >= FIRE_WATCH_DRY)
        & found.very_hot.not_seen()
        & f.days_since_cover_change.unknown()
        & _NOT_BURNING,
        reason="The core reads {core_c}: heat has to get out before it goes further. See that the film is open along "
        "the ridge.",
        gives=Act("open_vent_in_film", Urgency.TODAY),
        source=BUGGELN_FIRE,
        confidence=0.6,
    ),
    Rule(
        id="fire.lift-the-cover",
        when=found.very_hot.is_true() & f.cover.one_of("tarp", "breathable") & _NOT_BURNING,
        reason="The heap is very hot and the cover is {cover}. Fold it back, so that heat and steam get out.",
        gives=Act("lift_cover", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.75,
    ),
    Rule(
        id="fire.draw-heat-by-water",
        when=found.overheating.is_true()
        & (f.hottest_c >= FIRE_OVERHEATING)
        & f.has_water_loop.is_true()
        & f.loop_stands.not_seen()
        & f.core_falling.not_seen()
        & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}. Let the water loop take more heat away. Use water, never air.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="fire.stop-the-fan",
        when=found.overheating.is_true()
        & f.fan_is_set.is_true()
        & f.air_path.one_of("through_heap")
        & LOOP_DRAWS_NOTHING
        & _NOT_BURNING,
        reason="The heap is far too hot, and the fan draws air {air_path}. Fresh air feeds the heat: switch it off.",
        gives=Act("pause_draw", Urgency.NOW, until_cleared=True),
        source=BUGGELN_FIRE,
        confidence=0.75,
    ),
)

_CAUTIONS: tuple[Rule, ...] = (
    Rule(
        id="fire.smoke-into-the-house",
        when=_BURNING & (f.has_air_duct.is_true() | f.has_air_duct.unknown()),
        reason="Smoke and carbon monoxide can come through a duct or an open door. Stay out of the house beside the "
        "heap.",
        gives=Caution(
            ("keep_clear_and_call_fire_service",),
            Gravity.LIFE,
            brief="Stay out of the house beside the heap.",
            topic="heap_gas",
            soon=True,
        ),
        source=CO_FROM_COMPOST,
    ),
    Rule(
        id="fire.straw-is-tinder",
        when=(
            (found.very_hot.is_true() & (f.cover.one_of("straw") | f.cover.unknown()))
            | (found.towards_fire.is_true() & f.cover.one_of("straw"))
        )
        & _NOT_BURNING,
        reason="Dry straw on or near a very hot heap is tinder. Let no flame, spark or hot lamp near it, and do not "
        "climb up to take it off.",
        gives=Caution(("watch_heat",), Gravity.LIFE, brief="Straw on it is tinder."),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="fire.wet-it-evenly",
        when=found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & _NOT_BURNING,
        reason="At {hottest_c} wet it all over and slowly, from outside, and stand back from the steam. A wet patch in "
        "a dry, hot heap can heat it more.",
        gives=Caution(("add_water",), Gravity.LIFE, brief="Wet it slowly, from outside."),
        source=BUGGELN_FIRE,
    ),
    Rule(
        id="fire.steam-or-smoke",
        when=f.steam.is_true() & _NOT_BURNING,
        reason="Steam is white, smells of earth and is soon gone. Smoke hangs about and smells burnt. If in doubt, "
        "keep clear and call the fire service.",
        gives=Caution(
            ("keep_going", "wait", "watch_heat", "open_vent_in_film"),
            Gravity.LIFE,
            brief="Steam that smells burnt is smoke: keep clear.",
        ),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _KEEP_CLEAR + _TOO_HOT + _CAUTIONS
