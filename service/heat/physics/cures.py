"""What a heap is given when it is put right, and what a good new one is made of."""

from __future__ import annotations

from typing import Final

from service.units.figures import figure

WATER_WANTED: Final = figure(
    0.57, "1", "Moisture that watering aims at: the middle of 50-60 % and a little more, as some runs past", "no source"
)
WELL_FED: Final = figure(
    0.75, "1", "Nitrogen factor at 40:1 of carbon that can rot: 30/40 (Haug, from memory)", "from memory"
)
FRESH_MIX: Final = figure(
    {"fast": 0.10, "slow": 0.38, "cn": 38.0, "moisture": 0.55},
    "1",
    "A new heap of three parts chips to one of horse manure, well wetted: shares of the dry matter, see the materials",
    "no source",
)
