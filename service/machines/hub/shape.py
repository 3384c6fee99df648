"""What machines that poll are given, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.part import Phase, UrgencyWord
from service.problems.outgoing import Day, Moment, closed

_AT = "2026-01-18T07:30:00+01:00"


@closed
class PileAdvised(TypedDict):
    """What is advised at a pile, as words of fixed lists, and its plan of drawing."""

    as_of: Annotated[Moment | None, Field(description="When this was worked out.", examples=[_AT])]
    fire_risk: Annotated[
        bool | None,
        Field(
            description="75 degC or more, smoke or a burnt smell. From 80 degC or with smoke call the fire service.",
            examples=[False],
        ),
    ]
    pause_draw: Annotated[bool | None, Field(description="Whether pumps and fans should stop.", examples=[False])]
    phase: Annotated[Phase | None, Field(description="Heat phase.", examples=["falling"])]
    action: Annotated[str | None, Field(description="What to do first: an action id.", examples=["add_water"])]
    second_action: Annotated[str | None, Field(description="What to do next.", examples=["keep_going"])]
    third_action: Annotated[str | None, Field(description="What to do then.", examples=[None])]
    urgency: Annotated[UrgencyWord | None, Field(description="When to do the first.", examples=["today"])]
    air_minutes_per_hour: Annotated[
        float | None,
        Field(
            description="How long the draw plan runs the fan in each of its hours [min/h]; null where it has no fan.",
            examples=[12.0],
        ),
    ]
    water_minutes_per_hour: Annotated[
        float | None,
        Field(
            description="How long the draw plan runs the pump in each of its hours [min/h]; null where it has no loop.",
            examples=[None],
        ),
    ]
    start_at_c: Annotated[
        float | None,
        Field(
            description="Core at which the draw plan starts pump or fan [degC]; null where nothing is to be "
            "drawn, or the "
            "draw goes by its minutes until the next reading.",
            examples=[55.0],
        ),
    ]
    stop_at_c: Annotated[float | None, Field(description="Core at which it stops them [degC].", examples=[42.0])]
    draw_by_night_only: Annotated[
        bool | None,
        Field(
            description="Whether the plan draws only from about seven in the evening to nine in the morning.",
            examples=[True],
        ),
    ]
    look_again_at: Annotated[Moment | None, Field(description="When to look again.", examples=[_AT])]


@closed
class PileNumbers(TypedDict):
    """Numbers of a pile in fixed units."""

    core_c: Annotated[float | None, Field(description="Core [degC].", examples=[49.44])]
    outer_c: Annotated[float | None, Field(description="Outer layer [degC].", examples=[35.0])]
    outdoor_c: Annotated[float | None, Field(description="Air outside [degC].", examples=[-2.2])]
    thermal_made_w: Annotated[float | None, Field(description="Heat made now [W].", examples=[545.0])]
    thermal_lost_w: Annotated[float | None, Field(description="Heat lost now [W].", examples=[1180.0])]
    thermal_stored_w: Annotated[
        float | None, Field(description="Heat stored now [W]; below 0 while cooling.", examples=[-90.0])
    ]
    thermal_season_draw_w: Annotated[
        float | None,
        Field(description="Steady draw that keeps the core above the goal's limit to its date [W].", examples=[190.0]),
    ]
    thermal_burst_draw_w: Annotated[
        float | None, Field(description="What could be drawn for hours [W].", examples=[1810.0])
    ]
    thermal_needed_tonight_w: Annotated[
        float | None, Field(description="What the house needs tonight [W].", examples=[2400.0])
    ]
    thermal_usable_left_kwh: Annotated[
        float | None, Field(description="Heat that can still be used [kWh].", examples=[3960.0])
    ]
    days_until_cool: Annotated[
        float | None,
        Field(
            description="Days until the core is too cool to draw [days]; null also where that is not in sight.",
            examples=[12.0],
        ),
    ]
    begin_next_heap: Annotated[Day | None, Field(description="Day to begin the next heap.", examples=["2026-01-30"])]


@closed
class PileNow(PileAdvised, PileNumbers):
    """A pile in a few numbers. Null: not known. All heat is thermal: keep it out of sums of electricity."""

    pile: Annotated[str, Field(description="Pile id.", examples=["3f9a0c1d2e4b5a67"])]
    name: Annotated[str, Field(description="What it is called.", examples=["North heap"])]
    available: Annotated[
        bool, Field(description="Whether advice can be given, on a core reading that counts.", examples=[True])
    ]
    core_at: Annotated[Moment | None, Field(description="When it was read.", examples=[_AT])]
