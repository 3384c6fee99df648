"""How much of what each action takes, computed from the heap as it is believed to be, each with its range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from service.actions.dosing import build, draw, matter
from service.actions.dosing.records import Dose, DoseInputs

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


OF_THE_HEAP: Final = frozenset({"mass", "volume", "water"})
"""Dimensions of amounts that grow with the heap."""
OF_A_NEW_HEAP: Final = frozenset({"build_new_pile", "start_next_pile"})
"""Actions whose amounts are for a heap of a size that we advise, whatever this one's is."""


def doses_for(action: str, pile: DoseInputs) -> list[Dose]:
    """The doses of an action for this heap; none for an action that takes no amount or needs none now."""
    work_out = DOSED.get(action)
    doses = [] if work_out is None else [dose for dose in work_out(pile) if dose.low > 0]
    if not pile.size_guessed or action in OF_A_NEW_HEAP:
        return doses
    return [_of_a_guessed_heap(dose, pile.volume_m3.value) for dose in doses]


def _of_a_guessed_heap(dose: Dose, volume_m3: float) -> Dose:
    """The same, to be told for each volume of heap."""
    instead = tuple(_of_a_guessed_heap(other, volume_m3) for other in dose.or_instead)
    per = volume_m3 if dose.dimension in OF_THE_HEAP else None
    return replace(dose, or_instead=instead, heap_m3=per)
