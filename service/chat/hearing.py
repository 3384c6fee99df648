"""One message heard: what of it goes into the draft, what stays unread, and whether it speaks of fire."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Final

from service.chat.clauses import Clause, clauses
from service.chat.draft import SCALE_OF, SYSTEM_OF, Draft
from service.chat.lexer import plain, sentences
from service.chat.meaning_work import EITHER
from service.chat.reading import Gap, Reading, Setting, needs_scale, settled

_LISTED: Final = ("/-", "/moisture_feel")
_EITHER: Final = f"/draw/{EITHER}/"


@dataclass(frozen=True, slots=True)
class Unread:
    """Words of a message that were not read, and why."""

    text: str
    why: str


@dataclass(slots=True)
class Heard:
    """What was understood, in order, and what was not."""

    understood: list[Reading] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)


def hear(text: str, draft: Draft, now: datetime) -> Heard:
    """Read a message into the draft."""
    scales = _scales(text)
    settles = len(scales) == 1 and draft.system is None
    ready = draft.settle(SYSTEM_OF[next(iter(scales))]) if settles else []
    setting = Setting(now, draft.system)
    found = clauses(text, setting, draft.asked)
    heard = Heard()
    for clause in found:
        if clause.told is None:
            heard.unread += _named(clause)
    readings = _consistent(_readings(found, heard), heard)
    scale = next(iter(scales)) if len(scales) == 1 else None if scales else SCALE_OF.get(draft.system or "")
    for reading, quoted in [*((item, "") for item in ready), *readings]:
        _take(_scaled(reading, scale), quoted, draft, heard, now)
    return heard


def _scales(text: str) -> set[str]:
    """The temperature scales that are named in a message."""
    pieces = (piece for sentence in sentences(plain(text)) for piece in sentence.pieces)
    return {piece.value.unit for piece in pieces if piece.terminal == "TEMP"} - {"?"}


def _named(clause: Clause) -> Iterator[Unread]:
    """A clause that was not read, unless it holds nothing worth naming."""
    if clause.numeric or any(piece.terminal not in ("DOUBT", "AND", "BUT", "WITH") for piece in clause.pieces):
        yield Unread(clause.text, clause.why)


def _readings(found: Sequence[Clause], heard: Heard) -> Iterator[tuple[Reading, Clause]]:
    for clause in found:
        for told in clause.told or ():
            if isinstance(told, Gap):
                heard.unread.append(Unread(told.text or clause.text, told.why))
            else:
                yield told, clause


def _consistent(told: Iterator[tuple[Reading, Clause]], heard: Heard) -> list[tuple[Reading, str]]:
    """Without values of which one message gives two: none of them is taken, unless the later one corrects."""
    kept: list[tuple[Reading, Clause]] = []
    for reading, clause in told:
        rivals = [pair for pair in kept if _is_rival(pair[0], reading)]
        if clause.corrects:
            kept = [pair for pair in kept if pair not in rivals]
        elif rivals:
            kept = [pair for pair in kept if pair not in rivals]
            texts = dict.fromkeys([*(rival.text for _, rival in rivals), clause.text])
            heard.unread.append(Unread(" / ".join(texts), "two values for one thing; which of them?"))
            continue
        kept.append((reading, clause))
    return [(reading, clause.text) for reading, clause in kept]


def _is_rival(one: Reading, other: Reading) -> bool:
    same = one.pointer == other.pointer and one.value != other.value
    if one.pointer == "/moisture_feel":
        return same and one.value.get("moisture_feel_at") == other.value.get("moisture_feel_at")
    return same and not one.pointer.endswith(_LISTED)


def _scaled(reading: Reading, scale: str | None) -> Reading:
    return reading if scale is None else replace(reading, value=settled(reading.value, scale))


def _take(reading: Reading, quoted: str, draft: Draft, heard: Heard, now: datetime) -> None:
    """Put one reading into the draft, or name it."""
    if reading.pointer.startswith(_EITHER):
        ways = _ways(draft, heard.understood)
        if len(ways) != 1:
            heard.unread.append(Unread(quoted, "is that the fan or the pump?"))
            return
        reading = replace(reading, pointer=reading.pointer.replace(_EITHER, f"/draw/{ways[0]}/"))
    why = draft.take(reading, now)
    if why is not None:
        heard.unread.append(Unread(quoted, why))
    elif needs_scale(reading.value):
        heard.unread.append(Unread(quoted or "the temperature", "is that °C or °F?"))
    else:
        heard.understood.append(reading)


def _ways(draft: Draft, understood: Sequence[Reading]) -> list[str]:
    spoken = [reading.pointer.split("/")[2] for reading in understood if reading.pointer.startswith("/draw/")]
    return sorted({*draft.ways_drawn(), *spoken})


def as_data(readings: Sequence[Reading]) -> list[list[Any]]:
    """Readings as plain lists, to be kept between messages."""
    return [[reading.pointer, reading.value] for reading in readings]
