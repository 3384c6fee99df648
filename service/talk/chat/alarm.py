"""What a message says that must be answered before all else: fire, gas and sick people, broken pipes, shocks.

Deliberately credulous: what it brings is conditional where the danger is not certain.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from rules.catalogue import said
from rules.language.vocabulary import SYMPTOMS
from rules.tables.alarm_words import speaks_of
from rules.tables.emergency import numbers_to_call
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY
from service.answer.words import FIRE_SENTENCE
from service.problems.fire import WARNING, speaks_of_fire
from service.problems.json_text import JsonObject
from service.talk.chat.lexer import sentences
from service.talk.chat.plain_text import plain
from service.talk.chat.reading import UNKNOWN_SCALE, HeardValue
from service.talk.chat.tokens import Sentence, TextPiece
from service.units.quantities import QuantityError, System, parse_quantity

_DIGITS: Final = re.compile(r"\d+(?:[.,]\d+)?")
_HEAP_WORDS: Final = frozenset({"CORE", "OUTER", "HEAP", "PROBE", "INSIDE"})
_HEAP_READINGS: Final = frozenset({"/temperatures/core", "/temperatures/outer", "/temperatures/points/-"})


@dataclass(frozen=True, slots=True)
class Alarms:
    """What is told first.

    `burning` where what was told means that the heap may burn, `fire` where fire is spoken of at all; `open` where
    what brought it up was not read, so that nobody knows yet how things stand; `kinds` are those (`fire`, `people`,
    `pipes`, `current`).
    """

    sentences: tuple[str, ...] = ()
    burning: bool = False
    fire: bool = False
    open: bool = False
    kinds: tuple[str, ...] = ()

    @property
    def text(self) -> str | None:
        """All of it, or None."""
        return "\n".join(self.sentences) or None


def alarms(text: str, unread: Iterable[str], understood: Iterable[HeardValue], status: JsonObject) -> Alarms:
    """What a message brings up, in the order in which it is told.

    Parameters
    ----------
    text
        The whole message: a word of fire counts wherever it stands.
    unread
        What of it was not read: words of gas, of sick people, of pipes and of shocks count there.
    understood, status
        What was read, and all that is known with it.
    """
    system: System | None = status.get("units")
    read = list(understood)
    burning = burns(status) or any(map(_is_fire, read))
    rest = "\n".join(unread)
    not_told = speaks_of_fire(rest) or _is_hot(plain(rest), system)
    fire = burning or not_told or speaks_of_fire(text) or _is_hot(plain(text), system)
    numbers = " / ".join(numbers_to_call(status.get("emergency_number")))
    kinds = ["fire"] if speaks_of_fire(rest) and not burning else []
    warning = f"{WARNING} {said('answer.emergency', numbers=numbers)}" if kinds else WARNING
    told = [FIRE_SENTENCE if burning else warning] if fire else []
    metered = speaks_of("meter", rest)
    down = speaks_of("down", text) and speaks_of("somebody", text)
    if metered or down or speaks_of("gas", rest) or speaks_of("unwell", rest) or any(map(_is_unwell, read)):
        kinds.append("people")
        told.append(said("alarm.meter" if metered else "alarm.people", numbers=numbers))
    if speaks_of("pipes", rest):
        kinds.append("pipes")
        told.append(said("alarm.pipes"))
    if speaks_of("current", rest):
        kinds.append("current")
        told.append(said("alarm.current", numbers=numbers))
    left_open = burning or not_told or len(told) > fire
    if speaks_of("burned", text):  # first aid cannot wait, and asks for nothing to be looked into
        told.insert(0, said("alarm.burned", numbers=numbers))
    return Alarms(tuple(told), burning, fire, left_open, tuple(kinds))


def alarm(text: str, understood: Iterable[HeardValue], system: System | None) -> str | None:
    """The sentence about fire to put first, if any."""
    found = alarms(text, (), understood, {} if system is None else {"units": system})
    return found.text


def burns(status: JsonObject) -> bool:
    """Whether what was told means that the heap may burn: its heat, smoke, or a burnt smell."""
    temperatures = status.get("temperatures") or {}
    told = [temperatures.get("core"), temperatures.get("outer")]
    told += [point.get("value") for point in temperatures.get("points") or []]
    hot = any(_keep_clear(value, status.get("units")) for value in told)
    return hot or "smoke" in (status.get("signs") or []) or status.get("smell") == "burnt"


def _is_unwell(reading: HeardValue) -> bool:
    """Whether a reading says that somebody is unwell."""
    word = SYMPTOMS.get(str(reading.value)) if reading.pointer == "/people/-" else None
    return word is not None and word.fact == "people_unwell"


def _is_fire(reading: HeardValue) -> bool:
    """Whether a reading by itself means fire, be its scale known or not."""
    if (reading.pointer, reading.value) in (("/signs/-", "smoke"), ("/smell", "burnt")):
        return True
    value = reading.value.get("value") if isinstance(reading.value, dict) else reading.value
    return reading.pointer in _HEAP_READINGS and _keep_clear(value, None)


def _keep_clear(value: Any, system: System | None) -> bool:
    """Whether a temperature is one to keep clear of; of unknown scale where it would be in either."""
    written = str(value)
    unsure = written.endswith(UNKNOWN_SCALE)
    try:
        read = parse_quantity(
            written.removesuffix(UNKNOWN_SCALE).strip(), ("temperature",), "us" if unsure else system or "metric"
        )
    except QuantityError:
        return False
    return round(read.si, 6) >= FIRE_KEEP_CLEAR.value


def _is_hot(text: str, system: System | None) -> bool:
    """Whether a number can be read as a heap at 70 degC or more, read or not."""
    for sentence in sentences(text):
        heap = any(piece.terminal in _HEAP_WORDS for piece in sentence.pieces)
        heap = heap or _is_bare(sentence, text)
        scales = {piece.value.unit for piece in sentence.pieces if piece.terminal == "TEMP"}
        fahrenheit = system == "us" or "degF" in scales
        for piece in sentence.pieces:
            if _hottest_c(piece, text, heap=heap, fahrenheit=fahrenheit) >= FIRE_LOOK_DAILY.value:
                return True
    return False


_IT: Final = re.compile(r"\b(?:it|it's|its|temp|temps|temperature|reads|reading|says|shows|sits at|up to)\b")


def _is_bare(sentence: Sentence, text: str) -> bool:
    """Whether no more is told than a number that it reads, which may be the heap: "it's 80"."""
    told = [piece for piece in sentence.pieces if piece.terminal != "NOW"]
    begins = max(text.rfind(mark, 0, sentence.pieces[0].start) for mark in ".!?;\n") + 1
    return [piece.terminal for piece in told] == ["NUM"] and _IT.search(text, begins, told[0].start) is not None


def _hottest_c(piece: TextPiece, text: str, *, heap: bool, fahrenheit: bool) -> float:
    """The hottest a piece can be read as [degC]; a number without degrees counts where the heap is named beside it."""
    kind = str(piece.value) if piece.terminal == "UNSURE" else piece.terminal
    if kind != "TEMP" and not (kind == "NUM" and heap):
        return 0.0
    written = text[piece.start : piece.end]
    own = "degF" if re.search(r"f[a-z]*$", written) else "degC" if re.search(r"c[a-z]*$", written) else ""
    numbers = [float(digits.replace(",", ".")) for digits in _DIGITS.findall(written)]
    hottest = max(numbers, default=0.0)
    in_fahrenheit = own == "degF" or (not own and fahrenheit)
    return round((hottest - 32) / 1.8, 6) if in_fahrenheit else hottest
