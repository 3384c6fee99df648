"""What has no words in the grammar: snow taken off, help called, the same done again, a day's low and high."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from service.talk.chat.days import days_back
from service.talk.chat.moments import DAYS_IN_WEEK
from service.talk.chat.parts.part import Around, OrderedFact, SentencePart
from service.talk.chat.parts.times import moment_of, moments_in
from service.talk.chat.reading import HeardValue, temperature
from service.talk.chat.tokens import Pieces, TextPiece


def happenings(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """Each of them, where it is told and not denied."""
    for part in parts:
        if part.has("NO", "DOUBT", "TURN", "WILL", "KEEP", "WANT"):
            continue
        yield from _cleared(part, around)
        yield from _called(part)
        yield from _again(part, around)
    yield from _forecast(parts, around)


def _cleared(part: SentencePart, around: Around) -> Iterator[OrderedFact]:
    """Snow that was taken off: today, where no day is told."""
    for piece in part.all("CLEARED"):
        moments = moments_in(part)
        at = moment_of(moments[0].pieces, around.setting.now) if moments else around.setting.now
        if at is not None:
            done = HeardValue("/done/-", {"at": at.isoformat(), "action": "remove_snow"})
            yield OrderedFact((piece,), (piece, *part.all("SIGN", "LENGTH"), *_day(part)), told=(done,))


def _day(part: SentencePart) -> Pieces:
    return tuple(piece for moment in moments_in(part) for piece in moment.pieces)


def _called(part: SentencePart) -> Iterator[OrderedFact]:
    for piece in part.all("CALLED"):
        yield OrderedFact((piece,), (piece,), told=(HeardValue("/help_called", value=True),))


def _again(part: SentencePart, around: Around) -> Iterator[OrderedFact]:
    """The work told last, on another day: "and the same again on Wednesday"."""
    moments = moments_in(part)
    if not part.has("AGAIN") or len(moments) != 1 or not around.done:
        return
    at, amount = moment_of(moments[0].pieces, around.setting.now), part.all("NUM")
    if at is None or len(amount) > 1:
        return
    last = around.done[-1]
    value = {**last.value, "at": at.isoformat()}
    if amount and "amount" in value:
        value["amount"] = f"{amount[0].value.value:g} {str(value['amount']).partition(' ')[2]}"
    again = replace(last, value=value)
    yield OrderedFact(moments[0].pieces, (*part.all("AGAIN"), *amount, *moments[0].pieces), told=(again,))


def _forecast(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """The low and the high of a day to come, and whether it snows."""
    told: dict[str, object] = {}
    evidence: list[TextPiece] = []
    days = [day for part in parts if part.has("AHEAD", "WILL") for day in part.all("AHEAD", "WEEKDAY")]
    if len(days) != 1 or any(part.has("WAS") for part in parts):
        return
    ahead = 1 if days[0].terminal == "AHEAD" else DAYS_IN_WEEK - days_back(int(days[0].value), around.setting.now)
    for part in parts:
        for number in part.all("TEMP", "NUM"):
            word = next(
                (
                    each
                    for each in (part.next_told(number, -1), part.next_told(number))
                    if each and each.terminal in ("LOW", "HIGH")
                ),
                None,
            )
            of = part.next_told(number, -1)
            word = word or (part.next_told(of, -1) if of is not None and of.terminal == "OF" else None)
            if word is not None and word.terminal in ("LOW", "HIGH"):
                told[word.terminal.lower()] = temperature(number.value)
                evidence += [number, word]
        if part.has("SNOWS"):
            told["snow"] = True
            evidence += part.all("SNOWS", "SIGN")
    if "high" in told and ahead:
        day = (around.setting.now + timedelta(days=ahead)).date().isoformat()
        yield OrderedFact(
            (days[0],), (*evidence, days[0]), told=(HeardValue("/weather/forecast/-", {"date": day, **told}),)
        )
