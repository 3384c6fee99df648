"""A move as an answer shows it: its dose, reasons and cautions."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from rules.language.model import Urgency
from service.answer.shapes.heat import Effect
from service.answer.shapes.part import SOURCE_EXAMPLE, ActionId, AnswerPart, SourceShown

_Q = {"value": 340, "low": 190, "high": 480, "unit": "gal"}

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


class Reason(AnswerPart):
    """A rule that fired."""

    rule: str = Field(description="Rule id; `GET /rules/{id}` shows it whole.", examples=["moisture.too-dry"])
    text: str = Field(description="Why, with the values that triggered it.", examples=[REASON_EXAMPLE["text"]])
    facts: dict[str, float | bool | str] = Field(
        description="The facts the rule read, in SI-like units (`GET /rules/{id}` names them).",
        examples=[{"moisture_feel": "dry"}],
    )
    source: SourceShown = Field(description="The backing of this statement.", examples=[SOURCE_EXAMPLE])


class CautionShown(AnswerPart):
    """What to take care of while acting."""

    rule: str = Field(description="Rule id.", examples=["safety.hot-water-and-steam"])
    text: str = Field(description="What to take care of.", examples=["Steam scalds: stand upwind when you open it."])
    gravity: Literal["life", "injury", "heap", "note"] = Field(
        description="What it is to keep away: danger to life, to limb, to the heap, or nothing but a mistake.",
        examples=["injury"],
    )
    soon: bool = Field(description="Whether it concerns the next hour.", examples=[False])
    brief: str | None = Field(
        description="The same in a few words, where it concerns life; stands in `say`.",
        examples=["Never lean over an opened heap."],
    )
    source: SourceShown = Field(description="The backing of this statement.", examples=[SOURCE_EXAMPLE])


class DoseShown(AnswerPart):
    """How much of something, with its 80 % range. Halves are given apart where `split` is 2."""

    of: str = Field(
        description="A material id, or air_flow, water_flow, air_minutes_per_hour, water_minutes_per_hour, "
        "hours_per_day, cover_area, pause_days.",
        examples=["water"],
    )
    value: float = Field(description="Most likely right amount, in `unit`.", examples=[340])
    low: float = Field(description="Low end of the 80 % range, in `unit`.", examples=[190])
    high: float = Field(description="High end of the 80 % range, in `unit`.", examples=[480])
    unit: str = Field(description="Unit of the three numbers.", examples=["gal"])
    per: Literal["m3", "yd3"] | None = Field(
        description="Where nobody told the heap's size: the volume of heap the amount is for. Null: the amount is for "
        "the whole of it.",
        examples=[None],
    )
    split: int = Field(description="In how many parts to give it.", examples=[2])
    or_instead: list[DoseShown] = Field(description="Other things that do the same; give one of them.", examples=[[]])


class ActionShown(AnswerPart):
    """One thing to do."""

    rank: int = Field(description="Place in the list, from 1.", ge=1, examples=[1])
    action: ActionId = Field(description="Action id.", examples=["add_water"])
    title: str = Field(description="What to do, in a few words.", examples=["Add water"])
    urgency: Urgency = Field(description="When to act.", examples=["today"])
    effort: Literal["easy", "moderate", "hard"] = Field(description="How hard the work is.", examples=["moderate"])
    doses: list[DoseShown] = Field(
        description="How much of what; empty where no dose is needed or can be told.",
        examples=[[{"of": "water", **_Q, "per": None, "split": 2, "or_instead": []}]],
    )
    steps: list[str] = Field(
        description="How to do it, for today's weather.",
        examples=[["Push a bar in and pour through the holes.", "Cover it again."]],
    )
    effect: Effect = Field(
        description="What it is expected to gain; its parts are null with `effects=none` or where no what-if is run.",
        examples=[{"heat_to_goal": None, "hot_days_gained": None, "chance_of_gain": 0.9, "text": None, "note": None}],
    )
    reasons: list[Reason] = Field(description="The rules that ask for it.", examples=[[REASON_EXAMPLE]])
    cautions: list[CautionShown] = Field(
        description="What to take care of, gravest first; an answer tells each caution once.",
        examples=[[_CAUTION]],
    )
    cautions_above: list[str] = Field(
        description="Rule ids of the cautions that hold here too and were told with an action above.",
        examples=[["safety.current-outdoors"]],
    )


class AvoidShown(AnswerPart):
    """A tempting wrong move."""

    action: ActionId = Field(description="Action id.", examples=["add_nitrogen"])
    title: str = Field(description="The move in a few words.", examples=["Add nitrogen"])
    reasons: list[Reason] = Field(description="The rules against it.", examples=[[REASON_EXAMPLE]])
