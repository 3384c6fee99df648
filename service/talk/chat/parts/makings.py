"""What the heap is made of and what is on hand, by its parts: things with how much there is of each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.talk.chat.parts.part import Around, OrderedFact, SentencePart, is_whole, of_terminal
from service.talk.chat.tokens import Pieces, TextPiece, WrittenNumber

_AMOUNTS: Final = ("VOLUME", "YARDS", "MASS", "TONS", "PARTS", "PERCENT", "FRACTION", "NUM", "CONTAINER")
_SHARES: Final = frozenset({"PARTS", "PERCENT", "FRACTION"})
_WORK: Final = (
    "WATERED",
    "ADDED",
    "TURNED",
    "TOPPED_UP",
    "COVERED",
    "OVER_IT",
    "PUT",
    "NO",
    "TURN",
    "DOUBT",
    "REFUSED",
)
_SAID: Final = ("MADE_OF", "BUILT", "MOSTLY", "PERCENT", "PARTS", "FRACTION", "REST", "IN_HEAP", "RATIO", "HALF_HALF")
_BUILT: Final = frozenset({"/pile/built_on", "/pile/age"})
_THINGS: Final = ("MATERIAL", "SUPPLY")


@dataclass(frozen=True, slots=True)
class CountedThing:
    """A thing and how much there is of it."""

    thing: TextPiece
    amount: Pieces


def makings(parts: list[SentencePart], around: Around) -> Iterator[OrderedFact]:
    """The list of things of a sentence: in the heap where that is said, on hand where that is said."""
    built = any(part.has("BUILT") and not part.has("NO") for part in parts) or bool(_BUILT & around.here)
    group: list[SentencePart] = []
    for part in (*parts, None):
        if part is not None and group and part.joint in ("AND", "WITH") and _is_strange(part):
            group = []  # what else there is is not known
            continue
        if (
            part is not None
            and not part.has("NO", "TURN", "DOUBT")
            and (part.has(*_THINGS) or (group and part.has("REST", "RATIO", "HALF_HALF", "PARTS", "MADE_OF")))
        ):
            group.append(part)
            continue
        if group:
            yield from _list(group, built=built)
        group = []


def _is_strange(part: SentencePart) -> bool:
    """Whether a part does no more than name something that is not known."""
    few = len(part.pieces) < _FEW
    return few and part.has("OTHER") and all(piece.terminal in ("OTHER", "DROPPED") for piece in part)


_FEW: Final = 4


def _list(group: list[SentencePart], *, built: bool) -> Iterator[OrderedFact]:
    if any(part.has(*_WORK, "WILL", "KEEP", "WANT", "HOUSE", "FAN", "PUMP") for part in group):
        return
    if any(part.all("OTHER") and _is_of_a_stranger(part) for part in group):
        return
    have = any(part.has("HAVE", "ON_HAND") for part in group)
    amounts = any(part.has("VOLUME", "MASS", "YARDS", "TONS", "CONTAINER") for part in group)
    sized = group[0].joint == "RUN" and not have  # "2.5 m wide 1.5 m high chips and manure"
    made = (
        (built and amounts)
        or sized
        or any(
            part.has(*_SAID)
            or (part.has("HEAP") and not part.has("HAVE"))
            or (part.has("MONTH") and part.has("CONTAINER"))
            for part in group
        )
    )
    pieces = [
        piece
        for part in group
        for piece in (of_terminal("COMMA", ",", part.pieces[0]), *part.pieces)
        if not is_whole(part, piece)
    ]
    if have and not made:
        if any(part.has("LENGTH", "AREA", "UNSURE", "PERCENT") for part in group):
            return
        things = [piece for piece in pieces if piece.terminal in _THINGS]
        counted = [piece for piece in pieces if piece.terminal in _AMOUNTS]
        yield OrderedFact((of_terminal("HAVE", "have", things[0]), *_joined(things)), (*things, *counted))
    elif made and not any(part.has("SUPPLY") for part in group):
        yield from _made(pieces)


def _is_of_a_stranger(part: SentencePart) -> bool:
    """Whether something else is made of the things: "blocks made from chips"."""
    made = part.all("MADE_OF", "BUILT")
    return bool(made) and any(piece.start < made[0].start for piece in part.all("OTHER")) and not part.has("HEAP")


def _names_a_stranger(pieces: Sequence[TextPiece]) -> bool:
    """Whether a thing that is not known stands in the list: "from hopper dust and cow dung"."""
    told = [piece for piece in pieces if piece.terminal != "DROPPED"]
    for before, piece, behind in zip(told, told[1:], told[2:], strict=False):
        listed = before.terminal in ("MADE_OF", "FROM", "OF", "COMMA")
        attribute = behind.terminal in ("MATERIAL", "OTHER", "NUM", "VOLUME") and behind.start <= piece.end + 1
        if listed and piece.terminal == "OTHER" and not attribute and before.terminal != "COMMA":
            return True
    return False


def _joined(things: Sequence[TextPiece]) -> Iterator[TextPiece]:
    for place, thing in enumerate(things):
        if place:
            yield of_terminal("AND", "and", thing)
        yield thing


def _made(pieces: Sequence[TextPiece]) -> Iterator[OrderedFact]:
    """Each thing with its amount; mostly one thing and some of another; things in a ratio; or things alone."""
    if _names_a_stranger(pieces):
        return
    portions = _portions(pieces)
    if portions is None:
        return
    things = [portion.thing for portion in portions]
    amounts = [piece for portion in portions for piece in portion.amount]
    rest = [piece for piece in pieces if piece.terminal == "REST"]
    ratio = [piece for piece in pieces if piece.terminal in ("RATIO", "HALF_HALF")]
    mostly = [piece for piece in pieces if piece.terminal == "MOSTLY"]
    evidence = (*amounts, *things, *rest, *ratio)
    made = of_terminal("MADE_OF", "made of", things[0])
    if len(ratio) == 1:
        if len(things) == 2 and not amounts:
            yield OrderedFact((ratio[0], things[0], of_terminal("TO", "to", things[1]), things[1]), evidence)
    elif amounts:
        yield from _with_amounts(portions, rest, made, evidence)
    elif len(mostly) == 1 and len({thing.value for thing in things}) == 2 and len(things) == 2:
        behind = [thing for thing in things if thing.start > mostly[0].start]
        most = behind[0] if behind else things[0]
        other = things[1] if most is things[0] else things[0]
        yield OrderedFact((mostly[0], most, of_terminal("SOME", "some", other), other), evidence)
    else:
        once = list({str(thing.value): thing for thing in things}.values())
        yield OrderedFact((made, *_joined(once)), evidence)


def _with_amounts(
    portions: list[CountedThing], rest: list[TextPiece], made: TextPiece, evidence: Pieces
) -> Iterator[OrderedFact]:
    bare = [portion for portion in portions if not portion.amount]
    bare = list({str(portion.thing.value): portion for portion in bare}.values())
    if len(bare) == 1 and len(portions) - len(bare) >= 1 and not rest:
        shared = [portion for portion in portions if portion.amount]
        share = shared[0].amount[0]
        if len(shared) == 1 and share.terminal in ("PERCENT", "FRACTION"):
            of_all = share if share.terminal == "PERCENT" else _as_percent(share)
            yield OrderedFact((bare[0].thing, of_terminal("AND", "and", share), of_all, shared[0].thing), evidence)
            return
    shares = {piece.terminal for portion in portions for piece in portion.amount} & _SHARES
    if shares and bare and not (rest and len(bare) == 1):
        return
    whole: list[TextPiece] = []
    for portion in (*bare, *(each for each in portions if each.amount)) if not rest else portions:
        if whole:
            whole.append(of_terminal("AND", "and", portion.thing))
        whole += rest[:1] if rest and not portion.amount else []
        whole += portion.amount
        if portion.amount and portion.amount[-1].terminal == "NUM":
            whole.append(of_terminal("OF", "of", portion.thing))
        whole.append(portion.thing)
    yield OrderedFact(tuple(whole) if shares else (made, *whole), evidence)


def _as_percent(fraction: TextPiece) -> TextPiece:
    """A share told as a fraction, in percent."""
    return replace(fraction, terminal="PERCENT", value=WrittenNumber(float(fraction.value), "%"))


def _portions(pieces: Sequence[TextPiece]) -> list[CountedThing] | None:
    """The things with the amount before each, or behind each; None where an amount is of nothing, or doubtful."""
    if any(piece.terminal in ("UNSURE", "VAGUE", "TEMP", "MEASURES", "SUPPLY") for piece in pieces):
        return None
    told = [piece for piece in pieces if piece.terminal in (*_AMOUNTS, "MATERIAL", "COMMA")]
    told = [piece for place, piece in enumerate(told) if not _is_kind(told, place)]
    before, behind = _beside(told), _beside(told[::-1])
    whole = sum(piece.terminal in _AMOUNTS for piece in told)
    for found in (before, [CountedThing(each.thing, each.amount[::-1]) for each in behind[::-1]]):
        if found and sum(len(portion.amount) for portion in found) == whole:
            return found
    return None


def _is_kind(told: Sequence[TextPiece], place: int) -> bool:
    """Whether a tree is named right before the thing that is of it: "conifer brash"."""
    behind = told[place + 1] if place + 1 < len(told) else None
    tree = str(told[place].value) in ("wood_chips_hardwood", "wood_chips_softwood")
    return tree and behind is not None and behind.terminal == "MATERIAL" and behind.start <= told[place].end + 1


def _beside(told: Sequence[TextPiece]) -> list[CountedThing]:
    """Each thing with the amount that stands before it, no comma between."""
    found: list[CountedThing] = []
    amount: list[TextPiece] = []
    for piece in told:
        if piece.terminal == "COMMA":
            amount = []
        elif piece.terminal == "MATERIAL":
            found.append(CountedThing(piece, tuple(amount)))
            amount = []
        else:
            amount.append(piece)
    return found
