"""Facts told in another order than the grammar's, or with small words between: which words belong together decides.

"31 C comes out of the duct", "in the duct the air comes out at 31 C": one number and one place, and nothing that turns
the meaning, are one reading, in whatever order they stand. Where two places or two numbers stand there is no order.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from service.talk.chat.tokens import TextPiece

_PLACES: Final = frozenset({"CORE", "OUTER", "OUTSIDE", "HOUSE", "TONIGHT", "LOW", "INLET", "OUTLET"})
_ANYWHERE: Final = frozenset({"ON", "OF", "NOW", "HAVE", "RUNS", "IN"})
"""What says nothing beside a place and a number."""
_SMALL: Final[dict[str, frozenset[str]]] = {
    "CORE": _ANYWHERE | {"HEAP", "IN_HEAP", "PROBE", "INSIDE", "LONG", "FELL_TO"},
    "OUTER": _ANYWHERE | {"PROBE"},
    "OUTSIDE": _ANYWHERE | {"TODAY", "FELL_TO"},
    "HOUSE": _ANYWHERE | {"INSIDE", "TODAY", "FELL_TO"},
    "TONIGHT": _ANYWHERE - {"NOW"} | {"LOW", "OUTSIDE", "WILL", "NIGHTS"},
    "LOW": _ANYWHERE - {"NOW"} | {"TONIGHT", "OUTSIDE", "WILL", "NIGHTS"},
    "INLET": _ANYWHERE,
    "OUTLET": _ANYWHERE,
}
"""What says nothing beside each place."""
_DRAWERS: Final = frozenset({"FAN", "PUMP"})
_DRAWN: Final = frozenset({"AIRFLOW", "WATERFLOW", "MINUTES", "HOURS", "ALWAYS", "ALL_DAY", "NIGHTS", "DAYTIME", "OFF"})
_BESIDE_DRAWERS: Final = frozenset({"PER", "IN_HEAP", "HEAP", "SUPPLY", "WATER_WORD"})
_TEMPERATURES: Final = frozenset({"TEMP", "NUM"})
_ON_A_DAY: Final = ("YESTERDAY", "DAY_BEFORE", "WEEKDAY", "DAY", "TODAY", "LAST_NIGHT")
_SHORTEST_SERIES: Final = 4
"""Pieces of two readings, each with its day."""
_BEFORE_A_DAY: Final = ("LAST", "ON")
_KEEP: Final = frozenset({"KEEP"})
_OF_HOUSE: Final = frozenset({"HOUSE"})
_NIGHT: Final = frozenset({"NIGHTS", "TONIGHT", "LAST_NIGHT"})
_WORK: Final = frozenset({"WATERED", "TURNED"})
_BESIDE_WORK: Final = frozenset({"ON", "WITH", "OF", "HEAP", "IN_HEAP", "OVER_IT", "HAVE", "BY_HAND"})


def in_order(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """The pieces that count, in the grammar's order; empty where there is no one order of them."""
    series = _series(pieces)
    if series:
        return series
    names = tuple("IN" if piece.terminal == "SPAN" and piece.value == "in" else piece.terminal for piece in pieces)
    return tuple(pieces[place] for place in _ordered(names))


def _series(pieces: tuple[TextPiece, ...]) -> tuple[TextPiece, ...]:
    """Readings of the core that each have their day, in turn: "118 in the core today, 122 yesterday"."""
    core = [piece for piece in pieces if piece.terminal == "CORE"]
    rest = [piece for piece in pieces if piece.terminal not in ("CORE", "AND", "COMMA")]
    if len(core) != 1 or len(rest) < _SHORTEST_SERIES or len(rest) % 2:
        return ()
    pairs = list(zip(rest[::2], rest[1::2], strict=True))
    first = 0 if pairs[0][0].terminal in _TEMPERATURES else 1
    in_turn = all(
        pair[first].terminal in _TEMPERATURES and pair[1 - first].terminal in (*_ON_A_DAY, "NOW") for pair in pairs
    )
    if not in_turn:
        return ()
    told = [core[0], *pairs[0]]
    for pair in pairs[1:]:
        told += [TextPiece("AND", "and", pair[0].start, pair[0].start), *pair]
    return tuple(told)


@lru_cache(4096)
def _ordered(names: tuple[str, ...]) -> tuple[int, ...]:
    places = list(range(len(names)))
    kinds = {name for name in names if name in _PLACES}
    if "KEEP" in names and sum(name in _TEMPERATURES for name in names) == 1:
        return _target(names, places)
    if kinds and sum(name in _TEMPERATURES for name in names) == 1:
        return _temperature(names, places, kinds)
    if any(name in _DRAWERS for name in names):
        return _draw(names, places)
    return _work(names, places) if any(name in _WORK for name in names) else ()


def _temperature(names: Sequence[str], places: list[int], kinds: set[str]) -> tuple[int, ...]:
    """One temperature and one place; of the core at another moment, too."""
    chief = "TONIGHT" if "TONIGHT" in kinds else "LOW" if "LOW" in kinds else next(iter(kinds))
    moment = _moment(names, places) if chief in ("CORE", "OUTSIDE") else []
    number = [place for place in places if names[place] in _TEMPERATURES]
    named = [place for place in places if names[place] == chief]
    small = (
        _SMALL[chief] | ({"WAS"} if "TODAY" in names else set())
        if not moment
        else _SMALL[chief] - {"NOW"} | {"WAS", "REACHED"}
    )
    drawer = [place for place in places if names[place] in _DRAWERS] if chief in ("INLET", "OUTLET") else []
    rest = [place for place in places if place not in {*moment, *number, *named, *drawer}]
    if len({names[place] for place in drawer}) > 1 or any(names[place] not in small for place in rest):
        return ()
    return (*drawer[:1], named[0], *number, *moment)


def _target(names: Sequence[str], places: list[int]) -> tuple[int, ...]:
    """What the house is to be kept at by night."""
    parts = [[place for place in places if names[place] in kind] for kind in (_KEEP, _OF_HOUSE, _TEMPERATURES, _NIGHT)]
    rest = {names[place] for place in places if not any(place in part for part in parts)}
    whole = all(len(part) <= 1 for part in parts) and (parts[1] or parts[3]) and rest <= _ANYWHERE | {"ABOVE"}
    return tuple(place for part in parts for place in part) if whole else ()


def _draw(names: Sequence[str], places: list[int]) -> tuple[int, ...]:
    """Fan or pump, whichever is named, before what is said of it."""
    drawer = [place for place in places if names[place] in _DRAWERS]
    drawn = [place for place in places if names[place] in _DRAWN]
    rest = {names[place] for place in places if place not in {*drawer, *drawn}}
    if len({names[place] for place in drawer}) > 1 or not drawn or not rest <= _ANYWHERE | _BESIDE_DRAWERS:
        return ()
    return (drawer[0], *drawn)


def _work(names: Sequence[str], places: list[int]) -> tuple[int, ...]:
    """Work, how much, and when."""
    moment = _moment(names, places)
    work = [place for place in places if names[place] in _WORK]
    amount = [place for place in places if names[place] == "VOLUME"]
    rest = {names[place] for place in places if place not in {*moment, *work, *amount}}
    poured = len(amount) <= 1 and (not amount or names[work[0]] == "WATERED")
    if not moment or len(work) > 1 or not poured or not rest <= _BESIDE_WORK:
        return ()
    return (*work, *amount, *moment)


def _moment(names: Sequence[str], places: list[int]) -> list[int]:
    """Where the one moment before now stands; empty where there is none, or more than one."""
    found: list[list[int]] = []
    for place in places:
        if names[place] in _ON_A_DAY:
            led = place > 0 and names[place - 1] in _BEFORE_A_DAY
            found.append([place - 1, place] if led else [place])
        elif names[place : place + 2] == ("DURATION", "AGO"):
            found.append([place, place + 1])
    return found[0] if len(found) == 1 else []
