"""Temperatures by their parts: each with the place it is of and the time it was, or none of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.meaning_lone import LONE_TEMPERATURE
from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, is_thing, of_terminal
from service.talk.chat.parts.places import PLACES, fits_place, places_in, temperatures_in
from service.talk.chat.parts.times import NamedMoment, moments_in
from service.talk.chat.parts.timing import Time, times_of
from service.talk.chat.parts.trends import changes, trend
from service.talk.chat.reading import Setting
from service.talk.chat.tokens import Pieces, TextPiece

_OF_HEAP: Final = frozenset({"HEAP", "PROBE", "IN_HEAP"})
_KEEPING: Final = frozenset({"KEEP", "WANT", "TARGET", "AIMED"})
_VALUED: Final = frozenset({"FEEL", "SIGN", "SMELL_KIND", "GLAZING", "MATERIAL"})
"""What is told of a place that is named, so that it waits for no number."""
_BESIDE_ALONE: Final = frozenset(
    {"DROPPED", "TEMP", "SIGN", "FEEL", "RAIN", "SKY", "WIND", "NOW", "HAVE", "SMELL_KIND", "SMELL", "OF", "ON"}
)
"""Beside these alone a number that names no place may be the heap's."""
_CORES: Final = frozenset({"/temperatures/core", LONE_TEMPERATURE})


def temperature_readings(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """The readings of a sentence. What a place was told of last goes on where a part names none."""
    sentence = _Sentence(parts, around)
    for turn, part in enumerate(parts):
        yield from sentence.read(part, _named_next(parts[turn + 1 : turn + 2]))


class _Sentence:
    """What the parts of a sentence so far say of the ones behind them: places without a number, and the heap."""

    def __init__(self, parts: list[SentencePart], around: Around) -> None:
        self._around = around
        self._told = bool((around.here | around.before) & _CORES)
        self._keeps = any(part.has(*_KEEPING) or part.says("need", "needs") for part in parts)
        self._ahead = any(part.has("WILL", "AHEAD") for part in parts)
        self._topic: TextPiece | None = None
        self._waiting: TextPiece | None = None
        self._heap: TextPiece | None = None
        self._sole = _sole_place(parts)

    def read(self, part: SentencePart, named_next: TextPiece | None) -> list[OrderedFact]:
        """The readings of one part; `named_next` is the place that the next does no more than name."""
        numbers, places = temperatures_in(part), places_in(part)
        self._heap = next(iter(part.all(*_OF_HEAP)), self._heap)
        self._heap = None if places or part.has("FAN", "PUMP") or part.of_a_thing else self._heap
        if not numbers:
            self._waiting = places[0] if len(places) == 1 and not part.has(*_VALUED) else None
            self._topic = places[-1] if places else self._topic
            return []
        if self._waiting is not None and places and part.joint == "AND":
            self._topic = self._waiting = None
            return []  # "core and outer 50 C"
        self._waiting = self._waiting or named_next
        found = list(self._facts(part, numbers, places))
        self._told = self._told or any(fact.lone or fact.pieces[0].terminal == "CORE" for fact in found)
        self._topic = places[-1] if places else (self._topic if found else None)
        self._waiting = None
        return found

    def _facts(self, part: SentencePart, numbers: list[TextPiece], places: list[TextPiece]) -> Iterator[OrderedFact]:
        setting = self._around.setting
        if part.has("HIGH", "PER_DAY", "BY") or part.turned or (part.has("DASH") and not _parts_only(numbers, places)):
            return
        if part.has("KEEP", "WANT", "TARGET", "AIMED") or (self._keeps and part.has("ABOVE")):
            of_house = part.has("KEEP") and self._around.of_house(part.pieces[0].start)
            yield from _kept(part, numbers, places, setting, of_house=of_house)
            return
        bare = all(piece.terminal in ("TEMP", "NUM", "DROPPED") for piece in part)
        if bare and self._keeps and part.joint == "COMMA" and self._around.has("NIGHTS") and self._around.has("KEEP"):
            yield from _kept(part, numbers, [], setting, of_house=True)
            return
        if part.has("ABOVE"):
            return
        if changes(part, numbers):
            yield from trend(part, numbers, places, self._around)
            return
        moments = [] if self._ahead and part.has("WEEKDAY") and not part.has("WAS") else moments_in(part)
        if part.bound(*numbers) or (moments and part.has("WATERED", "TURNED", "ADDED", "TOPPED_UP", "BUILT")):
            return
        if not places and part.has("SURFACE"):
            return  # "just under the surface": how deep is asked, and it is no middle
        places = places or self._gone_on(part, numbers, moments)
        if places:
            yield from _placed(part, numbers, places, moments, setting)
        elif (not self._told or moments) and not self._around.has("NO", "DOUBT"):
            yield from _alone(part, numbers, moments, setting)

    def _gone_on(self, part: SentencePart, numbers: list[TextPiece], moments: list[NamedMoment]) -> list[TextPiece]:
        """The place that is meant where a part names none: the one told before it, or the heap."""
        hot = self._heap if part.joint == "COMMA" else None
        hot = hot or self._it(part)
        if self._waiting is not None or hot is not None:
            return [self._waiting or replace(hot or numbers[0], terminal="HEAP")]
        if self._sole is not None:
            return [self._sole]
        heap = [] if part.has("FELL_TO") and not part.has("HEAP", "IN_HEAP") else part.all(*_OF_HEAP)
        if heap:
            return [] if part.of_a_thing else [replace(heap[0], terminal="HEAP")]
        of_house = part.joint in ("READ", "COMMA") and bool(self._around.here & _OF_HOUSE)
        if of_house and all(piece.terminal in ("TEMP", "DROPPED") for piece in part) and len(numbers) == 1:
            setting = self._around.setting
            mild = not fits_place(numbers[0].value, "HEAP", setting)
            return [of_terminal("HOUSE", "greenhouse", numbers[0])] if mild else []
        dated = bool(moments) or part.has("WAS", "NOW")
        if self._topic is None and moments and part.has("WAS") and self._around.heats_before == {"/temperatures/core"}:
            return [of_terminal("CORE", "core", numbers[0])]  # "83 F at the core! was 110 F two weeks back"
        return [self._topic] if self._topic is not None and self._topic.terminal == "CORE" and dated else []

    def _it(self, part: SentencePart) -> TextPiece | None:
        """The "it" of a part, where that is the heap: "heap dropped a third and it's 30 C now"."""
        it = next((piece for piece in part if piece.value == "it"), None)
        return it if it is not None and self._around.it_is_the_heap(it.start) else None


def _placed(
    part: SentencePart, numbers: list[TextPiece], places: list[TextPiece], moments: list[NamedMoment], setting: Setting
) -> Iterator[OrderedFact]:
    times = times_of(part, numbers, moments)
    for number, place in paired(numbers, places):
        time = times.get(id(number))
        if time is not None and not _is_a_things(part, number, place):
            yield from _fact(part, number, place, time, setting)


_OF_HOUSE: Final = frozenset({"/greenhouse/humidity"})


def _parts_only(numbers: list[TextPiece], places: list[TextPiece]) -> bool:
    """Whether a dash before a number is none of its own: so cold no middle of a heap is."""
    within = all(place.terminal in ("CORE", "DEPTH", "OUTER") for place in places) and bool(places)
    return within and all(number.terminal == "TEMP" and number.value.value >= _NO_MINUS for number in numbers)


_NO_MINUS: Final = 30.0
"""From here on a number behind a dash has no minus, in either scale (our own)."""


def _sole_place(parts: list[SentencePart]) -> TextPiece | None:
    """The one place that the sentence names, apart from its numbers: "yesterday 55, today 53, always in the middle"."""
    named = [(part, place) for part in parts for place in places_in(part)]
    told = [part for part in parts if temperatures_in(part)]
    one = len(named) == 1 and len(told) > 1 and named[0][0] is parts[-1] and not temperatures_in(named[0][0])
    return named[0][1] if one and named[0][1].terminal == "CORE" else None


def _named_next(parts: list[SentencePart]) -> TextPiece | None:
    """The place that the next part does no more than name: "46 C both times, bang in the centre"."""
    for part in parts:
        places = places_in(part)
        idle = all(piece.terminal in ("DROPPED", *PLACES, "INSIDE") for piece in part)
        if part.joint == "COMMA" and len(places) == 1 and idle:
            return places[0]
    return None


def _alone(
    part: SentencePart, numbers: list[TextPiece], moments: list[NamedMoment], setting: Setting
) -> Iterator[OrderedFact]:
    """So hot that it can be of a heap alone, where nothing else is named that could be."""
    if len(numbers) != 1 or numbers[0].terminal != "TEMP" or numbers[0].value.unit == "?" or part.of_a_thing:
        return
    when = {piece for moment in moments for piece in moment.pieces}
    if any(piece.terminal not in _BESIDE_ALONE and piece not in when for piece in part):
        return
    if not fits_place(numbers[0].value, "ALONE", setting):
        return
    dated = moments[0].pieces if len(moments) == 1 else ()
    if not moments or dated:
        yield OrderedFact((numbers[0], *dated), (numbers[0], *dated), lone=True)


def paired(numbers: list[TextPiece], places: list[TextPiece]) -> list[tuple[TextPiece, TextPiece]]:
    """Each number with its place: one place has them all, or numbers and places take turns."""
    if len(places) == 1:
        return [(number, places[0]) for number in numbers]
    if len(numbers) != len(places):
        return []
    order = sorted([*numbers, *places], key=lambda piece: piece.start)
    kinds = ["N" if any(piece is number for number in numbers) else "P" for piece in order]
    if kinds[::2] == kinds[:1] * len(numbers) and kinds[1::2] == kinds[1:2] * len(numbers) and kinds[0] != kinds[1]:
        pairs = list(zip(order[::2], order[1::2], strict=True))
        return [pair if kinds[0] == "N" else (pair[1], pair[0]) for pair in pairs]
    return []


def _is_a_things(part: SentencePart, number: TextPiece, place: TextPiece) -> bool:
    """Whether another thing stands between a number and its place, or nearer to the number than that."""
    apart = max(number.start - place.end, place.start - number.end)
    for thing in filter(is_thing, part.pieces):
        between = min(number.start, place.start) < thing.start < max(number.start, place.start)
        beside = max(number.start - thing.end, thing.start - number.end) < apart
        if between and _is_told_of(part, place, thing):
            continue
        if beside or between:
            return True
    return False


def _is_told_of(part: SentencePart, place: TextPiece, thing: TextPiece) -> bool:
    """Whether it is told where the place is, in a clause of its own: "the greenhouse that leans on the barn is 9 C"."""
    words = [str(piece.value) for piece in part if place.start < piece.start < thing.start]
    return any(word in ("that", "which", "who", "on", "by", "near", "beside", "behind", "next to") for word in words)


def _fact(
    part: SentencePart, number: TextPiece, place: TextPiece, time: Time, setting: Setting
) -> Iterator[OrderedFact]:
    """The reading in the grammar's order, where the number can be of that place."""
    if not fits_place(number.value, place.terminal, setting):
        return
    past = time.past or time.moment is not None
    if place.terminal in ("CORE", "HEAP", "OUTER") and part.has("WILL"):
        return
    if place.terminal == "HOUSE" and part.has("NIGHTS", "TONIGHT", "WILL", "LOW"):
        return
    terminal = "CORE" if place.terminal == "HEAP" else place.terminal
    whole: Pieces
    if past:
        if terminal != "CORE" or time.moment is None:
            return
        at = replace(place, terminal="CORE", value="core")
        whole = (at, number, *time.moment.pieces)
        yield OrderedFact(whole, (number, *time.moment.pieces))
        return
    if terminal == "SIDE":
        yield OrderedFact((place, number), (number, place))
    elif terminal == "DEPTH":
        length = replace(place, terminal="LENGTH")
        side = part.all("SIDE")
        whole = (*side[:1], length, of_terminal("DEEP", "deep", length), number)
        written = [piece for piece in part if piece.start == place.start]
        yield OrderedFact(whole, (number, *written, *side[:1]))
    elif terminal in ("LOW", "TONIGHT", "OUTSIDE") and part.all("WEEKDAY"):
        day = part.all("WEEKDAY")[0]
        will = of_terminal("WILL", "will", number)
        yield OrderedFact((will, of_terminal("LOW", "low", number), number, day), (number, day))
    elif terminal == "AHEAD":
        yield OrderedFact((place, number), (number,))
    elif terminal in ("INLET", "OUTLET"):
        drawer = part.all("FAN", "PUMP")
        if not drawer and any(piece.value == "water" for piece in part.all("SUPPLY")):
            drawer = [of_terminal("PUMP", "pump", number)]
        whole = (*drawer[:1], place, number) if len({each.terminal for each in drawer}) < 2 else ()
        if whole:
            yield OrderedFact(whole, (number,))
    elif terminal == "OUTSIDE" and part.has("WILL", "TONIGHT"):
        yield OrderedFact((of_terminal("TONIGHT", "tonight", number), number), (number,))
    else:
        at = replace(place, terminal=terminal)
        yield OrderedFact((at, number), (number,))


def _kept(
    part: SentencePart, numbers: list[TextPiece], places: list[TextPiece], setting: Setting, *, of_house: bool = False
) -> Iterator[OrderedFact]:
    """What house or heap is to be kept at."""
    if len(numbers) != 1 or part.has("WAS"):
        return
    number = numbers[0]
    behind = part.next_told(number)
    if behind is not None and behind.terminal == "OTHER":
        return
    of_heap = part.all("CORE", "HEAP")
    named = {place.terminal for place in places} - {"TONIGHT", "LOW", "HOUSE"}
    if of_heap and part.has("KEEP") and named <= {"CORE"} and not part.has("HOUSE"):
        if fits_place(number.value, "HEAP", setting):
            yield OrderedFact((of_terminal("KEEP_CORE", "keep", number), number), (number,))
    elif not named and not of_heap and fits_place(number.value, "KEEP", setting):
        keep, house = of_terminal("KEEP", "keep", number), of_terminal("HOUSE", "greenhouse", number)
        if of_house or part.has("HOUSE", "NIGHTS", "TONIGHT", "PLANTS", "KEEP_PLANTS", "IN_HEAP"):
            yield OrderedFact((keep, house, number), (number,))
