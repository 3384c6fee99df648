"""Reading around words that are not known: the facts of a clause that no strange word in it can change.

What changes a meaning are the small words, of which there are few: denials, comparisons, wishes, other times, other
things. Where one of them stands nothing is read around it. Any other word is an aside, unless it stands where the
thing would be named that is built, poured or heaped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from rules.tables.materials import names_matter
from service.talk.chat.clause import Clause
from service.talk.chat.in_order import in_order
from service.talk.chat.islands import is_snow
from service.talk.chat.lexicon import lexicon
from service.talk.chat.shapes import LONGEST_FACT, facts_fitting
from service.talk.chat.tokens import NAMES, NUMBERS, TextPiece

Pieces = tuple[TextPiece, ...]
Read = Callable[[Pieces], Clause]

_TURNING: Final = frozenset({"DOUBT", "TURN", "WISH", "ELSEWHERE", "VAGUE", "REFUSED", "ASKS", "ASKS_HERE"})
_NAMED_NEXT: Final = frozenset(
    {
        *("BUILT", "WATERED", "ADDED", "TURNED", "TOPPED_UP", "PUT", "TAKE", "COVERED", "MADE_OF", "OF", "NO"),
        *("CONTAINER", "PERCENT", "PARTS", "FRACTION", "EACH", "MOSTLY", "SOME", "KEEP", "NOTHING", "TO", "FROM"),
        *("VOLUME", "YARDS", "MASS", "TONS", "RATIO", "HALF_HALF", "HAVE", "NUM"),
    }
)
"""What the thing is named behind that it is about: a strange word there is that thing."""
_HOW_MANY: Final = "how many? A number is wanted"
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
_SMELL_OF: Final = {"mushrooms": "musty", "grey_mould": "musty", "white_threads": "musty"}
"""What the smell of a sign is."""
_SHEETS: Final = frozenset({"OLD", "SUPPLY", "COVER_KIND"})
_COMPOST: Final = len("compost")
_LISTED_BEHIND: Final = frozenset({*_NAMED_NEXT - {"BUILT"}, "WITH", "AND", "COMMA", "FEEL", "MATERIAL"})
"""What stands before a thing in a list."""
_OWNERS: Final = frozenset({"MATERIAL", "SUPPLY", "COVER_KIND", "GLAZING"})
"""What a number right behind it may be of: "the manure is 6 months old"."""
_CAME: Final = frozenset({"SIGN", "RAIN", "SKY"})
"""What comes and goes, and is no more behind "after"."""
_LISTING: Final = frozenset({"MATERIAL", "MADE_OF", "HAVE", "ADDED", "WATERED"})
"""Where one of these stands a list may be told, and a strange word behind "and" or "with" belongs to it."""
SHORTEST: Final = 2
"""A strange word no longer than this may be a unit or a slip of a small word: nothing is read around it (our own)."""
_OF_PLACE: Final = frozenset(
    {"when", "whenever", "near", "beside", "behind", "beneath", "between", "within", "because", "as"}
)
"""Words that bind numbers alone: "dry when I dig"."""
LONGEST_ADJECTIVE: Final = 10
"""Letters of the longest word that is a feel by itself (our own)."""
SAME_TEMPERATURE: Final = 1.0
"""How far two numbers may be apart that are one in two scales, each rounded [K] (our own)."""
WINDOW: Final = 1
"""How far a word reaches that binds only what stands beside it [pieces] (our own)."""
_MOMENTS: Final = frozenset({"YESTERDAY", "TODAY", "AGO", "WEEKDAY", "DAY", "LAST_NIGHT", "DAY_BEFORE", "SINCE_THEN"})
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
_UNSURE: Final = frozenset({("UNSURE", name) for name in NAMES} | {(name, "UNSURE") for name in NAMES})
_LISTS: Final = frozenset({"mix", "made_of", "shares"})
"""Facts that a strange word may be part of."""


def without_attributes(pieces: Pieces) -> Pieces:
    """The pieces without a strange word right before a material, such as "5 yards of spruce chips", "an old tarp"."""
    behind: tuple[TextPiece | None, ...] = (*pieces[1:], None) if pieces else ()
    return tuple(
        piece
        for piece, after in zip(pieces, behind, strict=True)
        if not (after and after.terminal in ("MATERIAL", "SUPPLY") and _is_attribute(piece, after))
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
    for place, piece in enumerate(pieces):
        after = pieces[place + 1].terminal if place + 1 < len(pieces) else ""
        before = pieces[place - 1].terminal if place else ""
        two_before = pieces[place - 2].terminal if place > 1 else ""
        came_after = (piece.terminal == "AFTER" and after in _CAME) or (before == "AFTER" and piece.terminal in _CAME)
        counted = "COVERED" in names and _counts_sheets(pieces, place)
        if piece.terminal == "AFTER" and _tells_nothing(pieces[place + 1 :]):
            break  # "after I switched the pump on"
        lately = piece.terminal == "WAS" and after == "FEEL" and not names & (_MOMENTS | {"NOW", "FELL"})
        smelled = piece.terminal == "SIGN" and (before == "SMELL" or (before == "OF" and two_before == "SMELL"))
        joint = piece.terminal == "AND" and before == "SIGN" and "SMELL" in (two_before, _terminal(pieces, place - 3))
        if smelled and "SMELL_KIND" not in names:
            kept.append(replace(piece, terminal="SMELL_KIND", value=_SMELL_OF.get(str(piece.value), "foul")))
        if not (came_after or smelled or joint or counted or lately or _is_same_again(pieces, place)):
            kept.append(piece)
    return tuple(kept)


def _tells_nothing(rest: Pieces) -> bool:
    """Whether what something came after is no number and no work that counts."""
    return bool(rest) and not any(piece.terminal in NUMBERS or piece.terminal in _TELLING for piece in rest)


def _counts_sheets(pieces: Pieces, place: int) -> bool:
    """Whether a word says how many sheets lie on the heap: "a couple of" carpets."""
    vague = next((each for each in pieces[max(0, place - 1) : place + 1] if each.value == _HOW_MANY), None)
    of = place + (_terminal(pieces, place + 1) == "OF") if pieces[place] is vague else place
    told = pieces[place] is vague or pieces[place].terminal == "OF"
    return vague is not None and told and _terminal(pieces, of + 1) in _SHEETS


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


def _terminal(pieces: Pieces, place: int) -> str:
    return pieces[place].terminal if 0 <= place < len(pieces) else ""


def _is_attribute(piece: TextPiece, after: TextPiece) -> bool:
    if piece.terminal == "HOUSE":
        return after.terminal == "SUPPLY"
    word = str(piece.value)
    return piece.terminal == "OLD" or (
        piece.terminal == "OTHER" and _is_aside(word) and not names_matter(word, str(after.value))
    )


def without_strangers(pieces: Pieces) -> Pieces | None:
    """The pieces without words that are not known; None where one of them may change what the others say."""
    if any(piece.terminal in _TURNING for piece in pieces):
        return None
    listing = any(piece.terminal in _LISTING for piece in pieces)
    numbered = any(piece.terminal in NUMBERS for piece in pieces)
    dated = any(piece.terminal in _MOMENTS for piece in pieces)
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
            and _is_aside(str(piece.value))
        ):
            kept.pop()
            continue
        beside = any(each.terminal in NUMBERS for each in pieces[max(0, place - WINDOW) : place + WINDOW + 1])
        if not _is_aside(str(piece.value), numbered=numbered, beside=beside) or _is_of_next(kept, piece):
            return None
        if before == "AFTER" and dated:
            kept.pop()
            continue
        if before == "OF" and _terminal(tuple(kept), len(kept) - 2) in NAMES:
            return None  # the core of something else
        if before in _BEFORE_ASIDES and not (listing and before in ("WITH", "OF", "FROM")):
            kept.pop()
        elif before in _NAMED_NEXT or (listing and before in ("AND", "COMMA", "WITH")):
            return None
    return tuple(kept)


def _is_of_next(before: list[TextPiece], piece: TextPiece) -> bool:
    """Whether a feel is said of the strange word behind it: "a dry lane"; one told in many words is of the heap."""
    feel = before[-1] if before and before[-1].terminal == "FEEL" else None
    return feel is not None and feel.end - feel.start < LONGEST_ADJECTIVE and piece.start <= feel.end + 1


def _is_aside(word: str, *, numbered: bool = True, beside: bool = True) -> bool:
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


def chunks(pieces: Pieces, read: Read, unread: Read) -> list[Clause]:
    """The facts in a clause that is not made up of facts, and what else of it tells something; empty where none is."""
    plain = without_strangers(pieces)
    found = _facts_in(plain, lists=plain == pieces) if plain else []
    listed = plain is not None and any(_is_listed(plain, span) for span in found)
    if plain is None or not found or _in_doubt(plain, found, listed=listed):
        return []
    clauses: list[Clause] = []
    place = 0
    for start, end in found:
        clauses += _left_over(plain[place:start], unread)
        clause = read(plain[start:end])
        if clause.told is None:
            return []
        clauses.append(clause)
        place = end
    return [*clauses, *_left_over(plain[place:], unread)]


def _is_listed(pieces: Pieces, span: tuple[int, int]) -> bool:
    """Whether a fact is a list of things."""
    return any(fact in _LISTS for fact in facts_fitting(tuple(piece.terminal for piece in pieces[slice(*span)])))


def _in_doubt(pieces: Pieces, found: list[tuple[int, int]], *, listed: bool) -> bool:
    """Whether a number is left of a kind that was read too, or a day may belong to what is before or behind it."""
    inside = {place for start, end in found for place in range(start, end)}
    kinds = {pieces[place].kind for place in inside if pieces[place].terminal in NUMBERS}
    for place, piece in enumerate(pieces):
        behind = _terminal(pieces, place + 1)
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
    return any(pieces[end - 1].terminal in _MOMENTS or pieces[end].terminal in _MOMENTS for end in ends)


def _left_over(rest: Pieces, unread: Read) -> Iterator[Clause]:
    numbered = any(piece.terminal in NUMBERS for piece in rest)
    idle = _IDLE if numbered else _IDLE | _IDLE_WITHOUT_NUMBERS
    if any(piece.terminal not in idle for piece in rest):
        yield unread(rest)


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
        if not numbered and end > 1 and names[end - 2] == "SINCE" and names[end - 1] in _MOMENTS:
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
