"""A move as an answer shows it: its dose, reasons and cautions."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.heat import Effect
from service.answer.shapes.part import SOURCE_EXAMPLE, ActionId, GravityWord, SourceShown, UrgencyWord
from service.problems.outgoing import closed

_Q = {"value": 340, "low": 190, "high": 480, "unit": "gal"}

VolumeUnit = Literal["m3", "yd3"]
REASON_EXAMPLE = {
    "rule": "moisture.too-dry",
    "text": "A squeezed handful is dry. Rot needs the feel of a wrung-out rag to go on well.",
    "facts": {"moisture_feel": "dry"},
    "source": SOURCE_EXAMPLE,
}

_CAUTION = {
    "rule": "safety.gas-in-an-opened-heap",
    "text": "An opened heap breathes out hot steam: do not lean over it.",
    "gravity": "life",
    "soon": False,
    "brief": "Never lean over an opened heap.",
    "source": SOURCE_EXAMPLE,
}


@closed
class Reason(TypedDict):
    """A rule that fired."""

    rule: Annotated[str, Field(description="Rule id; `GET /rules/{id}` shows it whole.", examples=["moisture.too-dry"])]
    text: Annotated[
        str, Field(description="Why, with the values that triggered it.", examples=[REASON_EXAMPLE["text"]])
    ]
    facts: Annotated[
        dict[str, float | bool | str],
        Field(
            description="The facts the rule read, in SI-like units (`GET /rules/{id}` names them).",
            examples=[{"moisture_feel": "dry"}],
        ),
    ]
    source: Annotated[SourceShown, Field(description="The backing of this statement.", examples=[SOURCE_EXAMPLE])]


@closed
class CautionShown(TypedDict):
    """What to take care of while acting."""

    rule: Annotated[str, Field(description="Rule id.", examples=["safety.hot-water-and-steam"])]
    text: Annotated[
        str, Field(description="What to take care of.", examples=["Steam scalds: stand upwind when you open it."])
    ]
    gravity: Annotated[
        GravityWord,
        Field(
            description="What it is to keep away: danger to life, to limb, to the heap, or nothing but a mistake.",
            examples=["injury"],
        ),
    ]
    soon: Annotated[bool, Field(description="Whether it concerns the next hour.", examples=[False])]
    brief: Annotated[
        str | None,
        Field(
            description="The same in a few words, where it concerns life; stands in `say`.",
            examples=["Never lean over an opened heap."],
        ),
    ]
    source: Annotated[SourceShown, Field(description="The backing of this statement.", examples=[SOURCE_EXAMPLE])]


@closed
class DoseShown(TypedDict):
    """How much of something, with its 80 % range. Halves are given apart where `split` is 2."""

    of: Annotated[
        str,
        Field(
            description="A material id, or air_flow, water_flow, air_minutes_per_hour, water_minutes_per_hour, "
            "hours_per_day, cover_area, pause_days.",
            examples=["water"],
        ),
    ]
    value: Annotated[float, Field(description="Most likely right amount, in `unit`.", examples=[340])]
    low: Annotated[float, Field(description="Low end of the 80 % range, in `unit`.", examples=[190])]
    high: Annotated[float, Field(description="High end of the 80 % range, in `unit`.", examples=[480])]
    unit: Annotated[str, Field(description="Unit of the three numbers.", examples=["gal"])]
    per: Annotated[
        VolumeUnit | None,
        Field(
            description="Where nobody told the heap's size: the volume of heap the amount is for. Null: the "
            "amount is for "
            "the whole of it.",
            examples=[None],
        ),
    ]
    split: Annotated[int, Field(description="In how many parts to give it.", examples=[2])]
    or_instead: Annotated[
        list[DoseShown], Field(description="Other things that do the same; give one of them.", examples=[[]])
    ]


@closed
class ActionShown(TypedDict):
    """One thing to do."""

    rank: Annotated[int, Field(description="Place in the list, from 1.", ge=1, examples=[1])]
    action: Annotated[ActionId, Field(description="Action id.", examples=["add_water"])]
    title: Annotated[str, Field(description="What to do, in a few words.", examples=["Add water"])]
    urgency: Annotated[UrgencyWord, Field(description="When to act.", examples=["today"])]
    effort: Annotated[
        Literal["easy", "moderate", "hard"], Field(description="How hard the work is.", examples=["moderate"])
    ]
    doses: Annotated[
        list[DoseShown],
        Field(
            description="How much of what; empty where no dose is needed or can be told.",
            examples=[[{"of": "water", **_Q, "per": None, "split": 2, "or_instead": []}]],
        ),
    ]
    steps: Annotated[
        list[str],
        Field(
            description="How to do it, for today's weather.",
            examples=[["Push a bar in and pour through the holes.", "Cover it again."]],
        ),
    ]
    effect: Annotated[
        Effect,
        Field(
            description="What it is expected to gain; its parts are null with `effects=none` or where no "
            "what-if is run.",
            examples=[
                {"heat_to_goal": None, "hot_days_gained": None, "chance_of_gain": 0.9, "text": None, "note": None}
            ],
        ),
    ]
    reasons: Annotated[list[Reason], Field(description="The rules that ask for it.", examples=[[REASON_EXAMPLE]])]
    cautions: Annotated[
        list[CautionShown],
        Field(
            description="What to take care of, gravest first; an answer tells each caution once.",
            examples=[[_CAUTION]],
        ),
    ]
    cautions_above: Annotated[
        list[str],
        Field(
            description="Rule ids of the cautions that hold here too and were told with an action above.",
            examples=[["safety.current-outdoors"]],
        ),
    ]


@closed
class AvoidShown(TypedDict):
    """A tempting wrong move."""

    action: Annotated[ActionId, Field(description="Action id.", examples=["add_nitrogen"])]
    title: Annotated[str, Field(description="The move in a few words.", examples=["Add nitrogen"])]
    reasons: Annotated[list[Reason], Field(description="The rules against it.", examples=[[REASON_EXAMPLE]])]
