"""Text to words, numbers with their units, days and marks.

A number is only read where it can be read in one way: ranges, ratios, clock times, doubtful marks and numbers run
together with letters become UNSURE, for which the grammar has no place.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.days import DAY_PATTERN, day_written, with_dates
from service.talk.chat.headings import heading_at, scale_at
from service.talk.chat.lexicon import LONGEST_PHRASE, lexicon
from service.talk.chat.limits import limit_at
from service.talk.chat.measures import counted_at, duty_at, measures_at, ratio_at, two_measures_at
from service.talk.chat.numbers import spelled_number, written_number
from service.talk.chat.tokens import Sentence, TextPiece, WrittenNumber

_WORD: Final = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_MOST_SPELLED: Final = 9
"""Words of the longest number spelled out with its half: `minus two hundred and forty five and a half`."""
_WORDS: Final = re.compile(
    r"[^\W\d_]+(?:'[^\W\d_]+)*"
    rf"(?:(?: +|-)[^\W\d_]+(?:'[^\W\d_]+)*){{0,{max(LONGEST_PHRASE, _MOST_SPELLED)}}}"
)
"""A run of words, no longer than is looked at: each word begins another."""
_NUMBER: Final = re.compile(r"[-+]?(?:\d[\d.,:/]*\d|\d)|(?<![\w.])\.\d+")
_FRACTION: Final = re.compile(r"(?:(\d{1,3})[ -])?([1-7])/([248])(?![\d/])")
_RANGE: Final = re.compile(r" ?°?[cf]? ?(?:-|\.\.\.?) ?(?=\d)")
_RATE: Final = re.compile(
    r"/(?! )| /(?! )|,? ?(?:per|each|every)\b(?! side| way| direction)"
    r"| an? (?:second|minute|hour|day|night|week|month|year)\b(?! ago)"
)
_AND_A_BIT: Final = re.compile(r" and (?:a )?(?:half|quarter|bit)\b| or (?:so|two|three|more)\b| plus\b|\+")
_AND_A_HALF_MORE: Final = re.compile(r" and a half(?![\w'-]| (?:dozen|an)\b)")
_BELOW_ZERO: Final = re.compile(r" ?(?:degrees )?below zero\b")
"""`12 below zero`: a number below nought; of `12 below` nobody says below what."""
_DOTTED: Final = re.compile(r"\b(approx|ca|cu|sq|deg|temp)\.(?= )")
_FROM_ANIMALS: Final = re.compile(
    r"\b(manure|muck|dung|droppings|poo|bedding|litter) (?:from|of) (?:(?:the|my|our|some|a few|his|her|their) )?"
    r"(horse|cow|goat|chicken|hen|pig|rabbit|alpaca|duck|turkey|sheep|cattle)s?\b(?! barn| shed| house)"
)
"""Manure from the horses is horse manure."""
_APART: Final = {
    **{f"{word}nt": f"{word}n't" for word in ("do", "ca", "is", "does", "did", "was", "have", "has", "could", "would")},
    **{f"{word}nt": f"{word}n't" for word in ("should", "must", "were", "are", "had")},
    **{f"{word}ve": f"{word}'ve" for word in ("i", "we", "you", "they")},
    **{f"{word}s": f"{word}'s" for word in ("that", "there", "here", "what")},
    **{"wont": "won't", "im": "i'm", "theyre": "they're", "youre": "you're"},
}
_CONTRACTED: Final = re.compile(rf"(?<![\w'])(?:{'|'.join(_APART)})(?![\w'])")
"""Words whose apostrophe people leave out."""
_UNIT_FIRST: Final = re.compile(r"(?<!\d )(?<!\d)\b(cfm|gpm|lpm)(?: is| of|:| =| about)? (\d+(?:\.\d+)?)(?![\w.,/:-])")
"""`cfm is 110` is 110 cfm."""
_VULGAR: Final = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_AND_A_HALF: Final = ["and", "a", "half"]
_HALVED: Final = frozenset({"DURATION", "VOLUME", "LENGTH", "WATERFLOW", "MASS"})
"""What may be told by halves: half a gallon, half a metre."""
_OF_ONE: Final = frozenset({"reads", "read", "says", "said", "shows", "is", "was", "at", "of", "in", "near", "on"})
"""Behind these "one" is no number: "one reads 128 F"."""
_TENS_SAID: Final = frozenset(range(20, 100, 10))
"""Tens that with "one" before them are a hundred more, where degrees follow: "one thirty f", "one thirty eight f"."""
_MINUS: Final = frozenset({"minus", "negative"})
_INVERTED: Final = re.compile(
    r"[ \n.!?;]*(?:(?:so|and|but|ok|hey|hi|also|well)[ ,]+)*"
    r"(?:(?:is|are|am|do)(?:n't)? (?:the|my|our|it|that|this|these|those|there|i|we|you)"
    r"|(?:does|can|could|should|shall|will|would)(?:n't)?"
    r" (?:the|my|our|it|that|this|these|those|there|i|we|you|a|an|any))\b"
    r"|is \d{2,3} ?°?[cf]?\b[^.!?;\n]*\b(?:ok|okay|good|normal|fine|too|enough|bad|safe|right)\b"
)
_SUBJECT: Final = re.compile(r"(?:it's|its|i'm|i|we|we're|i've|we've|he|she|they|there's|that's)\b|:")
"""Words that are dropped, and with which a new thing may begin to be said."""
_OR_SO: Final = re.compile(r" and a bit\b| or so\b| plus\b|\+")
"""Behind an age it is as good as "about"."""
_HALF_MORE: Final = re.compile(r" and (?:a )?half(?= )")
_ABOUT: Final = frozenset({"nearly", "almost", "maybe", "perhaps", "probably"})
"""Before a span of time or an amount they are as good as "about"."""
_COUNTABLE: Final = frozenset({"DURATION", "VOLUME", "MASS", "YARDS", "LENGTH"})
_ALWAYS: Final = "24/7"
COUNTED: Final = frozenset({"pickup_load", "barrow", "bucket"})
"""Units of which "a" is one: they are counted, not measured."""


def plain(text: str) -> str:
    """The text in lower case with one spelling for each mark."""
    for mark, written in _VULGAR.items():
        text = text.replace(mark, f" {written}")
    text = unicodedata.normalize("NFKC", text).lower()
    text = re.sub("[\N{RIGHT SINGLE QUOTATION MARK}\N{MODIFIER LETTER APOSTROPHE}`\N{PRIME}]", "'", text)
    text = re.sub("[\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE PRIME}]", '"', text)
    text = re.sub("[\N{MINUS SIGN}\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{EN DASH}]", "-", text)
    text = with_dates(text)
    text = re.sub(r"\bw/(?=\s)", "with", text)
    text = _UNIT_FIRST.sub(r"\2 \1", _CONTRACTED.sub(lambda found: _APART[found[0]], text))
    text = _FROM_ANIMALS.sub(r"\2 \1", text)
    text = text.replace("º", "°").replace("˚", "°").replace("\N{EM DASH}", ";").replace("\r", "\n").replace("\t", " ")
    return re.sub(" +", " ", _DOTTED.sub(r"\1 ", text))


def is_too_long(text: str, most: int) -> bool:
    """Whether a text is longer than `most` characters, as it is or made `plain`: some characters become eighteen."""
    return len(text) > most or len(plain(text)) > most


def sentences(text: str) -> Iterator[Sentence]:
    """The sentences of a text made `plain`."""
    pieces: list[TextPiece] = []
    fresh = False
    begins = 0
    for piece in _pieces(text):
        if piece.terminal == "DROPPED":
            fresh |= _SUBJECT.match(text, piece.start, piece.end) is not None
            continue
        if piece.terminal != "STOP":
            fresh |= _SUBJECT.match(text, piece.start, piece.end) is not None
            _append(pieces, replace(piece, fresh=True) if fresh else piece)
            fresh = False
            continue
        if pieces:
            yield Sentence(tuple(pieces), piece.value == "?" or _asks(text, begins))
        pieces, begins = [], piece.end
    if pieces:
        yield Sentence(tuple(pieces), _asks(text, begins))


def _asks(text: str, begins: int) -> bool:
    """Whether the sentence that begins here asks by the order of its words: "is the steam dangerous"."""
    return _INVERTED.match(text, begins) is not None


def _append(pieces: list[TextPiece], piece: TextPiece) -> None:
    """Add a piece; a dash parts like a comma, but before a temperature it may be a minus and is left unread."""
    if len(pieces) > 1 and pieces[-1].terminal == "DASH" and pieces[-2].terminal in ("DAY", "WEEKDAY", "NTH"):
        pieces.pop()  # behind a day it is no minus, where a space follows it
    if pieces and pieces[-1].terminal == "DASH" and piece.terminal not in ("TEMP", "NUM"):
        pieces[-1] = replace(pieces[-1], terminal="COMMA")
    pieces.append(piece)


def _pieces(text: str) -> Iterator[TextPiece]:
    place = 0
    while place < len(text):
        piece = (
            heading_at(text, place)
            or scale_at(text, place)
            or duty_at(text, place)
            or _together(text, place)
            or _day(text, place)
            or _number(text, place)
            or _words(text, place)
        )
        piece = piece or _mark(text, place)
        place = piece.end
        yield piece


def _together(text: str, place: int) -> TextPiece | None:
    """Numbers that are said in one breath."""
    return (
        measures_at(text, place)
        or two_measures_at(text, place)
        or ratio_at(text, place)
        or counted_at(text, place)
        or limit_at(text, place)
    )


def _day(text: str, place: int) -> TextPiece | None:
    found = DAY_PATTERN.match(text, place)
    if found is None or (place and (text[place - 1].isalnum() or text[place - 1] in ".,-/")):
        return None
    return TextPiece("DAY", day_written(found), place, found.end())


def _number(text: str, place: int) -> TextPiece | None:
    """A number in digits with its unit, or with what makes it unsure."""
    found = _NUMBER.match(text, place)
    if found is None or (found[0][0] in "-+" and place and text[place - 1] not in " \n:=(,;"):
        return None
    if found[0] == _ALWAYS and not text[found.end() : found.end() + 1].isalnum():
        return TextPiece("ALWAYS", _ALWAYS, place, found.end())
    fraction = _FRACTION.match(text, place)
    if fraction is not None and fraction.end() >= found.end():
        value: float | None = int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
        end = fraction.end()
    else:
        digits = found[0].lstrip("-+")
        sign = -1 if found[0][0] == "-" else 1
        number = written_number(digits if digits[0] != "." else f"0{digits}")
        value, end = (None if number is None else sign * number), found.end()
    return _with_unit(text, place, end, value)


def _with_unit(text: str, place: int, end: int, value: float | None) -> TextPiece:
    """The piece of a number that ends at `end`, with the unit behind it; an unsure one keeps its unit's terminal."""
    halved = _HALF_MORE.match(text, end)
    if halved is not None and value is not None and not value % 1 and _unit(text, halved.end())[1]:
        value, end = value + 0.5, halved.end()
    unit_end, terminal, name = _unit(text, end)
    after = unit_end if terminal else end
    halves = _AND_A_HALF_MORE.match(text, after) if terminal in _HALVED else None
    if halves is not None and value is not None and not value % 1:
        value, after, unit_end = value + 0.5, halves.end(), halves.end()
    below = _BELOW_ZERO.match(text, after) if terminal in ("", "TEMP") and value is not None and value > 0 else None
    if below is not None and value is not None:
        end, value = below.end(), -value
        named, after_scale, scale = (name, end, "TEMP") if terminal else ("", *_unit(text, end)[:2])
        named = named or (_unit(text, end)[2] if scale == "TEMP" else "")
        stop = after_scale if scale == "TEMP" else end
        return TextPiece("TEMP" if named else "NUM", WrittenNumber(value, named), place, stop)
    tail = None if terminal == "DURATION" and _OR_SO.match(text, after) else _tail(text, after)
    if tail is not None or value is None:
        rate = terminal == "TEMP" and _RATE.match(text, after) is not None
        unsure = _unsure(text, place, after, terminal)
        return replace(unsure, value="RATE") if rate else unsure
    if terminal:
        about = _OR_SO.match(text, unit_end) if terminal == "DURATION" else None
        return TextPiece(terminal, WrittenNumber(value, name), place, about.end() if about else unit_end)
    if text[end : end + 1].isalnum() or text[end : end + 1] in ("%", "$", "#", "'", '"'):
        rest = re.compile(r"\S*").match(text, end)
        assert rest is not None
        return TextPiece("UNSURE", "NUM", place, max(rest.end(), end + 1))
    return TextPiece("NUM", WrittenNumber(value, ""), place, end)


def _tail(text: str, place: int) -> re.Match[str] | None:
    """What behind a number makes it unsure."""
    return _RANGE.match(text, place) or _RATE.match(text, place) or _AND_A_BIT.match(text, place)


def _unsure(text: str, place: int, end: int, terminal: str) -> TextPiece:
    """The piece of an unsure number that ends at `end`, with all numbers it runs on to; the first unit counts."""
    while (tail := _tail(text, end)) is not None:
        further = _NUMBER.match(text, tail.end())
        if further is None:
            return TextPiece("UNSURE", terminal or "NUM", place, tail.end())
        unit_end, next_terminal, _ = _unit(text, further.end())
        end, terminal = (unit_end if next_terminal else further.end()), terminal or next_terminal
    return TextPiece("UNSURE", terminal or "NUM", place, end)


def _unit(text: str, place: int) -> tuple[int, str, str]:
    """End, terminal and name of the longest unit behind a number; an empty terminal where there is none."""
    known = lexicon().units
    spaced = text[place : place + 1] in (" ", "-") and text[place : place + 1] != ""
    start = place + 1 if spaced else place
    for length in range(min(30, len(text) - start), 0, -1):
        spelling = text[start : start + length]
        unit = known.get(spelling.replace(".", ""))
        after = text[start + length : start + length + 1]
        if unit is None or spelling[-1] == "." or (spelling[-1].isalnum() and (after.isalnum() or after == "'")):
            continue
        if not (unit.glued and spaced):
            return start + length, unit.terminal, unit.name
    return place, "", ""


def _words(text: str, place: int) -> TextPiece | None:
    """The longest known phrase, a number spelled out, or one word that is not known."""
    run = _WORDS.match(text, place)
    if run is None:
        return None
    words = list(_WORD.finditer(text, place, run.end()))
    longest = min(LONGEST_PHRASE, len(words))
    if words[0][0] in _ABOUT and _is_amount(text, words[0].end() + 1):
        return TextPiece("DROPPED", "", place, words[0].end())
    spelled = _spelled(text, [word[0] for word in words], words)
    if spelled is not None and not any(_is_known(words[:count]) for count in range(longest, 1, -1)):
        return spelled
    for count in range(longest, 0, -1):
        phrase, end = _known_form(tuple(word[0] for word in words[:count])), words[count - 1].end()
        plainer = _without_fillers(phrase)
        if plainer != phrase and lexicon().find(phrase) is None and lexicon().find(plainer) is not None:
            phrase = plainer
        if phrase in lexicon().elsewhere:
            return TextPiece("ELSEWHERE", " ".join(phrase), place, end)
        if phrase in lexicon().wishes:
            return TextPiece("WISH", " ".join(phrase), place, end)
        found = lexicon().find(phrase)
        if found is not None:
            return TextPiece(*found, place, end)
        if phrase in lexicon().doubts:
            return TextPiece("DOUBT", " ".join(phrase), place, end)
        if phrase in lexicon().fillers:
            return TextPiece("DROPPED", "", place, end)
        if phrase in lexicon().turns:
            return TextPiece("TURN", " ".join(phrase), place, end)
    name = words[0][0].removesuffix("'s")
    found = lexicon().find((name,)) if name != words[0][0] else None
    return TextPiece(*(found or ("OTHER", words[0][0])), place, words[0].end())


def _without_fillers(phrase: tuple[str, ...]) -> tuple[str, ...]:
    """A phrase without the words between its first and its last that say nothing: "moisture seems good"."""
    if len(phrase) <= 2:
        return phrase
    inner = tuple(word for word in phrase[1:-1] if (word,) not in lexicon().fillers)
    return (phrase[0], *inner, phrase[-1])


def _is_amount(text: str, place: int) -> bool:
    """Whether a span of time or an amount stands here."""
    piece = (_number(text, place) or _words(text, place)) if text[place - 1 : place] == " " else None
    return piece is not None and piece.terminal in _COUNTABLE


def _known_form(phrase: tuple[str, ...]) -> tuple[str, ...]:
    """A phrase as it is known: "the pipe's leaking" is "pipe is leaking"."""
    if not any(word.endswith("'s") for word in phrase) or lexicon().find(phrase):
        return phrase
    spelled: list[str] = []
    for word in phrase:
        spelled += [word[:-2], "is"] if word.endswith("'s") else [word]
    return tuple(spelled) if lexicon().find(tuple(spelled)) else phrase


def _is_known(words: list[re.Match[str]]) -> bool:
    """Whether words that begin with a number are a phrase all the same, such as "one side warm"."""
    return lexicon().find(tuple(word[0] for word in words)) is not None


def _spelled(text: str, words: list[str], places: list[re.Match[str]]) -> TextPiece | None:
    """A number in words with its unit; `a week` and `a bucket` are one, `a ton` is none."""
    if words[0] == "one" and words[1:2] and words[1] in _OF_ONE:
        return TextPiece("DROPPED", "", places[0].start(), places[0].end())
    if words[0] in ("a", "an") and len(words) > 1:
        _, terminal, name = _unit(text, places[0].end())
        if terminal in ("DURATION", "PARTS", "LENGTH") or name in COUNTED:
            return _with_unit(text, places[0].start(), places[0].end(), 1.0)
    if words[0] == "half" and words[1:2] in (["a"], ["an"]) and _unit(text, places[1].end())[1] in _HALVED:
        return _with_unit(text, places[0].start(), places[1].end(), 0.5)
    if words[0] in _MINUS:
        return _minus(text, places)
    number = spelled_number(words)
    if number is None:
        return None
    value, count = number
    if words[0] == "one" and count == 1:
        hundred = spelled_number(words[1:])
        said = hundred is not None and (hundred[0] in _TENS_SAID or hundred[1] > 1)
        if hundred is not None and said and _unit(text, places[hundred[1]].end())[1] == "TEMP":
            return _with_unit(text, places[0].start(), places[hundred[1]].end(), 100 + hundred[0])
    if words[count : count + 3] == _AND_A_HALF:
        value, count = value + 0.5, count + 3
    return _with_unit(text, places[0].start(), places[count - 1].end(), value)


def _minus(text: str, places: list[re.Match[str]]) -> TextPiece | None:
    """`minus five C` or `minus 5 C`."""
    start, after = places[0].start(), places[0].end() + 1
    spelled = spelled_number([place[0] for place in places[1:]])
    if spelled is not None:
        return _with_unit(text, start, places[spelled[1]].end(), -spelled[0])
    digits = re.compile(r"\d+(?:[.,]\d+)?(?![\d/:]|[.,]\d)").match(text, after)
    number = written_number(digits[0]) if digits else None
    return None if digits is None or number is None else _with_unit(text, start, digits.end(), -number)


def _mark(text: str, place: int) -> TextPiece:
    mark, end = text[place], place + 1
    if mark in ".!?;\n":
        inside = mark == "." and end < len(text) and not text[end].isspace()
        return TextPiece("OTHER" if inside else "STOP", mark, place, end)
    parts = mark == "|" or (mark == "/" and text[place - 1 : place] == " " and text[end : end + 1] in (" ", "\n"))
    if mark == "/" and place and text[place - 1].isalpha() and text[end : end + 1].isalpha():
        return TextPiece("AND", mark, place, end)
    if mark in ",()" or parts:
        return TextPiece("COMMA", mark, place, end)
    if mark == "@":
        return TextPiece("DROPPED", mark, place, end)
    if mark in "&+":
        return TextPiece("AND", mark, place, end)
    if mark == "-" and re.match(r"- (?:\d|[^\W\d_])", text[place : place + 3]):
        return TextPiece("DASH", mark, place, end)
    if mark == "-" and text[end : end + 1].isalpha() and place and text[place - 1].isalnum():
        return TextPiece("DROPPED", mark, place, end)
    harmless = mark in " :=~≈\"'*•_|#" or unicodedata.category(mark) in ("So", "Sk", "Mn", "Cf", "Zs", "Pi", "Pf")
    return TextPiece("DROPPED" if harmless and mark not in "#|_" else "OTHER", mark, place, end)
