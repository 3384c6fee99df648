"""The parts of a sentence: pieces that stand together between joints, and what of them is still to be read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from service.talk.chat.lexicon import lexicon
from service.talk.chat.reading import HeardValue, Setting, Told
from service.talk.chat.tokens import NUMBERS, Pieces, TextPiece

JOINTS: Final = frozenset({"COMMA", "AND", "BUT", "STOP", "WITH", "SOME"})
_BLOCKS: Final = frozenset({"WISH", "ASKS_HERE", "ELSEWHERE"})
"""Words of wishes, questions, and of what is elsewhere: nothing is read beside them."""
_HEADS: Final = frozenset({"when", "where", "whenever", "which", "what"})
"""Of the words that ask, those that begin a clause that reports, too."""
DENIALS: Final = frozenset({"not", "isn't", "isnt", "wasn't", "doesn't", "does not", "don't", "no longer"})
_BINDING: Final = frozenset({"ABOVE", "BEFORE", "AFTER", "BY", "REACHED", "UNTIL", "NUM", "TO"})
"""Before a number or a day these make another of it."""
_REACH: Final = 5
"""Pieces over which a denial reaches (our own)."""


@dataclass(frozen=True, slots=True)
class OrderedFact:
    """One fact: its pieces in an order that the grammar has; `evidence` are those that it is told by.

    `lone` where it says not what it is of; `told` what it says where the grammar has no words for it.
    """

    pieces: Pieces
    evidence: Pieces
    lone: bool = False
    told: tuple[Told, ...] | None = None


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around the parts: all pieces of the sentence, what it has told already, and what is known before."""

    setting: Setting
    pieces: Pieces
    here: frozenset[str]
    before: frozenset[str]
    done: tuple[HeardValue, ...] = ()

    def of_house(self, place: int) -> bool:
        """Whether of house and heap the house was named last before a place."""
        told = [each for each in self.pieces if each.terminal in ("HOUSE", "HEAP", "CORE") and each.start < place]
        return bool(told) and told[-1].terminal == "HOUSE"

    @property
    def heats_before(self) -> set[str]:
        """Of which places a temperature was told in the sentences before."""
        heats = ("/temperatures/", "/greenhouse/temperature", "/weather/", "/draw/")
        return {pointer for pointer in self.before | self.here if pointer.startswith(heats)}

    def it_is_the_heap(self, place: int) -> bool:
        """Whether "it" at a place is the heap: of all that was named before, heap or middle were named last."""
        named = ("HOUSE", "HEAP", "CORE", "FAN", "PUMP", "OUTSIDE", "OUTER", "INLET", "OUTLET", "GLAZING", "PIPE")
        told = [each for each in self.pieces if each.start < place and (each.terminal in named or is_thing(each))]
        return bool(told) and told[-1].terminal in ("HEAP", "CORE")

    def goes_on_with_another(self, part: SentencePart) -> bool:
        """Whether house or another thing is spoken of before a part with no comma between, and it names no heap."""
        start = part.pieces[0].start
        before = [each for each in self.pieces if each.start < start]
        ends = [place for place, each in enumerate(before) if each.terminal in ("COMMA", "STOP", "BUT")]
        bare = all(each.terminal in ("FEEL", "DROPPED") for each in part) and part.joint in ("COMMA", "READ")
        last = {each.terminal for each in before[(ends[-2:-1] or [-1])[0] + 1 :]}
        if bare and "HOUSE" in last and before and before[-1].terminal == "COMMA":
            ends = ends[:-1]  # "house is 4 C, soaking"
        parted = ends[-1] if ends else -1
        names = {each.terminal for each in (*before[parted + 1 :], *part)}
        another = (
            bool(names & {"HOUSE", "GLAZING"})
            or ("OUTSIDE" in names and "INSIDE" not in names)
            or any(map(is_thing, before[parted + 1 :]))
        )
        return another and not names & {"HEAP", "CORE", "IN_HEAP", "PROBE", "MATERIAL"}

    def has(self, *terminals: str) -> bool:
        """Whether one of these terminals stands in the sentence."""
        return any(piece.terminal in terminals for piece in self.pieces)


@dataclass(slots=True)
class SentencePart:
    """Pieces between two joints, idle words among them; `joint` is what stands before it. `used` have been read."""

    pieces: Pieces
    joint: str = ""
    heading: Pieces = ()
    used: set[int] = field(default_factory=set)

    def __iter__(self) -> Iterator[TextPiece]:
        return iter(self.pieces)

    def all(self, *terminals: str) -> list[TextPiece]:
        """Its pieces of these terminals, in order."""
        return [piece for piece in self.pieces if piece.terminal in terminals]

    def has(self, *terminals: str) -> bool:
        """Whether one of these terminals stands in it."""
        return any(piece.terminal in terminals for piece in self.pieces)

    def says(self, *words: str) -> bool:
        """Whether a piece of it has one of these values."""
        return any(piece.value in words for piece in self.pieces)

    def place(self, piece: TextPiece) -> int:
        """Where a piece stands in it."""
        return next(place for place, each in enumerate(self.pieces) if each is piece)

    def after(self, piece: TextPiece, step: int = 1) -> TextPiece | None:
        """The piece so many places behind one, or before it."""
        place = self.place(piece) + step
        return self.pieces[place] if 0 <= place < len(self.pieces) else None

    def next_told(self, piece: TextPiece, step: int = 1) -> TextPiece | None:
        """The next piece behind one that is not idle, or before it."""
        place = self.place(piece) + step
        while 0 <= place < len(self.pieces):
            if self.pieces[place].terminal != "DROPPED":
                return self.pieces[place]
            place += step
        return None

    @property
    def blocked(self) -> bool:
        """Whether nothing in it is a report of this heap as it is now."""
        asked = [piece for piece in self.all("ASKS") if piece.value not in _HEADS]
        return self.has(*_BLOCKS) or bool(asked) or any(map(self._is_anothers, self.pieces))

    def _is_anothers(self, piece: TextPiece) -> bool:
        """Whether somebody else's heap or house is named: "my brother's heap"."""
        behind = self.next_told(piece)
        owner = piece.terminal == "OTHER" and str(piece.value).removesuffix("'s") in _KIN
        return (
            owner
            and str(piece.value).endswith("'s")
            and behind is not None
            and behind.terminal in ("HEAP", "CORE", "HOUSE", "OUTER", "PROBE", "MATERIAL")
        )

    @property
    def of_a_thing(self) -> bool:
        """Whether another thing is named in it that could be so warm, wet or old."""
        return any(map(is_thing, self.pieces))

    @property
    def owns(self) -> bool:
        """Whether another thing is named that something is told of, not where something is: "in the school yard"."""
        return any(is_thing(piece) and not self._is_where(piece) for piece in self.pieces)

    def _is_where(self, piece: TextPiece) -> bool:
        place = self.place(piece) - 1
        while place >= 0 and self.pieces[place].terminal in ("DROPPED", "OTHER"):
            if self.pieces[place].value in ("by", "near", "behind", "beside", "next to"):
                return True
            place -= 1
        return place >= 0 and self.pieces[place].terminal in ("SPAN", "ON", "IN")

    @property
    def turned(self) -> bool:
        """Whether a word compares, doubts or turns what is said of a number."""
        return self.has("TURN", "VAGUE", "UNSURE", "REFUSED") or any(piece.terminal == "DOUBT" for piece in self.pieces)

    def bound(self, *evidence: TextPiece) -> bool:
        """Whether a small word may bind a number or a day to something else: "core hit 140 F", "over 120 F"."""
        told = [piece for piece in self.pieces if piece.terminal != "DROPPED"]
        words = lexicon()
        for place, piece in enumerate(told):
            word = str(piece.value)
            strange = piece.terminal in ("OTHER", "TURN")
            if strange and (not word[:1].isalnum() or (word in words.binding and word not in words.binding_beside)):
                return True
            beside = told[max(0, place - 1) : place + 2]
            if strange and word in words.binding_beside and any(each in evidence for each in beside):
                return True
            behind = told[place + 1] if place + 1 < len(told) else None
            before_it = piece.terminal in _BINDING or (piece.terminal == "COVERED" and word == "under")
            before_it |= piece.terminal == "SPAN" and word in ("over", "within")
            if behind is not None and behind in evidence and before_it:
                return True
        return False

    def denied(self, piece: TextPiece) -> bool:
        """Whether a word before a piece denies it."""
        place = self.place(piece)
        told = [each for each in self.pieces[:place] if each.terminal != "DROPPED"][-_REACH:]
        for each in reversed(told):
            if each.terminal == "NO" or (each.terminal == "DOUBT" and each.value in DENIALS):
                return True
            if each.terminal == "TURN" and each.value in ("neither", "nor"):
                return True
            if each.terminal in NUMBERS:
                return False
        return False


_KIN: Final = frozenset({"brother", "sister", "uncle", "cousin", "farmer", "friend", "neighbour", "neighbor"})
"""People are no things that a number could be of."""


def is_thing(piece: TextPiece) -> bool:
    """Whether a piece names another thing that has a temperature, an age or a size."""
    word = str(piece.value).removesuffix("'s")
    strange = piece.terminal == "OTHER" and not {word, word.removesuffix("s")} & _KIN
    return strange and bool({word, word.removesuffix("s")} & lexicon().things)


_ABOUT: Final = frozenset({"when", "where", "whenever"})


def parts_of(pieces: Sequence[TextPiece], taken: Sequence[tuple[int, int]]) -> list[SentencePart]:
    """The parts of a sentence; what has been read (`taken`, spans of text) parts them like a comma."""
    parts: list[SentencePart] = []
    here: list[TextPiece] = []
    joint = ""
    for piece in pieces:
        read = any(start <= piece.start < end for start, end in taken)
        asks = piece.terminal in ("ASKS", "ASKS_HERE") and piece.value not in _ABOUT
        if asks and here and not read:
            parts.append(SentencePart(tuple(here), joint))
            here, joint = [], "ASKS"
        if read or piece.terminal in JOINTS:
            if here:
                parts.append(SentencePart(tuple(here), joint))
            here, joint = [], "READ" if read else piece.terminal
        else:
            here.append(piece)
    if here:
        parts.append(SentencePart(tuple(here), joint))
    return parts


def is_whole(part: SentencePart, amount: TextPiece) -> bool:
    """Whether an amount is the whole heap's: "a heap of 9 m3 that ...", "12 yards all told"."""
    if amount.terminal not in ("VOLUME", "YARDS", "MASS", "TONS"):
        return False
    before = part.next_told(amount, -1)
    before = part.next_told(before, -1) if before is not None and before.terminal in ("OF", "WITH") else before
    behind = part.next_told(amount)
    of = behind is not None and behind.terminal in ("OF", "MATERIAL", "CONTAINER", "FEEL")
    named = before is not None and before.terminal in ("HEAP", "SIZE")
    return not of and (named or (behind is not None and behind.terminal in ("SIZE", "HEAP")))


def of_terminal(terminal: str, value: object, beside: TextPiece) -> TextPiece:
    """A piece that is not written, and goes without saying beside another."""
    return TextPiece(terminal, value, beside.start, beside.start)


def in_text(pieces: Iterable[TextPiece]) -> Pieces:
    """Pieces in the order of the text."""
    return tuple(sorted(pieces, key=lambda piece: (piece.start, piece.end)))
