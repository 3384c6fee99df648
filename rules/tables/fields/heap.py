"""What is told of the heap: its temperature, age, handful, smell, signs, make-up and probe."""

from __future__ import annotations

from typing import Final, get_args

from rules.language import status_words as words
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS
from rules.tables.fields.record import IN_A_ROW, Asked, Bounds, FieldQuestion, FieldRecord
from rules.tables.lifetimes import SETTING, Lifetime

HEAP: Final = (
    FieldRecord(
        at="/temperatures/core",
        kind="number",
        means=(
            "Hottest reading at or below half the heap's radius. A bare number above 95 degC (203 degF) is "
            "refused as a likely slip; with its unit it is taken up to 400 degC."
        ),
        examples=("121 degF", 49.5),
        number=Bounds("temperature", -40.0, 400.0, bare_high=95.0),
        lasts=Lifetime(0.25, 0.5, "after half a day it is history, and the heap may have moved"),
        column="core",
        form=Asked("middle", "What does the probe read?", units="heat"),
        said="core {value}",
    ),
    FieldRecord(
        at="/units",
        kind="word",
        means=(
            "How bare numbers are read, and the units of the answer. metric: degC, kg, m3, L/min (water), "
            "m3/h (air), m, kW, days. us: degF, gal/min (water), ft3/min (air), ft, BTU/h, days; bare sizes "
            "and amounts are refused."
        ),
        examples=("us",),
        words=("metric", "us"),
        form=Asked("middle", "Unit of the probe, and of the answer", spread=True, choices={"metric": "°C", "us": "°F"}),
    ),
    FieldRecord(
        at="/pile/age",
        kind="number",
        means="Time since it was built.",
        examples=("63 days", 63, "3 months"),
        number=Bounds("duration", 0.0, 18262.5),
        form=Asked("middle", "How old is the heap?", units="age"),
        said="{value} old",
    ),
    FieldRecord(
        at="/pile/built_on",
        kind="day",
        means="Day it was built, instead of the age.",
        examples=("2025-11-16",),
        form=Asked("middle", "Or the day it was built"),
        said="built on {value}",
    ),
    FieldRecord(
        at="/moisture_feel",
        kind="word",
        means="Squeeze test of a handful: damp is a wrung-out rag, wet drips, soggy streams.",
        examples=("dry",),
        words=get_args(words.MoistureFeel),
        lasts=Lifetime(5.0, 14.0, "a warm heap dries by up to a few percent in a week"),
        column="moisture_feel",
        form=Asked(
            "handful",
            "What does the handful do?",
            spread=True,
            choices={
                "dusty": "Dusty: it puffs and falls apart",
                "dry": "Dry: it crumbles as you open your hand",
                "damp": "Damp: it keeps its shape, like a wrung-out rag",
                "wet": "Wet: drops fall",
                "soggy": "Soggy: water streams out",
            },
            pictured=("dusty", "dry", "damp", "wet", "soggy"),
        ),
        step=IN_A_ROW,
        question=FieldQuestion(
            1,
            "Dig in to arm's depth and squeeze a handful: dusty, dry, damp like a wrung-out rag, dripping, or "
            "streaming?",
            "Water is the first thing to get right, and dry and wet heaps want opposite care.",
            ((0.12, "dusty"), (0.26, "dry"), (0.38, "damp"), (0.16, "wet"), (0.08, "soggy")),
            also={"/moisture_feel_at": "arm_deep"},
        ),
    ),
    FieldRecord(
        at="/moisture_feel_at",
        kind="word",
        means="Where the handful came from.",
        examples=("arm_deep",),
        words=get_args(words.MoistureFeelAt),
        column="moisture_feel_at",
        form=Asked(
            "handful",
            "Where did the handful come from?",
            choices={"arm_deep": "Arm's depth", "core": "The middle", "surface": "The surface"},
        ),
        step=1.0,
    ),
    FieldRecord(
        at="/smell",
        kind="word",
        means="Smell; none = smelled nothing.",
        examples=("earthy",),
        words=tuple(SMELLS),
        lasts=Lifetime(2.0, 7.0, "smells follow air and water within days"),
        column="smell",
        form=Asked(
            "nose",
            "What does a handful from inside smell of?",
            spread=True,
            called="label.smell.{value}",
            pictured=("earthy", "none", "ammonia", "rotten_egg", "sour", "musty", "burnt"),
        ),
        said="smell: {value}",
        step=1.0,
        question=FieldQuestion(
            3,
            "Smell a handful from inside: earthy, nothing, ammonia, rotten egg, sour, musty or burnt?",
            "Ammonia tells of too much nitrogen; sour or rotten egg tells of too little air.",
            (
                (0.40, "earthy"),
                (0.28, "none"),
                (0.08, "ammonia"),
                (0.06, "rotten_egg"),
                (0.10, "sour"),
                (0.07, "musty"),
                (0.01, "burnt"),
            ),
        ),
    ),
    FieldRecord(
        at="/signs",
        kind="names",
        means="What is seen; [] = looked and saw none.",
        examples=(["steam", "slumping"],),
        words=tuple(SIGNS),
        lasts=Lifetime(2.0, 7.0, "what is seen changes within days; smoke counts until somebody has looked again"),
        column="signs",
        form=Asked(
            "eyes", "What do you see?", choices={"none": "I looked and saw none of these"}, called="label.sign.{value}"
        ),
        said="seen: {value}",
        question=FieldQuestion(
            9,
            "Do you see steam, smoke, leaking brown water, cracks, dry pockets, a wet skin over a dry core, or "
            "snow on it?",
            "What can be seen often settles what a thermometer cannot.",
            (
                (0.60, []),
                (0.10, ["wet_skin_dry_core"]),
                (0.10, ["dry_pockets"]),
                (0.08, ["leachate"]),
                (0.08, ["cracks"]),
                (0.04, ["snow_covered"]),
            ),
        ),
    ),
    FieldRecord(
        at="/people",
        kind="names",
        means="What people near heap or house feel; [] = nobody feels unwell.",
        examples=(["headache"],),
        words=tuple(SYMPTOMS),
        lasts=Lifetime(0.5, 2.0, "who felt unwell yesterday is well or in care"),
        form=Asked(
            "eyes",
            "How does everybody feel, by the heap and in the house?",
            hint="Headache or dizzy: out into the open air first, the form later.",
            choices={"none": "All well"},
            called="label.symptom.{value}",
        ),
        said="somebody has: {value}",
    ),
    FieldRecord(
        at="/pile/size/mass",
        kind="number",
        means="Mass as it lies, water included.",
        examples=("9 short_ton", "5 t", 5000),
        number=Bounds("mass", 1.0, 5e6),
    ),
    FieldRecord(
        at="/pile/size/volume",
        kind="number",
        means="Volume as it lies.",
        examples=("22 yd3", "14 m3", 14),
        number=Bounds("volume", 0.001, 2e4),
    ),
    FieldRecord(
        at="/pile/shrunk",
        kind="number",
        means="How much of its first height or volume it has lost, in %.",
        examples=("30 %", 30),
        number=Bounds("percent", 0.0, 95.0, fraction_is_slip=True),
        form=Asked("heap", "How far has it shrunk?", hint="Of its first height or volume.", units="percent"),
        said="shrunk by {value}",
        varied=False,
    ),
    FieldRecord(
        at="/pile/moisture",
        kind="number",
        means="Water in the wet mass today, if measured (oven or meter), in %.",
        examples=("48 %", 48),
        number=Bounds("percent", 0.0, 100.0, fraction_is_slip=True),
        lasts=Lifetime(5.0, 14.0, "a warm heap dries by up to a few percent in a week"),
        column="moisture",
        form=Asked("heap", "Water in it, if measured", hint="Of the wet mass.", units="percent"),
    ),
    FieldRecord(
        at="/pile/cover",
        kind="word",
        means="What lies over it.",
        examples=("clear_film",),
        words=get_args(words.Cover),
        lasts=SETTING,
        column="cover",
        form=Asked(
            "heap",
            "What lies over it?",
            choices={
                "none": "Nothing",
                "clear_film": "Clear film",
                "tarp": "A tarp",
                "breathable": "A cover that breathes",
                "straw": "Straw",
            },
        ),
        said="cover: {value}",
        step=1.0,
        question=FieldQuestion(
            7,
            "What lies over the heap: nothing, clear film, a tarp, a cover that breathes, or straw?",
            "A bare heap loses heat to wind; a tight cover can shut out air.",
            ((0.40, "none"), (0.30, "clear_film"), (0.15, "tarp"), (0.15, "straw")),
        ),
    ),
    FieldRecord(
        at="/pile/wind",
        kind="word",
        means="How exposed the place is.",
        examples=("exposed",),
        words=get_args(words.Exposure),
        form=Asked(
            "heap",
            "How windy is its place?",
            choices={"sheltered": "Sheltered", "normal": "Normal", "exposed": "Exposed"},
        ),
        said="place: {value}",
        step=IN_A_ROW,
    ),
    FieldRecord(
        at="/probe/length",
        kind="number",
        means="How deep it reaches.",
        examples=("4 ft", 1.2),
        number=Bounds("length", 0.02, 10.0),
        form=Asked("heap", "How long is the probe?", units="short side"),
        said="probe {value}",
        question=FieldQuestion(
            10,
            "How long is the probe?",
            "A probe that stops short of the middle reads the shell, not the core.",
            ((0.4, 0.3), (0.6, 1.2)),
        ),
    ),
    FieldRecord(
        at="/probe/checked",
        kind="flag",
        means="Whether it was checked against ice or boiling water.",
        examples=(True,),
        lasts=Lifetime(180.0, 365.0, "a probe drifts over a year"),
        column="probe_checked",
        form=Asked("heap", "Was it checked in ice or boiling water?", choices={"yes": "Yes", "no": "No"}),
        said="probe checked",
    ),
)
