"""Where tube and duct lie in a planned heap, as it goes out."""

from __future__ import annotations

from pydantic import Field

from service.answer.shapes.part import AnswerPart
from service.mix.shapes.answer import Plain
from service.planning.shapes.parts import POWER, example_quantity, power
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_LENGTH = example_quantity(20, 13, 33, "m")
_METRES = {"value": 0.5, "unit": "m"}
LOOP: JsonObject = {
    "tube": "plastic",
    "length": _LENGTH,
    "spacing": _METRES,
    "layers": 3,
    "from_centre": {"inner": _METRES, "outer": _METRES},
    "from_outer_face": _METRES,
    "above_ground": _METRES,
    "to_buy": {"value": 26, "unit": "m"},
    "flow": example_quantity(1, 1, 1, "L/min"),
    "while_running": POWER,
    "crowded": False,
    "text": "Lay it in flat coils, 0.5 m from turn to turn.",
}
DUCT: JsonObject = {
    "length": _LENGTH,
    "rings": 2,
    "layers": 1,
    "spacing": _METRES,
    "from_centre": _METRES,
    "from_outer_face": _METRES,
    "above_ground": _METRES,
    "to_buy": {"value": 24, "unit": "m"},
    "flow": example_quantity(70, 70, 70, "m3/h"),
    "while_running": POWER,
    "crowded": False,
    "text": "Lay it closed, in 2 turns, 0.3 m from turn to turn.",
}


class FromCentre(AnswerPart):
    """Distances from the middle axis."""

    inner: Plain = Field(description="Innermost turn.", examples=[_METRES])
    outer: Plain = Field(description="Outermost turn.", examples=[_METRES])


class LoopShown(AnswerPart):
    """The loop's tube."""

    tube: str = Field(description="What it is made of.", examples=["plastic"])
    length: Quantity = Field(description="Length inside the heap.", examples=[_LENGTH])
    spacing: Plain = Field(description="Distance between neighbouring turns, sideways and upwards.", examples=[_METRES])
    layers: int = Field(description="Layers, a flat coil each, as far apart as the turns.", examples=[3])
    from_centre: FromCentre = Field(description="Where the turns lie.", examples=[LOOP["from_centre"]])
    from_outer_face: Plain = Field(
        description="From the outermost turn to the outer face at its foot.", examples=[_METRES]
    )
    above_ground: Plain = Field(description="Height of the lowest layer.", examples=[_METRES])
    to_buy: Plain = Field(
        description="The length with what joins the layers and leads out to the foot.", examples=[LOOP["to_buy"]]
    )
    flow: Quantity = Field(description="Flow it is meant for.", examples=[LOOP["flow"]])
    while_running: Quantity = power("Heat it takes while the pump runs, half the time.")
    crowded: bool = Field(description="True if the heap has no room for all the tube.", examples=[False])
    text: str = Field(description="How to lay it.", examples=[LOOP["text"]])


class DuctPlanned(AnswerPart):
    """The closed duct."""

    length: Quantity = Field(description="Length inside the heap.", examples=[_LENGTH])
    rings: int = Field(description="Turns, an incomplete one counted as one.", examples=[2])
    layers: int = Field(description="Layers the turns lie in.", examples=[1])
    spacing: Plain = Field(description="Distance between neighbouring turns.", examples=[_METRES])
    from_centre: Plain = Field(description="From the middle axis to the outermost turn.", examples=[_METRES])
    from_outer_face: Plain = Field(
        description="From the outermost turn to the outer face at its foot.", examples=[_METRES]
    )
    above_ground: Plain = Field(description="Height of the lowest layer.", examples=[_METRES])
    to_buy: Plain = Field(
        description="The length with what joins the layers and leads out to the foot.", examples=[DUCT["to_buy"]]
    )
    flow: Quantity = Field(description="Air flow it is meant for.", examples=[DUCT["flow"]])
    while_running: Quantity = power("Heat it takes while the fan runs, half the time.")
    crowded: bool = Field(description="True if the heap has no room for all the duct.", examples=[False])
    text: str = Field(description="How to lay it.", examples=[DUCT["text"]])


class HeapLayout(AnswerPart):
    """Loop and duct, each for the whole draw; null where not wanted or nothing can be drawn."""

    loop: LoopShown | None = Field(description="The loop.", examples=[LOOP])
    duct: DuctPlanned | None = Field(description="The duct.", examples=[DUCT])
