"""Temperatures with their places and moments: what the clauses about readings say."""

from __future__ import annotations

import calendar
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from rules.catalogue import said
from service.talk.chat.days import NamedDay
from service.talk.chat.moments import MIDDLE_OF_MONTH, before, day_in_month, moment, span_days, span_written
from service.talk.chat.reading import (
    Gap,
    HeardValue,
    Node,
    Setting,
    Told,
    Unclear,
    has,
    needs_scale,
    parts_in,
    piece_of,
    pieces_in,
    temperatures,
)
from service.units.quantities import parse_quantity

_DAYS_OF_A_PART: Final = 10
OLDEST_DAYS: Final = 5 * 365.25
"""No heap that is asked about is older; people are (our own)."""
_SKIN: Final = ("edge", "skin", "outside")
"""What is said of the outer layer."""
_CORE: Final = "/temperatures/core"
_WHICH_DAY: Final = said("chat.no-such-day-or-two")
NO_DAY: Final = said("chat.on-which-day")


def age_told(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "NTH"):
        yield HeardValue("/pile/age", str(piece.value))
    for span in parts_in(node, "span"):
        if span_days(span) > OLDEST_DAYS:
            yield Gap(span_written(span), said("chat.the-age"))
            continue
        yield HeardValue("/pile/age", span_written(span))


def _old_then(node: Node, setting: Setting) -> Iterator[Told]:
    """How old it was on a day: it was built so long before that."""
    at = moment(parts_in(node, "named_day")[0], setting)
    if at is None:
        yield Gap("", _WHICH_DAY)
        return
    yield HeardValue("/pile/built_on", before(parts_in(node, "span")[0], at).date().isoformat())


def built(node: Node, setting: Setting) -> Iterator[Told]:
    """The day on which it was built."""
    at = setting.now if has(node, "NOW", "TODAY") else moment(node, setting)
    yield Gap("built", _WHICH_DAY) if at is None else HeardValue("/pile/built_on", at.date().isoformat())


def _core(node: Node, setting: Setting) -> Iterator[Told]:
    for part in node.children:
        if isinstance(part, type(node)):
            yield from CORE_PARTS[part.data](part, setting)


def _reading(node: Node, setting: Setting) -> Iterator[Told]:
    (value,) = temperatures(node)
    moments = parts_in(node, "moment")
    if not moments:
        yield HeardValue(_CORE, value)
        return
    yield from earlier(value, moments[0], setting)


def earlier(value: str, when: Node, setting: Setting) -> Iterator[Told]:
    at = moment(when, setting)
    if at is None:
        yield Gap(value, _WHICH_DAY)
    else:
        yield HeardValue("/history/-", {"at": at.isoformat(), "core": value})


def core_then(node: Node, setting: Setting) -> Iterator[Told]:
    (value,) = temperatures(node)
    yield from earlier(value, parts_in(node, "moment")[0], setting)


def _undated(node: Node, setting: Setting) -> Iterator[Told]:
    for value in temperatures(node):
        yield Gap(value, NO_DAY)


def _now_and_then(node: Node, setting: Setting) -> Iterator[Told]:
    now, then = temperatures(node)
    yield HeardValue(_CORE, now)
    yield from since_then(then, node, setting)


def _core_now(node: Node, setting: Setting) -> Iterator[Told]:
    for value in temperatures(node):
        yield HeardValue(_CORE, value)


def _core_at_depth(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _core_now(node, setting)
    yield Gap(str(pieces_in(node, "LENGTH", "YARDS")[0].value), said("chat.core-depth"))


def _core_at_length(node: Node, setting: Setting) -> Iterator[Told]:
    """What a probe of this length reads; that it does not reach the middle is told by its length."""
    yield HeardValue("/probe/length", length_of(node))
    yield from _core_now(node, setting)


def _trend(node: Node, setting: Setting) -> Iterator[Told]:
    """From one temperature to another: the second is now; the first needs a day."""
    then, now = temperatures(node)
    yield HeardValue(_CORE, now)
    yield from since_then(then, node, setting)


def since_then(then: str, node: Node, setting: Setting) -> Iterator[Told]:
    """An earlier temperature with the moment, or the span of time, that is told beside it."""
    for work in parts_in(node, "since_work"):
        at = moment(parts_in(work, "moment")[0], setting)
        if at is not None:
            yield HeardValue("/done/-", {"at": at.isoformat(), "action": work_told(work)})
    whens = [when for part in (node, *parts_in(node, "since", "since_work")) for when in parts_in(part, "moment")]
    spans = [span for part in parts_in(node, "since") for span in parts_in(part, "span")]
    if whens:
        yield from earlier(then, whens[0], setting)
    elif spans:
        at = before(spans[0], setting.now)
        yield HeardValue("/history/-", {"at": at.isoformat(), "core": then})
    else:
        yield Gap(then, NO_DAY)


def work_told(node: Node) -> str:
    """Which work a reading is told to be since."""
    return "add_water" if has(node, "WATERED") else "loosen_pile"


def _at(pointer: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """A single temperature at a fixed place."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        for value in temperatures(node):
            yield HeardValue(pointer, value)

    return told


def length_of(node: Node) -> str:
    """The length right below a node, as the contract writes it."""
    return str(pieces_in(node, "LENGTH", "YARDS")[0].value)


def _history_answer(node: Node, setting: Setting) -> Iterator[Told]:
    yield from earlier(next(temperatures(node)), parts_in(node, "moment")[0], setting)


def built_in_month(node: Node, setting: Setting) -> Iterator[Told]:
    """The middle, the beginning or the end of the newest such month that is past."""
    named = day_in_month(node)
    day = named.last_before(setting.now.date()) if named else None
    if day is None:
        yield Gap("built", said("chat.month-not-over"))
        return
    yield HeardValue("/pile/built_on", min(day, setting.now.date()).isoformat())


def _last_of_month(node: Node) -> NamedDay | None:
    """The last day of a month till whose end something is wanted, or the day that another part of it stands for."""
    named = day_in_month(node)
    at_end = named is not None and named.day > 2 * MIDDLE_OF_MONTH - _DAYS_OF_A_PART
    if named is None or named.month is None or not at_end:
        return named
    return replace(named, day=calendar.monthrange(2001, named.month)[1])


def _until(node: Node, setting: Setting) -> Iterator[Told]:
    if has(node, "SPRING"):
        raise Unclear(said("chat.until-which-day"))
    if has(node, "MONTH") and not has(node, "PART_OF_MONTH"):
        raise Unclear(said("chat.beginning-or-end"))
    named = _last_of_month(node) or pieces_in(node, "DAY")[0].value
    day = named.next_after(setting.now.date())
    yield (Gap("until", said("chat.day-past-or-none")) if day is None else HeardValue("/goal/until", day.isoformat()))


def _core_after(node: Node, setting: Setting) -> Iterator[Told]:
    """What the core reads so long after the heap was built."""
    yield from _core_now(node, setting)
    for span in parts_in(node, "span"):
        yield HeardValue("/pile/age", span_written(span), unless_told=True)


def _core_then_now(node: Node, setting: Setting) -> Iterator[Told]:
    then, now = temperatures(node)
    yield HeardValue(_CORE, now)
    yield from earlier(then, parts_in(node, "moment")[0], setting)


def _low(node: Node, setting: Setting) -> Iterator[Told]:
    """The coming night's low; what no night of a heating season is like is none."""
    for value in temperatures(node):
        if not needs_scale(value) and parse_quantity(value, ("temperature",), "metric").si > WARMEST_NIGHT_C:
            raise Unclear(said("chat.middle-or-air"))
        yield HeardValue("/weather/low", value)


WARMEST_NIGHT_C: Final = 35.0
"""No night is warmer than this (our own) [degC]."""
CORE_PARTS: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "reading": _reading,
    "later": _reading,
    "undated": _undated,
    "now_and_then": _now_and_then,
    "trend": _trend,
    "core_now": _core_now,
    "core_trend": _core,
}


def _core_when_turned(node: Node, setting: Setting) -> Iterator[Told]:
    """What it read on the day of the work."""
    at = moment(parts_in(node, "moment")[0], setting)
    yield from core_then(node, setting)
    if at is not None:
        yield HeardValue("/done/-", {"at": at.isoformat(), "action": "loosen_pile"})


def _outer_at_edge(node: Node, setting: Setting) -> Iterator[Told]:
    """What the edge or the skin reads; the top by itself says not how deep."""
    (place,) = pieces_in(node, "SURFACE")
    if not any(word in str(place.value) for word in _SKIN):
        raise Unclear(said("chat.how-deep"))
    for value in temperatures(node):
        yield HeardValue("/temperatures/outer", value)


HEAT: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "age": age_told,
    "built": built,
    "old_then": _old_then,
    "core": _core,
    "core_now": _core_now,
    "core_then": core_then,
    "core_after": _core_after,
    "core_and_then": _now_and_then,
    "core_at_depth": _core_at_depth,
    "core_at_length": _core_at_length,
    "trend_alone": _trend,
    "core_when_turned": _core_when_turned,
    "outer_at_edge": _outer_at_edge,
    "outer": _at("/temperatures/outer"),
    "outdoor": _at("/temperatures/outdoor"),
    "low": _low,
    "night_target": _at("/greenhouse/night_target"),
    "keep_core": _at("/goal/keep_core_above"),
    "until": _until,
    "core_then_now": _core_then_now,
    "answer_age": age_told,
    "answer_built": built,
    "answer_core": _core_now,
    "answer_history": _history_answer,
    "answer_outdoor": _at("/temperatures/outdoor"),
    "answer_low": _at("/weather/low"),
}
"""What each rule of the grammar says, by its name."""

__all__ = ["HEAT", "built", "built_in_month", "length_of", "moment", "piece_of", "span_days", "span_written"]
