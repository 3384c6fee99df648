"""The answer about a winter or a year ahead as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.answer.shapes.draw_plan import DrawPlanMonth
from service.answer.shapes.part import AnswerPart, Assumed, ReadAsShown
from service.mix.shapes.answer import Plain
from service.mix.shapes.sources import NoteTold
from service.planning.shapes.greenhouse_answer import HouseMonth
from service.planning.shapes.parts import ASSUMED, ENERGY, NOTE, PERCENT, POWER, energy_field, example_quantity, share
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_HEATING = {"first": "2025-10-01", "last": "2026-04-30", "days": 212}
_NIGHTS = example_quantity(180, 150, 212, "1")
_OPTION: JsonObject = {
    "way": "in_a_row",
    "heaps": 2,
    "heat": ENERGY,
    "heat_of_use": ENERGY,
    "nights_short": _NIGHTS,
    "short_by": example_quantity(7, 5, 9, "delta_degC"),
    "stove": ENERGY,
    "stove_share": PERCENT,
    "worth_it": True,
    "chosen": True,
}
_STEP = {"start": "2025-12-01", "days": 31, "draw": {"value": 148, "unit": "W"}}
_DAYS = example_quantity(14, 5, 28, "days")
_DRAW_MONTH = {"month": "2025-10", "start_at": 45, "stop_at": 33, "hours": "night"}
_HEAP: JsonObject = {
    "draw_unit": "degC",
    "draw_months": [_DRAW_MONTH],
    "count": 1,
    "build_on": "2025-09-10",
    "lead_days": 21,
    "hot_after": _DAYS,
    "chance_hot_at_first_draw": 77,
    "draw_from": "2025-10-01",
    "draw_until": "2025-12-31",
    "holds_to_the_end": True,
    "lasts": example_quantity(92, 40, 92, "days"),
    "heat": ENERGY,
    "schedule": [_STEP],
}
_DATE = {
    "date": "2025-09-10",
    "what": "build",
    "heap": 1,
    "title": "Build heap 1",
    "text": "It should be hot after about 12 days.",
}
_CORE = {"low": [45, 43], "median": [62, 60], "high": [70, 69]}
_CHART: JsonObject = {
    "at": ["2025-12-01", "2025-12-04"],
    "power_unit": "W",
    "need": [3100, 3100],
    "draw": [148, 148],
    "core_unit": "degC",
    "limit": 40,
    "core": _CORE,
}
_MONTH = {
    "month": "2026-01",
    "nights": 31,
    "night_needed": POWER,
    "needed": ENERGY,
    "from_pile": ENERGY,
    "stove_share": PERCENT,
}
DateKind = Literal[
    "order",
    "build",
    "look",
    "top_up",
    "feed_again",
    "stove",
    "begin",
    "change",
    "end",
    "shut_down",
    "drain",
    "rest",
    "reuse",
]


class HeatingDays(AnswerPart):
    """Days from the first to the last night of need."""

    first: str = Field(description="First day.", examples=["2025-10-01"])
    last: str = Field(description="Last day.", examples=["2026-04-30"])
    days: int = Field(description="How many.", examples=[212])


class WayThrough(AnswerPart):
    """One way through the winter: three measures that pull against each other, never one score."""

    way: Literal["one", "in_a_row", "side_by_side"] = Field(
        description="One heap; several, each in its part of the winter; or several drawn at once all winter.",
        examples=["in_a_row"],
    )
    heaps: int = Field(description="Heaps built.", examples=[2])
    heat: Quantity = energy_field("Heat all of them give.")
    heat_of_use: Quantity = energy_field("Of that, what the house needs when it comes.")
    nights_short: Quantity = Field(description="Nights on which heaps alone are not enough.", examples=[_NIGHTS])
    short_by: Quantity = Field(
        description="How far the house would lie under its night target without a stove, mean of the nights of need.",
        examples=[_OPTION["short_by"]],
    )
    stove: Quantity = energy_field("What is left for the stove.")
    stove_share: Quantity = share("The stove's share of the need.")
    worth_it: bool = Field(
        description="Whether no other way gives as much heat with no more heaps and no more nights short (Pareto).",
        examples=[True],
    )
    chosen: bool = Field(description="Whether it is the one laid out below, that with the most heat.", examples=[True])


class DrawStep(AnswerPart):
    """The draw from one day on."""

    start: str = Field(description="First day.", examples=["2025-12-01"])
    days: int = Field(description="For how many days.", examples=[31])
    draw: Plain = Field(description="Mean over day and night.", examples=[_STEP["draw"]])


class HeapOfPlan(AnswerPart):
    """One heap of the plan."""

    draw_unit: Literal["degC", "degF"] = Field(description="Unit of the cores in `draw_months`.", examples=["degC"])
    draw_months: list[DrawPlanMonth] = Field(
        description="The plan of drawing by the core, month by month, for whoever has a thermostat.",
        examples=[[_DRAW_MONTH]],
    )
    count: int = Field(description="How many such heaps at once.", examples=[1])
    build_on: str = Field(description="Day to build it.", examples=["2025-09-10"])
    lead_days: int = Field(description="Days from building to the first draw.", examples=[21])
    hot_after: Quantity = Field(description="Days until it is hot, cut at the first draw.", examples=[_DAYS])
    chance_hot_at_first_draw: float = Field(
        description="Share of such heaps that are hot when drawing begins, in %.", examples=[77]
    )
    draw_from: str = Field(description="First day of drawing.", examples=["2025-10-01"])
    draw_until: str = Field(description="Last day of drawing.", examples=["2025-12-31"])
    holds_to_the_end: bool = Field(
        description="Whether the schedule holds the core to the last day with the chance asked; else it is the one "
        "that gives most until the core is too cool.",
        examples=[True],
    )
    lasts: Quantity = Field(description="Days of drawing before the core is too cool.", examples=[_HEAP["lasts"]])
    heat: Quantity = energy_field("Heat it gives.")
    schedule: list[DrawStep] = Field(description="The draw, month by month.", examples=[[_STEP]])


class PlanDate(AnswerPart):
    """A date of the plan."""

    date: str = Field(description="The day.", examples=["2025-09-10"])
    what: DateKind = Field(description="What kind of date.", examples=["build"])
    heap: int | None = Field(description="Which heap; null for all.", examples=[1])
    title: str = Field(description="What to do.", examples=["Build heap 1"])
    text: str = Field(description="What to mind.", examples=[_DATE["text"]])


class CoreBand(AnswerPart):
    """The core with its 80 % band."""

    low: list[float] = Field(description="Low end.", examples=[[45, 43]])
    median: list[float] = Field(description="Middle.", examples=[[62, 60]])
    high: list[float] = Field(description="High end.", examples=[[70, 69]])


class PlanChart(AnswerPart):
    """Series to draw, every few days from the first building to the last draw."""

    at: list[str] = Field(description="Days.", examples=[["2025-12-01", "2025-12-04"]])
    power_unit: str = Field(description="Unit of `need` and `draw`.", examples=["W"])
    need: list[float] = Field(description="Mean need of the house.", examples=[[3100, 3100]])
    draw: list[float] = Field(description="Draw of the plan.", examples=[[148, 148]])
    core_unit: str = Field(description="Unit of `core`.", examples=["degC"])
    limit: float = Field(description="Core below which nothing is drawn, in `core_unit`.", examples=[40])
    core: CoreBand = Field(description="Core of the heap in use, else of the newest.", examples=[_CORE])


class SeasonPlan(AnswerPart):
    """A winter or a year laid out."""

    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    units: Literal["metric", "us"] = Field(description="Units of this answer.", examples=["metric"])
    headline: str = Field(
        description="The plan in a few sentences.", examples=["2 heaps in a row of 20 m³ should give 2,210 MJ."]
    )
    heating: HeatingDays | None = Field(description="The heating season; null if there is none.", examples=[_HEATING])
    options: list[WayThrough] = Field(description="The ways, fewest heaps first.", examples=[[_OPTION]])
    heaps: list[HeapOfPlan] = Field(description="The heaps of the chosen way.", examples=[[_HEAP]])
    months: list[HouseMonth] = Field(description="Need and heat by month, the chosen way.", examples=[[_MONTH]])
    calendar: list[PlanDate] = Field(description="Dates of the chosen way, in order.", examples=[[_DATE]])
    chart: PlanChart | None = Field(description="Series of the chosen way.", examples=[_CHART])
    notes: list[NoteTold] = Field(description="What to know of these numbers.", examples=[[NOTE]])
    assumed: list[Assumed] = Field(description="Every value that was assumed.", examples=[[ASSUMED]])
    read_as: list[ReadAsShown] = Field(
        description="Names that were read by a synonym.",
        examples=[[{"field": "/mix/0/material", "given": "arborist chips", "read_as": "wood_chips_green"}]],
    )
