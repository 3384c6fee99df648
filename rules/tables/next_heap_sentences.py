"""What to build or do otherwise next time, by the finding that was named most often in a season (common practice)."""

from __future__ import annotations

from typing import Final

NEXT_HEAP: Final[dict[str, str]] = {
    "next-heap.too_dry": "Wet the next heap as you build it, to the feel of a wrung-out rag, and cover it sooner.",
    "next-heap.dry_core_under_wet_skin": "Lay a soaker hose into the middle of the next heap: water from above ran "
    "off.",
    "next-heap.too_wet": "Build the next heap drier and coarser, and keep the rain off it.",
    "next-heap.starved_of_nitrogen": "Give the next heap more manure or grass for its wood.",
    "next-heap.too_much_nitrogen": "Give the next heap more chips for its manure: nitrogen left as ammonia.",
    "next-heap.short_of_air": "Use coarser chips next time, and do not tread them down.",
    "next-heap.channelling": "Mix the next heap more evenly and close its cracks early.",
    "next-heap.overdrawn": "Build a larger heap, or set the timer lower from the first day.",
    "next-heap.losing_unseen": "Give the next heap a meter on pump and fan: more left this one than anybody told of.",
    "next-heap.cold_soaked": "Build earlier, while the materials are still warm.",
    "next-heap.losing_to_weather": "Build the next heap out of the wind, larger, and wrap it before the first frost.",
    "next-heap.spent": "Begin the next heap sooner: this one ran out of fuel before the season ended.",
    "next-heap.nothing-stood-out": "Nothing was found wrong again and again. Build the next one the same way.",
    "next-heap.nothing-known": "No full advice was kept in this time, so nothing can be said of the next heap.",
}
