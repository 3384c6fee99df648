"""A question about a house: what heat it needs, what a heap can cover, and what would save some."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from service.planning.shapes.checks import draw_misfits, house_misfits, outdoor_misfits, period_misfits
from service.planning.shapes.common import HeatPower, Outdoor, Period, PlannedDraw, PlannedHouse, PlanQuestion
from service.status.checks import Misfit
from service.status.part import Part
from service.status.quantities import Measure, refused
from service.status.status import Status

When = Literal["when_needed", "always"]


class HeapHeat(Part):
    """What a heap gives: a draw, or a status from which the season draw is worked out."""

    draw: HeatPower | None = Field(
        None,
        description="What it gives as a mean over day and night, such as the `season_draw` of an advice, with or "
        "without its range.",
        examples=["900 BTU/h", {"value": 260, "low": 150, "high": 420, "unit": "W"}],
    )
    status: Status | None = Field(
        None,
        description="A status as `POST /advice` takes it; its own units hold inside.",
        examples=[{"pile": {"age": "63 days"}, "temperatures": {"core": "121 degF"}}],
    )
    when: When | None = Field(
        None,
        description="when_needed: fan or pump run by the thermostat and the heap saves up for the night (default); "
        "always: the same around the clock, and what the house does not need then is lost.",
        examples=["when_needed"],
    )


class OffGrid(Part):
    """Fan and pump run from a solar panel and a battery."""

    sun_hours: Annotated[float, Measure("hours_per_day", 0.1, 12.0)] = Field(
        description="Hours of full sun a day in the darkest month, as panel tables give them (not hours of daylight).",
        examples=[1.5],
    )
    days_without_sun: Annotated[float, Measure("duration", 0.5, 30.0)] | None = Field(
        None, description="Days the battery must last without sun. Default: 3.", examples=[3]
    )
    voltage: Literal[12, 24, 48] | None = Field(None, description="Voltage of the battery. Default: 12.", examples=[12])


class GreenhouseRequest(PlanQuestion):
    """A house in its winter, and optionally a heap, its fan and pump, and a panel to run them."""

    house: PlannedHouse = Field(
        description="The house.",
        examples=[{"volume": "2400 ft3", "glazing": "double_film", "glazing_area": "900 ft2", "night_target": "45 F"}],
    )
    outdoor: Outdoor = Field(description="The air outside.", examples=[{"design": "0 degF"}])
    period: Period | None = Field(
        None,
        description="Days that count. Default: all of the table.",
        examples=[{"start": "2025-11-15", "until": "2026-03-31"}],
    )
    pile: HeapHeat | None = Field(None, description="The heap.", examples=[{"draw": "900 BTU/h"}])
    draw: PlannedDraw | None = Field(
        None,
        description="Fan and duct, pump and loop.",
        examples=[{"air": {"flow": "64 ft3/min", "inlet": "45 degF", "outlet": "79 degF"}}],
    )
    off_grid: OffGrid | None = Field(
        None, description="Solar panel and battery to run them.", examples=[{"sun_hours": 1.5}]
    )

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        yield from house_misfits(("house",), self.house)
        yield from outdoor_misfits(("outdoor",), self.outdoor)
        if self.period is not None:
            yield from period_misfits(("period",), self.period)
        if self.draw is not None:
            yield from draw_misfits(("draw",), self.draw)
        heap = self.pile
        if heap is not None and (heap.draw is None) == (heap.status is None):
            yield ("pile",), refused('give one of "draw" and "status"')
        drawn = self.draw
        if self.off_grid is not None and (drawn is None or (drawn.air is None and drawn.water is None)):
            yield ("draw",), refused("describe the fan or the pump that the panel is to run")
