"""Conditions that several themes share, so that they mean the same everywhere."""

from __future__ import annotations

from typing import Final

from rules import facts as f
from rules import findings as found
from rules.conditions import Condition

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
FROST_MAY_COME: Final[Condition] = f.freezing.is_true() | f.frost_may_come.is_true()
"""What may be so is what nobody has ruled out: a caution for life or limb stands on it."""
WORTH_KEEPING: Final[Condition] = found.spent.not_seen()
NOT_TOO_HOT: Final[Condition] = found.very_hot.not_seen() & found.fire_danger.not_seen()
HAS_AIR_AND_NOT_TOO_WET: Final[Condition] = (
    found.waterlogged.not_seen() & found.too_wet.not_seen() & found.short_of_air.not_seen()
)
"""Nothing was reported that only opening the heap would cure."""

NO_KNOWN_CAUSE: Final[Condition] = (
    found.too_dry.not_seen()
    & found.dry_core_under_wet_skin.not_seen()
    & found.starved_of_nitrogen.not_seen()
    & HAS_AIR_AND_NOT_TOO_WET
    & found.overdrawn.not_seen()
    & found.losing_to_weather.not_seen()
    & found.cold_soaked.not_seen()
    & found.spent.not_seen()
)
"""No finding explains a cool or cooling heap."""
