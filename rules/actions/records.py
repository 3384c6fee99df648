"""Every move the advice can make, as data: what it costs, what it may gain, and how to do it safely.

Texts may hold `{THRESHOLD_ID}` fields; the reader's unit system fills them, as in the reasons of rules.
Their words are in `rules/actions/texts.py`, `rules/actions/frost_steps.py` and `rules/actions/heat_steps.py`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from rules.actions import choices
from rules.actions.frost_steps import FROST_STEPS
from rules.actions.heat_steps import OVERHEATING_STEPS, VERY_HOT_STEPS
from rules.actions.texts import ALTERNATIVES, STEPS, WATCH_FOR
from rules.language.model import Urgency

Effort = Literal["easy", "moderate", "hard"]
GainKind = Literal["none", "saves", "adds"]


@dataclass(frozen=True, slots=True)
class Gain:
    """What a move does to heat, and how much is expected before any what-if is run: 0 (nothing) to 3 (much)."""

    kind: GainKind
    expected: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One move.

    `settles_days` is the least and most time it takes to show. `needs` lists things of which any one is enough;
    empty means nothing has to be at hand, and `alternative` says what to do without them. `frost_steps`, where not
    empty, stand in place of `steps` while it freezes; `very_hot_steps` and `overheating_steps` go before both, from
    the fire limits on that they are named after. `opens_heap` lets heat, gas and dust out; `safety` outranks all.
    """

    id: str
    title: str
    effort: Effort
    gains: Gain
    watch_for: str
    look_again_days: float
    settles_days: tuple[float, float] | None = None
    needs: tuple[str, ...] = ()
    alternative: str = ""
    opens_heap: bool = False
    safety: bool = False
    steps: tuple[str, ...] = ()
    frost_steps: tuple[str, ...] = ()
    very_hot_steps: tuple[str, ...] = ()
    overheating_steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two moves that never stand in one answer: `keeps` stays, `drops` goes, and why."""

    keeps: str
    drops: str
    why: str


AN_HOUR: Final = 1 / 24
"""Days."""
NOTHING: Final = Gain("none", 0)
_FRESH: Final = (*choices.FRESH_WOOD, *choices.FRESH_FEED)
_COARSE_DRY: Final = (*choices.BULKING, "straw_bales")
_WRAPS: Final = ("straw_bales", *choices.WRAP, "breathable_cover")


def _action(
    id: str,
    title: str,
    effort: Effort,
    gains: Gain,
    look_again_days: float,
    *,
    settles_days: tuple[float, float] | None = None,
    needs: tuple[str, ...] = (),
    opens_heap: bool = False,
    safety: bool = False,
) -> Action:
    return Action(
        id=id,
        title=title,
        effort=effort,
        gains=gains,
        look_again_days=look_again_days,
        settles_days=settles_days,
        needs=needs,
        opens_heap=opens_heap,
        safety=safety,
        steps=STEPS[id],
        frost_steps=FROST_STEPS.get(id, ()),
        very_hot_steps=VERY_HOT_STEPS.get(id, ()),
        overheating_steps=OVERHEATING_STEPS.get(id, ()),
        watch_for=WATCH_FOR[id],
        alternative=ALTERNATIVES.get(id, ""),
    )


_ALL: Final = (
    _action(
        "add_water", "Add water", "moderate", Gain("adds", 3), 4, settles_days=(3, 5), needs=("water", "warm_water")
    ),
    _action(
        "add_nitrogen", "Feed nitrogen", "moderate", Gain("adds", 2), 10, settles_days=(7, 14), needs=choices.NITROGEN
    ),
    _action(
        "cover_with_clear_film",
        "Cover with clear film",
        "easy",
        Gain("saves", 2),
        3,
        settles_days=(1, 3),
        needs=("clear_film",),
    ),
    _action("reduce_draw", "Draw less heat", "easy", Gain("saves", 3), 3, settles_days=(1, 3)),
    _action("pause_draw", "Stop drawing heat for a while", "easy", Gain("saves", 3), 4, settles_days=(2, 7)),
    _action("raise_draw", "Draw more heat", "easy", NOTHING, 3, settles_days=(1, 3)),
    _action("draw_air_instead_of_water", "Draw by air, not by water", "easy", Gain("saves", 1), 3, settles_days=(1, 3)),
    _action("build_new_pile", "Build a new heap", "hard", Gain("adds", 3), 7, settles_days=(5, 14), needs=_FRESH),
    _action("start_next_pile", "Start the next heap", "hard", Gain("adds", 2), 14, settles_days=(5, 14), needs=_FRESH),
    _action(
        "enlarge_pile",
        "Make the heap bigger",
        "hard",
        Gain("adds", 2),
        10,
        settles_days=(5, 14),
        needs=_FRESH,
        opens_heap=True,
    ),
    _action(
        "top_up", "Top up the heap", "moderate", Gain("adds", 1), 7, settles_days=(3, 7), needs=_FRESH, opens_heap=True
    ),
    _action("loosen_pile", "Loosen the heap", "hard", Gain("adds", 2), 5, settles_days=(3, 7), opens_heap=True),
    _action(
        "add_dry_bulking",
        "Mix in coarse dry matter",
        "hard",
        Gain("adds", 2),
        5,
        settles_days=(3, 7),
        needs=_COARSE_DRY,
        opens_heap=True,
    ),
    _action(
        "add_carbon",
        "Mix in dry brown matter",
        "moderate",
        NOTHING,
        4,
        settles_days=(2, 7),
        needs=choices.CARBON,
        opens_heap=True,
    ),
    _action(
        "insulate",
        "Wrap the heap",
        "moderate",
        Gain("saves", 2),
        4,
        settles_days=(1, 4),
        needs=_WRAPS,
    ),
    _action("lift_cover", "Lift the cover", "easy", NOTHING, 2, settles_days=(1, 2)),
    _action("open_vent_in_film", "Open a vent in the film", "easy", NOTHING, 2, settles_days=(1, 2)),
    _action(
        "keep_rain_off",
        "Keep rain off",
        "easy",
        Gain("saves", 1),
        3,
        settles_days=(1, 7),
        needs=("tarp", "breathable_cover", "clear_film"),
    ),
    _action(
        "remove_snow", "Take the snow off where it does harm", "moderate", Gain("saves", 1), 2, settles_days=(0, 1)
    ),
    _action("stop_adding_water", "Stop adding water", "easy", NOTHING, 5, settles_days=(3, 14)),
    _action("check_loop", "Check the water loop", "moderate", Gain("saves", 1), 1, settles_days=(0, 1)),
    _action("protect_loop_from_frost", "Guard the loop from frost", "moderate", NOTHING, 1, settles_days=(0, 1)),
    _action("check_fan", "Check the fan", "easy", NOTHING, 1, settles_days=(0, 1)),
    _action("drain_duct", "Drain the air duct", "moderate", NOTHING, 2, settles_days=(0, 1)),
    _action("squeeze_again", "Squeeze more handfuls", "easy", NOTHING, 1, settles_days=(0, 1)),
    _action("check_probe", "Check the probe", "easy", NOTHING, 1, settles_days=(0, 1)),
    _action("ventilate_greenhouse", "Air the greenhouse", "easy", NOTHING, 1, safety=True),
    _action("light_backup_heat", "Use the backup heat", "moderate", NOTHING, 1),
    _action(
        "find_the_cause", "Read the core each day, and look for what cools it", "easy", NOTHING, 1, settles_days=(0, 1)
    ),
    _action("watch_heat", "Watch the heat", "easy", NOTHING, 0.5, safety=True),
    _action("wait", "Wait and see", "easy", NOTHING, 3),
    _action("keep_going", "Keep going as you are", "easy", Gain("saves", 1), 4),
    _action(
        "keep_clear_and_call_fire_service",
        "Keep clear and call the fire service",
        "easy",
        NOTHING,
        AN_HOUR,
        safety=True,
    ),
)

ACTIONS: Final = MappingProxyType({action.id: action for action in _ALL})

# --- what never stands together -----------------------------------------------------------------------------------
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
