"""One message heard: what of it goes into the draft, what stays unread, and whether it speaks of fire."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from rules import catalogue
from rules.tables.languages import foreign_language
from service.problems.problem import cut
from service.talk.chat.agreeing import as_now, consistent, in_one_list, in_particular, on_sure_days, with_changes
from service.talk.chat.asides import fields_untold
from service.talk.chat.clause import Clause
from service.talk.chat.clauses import clauses
from service.talk.chat.doubt import is_bare_no, told_before_in_doubt, without_hasty_no
from service.talk.chat.draft import SCALE_OF, SYSTEM_OF, Draft
from service.talk.chat.headings import scales_named
from service.talk.chat.lexer import sentences
from service.talk.chat.lone_numbers import WHY, heads_behind, placed
from service.talk.chat.plain_text import is_too_long, plain
from service.talk.chat.reading import EITHER, Gap, HeardValue, Setting, in_scale, needs_scale
from service.talk.chat.saying import said_back
from service.talk.chat.typos import mended, perhaps_meant
from service.talk.chat.understanding import Heard, Unread
from service.talk.shape import LONGEST_MESSAGE

MOST_QUOTED: Final = 1000
"""Bytes of what was not read that are said back: some ten places, more than a message of the usual kind has (ours)."""
LONGEST_WHY: Final = 160
"""Characters of one reason; the longest of our own is shorter, a quoted word need not be."""
WHICH_SCALE: Final = catalogue.said("chat.which-scale")
STILL_COUNTS: Final = timedelta(hours=12)
"""A core read no longer ago than this is what it reads, where nothing newer is told (our own)."""
_DRAWS: Final = {"FAN": "air", "AIRFLOW": "air", "PUMP": "water", "WATERFLOW": "water"}
_ENDS: Final = {"water": "water", "loop": "water", "line": "water", "coil": "water", "duct": "air", "air": "air"}
"""Words of inlets and outlets that say whose they are."""
_OF_WAY: Final = {"air": frozenset({"inlet_from", "outlet_to", "path"}), "water": frozenset({"tube_length"})}
_OF_ONE_WAY: Final = _OF_WAY["air"] | _OF_WAY["water"]
"""What only a duct has, and only a loop."""
_WHICH_PLACE: Final = catalogue.said("chat.middle-or-air")
_BOXES: Final = re.compile(r"\b(?:bin|box|bay|crate|cage|boxed|pallet bin|between walls|straight sides)\b")
_EITHER: Final = f"/draw/{EITHER}/"


def hear(text: str, draft: Draft, now: datetime) -> Heard:
    """Read a message into the draft; one that is too long is left unread as a whole."""
    if is_too_long(text, LONGEST_MESSAGE):
        return Heard(unread=[Unread(cut(text), catalogue.said("chat.too-many-characters", most=str(LONGEST_MESSAGE)))])
    language = foreign_language(text)
    if language is not None:
        return Heard(unread=[Unread(cut(text), catalogue.said("chat.english-only"))], language=language)
    scales = _scales(text)
    settles = len(scales) == 1 and draft.system is None
    ready = draft.settle(SYSTEM_OF[next(iter(scales))]) if settles else []
    setting = Setting(now, draft.system)
    found = clauses(text, setting, draft.asked)
    heard = Heard(mended=mended(plain(text))[1])
    for clause in found:
        heard.untold += [name for name in fields_untold(clause.pieces) if clause.told is not None]
        if clause.told is None:
            heard.unread += _named(clause)
    scale = next(iter(scales)) if len(scales) == 1 else None if scales else SCALE_OF.get(draft.system or "")
    ways = _ways(draft, found)
    told = [(_placed(_scaled(reading, scale), ways), clause) for reading, clause in _readings(found, heard)]
    told = [(_in_a_box(reading, text), clause) for reading, clause in told]
    told, unclear = on_sure_days(in_one_list(in_particular(told)))
    heard.unread += [Unread(clause.text, catalogue.said("chat.which-days")) for clause in unclear]
    told, unclear = placed(as_now(told, heard), found, draft.status)
    if any(reading.pointer == "/temperatures/core" for reading, _ in told):
        heard.unread = [item for item in heard.unread if item.text not in heads_behind(found)]
    heard.unread += [
        Unread(clause.text, _WHICH_PLACE if clause.bare and clause.kinds == {"TEMP"} else WHY) for clause in unclear
    ]
    for pointer, value in told_before_in_doubt(found, draft.status, draft.recent):
        draft.drop(pointer, value)
        heard.unread.append(Unread(said_back(pointer, value), catalogue.said("chat.told-in-doubt")))
    told = without_hasty_no(with_changes(told, heard), draft.status)
    answered = any(reading.pointer == "/not_seen/-" and is_bare_no(clause) for reading, clause in told)
    if answered and "/signs" not in draft.skipped:
        draft.skipped = [*draft.skipped, "/signs"]  # what it named is answered; the same is not asked again
    for reading, quoted, corrects in [*((item, "", False) for item in ready), *consistent(told, heard)]:
        _take(reading, quoted, draft, heard, now, corrects=corrects)
    _newest_counts(heard, draft, now)
    told_too = {reading.pointer.replace("/built_on", "/age") for reading in heard.understood}
    heard.untold = [name for name in dict.fromkeys(heard.untold) if name not in told_too]
    draft.skipped = [*draft.skipped, *(name for name in heard.untold if name not in draft.skipped)]
    if heard.understood:
        draft.recent = list(dict.fromkeys(reading.pointer for reading in heard.understood))
    if not heard.understood and not heard.unread and not heard.untold and text.strip():
        heard.unread.append(Unread(text.strip(), catalogue.said("chat.unclear")))
    _as_typed(found, heard)
    heard.unread = [_with_a_guess(item) for item in heard.unread]
    heard.unread = list(_in_short(list(dict.fromkeys(heard.unread))))
    return heard


def _as_typed(found: Sequence[Clause], heard: Heard) -> None:
    """What was not read is quoted as it was typed, and no slip is told that was set right to no use."""
    read = " ".join(clause.text for clause in found if clause.told is not None)
    for typed, meant in heard.mended:
        word = re.compile(rf"\b{re.escape(meant)}\b")
        if not word.search(read):
            heard.unread = [replace(item, text=word.sub(typed, item.text)) for item in heard.unread]
    heard.mended = [(typed, meant) for typed, meant in heard.mended if re.search(rf"\b{re.escape(meant)}\b", read)]


def _with_a_guess(item: Unread) -> Unread:
    """What was not read, with the word that may have been meant: asked, never taken."""
    plainly = item.why in (catalogue.said("chat.unclear"), catalogue.said("chat.which-number"), WHY)
    meant = perhaps_meant(item.text) if plainly and not item.aside else ()
    if not meant:
        return item
    return replace(item, why=catalogue.said("chat.did-you-mean", word=" / ".join(meant)))


def _in_short(unread: Sequence[Unread]) -> Iterator[Unread]:
    """What was not read, quoted in short; of very much, the first of it and how many places more there are."""
    room = MOST_QUOTED
    for place, item in enumerate(unread):
        short = Unread(cut(item.text), cut(item.why, LONGEST_WHY), item.aside)
        room -= len(f"{short.text}{short.why}".encode())
        if room < 0 and place:
            left = len(unread) - place
            more = catalogue.said("chat.one-more" if left == 1 else "chat.some-more", count=str(left))
            yield Unread(catalogue.said("chat.the-rest"), more)
            return
        yield short


def _scales(text: str) -> set[str]:
    """The temperature scales that are named in a message."""
    pieces = (piece for sentence in sentences(plain(text)) for piece in sentence.pieces)
    told = {piece.value.unit for piece in pieces if piece.terminal == "TEMP"} - {"?"}
    return told | scales_named(plain(text))  # "at 1 ft 88 (F), house 4 C": two scales, and neither is taken


def _named(clause: Clause) -> Iterator[Unread]:
    """A clause that was not read, unless it holds nothing worth naming."""
    if clause.numeric or any(piece.terminal not in ("DOUBT", "AND", "BUT", "WITH", "NOW") for piece in clause.pieces):
        yield Unread(clause.text, clause.why, clause.aside)


def _readings(found: Sequence[Clause], heard: Heard) -> Iterator[tuple[HeardValue, Clause]]:
    for clause in found:
        for told in clause.told or ():
            if isinstance(told, Gap):
                heard.unread.append(Unread(told.text.removesuffix(" ?") or clause.text, told.why))
            else:
                yield (replace(told, unless_told=False) if clause.corrects else told), clause


def _in_a_box(reading: HeardValue, text: str) -> HeardValue:
    """Length, width and height are a long heap's, unless a bin or the like holds it."""
    size = reading.value if reading.pointer == "/pile/size" else None
    if not isinstance(size, dict) or "windrow" not in size or not _BOXES.search(plain(text)):
        return reading
    return replace(reading, value={"box": size["windrow"]})


def _scaled(reading: HeardValue, scale: str | None) -> HeardValue:
    return reading if scale is None else replace(reading, value=in_scale(reading.value, scale))


def _take(
    reading: HeardValue, quoted: str, draft: Draft, heard: Heard, now: datetime, *, corrects: bool = False
) -> None:
    """Put one reading into the draft, or name it."""
    if reading.pointer.startswith(_EITHER):
        heard.unread.append(Unread(quoted, catalogue.said("chat.fan-or-pump")))
        return
    earlier = None if corrects else draft.older_core(reading, now)
    why = draft.take(reading, now)
    if earlier is not None and why is None and draft.take(earlier, now) is None:
        heard.understood.append(earlier)
    if why is not None:
        heard.unread.append(Unread(quoted, why))
    elif needs_scale(reading.value):
        heard.unread.append(Unread(quoted or catalogue.said("chat.the-temperature"), WHICH_SCALE))
    else:
        heard.understood.append(reading)


def _newest_counts(heard: Heard, draft: Draft, now: datetime) -> None:
    """Where the core was told for this morning and not for now, that is what it reads, with its time."""
    if (draft.status.get("temperatures") or {}).get("core") is not None:
        return
    earlier = [reading for reading in heard.understood if reading.pointer == "/history/-"]
    newest = max(earlier, key=lambda reading: str(reading.value["at"]), default=None)
    if newest is None or now - datetime.fromisoformat(newest.value["at"]) > STILL_COUNTS:
        return
    draft.drop(newest.pointer, newest.value)
    reading = HeardValue("/temperatures/core", newest.value["core"])
    _take(reading, "", draft, heard, now)
    draft.told_at[reading.pointer] = newest.value["at"]
    heard.understood.remove(newest)


def _placed(reading: HeardValue, ways: Collection[str]) -> HeardValue:
    """What is said of fan or pump without saying of which belongs to the only one there is.

    "It is 8 F out" is of the air outdoors, where nothing is drawn.
    """
    if reading.unless_told and reading.pointer == f"{_EITHER}outlet":
        return reading if ways else replace(reading, pointer="/temperatures/outdoor", unless_told=False)
    reading = replace(reading, unless_told=False) if reading.pointer.startswith(_EITHER) else reading
    if len(ways) != 1 or not reading.pointer.startswith(_EITHER):
        return reading
    way = next(iter(ways))
    if reading.pointer.rpartition("/")[2] in _OF_ONE_WAY - _OF_WAY[way]:
        return reading
    return replace(reading, pointer=reading.pointer.replace(_EITHER, f"/draw/{way}/"))


def _ways(draft: Draft, found: Sequence[Clause]) -> set[str]:
    """The ways heat is drawn that were spoken of, before or anywhere in this message."""
    pieces = [piece for clause in found for piece in clause.pieces]
    spoken = {_DRAWS[piece.terminal] for piece in pieces if piece.terminal in _DRAWS}
    ends = " ".join(str(piece.value) for piece in pieces if piece.terminal in ("INLET", "OUTLET"))
    spoken |= {way for word, way in _ENDS.items() if word in ends}
    return {*draft.ways_drawn(), *spoken}
