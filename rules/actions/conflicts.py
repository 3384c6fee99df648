"""Moves that never stand together in one answer, and those that give way to others."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from rules.actions.records import ACTIONS
from rules.language.model import Urgency


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two moves that never stand in one answer: `keeps` stays, `drops` goes, and why."""

    keeps: str
    drops: str
    why: str


EXCLUSIVE_WHEN_FIRE: Final = frozenset({"keep_clear_and_call_fire_service"})
"""The only moves in a fire: airing or heating the house beside the heap would send somebody near."""

ALLOWED_WHEN_OVERHEATING: Final = frozenset(
    {
        "watch_heat",
        "raise_draw",
        "pause_draw",
        "open_vent_in_film",
        "lift_cover",
        "ventilate_greenhouse",
        "light_backup_heat",
        "keep_clear_and_call_fire_service",
    }
)
"""The only moves at a heap on its way to a fire: what can be done away from it, or from its edge with a pole."""

KEEP_GOING_YIELDS_TO: Final = frozenset({Urgency.NOW, Urgency.TODAY})
"""`keep_going` is dropped when any other move on the heap is due this soon."""

_CHANGES_THE_DRAW: Final = ("reduce_draw", "pause_draw", "raise_draw", "draw_air_instead_of_water")

BEFORE_DIGGING: Final = frozenset({"keep_rain_off", "check_loop"})
"""What stops more water before any of it is dug for."""

BESIDE_THE_HEAP: Final = frozenset({"light_backup_heat", "ventilate_greenhouse", "protect_loop_from_frost"})
"""Moves that leave the heap as it is, so that `keep_going` may stand beside them."""


WAIT_YIELDS_TO: Final = frozenset(
    {
        "add_water",
        "add_nitrogen",
        "add_carbon",
        "add_dry_bulking",
        "loosen_pile",
        "top_up",
        "enlarge_pile",
        "build_new_pile",
        "reduce_draw",
        "pause_draw",
        "raise_draw",
        "draw_air_instead_of_water",
    }
)
"""`wait` is dropped when one of these is due as soon: nobody can do both."""

FREE_AND_INSTANT: Final = frozenset({"reduce_draw", "pause_draw", "stop_adding_water"})
"""Moves that cost nothing and are done at a switch or a tap: before digging, where both are as urgent."""

NOT_FOR_NOTHING: Final = frozenset({"add_nitrogen"})
"""Moves that are left out where their own what-if shows no gain: they cost money and foul the ground."""


def _drop(keeps: str, drops: Iterable[str], why: str) -> tuple[Conflict, ...]:
    return tuple(Conflict(keeps, move, why) for move in drops)


CONFLICTS: Final[tuple[Conflict, ...]] = (
    *_drop("stop_adding_water", ("add_water",), "A heap that is too wet is never watered."),
    *_drop("add_dry_bulking", ("add_water",), "Coarse dry matter opens a wet heap; water would shut it again."),
    *_drop("add_dry_bulking", ("loosen_pile",), "Mixing in opens the heap already: once is enough."),
    *_drop("squeeze_again", ("add_water", "add_dry_bulking"), "First be sure that it is dry, or wet."),
    *_drop("pause_draw", ("raise_draw", "reduce_draw", "draw_air_instead_of_water"), "A draw that is off is not set."),
    *_drop("reduce_draw", ("raise_draw",), "A draw cannot go both ways; the heap comes first."),
    *_drop(
        "build_new_pile",
        (
            "start_next_pile",
            "enlarge_pile",
            "top_up",
            "add_water",
            "add_nitrogen",
            "add_dry_bulking",
            "loosen_pile",
            "keep_going",
        ),
        "A spent heap does not pay for more work.",
    ),
    *(
        conflict
        for move in _CHANGES_THE_DRAW
        for conflict in _drop(move, ("keep_going", "wait"), "Nobody changes the draw and leaves it as it is.")
    ),
    *(
        conflict
        for move in ("loosen_pile", "add_dry_bulking", "add_carbon")
        for conflict in _drop(move, ("keep_going", "wait"), "Nobody opens a heap and leaves it as it is.")
    ),
    *_drop("lift_cover", ("cover_with_clear_film", "insulate"), "A heap that needs air is not wrapped."),
    *_drop("add_carbon", ("add_nitrogen",), "Ammonia already leaves; more nitrogen would only leave too."),
    *_drop("wait", ("keep_going",), "Waiting for work to show is the clearer word."),
    *_drop("find_the_cause", ("keep_going", "wait"), "A heap that cools for no known reason is not left to itself."),
    *_drop("watch_heat", ("keep_going", "wait"), "A heap this hot is not left to itself."),
    *_drop("watch_heat", ("cover_with_clear_film", "insulate"), "A heap this hot is not wrapped."),
    *_drop(
        "keep_clear_and_call_fire_service",
        sorted(set(ACTIONS) - EXCLUSIVE_WHEN_FIRE),
        "Nobody goes near a heap that may burn.",
    ),
)
