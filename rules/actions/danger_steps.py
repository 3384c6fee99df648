"""The steps that stand in place of the usual ones while gas may reach people, or while something is out of order."""

from __future__ import annotations

from typing import Final

UNTIL_CLEARED_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "pause_draw": (
        "Switch the fan off at its plug, from outside. Take the plug out, so that no timer starts it.",
        "Leave it off, however warm the core: a closed duct has to keep heap air out of the house first.",
        "If anybody feels unwell, leave it off until all are well and the cause is found, too.",
        "Drain or guard any outdoor pipe that could freeze while a pump stands still.",
    ),
}
"""Where a pause ends with the danger that asked for it, not on a day."""

STANDING_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "protect_loop_from_frost": (
        "Leave the pump off at the plug until what is out of order is mended.",
        "Drain the part outdoors at its lowest point, and leave the drain open.",
        "What cannot be drained, wrap: every pipe that leaves the heap, joints and valves too.",
    ),
}
"""While a sign shows that no water flows in the loop, or must not."""
