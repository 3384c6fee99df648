"""Numbers that stand by themselves, such as `9 weeks, 55 C`: the middle of the heap, where nothing else can be meant.

Nobody gives the air of a winter day as 55 degC, and whoever tells a heap and one temperature tells its core. What could
be something else stays unread and is asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from service.talk.chat.clause import Clause
from service.talk.chat.meaning_heat import LONE_TEMPERATURE, LONE_VOLUME
from service.talk.chat.reading import Reading, needs_scale
from service.units.quantities import Dimension, parse_quantity

CORE_BETWEEN_C: Final = (28.0, 95.0)
"""A lone temperature within these is the heap's: no outdoor air of a heating season is so warm (our own). [degC]"""
HEAP_BETWEEN_M3: Final = (2.0, 300.0)
"""A lone volume within these is the heap's: nobody carries so much water (our own). [m3]"""
WHY: Final = "what is the number of? Say it with its place, such as core 121 F"
_PLACES: Final[dict[str, tuple[str, Dimension, tuple[float, float]]]] = {
    LONE_TEMPERATURE: ("/temperatures/core", "temperature", CORE_BETWEEN_C),
    LONE_VOLUME: ("/pile/size", "volume", HEAP_BETWEEN_M3),
}


def placed(
    told: Sequence[tuple[Reading, Clause]], clauses: Sequence[Clause], status: Mapping[str, Any]
) -> tuple[list[tuple[Reading, Clause]], list[Clause]]:
    """The readings with those that stood alone in their places, and the clauses of those whose place is not clear.

    A place is clear where a heap is told of, all else in the message was read, nothing else was told of that place, and
    the number can be it.
    """
    clear = all(clause.told is not None or clause.aside for clause in clauses)
    clear &= bool(set(status) - {"units"}) or any(reading.pointer not in _PLACES for reading, _ in told)
    kept, unclear = [], []
    for reading, clause in told:
        if reading.pointer not in _PLACES:
            kept.append((reading, clause))
            continue
        pointer, dimension, between = _PLACES[reading.pointer]
        others = [other for other, _ in told if other is not reading and other.pointer in (reading.pointer, pointer)]
        if clear and not others and not _in(status, pointer) and _within(reading.value, dimension, between):
            value = {"volume": reading.value} if dimension == "volume" else reading.value
            kept.append((replace(reading, pointer=pointer, value=value), clause))
        else:
            unclear.append(clause)
    return kept, unclear


def _in(status: Mapping[str, Any], pointer: str) -> bool:
    found: Any = status
    for name in pointer.split("/")[1:]:
        found = found.get(name) if isinstance(found, Mapping) else None
    return found is not None


def _within(value: str, dimension: Dimension, between: tuple[float, float]) -> bool:
    if needs_scale(value):
        return False
    return between[0] <= parse_quantity(value, (dimension,), "metric").si <= between[1]
