"""The answer about a heap to be built as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.answer.shapes.part import AnswerPart, Assumed, ReadAsShown
from service.mix.shapes.answer import Plain, Portion
from service.mix.shapes.sources import NoteTold, SourceTold
from service.planning.shapes.layout_answer import DUCT, LOOP, HeapLayout
from service.planning.shapes.parts import ASSUMED, ENERGY, NOTE, POWER, SOURCE, energy_field, example_quantity, power
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_M3 = example_quantity(30.8, 14.9, 69.8, "m3")
_KG = example_quantity(13700, 6620, 31000, "kg")
_LENGTH = example_quantity(20, 13, 33, "m")
_EXACT = example_quantity(5.1, 5.1, 5.1, "m")
_METRES = {"value": 0.5, "unit": "m"}
ASKED = {
    "draw": POWER,
    "days": 90,
    "keep_core_above": example_quantity(40, 40, 40, "degC"),
    "chance": 50,
    "build_on": "2025-11-10",
    "first_draw": "2025-12-01",
    "last_draw": "2026-02-28",
}
HEAP = {
    "volume_as_laid": _M3,
    "volume_settled": _M3,
    "mass": _KG,
    "shape": "rounded heap",
    "diameter": _EXACT,
    "height": example_quantity(2.3, 2.3, 2.3, "m"),
    "footprint": example_quantity(20, 20, 20, "m2"),
    "moisture": 55,
    "carbon_that_rots_to_nitrogen": 40,
    "hot_after": example_quantity(14, 5, 34, "days"),
    "chance_hot_at_first_draw": 78,
}
GIVES: JsonObject = {
    "season_draw": POWER,
    "season_heat": ENERGY,
    "chance_of_asked": 50,
    "chance_of_nothing": 22,
    "season_text": "Around the clock over all the days.",
    "burst_draw": POWER,
    "burst_text": "For a few hours the loop or duct could take this.",
    "stored": ENERGY,
    "chemical": ENERGY,
}
_RATING: JsonObject = {
    "whose": "rule of thumb",
    "power": example_quantity(28600, 25900, 36800, "W"),
    "days": 90,
    "verdict": "impossible",
    "share_of_chemical": 197,
    "times_season_draw": 101,
    "text": "28,600 W for 90 days would be 197 % of all the chemical energy in the heap: more than there is.",
    "source": SOURCE,
}
_NEAREST = {"change": "heat", "value": {"value": 729, "unit": "W"}, "text": "The largest should sustain about 729 W."}
_OTHER = {"mix": "wood chips alone", "season_draw": POWER, "volume_needed": _M3}
_PORTION = {
    "material": "wood_chips",
    "name": "wood chips",
    "field": "/mix/0",
    "mass": _KG,
    "volume": _M3,
    "barrows": 289,
    "buckets": 2310,
    "text": "289 barrows (7,260 kg)",
}
_FEED = {"material": "urea", "name": "urea fertiliser", "amount": example_quantity(4.3, 0, 30, "kg"), "split": 2}
_LIST: JsonObject = {
    "materials": [_PORTION],
    "barrows": 385,
    "barrow": {"value": 80, "unit": "L"},
    "nitrogen": _FEED,
    "water": example_quantity(53, 0, 8300, "L"),
    "film": example_quantity(46, 40, 53, "m2"),
    "order": ["Lay about a fifth of the wood chips as a loose bed."],
}


Rating = Literal["possible", "burst_only", "impossible"]


class AskedHeap(AnswerPart):
    """What was asked, as it was read."""

    draw: Quantity = power("Mean draw around the clock.")
    days: int = Field(description="Days of drawing.", examples=[90])
    keep_core_above: Quantity = Field(description="Limit of the core.", examples=[ASKED["keep_core_above"]])
    chance: float = Field(description="How sure it is to be, in %.", examples=[50])
    build_on: str | None = Field(description="Day to build it; null without dates.", examples=["2025-11-10"])
    first_draw: str | None = Field(description="First day of drawing.", examples=["2025-12-01"])
    last_draw: str | None = Field(description="Last day of drawing.", examples=["2026-02-28"])


class HeapPlanned(AnswerPart):
    """The heap: its value is what to build; low and high are what one and nine in ten such heaps would need."""

    volume_as_laid: Quantity = Field(description="Volume as laid loose.", examples=[_M3])
    volume_settled: Quantity = Field(description="Volume after the first hot weeks.", examples=[_M3])
    mass: Quantity = Field(description="Wet mass as built.", examples=[_KG])
    shape: str = Field(description="Its shape.", examples=["rounded heap"])
    diameter: Quantity = Field(description="Width at the foot, as laid.", examples=[_EXACT])
    height: Quantity = Field(description="Height in the middle, as laid.", examples=[HEAP["height"]])
    footprint: Quantity = Field(description="Ground it covers.", examples=[HEAP["footprint"]])
    moisture: float = Field(description="Water in its wet mass as built, in %.", examples=[55])
    carbon_that_rots_to_nitrogen: float = Field(description="As built, with what is fed.", examples=[40])
    hot_after: Quantity = Field(
        description="Days until the core is at 50 degC, cut at 60 days.", examples=[HEAP["hot_after"]]
    )
    chance_hot_at_first_draw: float = Field(description="Share that is hot when drawing begins, %.", examples=[78])


class HeapGives(AnswerPart):
    """What it gives: numbers that never stand for each other."""

    season_draw: Quantity = power("Steady draw that holds the core above its limit over all the days.")
    season_heat: Quantity = energy_field("The same as heat.")
    chance_of_asked: float = Field(description="Share of such heaps that give what was asked, in %.", examples=[50])
    chance_of_nothing: float = Field(
        description="Share of such heaps that do not hold their core even undrawn, in %.", examples=[22]
    )
    season_text: str = Field(description="What the season draw is.", examples=[GIVES["season_text"]])
    burst_draw: Quantity = power("What loop or duct could take for some hours when drawing begins.")
    burst_text: str = Field(description="What the burst draw is not.", examples=[GIVES["burst_text"]])
    stored: Quantity = energy_field("Heat above the limit when drawing begins.")
    chemical: Quantity = energy_field("All the chemical energy in its dry matter.")


class RatingJudged(AnswerPart):
    """A rating and what physics says to it."""

    whose: str = Field(description="rule of thumb (of the trade), or yours.", examples=["rule of thumb"])
    power: Quantity = power("What it promises for a heap of this mass.")
    days: float = Field(description="For how many days.", examples=[90])
    verdict: Rating = Field(
        description="impossible: more than all the chemical energy; burst_only: more than nine in ten heaps of the "
        "best mix could give; possible: neither.",
        examples=["impossible"],
    )
    share_of_chemical: float = Field(description="Its heat over all the chemical energy, in %.", examples=[197])
    times_season_draw: float | None = Field(
        description="How many times the season draw; null where that is nothing.", examples=[101]
    )
    text: str = Field(description="Why they differ.", examples=[_RATING["text"]])
    source: SourceTold | None = Field(description="Who says so; null for yours.", examples=[SOURCE])


class NearestShown(AnswerPart):
    """Something that can be had instead, enough by itself."""

    change: Literal["lead", "heat", "heaps", "days", "keep_core_above"] = Field(
        description="What gives way.", examples=["heat"]
    )
    value: Plain = Field(description="To what.", examples=[_NEAREST["value"]])
    text: str = Field(description="The same in words.", examples=[_NEAREST["text"]])


class OtherMix(AnswerPart):
    """The same question for another mix."""

    mix: str = Field(description="What it is made of, by volume.", examples=["wood chips alone"])
    season_draw: Quantity = power("What a heap of the same size should sustain.")
    volume_needed: Quantity | None = Field(
        description="Size that would give what was asked, as laid; null where none within the bounds does.",
        examples=[_M3],
    )


class FeedShown(AnswerPart):
    """Nitrogen to add."""

    material: str = Field(description="Material id.", examples=["urea"])
    name: str = Field(description="What it is called.", examples=["urea fertiliser"])
    amount: Quantity = Field(description="How much in all.", examples=[_FEED["amount"]])
    split: int = Field(description="In how many parts, a fortnight apart.", examples=[2])


class BuildList(AnswerPart):
    """What to bring, and how to lay it."""

    materials: list[Portion] = Field(description="The mix.", examples=[[_PORTION]])
    barrows: float = Field(description="Barrow loads in all.", examples=[385])
    barrow: Plain = Field(description="What a barrow holds here.", examples=[{"value": 80, "unit": "L"}])
    nitrogen: FeedShown | None = Field(description="Nitrogen to add; null if none.", examples=[_FEED])
    water: Quantity = Field(description="Water to soak it.", examples=[_LIST["water"]])
    film: Quantity = Field(description="Film that would cover it, overlaps counted.", examples=[_LIST["film"]])
    order: list[str] = Field(description="How to lay it, from the ground up.", examples=[_LIST["order"]])


class HeapPlan(AnswerPart):
    """A heap for a wanted heat, or the nearest that can be had."""

    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    units: Literal["metric", "us"] = Field(description="Units of this answer.", examples=["metric"])
    possible: bool = Field(
        description="Whether one heap within the bounds gives what was asked with the chance asked; else the largest "
        "is told.",
        examples=[True],
    )
    headline: str = Field(
        description="The answer in a few sentences.", examples=["Build a heap of 30.8 m³ as laid, 13,700 kg."]
    )
    asked: AskedHeap = Field(description="The question as read.", examples=[ASKED])
    heap: HeapPlanned = Field(description="The heap.", examples=[HEAP])
    gives: HeapGives = Field(description="What it gives.", examples=[GIVES])
    ratings: list[RatingJudged] = Field(
        description="What a rule of thumb of the trade promises for it, and a rating that was given, judged.",
        examples=[[_RATING]],
    )
    nearest: list[NearestShown] = Field(
        description="What can be had where the whole cannot; empty if possible.", examples=[[_NEAREST]]
    )
    other_mixes: list[OtherMix] = Field(description="What other mixes would do.", examples=[[_OTHER]])
    layout: HeapLayout = Field(description="Where tube and duct lie.", examples=[{"loop": LOOP, "duct": DUCT}])
    build_list: BuildList = Field(description="What to bring and how to lay it.", examples=[_LIST])
    notes: list[NoteTold] = Field(description="What to know of these numbers.", examples=[[NOTE]])
    assumed: list[Assumed] = Field(description="Every value that was assumed.", examples=[[ASSUMED]])
    read_as: list[ReadAsShown] = Field(
        description="Names that were read by a synonym.",
        examples=[[{"field": "/mix/0/material", "given": "arborist chips", "read_as": "wood_chips_green"}]],
    )
