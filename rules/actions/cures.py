"""Which moves answer a cause, and which findings explain a move by themselves."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

_DRYING: Final = (
    "stop_adding_water",
    "keep_rain_off",
    "add_dry_bulking",
    "loosen_pile",
    "open_vent_in_film",
    "lift_cover",
    "draw_air_instead_of_water",
    "remove_snow",
)

CURES: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "too_dry": ("add_water",),
        "dry_core_under_wet_skin": ("add_water",),
        "too_wet": _DRYING,
        "waterlogged": _DRYING,
        "starved_of_nitrogen": ("add_nitrogen", "build_new_pile"),
        "too_much_nitrogen": ("add_carbon", "ventilate_greenhouse"),
        "short_of_air": ("loosen_pile", "add_dry_bulking", "lift_cover", "open_vent_in_film", "remove_snow"),
        "channelling": ("top_up", "loosen_pile"),
        "overdrawn": ("reduce_draw", "pause_draw", "draw_air_instead_of_water"),
        "losing_unseen": ("check_loop", "check_fan", "drain_duct", "check_probe", "find_the_cause"),
        "cold_soaked": ("wait", "insulate", "cover_with_clear_film", "pause_draw", "reduce_draw", "top_up"),
        "losing_to_weather": ("cover_with_clear_film", "insulate"),
        "spent": ("build_new_pile", "start_next_pile"),
        "too_small": ("enlarge_pile", "insulate", "build_new_pile"),
    }
)
"""Moves that answer each cause. One of them stands beside a cause that is likely, or a sentence why none does."""

EXPLAINED: Final[Mapping[str, frozenset[str]]] = MappingProxyType(
    {
        **{cause: frozenset(moves) - {"wait"} for cause, moves in CURES.items()},
        "very_dry": frozenset({"add_water"}),
        "ageing": frozenset({"start_next_pile"}),
        "house_short": frozenset({"light_backup_heat"}),
        "loop_frost_danger": frozenset({"protect_loop_from_frost"}),
        "gas_into_house": frozenset({"ventilate_greenhouse"}),
        "fire_danger": frozenset({"keep_clear_and_call_fire_service"}),
        "very_hot": frozenset({"watch_heat"}),
        "overheating": frozenset({"watch_heat"}),
        "asked_beyond_season": frozenset({"reduce_draw"}),
    }
)
"""Moves that a finding explains without another word, so that what was found may stand before what to do about it."""
