"""Conditions that several themes share, so that they mean the same everywhere."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.conditions import Condition, Threshold
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE

HOUSE_NEEDS_HEAT: Final[Condition] = f.season.one_of("heating") | f.season.unknown()
BOTH_DRAWS_KNOWN: Final[Condition] = f.draw_w.known() & f.season_draw_w.known()
DRAW_FITTED: Final[Condition] = f.has_air_duct.is_true() | f.has_water_loop.is_true()
LOOP_MAY_BE_OPEN: Final[Condition] = f.has_water_loop.is_true() & (
    f.water_loop_kind.one_of("open") | f.water_loop_kind.unknown()
)
TUBE_MAY_BE_COPPER: Final[Condition] = f.water_tube.one_of("copper") | (
    f.has_water_loop.is_true() & f.water_tube.unknown()
)
DUCT_MAY_TOUCH_THE_HEAP: Final[Condition] = f.has_air_duct.is_true() & (
    f.air_path.one_of("through_heap") | f.air_path.unknown()
)
FAN_MAY_RUN_AGAIN: Final[Condition] = (
    f.air_path.unknown() | f.air_path.one_of("closed_duct") | f.air_outlet_to_house.is_false()
)
"""Not one that draws through the heap and may blow into the house: that is better left off."""
LOOP_DRAWS_NOTHING: Final[Condition] = f.has_water_loop.not_seen() | f.water_drawing.is_false()
FROST_MAY_COME: Final[Condition] = f.freezing.is_true() | f.frost_may_come.is_true()
"""What may be so is what nobody has ruled out: a caution for life or limb stands on it."""
DRAWN_BEYOND_SEASON = Threshold("DRAWN_BEYOND_SEASON", 1.1, "1", "a tenth beyond the season draw", COMMON_PRACTICE)
STOOD_DAYS = Threshold("STOOD_DAYS", 7.0, "days", "a draw that was stood for a week", COMMON_PRACTICE)
STORE_IS_SHORT = Threshold("STORE_IS_SHORT", 2.0, "days", "a store that such a draw empties in two days", HEAT_BALANCE)
DRAW_STOOD: Final[Condition] = (
    f.core_steady.is_true() & (f.days_drawing >= STOOD_DAYS) & (f.stored_heat_days <= STORE_IS_SHORT)
)
"""The log outranks the count of heat: a core holds under a draw that all that is stored could not have fed so long."""
DRAW_NOT_STOOD: Final[Condition] = (
    f.core_steady.not_seen()
    | f.days_drawing.unknown()
    | (f.days_drawing < STOOD_DAYS)
    | (f.stored_heat_days > STORE_IS_SHORT)
)
MOSTLY_BEYOND = Threshold("MOSTLY_BEYOND", 45.0, "%", "right under about half of what was not told", COMMON_PRACTICE)
DRAWN_BEYOND: Final[Condition] = (
    f.drawing.is_true() & (f.draw_over_season >= DRAWN_BEYOND_SEASON) & f.draw_assumed.not_seen()
)
LIKELY_BEYOND: Final[Condition] = (
    f.drawing.is_true()
    & f.draw_assumed.is_true()
    & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
    & (f.beyond_chance_percent >= MOSTLY_BEYOND)
)
"""More is drawn than can be kept up: by what was told, or under most of what flow and hours may be."""
DRAWN_LIGHTLY: Final[Condition] = f.drawing.not_seen() | (f.draw_over_season < DRAWN_BEYOND_SEASON)
WORTH_KEEPING: Final[Condition] = found.spent.not_seen()
NOT_TOO_HOT: Final[Condition] = found.very_hot.not_seen() & found.fire_danger.not_seen()
HAS_AIR_AND_NOT_TOO_WET: Final[Condition] = (
    found.waterlogged.not_seen() & found.too_wet.not_seen() & found.short_of_air.not_seen()
)
"""Nothing was reported that only opening the heap would cure."""

LEFT_ALONE: Final[Condition] = found.settling_water.not_seen() & found.settling_open.not_seen()
"""No work of the last days whose dip is still to come back (common practice, no source)."""

NO_KNOWN_CAUSE: Final[Condition] = (
    found.too_dry.not_seen()
    & found.dry_core_under_wet_skin.not_seen()
    & found.starved_of_nitrogen.not_seen()
    & HAS_AIR_AND_NOT_TOO_WET
    & found.overdrawn.not_seen()
    & found.losing_to_weather.not_seen()
    & found.cold_soaked.not_seen()
    & found.spent.not_seen()
    & found.too_small.not_seen()
    & found.channelling.not_seen()
    & f.pipe_burst.not_seen()
    & f.looks_rotted.not_seen()
    & LEFT_ALONE
)
"""No finding explains a cool or cooling heap."""
HAND_AND_NOSE_TOLD: Final[Condition] = f.moisture_feel.known() & f.smell.known()
HAND_OR_NOSE_UNTOLD: Final[Condition] = f.moisture_feel.unknown() | f.smell.unknown()
"""Nobody is sent to feel or smell what is told already."""
