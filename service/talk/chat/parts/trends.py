"""From one temperature to another: "from 44 to 51 since Thursday", "down 10 to 38", "41 > 46"."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, of_terminal
from service.talk.chat.parts.places import fits_place
from service.talk.chat.parts.times import NamedMoment, moments_in
from service.talk.chat.tokens import TextPiece


def changes(part: SentencePart, numbers: list[TextPiece]) -> bool:
    """Whether the numbers tell how much something rose or fell, or from what to what."""
    falls = [part.next_told(piece) for piece in part.all("FELL")]
    down = [part.next_told(piece) for piece in part.all("DEEP") if part.has("TO")]
    down += [part.next_told(piece) for piece in part.all("DEEP") if _is_how_far(part, piece)]
    led = [part.next_told(piece) for piece in part.all("FROM")]
    arrow = any(piece.terminal == "TO" and piece.value in (">", "→") for piece in part)
    changes = any(piece is None or piece.terminal not in ("INLET", "OUTLET") for piece in falls)
    return changes or arrow or part.has("AGAINST", "SHRUNK") or any(piece in numbers for piece in (*led, *down))


def _is_how_far(part: SentencePart, down: TextPiece) -> bool:
    """Whether "down" says by how much, and not how deep: "core down 4 degrees", but "2 ft down 50 C"."""
    before = part.next_told(down, -1)
    return down.value == "down" and before is not None and before.terminal in ("CORE", "HEAP", "PROBE")


def _since(around: Around) -> list[NamedMoment]:
    """The span of time that the sentence tells it took: "since one week it falls, from 58 to 50"."""
    told = [piece for piece in around.pieces if piece.terminal != "DROPPED"]
    spans = [
        piece
        for before, piece in itertools.pairwise(told)
        if piece.terminal == "DURATION" and before.terminal in ("SINCE", "SPAN")
    ]
    return [NamedMoment((span, of_terminal("AGO", "ago", span))) for span in spans] if len(spans) == 1 else []


def trend(
    part: SentencePart, numbers: list[TextPiece], places: list[TextPiece], around: Around
) -> Iterator[OrderedFact]:
    """From one temperature to another: what it is now, and what it was where that is dated."""
    named = {place.terminal for place in places}
    if len(numbers) != 2 or not named <= {"CORE"} or part.of_a_thing or part.has("FAN", "PUMP", "HUMIDITY"):
        return
    to = [piece for piece in part.all("TO", "FELL_TO") if numbers[0].start < piece.start < numbers[1].start]
    if (
        len(to) != 1
        or part.has("WILL")
        or not all(fits_place(number.value, "HEAP", around.setting) for number in numbers)
    ):
        return
    first, second = numbers
    core = of_terminal("CORE", "core", first)
    to_it = (of_terminal("TO", "to", second), second)
    down = [piece for piece in part.all("DEEP") if part.next_told(piece) is first]
    if down and first.value.value < second.value.value:  # "down 10 to 38": by so much
        yield OrderedFact(
            (core, of_terminal("FELL", "fell", first), of_terminal("BY", "by", first), first, *to_it), (first, second)
        )
        return
    moments = moments_in(part) or _since(around)
    since = moments[0].pieces if len(moments) == 1 else ()
    yield OrderedFact((core, of_terminal("FROM", "from", first), first, *to_it, *since), (first, second))
