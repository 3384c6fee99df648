"""Questions within a sentence: what stands before them is a report, they are none."""

from __future__ import annotations

from collections.abc import Sequence

from service.talk.chat.tokens import Piece, Sentence


def without_question(sentence: Sentence) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """The pieces that report, and those from where a question begins; a sentence may ask without a mark."""
    pieces = sentence.pieces
    begins = next((place for place in range(len(pieces)) if _begins_question(pieces, place)), None)
    if begins is not None:
        return pieces[:begins], pieces[begins:]
    return ((), pieces) if sentence.asked else (pieces, ())


def _begins_question(pieces: Sequence[Piece], place: int) -> bool:
    """Whether a question begins here, at the head of the sentence or behind a comma or an "and"."""
    return pieces[place].terminal == "ASKS" and (place == 0 or pieces[place - 1].terminal in ("COMMA", "AND", "BUT"))
