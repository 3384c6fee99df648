"""What a clause is of, seen from the clauses beside it: what bears on what, and which go on with a list."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Mapping, Sequence, Set

from rules.catalogue import said
from service.talk.chat.clause import Clause
from service.talk.chat.islands import WORN, is_snow, rests
from service.talk.chat.lexicon import lexicon
from service.talk.chat.reading import Gap, HeardValue, Told
from service.talk.chat.tokens import NAMES, NUMBERS, TextPiece

_HEAPS = frozenset({"HEAP", "CORE", "MATERIAL", "BUILT", "IN_HEAP", "VOLUME", "YARDS", "MASS"})
_LASTING = ("/draw/", "/signs/", "/people", "/done/", "/weather/", "/not_seen/", "/pile/cover", "/equipment", "/season")
"""What may last so long as a span of time beside it tells, which is then no age."""
LISTS = frozenset({"/pile/ingredients", "/pile/size", "/on_hand/-"})


def bearing(unread: Sequence[Clause], parts: Sequence[Clause]) -> tuple[bool, frozenset[str]]:
    """Whether a part that was not read could change what every number beside it is of, and else of which kinds."""
    named = Counter(name for part in parts for name in part.names)
    bearing = [part for part in unread if (part.dangling or not part.then) and not _stands_alone(part, named)]
    on_all = any((part.dangling and not part.visits) or part.turns for part in bearing)
    return on_all, frozenset(kind for part in bearing for kind in part.stray)


def _stands_alone(unread: Clause, named: Mapping[str, int]) -> bool:
    """Whether an unread part says itself what its numbers are of, and no other part is of the same."""
    if unread.dangling or unread.pieces[-1].terminal in NAMES or any(p.terminal == "DOUBT" for p in unread.pieces):
        return False
    return not unread.stray and all(named[name] == 1 for name in unread.names)


def is_bare_stock(clause: Clause, before: Clause) -> bool:
    """Whether a clause names things behind what is on hand, and does not say where they are."""
    listed = clause.told is not None and pointers_of(clause) <= {"/pile/ingredients"}
    said = any(piece.terminal in ("MADE_OF", "HEAP", "PERCENT", "RATIO", "BUILT") for piece in clause.pieces)
    stock = pointers_of(before) == {"/on_hand/-"} or any(piece.terminal == "ON_HAND" for piece in before.pieces)
    stock |= before.told is None and any(piece.terminal in ("ADDED", "PUT") for piece in before.pieces)
    return listed and not said and stock


def is_of_the_house(clause: Clause, before: Sequence[Clause]) -> bool:
    """Whether measures are told right after the house was spoken of, and not yet how big it is; no heap is named."""
    if pointers_of(clause) != {"/pile/size"} or _HEAPS & {piece.terminal for piece in clause.pieces}:
        return False
    for earlier in before[:-3:-1]:
        names = {piece.terminal for piece in earlier.pieces}
        if names & _HEAPS or "/greenhouse/volume" in pointers_of(earlier):
            return False
        if "HOUSE" in names:
            return True
    return False


def is_open(clause: Clause) -> bool:
    """Whether a clause says something that may be the end of what was said before it: "95 F out"."""
    return any(isinstance(told, HeardValue) and told.unless_told and "?" in told.pointer for told in clause.told or ())


def snows(pieces: Sequence[TextPiece]) -> bool:
    """Whether a sign is none: snow that is not said to lie on the heap, a pump that rests by night."""
    if any(rests(sign, behind) for sign, behind in itertools.pairwise(pieces)):
        return True
    on_it = any(piece.terminal in ("HEAP", "IN_HEAP", "OVER_IT", "SURFACE", "ON") for piece in pieces)
    return len(pieces) > 1 and not on_it and any(map(is_snow, pieces))


def names_beside(told: Sequence[Told]) -> bool:
    """Whether things are named beside something else that is told: that may be told of them."""
    bare = [each for each in told if isinstance(each, HeardValue) and each.unless_told and each.pointer in LISTS]
    spans = [each for each in told if isinstance(each, HeardValue) and each.unless_told and each.pointer == "/pile/age"]
    others = [each for each in told if isinstance(each, HeardValue) and each.pointer.startswith(_LASTING)]
    undated = any(isinstance(each, Gap) and each.why == said("chat.when-done") for each in told)
    if undated and any(isinstance(each, HeardValue) and each.pointer == "/pile/ingredients" for each in told):
        return True  # "added 60 L of water and 5 kg of urea"
    return (bool(bare) and len(told) > len(bare)) or (bool(spans) and bool(others))


def sizes_the_house(pieces: Sequence[TextPiece], told: Sequence[Told]) -> bool:
    """Whether measures told beside a house, or how wet it is inside, would be the heap's though none is named."""
    pointers = {each.pointer for each in told if isinstance(each, HeardValue)}
    names = {piece.terminal for piece in pieces}
    house = names & {"HOUSE", "GLAZING"} if "/pile/size" in pointers else set()
    another = house or (names & _may_be_wet(names) if "/moisture_feel" in pointers else set())
    return bool(another) and not names & _HEAPS


def _may_be_wet(names: Set[str]) -> Set[str]:
    """What else than the heap may be wet where these are named: "outside it is damp", but not "damp inside"."""
    return {"HOUSE", "GLAZING", *(() if "INSIDE" in names else ("OUTSIDE",))}


_FELT = frozenset({"FEEL", "MOISTURE", "SIGN", "NOW", "INSIDE", "OTHER"})


def goes_on_with_another(clause: Clause, before: Clause, text: str) -> bool:
    """Whether a feel, or a sign that other things have, may go on with one: "house is 4 C and soaking"."""
    names = {piece.terminal for piece in before.pieces}
    told = pointers_of(clause)
    if not told or not told <= {"/moisture_feel", "/signs/-"}:
        return False
    if not all(piece.terminal in _FELT for piece in clause.pieces) or names & _HEAPS:
        return False
    between = text[max(piece.end for piece in before.pieces) : clause.pieces[0].start]
    if any(piece.terminal == "SIGN" and piece.value not in WORN for piece in clause.pieces):
        return False
    another = any(piece.terminal == "OTHER" and piece.value in lexicon().things for piece in before.pieces)
    wet = _may_be_wet({piece.terminal for piece in clause.pieces})
    of_house = told == {"/moisture_feel"} and bool(names & wet)
    house = any(piece.terminal == "HOUSE" for piece in before.pieces)
    listed = of_house and house and between.strip() == ","  # "house is 4 C, soaking"
    return (another or of_house) and (listed or not set(between) & set(",.;!?\n"))


_AGES = frozenset({"/pile/age", "/pile/built_on"})


def is_bare_span(clause: Clause) -> bool:
    """Whether a clause does no more than tell since how long something is so."""
    spans = [each for each in clause.told or () if isinstance(each, HeardValue) and each.pointer in _AGES]
    words = [piece for piece in clause.pieces if piece.terminal not in ("DURATION", "DAY", "ON")]
    return bool(spans) and bool(words) and all(str(piece.value).startswith("since") for piece in words)


def is_more_of_a_dose(clause: Clause, before: Clause, text: str) -> bool:
    """Whether a thing is told right behind what was put on the heap: "added 60 L of water and 5 kg of urea"."""
    said_so = any(piece.terminal in _OF_THE_MIX for piece in clause.pieces)
    put = any(piece.terminal in ("ADDED", "PUT") for piece in before.pieces)
    between = text[max(piece.end for piece in before.pieces) : clause.pieces[0].start]
    return pointers_of(clause) == {"/pile/ingredients"} and put and not said_so and not set(between) & set(".;!?\n")


_OF_THE_MIX = frozenset({"MADE_OF", "HEAP", "PERCENT", "RATIO", "BUILT", "FRACTION"})


def is_span_of_another(clause: Clause, before: Clause, text: str) -> bool:
    """Whether no more than a span of time is told right behind what may last so long: "fan off for a week now"."""
    spans = pointers_of(clause) & _AGES and {piece.terminal for piece in clause.pieces} <= _SPANNING
    lasts = any(pointer.startswith(_LASTING) for pointer in pointers_of(before))
    between = text[max(piece.end for piece in before.pieces) : clause.pieces[0].start]
    return bool(spans) and lasts and not set(between) & set(",.;!?\n")


_SPANNING = frozenset({"DURATION", "NOW", "RUNS", "ON", "SINCE"})


def is_bare_list(clause: Clause) -> bool:
    """Whether a clause does nothing but name things."""
    return any(
        isinstance(told, HeardValue) and told.unless_told and told.pointer in LISTS for told in clause.told or ()
    )


def is_list(clause: Clause) -> bool:
    """Whether a clause tells what the heap is made of or what is on hand: the next may carry the list on."""
    pointers = pointers_of(clause)
    return bool(pointers) and pointers <= LISTS


def pointers_of(clause: Clause) -> set[str]:
    """Where what a clause tells goes."""
    return {reading.pointer for reading in clause.told or () if isinstance(reading, HeardValue)}


def why_unread(pieces: Sequence[TextPiece]) -> str:
    """The first thing that stood in the way, in words."""
    for piece in pieces:
        if piece.terminal == "REFUSED":
            return said(f"refused.{piece.value}")
        if piece.terminal == "VAGUE":
            return said(f"chat.vague.{piece.value}")
        if piece.terminal == "UNSURE":
            return said("chat.range" if piece.ranges else "chat.number-unsure")
    numeric = any(piece.terminal in NUMBERS for piece in pieces)
    if [piece.terminal for piece in pieces if piece.terminal != "NOW"] == ["NUM"]:
        return said("chat.bare-number")
    return said("chat.which-number" if numeric else "chat.unclear")
