"""What the form asks first: what one reads, squeezes, smells and sees at the heap. Data only."""

from __future__ import annotations

from typing import Final

from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS
from service.page.fields import NONE_OF_THESE, Choice, Field, Section, number

NONE_SEEN: Final = Choice(NONE_OF_THESE, "I looked and saw none of these")

CORE: Final = number("temperatures.core", "What does the probe read?", "heat")
AGE: Final = number("pile.age", "How old is the heap?", "age")
BUILT_ON: Final = Field("pile.built_on", "Or the day it was built", "date")
UNITS: Final = Field(
    "units",
    "Unit of the probe, and of the answer",
    "one",
    choices=(Choice("metric", "°C"), Choice("us", "°F")),
)
"""Stands beside the first number: °C asks for an answer in metric units, °F for one in US units."""
FEEL: Final = Field(
    "moisture_feel",
    "What does the handful do?",
    "one",
    choices=(
        Choice("dusty", "Dusty: it puffs and falls apart", "dusty"),
        Choice("dry", "Dry: it crumbles as you open your hand", "dry"),
        Choice("damp", "Damp: it keeps its shape, like a wrung-out rag", "damp"),
        Choice("wet", "Wet: drops fall", "wet"),
        Choice("soggy", "Soggy: water streams out", "soggy"),
    ),
)
FEEL_AT: Final = Field(
    "moisture_feel_at",
    "Where did the handful come from?",
    "pick",
    choices=(Choice("arm_deep", "Arm's depth"), Choice("core", "The middle"), Choice("surface", "The surface")),
)
_DRAWN_SMELLS: Final = frozenset({"earthy", "none", "ammonia", "rotten_egg", "sour", "musty", "burnt"})
SMELL: Final = Field(
    "smell",
    "What does a handful from inside smell of?",
    "one",
    choices=tuple(Choice(word.id, word.label, word.id if word.id in _DRAWN_SMELLS else "") for word in SMELLS.values()),
)
SIGN: Final = Field(
    "signs",
    "What do you see?",
    "many",
    choices=(*(Choice(word.id, word.label) for word in SIGNS.values()), NONE_SEEN),
)
PEOPLE: Final = Field(
    "people",
    "How does everybody feel, by the heap and in the house?",
    "many",
    "Headache or dizzy: out into the open air first, the form later.",
    choices=(*(Choice(word.id, word.label) for word in SYMPTOMS.values()), Choice(NONE_OF_THESE, "All well")),
)

FIRST_SECTIONS: Final = (
    Section(
        "middle",
        "The middle",
        "",
        (CORE, UNITS, AGE, BUILT_ON),
        depth="core",
        folded=False,
    ),
    Section(
        "handful",
        "A handful",
        "Dig in to arm's depth and squeeze a handful hard.",
        (FEEL, FEEL_AT),
        depth="arm",
    ),
    Section("nose", "Your nose", "", (SMELL,), depth="arm"),
    Section("eyes", "Your eyes", "", (SIGN, PEOPLE), depth="skin"),
)

EMERGENCY: Final = Section(
    "emergency",
    "In an emergency",
    "",
    (Field("emergency_number", "Your own emergency number", "phone", "Told before 112 and 911."),),
    lasting=True,
)
