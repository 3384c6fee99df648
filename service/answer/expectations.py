"""What a move is expected to bring, in words a person weighs: weeks of warmth, kWh or therms, and the chance."""

from __future__ import annotations

from typing import Final

from rules.catalogue import said
from service.actions.whatif import MoveEffect
from service.render.numbers import BTU_PER_THERM, MJ_PER_KWH, chance_in_words, to_range
from service.render.shape import Quantity
from service.render.wording import shown
from service.units.figures import figure

WEEK: Final = 7.0
LEAST_DAYS: Final = figure(0.75, "days", "Less than this of hot days more is told as none", "no source")
_HEAT_UNITS: Final = {"MJ": (MJ_PER_KWH, "kWh"), "BTU": (BTU_PER_THERM, "therms")}


def expected(effect: MoveEffect, heat: Quantity | None, days: Quantity | None, usable_j: float) -> str | None:
    """The sentence, or None where nothing worth telling is gained: too little, a loss, or no telling it from none."""
    if effect.loses or not effect.can_be_told or effect.too_small(usable_j):
        return None
    days_told = _days(days["value"]) if days is not None and days["value"] >= LEAST_DAYS else ""
    heat_told = _heat(heat) if heat is not None and heat["value"] > 0 else ""
    if not days_told and not heat_told:
        return None
    kind = "both" if days_told and heat_told else "days-only" if days_told else "heat-only"
    gain = said(f"effect.expected-{kind}", **_given(days=days_told, heat=heat_told))
    return said("effect.expected", gain=gain, chance=chance_in_words(effect.chance_of_gain))


def _given(**texts: str) -> dict[str, str]:
    return {name: text for name, text in texts.items() if text}


def _days(days: float) -> str:
    """Days of warmth as a person counts them."""
    weeks = round(days / WEEK)
    if days >= WEEK - LEAST_DAYS:
        return said("effect.a-week") if weeks <= 1 else said("effect.weeks", count=str(weeks))
    count = max(round(days), 1)
    return said("effect.a-day") if count == 1 else said("effect.days", count=str(count))


def _heat(heat: Quantity) -> str:
    """Heat in kWh or therms, with no more digits than its range allows."""
    size, unit = _HEAT_UNITS[heat["unit"]]
    value, _, _ = to_range(heat["value"] / size, heat["low"] / size, heat["high"] / size)
    return f"{shown(value)} {unit}" if shown(value) != "0" else ""
