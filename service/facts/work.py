"""How long ago each kind of work was done."""

from __future__ import annotations

from typing import Final

from service.facts.record import Derived
from service.status.days import days_between
from service.status.models import Status
from service.units.figures import figure

WORK_FACTS: dict[str, frozenset[str]] = {
    "days_since_add_water": frozenset({"add_water"}),
    "days_since_add_nitrogen": frozenset({"add_nitrogen"}),
    "days_since_add_carbon": frozenset({"add_carbon"}),
    "days_since_open": frozenset({"loosen_pile", "add_dry_bulking", "top_up", "enlarge_pile"}),
    "days_since_insulate": frozenset({"insulate"}),
    "days_since_film": frozenset({"cover_with_clear_film"}),
    "days_since_bulking": frozenset({"add_dry_bulking"}),
    "days_since_loop_guard": frozenset({"protect_loop_from_frost"}),
    "days_since_draw_change": frozenset({"reduce_draw", "pause_draw", "raise_draw", "draw_air_instead_of_water"}),
    "days_since_cover_change": frozenset({"cover_with_clear_film", "insulate", "lift_cover", "open_vent_in_film"}),
}

HEATER_STAYS_DAYS: Final = figure(30.0, "days", "A heater that was lit is taken as in use for so long", "no source")


def read_work(status: Status, derived: Derived) -> None:
    """Put the days since the newest work of each kind; work that was not reported stays unknown."""
    for fact, actions in WORK_FACTS.items():
        ages = [days_between(work.at, status.as_of) for work in status.done or [] if work.action in actions]
        if ages:
            derived.put(**{fact: min(ages)})
    lit = [days_between(work.at, status.as_of) for work in status.done or [] if work.action == "light_backup_heat"]
    if lit:
        derived.put(backup_heat_known=min(lit) <= HEATER_STAYS_DAYS)
