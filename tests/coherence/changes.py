"""Two statuses that differ in one thing, and what may not differ between their answers."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any, Final

from rules.language.model import Urgency
from service.problems.problem import Problem
from tests.coherence.case import Answer, Body, Case, first, told

ORDER: Final = [urgency.value for urgency in Urgency]
OPPOSITE: Final = frozenset(
    frozenset(pair)
    for pair in (
        ("reduce_draw", "raise_draw"),
        ("pause_draw", "raise_draw"),
        ("keep_going", "reduce_draw"),
        ("keep_going", "pause_draw"),
        ("add_water", "stop_adding_water"),
        ("add_nitrogen", "add_carbon"),
        ("cover_with_clear_film", "lift_cover"),
        ("keep_going", "build_new_pile"),
    )
)
NEUTRAL: Final[tuple[tuple[tuple[str, ...], Any], ...]] = (
    (("smell",), "earthy"),
    (("probe", "checked"), True),
    (("pile", "wind"), "normal"),
    (("signs",), []),
)
"""What says that all is usual there: it turns no first move into its opposite."""
AS_ASSUMED: Final = ("min/h", "h/day")
"""Units of what is taken for granted of a draw, and can be told just so."""
FIRE_STEPS_C: Final = (66.0, 70.5, 75.5, 80.5)


def complaints(body: Body) -> Iterator[str]:
    """What the answers to a status, and to those one change away, may not do."""
    answer = Case(body).none
    yield from _told_as_assumed(body, answer)
    yield from _neutral(body, answer)
    yield from _hotter(body)


def _told_as_assumed(body: Body, answer: Answer) -> Iterator[str]:
    for assumed in answer["assumed"]:
        if assumed["unit"] in AS_ASSUMED:
            other = _answer_with(body, tuple(assumed["field"].strip("/").split("/")), assumed["value"])
            if other is not None and _opposite(answer, other):
                yield f"{assumed['field']} told as it was assumed: {_moves(answer)} and then {_moves(other)}"


def _neutral(body: Body, answer: Answer) -> Iterator[str]:
    for path, value in NEUTRAL:
        if told(body, *path) is None:
            other = _answer_with(body, path, value)
            if other is not None and _opposite(answer, other):
                yield f"{'/'.join(path)} {value}: {_moves(answer)} and then {_moves(other)}"


def _hotter(body: Body) -> Iterator[str]:
    """A hotter core is never less urgent, from where the heat is watched."""
    before = len(ORDER)
    for celsius in FIRE_STEPS_C if told(body, "temperatures", "core") is not None else ():
        other = _answer_with(body, ("temperatures", "core"), celsius)
        if other is not None:
            urgency = min(ORDER.index(each["urgency"]) for each in other["actions"])
            if urgency > before:
                yield f"at {celsius} degC {_moves(other)} is {ORDER[urgency]}"
            before = urgency


def _answer_with(body: Body, path: tuple[str, ...], value: Any) -> Answer | None:
    """The answer with one field set; None where that cannot be."""
    changed = copy.deepcopy(body)
    node = changed
    for name in path[:-1]:
        node = node.setdefault(name, {})
    node[path[-1]] = value
    try:
        return Case(changed).none
    except Problem:
        return None


def _opposite(one: Answer, other: Answer) -> bool:
    return frozenset((first(one)["action"], first(other)["action"])) in OPPOSITE


def _moves(answer: Answer) -> list[str]:
    return [each["action"] for each in answer["actions"]]
