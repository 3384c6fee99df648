"""The quick answer and the full one to the same status."""

from __future__ import annotations

from collections.abc import Iterator

from tests.coherence.case import Answer, Case, first, moves
from tests.coherence.law import law

OPPOSITE = (
    ({"raise_draw"}, {"reduce_draw", "pause_draw"}),
    ({"keep_going"}, {"reduce_draw", "pause_draw"}),
    ({"add_water"}, {"stop_adding_water", "add_dry_bulking"}),
    ({"cover_with_clear_film", "insulate"}, {"lift_cover"}),
    ({"keep_going", "wait"}, {"build_new_pile", "keep_clear_and_call_fire_service", "watch_heat"}),
)
MOST_APART = 0.01
"""Share of the statuses in which the quick answer may begin otherwise."""


@law("a first action that differs with and without what-ifs", "pair", MOST_APART)
def first_action_differs(case: Case, answer: Answer) -> Iterator[str]:
    quick, full = first(case.none)["action"], first(case.full)["action"]
    if quick != full:
        yield f"none: {quick}, full: {full}"


@law("first actions of opposite sense with and without what-ifs", "pair")
def first_actions_are_opposite(case: Case, answer: Answer) -> Iterator[str]:
    quick, full = first(case.none)["action"], first(case.full)["action"]
    for one, other in OPPOSITE:
        if (quick in one and full in other) or (quick in other and full in one):
            yield f"none: {quick}, full: {full}"


@law("a move of one answer that is warned off in the other", "pair")
def advised_here_warned_off_there(case: Case, answer: Answer) -> Iterator[str]:
    for one, other, which in ((case.none, case.full, "none"), (case.full, case.none, "full")):
        for move in {avoid["action"] for avoid in other["avoid"]} & set(moves(one)):
            yield f"{move} advised by {which}"
