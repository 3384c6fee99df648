"""How a winter can be lived: by habit, by the advice, or in hindsight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Hours = Literal["all", "night"]


@dataclass(frozen=True, slots=True)
class Policy:
    """Which work is done and how heat is drawn.

    `work`: `none`, `dry` (water when a handful is dry), the advice's `first`, `three` or `all` actions, or `right`
    (water, nitrogen, film and wrap as the truth has it). `draw`: `off`, `core` (on at `start_c`, off at `stop_c`),
    `told` (minutes by the advice's draw actions), `season` (`factor` times its season draw) or `plan`.
    """

    name: str
    work: Literal["none", "dry", "first", "three", "all", "right"]
    draw: Literal["off", "core", "told", "season", "plan"]
    start_c: float = 55.0
    stop_c: float = 40.0
    hours: Hours = "all"
    factor: float = 1.0

    @property
    def asks(self) -> bool:
        """Whether the advice is asked for."""
        return self.work in ("first", "three", "all") or self.draw in ("told", "season", "plan")

    @property
    def effects(self) -> Literal["none", "full"]:
        """How the advice is asked: only those who follow its plan need what-ifs, which cost ten times as much."""
        return "full" if self.draw == "plan" else "none"


HABITS: Final = ("nothing", "thermostat", "thermostat-and-water")

POLICIES: Final = {
    policy.name: policy
    for policy in (
        Policy("nothing", "none", "off"),
        Policy("thermostat", "none", "core"),
        Policy("thermostat-and-water", "dry", "core"),
        Policy("three-as-told", "three", "told"),
        Policy("all-as-told", "all", "told"),
        Policy("first-as-told", "first", "told"),
        Policy("work-and-thermostat", "all", "core"),
        Policy("three-and-thermostat", "three", "core"),
        Policy("first-and-thermostat", "first", "core"),
        Policy("three-and-night", "three", "core", 45.0, 33.0, "night"),
        Policy("first-and-night", "first", "core", 45.0, 33.0, "night"),
        Policy("three-season-x2", "three", "season", factor=2.0),
        Policy("three-season-x4", "three", "season", factor=4.0),
        Policy("three-and-plan", "three", "plan"),
        Policy("first-and-plan", "first", "plan"),
        Policy("all-and-plan", "all", "plan"),
        Policy("plan-alone", "none", "plan"),
    )
}

HINDSIGHT: Final = tuple(
    Policy(f"right-{start}-{stop}-{hours}", "right", "core", start, stop, hours)
    for start, stop in ((35, 25), (45, 30), (55, 45), (62, 50))
    for hours in ("all", "night")
)
"""The best of these for each heap, with the work right, is what hindsight could have had of it."""
