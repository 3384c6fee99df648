"""How long what was read of a pile stays true: fresh up to one age, stale up to another, then as if not looked at.

All spans are our own, from how fast each thing can change; see each one's reason. Those of single fields stand in their
records (`rules.tables.fields`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

FOREVER: Final = float("inf")
HOUR: Final = 1 / 24


@dataclass(frozen=True, slots=True)
class Lifetime:
    """Ages in days up to which a value is fresh, and up to which it counts at all; and why."""

    fresh: float
    lapses: float
    why: str


BUILT: Final = Lifetime(FOREVER, FOREVER, "it stays so until somebody says otherwise")
AIR: Final = Lifetime(3 * HOUR, 1.0, "the air outside follows the hour and the weather")
FLOWING: Final = Lifetime(12 * HOUR, 3.0, "the temperature of what is drawn follows the core and the flow")
SETTING: Final = Lifetime(30.0, 180.0, "a setting stays until it is changed, but is forgotten")
ONE_NIGHT: Final = Lifetime(12 * HOUR, 18 * HOUR, "it speaks of one night or day")

PARTS: Final[dict[str, Lifetime]] = {
    "/temperatures/points": Lifetime(6 * HOUR, 0.5, "they belong to the core reading of their day"),
    "/weather/forecast": Lifetime(1.0, 4.0, "forecasts change within days"),
    "/pile/size": Lifetime(30.0, 365.0, "a heap settles over months"),
    "/draw": SETTING,
    "/pile": BUILT,
    "/probe": BUILT,
    "/greenhouse": BUILT,
    "/learned": Lifetime(14.0, 60.0, "what a heap was found to do holds for weeks, and each answer learns anew"),
    "/goal": BUILT,
}
"""By part of a status: what holds for the fields in it whose record says nothing of its own."""
