"""The outlook as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from service.answer.shapes.draw_plan import DrawPlan
from service.answer.shapes.heat import Quantity
from service.answer.shapes.part import Assumed, ReadAsShown

_DAYS = {"value": 20, "low": 9, "high": 30, "unit": "days"}
_W = {"value": 200, "low": 25, "high": 490, "unit": "W"}
_MJ = {"value": 520, "low": 65, "high": 1270, "unit": "MJ"}
_LOST = {"ground_and_air": _MJ, "evaporation": _MJ, "drainage": _MJ}
_DRAWN = {"air": {"sensible": _MJ, "latent": _MJ}, "water": _MJ}
_COURSE = {"unit": "degF", "low": [118, 114], "median": [120, 118], "high": [122, 121]}
_RUNNING = {"value": 9, "low": 1.4, "high": 17, "unit": "min/h"}


class OutlookPart(BaseModel):
    """A part of the outlook."""

    model_config = ConfigDict(extra="forbid")


def _q(description: str, example: dict[str, Any]) -> Any:
    return Field(description=f"{description} Null where it cannot be told.", examples=[example])


class CoreLimitShown(OutlookPart):
    """The core's limit."""

    value: float = Field(description="The limit, in `unit`.", examples=[104])
    unit: str = Field(description="Its unit.", examples=["degF"])


class CourseShown(OutlookPart):
    """One number for each moment of `at`, with an 80 % band."""

    unit: str = Field(description="Unit of the numbers.", examples=["degF"])
    low: list[float] = Field(description="Low end.", examples=[[118, 114]])
    median: list[float] = Field(description="Middle.", examples=[[120, 118]])
    high: list[float] = Field(description="High end.", examples=[[122, 121]])


class TimerShown(OutlookPart):
    """The longest running time of pump or fan, the other one being off."""

    of: Literal["water_minutes_per_hour", "air_minutes_per_hour"] = Field(
        description="Which timer.", examples=["water_minutes_per_hour"]
    )
    running: Quantity | None = _q("Minutes in each hour that keep the core above the limit to the last day.", _RUNNING)
    hours_per_day: float = Field(description="Hours of the day it runs in.", examples=[24])
    power: Quantity | None = _q("The heat it then brings, on the mean.", _W)


class SeasonDraw(OutlookPart):
    """What can be drawn steadily with the core above the limit to the last day."""

    power: Quantity | None = _q("Around the clock.", _W)
    begins_in: Quantity | None = _q("Days until the heap, at rest, is warm enough to begin.", _DAYS)
    timers: list[TimerShown] = Field(
        description="The same with the loop or duct that is fitted, each by itself.",
        examples=[[{"of": "water_minutes_per_hour", "running": _RUNNING, "hours_per_day": 24, "power": _W}]],
    )
    text: str = Field(description="The same in words.", examples=["Nothing can be drawn."])


class OutlookEnergy(OutlookPart):
    """What is in the heap; burst and season draw never stand for each other."""

    total: Quantity | None = _q("All the chemical energy in the dry matter.", _MJ)
    usable_left: Quantity | None = _q("What can still come out as useful heat.", _MJ)
    burst_draw: Quantity | None = _q("What loop or duct could take for hours, out of stored heat.", _W)


class LostHeat(OutlookPart):
    """Heat lost over the days."""

    ground_and_air: Quantity | None = _q("Through skin and foot, less sunshine.", _MJ)
    evaporation: Quantity | None = _q("With vapour.", _MJ)
    drainage: Quantity | None = _q("With water running off, less what rain brings.", _MJ)


class AirHeat(OutlookPart):
    """Heat drawn by air over the days."""

    sensible: Quantity | None = _q("As warmth of the air.", _MJ)
    latent: Quantity | None = _q("As vapour in the air.", _MJ)


class DrawnHeat(OutlookPart):
    """Heat drawn over the days."""

    air: AirHeat = Field(description="By air.", examples=[{"sensible": _MJ, "latent": _MJ}])
    water: Quantity | None = _q("By the water loop.", _MJ)


class Ledger(OutlookPart):
    """Where the heat of these days comes from and goes, if nothing is changed.

    In each run made = lost + drawn + stored; medians of the parts need not add up.
    """

    made: Quantity | None = _q("Made by rot.", _MJ)
    lost: LostHeat = Field(description="Lost.", examples=[_LOST])
    drawn: DrawnHeat = Field(description="Drawn.", examples=[_DRAWN])
    stored: Quantity | None = _q("Stored; below zero where the heap ends colder.", _MJ)


class BeginOn(OutlookPart):
    """Days on which to begin, most likely and the ends of the 80 % range; today where it is late already."""

    value: date = Field(description="Most likely.", examples=["2026-02-01"])
    low: date = Field(description="Earliest: to be on the safe side.", examples=["2026-01-21"])
    high: date = Field(description="Latest.", examples=["2026-03-10"])


class NextHeapShown(OutlookPart):
    """When to begin the next heap, so that it is warm when this one is too cool to draw."""

    warm_up: Quantity | None = _q("Days a new heap of this size, of a good mix, takes to be drawn.", _DAYS)
    begin: BeginOn | None = Field(
        description="When to begin; null where this heap lasts, or has no warmth to bridge.",
        examples=[{"value": "2026-02-01", "low": "2026-01-21", "high": "2026-03-10"}],
    )
    text: str = Field(description="The same in words.", examples=["To have no gap, begin the next heap now."])


class OutlookAnswer(OutlookPart):
    """What lies ahead of one heap if nothing is changed, and what could be drawn."""

    id: str = Field(description="Follows from the status and what was asked.", examples=["3f1c0a9be2d47765"])
    as_of: datetime = Field(description="When the status was so.", examples=["2026-01-18T07:30:00+00:00"])
    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    units: Literal["metric", "us"] = Field(description="Units of the answer.", examples=["us"])
    days: int = Field(description="Days looked ahead.", ge=1, le=90, examples=[30])
    keep_core_above: CoreLimitShown = Field(
        description="Below this the core is too cool to draw.", examples=[{"value": 104, "unit": "degF"}]
    )
    warning: str | None = Field(
        description="What to see to before any of this: an overheating heap.",
        examples=["Keep clear of the heap and call the fire service."],
    )
    title: str = Field(description="What this shows.", examples=["Core of the heap over the next 30 days"])
    headline: str = Field(description="One sentence or two.", examples=["The core is expected to stay above 104 °F."])
    description: str = Field(
        description="The whole outlook in plain sentences, for those who do not see the chart.",
        examples=["Core of the heap over the next 30 days, if nothing is changed: about 118 °F today."],
    )
    at: list[datetime] = Field(description="Now, and each day ahead.", examples=[["2026-01-18T07:30:00+00:00"]])
    core: CourseShown = Field(description="The core.", examples=[_COURSE])
    outdoor: CourseShown = Field(
        description="Mean air of each day: the forecast, then what is usual.", examples=[_COURSE]
    )
    heat_drawn: CourseShown = Field(description="Heat drawn up to each moment, drawn as it is now.", examples=[_COURSE])
    days_until_warm: Quantity | None = _q("Days until the core first is at the limit; 0 where it is.", _DAYS)
    days_until_warm_at_rest: Quantity | None = _q("The same with nothing drawn.", _DAYS)
    days_until_cool: Quantity | None = _q(
        "Days until the core, once at the limit, is below it. A high end equal to `days` is open.", _DAYS
    )
    draw_plan: DrawPlan | None = Field(
        description="How to draw until the next reading, as `/advice` tells it; null where nothing is fitted.",
        examples=[None],
    )
    days_until_cool_at_rest: Quantity | None = _q("The same with nothing drawn.", _DAYS)
    chance_too_cool: float = Field(
        description="Chance, 0 to 1, that a core once at the limit is below it within the days.",
        ge=0,
        le=1,
        examples=[0.35],
    )
    season_draw: SeasonDraw = Field(
        description="What can be drawn to the last of the days.",
        examples=[{"power": _W, "begins_in": _DAYS, "timers": [], "text": "About 200 W can be drawn."}],
    )
    heat_available: Quantity | None = _q("The heat that this draw brings within the days.", _MJ)
    energy: OutlookEnergy = Field(
        description="What is in the heap.", examples=[{"total": _MJ, "usable_left": _MJ, "burst_draw": _W}]
    )
    ledger: Ledger = Field(
        description="Heat of the days ahead.", examples=[{"made": _MJ, "lost": _LOST, "drawn": _DRAWN, "stored": _MJ}]
    )
    next_heap: NextHeapShown = Field(
        description="When to begin the next heap.", examples=[{"warm_up": _DAYS, "begin": None, "text": "Not yet."}]
    )
    assumed: list[Assumed] = Field(
        description="What nobody gave and this rests on.",
        examples=[[{"field": "/pile/moisture", "value": 48, "low": 40, "high": 55, "unit": "%", "why": "usual"}]],
    )
    read_as: list[ReadAsShown] = Field(
        description="Names that were given by a synonym.",
        examples=[[{"field": "/on_hand/0", "given": "tarps", "read_as": "tarp"}]],
    )
