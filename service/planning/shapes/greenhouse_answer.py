"""The answer about a house as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.answer.shapes.part import AnswerPart, Assumed
from service.mix.shapes.answer import Plain
from service.mix.shapes.sources import NoteTold, SourceTold
from service.planning.shapes.greenhouse import When
from service.planning.shapes.parts import (
    ASSUMED,
    CELSIUS,
    ENERGY,
    NOTE,
    PERCENT,
    POWER,
    SOURCE,
    energy_field,
    example_quantity,
    power,
    share,
    temperature_field,
)
from service.problems.json_text import JsonObject
from service.render.shape import Quantity

_PER_K = example_quantity(534, 372, 713, "W/K")
_FIGURE = {"what": "u_value", "amount": example_quantity(4, 3.4, 4.5, "W/(m2.K)"), "source": SOURCE}
_LOSS = {"by_night": _PER_K, "by_day": _PER_K, "glazing": _PER_K, "leaks": _PER_K, "foot": None, "figures": [_FIGURE]}
_COLDEST: JsonObject = {
    "outdoor": CELSIUS,
    "inside": example_quantity(6, 6, 6, "degC"),
    "needed": POWER,
    "through_glazing": POWER,
    "through_leaks": POWER,
    "through_foot": None,
    "from_pile": POWER,
    "stove": POWER,
    "stove_share": PERCENT,
    "pile_alone_holds": CELSIUS,
}
_COUNT = example_quantity(120, 110, 131, "1")
_SEASON: JsonObject = {
    "start": "2025-11-15",
    "until": "2026-03-31",
    "nights": 137,
    "nights_needing_heat": _COUNT,
    "degree_hours": example_quantity(17000, 14000, 20000, "delta_degC.h"),
    "needed": ENERGY,
    "needed_at_night": ENERGY,
    "from_pile": ENERGY,
    "stove": ENERGY,
    "stove_share": PERCENT,
    "stove_share_at_night": PERCENT,
    "nights_pile_alone": example_quantity(4, 0, 21, "1"),
}
_MONTH = {
    "month": "2026-01",
    "nights": 31,
    "night_needed": POWER,
    "needed": ENERGY,
    "from_pile": ENERGY,
    "stove_share": PERCENT,
}
_LOW = {"value": -15, "unit": "degC"}
_NIGHT = {"night": "2026-01-19", "low": _LOW, "needed": POWER, "from_pile": POWER, "stove_share": PERCENT}
_PILE = {"draw": POWER, "when": "when_needed", "most_carried": POWER, "keep_clear": False}
_SAVING = {
    "measure": "night_curtain",
    "title": "Night curtain",
    "coldest_night": POWER,
    "season": ENERGY,
    "text": "A curtain closed every night saves 20 to 50 % of what the glazing loses then.",
    "source": SOURCE,
}
_CARRIED: JsonObject = {
    "inlet": CELSIUS,
    "outlet": CELSIUS,
    "outlet_for_draw": CELSIUS,
    "from_pile": POWER,
    "to_house": POWER,
    "to_house_mean": POWER,
    "hours_per_day": 5,
    "flow_for_draw": example_quantity(31, 15, 60, "m3/h"),
    "hours_for_draw": example_quantity(5, 2.4, 9.6, "h/day"),
    "electric": example_quantity(25, 10, 62, "W"),
    "electricity": example_quantity(125, 52, 312, "Wh/day"),
    "heat_per_electricity": example_quantity(50, 18, 140, "1"),
}
_TURNOVER = {
    "while_running": example_quantity(44, 44, 44, "min"),
    "at_its_duty": example_quantity(212, 212, 212, "min"),
}
_OFF_GRID = {
    "electricity": example_quantity(211, 138, 399, "Wh/day"),
    "panel": example_quantity(217, 123, 531, "W"),
    "battery": example_quantity(106, 43, 249, "Ah"),
    "voltage": 12,
    "text": "A rough size from duty and sun only.",
}


class LossFigure(AnswerPart):
    """A figure that the loss was worked out from."""

    what: Literal["u_value", "air_changes", "foot", "night_curtain"] = Field(
        description="Loss per area of glazing and kelvin; changes of air an hour; loss per length of the foot; share "
        "of the glazing's loss that a curtain saves.",
        examples=["u_value"],
    )
    amount: Quantity = Field(description="As it was used.", examples=[_FIGURE["amount"]])
    source: SourceTold | None = Field(description="Who says so; null where it was given.", examples=[SOURCE])


class Loss(AnswerPart):
    """Heat lost for each kelvin the house is warmer than outside. W/K or BTU/(h.degF)."""

    by_night: Quantity = Field(description="All of it at night, with the curtain closed.", examples=[_PER_K])
    by_day: Quantity = Field(description="All of it by day.", examples=[_PER_K])
    glazing: Quantity = Field(description="Through the glazing, curtain open.", examples=[_PER_K])
    leaks: Quantity = Field(description="By air that leaks in and out.", examples=[_PER_K])
    foot: Quantity | None = Field(description="Along the foot of the walls; null where not counted.", examples=[_PER_K])
    figures: list[LossFigure] = Field(description="What it was worked out from.", examples=[[_FIGURE]])


class ColdestNight(AnswerPart):
    """The coldest night, steadily that cold."""

    outdoor: Quantity = temperature_field("Air outside.")
    inside: Quantity = temperature_field("Temperature to keep.")
    needed: Quantity = power("Heat the house needs.")
    through_glazing: Quantity = power("Of that, through the glazing.")
    through_leaks: Quantity = power("Of that, by leaks.")
    through_foot: Quantity | None = power("Of that, along the foot of the walls; null where not counted.")
    from_pile: Quantity | None = power("What the heap brings through the night; null without a heap.")
    stove: Quantity | None = power("What is left for the stove.")
    stove_share: Quantity | None = share("The stove's share of the need.")
    pile_alone_holds: Quantity | None = temperature_field("Temperature the heap holds by itself.")


class HouseSeason(AnswerPart):
    """The whole table of temperatures."""

    start: str | None = Field(description="First day; null where the table names no dates.", examples=["2025-11-15"])
    until: str | None = Field(description="Last day.", examples=["2026-03-31"])
    nights: int = Field(description="Nights in it.", examples=[137])
    nights_needing_heat: Quantity = Field(description="Nights on which heat is needed.", examples=[_COUNT])
    degree_hours: Quantity = Field(
        description="Degrees below the target times hours, over the hours that count.",
        examples=[_SEASON["degree_hours"]],
    )
    needed: Quantity = energy_field("Heat the house needs.")
    needed_at_night: Quantity = energy_field("Of that, at night.")
    from_pile: Quantity | None = energy_field("What the heap gives of it; null without a heap.")
    stove: Quantity | None = energy_field("What is left for the stove.")
    stove_share: Quantity | None = share("The stove's share of it.")
    stove_share_at_night: Quantity | None = share("The stove's share of the nights.")
    nights_pile_alone: Quantity | None = Field(
        description="Nights of need that the heap carries by itself.", examples=[_SEASON["nights_pile_alone"]]
    )


class HouseMonth(AnswerPart):
    """One month."""

    month: str = Field(description="The month; only its name where the table names no dates.", examples=["2026-01"])
    nights: int = Field(description="Nights of it in the table.", examples=[31])
    night_needed: Quantity = power("Mean need through a night.")
    needed: Quantity = energy_field("Heat the house needs.")
    from_pile: Quantity | None = energy_field("What the heap gives of it; null without a heap.")
    stove_share: Quantity | None = share("The stove's share.")


class HouseNight(AnswerPart):
    """One night."""

    night: str = Field(description="Day on whose evening it begins.", examples=["2026-01-19"])
    low: Plain = Field(description="Its coldest hour.", examples=[_NIGHT["low"]])
    needed: Quantity = power("Mean need through the night.")
    from_pile: Quantity | None = power("Mean heat from the heap; null without a heap.")
    stove_share: Quantity | None = share("The stove's share.")


class PileOfHouse(AnswerPart):
    """The heap as it was counted."""

    draw: Quantity = power("Its mean draw over day and night.")
    when: When = Field(description="Whether it is drawn when needed, or always.", examples=["when_needed"])
    most_carried: Quantity | None = power("Most that fan and pump bring into the house at a time; null if not known.")
    keep_clear: bool = Field(
        description="True if its status speaks of fire: keep clear, call the fire service; then no draw is counted.",
        examples=[False],
    )


class SavingShown(AnswerPart):
    """What one change would save, by itself."""

    measure: str = Field(
        description="A glazing as in `house.glazing`, or night_curtain, or water_barrels.", examples=["night_curtain"]
    )
    title: str = Field(description="What it is called.", examples=["Night curtain"])
    coldest_night: Quantity = power("Saved in the coldest night.")
    season: Quantity | None = energy_field("Saved over the table; null without one.")
    text: str = Field(description="What to know of it.", examples=[_SAVING["text"]])
    source: SourceTold = Field(description="Who says so.", examples=[SOURCE])


class CarriedShown(AnswerPart):
    """What one way of bringing heat does."""

    inlet: Quantity | None = temperature_field("Temperature it goes into the heap at, as counted; null if not known.")
    outlet: Quantity | None = temperature_field("Temperature it comes out at, as given; null if not.")
    outlet_for_draw: Quantity | None = temperature_field(
        "Temperature it would have to come out at to carry the heap's whole draw with this flow in these hours; null "
        "without a draw, out of reach, or for air drawn through the heap."
    )
    from_pile: Quantity | None = power("Heat taken from the heap while it runs; null if a temperature is missing.")
    to_house: Quantity | None = power("Heat the house gains while it runs.")
    to_house_mean: Quantity | None = power("The same as a mean over the day.")
    hours_per_day: float = Field(description="Hours of running a day, as counted.", examples=[5])
    flow_for_draw: Quantity | None = Field(
        description="Flow that would carry the heap's whole draw around the clock.",
        examples=[_CARRIED["flow_for_draw"]],
    )
    hours_for_draw: Quantity | None = Field(
        description="Hours a day in which this flow carries the heap's whole draw.",
        examples=[_CARRIED["hours_for_draw"]],
    )
    electric: Quantity = Field(description="Electric power while it runs, W.", examples=[_CARRIED["electric"]])
    electricity: Quantity = Field(description="Electricity of a day, Wh.", examples=[_CARRIED["electricity"]])
    heat_per_electricity: Quantity | None = Field(
        description="Heat brought over electricity used.", examples=[_CARRIED["heat_per_electricity"]]
    )


class Turnover(AnswerPart):
    """How long until as much air as the house holds has gone round once."""

    while_running: Quantity = Field(description="With the fan running.", examples=[_TURNOVER["while_running"]])
    at_its_duty: Quantity | None = Field(
        description="At the share of the day it runs; null if never.", examples=[_TURNOVER["at_its_duty"]]
    )


class Turned(AnswerPart):
    """How fast it turns the house's air over."""

    turnover: Turnover = Field(description="Air turnover of the house.", examples=[_TURNOVER])


class DuctShown(CarriedShown, Turned):
    """The duct and its fan."""


class OffGridShown(AnswerPart):
    """Panel and battery; rough."""

    electricity: Quantity = Field(description="Electricity of a day, Wh.", examples=[_OFF_GRID["electricity"]])
    panel: Quantity = Field(description="Rating of the panel, W.", examples=[_OFF_GRID["panel"]])
    battery: Quantity = Field(description="Size of the battery at its voltage, Ah.", examples=[_OFF_GRID["battery"]])
    voltage: int = Field(description="Voltage of the battery.", examples=[12])
    text: str = Field(description="What to check.", examples=[_OFF_GRID["text"]])


class GreenhousePlan(AnswerPart):
    """What a house needs, what a heap covers of it, and what would save."""

    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    units: Literal["metric", "us"] = Field(description="Units of this answer.", examples=["metric"])
    headline: str = Field(
        description="The answer in a few sentences.", examples=["At -12 °C outside the house needs 9,800 W."]
    )
    loss: Loss = Field(description="What the house loses per kelvin.", examples=[_LOSS])
    coldest_night: ColdestNight | None = Field(
        description="The coldest night; null where the period has no days of the table.", examples=[_COLDEST]
    )
    season: HouseSeason | None = Field(description="The table as a whole; null without one.", examples=[_SEASON])
    months: list[HouseMonth] = Field(description="The table by month.", examples=[[_MONTH]])
    nights: list[HouseNight] = Field(
        description="Up to 14 nights of greatest need, from hourly or daily temperatures.", examples=[[_NIGHT]]
    )
    pile: PileOfHouse | None = Field(description="The heap as counted; null without one.", examples=[_PILE])
    savings: list[SavingShown] = Field(
        description="What single changes would save, the greatest in the coldest night first.", examples=[[_SAVING]]
    )
    air: DuctShown | None = Field(
        description="Fan and duct; null if not described.", examples=[_CARRIED | {"turnover": _TURNOVER}]
    )
    water: CarriedShown | None = Field(description="Pump and loop; null if not described.", examples=[_CARRIED])
    off_grid: OffGridShown | None = Field(description="Panel and battery, if asked for.", examples=[_OFF_GRID])
    notes: list[NoteTold] = Field(description="What to know of these numbers.", examples=[[NOTE]])
    assumed: list[Assumed] = Field(description="Every value that was assumed.", examples=[[ASSUMED]])
