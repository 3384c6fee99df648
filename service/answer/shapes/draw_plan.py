"""How to draw until the next reading, as it goes out."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.facts.drawing import Way
from service.picture.drawplan.candidates import Hours
from service.problems.outgoing import closed
from service.render.shape import Quantity

Switch = Literal["core", "timer", "off"]
_HEAT = {"value": 1200, "low": 500, "high": 2100, "unit": "MJ"}


@closed
class DrawPlanMonth(TypedDict):
    """The plan of one month, where it changes."""

    month: Annotated[str, Field(description="The month.", examples=["2026-03"])]
    start_at: Annotated[
        float, Field(description="Core at which the draw starts, in the plan's `unit`.", examples=[107])
    ]
    stop_at: Annotated[float, Field(description="Core at which it stops, in the plan's `unit`.", examples=[86])]
    hours: Annotated[Hours, Field(description="Around the clock, or by night only.", examples=["night"])]


@closed
class DrawPlan(TypedDict):
    """How to draw so that the house gets most useful heat by the goal's date at the accepted risk.

    Both forms are filled, so that a thermostat, a timer and a hand on a valve can each follow it.
    """

    way: Annotated[Way, Field(description="By loop or by duct.", examples=["water"])]
    by: Annotated[
        Switch,
        Field(
            description="`core`: run once the core reaches `start_at`, stop when it is down to `stop_at`; "
            "`timer`: run by "
            "the minutes and hours; `off`: draw nothing.",
            examples=["core"],
        ),
    ]
    start_at: Annotated[float, Field(description="Core at which the draw starts, in `unit`.", examples=[131])]
    stop_at: Annotated[float, Field(description="Core at which the draw stops, in `unit`.", examples=[108])]
    unit: Annotated[Literal["degC", "degF"], Field(description="Unit of the two.", examples=["degF"])]
    minutes_per_hour: Annotated[
        float, Field(description="For a timer: minutes in each of its hours, to the next reading.", examples=[25])
    ]
    hours_per_day: Annotated[float, Field(description="For a timer: hours of the day it runs in.", examples=[14])]
    hours: Annotated[
        Hours,
        Field(description="`night` is from about seven in the evening to nine in the morning.", examples=["night"]),
    ]
    heat: Annotated[
        Quantity | None,
        Field(
            description="Useful heat to the goal's date by the plan; null where no members were run.", examples=[_HEAT]
        ),
    ]
    heat_as_now: Annotated[Quantity | None, Field(description="The same as it is drawn today.", examples=[_HEAT])]
    nights_short: Annotated[
        Quantity | None,
        Field(
            description="Nights to the goal's date in which the stove must help, counted by the share it must bring.",
            examples=[{"value": 61, "low": 42, "high": 68, "unit": "1"}],
        ),
    ]
    chance_heap_dies: Annotated[
        float | None,
        Field(description="Chance that the heap is dead before it may be empty, 0 to 1.", ge=0, le=1, examples=[0.2]),
    ]
    months: Annotated[
        list[DrawPlanMonth], Field(description="The same by month where the plan changes.", examples=[[]])
    ]
    why: Annotated[
        str, Field(description="Why this way.", examples=["No limit for the core was set, so this is chosen."])
    ]
    text: Annotated[
        str,
        Field(
            description="The plan in sentences.",
            examples=["Run the pump by night only: on once the core reaches 131 °F."],
        ),
    ]
