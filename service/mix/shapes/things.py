"""Things that go into a mix, and limits a mix must keep, as they are told."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.status.names import MATERIAL
from service.status.part import Part
from service.status.quantities import Amount, AmountOf, Measure

Ratio = Annotated[float, Measure("ratio", 1.0, 2000.0)]
LimitRatio = Annotated[float, Measure("ratio", 0.0, 2000.0)]
"""Down to nothing: urea alone has less carbon than nitrogen, and a limit may be moved to where it would do."""
Percent = Annotated[float, Measure("percent", 0.0, 100.0, fraction_is_slip=True)]
DryShare = Annotated[float, Measure("percent", 0.0, 100.0)]


class MixThing(Part):
    """A material, with what was measured of it; what is left out is taken from its page under `/materials`."""

    material: Annotated[str, MATERIAL] = Field(
        description="Material id or a common name for it; `GET /materials` lists them.", examples=["wood_chips"]
    )
    moisture: Percent | None = Field(
        None, description="Water in its wet mass, if measured, in %.", examples=["55 %", 55]
    )
    carbon: DryShare | None = Field(
        None,
        description="Carbon in its dry matter, if known, in %. Give two of carbon, nitrogen and C:N at most.",
        examples=["45 %", 45],
    )
    nitrogen: DryShare | None = Field(
        None, description="Nitrogen in its dry matter, if known, in %.", examples=["2.4 %", 0.75]
    )
    c_to_n: Ratio | None = Field(None, description="All its carbon to its nitrogen, if known.", examples=[30])
    density: Annotated[float, Measure("density", 5.0, 2500.0)] | None = Field(
        None,
        description="Wet mass over volume as it lies, if weighed in a bucket.",
        examples=["350 kg/m3", "600 lb/yd3"],
    )


class RecipePart(MixThing):
    """One thing of a recipe; give all of them an amount, or all a share."""

    amount: Annotated[Amount, AmountOf(("mass", "volume"), 0.001, 5e6)] | None = Field(
        None,
        description="Mass or volume as it lies. Under `metric` a bare number is kilograms; under `us` it is refused.",
        examples=["18 yd3", "400 kg"],
    )
    share: Annotated[float, Measure("percent", 0.001, 10000.0)] | None = Field(
        None,
        description="Parts by volume, instead of the amount; only the proportions count (3 to 1, or 75 % to 25 %).",
        examples=[3, "75 %"],
    )


class OnHand(MixThing):
    """One thing that may go in."""

    most: Annotated[Amount, AmountOf(("mass", "volume"), 0.0, 5e6)] | None = Field(
        None, description="How much there is; left out, as much as is wanted.", examples=["4 yd3", "20 kg"]
    )
    least: Annotated[Amount, AmountOf(("mass", "volume"), 0.0, 5e6)] | None = Field(
        None, description="How much of it must go in.", examples=["1 yd3", "10 kg"]
    )


class RatioBounds(Part):
    """A lowest and a highest ratio; an empty object asks for no limit at all."""

    low: LimitRatio | None = Field(None, description="Not below this.", examples=[25])
    high: LimitRatio | None = Field(None, description="Not above this.", examples=[30])


class ShareBounds(Part):
    """A lowest and a highest share; an empty object asks for no limit at all."""

    low: Percent | None = Field(None, description="Not below this, in %.", examples=["50 %", 50])
    high: Percent | None = Field(None, description="Not above this, in %.", examples=["60 %", 60])


class MixLimits(Part):
    """Limits the proposal must keep. One that is left out is the published range of what works; `{}` lifts it."""

    c_to_n: RatioBounds | None = Field(
        None,
        description="Carbon that can rot in time, to nitrogen: the one to steer by. Default: 20 to 40, or none where "
        "`c_to_n_total` is given.",
        examples=[{"low": 25, "high": 35}],
    )
    c_to_n_total: RatioBounds | None = Field(
        None,
        description="All carbon to nitrogen, as most printed recipes count it. It misleads where there is wood: "
        "whatever is asked here, urea and its like never feed more than the carbon that can rot.",
        examples=[{"low": 25, "high": 30}],
    )
    moisture: ShareBounds | None = Field(
        None, description="Water in the wet mass. Default: 40 to 65 %.", examples=[{"low": "50 %", "high": "60 %"}]
    )
    free_air_space: ShareBounds | None = Field(
        None, description="Air-filled share of the volume as laid. Default: at least 30 %.", examples=[{"low": 35}]
    )
    soft_matter: ShareBounds | None = Field(
        None,
        description="Share of the fresh mass, liquids aside, that packs and shuts out air. Default: at most 50 %.",
        examples=[{"high": 40}],
    )


class Want(Part):
    """How much the mix should come to: a volume as laid, or a mass."""

    volume: Annotated[float, Measure("volume", 0.001, 2e4)] | None = Field(
        None, description="Volume as laid loose; it sinks by a fifth in the first hot week.", examples=["22 yd3", 14]
    )
    mass: Annotated[float, Measure("mass", 0.1, 5e6)] | None = Field(
        None, description="Wet mass, water included.", examples=["5 t", 5000]
    )
