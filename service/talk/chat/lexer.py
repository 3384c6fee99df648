"""Text to words, numbers with their units, days and marks.

A number is only read where it can be read in one way: ranges, ratios, clock times, doubtful marks and numbers run
together with letters become UNSURE, for which the grammar has no place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.counting import counted_number, spelled_at
from service.talk.chat.days import DAY_PATTERN, day_written
from service.talk.chat.headings import heading_at, scale_at, unseen_at
from service.talk.chat.lexicon import LONGEST_PHRASE, lexicon
from service.talk.chat.limits import limit_at
from service.talk.chat.marks import mark_at
from service.talk.chat.measures import counted_at, drops_at, duty_at, measures_at, range_at, ratio_at, two_measures_at
from service.talk.chat.tokens import Sentence, TextPiece

_WORD: Final = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_MOST_SPELLED: Final = 9
"""Words of the longest number spelled out with its half: `minus two hundred and forty five and a half`."""
_WORDS: Final = re.compile(
    r"[^\W\d_]+(?:'[^\W\d_]+)*"
    rf"(?:(?: +|-)[^\W\d_]+(?:'[^\W\d_]+)*){{0,{max(LONGEST_PHRASE, _MOST_SPELLED)}}}"
)
"""A run of words, no longer than is looked at: each word begins another."""
INVERTED: Final = re.compile(
    r"[ \n.!?;]*(?:(?:so|and|but|ok|hey|hi|also|well)[ ,]+)*"
    r"(?:(?:is|are|am|do)(?:n't)? (?:the|my|our|it|that|this|these|those|there|i|we|you)"
    r"|(?:does|can|could|should|shall|will|would)(?:n't)?"
    r" (?:the|my|our|it|that|this|these|those|there|i|we|you|a|an|any))\b"
    r"|is \d{2,3} ?°?[cf]?\b[^.!?;\n]*\b(?:ok|okay|good|normal|fine|too|enough|bad|safe|right)\b"
)
_SUBJECT: Final = re.compile(r"(?:it's|its|i'm|i|we|we're|i've|we've|he|she|they|there's|that's)\b|:")
"""Words that are dropped, and with which a new thing may begin to be said."""
_ABOUT: Final = frozenset({"nearly", "almost", "maybe", "perhaps", "probably"})
"""Before a span of time or an amount they are as good as "about"."""
_ABOUT_HEATS: Final = frozenset({"maybe", "perhaps", "probably", "barely"})
"""Before a temperature, right behind what it is of, these say "about" too."""
_OFFERED: Final = frozenset({"or", "and", "but", "not", "no", "then", "sorry", "actually"})
"""Behind these a number is another that is offered: "or maybe 50 C"."""
_LONGEST_WORD: Final = 20
_TIMES: Final = frozenset(
    {
        *("winter", "summer", "spring", "autumn", "fall", "year", "season", "week", "month", "today", "yesterday"),
        *("morning", "night", "evening"),
    }
)
"""What is of a time is nobody's: "this winter's heap"."""
_TOLD_LOOSELY: Final = frozenset(
    {
        *("FEEL", "SMELL", "SMELL_KIND", "SIGN", "SIGNS", "SYMPTOM", "WIND", "SKY", "RAIN", "COVERED", "COVER_KIND"),
        *(
            "GLAZING",
            "TUBE",
            "LOOP_KIND",
            "AIR_PATH",
            "AIR_TO",
            "AIR_FROM",
            "CONTROL",
            "HOUSE_STAT",
            "CORE",
            "ALL_WELL",
        ),
        *(
            "PREFER",
            "SEASON",
            "PROBE",
            "GOES_TO",
            "COMES_FROM",
            "BUILT",
            "KEEP",
            "NO_COVER",
            "SHRUNK",
            "INSIDE",
            "SURFACE",
        ),
    }
)
"""What may be told with idle words within: "moisture seems good". Of small words another would be made."""
_COUNTABLE: Final = frozenset({"DURATION", "VOLUME", "MASS", "YARDS", "LENGTH", "TALL"})


def sentences(text: str) -> Iterator[Sentence]:
    """The sentences of a text made `plain`."""
    pieces: list[TextPiece] = []
    fresh = likened = False
    begins = 0
    for told in all_pieces(text):
        alike = likened and told.terminal in ("MATERIAL", "SUPPLY")
        piece = replace(told, terminal="OTHER", value="like") if alike else told
        likened = _is_likeness(text, piece) or (likened and piece.terminal in ("DROPPED", "OTHER"))
        if piece.terminal == "DROPPED":
            fresh |= _SUBJECT.match(text, piece.start, piece.end) is not None
            continue
        if piece.terminal != "STOP":
            fresh |= _SUBJECT.match(text, piece.start, piece.end) is not None
            _append(pieces, replace(piece, fresh=True) if fresh else piece)
            fresh = False
            continue
        if pieces:
            marked = piece.value == "?"
            yield Sentence(_unbracketed(pieces), marked or _asks(text, begins), marked)
        pieces, begins = [], piece.end
    if pieces:
        yield Sentence(_unbracketed(pieces), _asks(text, begins))


def _is_likeness(text: str, piece: TextPiece) -> bool:
    """Whether what follows is named for its likeness alone: "feels like garden soil"."""
    return piece.terminal == "DROPPED" and text[piece.start : piece.end].endswith("like")


def _unbracketed(pieces: list[TextPiece]) -> tuple[TextPiece, ...]:
    """The pieces without brackets round a share or an amount behind a thing: "sawdust (75 %)"."""
    kept = list(pieces)
    for place in range(len(kept) - 3, -1, -1):
        thing, opens, number = kept[place : place + 3]
        closes = kept[place + 3] if place + 3 < len(kept) else None
        inside = opens.value == "(" and (closes is None or closes.value == ")")
        if thing.terminal == "MATERIAL" and inside and number.terminal in ("PERCENT", "VOLUME", "YARDS", "MASS"):
            kept[place + 1 : place + 4] = [number]
    return tuple(kept)


def _asks(text: str, begins: int) -> bool:
    """Whether the sentence that begins here asks by the order of its words: "is the steam dangerous"."""
    return INVERTED.match(text, begins) is not None


def _append(pieces: list[TextPiece], piece: TextPiece) -> None:
    """Add a piece; a dash parts like a comma, but before a temperature it may be a minus and is left unread."""
    if len(pieces) > 1 and pieces[-1].terminal == "DASH" and pieces[-2].terminal in ("DAY", "WEEKDAY", "NTH"):
        pieces.pop()  # behind a day it is no minus, where a space follows it
    if len(pieces) > 1 and piece.terminal == "TEMP" and _tells_how_far(pieces[-2], pieces[-1]):
        pieces[-1] = replace(pieces[-1], terminal="FELL")  # "the core is down 4 degrees" is no reading
    if pieces and pieces[-1].terminal == "DASH" and piece.terminal not in ("TEMP", "NUM"):
        pieces[-1] = replace(pieces[-1], terminal="COMMA")
    pieces.append(piece)


def _tells_how_far(of: TextPiece, down: TextPiece) -> bool:
    return of.terminal in ("CORE", "HEAP") and down.terminal == "DEEP" and down.value == "down"


def all_pieces(text: str, place: int = 0) -> Iterator[TextPiece]:
    """Every word, number and mark of a text made `plain`, idle ones too, from a place on."""
    before = TextPiece("", "", 0, 0)
    while place < len(text):
        piece = (
            heading_at(text, place)
            or scale_at(text, place)
            or unseen_at(text, place)
            or duty_at(text, place)
            or _together(text, place)
            or _day(text, place)
            or counted_number(text, place)
            or _words(text, place)
        )
        piece = piece or mark_at(text, place)
        if piece.terminal in ("FAN", "PUMP") and before.value in lexicon().things and before.end == place - 1:
            piece = replace(piece, terminal="OTHER")  # the heater's fan, the pump of a well
        place = piece.end
        before = before if text[piece.start : piece.end].isspace() else piece
        yield piece


def _together(text: str, place: int) -> TextPiece | None:
    """Numbers that are said in one breath."""
    return (
        measures_at(text, place)
        or range_at(text, place)
        or drops_at(text, place)
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


def _words(text: str, place: int) -> TextPiece | None:
    """The longest known phrase, a number spelled out, or one word that is not known."""
    run = _WORDS.match(text, place)
    if run is None:
        return None
    words = list(_WORD.finditer(text, place, run.end()))
    longest = min(LONGEST_PHRASE, len(words))
    about = words[0][0] in _ABOUT and _is_amount(text, words[0].end() + 1)
    if about or (words[0][0] in _ABOUT_HEATS and _is_read(text, place, words[0].end() + 1)):
        return TextPiece("DROPPED", "", place, words[0].end())
    spelled = spelled_at(text, [word[0] for word in words], words)
    if spelled is not None and not any(_is_known(words[:count]) for count in range(longest, 1, -1)):
        return spelled
    exact = next((count for count in range(longest, 0, -1) if _is_known(words[:count])), 0)
    for count in range(longest, 0, -1):
        phrase, end = _known_form(tuple(word[0] for word in words[:count])), words[count - 1].end()
        plainer = _without_fillers(phrase)
        meant = lexicon().find(plainer) if exact <= 1 and plainer != phrase else None
        if meant is not None and meant[0] in _TOLD_LOOSELY and lexicon().find(phrase) is None:
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
    if name != words[0][0] and (name,) in lexicon().fillers:
        return TextPiece("DROPPED", "", place, words[0].end())  # "my son's coughing"
    found = lexicon().find((name,)) if name != words[0][0] else None
    if found is None and name != words[0][0] and _is_heap_next(text, words[0].end()):
        return TextPiece("ELSEWHERE", words[0][0], place, words[0].end())  # "Joe's heap"
    return TextPiece(*(found or ("OTHER", words[0][0])), place, words[0].end())


def _is_heap_next(text: str, place: int) -> bool:
    """Whether a heap, its middle or a house is named right behind."""
    told = re.search(r"[^\W\d_]+(?='s$)", text[max(0, place - _LONGEST_WORD) : place])
    if told is not None and told[0] in _TIMES:
        return False
    behind = _words(text, place + 1) if text[place : place + 1] == " " else None
    return behind is not None and behind.terminal in ("HEAP", "CORE", "OUTER", "HOUSE")


def _without_fillers(phrase: tuple[str, ...]) -> tuple[str, ...]:
    """A phrase without the words between its first and its last that say nothing: "moisture seems good"."""
    if len(phrase) <= 2:
        return phrase
    inner = tuple(word for word in phrase[1:-1] if (word,) not in lexicon().fillers)
    return (phrase[0], *inner, phrase[-1])


def _is_amount(text: str, place: int) -> bool:
    """Whether a span of time or an amount stands here."""
    piece = (counted_number(text, place) or _words(text, place)) if text[place - 1 : place] == " " else None
    return piece is not None and piece.terminal in _COUNTABLE


def _is_read(text: str, begins: int, place: int) -> bool:
    """Whether a temperature with its scale stands here, and right before it what it is of: "core maybe 50 C"."""
    before = re.search(r"([^\W\d_']+)('s)? $", text[max(0, begins - _LONGEST_WORD) : begins])
    if before is None or before[1] in _OFFERED or text[place - 1 : place] != " ":
        return False
    piece = counted_number(text, place)
    return piece is not None and piece.terminal == "TEMP" and piece.value.unit != "?"


def _known_form(phrase: tuple[str, ...]) -> tuple[str, ...]:
    """A phrase as it is known: "the pipe's leaking" is "pipe is leaking"."""
    if not any(word.endswith("'s") for word in phrase) or lexicon().find(phrase):
        return phrase
    spelled: list[str] = []
    for word in phrase:
        spelled += [word[:-2], "is"] if word.endswith("'s") else [word]
    if lexicon().find(tuple(spelled)):
        return tuple(spelled)
    bare = (*phrase[:-1], phrase[-1].removesuffix("'s"))  # "return water's 96"
    return bare if len(bare) > 1 and lexicon().find(bare) else phrase


def _is_known(words: list[re.Match[str]]) -> bool:
    """Whether words that begin with a number are a phrase all the same, such as "one side warm"."""
    return lexicon().find(tuple(word[0] for word in words)) is not None
