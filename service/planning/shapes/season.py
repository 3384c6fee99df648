"""A question about a winter or a year ahead: when to build, when to draw and how much, and how many heaps."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar

from pydantic import Field

from rules.language.status_words import Cover, Exposure
from service.planning.shapes.checks import house_misfits, outdoor_misfits, period_misfits
from service.planning.shapes.common import Chance, CoreLimit, HeapMix, Outdoor, Period, PlannedHouse, PlanQuestion
from service.planning.shapes.sizing import mix_of_misfits
from service.status.checks import Misfit
from service.status.part import Flag
from service.status.quantities import Measure, refused

MOST_HEAPS = 4
TABLES = ("hourly", "daily", "monthly")


class SeasonRequest(PlanQuestion):
    """A house, its winter, and heaps of one size to warm it with."""

    material_lists: ClassVar = ("mix",)

    house: PlannedHouse = Field(
        description="The house.",
        examples=[{"volume": "2400 ft3", "glazing": "double_film", "glazing_area": "900 ft2", "night_target": "45 F"}],
    )
    outdoor: Outdoor = Field(
        description="A table of temperatures: days of a winter, or months of a climate table.",
        examples=[{"monthly": [{"month": "january", "low": "18 degF", "high": "33 degF"}]}],
    )
    period: Period | None = Field(
        None,
        description="The winter or the year to plan. Needed with monthly temperatures; default: all days of the table.",
        examples=[{"start": "2025-10-01", "until": "2026-09-30"}],
    )
    heap: Annotated[float, Measure("volume", 4.0, 70.0)] | None = Field(
        None, description="Volume of each heap as laid. Default: 20 m3.", examples=["26 yd3", 20]
    )
    most_heaps: Annotated[float, Measure("ratio", 1.0, float(MOST_HEAPS))] | None = Field(
        None, description="Most heaps you would build, 1 to 4. Default: 2.", examples=[2]
    )
    mix: HeapMix | None = Field(
        None,
        description="What they are made of. Default: three parts of wood chips to one of horse manure.",
        examples=[[{"material": "wood_chips", "share": 3}, {"material": "horse_manure", "share": 1}]],
    )
    feed: Flag | None = Field(
        None, description="Whether nitrogen is added up to 40 to 1. Default: true.", examples=[True]
    )
    cover: Cover | None = Field(None, description="What lies over them. Default: none.", examples=["none"])
    wind: Exposure | None = Field(None, description="How exposed the place is. Default: normal.", examples=["normal"])
    keep_core_above: CoreLimit | None = Field(
        None, description="Temperature below which no core is drawn. Default: 40 degC.", examples=["104 degF", 40]
    )
    chance: Chance | None = Field(
        None, description="How sure a heap is to hold its schedule. Default: 50 %.", examples=["70 %", 70]
    )
    order_ahead: Annotated[float, Measure("duration", 0.0, 120.0)] | None = Field(
        None, description="Time from ordering chips to having them. Default: 14 days.", examples=["3 weeks", 21]
    )

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        yield from house_misfits(("house",), self.house)
        yield from outdoor_misfits(("outdoor",), self.outdoor)
        if all(getattr(self.outdoor, name) is None for name in TABLES):
            yield ("outdoor", "monthly"), refused("a table of temperatures is needed: daily, or monthly means")
        if self.period is not None:
            yield from period_misfits(("period",), self.period)
        elif self.outdoor.monthly is not None:
            yield ("period",), refused("the first and last day of the winter are needed to set dates")
        if self.most_heaps is not None and self.most_heaps % 1.0:
            yield ("most_heaps",), refused("a whole number of heaps is wanted", read=f"{self.most_heaps:g}")
        yield from mix_of_misfits(self.mix)
