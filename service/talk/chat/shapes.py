"""Whether words fit the grammar at all: far quicker than reading them, so that only what fits is read."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import dropwhile, islice, takewhile
from typing import Final

from service.talk.chat.grammar import FACT, rules, terminals

LONGEST_FACT: Final = 24
"""Pieces of the longest fact that is looked for (our own)."""
MOST_WAYS: Final = 32
_IDLE: Final = frozenset({("HEAP",), ("HAVE", "HEAP"), ("AND",), ("BUT",), ("WITH",)})
"""Words that join facts, and the heap named between them: they say nothing by themselves."""


def fits(names: Sequence[str], start: str) -> bool:
    """Whether terminals of these names make up what `start` of the grammar stands for."""
    return bool(names) and len(names) in _Ends(names, len(names)).of(start, 0)


def facts_fitting(names: tuple[str, ...]) -> tuple[str, ...]:
    """The facts of the grammar that terminals of these names may state, one fact all of them."""
    return _facts_in(names[: LONGEST_FACT + 1]).get(len(names), ()) if names else ()


@lru_cache(8192)
def _facts_in(names: tuple[str, ...]) -> dict[int, tuple[str, ...]]:
    """The facts that may begin with the first of these names, by length. Kept: many tries look at the same words."""
    return _Ends(names, LONGEST_FACT).facts_from(0)


FactSpan = tuple[int, int, tuple[str, ...]]
"""Where a fact begins and ends, and which facts it may be."""


def statements_fitting(names: Sequence[str]) -> list[tuple[FactSpan, ...]]:
    """The ways to see facts follow each other from the first piece to the last, as few facts as can be.

    Words that join, and the heap named between, are no facts. Empty where there is no way, or far too many.
    """
    ways: list[list[tuple[FactSpan, ...]]] = [[()], *([] for _ in names)]
    for start, so_far in enumerate(ways[:-1]):
        if not so_far:
            continue
        fitting = _facts_in(tuple(names[start : start + LONGEST_FACT]))
        for length in range(1, min(len(names) - start, LONGEST_FACT) + 1):
            if tuple(names[start : start + length]) in _IDLE:
                _add(ways[start + length], so_far)
            facts = fitting.get(length, ())
            if facts:
                _add(ways[start + length], [(*way, (start, start + length, facts)) for way in so_far])
    return [way for way in ways[-1] if way] if len(ways[-1]) <= MOST_WAYS else []


def _add(ways: list[tuple[FactSpan, ...]], more: list[tuple[FactSpan, ...]]) -> None:
    """Add ways of as many facts as those that are there; of more none, of fewer those alone."""
    if ways and len(more[0]) > len(ways[0]):
        return
    if ways and len(more[0]) < len(ways[0]):
        ways.clear()
    ways += [way for way in more if way not in ways][: MOST_WAYS + 1 - len(ways)]


class _Ends:
    """Where things of the grammar may end among some pieces, by where they begin.

    The grammar is regular, its only recursion that of lists, which stand to the left. Nothing longer than `longest`
    pieces is looked for, so that the work grows with the pieces alone.
    """

    def __init__(self, names: Sequence[str], longest: int) -> None:
        self._names = names
        self._longest = longest
        self._known: dict[tuple[str, int], frozenset[int]] = {}

    def facts_from(self, start: int) -> dict[int, tuple[str, ...]]:
        """The facts that may begin at a place, by how many pieces they take."""
        found: dict[int, tuple[str, ...]] = {}
        for fact in _beginning(self._names[start]):
            for end in self.of(fact, start):
                if end - start <= LONGEST_FACT:
                    found[end - start] = (*found.get(end - start, ()), fact)
        return found

    def of(self, name: str, start: int) -> frozenset[int]:
        """Where something of this name that begins there may end."""
        begins = start < len(self._names) and self._names[start] in _first(name)
        if name in terminals() or not (begins or _may_be_left_out(name)):
            return frozenset({start + 1} if begins else ())
        if (name, start) not in self._known:
            self._known[name, start] = self._found(name, start)
        return self._known[name, start]

    def _found(self, name: str, start: int) -> frozenset[int]:
        once, more = _expansions()[name]
        found = {end for expansion in once for end in self._along(expansion, start)}
        waiting = list(found)
        while waiting:
            here = waiting.pop()
            further = {end for expansion in more for end in self._along(expansion, here)} - found
            further = {end for end in further if end - start <= self._longest}
            found |= further
            waiting += further
        return frozenset(found)

    def _along(self, expansion: tuple[str, ...], start: int) -> set[int]:
        places = {start}
        for part in expansion:
            places = {end for place in places for end in self.of(part, place)}
        return places


@cache
def _beginning(terminal: str) -> tuple[str, ...]:
    """The facts that may begin with a terminal."""
    return tuple(fact for fact in _facts() if terminal in _first(fact))


@cache
def _facts() -> tuple[str, ...]:
    return tuple(dict.fromkeys(expansion[0] for expansion in _expansions()[FACT][0]))


@cache
def _first(name: str) -> frozenset[str]:
    """The terminals that something of this name may begin with."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        here = waiting.pop()
        if here in terminals():
            found.add(here)
        elif here not in seen:
            seen.add(here)
            for expansion in _expansions()[here][0]:
                waiting += takewhile(_may_be_left_out, expansion)
                waiting += islice(dropwhile(_may_be_left_out, expansion), 1)
    return frozenset(found)


@cache
def _may_be_left_out(name: str) -> bool:
    return name not in terminals() and any(all(map(_may_be_left_out, way)) for way in _expansions()[name][0])


Expansions = tuple[tuple[str, ...], ...]


@cache
def _expansions() -> dict[str, tuple[Expansions, Expansions]]:
    """The ways to write each rule, and what may follow again and again where it is a list."""
    found: dict[str, tuple[list[tuple[str, ...]], list[tuple[str, ...]]]] = {}
    for origin, expansion in rules():
        once, more = found.setdefault(origin, ([], []))
        if expansion[:1] == (origin,):
            more.append(expansion[1:])
        else:
            once.append(expansion)
    return {name: (tuple(once), tuple(more)) for name, (once, more) in found.items()}
