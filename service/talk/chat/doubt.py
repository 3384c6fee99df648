"""What is put in doubt by words that could not be read: in the message itself, and of what was told before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from rules.catalogue import said
from service.problems.json_text import JsonObject
from service.problems.problem import cut
from service.talk.chat.clause import Clause
from service.talk.chat.reading import HeardValue

_POINTERS: Final[dict[str, tuple[str, ...]]] = {
    "CORE": ("/temperatures/core",),
    "OUTER": ("/temperatures/outer",),
    "OUTSIDE": ("/temperatures/outdoor",),
    "TONIGHT": ("/weather/low",),
    "LOW": ("/weather/low",),
    "age": ("/pile/age", "/pile/built_on"),
    "measures": ("/pile/size",),
    "PROBE": ("/probe/length",),
}
"""Where what a clause names stands in a status."""
_OF_KIND: Final[dict[str, tuple[str, ...]]] = {
    "TEMP": ("/temperatures/core", "/temperatures/outer", "/temperatures/outdoor", "/weather/low"),
    "DURATION": ("/pile/age", "/pile/built_on"),
    "LENGTH": ("/pile/size", "/probe/length"),
    "VOLUME": ("/pile/size",),
    "YARDS": ("/pile/size",),
    "MASS": ("/pile/size",),
    "TONS": ("/pile/size",),
}
"""What a number that nothing is said of may correct, by its kind."""
_WORDS: Final = {"SMELL_KIND": "/smell", "SIGN": "/signs/-", "FEEL": "/moisture_feel"}
_DRAWN: Final = frozenset({"MINUTES", "HOURS", "AIRFLOW", "WATERFLOW"})
"""What is of fan or pump alone, named beside it or not."""
_CORES: Final = frozenset({"/temperatures/core"})
_TO_COME: Final = frozenset({"TONIGHT", "LOW"})
"""What is still to come: a number of now is none of it."""
_NEVER_BY_HALF: Final = (("/signs/-", "smoke"), ("/smell", "burnt"))
"""What counts until somebody says plainly that it is not so."""


def without_doubtful(found: list[Clause]) -> list[Clause]:
    """Take back numbers on which a clause that could not be read casts doubt."""
    kept = list(found)
    numbers = [(place, each) for place, each in enumerate(found) if each.told is not None and each.numeric]
    for place, unread in enumerate(found):
        if unread.aside:
            continue
        following = found[place + 1] if place + 1 < len(found) else None
        bare = following is not None and following.numeric and not following.names and not following.of_the_heap
        drawn = following is not None and following.kinds <= _DRAWN
        if unread.told is None and unread.dangling and bare and not drawn:
            _withdraw(kept, place + 1, said("chat.in-doubt", what=cut(unread.text)))
        if unread.told is None and unread.of_now and any(piece.terminal == "SMELL" for piece in unread.pieces):
            for other, told in enumerate(found[:place]):
                burnt = any(piece.value == "burnt" for piece in told.pieces)
                if "/smell" in _single(told) and not told.of_now and not burnt:
                    _withdraw(kept, other, said("chat.in-doubt", what=cut(unread.text)))
        if unread.told is not None or not unread.numeric:
            continue
        before, takes_back = _numbers_before(found, place)
        after = next((later for later in range(place + 1, len(found)) if found[later].numeric), None)
        for other, read in numbers:
            if kept[other].told is None or (read.corrects and other > place):
                continue
            doubted = unread.bare or unread.takes_back
            ahead = bool(read.names) and read.names <= _TO_COME and unread.of_now
            near = other == before or (other == after and not read.names)
            ahead |= read.then and unread.of_now and not unread.takes_back
            beside = near and doubted and not ahead and bool(read.kinds & unread.stray)
            alike = bool(unread.names & read.names) and bool(unread.kinds & read.kinds)
            later = unread.of_now and not unread.names and bool(unread.kinds & read.kinds & {"TEMP"})
            if later and not read.of_now and _single(read) & _CORES:
                _withdraw(kept, other, said("chat.in-doubt", what=cut(unread.text)))
                continue
            same = alike and (unread.takes_back or not unread.then)
            if beside or (takes_back and other == before) or same:
                _withdraw(kept, other, said("chat.in-doubt", what=cut(unread.text)))
    return kept


def _single(clause: Clause) -> set[str]:
    """What a clause tells of which there is one value."""
    told = {each.pointer for each in clause.told or () if isinstance(each, HeardValue)}
    return {pointer for pointer in told if not pointer.endswith(("/-", "/?"))}


def _withdraw(kept: list[Clause], place: int, why: str) -> None:
    """Leave a clause unread; where it corrected something, so is what it corrected."""
    clause = kept[place]
    kept[place] = replace(clause, told=None, why=why)
    told = set() if clause.corrects else _single(clause)
    for other, rival in enumerate(kept) if told else ():
        if rival.told is not None and _single(rival) & told:
            _withdraw(kept, other, why)  # two values were told, and neither counts
    if clause.corrects:
        for earlier in range(place):
            if kept[earlier].told is not None and kept[earlier].numeric and kept[earlier].names & clause.names:
                _withdraw(kept, earlier, why)


def _numbers_before(found: Sequence[Clause], place: int) -> tuple[int | None, bool]:
    """The last clause with a number before a place, and whether a word there or between takes it back."""
    takes_back = found[place].doubts
    for earlier in range(place - 1, -1, -1):
        if found[earlier].numeric:
            return earlier, takes_back
        takes_back = takes_back or found[earlier].doubts
    return None, takes_back


def told_before_in_doubt(found: Sequence[Clause], status: JsonObject, recent: Sequence[str]) -> list[tuple[str, Any]]:
    """What of a status a message takes back without saying plainly what counts instead: pointers and values.

    `recent` are the pointers of the message before; a bare number can only correct what was told there.
    """
    doubted: list[tuple[str, Any]] = []
    for place, clause in enumerate(found):
        if clause.told is not None:
            continue
        before, takes_back = _numbers_before(found, place)
        if clause.numeric and before is None and (takes_back or clause.takes_back):
            doubted += _numbers(clause, status, recent)
        if clause.takes_back:
            doubted += _named_words(clause, status)
    return doubted


def _numbers(clause: Clause, status: JsonObject, recent: Sequence[str]) -> Iterator[tuple[str, Any]]:
    named = {pointer for name in clause.names for pointer in _POINTERS.get(name, ())}
    if not named:
        named = {pointer for kind in clause.kinds for pointer in _OF_KIND.get(kind, ()) if pointer in recent}
    for pointer in sorted(named):
        value = value_in(status, pointer)
        if value is not None:
            yield pointer, value


def _named_words(clause: Clause, status: JsonObject) -> Iterator[tuple[str, Any]]:
    """Smell, signs and feel that a clause with a word of denial names, and that were told so."""
    for piece in clause.pieces:
        pointer = _WORDS.get(piece.terminal, "")
        if not pointer or (pointer, piece.value) in _NEVER_BY_HALF:
            continue
        told = value_in(status, pointer.removesuffix("/-"))
        if told == piece.value or (isinstance(told, list) and piece.value in told):
            yield pointer, piece.value


def value_in(status: JsonObject, pointer: str) -> Any:
    """The value at a pointer of plain field names, None where there is none."""
    found: Any = status
    for name in pointer.strip("/").split("/"):
        found = found.get(name) if isinstance(found, dict) else None
    return found


def without_hasty_no(told: list[tuple[HeardValue, Clause]], status: JsonObject) -> list[tuple[HeardValue, Clause]]:
    """What was told without a bare no as a no to every sign, where the same message names one that is there, or says
    something else than was told before: then the no was to that."""
    said_no = [clause for reading, clause in told if reading.pointer == "/not_seen/-" and is_bare_no(clause)]
    rest = [reading for reading, clause in told if not is_bare_no(clause)]
    turned = any(
        reading.pointer == "/signs/-" or value_in(status, reading.pointer) not in (None, reading.value)
        for reading in rest
    )
    return [each for each in told if each[1] not in said_no] if turned else told


def is_bare_no(clause: Clause) -> bool:
    """Whether a clause is nothing but a no."""
    return all(piece.terminal == "NO" for piece in clause.pieces)
