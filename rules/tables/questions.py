"""What could be asked next, with the answers people give and how often (our own, common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from rules.tables.fields import FIELDS
from rules.tables.fields.record import FieldQuestion, FieldRecord


@dataclass(frozen=True, slots=True)
class Answer:
    """One likely answer: its share among all answers, and what it sets, by JSON pointer, in SI and contract words."""

    share: float
    sets: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Question:
    """One check a person can make."""

    field: str
    text: str
    why: str
    answers: tuple[Answer, ...]
    id: str = ""

    @property
    def key(self) -> str:
        """What its texts are called in the catalogue: its id, or its field where it has none."""
        return self.id or self.field[1:].replace("/", ".")


OF_PARTS: Final = {
    2: Question(
        "/history",
        "What did the same probe read two to five days ago?",
        "A heap that climbs, holds or falls wants different care.",
        (
            Answer(0.35, {"/history": "falling"}),
            Answer(0.45, {"/history": "steady"}),
            Answer(0.20, {"/history": "rising"}),
        ),
    ),
    4: Question(
        "/pile/ingredients",
        "What is in the heap, and about how much of each?",
        "Wood alone is short of nitrogen, and how much heat is left depends on the mix.",
        (
            Answer(0.35, {"/pile/ingredients": {"wood_chips": 1.0}}),
            Answer(0.40, {"/pile/ingredients": {"wood_chips": 0.75, "horse_manure": 0.25}}),
            Answer(0.25, {"/pile/ingredients": {"wood_chips": 0.5, "horse_manure": 0.3, "grass_clippings": 0.2}}),
        ),
    ),
    5: Question(
        "/pile/size",
        "How big is the heap today: width and height, or volume?",
        "A small heap cannot be drawn on in frost; a big one can.",
        (
            Answer(0.3, {"/pile/size": 3.0}),
            Answer(0.4, {"/pile/size": 9.0}),
            Answer(0.3, {"/pile/size": 25.0}),
        ),
    ),
    6: Question(
        "/draw",
        "How many minutes in each hour does the pump or fan run?",
        "Taking more than the heap makes is the commonest reason for a falling core.",
        (
            Answer(0.3, {"/draw": 0.0}),
            Answer(0.4, {"/draw": 15.0}),
            Answer(0.3, {"/draw": 60.0}),
        ),
    ),
}
"""Questions about what is no single field, by their places."""


def _of_field(record: FieldRecord, asked: FieldQuestion) -> Question:
    answers = tuple(Answer(share, {record.at: value, **asked.also}) for share, value in asked.answers)
    return Question(record.at, asked.text, asked.why, answers)


_BY_PLACE: Final = OF_PARTS | {
    record.question.place: _of_field(record, record.question) for record in FIELDS.values() if record.question
}
QUESTIONS: Final = tuple(_BY_PLACE[place] for place in sorted(_BY_PLACE))
"""Most useful first, as common practice has it; a run of the rules on each answer puts them in order for one heap.

What asks for one field stands in its record (`rules/tables/fields`).
"""

NAMED_SIGNS: Final = ("steam", "smoke", "leachate", "cracks", "dry_pockets", "wet_skin_dry_core", "snow_covered")
"""The signs that the question about signs names: "no" says no to these, and to nothing else."""

IN_DANGER: Final = (
    Question(
        "/signs",
        "From where you stand, well away from the heap: do you see smoke or a glow, or smell burning?",
        "At any smoke or burnt smell nobody goes near, and the fire service is called.",
        (Answer(0.15, {"/signs": ["smoke"]}), Answer(0.85, {"/not_seen": ["smoke"]})),
        id="danger.smoke",
    ),
    Question(
        "/help_called",
        "Is the fire service called?",
        "Nothing else counts until help is on its way.",
        (Answer(0.5, {"/help_called": True}), Answer(0.5, {"/help_called": False})),
        id="danger.help",
    ),
)
"""All that is asked at a heap that may burn or is on its way to it: nothing for which anybody has to go near."""
