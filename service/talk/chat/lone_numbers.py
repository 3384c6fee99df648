"""Numbers that stand by themselves, such as `9 weeks, 55 C`: the middle of the heap, where nothing else can be meant.

Nobody gives the air of a winter day as 55 degC, and whoever tells a heap and one temperature tells its core. What could
be something else stays unread and is asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from rules.catalogue import said
from service.talk.chat.clause import Clause
from service.talk.chat.lexicon import lexicon
from service.talk.chat.meaning_lone import LONE_HISTORY, LONE_MASS, LONE_TEMPERATURE, LONE_VOLUME
from service.talk.chat.reading import HeardValue, needs_scale
from service.talk.chat.tokens import ROLES, TextPiece
from service.units.quantities import Dimension, parse_quantity

CORE_BETWEEN_C: Final = (24.0, 95.0)
"""A lone temperature within these is the heap's: no outdoor air of a heating season is so warm (our own). [degC]"""
HOT_ALONE_C: Final = 45.0
"""From here on two readings without a place are a heap's, be a heap spoken of or not (our own)."""
HEAP_BETWEEN_KG: Final = (1000.0, 300000.0)
"""A lone mass within these is the heap's: bags are lighter (our own). [kg]"""
HEAP_BETWEEN_M3: Final = (2.0, 300.0)
"""A lone volume within these is the heap's: nobody carries so much water (our own). [m3]"""
WHY: Final = said("chat.which-number")
_SCALELESS: Final = (28.0, 203.0)
"""What a heap may read, in either scale."""
_NO_AIR: Final = 104.0
"""From here on a number is no air's, be it in °F (40 °C) or in °C (our own)."""
_HOUSE: Final = frozenset({"HOUSE", "GLAZING", "WATERED", "ADDED"})
"""What a volume could be of that is not the heap's."""
_CORES: Final = frozenset({"/history/-", "/temperatures/core", LONE_HISTORY})
_HEAPS: Final = frozenset(
    {
        "HEAP",
        "IN_HEAP",
        "CORE",
        "OLD",
        "AGE",
        "BUILT",
        "WATERED",
        "TURNED",
        "ADDED",
        "FEEL",
        "FELL",
        "FELL_TO",
        "SIGN",
        "SMELL_KIND",
        "REACHED",
    }
)
_OF_THE_HEAP: Final = frozenset({"HEAP", "PROBE", "IN_HEAP"})
_OF_OTHERS: Final = ("/draw/", "/equipment", "/greenhouse/", "/weather/")
"""Readings that say nothing of the heap itself."""
_AGAIN: Final = frozenset({"NOW", "FELL_TO", *_OF_THE_HEAP})
_PLACES: Final[dict[str, tuple[str, Dimension, tuple[float, float]]]] = {
    LONE_TEMPERATURE: ("/temperatures/core", "temperature", CORE_BETWEEN_C),
    LONE_HISTORY: ("/history/-", "temperature", CORE_BETWEEN_C),
    LONE_VOLUME: ("/pile/size", "volume", HEAP_BETWEEN_M3),
    LONE_MASS: ("/pile/size", "mass", HEAP_BETWEEN_KG),
}


def placed(
    told: Sequence[tuple[HeardValue, Clause]], clauses: Sequence[Clause], status: Mapping[str, Any]
) -> tuple[list[tuple[HeardValue, Clause]], list[Clause]]:
    """The readings with those that stood alone in their places, and the clauses of those whose place is not clear.

    A place is clear where a heap is told of, nothing else is that the number could be of, nothing else was told of that
    place, and the number can be it.
    """
    kept, unclear = [], []
    of_a_heap = bool(set(status) - {"units"}) or any(_is_of_a_heap(reading) for reading, _ in told)
    of_a_heap |= any(piece.terminal in _HEAPS for clause in clauses for piece in clause.pieces)
    of_a_heap |= {LONE_TEMPERATURE, LONE_HISTORY} <= {reading.pointer for reading, _ in told if _is_hot(reading)}
    of_a_heap |= sum(reading.pointer == LONE_HISTORY for reading, _ in told) > 1
    of_a_house = any(reading.pointer.startswith("/greenhouse/") for reading, _ in told)
    for reading, clause in told:
        if reading.pointer not in _PLACES:
            kept.append((reading, clause))
            continue
        pointer, dimension, _ = _PLACES[reading.pointer]
        named = (
            _names_it(clause)
            or _is_headed_behind(clause, clauses)
            or (_goes_on(clause) and any(other.pointer in _CORES for other, _ in told))
        )
        others = [other for other, _ in told if other is not reading and other.pointer in (reading.pointer, pointer)]
        free = any(piece.terminal in _AGAIN for piece in clause.pieces) or not _in(status, pointer)
        alone = reading.pointer == LONE_HISTORY or (free and not others)
        of_the_house = dimension in ("volume", "mass") and any(
            _HOUSE & {piece.terminal for piece in each.pieces} for each in clauses
        )
        of_a_thing = dimension in ("volume", "mass") and any(
            other is not clause and _lists_amounts(other) for other in clauses
        )
        beside = of_the_house or of_a_thing or (not named and _others_beside(clause, clauses))
        beside |= dimension == "temperature" and not named and _follows_a_machine(clause, clauses)
        if (
            alone
            and (of_a_heap or named or (of_a_house and _is_hot(reading)) or _is_heaps_alone(reading, clause))
            and _fits(reading, named=named, dated=_is_dated(clause))
            and not beside
        ):
            value = {dimension: reading.value} if pointer == "/pile/size" else reading.value
            kept.append((replace(reading, pointer=pointer, value=value), clause))
        else:
            unclear.append(clause)
    return kept, unclear


def _is_of_a_heap(reading: HeardValue) -> bool:
    """Whether what was told is of a heap: settings of a fan alone leave open whose a temperature beside them is."""
    return reading.pointer not in _PLACES and not reading.pointer.startswith(_OF_OTHERS)


def _follows_a_machine(clause: Clause, clauses: Sequence[Clause]) -> bool:
    """Whether it is told right behind how a fan or a pump runs: it may be what comes out of that."""
    here = next((place for place, other in enumerate(clauses) if other is clause), 0)
    return here > 0 and _runs(clauses[here - 1]) and not clause.of_now


def _runs(clause: Clause) -> bool:
    """Whether a clause tells how a fan or a pump runs."""
    running = [piece for piece in clause.pieces if piece.terminal in ("AIRFLOW", "WATERFLOW", "MINUTES", "ALWAYS")]
    return clause.told is not None and bool(running)


def _lists_amounts(clause: Clause) -> bool:
    """Whether things are named in a clause that could not be read, or by their amounts: a volume may be of them."""
    words = {piece.terminal for piece in clause.pieces}
    shared = clause.told is None and bool(words & {"PERCENT", "FRACTION"})
    return (
        "MATERIAL" in words
        and not shared
        and (clause.told is None or bool(words & {"VOLUME", "YARDS", "MASS", "TONS"}))
    )


def _is_hot(reading: HeardValue) -> bool:
    """Whether a number without a place is so hot that two of them can be a heap's alone."""
    if reading.pointer not in (LONE_TEMPERATURE, LONE_HISTORY):
        return False
    value = reading.value["core"] if isinstance(reading.value, dict) else reading.value
    return not needs_scale(value) and parse_quantity(value, ("temperature",), "metric").si >= HOT_ALONE_C


def _is_heaps_alone(reading: HeardValue, clause: Clause) -> bool:
    """Whether nobody would tell it of anything but a heap: what it read when hot, or how many cubic yards it holds."""
    if reading.pointer == LONE_VOLUME:
        return str(reading.value).endswith(" yd3") and "VOLUME" in clause.kinds
    return _is_hot(reading) and (reading.pointer == LONE_HISTORY or clause.of_now)


def _names_it(clause: Clause) -> bool:
    """Whether heap or probe are named beside the number."""
    return any(piece.terminal in _OF_THE_HEAP for piece in clause.pieces)


def _names_the_core_alone(clause: Clause) -> bool:
    return clause.told is None and {piece.terminal for piece in clause.pieces} == {"CORE"}


def _is_headed_behind(clause: Clause, clauses: Sequence[Clause]) -> bool:
    """Whether the last that is said names what all the numbers before are of: "Sat 58, today 51, core, in C"."""
    places = {piece.terminal for other in clauses for piece in other.pieces if piece.terminal in _PLACES_NAMED}
    return clause is not clauses[-1] and _names_the_core_alone(clauses[-1]) and places == {"CORE"}


def heads_behind(clauses: Sequence[Clause]) -> list[str]:
    """What the last clause says, where it does no more than name what the numbers before it are of."""
    return [clauses[-1].text] if clauses and _is_headed_behind(clauses[0], clauses) else []


_PLACES_NAMED: Final = frozenset(
    {"CORE", "OUTER", "OUTSIDE", "HOUSE", "TONIGHT", "LOW", "INLET", "OUTLET", "FAN", "PUMP"}
)


def _goes_on(clause: Clause) -> bool:
    """Whether it says what something fell or rose to, which was told of before."""
    return any(piece.terminal == "FELL_TO" for piece in clause.pieces)


def _others_beside(clause: Clause, clauses: Sequence[Clause]) -> bool:
    """Whether something else was spoken of that a number without a place could be of."""
    here = next((place for place, other in enumerate(clauses) if other is clause), 0)
    for place, other in enumerate(clauses):
        if other is clause or other.told is not None or other.aside:
            continue
        if place > here and _names_the_core_alone(other):
            continue
        places = other.dangling and any(piece.terminal in ROLES["TEMP"] for piece in other.pieces)
        if places or (clause.kinds & other.stray and not other.then):
            return True
        beside = abs(place - here) == 1
        if beside and (
            (other.doubts and other.bare)
            or (clause.kinds & other.kinds and not other.then)
            or any(_may_bear(piece) for piece in other.pieces)
        ):
            return True
    return False


def _may_bear(piece: TextPiece) -> bool:
    """Whether a piece names a thing that could be so warm."""
    word = str(piece.value)
    strange = piece.terminal == "OTHER" and (word in lexicon().things or word.endswith("'s"))
    return strange or piece.terminal == "SUPPLY"


def _is_dated(clause: Clause) -> bool:
    """Whether it tells what was read before and what is read now: nobody tells so much of anything but a heap."""
    told = {each.pointer for each in clause.told or () if isinstance(each, HeardValue)}
    return {LONE_TEMPERATURE, LONE_HISTORY} <= told


def _fits(reading: HeardValue, *, named: bool, dated: bool) -> bool:
    """Whether the number can be what the place holds.

    One of unknown scale only where heap or probe are named, or where two days are told and it is no air in either.
    """
    _, dimension, between = _PLACES[reading.pointer]
    value = reading.value["core"] if isinstance(reading.value, dict) else reading.value
    if needs_scale(value):
        read = float(value.partition(" ")[0])
        return (named and _SCALELESS[0] <= read <= _SCALELESS[1]) or (dated and _NO_AIR <= read <= _SCALELESS[1])
    return between[0] <= parse_quantity(value, (dimension,), "metric").si <= between[1]


def _in(status: Mapping[str, Any], pointer: str) -> bool:
    found: Any = status
    for name in pointer.split("/")[1:]:
        found = found.get(name) if isinstance(found, Mapping) else None
    return found is not None
