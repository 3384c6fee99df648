"""The outlook as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.draw_plan import DrawPlan
from service.answer.shapes.part import Assumed, ReadAsShown
from service.course.shape import BeginOn
from service.problems.json_text import JsonObject
from service.problems.outgoing import Moment, closed
from service.render.shape import Quantity

_DAYS = {"value": 20, "low": 9, "high": 30, "unit": "days"}
_W = {"value": 200, "low": 25, "high": 490, "unit": "W"}
_MJ = {"value": 520, "low": 65, "high": 1270, "unit": "MJ"}
_LOST = {"ground_and_air": _MJ, "evaporation": _MJ, "drainage": _MJ}
_DRAWN = {"air": {"sensible": _MJ, "latent": _MJ}, "water": _MJ}
_COURSE = {"unit": "degF", "low": [118, 114], "median": [120, 118], "high": [122, 121]}
_RUNNING = {"value": 9, "low": 1.4, "high": 17, "unit": "min/h"}


def _q(description: str, example: JsonObject) -> Any:
    return Field(description=f"{description} Null where it cannot be told.", examples=[example])


@closed
class CoreLimitShown(TypedDict):
    """The core's limit."""

    value: Annotated[float, Field(description="The limit, in `unit`.", examples=[104])]
    unit: Annotated[str, Field(description="Its unit.", examples=["degF"])]


@closed
class CourseShown(TypedDict):
    """One number for each moment of `at`, with an 80 % band."""

    unit: Annotated[str, Field(description="Unit of the numbers.", examples=["degF"])]
    low: Annotated[list[float], Field(description="Low end.", examples=[[118, 114]])]
    median: Annotated[list[float], Field(description="Middle.", examples=[[120, 118]])]
    high: Annotated[list[float], Field(description="High end.", examples=[[122, 121]])]


@closed
class TimerShown(TypedDict):
    """The longest running time of pump or fan, the other one being off."""

    of: Annotated[
        Literal["water_minutes_per_hour", "air_minutes_per_hour"],
        Field(description="Which timer.", examples=["water_minutes_per_hour"]),
    ]
    running: Annotated[
        Quantity | None, _q("Minutes in each hour that keep the core above the limit to the last day.", _RUNNING)
    ]
    hours_per_day: Annotated[float, Field(description="Hours of the day it runs in.", examples=[24])]
    power: Annotated[Quantity | None, _q("The heat it then brings, on the mean.", _W)]


@closed
class SeasonDraw(TypedDict):
    """What can be drawn steadily with the core above the limit to the last day."""

    power: Annotated[Quantity | None, _q("Around the clock.", _W)]
    begins_in: Annotated[Quantity | None, _q("Days until the heap, at rest, is warm enough to begin.", _DAYS)]
    timers: Annotated[
        list[TimerShown],
        Field(
            description="The same with the loop or duct that is fitted, each by itself.",
            examples=[[{"of": "water_minutes_per_hour", "running": _RUNNING, "hours_per_day": 24, "power": _W}]],
        ),
    ]
    text: Annotated[str, Field(description="The same in words.", examples=["Nothing can be drawn."])]


@closed
class OutlookEnergy(TypedDict):
    """What is in the heap; burst and season draw never stand for each other."""

    total: Annotated[Quantity | None, _q("All the chemical energy in the dry matter.", _MJ)]
    usable_left: Annotated[Quantity | None, _q("What can still come out as useful heat.", _MJ)]
    burst_draw: Annotated[Quantity | None, _q("What loop or duct could take for hours, out of stored heat.", _W)]


@closed
class LostHeat(TypedDict):
    """Heat lost over the days."""

    ground_and_air: Annotated[Quantity | None, _q("Through skin and foot, less sunshine.", _MJ)]
    evaporation: Annotated[Quantity | None, _q("With vapour.", _MJ)]
    drainage: Annotated[Quantity | None, _q("With water running off, less what rain brings.", _MJ)]


@closed
class AirHeat(TypedDict):
    """Heat drawn by air over the days."""

    sensible: Annotated[Quantity | None, _q("As warmth of the air.", _MJ)]
    latent: Annotated[Quantity | None, _q("As vapour in the air.", _MJ)]


@closed
class DrawnHeat(TypedDict):
    """Heat drawn over the days."""

    air: Annotated[AirHeat, Field(description="By air.", examples=[{"sensible": _MJ, "latent": _MJ}])]
    water: Annotated[Quantity | None, _q("By the water loop.", _MJ)]


@closed
class Ledger(TypedDict):
    """Where the heat of these days comes from and goes, if nothing is changed.

    In each run made = lost + drawn + stored; medians of the parts need not add up.
    """

    made: Annotated[Quantity | None, _q("Made by rot.", _MJ)]
    lost: Annotated[LostHeat, Field(description="Lost.", examples=[_LOST])]
    drawn: Annotated[DrawnHeat, Field(description="Drawn.", examples=[_DRAWN])]
    stored: Annotated[Quantity | None, _q("Stored; below zero where the heap ends colder.", _MJ)]


@closed
class NextHeapShown(TypedDict):
    """When to begin the next heap, so that it is warm when this one is too cool to draw."""

    warm_up: Annotated[Quantity | None, _q("Days a new heap of this size, of a good mix, takes to be drawn.", _DAYS)]
    begin: Annotated[
        BeginOn | None,
        Field(
            description="When to begin; null where this heap lasts, or has no warmth to bridge.",
            examples=[{"value": "2026-02-01", "low": "2026-01-21", "high": "2026-03-10"}],
        ),
    ]
    text: Annotated[str, Field(description="The same in words.", examples=["To have no gap, begin the next heap now."])]


@closed
class OutlookAnswer(TypedDict):
    """What lies ahead of one heap if nothing is changed, and what could be drawn."""

    id: Annotated[str, Field(description="Follows from the status and what was asked.", examples=["3f1c0a9be2d47765"])]
    as_of: Annotated[Moment, Field(description="When the status was so.", examples=["2026-01-18T07:30:00+00:00"])]
    knowledge_version: Annotated[
        str, Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])
    ]
    units: Annotated[Literal["metric", "us"], Field(description="Units of the answer.", examples=["us"])]
    days: Annotated[int, Field(description="Days looked ahead.", ge=1, le=90, examples=[30])]
    keep_core_above: Annotated[
        CoreLimitShown,
        Field(description="Below this the core is too cool to draw.", examples=[{"value": 104, "unit": "degF"}]),
    ]
    warning: Annotated[
        str | None,
        Field(
            description="What to see to before any of this: an overheating heap.",
            examples=["Keep clear of the heap and call the fire service."],
        ),
    ]
    title: Annotated[str, Field(description="What this shows.", examples=["Core of the heap over the next 30 days"])]
    headline: Annotated[
        str, Field(description="One sentence or two.", examples=["The core is expected to stay above 104 °F."])
    ]
    description: Annotated[
        str,
        Field(
            description="The whole outlook in plain sentences, for those who do not see the chart.",
            examples=["Core of the heap over the next 30 days, if nothing is changed: about 118 °F today."],
        ),
    ]
    at: Annotated[list[Moment], Field(description="Now, and each day ahead.", examples=[["2026-01-18T07:30:00+00:00"]])]
    core: Annotated[CourseShown, Field(description="The core.", examples=[_COURSE])]
    outdoor: Annotated[
        CourseShown, Field(description="Mean air of each day: the forecast, then what is usual.", examples=[_COURSE])
    ]
    heat_drawn: Annotated[
        CourseShown, Field(description="Heat drawn up to each moment, drawn as it is now.", examples=[_COURSE])
    ]
    days_until_warm: Annotated[Quantity | None, _q("Days until the core first is at the limit; 0 where it is.", _DAYS)]
    days_until_warm_at_rest: Annotated[Quantity | None, _q("The same with nothing drawn.", _DAYS)]
    days_until_cool: Annotated[
        Quantity | None,
        _q("Days until the core, once at the limit, is below it. A high end equal to `days` is open.", _DAYS),
    ]
    draw_plan: Annotated[
        DrawPlan | None,
        Field(
            description="How to draw until the next reading, as `/advice` tells it; null where nothing is fitted.",
            examples=[None],
        ),
    ]
    days_until_cool_at_rest: Annotated[Quantity | None, _q("The same with nothing drawn.", _DAYS)]
    chance_too_cool: Annotated[
        float,
        Field(
            description="Chance, 0 to 1, that a core once at the limit is below it within the days.",
            ge=0,
            le=1,
            examples=[0.35],
        ),
    ]
    season_draw: Annotated[
        SeasonDraw,
        Field(
            description="What can be drawn to the last of the days.",
            examples=[{"power": _W, "begins_in": _DAYS, "timers": [], "text": "About 200 W can be drawn."}],
        ),
    ]
    heat_available: Annotated[Quantity | None, _q("The heat that this draw brings within the days.", _MJ)]
    energy: Annotated[
        OutlookEnergy,
        Field(description="What is in the heap.", examples=[{"total": _MJ, "usable_left": _MJ, "burst_draw": _W}]),
    ]
    ledger: Annotated[
        Ledger,
        Field(
            description="Heat of the days ahead.",
            examples=[{"made": _MJ, "lost": _LOST, "drawn": _DRAWN, "stored": _MJ}],
        ),
    ]
    next_heap: Annotated[
        NextHeapShown,
        Field(
            description="When to begin the next heap.", examples=[{"warm_up": _DAYS, "begin": None, "text": "Not yet."}]
        ),
    ]
    assumed: Annotated[
        list[Assumed],
        Field(
            description="What nobody gave and this rests on.",
            examples=[[{"field": "/pile/moisture", "value": 48, "low": 40, "high": 55, "unit": "%", "why": "usual"}]],
        ),
    ]
    read_as: Annotated[
        list[ReadAsShown],
        Field(
            description="Names that were given by a synonym.",
            examples=[[{"field": "/on_hand/0", "given": "tarps", "read_as": "tarp"}]],
        ),
    ]
