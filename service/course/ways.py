"""The ways of drawing that are fitted, each with the flow its pump or fan gives."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from service.course.draws import SetDraw
from service.facts.drawing import DAY_HOURS, USUAL_WHY
from service.facts.record import Assumption
from service.heat.physics.air_duct import capacity_flow
from service.heat.physics.arrays import Array
from service.heat.physics.piles import DEFAULT_INLET_C, Piles
from service.picture.record import Picture
from service.units.estimate import MINUTES_PER_HOUR, USUAL_FAN, USUAL_PUMP, Estimate


@dataclass(frozen=True, slots=True)
class DrawWay:
    """One way of drawing: the dose its timer takes, its hours in the day, how to set it, and what was assumed of it."""

    of: Literal["water_minutes_per_hour", "air_minutes_per_hour"]
    hours_per_day: float
    drawing: SetDraw
    assumed: tuple[Assumption, ...]


def ways_of(picture: Picture) -> list[DrawWay]:
    """Loop and duct, where they are fitted; each is to run alone."""
    facts = picture.derived.facts
    found = []
    if facts.get("has_water_loop"):
        found.append(_water(picture))
    if facts.get("has_air_duct"):
        found.append(_air(picture))
    return found


def _water(picture: Picture) -> DrawWay:
    draw = picture.status.draw.water if picture.status.draw else None
    flow, assumed = _flow(draw.flow if draw else None, USUAL_PUMP, "/draw/water/flow", "water_flow", picture)
    hours = _hours(draw.hours_per_day if draw else None)

    def drawing(piles: Piles, minutes: Array) -> Piles:
        ones = np.ones_like(minutes)
        return replace(
            piles,
            water_flow_kg_s=flow * ones,
            water_hour_share=minutes / MINUTES_PER_HOUR,
            water_day_share=hours / DAY_HOURS * ones,
        )

    return DrawWay("water_minutes_per_hour", hours, drawing, assumed)


def _air(picture: Picture) -> DrawWay:
    draw = picture.status.draw.air if picture.status.draw else None
    flow, assumed = _flow(draw.flow if draw else None, USUAL_FAN, "/draw/air/flow", "air_flow", picture)
    inlet = draw.inlet if draw is not None and draw.inlet is not None else DEFAULT_INLET_C
    hours = _hours(draw.hours_per_day if draw else None)
    dry_air = float(capacity_flow(flow, inlet)[0])

    def drawing(piles: Piles, minutes: Array) -> Piles:
        running = minutes / MINUTES_PER_HOUR * hours / DAY_HOURS
        return replace(piles, air_flow_kg_s=np.full_like(minutes, dry_air), air_share=running)

    return DrawWay("air_minutes_per_hour", hours, drawing, assumed)


def _flow(
    told: float | None, usual: Estimate, pointer: str, quantity: Literal["water_flow", "air_flow"], picture: Picture
) -> tuple[float, tuple[Assumption, ...]]:
    """The flow while running, assumed where it was not told, and noted where it was not noted before."""
    if told:
        return told, ()
    noted = any(assumption.pointer == pointer for assumption in picture.derived.assumed)
    return usual.value, () if noted else (Assumption(pointer, usual, quantity, USUAL_WHY[quantity]),)


def _hours(told: float | None) -> float:
    """Hours of the day it may run; a way that is off is judged as if it could run all day."""
    return told or DAY_HOURS
