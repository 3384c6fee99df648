"""A build sheet as data, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Literal

from pydantic import AliasChoices, Field

from service.answer.shapes.part import AnswerPart, Assumed, ReadAsShown
from service.mix.shapes.answer import Plain
from service.mix.shapes.sources import NoteTold
from service.planning.shapes.layout_answer import DUCT, LOOP, HeapLayout
from service.planning.shapes.parts import ASSUMED, NOTE, example_quantity
from service.planning.shapes.sheet import Choice, Paper
from service.planning.shapes.sizing_answer import ASKED, GIVES, HEAP, AskedHeap, HeapGives, HeapPlanned
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_METRES = {"value": 0.25, "unit": "m"}
_KG = {"value": 1420, "unit": "kg"}
_M3 = {"value": 4.48, "unit": "m3"}
_CORE = example_quantity(22, 13, 68, "degC")
_BRING: JsonObject = {
    "item": "wood_chips",
    "name": "wood chips",
    "use": "to lay",
    "mass": example_quantity(7080, 7080, 7080, "kg"),
    "volume": example_quantity(22.4, 19.2, 26.8, "m3"),
    "barrows": 280,
    "water": None,
    "area": None,
    "length": None,
    "to_buy": None,
}
_PART = {"material": "wood_chips", "name": "wood chips", "mass": _KG}
_LAYER: JsonObject = {
    "number": 1,
    "kind": "bed",
    "name": "bed of wood chips",
    "from": {"value": 0, "unit": "m"},
    "to": _METRES,
    "thickness": _METRES,
    "volume": _M3,
    "mass": _KG,
    "barrows": 56,
    "water": {"value": 7.8, "unit": "L"},
    "parts": [_PART],
}
_PROBE: JsonObject = {
    "letter": "A",
    "what": "core, the reading that counts",
    "depth": _METRES,
    "from_centre": _METRES,
    "above_ground": _METRES,
    "enters_at": _METRES,
}
_DRAWING: JsonObject = {
    "scale": "section 1:50, plans 1:100",
    "section_scale": 50,
    "plan_scale": 100,
    "width_mm": 180,
    "height_mm": 180,
    "across": "5.02 m",
    "high": "2.26 m",
    "title": "Build sheet: a heap of 29.9 m³: drawing to scale",
    "description": "The section shows a rounded heap 5 m across.",
}
_CHECK: JsonObject = {
    "day": 7,
    "core": _CORE,
    "hot_by_then": 20,
    "expect": "Core about 22 °C, 8 in 10 heaps from 13 °C to 68 °C.",
    "look": "Read A, B and C.",
    "if_not": "Dusty in the hand: water it at midday through holes.",
}


class ToBring(AnswerPart):
    """One thing to bring, in every measure that fits it; the others are null."""

    item: str = Field(description="Material id, or water, cover, loop, duct, probe.", examples=["wood_chips"])
    name: str = Field(description="What it is called.", examples=["wood chips"])
    use: str = Field(description="What for.", examples=["to lay"])
    mass: Quantity | None = Field(description="By weight.", examples=[_BRING["mass"]])
    volume: Quantity | None = Field(description="By volume, as laid loose.", examples=[_BRING["volume"]])
    barrows: float | None = Field(description="Barrow loads.", examples=[280])
    water: Quantity | None = Field(description="Water.", examples=[example_quantity(52, 0, 8120, "L")])
    area: Quantity | None = Field(
        description="Of film or another cover.", examples=[example_quantity(45, 39, 52, "m2")]
    )
    length: Quantity | None = Field(
        description="Of tube or duct inside the heap, or of the probe.",
        examples=[example_quantity(20.7, 13, 33.6, "m")],
    )
    to_buy: Plain | None = Field(
        description="Length with joints and ends, to the foot's edge.", examples=[{"value": 24, "unit": "m"}]
    )


class LayerPart(AnswerPart):
    """One thing in a layer."""

    material: str = Field(description="Material id.", examples=["wood_chips"])
    name: str = Field(description="What it is called.", examples=["wood chips"])
    mass: Plain = Field(description="How much.", examples=[_KG])


class LayerShown(AnswerPart):
    """One layer; heights are those in the middle of the heap."""

    number: int = Field(description="From the ground up.", examples=[1])
    kind: Literal["bed", "soft", "coarse", "cap"] = Field(
        description="A loose bed; what packs; what holds the heap open; the skin over all.", examples=["bed"]
    )
    name: str = Field(description="In words.", examples=["bed of wood chips"])
    lower: Plain = Field(
        validation_alias=AliasChoices("from", "lower"),
        serialization_alias="from",
        description="Height of its lower side.",
        examples=[_LAYER["from"]],
    )
    to: Plain = Field(description="Height of its upper side.", examples=[_METRES])
    thickness: Plain = Field(description="Between them.", examples=[_METRES])
    volume: Plain = Field(description="As laid loose.", examples=[_M3])
    mass: Plain = Field(description="Without the water that is added.", examples=[_KG])
    barrows: float = Field(description="Barrow loads.", examples=[56])
    water: Plain = Field(description="Water to add to it.", examples=[_LAYER["water"]])
    parts: list[LayerPart] = Field(description="What is in it.", examples=[[_PART]])


class ProbePlace(AnswerPart):
    """A place to read."""

    letter: str = Field(description="As in the drawing.", examples=["A"])
    what: str = Field(description="What it tells.", examples=["core, the reading that counts"])
    depth: Plain = Field(description="Length of probe inside the heap.", examples=[_METRES])
    from_centre: Plain = Field(description="From the middle axis to the tip.", examples=[_METRES])
    above_ground: Plain = Field(description="Height of the tip.", examples=[_METRES])
    enters_at: Plain = Field(description="Height at which it enters the skin.", examples=[_METRES])


class DrawingTold(AnswerPart):
    """The drawing; itself it comes as `image/svg+xml`."""

    scale: str = Field(description="As it is written on it.", examples=[_DRAWING["scale"]])
    section_scale: int = Field(description="The section is drawn at 1 to this.", examples=[50])
    plan_scale: int = Field(description="The plans are drawn at 1 to this.", examples=[100])
    width_mm: float = Field(description="Width on the paper.", examples=[180])
    height_mm: float = Field(description="Height on the paper.", examples=[180])
    across: str = Field(description="Width of the heap's foot, as a tape shows it.", examples=["5.02 m"])
    high: str = Field(description="Height of the heap, as a tape shows it.", examples=["2.26 m"])
    title: str = Field(description="Its title.", examples=[_DRAWING["title"]])
    description: str = Field(description="The drawing in words.", examples=[_DRAWING["description"]])


class CheckShown(AnswerPart):
    """What to look at on a day."""

    day: int = Field(description="Days after building.", examples=[7])
    core: Quantity = Field(description="Core to expect while nothing is drawn.", examples=[_CORE])
    hot_by_then: float = Field(description="Share of such heaps that have been hot by then, in %.", examples=[20])
    expect: str = Field(description="The same in words.", examples=[_CHECK["expect"]])
    look: str = Field(description="What to look at.", examples=[_CHECK["look"]])
    if_not: str = Field(description="What to do if it is not so.", examples=[_CHECK["if_not"]])


class BuildSheet(AnswerPart):
    """Everything that is on a build sheet."""

    knowledge_version: str = Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d"])
    units: Literal["metric", "us"] = Field(description="Units of this answer.", examples=["metric"])
    as_of: str = Field(description="Date on the sheet.", examples=["2025-11-01T08:00:00+00:00"])
    title: str = Field(description="On top of the sheet.", examples=["Build sheet: North heap"])
    purpose: str = Field(description="What the heap is for.", examples=["For 300 W of heat for 90 days."])
    possible: bool = Field(description="Whether this heap gives what was asked.", examples=[True])
    notice: str | None = Field(
        description="What gave way, where it does not; null where it does.",
        examples=["No single heap within the bounds gives 5,000 W for 90 days."],
    )
    chosen: Choice | None = Field(description="Which of the nearest it is; null if none.", examples=["heat"])
    heaps: int = Field(description="How many such heaps are to be built.", examples=[1])
    headline: str = Field(description="The heap in a few sentences.", examples=["Build a heap of 29.9 m³ as laid."])
    paper: Paper = Field(description="Paper of the PDF and of the page when printed.", examples=["a4"])
    asked: AskedHeap = Field(description="What this heap is asked to give.", examples=[ASKED])
    heap: HeapPlanned = Field(description="The heap.", examples=[HEAP])
    gives: HeapGives = Field(description="What it gives.", examples=[GIVES])
    materials: list[ToBring] = Field(description="What to bring.", examples=[[_BRING]])
    barrow: Plain = Field(description="What a barrow holds here.", examples=[{"value": 80, "unit": "L"}])
    barrows: float = Field(description="Barrow loads in all.", examples=[373])
    layers: list[LayerShown] = Field(description="From the ground up.", examples=[[_LAYER]])
    layout: HeapLayout = Field(description="Where tube and duct lie.", examples=[{"loop": LOOP, "duct": DUCT}])
    probes: list[ProbePlace] = Field(description="Where to read.", examples=[[_PROBE]])
    drawing: DrawingTold = Field(description="The drawing.", examples=[_DRAWING])
    steps: list[str] = Field(description="Order of work.", examples=[["Choose level ground."]])
    checks: list[CheckShown] = Field(description="On day 1, 3, 7 and 14.", examples=[[_CHECK]])
    cautions: list[NoteTold] = Field(description="What can hurt people or the heap.", examples=[[NOTE]])
    notes: list[NoteTold] = Field(description="What to know of these numbers.", examples=[[NOTE]])
    assumed: list[Assumed] = Field(description="Every value that was assumed.", examples=[[ASSUMED]])
    read_as: list[ReadAsShown] = Field(
        description="Names that were read by a synonym.",
        examples=[[{"field": "/mix/0/material", "given": "arborist chips", "read_as": "wood_chips_green"}]],
    )
