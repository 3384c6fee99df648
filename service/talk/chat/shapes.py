"""Whether words fit the grammar at all: far quicker than reading them, so that only what fits is read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from typing import Any, Final

from service.talk.chat.grammar import FACT, rules, terminals

LONGEST_FACT: Final = 24
"""Pieces of the longest fact that is looked for (our own)."""
MOST_WAYS: Final = 32
_IDLE: Final = frozenset({("HEAP",), ("HAVE", "HEAP"), ("AND",), ("BUT",), ("WITH",)})
"""Words that join facts, and the heap named between them: they say nothing by themselves."""


def fits(names: Sequence[str], start: str) -> bool:
    """Whether terminals of these names make up what `start` of the grammar stands for."""
    written = _written(names)
    return written is not None and _pattern(start).fullmatch(written) is not None


@lru_cache(4096)
def facts_fitting(names: tuple[str, ...]) -> tuple[str, ...]:
    """The facts of the grammar that terminals of these names may state, one fact all of them."""
    written = _written(names)
    if written is None or len(names) > LONGEST_FACT:
        return ()
    return tuple(fact for fact in _beginning(written[0]) if _pattern(fact).fullmatch(written))


Span = tuple[int, int, tuple[str, ...]]
"""Where a fact begins and ends, and which facts it may be."""


def statements_fitting(names: Sequence[str]) -> list[tuple[Span, ...]]:
    """The ways to see facts follow each other from the first piece to the last, as few facts as can be.

    Words that join, and the heap named between, are no facts. Empty where there is no way, or far too many.
    """
    ways: list[list[tuple[Span, ...]]] = [[()], *([] for _ in names)]
    for start, so_far in enumerate(ways[:-1]):
        if not so_far:
            continue
        for length in range(1, min(len(names) - start, LONGEST_FACT) + 1):
            part = tuple(names[start : start + length])
            if part in _IDLE:
                _add(ways[start + length], so_far)
            facts = facts_fitting(part)
            if facts:
                _add(ways[start + length], [(*way, (start, start + length, facts)) for way in so_far])
    return [way for way in ways[-1] if way] if len(ways[-1]) <= MOST_WAYS else []


def _add(ways: list[tuple[Span, ...]], more: list[tuple[Span, ...]]) -> None:
    """Add ways of as many facts as those that are there; of more none, of fewer those alone."""
    if ways and len(more[0]) > len(ways[0]):
        return
    if ways and len(more[0]) < len(ways[0]):
        ways.clear()
    ways += [way for way in more if way not in ways][: MOST_WAYS + 1 - len(ways)]


@cache
def _marks() -> dict[str, str]:
    """One mark for each terminal, so that patterns can be looked for."""
    return {name: chr(0x100 + place) for place, name in enumerate(sorted(terminals()))}


def _written(names: Iterable[str]) -> str | None:
    marks = _marks()
    try:
        return "".join(marks[name] for name in names) or None
    except KeyError:
        return None


@cache
def _beginning(mark: str) -> tuple[str, ...]:
    """The facts that may begin with a terminal."""
    return tuple(fact for fact in _facts() if re.match(_first(fact), mark))


@cache
def _facts() -> tuple[str, ...]:
    return tuple(dict.fromkeys(expansion[0] for expansion in _expansions()[FACT]))


@cache
def _first(name: str) -> str:
    """A pattern of the marks that something of this name may begin with."""
    marks: set[str] = set()
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        here = waiting.pop()
        if here in _marks():
            marks.add(_marks()[here])
        elif here not in seen:
            seen.add(here)
            waiting += [expansion[0] for expansion in _expansions()[here] if expansion]
    return f"[{''.join(sorted(marks))}]"


@cache
def _pattern(name: str) -> re.Pattern[str]:
    return re.compile(_spelled(name))


@cache
def _spelled(name: str) -> str:
    """The pattern of a rule: the grammar is regular, its only recursion that of lists."""
    if name in _marks():
        return _marks()[name]
    once = [expansion for expansion in _expansions()[name] if expansion[:1] != (name,)]
    more = [expansion[1:] for expansion in _expansions()[name] if expansion[:1] == (name,)]
    head = _either(once)
    return f"{head}(?:{_either(more)})*" if more else head


def _either(expansions: Iterable[tuple[str, ...]]) -> str:
    ways = dict.fromkeys("".join(_spelled(each) for each in expansion) for expansion in expansions)
    return f"(?:{'|'.join(ways)})"


@cache
def _expansions() -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[Any]] = {}
    for origin, expansion in rules():
        found.setdefault(origin, []).append(expansion)
    return found
