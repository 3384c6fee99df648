"""The steps that stand in place of the usual ones at a heap that is very hot, or overheating. No units here either.

From {FIRE_OVERHEATING} on no step asks anybody to dig, to squeeze or to walk up to the heap.
"""

from __future__ import annotations

from typing import Final

_FIRE: Final = "At {FIRE_KEEP_CLEAR}, or with smoke or a burnt smell: keep clear and call the fire service."

VERY_HOT_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "add_water": (
        "Make no holes, and do not open the heap: that lets air in.",
        "Wet the whole skin slowly and evenly with a fine spray, upwind and clear of the steam.",
        "Stop as soon as it smokes or smells burnt: then keep clear and call the fire service.",
        "Read the core again before you give the other half, the next day at the soonest.",
    ),
}
"""From FIRE_LOOK_DAILY on."""

OVERHEATING_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "watch_heat": (
        "Look from upwind and from far off, each morning and each evening.",
        "Take the reading only from a probe that is in it already and that you can read from afar. Push none in.",
        _FIRE,
        "Keep the way free for a fire engine, and keep people and animals away.",
    ),
    "open_vent_in_film": (
        "Do it with a long pole from outside and upwind, or leave it. Never step onto the heap or lean over it.",
        "Fold the film back a hand wide along the ridge, and stay out of the first breath that comes out.",
        _FIRE,
    ),
    "lift_cover": (
        "Do it with a long pole from outside and upwind, or leave it. Never step onto the heap or lean over it.",
        "Fold the cover back from the ridge, and stay out of the first breath that comes out.",
        _FIRE,
    ),
    "raise_draw": (
        "Let the pump run all the time, at its switch or timer away from the heap.",
        "Use water only, and blow or draw no air.",
        _FIRE,
    ),
    "pause_draw": (
        "Switch the fan off at its plug, away from the heap.",
        "Leave it off until the core has stayed below {FIRE_LOOK_DAILY} for a week.",
        _FIRE,
    ),
}
"""From FIRE_OVERHEATING on."""
