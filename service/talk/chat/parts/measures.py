"""Age, size, flows and the like by their parts: which kind a number has, and what it is of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, is_whole, of_terminal
from service.talk.chat.parts.times import moments_in
from service.talk.chat.tokens import Pieces, TextPiece, WrittenNumber

_WORKED: Final = frozenset(
    {
        "RUNS",
        "MINUTES",
        "HOURS",
        "WATERED",
        "TURNED",
        "ADDED",
        "TOPPED_UP",
        "PUT",
        "FAN",
        "PUMP",
        "SIGN",
        "SYMPTOM",
        "RAIN",
    }
)
_AGES: Final = ("OLD", "AGE", "BUILT")
_DRAWERS: Final = ("FAN", "PUMP")
_DRAWN: Final = ("AIRFLOW", "WATERFLOW", "MINUTES", "HOURS", "ALWAYS", "ALL_DAY", "OFF")
_PAST: Final = ("WAS", "NIGHTS", "LAST_NIGHT", "TONIGHT", "SINCE", "UNTIL", "WHEN", "DAYTIME")
_BESIDE_SHRUNK: Final = frozenset(
    {
        *("SHRUNK", "SMALLER", "DEEP", "FRACTION", "PERCENT", "SINCE", "MONTH", "PART_OF_MONTH", "DAY", "DROPPED"),
        *("SINCE_THEN", "SINCE_START", "BUILT", "NOW", "BY"),
    }
)
_WHOLE: Final = ("VOLUME", "YARDS", "MASS", "TONS")


def measures(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """What the numbers of a sentence tell that are no temperatures."""
    of_house = around.of_house(parts[0].pieces[0].start) if parts else False
    named = {piece.terminal: piece for piece in around.pieces if piece.terminal in _DRAWERS}
    drawer: TextPiece | None = next(iter(named.values())) if len(named) == 1 else None
    lengths: list[tuple[SentencePart, TextPiece, TextPiece]] = []
    for part in parts:
        of_house = (of_house or part.has("HOUSE")) and not part.has("HEAP", "CORE")
        drawers = part.all(*_DRAWERS)
        drawer = drawers[-1] if drawers else drawer
        if part.turned or part.has("WANT"):
            continue
        yield from _age(part, around)
        yield from _draw(part, drawer)
        yield from _humidity(part)
        yield from _probe(part)
        yield from _tube(part, around)
        yield from _until(part)
        yield from _shrunk(part)
        if not of_house and not part.of_a_thing and not part.has("PROBE"):
            lengths += [(part, length, side) for length, side in _sides(part)]
            yield from _whole(part)
        elif of_house:
            yield from _house(part)
    yield from _shape(lengths)
    bases = [] if of_house else [piece for part in parts for piece in part.all("TWO_MEASURES")]
    high = [(length, side) for _, length, side in lengths if side.terminal == "HIGH"]
    if len(bases) == len(high) == len(lengths) == 1:
        length, side = high[0]
        tall = (length,) if length.terminal == "TALL" else (length, side)
        yield OrderedFact((bases[0], *tall), (bases[0], length))


def _age(part: SentencePart, around: Around) -> Iterator[OrderedFact]:
    """How old the heap is, or the day on which it was built."""
    if part.joint == "AND" and any(_is_more_of_a_span(span, around) for span in part.all("DURATION")):
        return  # the "3 days" of "10 weeks and 3 days old"
    ages = part.all(*_AGES)
    if part.has(*_WORKED) or part.owns or part.has("WISH", "UNTIL", "PROBE", "HOUSE", "WARMTH", "SEASON"):
        return
    if part.has("KEEP") and not part.has("BUILT", "OLD"):
        return
    if part.has("NUM", "TO") and part.has("DURATION"):
        return
    if part.has("UNSURE", "WILL") or (part.has("MATERIAL") and not part.has("BUILT", "HEAP")):
        return
    spans, moments = part.all("DURATION"), moments_in(part)
    if part.bound(*spans) or len(moments) > 1 or (spans and part.has("WEEKDAY", "DAY")):
        return
    if len(spans) == 1 and not part.has("TEMP", "FELL", "FELL_TO"):
        built = part.has("BUILT")
        if part.has("AGO") and built:
            yield OrderedFact((of_terminal("BUILT", "built", spans[0]), spans[0], part.all("AGO")[0]), (*spans, *ages))
        elif ages and not part.has("AGO"):
            yield OrderedFact((spans[0], of_terminal("OLD", "old", spans[0])), (*spans, *ages))
        return
    if not part.has("BUILT") or spans:
        return
    build = part.all("BUILT")[0]
    if len(moments) == 1:
        yield OrderedFact((of_terminal("BUILT", "built", build), *moments[0].pieces), (build, *moments[0].pieces))
    elif not moments and len(part.all("MONTH")) == 1:
        month = part.all("MONTH")[0]
        of_part = part.all("PART_OF_MONTH")[:1]
        yield OrderedFact((of_terminal("BUILT", "built", build), *of_part, month), (build, *of_part, month))


def _is_more_of_a_span(span: TextPiece, around: Around) -> bool:
    """Whether a span of time stands behind another and an "and"."""
    told = [piece.terminal for piece in around.pieces if piece.start < span.start and piece.terminal != "DROPPED"]
    return told[-2:] == ["DURATION", "AND"]


def _draw(part: SentencePart, drawer: TextPiece | None) -> Iterator[OrderedFact]:
    """Of fan or pump, whichever was named last: how much, and how long."""
    drawn = part.all(*_DRAWN)
    drawn = [piece for piece in drawn if piece.terminal != "OFF" or not (part.has(*_PAST) or _counts(part, piece))]
    before = part.next_told(part.all("FAN")[0], -1) if part.has("FAN") else None
    if before is not None and before.terminal == "OTHER" and part.has("HOUSE"):
        return
    if part.bound(*drawn) or any(_is_in(part, house) for house in part.all("HOUSE")):
        return
    moments = moments_in(part)
    since = [piece for piece in part.all("SINCE", "BUILT") if str(piece.value).startswith("since")]
    if drawer is not None and since and len(moments) == 1 and not part.has("OFF", "WATERED", "TURNED"):
        name = of_terminal(drawer.terminal, drawer.terminal.lower(), since[0])
        day = moments[0].pieces
        yield OrderedFact((name, of_terminal("SINCE", "since", since[0]), *day), (since[0], *day))
    if part.has("NO", "DOUBT", "TURN") or len({piece.terminal for piece in drawn}) != len(drawn):
        return
    if len({piece.terminal for piece in part.all(*_DRAWERS)}) > 1:
        return
    hours = part.all("DURATION")
    if drawer is not None and len(hours) == 1 and _are_of_a_day(part, hours[0]):
        name = of_terminal(drawer.terminal, drawer.terminal.lower(), hours[0])
        a_day = replace(hours[0], terminal="HOURS", value=WrittenNumber(hours[0].value.value, "h/day"))
        yield OrderedFact((name, a_day), (hours[0],))
    for piece in drawn:
        of_kind = {"AIRFLOW": "FAN", "WATERFLOW": "PUMP"}.get(piece.terminal)
        terminal = of_kind or (drawer.terminal if drawer is not None else None)
        if terminal is None or (piece.terminal in ("OFF", "ALWAYS", "ALL_DAY") and not part.has(*_DRAWERS)):
            continue
        name = of_terminal(terminal, terminal.lower(), piece)
        yield OrderedFact((name, piece), (piece,))


_HOURS_IN_DAY: Final = 24.0
_BESIDE_HOURS: Final = frozenset(
    {"DURATION", "DROPPED", "RUNS", "ON", *_DRAWERS, *_DRAWN, "NIGHTS", "DAYTIME", "INLET", "OUTLET", "TEMP", "SPAN"}
)
"""Beside these alone a number of hours is that of each day."""


def _are_of_a_day(part: SentencePart, hours: TextPiece) -> bool:
    """Whether a span of hours is how long a fan or pump runs each day: "12 min an hour, 24 hours"."""
    whole = hours.value.unit in ("hours", "hour", "h") and 0 < hours.value.value <= _HOURS_IN_DAY
    return whole and not part.has("HOURS") and all(piece.terminal in _BESIDE_HOURS for piece in part)


def _counts(part: SentencePart, off: TextPiece) -> bool:
    """Whether it is told how long a fan or pump is off each time: "on ten minutes off fifty"."""
    behind = part.next_told(off)
    return behind is not None and behind.terminal in ("NUM", "DURATION", "MINUTES", "HOURS")


def _is_in(part: SentencePart, house: TextPiece) -> bool:
    """Whether something is told to be in the house, and not to blow into it."""
    before = part.next_told(house, -1)
    return before is not None and before.terminal == "SPAN"


def _humidity(part: SentencePart) -> Iterator[OrderedFact]:
    shares = part.all("PERCENT")
    if len(shares) == 1 and part.has("HUMIDITY"):
        yield OrderedFact((of_terminal("HUMIDITY", "humidity", shares[0]), shares[0]), (shares[0],))


def _probe(part: SentencePart) -> Iterator[OrderedFact]:
    """How long the probe is: its length beside it, and nothing told of how deep it is in."""
    lengths = part.all("LENGTH")
    if part.of_a_thing or part.bound(*lengths):
        return
    probe = part.next_told(lengths[0]) if len(lengths) == 1 else None
    led = part.after(lengths[0], -1) if lengths else None
    if probe is not None and probe.terminal == "PROBE" and (led is None or led.value != "at"):
        yield OrderedFact((probe, lengths[0], of_terminal("LONG", "long", lengths[0])), (lengths[0],))
        return
    if part.has("PROBE") and len(lengths) == 1 and not part.has("TEMP", "NUM", "INSIDE", "IN_HEAP", "INLET", "SPAN"):
        probe = of_terminal("PROBE", "probe", lengths[0])
        yield OrderedFact((probe, lengths[0], of_terminal("LONG", "long", lengths[0])), (lengths[0],))


def _until(part: SentencePart) -> Iterator[OrderedFact]:
    """Till when heat is wanted."""
    ends = [*part.all("PART_OF_MONTH"), *part.all("MONTH"), *part.all("DAY")]
    wanted = part.has("KEEP", "WARMTH", "HEAP", "HOUSE") or part.says("need", "needs", "last", "lasts", "hold")
    if part.has("UNTIL") and len(part.all("MONTH", "DAY")) == 1 and wanted and not part.has("WAS", "RUNS", "NO"):
        yield OrderedFact((part.all("UNTIL")[0], *ends), tuple(ends))


def _tube(part: SentencePart, around: Around) -> Iterator[OrderedFact]:
    """How much pipe is in the heap; its length may stand behind a comma."""
    lengths, pipes = part.all("LENGTH", "YARDS"), part.all("TUBE", "PIPE")
    alone = all(piece.terminal in ("LENGTH", "DROPPED", "IN_HEAP", "OF", "LONG") for piece in part)
    if alone and part.joint in ("COMMA", "READ") and around.has("TUBE") and not around.has("HEAP", "PROBE", "HIGH"):
        pipes = [piece for piece in around.pieces if piece.terminal == "TUBE"]
    if len(lengths) == 1 and pipes and not part.has("PROBE", "DEEP", "WIDE", "HIGH", "SUPPLY", "NO") and not part.owns:
        yield OrderedFact((lengths[0], pipes[0]), (lengths[0],))


def _shrunk(part: SentencePart) -> Iterator[OrderedFact]:
    shares = part.all("PERCENT", "FRACTION")
    if len(shares) == 1 and part.has("SHRUNK", "SMALLER") and not part.has("HUMIDITY", "FAN", "PUMP", "MATERIAL"):
        of_it = part.has("HEAP", "HIGH", "IN_SIZE", "SIZE") or all(piece.terminal in _BESIDE_SHRUNK for piece in part)
        if of_it and not part.of_a_thing and not part.has("TO"):
            yield OrderedFact((of_terminal("SHRUNK", "shrunk", shares[0]), shares[0]), (shares[0],))


def _sides(part: SentencePart) -> Iterator[tuple[TextPiece, TextPiece]]:
    """Each length with the side of the heap it is of: the word beside it, the one behind it first."""
    for length in part.all("LENGTH", "YARDS"):
        behind, before = part.next_told(length), part.next_told(length, -1)
        behind = part.next_told(behind) if behind is not None and behind.terminal in ("SPAN", "FROM") else behind
        for beside in (behind, before):
            if beside is not None and beside.terminal in ("WIDE", "HIGH", "LONG"):
                yield length, beside
                break
    for tall in part.all("TALL"):
        yield tall, replace(tall, terminal="HIGH")


def _shape(told: list[tuple[SentencePart, TextPiece, TextPiece]]) -> Iterator[OrderedFact]:
    """Width and height, and length too where it is told, wherever in the sentence each stands."""
    sides = {side.terminal: (length, side) for _, length, side in told}
    if len(sides) != len(told) or not {"WIDE", "HIGH"} <= sides.keys():
        return
    whole: Pieces = ()
    for name in ("LONG", "WIDE", "HIGH"):
        if name in sides:
            length, side = sides[name]
            whole += (length,) if length.terminal == "TALL" else (length, replace(side, terminal=name))
    yield OrderedFact(whole, tuple(length for length, _ in sides.values()))


def _whole(part: SentencePart) -> Iterator[OrderedFact]:
    """How much there is of the heap, all in all."""
    amounts = part.all(*_WHOLE)
    if part.has("SUPPLY", "PUMP", "FAN", *_WORKED) or not part.has("HEAP", "SIZE"):
        return
    amounts = [piece for piece in amounts if is_whole(part, piece) or not part.has("MATERIAL")]
    if len(amounts) != 1:
        return
    yield OrderedFact((of_terminal("HEAP", "heap", amounts[0]), amounts[0]), (amounts[0],))


def _house(part: SentencePart) -> Iterator[OrderedFact]:
    for piece in part.all("MEASURES", "VOLUME"):
        if not part.has("SUPPLY", "MATERIAL", "WATERED"):
            yield OrderedFact((of_terminal("HOUSE", "greenhouse", piece), piece), (piece,))
