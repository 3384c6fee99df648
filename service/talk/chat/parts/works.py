"""Work done, by its parts: what was done, with what, and on which day or days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, of_terminal
from service.talk.chat.parts.times import NamedMoment, moments_in
from service.talk.chat.tokens import Pieces, TextPiece

_WORK: Final = ("WATERED", "TURNED", "ADDED", "TOPPED_UP", "PUT")
_AMOUNTS: Final = ("VOLUME", "MASS", "YARDS")
_THINGS: Final = ("MATERIAL", "SUPPLY")
_JOINED: Final = ("COMMA", "AND", "WITH")


def works(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """Each work of a sentence with each of its days; what it was done with may stand in the parts behind it."""
    for place, part in enumerate(parts):
        done = part.all(*_WORK)
        if (
            len(done) != 1
            or part.has("TURN", "DOUBT", "NO", "NOTHING", "KEEP", "WANT", "FAN", "PUMP")
            or part.of_a_thing
        ):
            continue
        group = [part]
        for other in parts[place + 1 :]:
            if other.joint not in _JOINED or not _goes_on(other):
                break
            group.append(other)
        if place and not moments_in(part) and _is_moment(parts[place - 1]):
            group.insert(0, parts[place - 1])
        begins = place - 1
        while (
            begins >= 0 and part.has("ADDED") and parts[begins + 1].joint in ("AND", "COMMA") and _lists(parts[begins])
        ):
            group.insert(0, parts[begins])
            begins -= 1
        yield from _work(done[0], group, _day_before(part, around) if part.joint in _AFTER_WORK else [])


def _goes_on(part: SentencePart) -> bool:
    """Whether a part tells no more than a day or an amount."""
    idle = {"DROPPED", "ON", "WITH", "OF", "SUPPLY", "VOLUME", "EACH", "WEEKDAY", "DAY", "YESTERDAY", "DURATION", "AGO"}
    idle |= {"LAST", "DAY_BEFORE", "LAST_NIGHT", "OTHER", "HEAP", "OVER_IT", "AGAIN", "PER"}
    return all(piece.terminal in idle for piece in part) and part.has(
        "VOLUME", "WEEKDAY", "DAY", "YESTERDAY", "AGO", "DAY_BEFORE", "LAST_NIGHT"
    )


def _lists(part: SentencePart) -> bool:
    """Whether a part names things and how much there is of each, and no more."""
    idle = {
        "DROPPED",
        "OTHER",
        "OF",
        "NUM",
        "CONTAINER",
        "MATERIAL",
        "SUPPLY",
        "VOLUME",
        "MASS",
        "YARDS",
        "SMELL_KIND",
        "FEEL",
    }
    return part.has(*_THINGS) and all(piece.terminal in idle for piece in part)


def _is_moment(part: SentencePart) -> bool:
    return bool(moments_in(part)) and all(
        piece.terminal
        in ("DROPPED", "ON", "OTHER", "WEEKDAY", "DAY", "YESTERDAY", "DURATION", "AGO", "LAST", "DAY_BEFORE")
        for piece in part
    )


_AFTER_WORK: Final = (*_JOINED, "READ", "RUN")


def _day_before(part: SentencePart, around: Around) -> list[NamedMoment]:
    """The day of the work told right before: "turned it yesterday, added 60 L of water"."""
    told = [piece for piece in around.pieces if piece.start < part.pieces[0].start]
    stops = [place for place, piece in enumerate(told) if piece.terminal in ("STOP", "BUT")]
    before = SentencePart(tuple(told[stops[-1] + 1 if stops else 0 :]))
    moments = moments_in(before)
    worked = len(before.all(*_WORK)) == 1 and not before.has("NO", "TURN", "DOUBT", "WISH", "ELSEWHERE")
    return moments if worked and len(moments) == 1 else []


def _work(work: TextPiece, group: list[SentencePart], same_day: list[NamedMoment]) -> Iterator[OrderedFact]:
    moments = [moment for part in group for moment in moments_in(part)] or [
        NamedMoment((span, of_terminal("AGO", "ago", span)))
        for part in group
        for span in part.all("DURATION")
        if part.has("SINCE") and part.has(*_WORK)
    ][:1]
    moments = moments or same_day[:1]
    amounts = [piece for part in group for piece in part.all(*_AMOUNTS)]
    things = [piece for part in group for piece in part.all(*_THINGS)]
    numbers = [piece for part in group for piece in part.all("NUM", "TEMP", "UNSURE", "VAGUE", "LENGTH")]
    heats = any(piece.terminal == "TEMP" for piece in numbers) and not any(part.has("SINCE") for part in group)
    if heats or not moments or len(amounts) > 1 or any(piece.terminal in ("UNSURE", "VAGUE") for piece in numbers):
        return
    held = [piece for part in group for piece in part.all("CONTAINER")]
    liquid = bool(amounts) and amounts[0].terminal == "VOLUME"
    poured = work.terminal in ("PUT", "ADDED") and liquid and str(amounts[0].value).endswith((" L", " gal"))
    watering = work.terminal == "WATERED" or all(piece.value == "water" for piece in things)
    watering = watering if work.terminal == "WATERED" or things else poured
    evidence: Pieces = (work, *amounts, *things)
    for moment in moments:
        if watering and (liquid or not amounts):
            whole: Pieces = (of_terminal("WATERED", "watered", work), *amounts, *moment.pieces)
        elif work.terminal == "TURNED" and not things:
            whole = (of_terminal("TURNED", "turned", work), *moment.pieces)
        elif work.terminal in ("ADDED", "PUT") and len(things) == 1:
            whole = (of_terminal("ADDED", "added", work), *amounts, *things, *moment.pieces)
        elif work.terminal in ("ADDED", "PUT") and things:
            for thing in things:
                counted = () if thing is not things[0] else (*amounts, *numbers, *held)
                yield OrderedFact((of_terminal("ADDED", "added", work), thing, *moment.pieces), (thing, *counted))
            continue
        elif work.terminal == "TOPPED_UP" and len(things) <= 1:
            whole = (of_terminal("TOPPED_UP", "topped up", work), *amounts, *things, *moment.pieces)
        else:
            return
        yield OrderedFact(whole, (*evidence, *moment.pieces))
        evidence = ()
