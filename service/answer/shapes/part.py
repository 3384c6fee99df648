"""What more than one kind of answer is made of."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from rules.language.model import SourceKind

ActionId = str

SOURCE_EXAMPLE = {"kind": "handbook", "cite": "Richard and Trautmann, Getting the Right Mix, 1996"}


class AnswerPart(BaseModel):
    """A part of the answer."""

    model_config = ConfigDict(extra="forbid", use_enum_values=True)


class SourceShown(AnswerPart):
    """Who says so."""

    kind: SourceKind = Field(
        description="How a statement is backed; common_practice has no source.", examples=["handbook"]
    )
    cite: str = Field(description="The work, or how the statement was worked out.", examples=[SOURCE_EXAMPLE["cite"]])


class Assumed(AnswerPart):
    """A value nobody gave and the answer rests on, with its 80 % range."""

    field: str = Field(description="Where it would be given, as a JSON pointer.", examples=["/pile/moisture"])
    value: float = Field(description="The value assumed, in `unit`.", examples=[48])
    low: float = Field(description="Low end, in `unit`.", examples=[40])
    high: float = Field(description="High end, in `unit`.", examples=[55])
    unit: str = Field(description="Unit of the three numbers.", examples=["%"])
    why: str = Field(description="Why it was assumed.", examples=["taken from the squeeze test"])


class ReadAsShown(AnswerPart):
    """A name that was given by a synonym."""

    field: str = Field(description="Where, as a JSON pointer.", examples=["/pile/ingredients/0/material"])
    given: str = Field(description="What was given.", examples=["arborist chips"])
    read_as: str = Field(description="The id it was read as.", examples=["wood_chips"])
