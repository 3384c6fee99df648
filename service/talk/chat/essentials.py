"""The pieces of a clause without what tells nothing: attributes, asides, and what something came after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from rules.tables.materials import names_matter
from service.talk.chat.islands import is_snow
from service.talk.chat.lexicon import lexicon
from service.talk.chat.tokens import NUMBERS, Pieces, TextPiece

NAMED_NEXT: Final = frozenset(
    {
        *("BUILT", "WATERED", "ADDED", "TURNED", "TOPPED_UP", "PUT", "TAKE", "COVERED", "MADE_OF", "OF", "NO"),
        *("CONTAINER", "PERCENT", "PARTS", "FRACTION", "EACH", "MOSTLY", "SOME", "KEEP", "NOTHING", "TO", "FROM"),
        *("VOLUME", "YARDS", "MASS", "TONS", "RATIO", "HALF_HALF", "HAVE", "NUM"),
    }
)
"""What the thing is named behind that it is about: a strange word there is that thing."""
_HOW_MANY: Final = frozenset({"how-many", "how-much"})
"""What is asked of "a couple of": of sheets that lie on the heap nobody needs their number."""
_TELLING: Final = frozenset(
    {
        *(
            "TURNED",
            "WATERED",
            "ADDED",
            "BUILT",
            "TOPPED_UP",
            "COVERED",
            "PUT",
            "TAKE",
            "SIGN",
            "SYMPTOM",
            "SMELL_KIND",
        ),
        *("YESTERDAY", "AGO", "WEEKDAY", "DAY", "LAST_NIGHT", "DAY_BEFORE", "RAIN", "FEEL", "COMMA", "AND", "BUT"),
    }
)
_THEN: Final = ("when", "whenever", "where")
_SMELL_OF: Final = {"mushrooms": "musty", "grey_mould": "musty", "white_threads": "musty"}
"""What the smell of a sign is."""
_COUNTLESS: Final = frozenset({"SIGN"})
_READ_ON: Final = frozenset({"CORE", "OUTER", "OUTSIDE", "HOUSE", "HEAP", "PROBE", "NOW", "INLET", "OUTLET", "AND"})
"""Behind these "on" says nothing before a number: "the middle's on 58"."""
_BALES_STAY: Final = frozenset({"HAVE", "ON_HAND", "COVERED", "COVER", "PUT", "OVER_IT", "TAKE", "NOTHING"})
"""Where one of these stands bales are on hand, or a cover."""
_CONTENTS: Final = frozenset(
    {*("MATERIAL", "COMMA", "AND", "SOME", "WITH", "OF", "VOLUME", "YARDS", "MASS", "CONTAINER", "NUM"), "PERCENT"}
)
_TO_COME: Final = frozenset({"WILL", "TONIGHT", "LOW", "AHEAD", "WISH"})
"""Where one of these stands snow is of a forecast."""
_FURTHER: Final = ("another", "extra", "further", "additional", "more")
_AMOUNTS: Final = frozenset({"VOLUME", "YARDS", "MASS", "TONS", "CONTAINER", "NUM", "MATERIAL"})
_BEFORE_FURTHER: Final = frozenset({"ADDED", "TOPPED_UP", "PUT", "WITH", "WATERED", "HEAP", "NUM", "VOLUME", "YARDS"})
"""Where work is told "another" says nothing."""
_DONE_TODAY: Final = frozenset({"WATERED", "ADDED", "TURNED", "TOPPED_UP"})
_RUNS_OUT: Final = ("wet", "soggy")
_WATER_OUT: Final = len("water comes out")
"""Such a feel right before a temperature is of the loop's water."""
_SHEETS: Final = _COUNTLESS | {"OLD", "SUPPLY", "COVER_KIND"}
_COMPOST: Final = len("compost")
_LISTED_BEHIND: Final = frozenset({*NAMED_NEXT - {"BUILT"}, "WITH", "AND", "COMMA", "FEEL", "MATERIAL"})
"""What stands before a thing in a list."""
_CAME: Final = frozenset({"SIGN", "RAIN", "SKY"})
"""What comes and goes, and is no more behind "after"."""
SHORTEST: Final = 2
"""A strange word no longer than this may be a unit or a slip of a small word: nothing is read around it (our own)."""
_OF_PLACE: Final = frozenset(
    {"when", "whenever", "near", "beside", "behind", "beneath", "between", "within", "because", "as"}
)
"""Words that bind numbers alone: "dry when I dig"."""
SAME_TEMPERATURE: Final = 1.0
"""How far two numbers may be apart that are one in two scales, each rounded [K] (our own)."""
MOMENTS: Final = frozenset({"YESTERDAY", "TODAY", "AGO", "WEEKDAY", "DAY", "LAST_NIGHT", "DAY_BEFORE", "SINCE_THEN"})


def without_attributes(pieces: Pieces) -> Pieces:
    """The pieces without a strange word right before a material, such as "5 yards of spruce chips", "an old tarp"."""
    pieces = tuple(piece for place, piece in enumerate(pieces) if not _is_origin(pieces, place))
    behind: tuple[TextPiece | None, ...] = (*pieces[1:], None) if pieces else ()
    return tuple(
        piece
        for piece, after in zip(pieces, behind, strict=True)
        if not (after and after.terminal in ("MATERIAL", "SUPPLY") and _is_attribute(piece, after))
    )


def _is_origin(pieces: Pieces, place: int) -> bool:
    """Whether a piece says from where a thing came: "shavings from the joinery 5 m3"."""
    begins = place if pieces[place].terminal == "FROM" else place - 1
    where = pieces[begins + 1] if 0 < begins < len(pieces) - 1 and pieces[begins].terminal == "FROM" else None
    return (
        where is not None
        and pieces[begins - 1].terminal == "MATERIAL"
        and where.terminal == "OTHER"
        and is_aside(str(where.value))
        and terminal_at(pieces, begins + 2) in NUMBERS | {"", "COMMA", "AND", "WITH"}
    )


def as_heap(pieces: Pieces) -> Pieces:
    """The pieces with "compost" as the heap, where it is no thing in a list."""
    kept: list[TextPiece] = []
    for piece in pieces:
        compost = (
            piece.terminal == "MATERIAL" and piece.value == "finished_compost" and piece.end - piece.start == _COMPOST
        )
        listed = bool(kept) and kept[-1].terminal in _LISTED_BEHIND
        kept.append(replace(piece, terminal="HEAP", value="compost") if compost and not listed else piece)
    return tuple(kept)


def without_asides(pieces: Pieces) -> Pieces:
    """The pieces without what something came after, such as "after the snow", and without a sign that is a smell."""
    kept: list[TextPiece] = []
    names = {piece.terminal for piece in pieces}
    pieces = tuple(_loose(pieces, names))
    for place, piece in enumerate(pieces):
        after = pieces[place + 1].terminal if place + 1 < len(pieces) else ""
        before = pieces[place - 1].terminal if place else ""
        two_before = pieces[place - 2].terminal if place > 1 else ""
        came_after = (piece.terminal == "AFTER" and after in _CAME) or (before == "AFTER" and piece.terminal in _CAME)
        counted = _counts(pieces, place, _SHEETS if "COVERED" in names else _COUNTLESS)
        then = piece.terminal == "AFTER" or (
            piece.value in _THEN and place + 1 < len(pieces) and pieces[place + 1].fresh
        )
        if then and _tells_nothing(pieces[place + 1 :]):
            break  # "after I switched the pump on", "when I lift a forkful"
        adjective = piece.terminal == "SYMPTOM" and after in ("SMELL", "SMELL_KIND")
        lately = piece.terminal == "WAS" and after == "FEEL" and not names & (MOMENTS | {"NOW", "FELL"})
        smelled = piece.terminal == "SIGN" and (before == "SMELL" or (before == "OF" and two_before == "SMELL"))
        joint = piece.terminal == "AND" and before == "SIGN" and "SMELL" in (two_before, terminal_at(pieces, place - 3))
        on_it = piece.terminal == "ON" and before in _READ_ON and after in ("TEMP", "NUM")
        once = piece.terminal == "VAGUE" and before in ("CALIBRATED", "CHECKED")
        shared = piece.terminal == "WAS" and not place and after in ("FRACTION", "PERCENT", "PARTS")
        last = piece.value == "in" and after in ("", "COMMA") and "MATERIAL" in names
        further = piece.value in _FURTHER and after in _AMOUNTS and before in _BEFORE_FURTHER
        aged = piece.terminal == "OLD" and before in ("PROBE", "FAN", "PUMP") and two_before != "DURATION"
        idle = aged or further or on_it or once or shared or last
        if smelled and "SMELL_KIND" not in names:
            kept.append(replace(piece, terminal="SMELL_KIND", value=_SMELL_OF.get(str(piece.value), "foul")))
        if not (
            came_after or idle or smelled or joint or counted or lately or adjective or _is_same_again(pieces, place)
        ):
            kept.append(piece)
    return tuple(kept)


def with_contents(pieces: Pieces) -> Pieces:
    """The pieces with what the heap has in it as what it is made of, and with bales among its parts as straw."""
    names = {piece.terminal for piece in pieces}
    if "MATERIAL" in names and not names & _BALES_STAY:
        pieces = tuple(part for place in range(len(pieces)) for part in _unbaled(pieces, place))
    contained = bool(pieces[1:-1]) and pieces[0].terminal == "HAVE" and pieces[-1].terminal == "IN_HEAP"
    if contained and {piece.terminal for piece in pieces[1:-1]} <= _CONTENTS:
        return (replace(pieces[0], terminal="MADE_OF"), *pieces[1:-1])
    return pieces


def _unbaled(pieces: Pieces, place: int) -> Pieces:
    """Straw bales as straw, counted as bales where their number is told."""
    piece = pieces[place]
    if piece.value != "straw_bales":
        return (piece,)
    straw = replace(piece, terminal="MATERIAL", value="straw")
    counted = terminal_at(pieces, place - 1) == "NUM"
    return (replace(piece, terminal="CONTAINER", value="bales", end=piece.start), straw) if counted else (straw,)


def _loose(pieces: Pieces, names: set[str]) -> Iterator[TextPiece]:
    """The pieces with what may be of anything as no more than a word: a flow without its unit, something open.

    "Spare" behind a thing says that it is on hand.
    """
    for place, piece in enumerate(pieces):
        if piece.value == "spare" and place and terminal_at(pieces, place - 1) in ("MATERIAL", "SUPPLY"):
            yield replace(piece, terminal="ON_HAND")
            continue
        behind = pieces[place + 1] if place + 1 < len(pieces) else None
        warm = terminal_at(pieces, place + 1) in ("TEMP", "NUM")
        if piece.terminal == "FEEL" and warm and piece.value in _RUNS_OUT and piece.end - piece.start >= _WATER_OUT:
            yield replace(piece, terminal="OUTLET", value="water out")  # "the water comes out at 34 C"
            continue
        if piece.terminal == "FELL_TO" and "stuck" in str(piece.value) and terminal_at(pieces, place - 1) == "PROBE":
            yield replace(piece, terminal="TURN")  # the probe sticks, not the heap
            continue
        if piece.terminal == "NOW" and piece.value == "today" and names & _DONE_TODAY:
            yield replace(piece, terminal="TODAY")
            continue
        if piece.terminal == "THROUGH" and ("AIR_PATH" in names or not names & {"FAN", "AIR_TO", "AIR_FROM"}):
            yield replace(piece, terminal="OTHER", value="through")  # "white threads through the heap"
            continue
        apart = piece.terminal == "OFF" and behind is not None and behind.terminal == "OTHER"
        if apart and behind is not None and behind.start <= piece.end + 1:
            yield replace(piece, terminal="OTHER")  # "off grid"
            continue
        over = piece.value == "over" and terminal_at(pieces, place + 1) in ("", "COMMA", "AND")
        if over and terminal_at(pieces, place - 1) in ("SUPPLY", "COVER_KIND"):
            yield replace(piece, terminal="OVER_IT")  # "with a sheet of film over"
        elif names & _TO_COME and is_snow(piece):
            yield replace(piece, terminal="OTHER")
        elif piece.terminal == "FLOW":
            if not names & {"AIRFLOW", "WATERFLOW"}:
                yield replace(piece, terminal="OTHER", value="flow")
        elif piece.terminal == "NO_COVER" and piece.value == "open" and len(pieces) > 1:
            yield replace(piece, terminal="OTHER")  # a valve or a lid, as like as the heap
        else:
            yield piece


def _tells_nothing(rest: Pieces) -> bool:
    """Whether what something came after is no number and no work that counts."""
    return bool(rest) and not any(piece.terminal in NUMBERS or piece.terminal in _TELLING for piece in rest)


def _counts(pieces: Pieces, place: int, things: frozenset[str]) -> bool:
    """Whether a word says how many there are of what needs no number: "a couple of" rats, or carpets on the heap."""
    vague = next((each for each in pieces[max(0, place - 1) : place + 1] if each.value in _HOW_MANY), None)
    of = place + (terminal_at(pieces, place + 1) == "OF") if pieces[place] is vague else place
    told = pieces[place] is vague or pieces[place].terminal == "OF"
    return vague is not None and told and terminal_at(pieces, of + 1) in things


def _is_same_again(pieces: Pieces, place: int) -> bool:
    """Whether a temperature in brackets is the one before it in the other scale: "131 F (55 C)"."""
    two_before = pieces[place - 2] if place > 1 else None
    if two_before is None or not two_before.terminal == pieces[place].terminal == "TEMP":
        return False
    units = {two_before.value.unit, pieces[place].value.unit}
    if pieces[place - 1].terminal != "COMMA" or units != {"degC", "degF"}:
        return False
    celsius = [
        piece.value.value if piece.value.unit == "degC" else (piece.value.value - 32) / 1.8
        for piece in (two_before, pieces[place])
    ]
    return bool(abs(celsius[0] - celsius[1]) <= SAME_TEMPERATURE)


def terminal_at(pieces: Pieces, place: int) -> str:
    """The terminal at a place, or nothing."""
    return pieces[place].terminal if 0 <= place < len(pieces) else ""


def _is_attribute(piece: TextPiece, after: TextPiece) -> bool:
    if piece.terminal == "HOUSE":
        return after.terminal == "SUPPLY"
    word = str(piece.value)
    return piece.terminal == "OLD" or (
        piece.terminal == "OTHER" and is_aside(word) and not names_matter(word, str(after.value))
    )


def is_aside(word: str, *, numbered: bool = True, beside: bool = True) -> bool:
    """Whether a strange word can bear on nothing; `beside` if a number stands right beside it."""
    words = lexicon()
    if (not numbered and word in _OF_PLACE) or (not beside and word in words.binding_beside):
        return True
    named = word.removesuffix("'s")
    return (
        len(named) > SHORTEST
        and named.isalpha()
        and word == named
        and word not in words.binding
        and word not in words.things
    )
