"""What could be asked next, with the answers people give and how often (our own, common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final


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


def _feel(share: float, feel: str) -> Answer:
    return Answer(share, {"/moisture_feel": feel, "/moisture_feel_at": "arm_deep"})


def _smell(share: float, smell: str) -> Answer:
    return Answer(share, {"/smell": smell})


_HOURS: Final = ((0.3, 8.0), (0.2, 12.0), (0.5, 24.0))
_MINUTES: Final = ((0.5, 15.0), (0.2, 30.0), (0.3, 60.0))
"""Shares of the answers, and what they set: hours in the day, minutes in the hour."""


def _running(field: str, text: str, answers: tuple[tuple[float, float], ...]) -> Question:
    why = "How much heat is drawn hangs on it, and so whether the heap can keep it up."
    return Question(field, text, why, tuple(Answer(share, {field: value}) for share, value in answers))


QUESTIONS: Final = (
    Question(
        "/moisture_feel",
        "Dig in to arm's depth and squeeze a handful: dusty, dry, damp like a wrung-out rag, dripping, or streaming?",
        "Water is the first thing to get right, and dry and wet heaps want opposite care.",
        (_feel(0.12, "dusty"), _feel(0.26, "dry"), _feel(0.38, "damp"), _feel(0.16, "wet"), _feel(0.08, "soggy")),
    ),
    Question(
        "/history",
        "What did the same probe read two to five days ago?",
        "A heap that climbs, holds or falls wants different care.",
        (
            Answer(0.35, {"/history": "falling"}),
            Answer(0.45, {"/history": "steady"}),
            Answer(0.20, {"/history": "rising"}),
        ),
    ),
    Question(
        "/smell",
        "Smell a handful from inside: earthy, nothing, ammonia, rotten egg, sour, musty or burnt?",
        "Ammonia tells of too much nitrogen; sour or rotten egg tells of too little air.",
        (
            _smell(0.40, "earthy"),
            _smell(0.28, "none"),
            _smell(0.08, "ammonia"),
            _smell(0.06, "rotten_egg"),
            _smell(0.10, "sour"),
            _smell(0.07, "musty"),
            _smell(0.01, "burnt"),
        ),
    ),
    Question(
        "/pile/ingredients",
        "What is in the heap, and about how much of each?",
        "Wood alone is short of nitrogen, and how much heat is left depends on the mix.",
        (
            Answer(0.35, {"/pile/ingredients": {"wood_chips": 1.0}}),
            Answer(0.40, {"/pile/ingredients": {"wood_chips": 0.75, "horse_manure": 0.25}}),
            Answer(0.25, {"/pile/ingredients": {"wood_chips": 0.5, "horse_manure": 0.3, "grass_clippings": 0.2}}),
        ),
    ),
    Question(
        "/pile/size",
        "How big is the heap today: width and height, or volume?",
        "A small heap cannot be drawn on in frost; a big one can.",
        (
            Answer(0.3, {"/pile/size": 3.0}),
            Answer(0.4, {"/pile/size": 9.0}),
            Answer(0.3, {"/pile/size": 25.0}),
        ),
    ),
    Question(
        "/draw",
        "How many minutes in each hour does the pump or fan run?",
        "Taking more than the heap makes is the commonest reason for a falling core.",
        (
            Answer(0.3, {"/draw": 0.0}),
            Answer(0.4, {"/draw": 15.0}),
            Answer(0.3, {"/draw": 60.0}),
        ),
    ),
    Question(
        "/pile/cover",
        "What lies over the heap: nothing, clear film, a tarp, a cover that breathes, or straw?",
        "A bare heap loses heat to wind; a tight cover can shut out air.",
        (
            Answer(0.40, {"/pile/cover": "none"}),
            Answer(0.30, {"/pile/cover": "clear_film"}),
            Answer(0.15, {"/pile/cover": "tarp"}),
            Answer(0.15, {"/pile/cover": "straw"}),
        ),
    ),
    Question(
        "/temperatures/outdoor",
        "How cold is the air outside?",
        "Losses follow the cold, and frost changes how work is done.",
        (
            Answer(0.3, {"/temperatures/outdoor": -8.0}),
            Answer(0.4, {"/temperatures/outdoor": 1.0}),
            Answer(0.3, {"/temperatures/outdoor": 8.0}),
        ),
    ),
    Question(
        "/signs",
        "Do you see steam, smoke, leaking brown water, cracks, dry pockets, a wet skin over a dry core, or snow on it?",
        "What can be seen often settles what a thermometer cannot.",
        (
            Answer(0.60, {"/signs": []}),
            Answer(0.10, {"/signs": ["wet_skin_dry_core"]}),
            Answer(0.10, {"/signs": ["dry_pockets"]}),
            Answer(0.08, {"/signs": ["leachate"]}),
            Answer(0.08, {"/signs": ["cracks"]}),
            Answer(0.04, {"/signs": ["snow_covered"]}),
        ),
    ),
    Question(
        "/probe/length",
        "How long is the probe?",
        "A probe that stops short of the middle reads the shell, not the core.",
        (Answer(0.4, {"/probe/length": 0.3}), Answer(0.6, {"/probe/length": 1.2})),
    ),
    Question(
        "/weather/low",
        "How cold will tonight be?",
        "The house's need tonight decides what the stove must do.",
        (
            Answer(0.3, {"/weather/low": -12.0}),
            Answer(0.4, {"/weather/low": -3.0}),
            Answer(0.3, {"/weather/low": 5.0}),
        ),
    ),
    Question(
        "/draw/water/outlet",
        "How warm does the water come out once the pump has run for some minutes?",
        "It tells how much heat the loop takes, and so whether the heap can keep it up.",
        (
            Answer(0.25, {"/draw/water/outlet": 14.0}),
            Answer(0.30, {"/draw/water/outlet": 21.0}),
            Answer(0.30, {"/draw/water/outlet": 30.0}),
            Answer(0.15, {"/draw/water/outlet": 40.0}),
        ),
    ),
    Question(
        "/temperatures/outer",
        "What does the probe read a hand's length under the skin?",
        "A warm shell loses more heat than a cold one, and says how far the warmth reaches.",
        (
            Answer(0.3, {"/temperatures/outer": 12.0}),
            Answer(0.4, {"/temperatures/outer": 25.0}),
            Answer(0.3, {"/temperatures/outer": 40.0}),
        ),
    ),
    _running(
        "/draw/water/hours_per_day", "For how many hours of the day may the pump run: all day, or a part of it?", _HOURS
    ),
    _running("/draw/water/minutes_per_hour", "In those hours, how many minutes of each does the pump run?", _MINUTES),
    _running(
        "/draw/air/hours_per_day", "For how many hours of the day may the fan run: all day, or a part of it?", _HOURS
    ),
    _running("/draw/air/minutes_per_hour", "In those hours, how many minutes of each does the fan run?", _MINUTES),
)
"""Most useful first, as common practice has it; a run of the rules on each answer puts them in order for one heap."""

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
