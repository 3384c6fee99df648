"""Every move the advice can make, as data: what it costs, what it may gain, and how to do it safely.

Texts may hold `{THRESHOLD_ID}` fields; the reader's unit system fills them, as in the reasons of rules.
Their words are in `rules/actions/texts.py`, and in `frost_steps.py`, `heat_steps.py`, `danger_steps.py` and
`narrow_steps.py` beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal

from rules.actions import choices
from rules.actions.danger_steps import STANDING_STEPS, UNTIL_CLEARED_STEPS
from rules.actions.frost_steps import FROST_STEPS, RAIN_STEPS
from rules.actions.heat_steps import OVERHEATING_STEPS, VERY_HOT_STEPS
from rules.actions.narrow_steps import CLOSING_STEPS, ENDING_STEPS, UNFITTED_STEPS
from rules.actions.texts import ALTERNATIVES, STEPS, WATCH_FOR

Effort = Literal["easy", "moderate", "hard"]
GainKind = Literal["none", "saves", "adds"]
StepSituation = Literal[
    "overheating", "very_hot", "until_cleared", "standing", "closing", "ending", "unfitted", "rain", "frost"
]
SITUATIONS: Final[Mapping[StepSituation, Mapping[str, tuple[str, ...]]]] = {
    "overheating": OVERHEATING_STEPS,
    "very_hot": VERY_HOT_STEPS,
    "until_cleared": UNTIL_CLEARED_STEPS,
    "standing": STANDING_STEPS,
    "closing": CLOSING_STEPS,
    "ending": ENDING_STEPS,
    "unfitted": UNFITTED_STEPS,
    "rain": RAIN_STEPS,
    "frost": FROST_STEPS,
}
"""The steps of each situation, by action; what endangers most comes first."""


@dataclass(frozen=True, slots=True)
class Gain:
    """What a move does to heat, and how much is expected before any what-if is run: 0 (nothing) to 3 (much)."""

    kind: GainKind
    expected: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One move.

    `settles_days` is the least and most time it takes to show. `needs` lists things of which any one is enough;
    empty means nothing has to be at hand, and `alternative` says what to do without them. `steps_in` holds the steps
    that stand in place of `steps` in a situation, of which the first of SITUATIONS that is there counts.
    `opens_heap` lets heat, gas and dust out; `safety` outranks all.
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
    steps_in: Mapping[StepSituation, tuple[str, ...]] = field(default_factory=dict)


AN_HOUR: Final = 1 / 24
"""Days."""
A_STEP_SHOWS_DAYS: Final = 3.0
"""A change of the draw has shown after so many days (common practice, no source)."""
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
        steps_in={situation: steps[id] for situation, steps in SITUATIONS.items() if id in steps},
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
    _action("reduce_draw", "Draw less heat", "easy", Gain("saves", 3), 3, settles_days=(1, A_STEP_SHOWS_DAYS)),
    _action("pause_draw", "Stop drawing heat for a while", "easy", Gain("saves", 3), 4, settles_days=(2, 7)),
    _action("raise_draw", "Draw more heat", "easy", NOTHING, 3, settles_days=(1, A_STEP_SHOWS_DAYS)),
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
