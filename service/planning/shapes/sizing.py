"""A question about a heap to be built: how big, of what, for how much heat over which days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Final

from pydantic import Field

from rules.language.status_words import Cover, Exposure, HeatWay, Tube
from rules.tables.materials import MATERIALS
from rules.tables.thresholds import HOLDING_FROM
from service.mix.shapes.checks import mix_misfits
from service.mix.shapes.question import MixRequest
from service.mix.shapes.things import RecipePart
from service.planning.shapes.checks import house_misfits, outdoor_misfits, period_misfits
from service.planning.shapes.common import (
    MOST_DAYS,
    Chance,
    CoreLimit,
    HeapMix,
    Outdoor,
    Period,
    PlannedHouse,
    PlanQuestion,
)
from service.status.checks import Misfit
from service.status.part import AtMost, Flag, Part
from service.status.quantities import Measure, refused
from service.units.quantities import spell, to_units

DEFAULT_LIMIT_C: Final = HOLDING_FROM.value
LEAST_WARMTH_K: Final = 5.0
"""A loop is planned for no less between the heap and its water, or it would have no end (our own). [K]"""
_MIX_EXAMPLE: Final = [{"material": "wood_chips", "share": 3}, {"material": "horse_manure", "share": 1}]


class HeatWanted(Part):
    """How much heat, as a mean around the clock."""

    power: Annotated[float, Measure("power", 10.0, 1e6)] | None = Field(
        None, description="Mean heat over day and night.", examples=["1500 BTU/h", "400 W"]
    )
    share: Annotated[float, Measure("percent", 0.1, 100.0)] | None = Field(
        None,
        description="Instead: share of what the house needs over those days; `house` and a table of `outdoor` "
        "temperatures are needed then.",
        examples=["25 %", 25],
    )


class LargestHeap(Part):
    """What bounds the heap."""

    volume: Annotated[float, Measure("volume", 0.5, 500.0)] | None = Field(
        None, description="Most that can be had, as laid loose.", examples=["30 yd3", 20]
    )
    diameter: Annotated[float, Measure("length", 1.0, 12.0)] | None = Field(
        None, description="Widest its foot may be.", examples=["14 ft", 4.5]
    )
    height: Annotated[float, Measure("length", 0.7, 4.5)] | None = Field(
        None, description="Highest it may be. Default: 3 m (10 ft), for the sake of fire.", examples=["6 ft", 2]
    )


class LoopPlanned(Part):
    """The loop to be buried."""

    tube: Tube | None = Field(None, description="What it is made of. Default: plastic.", examples=["plastic"])
    inlet: Annotated[float, Measure("temperature", 0.0, 35.0)] | None = Field(
        None, description="Temperature of the water going into the heap. Default: 20 degC.", examples=["68 degF", 20]
    )


class RatingClaimed(Part):
    """A rating somebody gave, to be judged for the heap that comes out."""

    power: Annotated[float, Measure("power", 1.0, 1e7)] = Field(
        description="Heat it promises, as a mean.", examples=["21000 BTU/h"]
    )
    days: Annotated[float, Measure("duration", 0.5, 4000.0)] | None = Field(
        None, description="For how long. Default: the days asked for.", examples=["6 months", 90]
    )


class SizingRequest(PlanQuestion):
    """Heat wanted over some days, and what is known of place, mix and bounds."""

    material_lists: ClassVar = ("mix",)

    heat: HeatWanted = Field(description="How much heat.", examples=[{"power": "400 W"}])
    period: Period | None = Field(
        None, description="Days of drawing, by date.", examples=[{"start": "2025-12-01", "until": "2026-02-28"}]
    )
    days: Annotated[float, Measure("duration", 1.0, float(MOST_DAYS))] | None = Field(
        None, description="Days of drawing, instead of dates. Default: all of the table, else 90.", examples=[90]
    )
    house: PlannedHouse | None = Field(
        None, description="The house, where a share of its need is asked for.", examples=[{"volume": "2400 ft3"}]
    )
    outdoor: Outdoor | None = Field(
        None,
        description="The air outside. Without a table a steady 2 degC is taken, and the ranges are wide.",
        examples=[{"monthly": [{"month": "january", "low": "18 degF", "high": "33 degF"}]}],
    )
    mix: HeapMix | None = Field(
        None,
        description="What it is to be made of, by shares of the volume or by amounts of which only the proportions "
        "count. Default: three parts of wood chips to one of horse manure.",
        examples=[_MIX_EXAMPLE],
    )
    feed: Flag | None = Field(
        None,
        description="Whether nitrogen is added up to 40 parts of carbon that can rot to one. Default: true.",
        examples=[True],
    )
    cover: Cover | None = Field(None, description="What lies over it. Default: none.", examples=["none"])
    wind: Exposure | None = Field(None, description="How exposed the place is. Default: normal.", examples=["exposed"])
    keep_core_above: CoreLimit | None = Field(
        None,
        description="Temperature below which the core must not fall. Default: 40 degC.",
        examples=["104 degF", 40],
    )
    chance: Chance | None = Field(
        None, description="How sure it is to be. Default: 50 %, an even chance.", examples=["80 %", 80]
    )
    lead: Annotated[float, Measure("duration", 5.0, 90.0)] | None = Field(
        None, description="Days from building it to the first draw. Default: 21.", examples=["3 weeks", 21]
    )
    largest: LargestHeap | None = Field(
        None, description="What bounds it.", examples=[{"volume": "30 yd3", "height": "6 ft"}]
    )
    equipment: Annotated[list[HeatWay], AtMost(4)] | None = Field(
        None, description="How the heat is to be led off. Default: both are laid out.", examples=[["water_loop"]]
    )
    loop: LoopPlanned | None = Field(None, description="The loop.", examples=[{"tube": "plastic"}])
    rating: RatingClaimed | None = Field(
        None, description="A rating to be judged.", examples=[{"power": "21000 BTU/h", "days": "5 months"}]
    )
    barrow: Annotated[float, Measure("volume", 0.01, 1.0)] | None = Field(
        None, description="What your barrow holds. Default: 80 L, or 6 ft3 under `us`.", examples=["80 L", "6 ft3"]
    )

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        heat = self.heat
        if (heat.power is None) == (heat.share is None):
            yield ("heat",), refused('give one of "power" and "share"')
        if self.period is not None and self.days is not None:
            yield ("days",), refused("give the days by date or by number, not both")
        if self.period is not None:
            yield from period_misfits(("period",), self.period)
        if self.house is not None:
            yield from house_misfits(("house",), self.house)
        if self.outdoor is not None:
            yield from outdoor_misfits(("outdoor",), self.outdoor)
        if heat.share is not None:
            if self.house is None:
                yield ("house",), refused("the house is needed to take a share of its need")
            tables = ("hourly", "daily", "monthly")
            if self.outdoor is None or all(getattr(self.outdoor, name) is None for name in tables):
                yield ("outdoor",), refused("a table of temperatures is needed to take a share of what the house needs")
        limit = DEFAULT_LIMIT_C if self.keep_core_above is None else self.keep_core_above
        inlet = self.loop.inlet if self.loop is not None else None
        if inlet is not None and inlet > limit - LEAST_WARMTH_K:
            allowed = f"at least {LEAST_WARMTH_K:g} K below the core's limit"
            read = spell(*to_units(inlet, "temperature", self.units))
            yield (
                ("loop", "inlet"),
                refused("water this warm takes no heat from a core at its limit", read=read, allowed=allowed),
            )
        yield from mix_of_misfits(self.mix)


def mix_of_misfits(mix: list[RecipePart] | None) -> Iterator[Misfit]:
    """The same as for a recipe, and there must be something in it that rots and has a volume."""
    if mix is None:
        return
    if not mix:
        yield ("mix",), refused("the mix is empty; leave it out for three parts of chips to one of manure")
        return
    found = False
    for place, error in mix_misfits(MixRequest.model_construct(recipe=mix)):
        found = True
        yield ("mix", *place[1:]), error
    if found:
        return
    solid = [part for part in mix if _heaps_up(part)]
    if not solid:
        yield ("mix",), refused("nothing of this heaps up and rots: a heap needs chips, bark, straw or the like")


def _heaps_up(part: RecipePart) -> bool:
    material = MATERIALS[part.material]
    dry = 1.0 - (material.moisture.value if part.moisture is None else part.moisture / 100)
    return "liquid" not in material.traits and "mineral" not in material.traits and dry > 0.05
