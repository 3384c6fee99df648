"""How much of what each action takes, computed from the heap as it is believed to be, each with its range."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Final

from service.dosing import build, draw, matter
from service.dosing.records import Dose, DoseInputs

__all__ = ["DOSED", "Dose", "DoseInputs", "doses_for"]

DOSED: Final = MappingProxyType[str, Callable[[DoseInputs], list[Dose]]](
    {
        "add_water": matter.add_water,
        "add_nitrogen": matter.add_nitrogen,
        "add_dry_bulking": matter.add_dry_bulking,
        "add_carbon": matter.add_carbon,
        "reduce_draw": draw.reduce_draw,
        "raise_draw": draw.raise_draw,
        "pause_draw": draw.pause_draw,
        "top_up": build.top_up,
        "enlarge_pile": build.enlarge_pile,
        "build_new_pile": build.new_heap,
        "start_next_pile": build.new_heap,
        "cover_with_clear_film": build.cover,
        "keep_rain_off": build.cover,
        "insulate": build.insulate,
    }
)
"""The actions that have doses."""


def doses_for(action: str, pile: DoseInputs) -> list[Dose]:
    """The doses of an action for this heap; none for an action that takes no amount or needs none now."""
    work_out = DOSED.get(action)
    return [] if work_out is None else [dose for dose in work_out(pile) if dose.high > 0]
