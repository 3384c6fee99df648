"""What the form asks first: what one reads, squeezes, smells and sees at the heap. Data only."""

from __future__ import annotations

from typing import Final

from service.page.fields import NONE_OF_THESE, Choice, Field, Section

NONE_SEEN: Final = Choice(NONE_OF_THESE, "I looked and saw none of these")

CORE: Final = Field(
    "temperatures.core", "What does the probe read?", "temperature", "With its unit, such as 121 F or 49 C."
)
AGE: Final = Field("pile.age", "How old is the heap?", hint="Such as 63 days, 9 weeks or 3 months.")
UNITS: Final = Field(
    "units",
    "A number without a unit is in",
    "one",
    choices=(Choice("metric", "°C, metres, litres"), Choice("us", "°F, feet, gallons")),
)
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
SMELL: Final = Field(
    "smell",
    "What does a handful from inside smell of?",
    "one",
    choices=(
        Choice("earthy", "Earth, like a wood after rain", "earthy"),
        Choice("none", "Nothing", "none"),
        Choice("ammonia", "Ammonia: it stings", "ammonia"),
        Choice("rotten_egg", "Rotten eggs", "rotten_egg"),
        Choice("sour", "Sour, like vinegar", "sour"),
        Choice("musty", "Musty, like a cellar", "musty"),
        Choice("burnt", "Burnt", "burnt"),
    ),
)
SIGNS: Final = Field(
    "signs",
    "What do you see?",
    "many",
    choices=(
        Choice("steam", "Steam"),
        Choice("smoke", "Smoke"),
        Choice("slumping", "It sinks"),
        Choice("cracks", "Cracks"),
        Choice("dry_pockets", "Dry pockets"),
        Choice("wet_skin_dry_core", "Wet outside, dry inside"),
        Choice("white_threads", "White threads"),
        Choice("leachate", "Brown water leaks out"),
        Choice("snow_covered", "Snow on it"),
        Choice("frozen_crust", "A frozen crust"),
        Choice("no_flow_in_loop", "No flow in the water loop"),
        Choice("fan_stopped", "The fan stands still"),
        Choice("water_in_duct", "Water in the duct"),
        NONE_SEEN,
    ),
)

FIRST_SECTIONS: Final = (
    Section(
        "middle",
        "The middle",
        "Push the probe into the middle of the heap and wait until it stands still. This and the age are all it takes; "
        "each thing more you tell makes the advice better.",
        (CORE, AGE, Field("pile.built_on", "Or the day it was built", "date"), UNITS),
        depth="core",
        folded=False,
    ),
    Section(
        "handful",
        "A handful",
        "Dig in to arm's depth and squeeze a handful hard.",
        (FEEL, FEEL_AT),
        depth="arm",
        folded=False,
    ),
    Section("nose", "Your nose", "", (SMELL,), depth="arm", folded=False),
    Section("eyes", "Your eyes", "", (SIGNS,), depth="skin", folded=False),
)
