"""The steps that stand in place of the usual ones while it freezes, or while it rains. No units here either."""

from __future__ import annotations

from typing import Final

from rules.actions.texts import MASK, NO_CLIMBING, READ_FIRST

_WATER_IN_FROST: Final = "Pour it slowly into holes made with a bar, an arm's length apart, down to the core."
_MIDDAY: Final = "Work at midday, in the mildest hours, and close the heap again within the hour."

FROST_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "add_water": (
        "Water at midday, with warm water if you have it: hand warm, never hot.",
        _WATER_IN_FROST,
        "Never run a sprinkler on a frozen crust: it only makes ice.",
        "Give half now and half the next midday. Close the holes and cover the heap.",
        "Drain the hose and bring it in.",
    ),
    "add_nitrogen": (
        "Give half the dose now and the other half in a fortnight, if no ammonia smell comes.",
        "Stir it into warm water at midday, and pour it into holes made with a bar.",
        "Wear gloves, keep your face away from the holes, and close them at once.",
        "Never mix it with wood ash or lime: that drives it off as ammonia gas.",
    ),
    "cover_with_clear_film": (
        "Brush loose snow off first. Do not break a frozen crust.",
        "Lay the film in the mildest hours, when it is least stiff, and weigh the edges down.",
        "Leave a slit a hand wide along the ridge, and knock ice off it each morning.",
    ),
    "top_up": (
        "Use matter that is not frozen, and mix it before it goes on.",
        _MIDDAY,
        "Fill cracks and hollows first, then put the cover back.",
    ),
    "enlarge_pile": (
        "Use matter that is not frozen: keep it under a sheet until it goes on.",
        _MIDDAY,
        "Lay it on the cold and windy side first, as thick as your arm is long.",
        "Cover the heap again before dusk.",
    ),
    "loosen_pile": (
        READ_FIRST,
        MASK,
        _MIDDAY,
        "Lift only the wet part with a fork, and lay it back loosely. Mind the pipe or duct.",
        NO_CLIMBING,
    ),
    "add_dry_bulking": (
        READ_FIRST,
        MASK,
        _MIDDAY,
        "Fork coarse dry chips or straw, free of snow, into the wet part only.",
        NO_CLIMBING,
    ),
    "lift_cover": (
        "Stand upwind and fold back only the ridge, a hand wide.",
        "Do it at midday and lay it back loosely after an hour.",
    ),
    "pause_draw": (
        "Drain every pipe that could freeze, then switch the pump or fan off at the timer.",
        "If it cannot be drained, leave the pump a few minutes each hour.",
        "Read the core each day, and start again with a few minutes per hour once it has climbed.",
    ),
    "reduce_draw": (
        "Set the timer of the pump or fan as given here.",
        "Give the pump some of its minutes in every hour of the night: water that moves hardly freezes.",
        "Where pipes outside stand still longer, drain them, or fill a closed loop with antifreeze made for heating.",
        "Write down the core before and after, at the same hour and in the same spot.",
    ),
    "build_new_pile": (
        "Keep chips and manure under a sheet until you build: frozen matter starts late.",
        "Build it all in one mild day, mixed and wetted with warm water if you have it.",
        "Build it taller than you, and as wide as it is tall or wider. Cover it before dusk.",
    ),
    "start_next_pile": (
        "Collect fresh chips, manure and greens now, and keep them under a sheet: frozen matter starts late.",
        "Build in one mild day, on a clear, drained place, with warm water if you have it.",
        "Begin to draw from it only when its core has held hot for a week.",
    ),
}

RAIN_STEPS: Final[dict[str, tuple[str, ...]]] = {
    "lift_cover": (
        "Leave the cover over the top while it rains. Prop up its edges on sticks, so that air gets in below.",
        "Once the rain has stopped, stand upwind and fold it back from the ridge for some hours.",
        "Lay it back loosely before the next rain, with a hand-wide gap under the ridge.",
    ),
    "open_vent_in_film": (
        "Stand outside and upwind. Do not lean over the opening: the first breath out is hot and foul.",
        "While it rains, fold the film back low down, on the side away from the rain.",
        "Once the rain has stopped, cut a slit a hand wide along the ridge. Lay a board on blocks over it as a roof.",
        "Tie the edges so that the wind cannot tear them.",
    ),
}
