"""Numbers that stand by themselves: what they say until `lone.placed` knows what they are of."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.meaning_heap import amount_in
from service.talk.chat.meaning_heat import NO_DAY, age_told, core_then, earlier, since_then
from service.talk.chat.moments import last_night
from service.talk.chat.reading import (
    Gap,
    HeardValue,
    Node,
    Setting,
    Told,
    Unclear,
    has,
    parts_in,
    pieces_in,
    temperatures,
)

OVERNIGHT: Final = "overnight"
LONE_TEMPERATURE: Final = "/temperatures/?"
LONE_VOLUME: Final = "/pile/size/?"
LONE_MASS: Final = "/pile/size/?mass"
LONE_HISTORY: Final = "/history/?"
"""Where numbers go for which nobody said what they are of, until it is clear."""


def _lone_then(node: Node, setting: Setting) -> Iterator[Told]:
    """A temperature of another day that stands by itself."""
    for told in core_then(node, setting):
        yield replace(told, pointer=LONE_HISTORY) if isinstance(told, HeardValue) else told


def _lone_trend(node: Node, setting: Setting) -> Iterator[Told]:
    """From one temperature to another, or the newer first: on which day the older was is not told."""
    then, now = temperatures(node)
    if has(node, "TONIGHT"):
        yield HeardValue(LONE_TEMPERATURE, now)
        (over,) = pieces_in(node, "TONIGHT")
        if over.value != OVERNIGHT:
            raise Unclear(NO_DAY)
        at = last_night(setting.now).isoformat()
        yield HeardValue(LONE_HISTORY, {"at": at, "core": then})
        return
    if parts_in(node, "since", "since_work"):
        yield HeardValue(LONE_TEMPERATURE, now)
        for told in since_then(then, node, setting):
            if isinstance(told, HeardValue) and told.pointer == "/history/-":
                yield replace(told, pointer=LONE_HISTORY)
            else:
                yield told
        return
    if node.data == "lone_trend_back":
        then, now = now, then
    yield HeardValue(LONE_TEMPERATURE, now)
    yield Gap(then, NO_DAY)


def _lone_and_then(node: Node, setting: Setting) -> Iterator[Told]:
    now, then = temperatures(node)
    yield HeardValue(LONE_TEMPERATURE, now)
    yield from earlier(then, parts_in(node, "moment")[0], setting)


def _lone_then_now(node: Node, setting: Setting) -> Iterator[Told]:
    then, now = temperatures(node)
    yield HeardValue(LONE_TEMPERATURE, now)
    for told in earlier(then, parts_in(node, "moment")[0], setting):
        yield replace(told, pointer=LONE_HISTORY) if isinstance(told, HeardValue) else told


def _lone_lasting(node: Node, setting: Setting) -> Iterator[Told]:
    """What it has read for so long, and reads now."""
    for value in temperatures(node):
        yield HeardValue(LONE_TEMPERATURE, value)


def _lone(node: Node, setting: Setting) -> Iterator[Told]:
    """A temperature or a volume that stands by itself: `lone.placed` says what it is of."""
    yield from age_told(node, setting)
    for value in temperatures(node):
        yield HeardValue(LONE_TEMPERATURE, value)
    for piece in pieces_in(node, "VOLUME", "YARDS"):
        yield HeardValue(
            LONE_VOLUME, f"{piece.value.value:g} {'yd3' if piece.terminal == 'YARDS' else piece.value.unit}"
        )
    if has(node, "MASS", "TONS"):
        amount = amount_in(node, setting)
        if isinstance(amount, Gap):
            yield amount
        elif amount is not None:
            yield HeardValue(LONE_MASS, amount[1])


LONELY: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "lone": _lone,
    "lone_then": _lone_then,
    "lone_lasting": _lone_lasting,
    "lone_and_then": _lone_and_then,
    "lone_then_now": _lone_then_now,
    "lone_trend": _lone_trend,
    "lone_trend_back": _lone_trend,
}
"""What each rule of the grammar says, by its name."""
