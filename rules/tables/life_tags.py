"""Each caution for life in a word or two, for a message that has room for no more."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

TAGS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "breakdown.no-fumes-indoors": "engine and grill fumes in the house",
        "equipment.no-fan-when-too-hot": "fan off (it feeds heat)",
        "fire.smoke-into-the-house": "carbon monoxide in the house",
        "fire.steam-or-smoke": "smoke that smells burnt",
        "fire.straw-is-tinder": "straw as tinder",
        "fire.wet-it-evenly": "steam (stand back)",
        "house.duct-untold": "carbon monoxide in the house",
        "house.heap-air-is-no-house-air": "carbon monoxide in the house",
        "house.heap-air-may-reach-the-house": "carbon monoxide in the house",
        "measurement.short-probe-hides-heat": "more heat than the probe shows",
        "odour.rotten-egg-gas-kills": "poison gas (stay upwind)",
        "safety.backup-heater-fumes": "stove fumes",
        "safety.current-outdoors": "current (unplug)",
        "safety.dug-face": "undercut faces",
        "safety.gas-in-an-opened-heap": "gas of the opened heap",
        "safety.loop-and-duct-untold": "Legionella and gas",
        "safety.loop-untold": "Legionella in loop water",
        "safety.loop-water-unread": "Legionella in loop water",
        "safety.no-crawling-in": "air in a duct or pit",
        "safety.open-loop-in-legionella-band": "Legionella in loop water",
        "safety.untold-loop-in-legionella-band": "Legionella in loop water",
        "shape.ash-streaks-look-for-fire": "fire where streaks are",
        "visitors.fever-after-dust-or-water": "a doctor for the fever",
        "visitors.out-first": "everybody out now",
    }
)
"""By rule. `tests/safety` holds that each caution for life has one."""
