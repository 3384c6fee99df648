"""A question about a mix: a recipe to judge, things on hand to choose amounts from, or both."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from service.mix.shapes.checks import mix_misfits
from service.mix.shapes.things import MixLimits, OnHand, RecipePart, Want
from service.status.checks import Misfit
from service.status.part import AtMost, null_too
from service.status.quantities import Measure
from service.status.question_body import QuestionBody


class MixRequest(QuestionBody):
    """A recipe to judge, things on hand to choose amounts from, or both: a recipe and what may be added to mend it.

    With both, the recipe stays as it is and only what is on hand is added. Water may always be added unless it is
    listed on hand with its `most`.
    """

    material_lists: ClassVar = ("recipe", "on_hand")

    units: Literal["metric", "us"] = Field(
        "metric",
        description="How bare numbers are read, and the units of the answer. Under `us` a bare size or amount is "
        "refused.",
        examples=["us"],
        json_schema_extra=null_too,
    )
    recipe: Annotated[list[RecipePart], AtMost(40)] | None = Field(
        None,
        description="The mix to judge.",
        examples=[[{"material": "wood_chips", "share": 4}, {"material": "horse_manure", "share": 1}]],
    )
    on_hand: Annotated[list[OnHand], AtMost(20)] | None = Field(
        None,
        description="What may go in; amounts are proposed that keep the limits, come closest to what is best, and "
        "then take the least carrying.",
        examples=[[{"material": "wood_chips"}, {"material": "horse_manure", "most": "4 m3"}]],
    )
    limits: MixLimits | None = Field(
        None, description="Limits the proposal must keep.", examples=[{"moisture": {"low": 50, "high": 60}}]
    )
    want: Want | None = Field(
        None,
        description="How much it should come to. A recipe is scaled to it; without one the proposal is. Default: the "
        "amounts given, else what the least amounts on hand take, else 1 m3.",
        examples=[{"volume": "10 m3"}],
    )
    barrow: Annotated[float, Measure("volume", 0.01, 1.0)] | None = Field(
        None, description="What your barrow holds. Default: 80 L, or 6 ft3 under `us`.", examples=["80 L", "6 ft3"]
    )
    bucket: Annotated[float, Measure("volume", 0.001, 0.1)] | None = Field(
        None, description="What your bucket holds. Default: 10 L, or 5 gal under `us`.", examples=["10 L", "5 gal"]
    )

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        yield from mix_misfits(self)
