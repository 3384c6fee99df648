"""Reading around words that are not known: the facts of a clause that no strange word in it can change.

What changes a meaning are the small words, of which there are few: denials, comparisons, wishes, other times, other
things. Where one of them stands nothing is read around it. Any other word is an aside, unless it stands where the
thing would be named that is built, poured or heaped.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.talk.chat.clause import Clause, ReadClause
from service.talk.chat.essentials import MOMENTS, NAMED_NEXT, is_aside, terminal_at
from service.talk.chat.islands import is_snow
from service.talk.chat.shapes import LONGEST_FACT, facts_fitting
from service.talk.chat.tokens import NAMES, NUMBERS, Pieces, TextPiece
from service.talk.chat.word_order import in_order

_TURNING: Final = frozenset({"DOUBT", "TURN", "WISH", "ELSEWHERE", "VAGUE", "REFUSED", "ASKS", "ASKS_HERE"})
_MEASURED: Final = frozenset({"HEAP", "SIZE", "MADE_OF", "CONTAINER", "HOUSE", "BUILT"})
_OWNERS: Final = frozenset({"MATERIAL", "SUPPLY", "COVER_KIND", "GLAZING"})
"""What a number right behind it may be of: "the manure is 6 months old"."""
_LISTING: Final = frozenset({"MATERIAL", "MADE_OF", "HAVE", "ADDED", "WATERED"})
"""Where one of these stands a list may be told, and a strange word behind "and" or "with" belongs to it."""
LONGEST_ADJECTIVE: Final = 10
"""Letters of the longest word that is a feel by itself (our own)."""
WINDOW: Final = 1
"""How far a word reaches that binds only what stands beside it [pieces] (our own)."""
_BEFORE_ASIDES: Final = frozenset({"BY", "ON", "SPAN", "WITH", "OF", "FROM", "TO", "INSIDE", "IN_HEAP"})
"""Small words that a strange word makes an aside of: "in the morning", "with my new probe"."""
_IDLE: Final = frozenset(
    {
        *("ON", "OF", "SPAN", "TO", "FROM", "INSIDE", "SURFACE", "SIDE", "IN_HEAP", "OVER_IT", "RUNS", "WITH", "AND"),
        *("BUT", "COMMA", "HAVE", "HEAP", "NOW", "PROBE", "BY", "SIZE", "PER", "ANYTHING", "LONG", "OLD", "IN_SIZE"),
    }
)
"""What says nothing by itself, and changes nothing beside it."""
_BY_THEMSELVES: Final = frozenset(
    {
        "bare_age",
        "bare_list",
        "probe",
        "out_there",
        "glazing_alone",
        "lasted",
        "wind",
        "sky",
        "no_cover",
        "no_signs",
        "minutes",
        "hours_alone",
        "not_smelled",
    }
)
"""Facts that are such only where nothing else is said."""
_AGED: Final = frozenset({"OLD", "AGE", "BUILT", "HEAP"})
"""Beside one of these a span of time is the heap's age."""
_UNSURE: Final = frozenset({("UNSURE", name) for name in NAMES} | {(name, "UNSURE") for name in NAMES})
_LISTS: Final = frozenset({"mix", "made_of", "shares"})
"""Facts that a strange word may be part of."""


def without_strangers(pieces: Pieces) -> Pieces | None:
    """The pieces without words that are not known; None where one of them may change what the others say."""
    if any(piece.terminal in _TURNING for piece in pieces):
        return None
    if _measures_a_stranger(pieces):
        return None
    listing = any(piece.terminal in _LISTING for piece in pieces)
    numbered = any(piece.terminal in NUMBERS for piece in pieces)
    dated = any(piece.terminal in MOMENTS for piece in pieces)
    kept: list[TextPiece] = []
    for place, piece in enumerate(pieces):
        if piece.terminal != "OTHER":
            kept.append(piece)
            continue
        before = kept[-1].terminal if kept else ""
        after = pieces[place + 1].terminal if place + 1 < len(pieces) else ""
        if before == "NO" and (after in ("", "NO", "COMMA", "AND", "BUT") or pieces[place + 1].start > piece.end + 1):
            kept.pop()  # what is denied is not known, and bears on nothing else
            continue
        if (
            before in ("OF", "FROM")
            and len(kept) > 1
            and kept[-2].terminal == "MATERIAL"
            and is_aside(str(piece.value))
        ):
            kept.pop()
            continue
        beside = any(each.terminal in NUMBERS for each in pieces[max(0, place - WINDOW) : place + WINDOW + 1])
        if not is_aside(str(piece.value), numbered=numbered, beside=beside) or _is_of_next(kept, piece):
            return None
        if after == "MADE_OF" and not kept:
            return None  # blocks made from chips
        if before == "AFTER" and dated:
            kept.pop()
            continue
        if before == "OF" and terminal_at(tuple(kept), len(kept) - 2) in (*NAMES, "DURATION"):
            return None  # the core of something else, two weeks of drawing
        if before in _BEFORE_ASIDES and not (listing and before in ("WITH", "OF", "FROM")):
            kept.pop()
        elif before in NAMED_NEXT or (listing and before in ("AND", "COMMA", "WITH")):
            return None
    return tuple(kept)


def without_owned(pieces: Pieces) -> Pieces:
    """The pieces without a thing that somebody has and that is not known: "I have a problem, my heap is 25 C"."""
    if len(pieces) > 1 and pieces[0].terminal == "HAVE" and pieces[1].terminal == "OTHER":
        return pieces[2:]
    return pieces


def _measures_a_stranger(pieces: Pieces) -> bool:
    """Whether measures are told of something that is not known: "my cabin is 3 by 2 by 2 m"."""
    names = [piece.terminal for piece in pieces]
    measured = next((place for place, name in enumerate(names) if name in ("MEASURES", "TWO_MEASURES")), None)
    weighed = names.index("WEIGHS") if "WEIGHS" in names else 0
    if "OTHER" in names[:weighed]:
        return True
    return measured is not None and "OTHER" in names[:measured] and not _MEASURED & set(names)


def _is_of_next(before: list[TextPiece], piece: TextPiece) -> bool:
    """Whether a feel is said of the strange word behind it: "a dry lane"; one told in many words is of the heap."""
    feel = before[-1] if before and before[-1].terminal == "FEEL" else None
    return feel is not None and feel.end - feel.start < LONGEST_ADJECTIVE and piece.start <= feel.end + 1


def chunks(pieces: Pieces, read: ReadClause, unread: ReadClause) -> list[Clause]:
    """The facts in a clause that is not made up of facts, and what else of it tells something; empty where none is."""
    plain = without_strangers(pieces)
    found = _facts_in(plain, lists=plain == pieces) if plain else []
    listed = plain is not None and any(_is_listed(plain, span) for span in found)
    if plain is None or not found or _in_doubt(plain, found, listed=listed):
        return []
    clauses: list[Clause] = []
    place = 0
    for start, end in found:
        clauses += _left_over(plain[place:start], unread, _stretch(pieces, plain, place, start))
        clause = read(plain[start:end])
        if clause.told is None:
            return []
        clauses.append(clause)
        place = end
    return [*clauses, *_left_over(plain[place:], unread, _stretch(pieces, plain, place, len(plain)))]


def _stretch(pieces: Pieces, plain: Pieces, begin: int, end: int) -> Pieces:
    """The pieces with the strange words among them that `plain[begin:end]` are of."""
    after = plain[begin - 1].end if begin else 0
    before = plain[end].start if end < len(plain) else pieces[-1].end
    return tuple(piece for piece in pieces if piece.start >= after and piece.end <= before)


def _is_listed(pieces: Pieces, span: tuple[int, int]) -> bool:
    """Whether a fact is a list of things."""
    return any(fact in _LISTS for fact in facts_fitting(tuple(piece.terminal for piece in pieces[slice(*span)])))


def _in_doubt(pieces: Pieces, found: list[tuple[int, int]], *, listed: bool) -> bool:
    """Whether a number is left of a kind that was read too, or a day may belong to what is before or behind it."""
    inside = {place for start, end in found for place in range(start, end)}
    probed = {pieces[place].terminal for place in inside} & {"PROBE", "HEAP", "TEMP"}
    if {"TEMP"} < probed and any(
        piece.terminal == "LENGTH" and place not in inside for place, piece in enumerate(pieces)
    ):
        return True  # "at two feet the probe reads 48 C"
    if any(pieces[place].terminal == "SHRUNK" for place in inside) and any(
        piece.terminal in _LESSENED for piece in pieces
    ):
        return True  # "the humidity dropped by a third"
    names = {piece.terminal for piece in pieces}
    if {"SEASON", "DURATION"} <= names and not names & _AGED:
        return True  # "heating the house for two months now"
    dated = any(pieces[place].terminal == "MONTH" for place in inside)
    if dated and any(piece.terminal in _DRAWERS for piece in pieces):
        return True  # a pump that runs since the start of January
    kinds = {pieces[place].kind for place in inside if pieces[place].terminal in NUMBERS}
    for place, piece in enumerate(pieces):
        behind = terminal_at(pieces, place + 1)
        ranges = piece.terminal == "NUM" and place not in inside and behind == "TO"  # "10 to 12 weeks old"
        of_it = piece.terminal in _OWNERS and place not in inside and (place + 1 in inside) and behind in NUMBERS
        if ranges or of_it:
            return True
    for place, piece in enumerate(pieces):
        beside = tuple(each.terminal for each in pieces[max(0, place - 1) : place + 2])
        of_it = piece.terminal == "UNSURE" and (beside[:2] in _UNSURE or beside[-2:] in _UNSURE)
        left = place not in inside and not of_it and piece.terminal in NUMBERS
        if left and (listed or piece.kind in kinds):
            return True
    heads = {start for start, _ in found}
    ends = [end for _, end in found if end in heads]
    return any(pieces[end - 1].terminal in MOMENTS or pieces[end].terminal in MOMENTS for end in ends)


def _left_over(rest: Pieces, unread: ReadClause, quoted: Pieces) -> Iterator[Clause]:
    numbered = any(piece.terminal in NUMBERS for piece in rest)
    idle = _IDLE if numbered else _IDLE | _IDLE_WITHOUT_NUMBERS
    if any(piece.terminal not in idle for piece in rest):
        yield unread(quoted or rest)


def _facts_in(pieces: Pieces, *, lists: bool) -> list[tuple[int, int]]:
    """The facts, one behind the other, that leave the least unread; none where something unread may change them."""
    costs: list[float] = [0.0]
    ways: list[list[tuple[int, int]]] = [[]]
    names = [piece.terminal for piece in pieces]
    numbered = any(name in NUMBERS or name == "FEEL" for name in names)
    drawn = {name for name in names if name in NUMBERS} <= _DRAWN and bool(_DRAWERS & set(names))
    for end in range(1, len(pieces) + 1):
        costs.append(
            costs[end - 1]
            + _cost_of_leaving(names[end - 1], numbered=numbered and not (drawn and names[end - 1] in _DRAWERS))
        )
        ways.append(ways[end - 1])
        if tuple(names[end - 2 : end]) in _UNSURE and costs[end - 2] + _UNSURE_COST < costs[end]:
            costs[end], ways[end] = costs[end - 2] + _UNSURE_COST, ways[end - 2]
        if not numbered and end > 1 and names[end - 2] == "SINCE" and names[end - 1] in MOMENTS:
            costs[end], ways[end] = costs[end - 2] + 0.2, ways[end - 2]
        for start in range(max(0, end - LONGEST_FACT), end):
            cost = costs[start] + 0.1
            snow = end - start == 1 and is_snow(pieces[start]) and len(pieces) > 1
            if not snow and cost < costs[end] and _is_fact(pieces[start:end], lists=lists, drawn=drawn):
                costs[end], ways[end] = cost, [*ways[start], (start, end)]
    return ways[-1] if costs[-1] < _NEVER else []


_NEVER: Final = 1e6
_DRAWN: Final = frozenset({"MINUTES", "HOURS", "AIRFLOW", "WATERFLOW"})
_DRAWERS: Final = frozenset({"FAN", "PUMP"})
"""What is of fan or pump alone, and those."""
_IDLE_WITHOUT_NUMBERS: Final = frozenset({*NAMES, "OUT", "SINCE", "MONTH"})
"""What bears on numbers alone."""
_LESSENED: Final = frozenset({"HUMIDITY", "FAN", "PUMP"})
"""What else may become less by a share."""
_UNSURE_COST: Final = 15.0
"""What it costs to leave a number of which is said what it is of, but not how much it is."""


def _cost_of_leaving(name: str, *, numbered: bool) -> float:
    if name in _IDLE or (not numbered and name in _IDLE_WITHOUT_NUMBERS):
        return 0.2
    if name in NUMBERS:
        return 30.0
    return 10.0 if name in _CONTENT else _NEVER


_CONTENT: Final = frozenset(
    {
        *("FEEL", "SIGN", "SMELL", "SMELL_KIND", "SYMPTOM", "MATERIAL", "SUPPLY", "WIND", "SKY", "RAIN", "COVER_KIND"),
        *("HUMIDITY", "GLAZING", "COVER", "CONE", "CONTAINER", "CHECKED"),
        *("TUBE", "LOOP_KIND", "AIR_PATH", "AIR_TO", "AIR_FROM"),
    }
)
"""What tells something, and nothing about what stands beside it."""


def _is_fact(pieces: Pieces, *, lists: bool, drawn: bool) -> bool:
    names = tuple(piece.terminal for piece in pieces)
    facts = facts_fitting(names) if names != ("SMELL_KIND",) else ()
    facts = facts or facts_fitting(tuple(piece.terminal for piece in in_order(pieces)))
    if drawn and facts in (("minutes",), ("hours_alone",)):
        return True
    return bool(facts) and not any(fact in _BY_THEMSELVES or (fact in _LISTS and not lists) for fact in facts)
