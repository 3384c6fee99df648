"""What is dosed is a thing one can do: never nothing, never what is done already."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from tests.coherence.case import Answer, Case, drawn_told, told
from tests.coherence.law import law

NEED_MATTER = {
    "add_water",
    "add_dry_bulking",
    "add_carbon",
    "build_new_pile",
    "start_next_pile",
    "top_up",
    "enlarge_pile",
}
"""Moves that are nothing without an amount, whenever the heap's size is known or guessed."""
NAMES_A_DOSE = re.compile(r"\b(half the dose|the dose|given here|half now|the other half)\b")


@law("a dose of nothing, or one that reaches down to nothing")
def dose_of_nothing(case: Case, answer: Answer) -> Iterator[str]:
    for action, dose in _doses(answer):
        if not dose["low"] > 0:
            yield f"{action}: {dose['low']} to {dose['high']} {dose['unit']} of {dose['of']}"


@law("a dose whose range holds the present setting")
def dose_holds_the_present_setting(case: Case, answer: Answer) -> Iterator[str]:
    for action, dose in _doses(answer):
        now = _now(case, answer, dose["of"])
        if action in ("reduce_draw", "raise_draw") and now is not None and dose["low"] <= now <= dose["high"]:
            yield f"{action}: {dose['of']} is {now}, dose {dose['low']} to {dose['high']}"


@law("a move of matter without an amount")
def matter_without_an_amount(case: Case, answer: Answer) -> Iterator[str]:
    yield from (each["action"] for each in answer["actions"] if each["action"] in NEED_MATTER and not each["doses"])


@law("a step that names a dose where there is none")
def step_names_a_missing_dose(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        named = [step for step in action["steps"] if NAMES_A_DOSE.search(step)]
        if named and not action["doses"]:
            yield f"{action['action']}: {named[0]!r}"


@law("an amount for a heap of unknown size that is not told per volume of heap")
def amount_of_a_heap_of_unknown_size(case: Case, answer: Answer) -> Iterator[str]:
    pile = told(case.body, "pile")
    ingredients = pile.get("ingredients") or []
    if pile.get("size") or (ingredients and all("amount" in each for each in ingredients)):
        return
    for action, dose in _doses(answer):
        by_the_heap = dose["unit"] in ("L", "kg", "m3") and action not in ("build_new_pile", "start_next_pile")
        if by_the_heap and dose.get("per") not in ("m3", "yd3"):
            yield f"{action}: {dose['value']} {dose['unit']} of {dose['of']}"


@law("a dose out of order: low above value, or value above high")
def dose_out_of_order(case: Case, answer: Answer) -> Iterator[str]:
    for action, dose in _doses(answer):
        if not dose["low"] <= dose["value"] <= dose["high"]:
            yield f"{action}: {dose}"


def _doses(answer: Answer) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for action in answer["actions"]:
        for dose in action["doses"]:
            yield action["action"], dose
            yield from ((action["action"], other) for other in dose["or_instead"])


def _now(case: Case, answer: Answer, of: str) -> float | None:
    """The present setting of a draw, None where it was not told, or where the draw is off whatever its timer says.

    Hours of the day are those of the way that the plan speaks of, where there is one.
    """
    way = "air" if of.startswith("air") else "water"
    if of == "hours_per_day" and answer["draw_plan"] is not None:
        way = answer["draw_plan"]["way"]
    if drawn_told(case.body, way) is False:
        return None
    draw = told(case.body, "draw", way) or {}
    if of.endswith("minutes_per_hour"):
        minutes = draw.get("minutes_per_hour")
        return None if minutes is None and not draw.get("flow") else float(60 if minutes is None else minutes)
    if of == "hours_per_day":
        return draw.get("hours_per_day")
    return draw.get("flow") if of in ("air_flow", "water_flow") else None
