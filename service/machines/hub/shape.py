"""What machines that poll are given, for the description of the interface and for the tests."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import Field

from service.problems.page import Page

_AT = "2026-01-18T07:30:00+01:00"
Phase = Literal["overheating", "warming", "falling", "hot", "holding", "spent", "cold", "unclear"]
Urgency = Literal["now", "today", "this_week", "this_month", "next_pile"]


class PileNow(Page):
    """A pile in a few numbers. Null: not known. All heat is thermal: keep it out of sums of electricity."""

    pile: str = Field(description="Pile id.", examples=["3f9a0c1d2e4b5a67"])
    name: str = Field(description="What it is called.", examples=["North heap"])
    available: bool = Field(description="Whether advice can be given, on a core reading that counts.", examples=[True])
    as_of: datetime | None = Field(description="When this was worked out.", examples=[_AT])
    fire_risk: bool | None = Field(
        description="75 degC or more, smoke or a burnt smell. From 80 degC or with smoke call the fire service.",
        examples=[False],
    )
    pause_draw: bool | None = Field(description="Whether pumps and fans should stop.", examples=[False])
    phase: Phase | None = Field(description="Heat phase.", examples=["falling"])
    action: str | None = Field(description="What to do first: an action id.", examples=["add_water"])
    second_action: str | None = Field(description="What to do next.", examples=["keep_going"])
    third_action: str | None = Field(description="What to do then.", examples=[None])
    urgency: Urgency | None = Field(description="When to do the first.", examples=["today"])
    core_c: float | None = Field(description="Core [degC].", examples=[49.44])
    core_at: datetime | None = Field(description="When it was read.", examples=[_AT])
    outer_c: float | None = Field(description="Outer layer [degC].", examples=[35.0])
    outdoor_c: float | None = Field(description="Air outside [degC].", examples=[-2.2])
    thermal_made_w: float | None = Field(description="Heat made now [W].", examples=[545.0])
    thermal_lost_w: float | None = Field(description="Heat lost now [W].", examples=[1180.0])
    thermal_stored_w: float | None = Field(description="Heat stored now [W]; below 0 while cooling.", examples=[-90.0])
    thermal_season_draw_w: float | None = Field(
        description="Steady draw that keeps the core above the goal's limit to its date [W].", examples=[190.0]
    )
    thermal_burst_draw_w: float | None = Field(description="What could be drawn for hours [W].", examples=[1810.0])
    thermal_needed_tonight_w: float | None = Field(description="What the house needs tonight [W].", examples=[2400.0])
    thermal_usable_left_kwh: float | None = Field(description="Heat that can still be used [kWh].", examples=[3960.0])
    air_minutes_per_hour: float | None = Field(
        description="How long the draw plan runs the fan in each of its hours [min/h]; null where it has no fan.",
        examples=[12.0],
    )
    water_minutes_per_hour: float | None = Field(
        description="How long the draw plan runs the pump in each of its hours [min/h]; null where it has no loop.",
        examples=[None],
    )
    days_until_cool: float | None = Field(
        description="Days until the core is too cool to draw [days]; null also where that is not in sight.",
        examples=[12.0],
    )
    start_at_c: float | None = Field(
        description="Core at which the draw plan starts pump or fan [degC]; null where nothing is to be drawn, or the "
        "draw goes by its minutes until the next reading.",
        examples=[55.0],
    )
    stop_at_c: float | None = Field(description="Core at which it stops them [degC].", examples=[42.0])
    draw_by_night_only: bool | None = Field(
        description="Whether the plan draws only from about five in the evening to seven in the morning.",
        examples=[True],
    )
    begin_next_heap: date | None = Field(description="Day to begin the next heap.", examples=["2026-01-30"])
    look_again_at: datetime | None = Field(description="When to look again.", examples=[_AT])
