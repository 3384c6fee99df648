"""What more than one kind of answer is made of."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field
from typing_extensions import TypedDict

from rules.language.model import Gravity, SourceKind, Urgency
from service.problems.outgoing import WordOf, closed

ActionId = str
UrgencyWord = Annotated[str, WordOf(Urgency)]
GravityWord = Annotated[str, WordOf(Gravity)]
WhatIfs = Literal["none", "full"]
"""Whether an answer is asked for with what each action would gain."""
Phase = Literal["overheating", "warming", "falling", "hot", "holding", "spent", "cold", "unclear"]
"""Heat phase, the first that matches in this order."""

SOURCE_EXAMPLE = {"kind": "handbook", "cite": "Richard and Trautmann, Getting the Right Mix, 1996"}


class AnswerPart(BaseModel):
    """A part of the answer; its validator is built when it is first used, for the service starts sooner without."""

    model_config = ConfigDict(extra="forbid", use_enum_values=True, defer_build=True)


@closed
class SourceShown(TypedDict):
    """Who says so."""

    kind: Annotated[
        Annotated[str, WordOf(SourceKind)],
        Field(description="How a statement is backed; common_practice has no source.", examples=["handbook"]),
    ]
    cite: Annotated[
        str, Field(description="The work, or how the statement was worked out.", examples=[SOURCE_EXAMPLE["cite"]])
    ]


@closed
class Assumed(TypedDict):
    """A value nobody gave and the answer rests on, with its 80 % range."""

    field: Annotated[str, Field(description="Where it would be given, as a JSON pointer.", examples=["/pile/moisture"])]
    value: Annotated[float, Field(description="The value assumed, in `unit`.", examples=[48])]
    low: Annotated[float, Field(description="Low end, in `unit`.", examples=[40])]
    high: Annotated[float, Field(description="High end, in `unit`.", examples=[55])]
    unit: Annotated[str, Field(description="Unit of the three numbers.", examples=["%"])]
    why: Annotated[str, Field(description="Why it was assumed.", examples=["taken from the squeeze test"])]


@closed
class ReadAsShown(TypedDict):
    """A name that was given by a synonym."""

    field: Annotated[str, Field(description="Where, as a JSON pointer.", examples=["/pile/ingredients/0/material"])]
    given: Annotated[str, Field(description="What was given.", examples=["arborist chips"])]
    read_as: Annotated[str, Field(description="The id it was read as.", examples=["wood_chips"])]
