"""The answer about a mix as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.answer.shapes.part import AnswerPart, Assumed, ReadAsShown
from service.mix.shapes.sources import SOURCE, NoteTold, SourceTold
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_KG = {"value": 2220, "low": 2220, "high": 2220, "unit": "kg"}
_M3 = {"value": 7.04, "low": 6.05, "high": 8.43, "unit": "m3"}
_PERCENT = {"value": 56.7, "low": 42.9, "high": 66.9, "unit": "%"}
_PORTION = {
    "material": "wood_chips",
    "name": "wood chips",
    "field": "/on_hand/0",
    "mass": _KG,
    "volume": _M3,
    "barrows": 88,
    "buckets": 704,
    "text": "88 barrows (2,220 kg)",
}
_RANGE = {"low": 50, "high": 60, "unit": "%", "source": SOURCE}
_COMPARED = {
    "value": _PERCENT,
    "verdict": "preferred",
    "text": "Damp like a wrung-out rag, as it should be.",
    "preferred": _RANGE,
    "reasonable": _RANGE | {"low": 40, "high": 65},
}
_NUMBERS = dict.fromkeys(
    (
        *("c_to_n", "c_to_n_total", "moisture", "free_air_space", "soft_matter", "bulk_density", "expected_peak"),
        *("rots_in_weeks", "rots_in_years"),
    ),
    _COMPARED,
)
_TEXT: JsonObject = {"text": "There is enough carbon that can rot to hold the nitrogen.", "source": SOURCE}
_CAUTION = {"materials": ["wood_chips"], "text": "Stand upwind and wear a mask.", "source": SOURCE}
_JUDGED: JsonObject = {
    "parts": [_PORTION],
    "mass": _KG,
    "volume": _M3,
    "numbers": _NUMBERS,
    "ammonia_risk": {"level": "low", "reasons": [_TEXT]},
    "notes": [_TEXT],
    "cautions": [_CAUTION],
}
_LIMIT = {
    "limit": "moisture",
    "low": 40,
    "high": 65,
    "unit": "%",
    "asked": False,
    "reached": 56.7,
    "kept": True,
    "source": SOURCE,
}
_IN_THE_WAY = {
    "limit": "moisture",
    "field": "/limits/moisture/high",
    "asked": {"value": 60, "unit": "%"},
    "would_do": {"value": 66.2, "unit": "%"},
    "alone": True,
    "text": "Moisture is to be at most 60 %. That stands in the way; 66.2 % would do.",
}
_PROPOSAL: JsonObject = {
    "possible": True,
    "text": "Take 88 barrows (2,220 kg) of wood chips.",
    "distance": 0,
    "add": [_PORTION],
    "order": ["Lay about a fifth of the wood chips as a loose bed."],
    "result": _JUDGED,
    "limits": [_LIMIT],
    "in_the_way": [],
    "to_get": [],
}


RangeVerdict = Literal["preferred", "reasonable", "too_low", "too_high", "unknown", "not_compared"]
Level = Literal["low", "some", "high"]


class Plain(AnswerPart):
    """A number and its unit."""

    value: float = Field(description="The number, in `unit`.", examples=[60])
    unit: str = Field(description="Its unit.", examples=["%"])


class Portion(AnswerPart):
    """One thing of a mix with its amount."""

    material: str = Field(description="Material id.", examples=["wood_chips"])
    name: str = Field(description="What it is called.", examples=["wood chips"])
    field: str | None = Field(
        description="Where it was given, as a JSON pointer; null for what nobody listed, such as water.",
        examples=["/on_hand/0"],
    )
    mass: Quantity = Field(description="Wet mass.", examples=[_KG])
    volume: Quantity = Field(description="Volume as it lies loose; its bulk density leaves it open.", examples=[_M3])
    barrows: float = Field(description="The volume in barrows.", examples=[88])
    buckets: float = Field(description="The volume in buckets.", examples=[704])
    text: str = Field(description="The amount as it would be carried.", examples=["88 barrows (2,220 kg)"])


class ToGetShown(Portion):
    """A thing whose presence would make a mix possible, with the least of it."""

    more: bool = Field(description="Whether it is more of what is on hand, beyond the most given.", examples=[False])
    text: str = Field(description="The same in words.", examples=["Get 16.4 kg of urea fertiliser."])


class RangeShown(AnswerPart):
    """A published range; an open side is null."""

    low: float | None = Field(description="Low end, in `unit`.", examples=[50])
    high: float | None = Field(description="High end, in `unit`.", examples=[60])
    unit: str = Field(description="Unit of both.", examples=["%"])
    source: SourceTold = Field(description="Who says so.", examples=[SOURCE])


class Compared(AnswerPart):
    """A number of the mix beside the published ranges."""

    value: Quantity | None = Field(
        description="The number, with what the published ranges of its materials leave open; null where there is none.",
        examples=[_PERCENT],
    )
    verdict: RangeVerdict = Field(
        description="Where it stands; not_compared where no range is published.", examples=["preferred"]
    )
    text: str = Field(description="The same in words.", examples=[_COMPARED["text"]])
    preferred: RangeShown | None = Field(description="What is best.", examples=[_RANGE])
    reasonable: RangeShown | None = Field(description="What still works.", examples=[_RANGE])


class MixNumbers(AnswerPart):
    """The numbers of a mix."""

    c_to_n: Compared = Field(
        description="Carbon that can rot in time, to nitrogen: the one to steer by.", examples=[_COMPARED]
    )
    c_to_n_total: Compared = Field(
        description="All carbon to nitrogen, as most printed recipes count it.", examples=[_COMPARED]
    )
    moisture: Compared = Field(description="Water in the wet mass.", examples=[_COMPARED])
    free_air_space: Compared = Field(
        description="Air-filled share of the volume as laid; its low end counts with settling.", examples=[_COMPARED]
    )
    soft_matter: Compared = Field(
        description="Share of the fresh mass, liquids aside, that packs and shuts out air.", examples=[_COMPARED]
    )
    bulk_density: Compared = Field(description="Wet mass over volume as laid.", examples=[_COMPARED])
    expected_peak: Compared = Field(
        description="Hottest the core is likely to get in the first weeks, a rough guide.", examples=[_COMPARED]
    )
    rots_in_weeks: Compared = Field(description="Dry matter that rots within weeks.", examples=[_COMPARED])
    rots_in_years: Compared = Field(description="Dry matter that rots over years.", examples=[_COMPARED])


class AmmoniaRisk(AnswerPart):
    """How likely nitrogen is to leave as ammonia."""

    level: Level = Field(description="How likely.", examples=["low"])
    reasons: list[NoteTold] = Field(description="Why.", examples=[[_TEXT]])


class MixCaution(AnswerPart):
    """What to mind with things in the mix."""

    materials: list[str] = Field(description="Material ids it is for.", examples=[["wood_chips"]])
    text: str = Field(description="What to mind.", examples=[_CAUTION["text"]])
    source: SourceTold = Field(description="Who says so.", examples=[SOURCE])


class JudgedMix(AnswerPart):
    """A mix and what it is worth."""

    parts: list[Portion] = Field(description="What is in it.", examples=[[_PORTION]])
    mass: Quantity = Field(description="Wet mass of all.", examples=[_KG])
    volume: Quantity = Field(description="Volume as laid loose; liquids fill the pores and add none.", examples=[_M3])
    numbers: MixNumbers = Field(description="Its numbers beside the published ranges.", examples=[_NUMBERS])
    ammonia_risk: AmmoniaRisk = Field(
        description="Its risk of losing nitrogen as ammonia.", examples=[_JUDGED["ammonia_risk"]]
    )
    notes: list[NoteTold] = Field(description="What else to know.", examples=[[_TEXT]])
    cautions: list[MixCaution] = Field(description="What to mind with its materials.", examples=[[_CAUTION]])


class MixLimitShown(AnswerPart):
    """A limit of the proposal and where the mix stands."""

    limit: str = Field(description="Which quantity.", examples=["moisture"])
    low: float | None = Field(description="Not below this, in `unit`.", examples=[40])
    high: float | None = Field(description="Not above this, in `unit`.", examples=[65])
    unit: str = Field(description="Unit of the numbers; 1 for ratios.", examples=["%"])
    asked: bool = Field(description="Whether it was asked for; else it is the published range.", examples=[False])
    reached: float | None = Field(description="Where the mix stands, in `unit`.", examples=[56.7])
    kept: bool = Field(description="Whether the mix keeps it.", examples=[True])
    source: SourceTold | None = Field(description="Who says so; null where it was asked for.", examples=[SOURCE])


class InTheWay(AnswerPart):
    """A condition that no mix can keep with the others."""

    limit: str = Field(
        description="A quantity, or most (too little on hand), least (too much must go in), size (of the whole), feed "
        "(wood is not fed as if all of it could rot; never given up), room (it would take many times as much as there "
        "is; never given up).",
        examples=["moisture"],
    )
    field: str | None = Field(
        description="Where it stands, or would stand, in the question, as a JSON pointer.",
        examples=["/limits/moisture/high"],
    )
    asked: Plain | None = Field(description="Where it stands.", examples=[_IN_THE_WAY["asked"]])
    would_do: Plain | None = Field(
        description="Where it would have to stand for a mix to be possible; null for what is never given up.",
        examples=[_IN_THE_WAY["would_do"]],
    )
    alone: bool = Field(
        description="Whether giving this one way would be enough; else all that are not alone must give together.",
        examples=[True],
    )
    text: str = Field(description="The same in words.", examples=[_IN_THE_WAY["text"]])


class MixProposal(AnswerPart):
    """Amounts that keep the limits, come closest to what is best, and then take the least carrying."""

    possible: bool = Field(description="Whether a mix keeps every limit; else `add` is the nearest.", examples=[True])
    text: str = Field(description="The proposal in words.", examples=[_PROPOSAL["text"]])
    distance: float | None = Field(
        description="0 with every quantity in its best range; grows by about 1 with each clear miss. Null where "
        "nothing can be mixed.",
        examples=[0],
    )
    add: list[Portion] = Field(description="What to take of what is on hand, and water.", examples=[[_PORTION]])
    order: list[str] = Field(description="How to lay it, from the ground up.", examples=[_PROPOSAL["order"]])
    result: JudgedMix | None = Field(
        description="The whole mix, recipe and additions, and what it is worth.", examples=[_JUDGED]
    )
    limits: list[MixLimitShown] = Field(description="The limits and where the mix stands.", examples=[[_LIMIT]])
    in_the_way: list[InTheWay] = Field(
        description="What stands in the way where no mix is possible: each condition that would be enough to change, "
        "else those that must give together.",
        examples=[[_IN_THE_WAY]],
    )
    to_get: list[ToGetShown] = Field(
        description="What would make a mix possible, least carrying first; one of them is enough.",
        examples=[[_PORTION | {"more": False}]],
    )


class Mix(AnswerPart):
    """A judgement of a recipe and a proposal of amounts, whichever was asked for."""

    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    units: Literal["metric", "us"] = Field(description="Units of this answer.", examples=["metric"])
    headline: str = Field(description="The answer in a few sentences.", examples=[_PROPOSAL["text"]])
    recipe: JudgedMix | None = Field(description="The recipe and what it is worth.", examples=[_JUDGED])
    proposal: MixProposal | None = Field(description="Amounts of what is on hand.", examples=[_PROPOSAL])
    barrow: Plain = Field(description="What a barrow holds here.", examples=[{"value": 80, "unit": "L"}])
    bucket: Plain = Field(description="What a bucket holds here.", examples=[{"value": 10, "unit": "L"}])
    assumed: list[Assumed] = Field(
        description="Every value that was assumed.",
        examples=[
            [{"field": "/on_hand/0/moisture", "value": 40, "low": 15, "high": 60, "unit": "%", "why": "not given"}]
        ],
    )
    read_as: list[ReadAsShown] = Field(
        description="Names that were read by a synonym.",
        examples=[[{"field": "/on_hand/0/material", "given": "arborist chips", "read_as": "wood_chips_green"}]],
    )
