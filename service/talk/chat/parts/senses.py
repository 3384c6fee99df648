"""What is felt, smelled and seen by its parts: a word with a value, of the heap unless something else is named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.islands import OF_THINGS, WORN, is_snow, rests
from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, is_thing, of_terminal
from service.talk.chat.tokens import NUMBERS, TextPiece

_WEATHER: Final = ("WIND", "SKY", "RAIN")
_PIPES: Final = ("TUBE", "LOOP_KIND", "AIR_PATH", "AIR_TO", "AIR_FROM", "CONTROL", "PREFER", "SEASON", "HOUSE_STAT")
_ELSEWHERE: Final = frozenset(
    {
        "PIPE",
        "GLAZING",
        "VALVE",
        "INLET",
        "OUTLET",
        "TUBE",
        "HOUSE",
        "OUTSIDE",
        "SKY",
        "RAIN",
        "WIND",
        "FAN",
        "PUMP",
        "TONIGHT",
    }
)
"""What else may be wet or dry."""
_THEN: Final = frozenset(
    {"WAS", "YESTERDAY", "AGO", "WEEKDAY", "DAY", "LAST_NIGHT", "DAY_BEFORE", "KEEP", "WANT", "UNTIL"}
)
_WONDERS: Final = ("doubt", "i doubt", "wonder", "i wonder", "whether", "unlikely")
_NOUNS: Final = frozenset({"MATERIAL", "SUPPLY", "COVER_KIND", "SIGN"})


def senses(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """What hand, nose and eye tell, part by part."""
    smelled = False
    yield from _contrast(parts, around)
    yield from _lopsided(parts)
    yield from _nothing_comes(parts)
    for part in parts:
        of_house = around.of_house(part.pieces[-1].end)
        smelled = part.has("SMELL") or (smelled and part.joint in ("COMMA", "AND", "BUT", "WITH"))
        yield from _people(part)
        if part.has(*_THEN) and not part.has("NOW"):
            continue
        yield from _signs(part, of_another=around.goes_on_with_another(part))
        of_another = around.goes_on_with_another(part)
        if not (of_house and part.has("INSIDE")) and not of_another:
            yield from _feels(part)
        if smelled:
            yield from _smells(part)
        yield from _cover(part)
        yield from _plain(part, parts, around)


def _contrast(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """How it feels outside against inside: "the outside is soaked but inside it is bone dry"."""
    outside = [part for part in parts if part.has("OUTSIDE") and len(part.all("FEEL")) == 1 and not part.has(*NUMBERS)]
    inside = around.has("INSIDE", "CORE")
    if len(outside) == 1 and inside and not outside[0].has("TURN", "DOUBT", "NO"):
        feel = outside[0].all("FEEL")[0]
        yield OrderedFact((feel, of_terminal("SURFACE", "surface", feel)), (feel, *outside[0].all("OUTSIDE")))


def _lopsided(parts: list[SentencePart]) -> Iterator[OrderedFact]:
    """One side warm and another cold."""
    told = [(piece, part) for part in parts for piece in part.all("SIDE", "HALF_OF_IT")]
    warm = [piece for part in parts for piece in part.all("WARM")]
    cold = [piece for part in parts for piece in part.all("COLD")]
    if (
        len(told) == 2
        and len(warm) == len(cold) == 1
        and not any(part.has(*NUMBERS, "NO", "DOUBT") for _, part in told)
    ):
        sign = of_terminal("SIGN", "one_side_warm", warm[0])
        yield OrderedFact((sign,), (warm[0], cold[0], told[0][0], told[1][0]))


_MACHINES: Final = {"FAN": "fan_no_air", "PUMP": "no_flow_in_loop"}


def _nothing_comes(parts: list[SentencePart]) -> Iterator[OrderedFact]:
    """A fan or pump runs, and nothing comes."""
    for machine, sign in _MACHINES.items():
        named = [piece for part in parts if part.has("RUNS", "ON", "ALWAYS") for piece in part.all(machine)]
        for part in parts if named else ():
            nothing = part.all("NOTHING") if part.has("OUTLET", "OUT") else []
            if nothing and not part.has(*NUMBERS):
                yield OrderedFact((of_terminal("SIGN", sign, nothing[0]),), (nothing[0], *part.all("OUTLET", "OUT")))


def _people(part: SentencePart) -> Iterator[OrderedFact]:
    for piece in part.all("SYMPTOM"):
        denied = part.denied(piece) or part.has("NOBODY")
        if part.has(*_THEN) and not part.has("NOW"):
            continue
        no = of_terminal("NO", "no", piece)
        yield OrderedFact((no, piece) if denied else (piece,), (piece,))
    for piece in part.all("ALL_WELL"):
        yield OrderedFact((piece,), (piece,))


def _signs(part: SentencePart, *, of_another: bool) -> Iterator[OrderedFact]:
    denials = [piece for piece in part.all("TURN") if piece.value in ("neither", "nor")]
    for piece in part.all("SIGN"):
        behind, before = part.after(piece), part.next_told(piece, -1)
        if (
            (behind is not None and rests(piece, behind))
            or is_snow(piece)
            or (of_another and piece.value in WORN)
            or part.has("VALVE")
            or (behind is not None and behind.terminal in NUMBERS)
            or (before is not None and before.terminal == "NOTHING")
            or (before is not None and piece.value in OF_THINGS and is_thing(before))
        ):
            continue
        if any(str(each.value).startswith(_WONDERS) for each in part.all("TURN")):
            continue  # "nobody doubts that it steams"
        if part.denied(piece):
            yield OrderedFact((of_terminal("NO", "no", piece), piece), (piece, *denials))
            denials = []
        elif not part.has("TURN", "DOUBT", "VAGUE") and not part.has("SKY"):
            yield OrderedFact((piece,), (piece,))


def _feels(part: SentencePart) -> Iterator[OrderedFact]:
    feels = [piece for piece in part.all("FEEL") if not _is_of_a_thing(part, piece)]
    if not feels or part.has(*_ELSEWHERE) or part.has("TURN") or part.of_a_thing or part.has("COVER_KIND"):
        return
    if part.has("MATERIAL") and (not part.has("INSIDE") or part.has("HAVE")):
        return
    if any(part.denied(piece) for piece in feels) or part.has("DOUBT", "NOTHING"):
        return
    skin, inside = part.all("SURFACE"), part.all("INSIDE", "CORE")
    if len(feels) == 1:
        if skin and inside:
            return
        where = (of_terminal("SURFACE", "surface", skin[0]),) if skin else ()
        where = (of_terminal("INSIDE", "inside", inside[0]),) if inside and not skin else where
        yield OrderedFact((*feels, *where), tuple(feels))
    elif not skin and not inside and len(feels) == 2:
        yield OrderedFact(tuple(feels), tuple(feels))


def _is_of_a_thing(part: SentencePart, piece: TextPiece) -> bool:
    """Whether a feel is said of the word right behind it: "a dry lane"."""
    behind = part.after(piece)
    return (
        behind is not None
        and behind.start <= piece.end + 1
        and (behind.terminal in _NOUNS or (behind.terminal == "OTHER" and len(str(behind.value)) > 2))
        and " " not in str(piece.value)
        and piece.end - piece.start < 10
    )


def _smells(part: SentencePart) -> Iterator[OrderedFact]:
    kinds = part.all("SMELL_KIND")
    if part.has("DOUBT", "VAGUE"):
        return
    if not kinds and part.has("SMELL") and not part.has("NO", "NOTHING", "DOUBT", "TURN"):
        stench = [
            piece for piece in part.all("SMELL") if str(piece.value).startswith(("stink", "reek", "pong", "stench"))
        ]
        for piece in stench[:1]:
            yield OrderedFact((of_terminal("SMELL_KIND", "foul", piece),), (piece,))
        return
    denying = any(part.denied(piece) for piece in kinds)
    nothing = part.has("NOTHING") or (part.has("SMELL") and not kinds and _denies(part))
    if kinds and not denying and not part.has("TURN"):
        for piece in kinds:
            yield OrderedFact((of_terminal("SMELL", "smell", piece), piece), (piece,))
    elif nothing and part.has("SMELL") and not kinds:
        smell = part.all("SMELL")[0]
        yield OrderedFact(
            (of_terminal("NO", "no", smell), replace(smell, value="smell")), (smell, *part.all("NOTHING", "NO"))
        )


def _denies(part: SentencePart) -> bool:
    smell = part.all("SMELL")[0]
    return part.denied(smell) or any(piece.value in ("can't", "cannot", "couldn't") for piece in part.all("TURN"))


def _cover(part: SentencePart) -> Iterator[OrderedFact]:
    for piece in part.all("NO_COVER"):
        if piece.value != "open" and not part.has("HAVE", "TURN", "DOUBT", "HOUSE"):
            yield OrderedFact((piece,), (piece,))
    kinds = part.all("COVER_KIND", "SUPPLY", "MATERIAL")
    lying = part.all("COVERED", "OVER_IT", "COVER")
    if len(kinds) != 1 or not lying or part.has("HAVE", "ON_HAND", "TURN", "DOUBT", "HOUSE", "ADDED", "PUT", "OFF"):
        return
    if part.denied(kinds[0]) or part.has(*NUMBERS):
        return
    yield OrderedFact((of_terminal("COVERED", "covered", kinds[0]), kinds[0]), (*kinds, *lying))


def _plain(part: SentencePart, parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """Words that say one thing by themselves."""
    for vague in part.all("VAGUE"):
        stat = "sensor" in str(vague.value)
        if stat and part.has("IN_HEAP", "HEAP", "CORE"):
            yield OrderedFact((of_terminal("CONTROL", "thermostat", vague),), (vague,))
        elif stat and part.has("HOUSE"):
            yield OrderedFact((of_terminal("HOUSE_STAT", "thermostat", vague),), (vague,))
    for piece in part.all(*_WEATHER, *_PIPES):
        bearing = part.pieces[: part.place(piece)] if piece.terminal in _WEATHER else part.pieces
        if any(each.terminal in ("TURN", "DOUBT") for each in bearing):
            continue
        before = part.after(piece, -1)
        rains = piece.terminal != "RAIN" or before is None or before.terminal != "OTHER"
        rains = rains and not (piece.terminal == "RAIN" and part.has("HOUSE", "GLAZING", "INSIDE", "SURFACE"))
        if part.denied(piece) or part.has("NO") or not rains:
            continue
        behind = part.next_told(piece)
        bare = piece.terminal == "RAIN" and piece.value == "light"
        if bare and ((behind is not None and behind.terminal == "OTHER") or part.has("WILL", *NUMBERS)):
            continue
        if piece.terminal == "AIR_PATH" and not any(each.has("FAN", "PIPE", "AIRFLOW", "THROUGH") for each in parts):
            continue
        if piece.terminal == "SKY" and part.says("when", "whenever"):
            continue
        if piece.terminal in _PIPES and (part.of_a_thing or part.has("SUPPLY", "UNSURE")):
            continue
        yield OrderedFact((piece,), (piece,))
    speeds = part.all("SPEED")
    windy = around.has("WIND", "WIND_WORD") and not around.has("WILL")
    if len(speeds) == 1 and windy and not part.has("FAN", "PUMP", "TURN", "DOUBT", "WAS"):
        yield OrderedFact((of_terminal("WIND_WORD", "wind", speeds[0]), speeds[0]), (speeds[0],))
    for piece in part.all("GLAZING"):
        alone = all(each.terminal in ("GLAZING", "DROPPED", "OF", "MADE_OF") for each in part)
        named = part.has("HOUSE") or (alone and around.has("HOUSE"))
        if named and not part.has("HEAP", "COVERED", "OVER_IT", "TURN", "DOUBT") and not part.denied(piece):
            yield OrderedFact((of_terminal("HOUSE", "greenhouse", piece), piece), (piece,))
