"""What the form asks first: what one reads, squeezes, smells and sees at the heap. Data only."""

from __future__ import annotations

from typing import Final

from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS
from service.page.fields import NONE_OF_THESE, Field, Section, number

CORE: Final = number("temperatures.core", "heat")
AGE: Final = number("pile.age", "age")
BUILT_ON: Final = Field("pile.built_on", "date")
UNITS: Final = Field("units", "one", values=("metric", "us"))
"""Stands beside the first number: °C asks for an answer in metric units, °F for one in US units."""
_HANDFULS: Final = ("dusty", "dry", "damp", "wet", "soggy")
FEEL: Final = Field("moisture_feel", "one", values=_HANDFULS, drawn=frozenset(_HANDFULS))
FEEL_AT: Final = Field("moisture_feel_at", "pick", values=("arm_deep", "core", "surface"))
_DRAWN_SMELLS: Final = frozenset({"earthy", "none", "ammonia", "rotten_egg", "sour", "musty", "burnt"})
SMELL: Final = Field("smell", "one", values=tuple(SMELLS), called="label.smell.{value}", drawn=_DRAWN_SMELLS)
SIGN: Final = Field("signs", "many", values=(*SIGNS, NONE_OF_THESE), called="label.sign.{value}")
PEOPLE: Final = Field("people", "many", values=(*SYMPTOMS, NONE_OF_THESE), called="label.symptom.{value}")

FIRST_SECTIONS: Final = (
    Section(
        "middle",
        (CORE, UNITS, AGE, BUILT_ON),
        depth="core",
        folded=False,
    ),
    Section(
        "handful",
        (FEEL, FEEL_AT),
        depth="arm",
    ),
    Section("nose", (SMELL,), depth="arm"),
    Section("eyes", (SIGN, PEOPLE), depth="skin"),
)

EMERGENCY: Final = Section(
    "emergency",
    (Field("emergency_number", "phone"),),
    lasting=True,
)
