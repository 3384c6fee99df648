"""What to build or do otherwise next time, by what was found wrong most often in a season."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

NEXT_TIME: Final = MappingProxyType(
    {
        "too_dry": "Wet the next heap as you build it, to the feel of a wrung-out rag, and cover it sooner.",
        "dry_core_under_wet_skin": "Lay a soaker hose into the middle of the next heap: water from above ran off.",
        "too_wet": "Build the next heap drier and coarser, and keep the rain off it.",
        "starved_of_nitrogen": "Give the next heap more manure or grass for its wood.",
        "too_much_nitrogen": "Give the next heap more chips for its manure: nitrogen left as ammonia.",
        "short_of_air": "Use coarser chips next time, and do not tread them down.",
        "channelling": "Mix the next heap more evenly and close its cracks early.",
        "overdrawn": "Build a larger heap, or set the timer lower from the first day.",
        "losing_unseen": "Give the next heap a meter on pump and fan: more left this one than anybody told of.",
        "cold_soaked": "Build earlier, while the materials are still warm.",
        "losing_to_weather": "Build the next heap out of the wind, larger, and wrap it before the first frost.",
        "spent": "Begin the next heap sooner: this one ran out of fuel before the season ended.",
    }
)
"""By the finding, as in `likely_causes` (common practice, no source)."""
NOTHING_STOOD_OUT: Final = "Nothing was found wrong again and again. Build the next one the same way."
NOTHING_KNOWN: Final = "No full advice was kept in this time, so nothing can be said of the next heap."
