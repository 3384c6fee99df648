"""What first-pass rules may conclude, and second-pass rules may read (`from rules import findings as found`)."""

from __future__ import annotations

from typing import Final

from rules.language.conditions import Found

_ALL: Final[dict[str, Found]] = {}
CAUSES: Final[dict[str, str]] = {}


def _finding(name: str, meaning: str, *, cause: bool = False) -> Found:
    """`cause=True`: it can explain a disappointing heap and so appears in the likely causes."""
    fact = Found(name, "flag", "", meaning)
    if name in _ALL:
        raise ValueError(f"finding {name} is declared twice")
    _ALL[name] = fact
    if cause:
        CAUSES[name] = meaning
    return fact


too_dry = _finding("too_dry", "Too little water for rot to go on well.", cause=True)
very_dry = _finding("very_dry", "So dry that rot has all but stopped.")
dry_core_under_wet_skin = _finding("dry_core_under_wet_skin", "Rain or water never got past the skin.", cause=True)
too_wet = _finding("too_wet", "More water than rot likes; air has less room.", cause=True)
waterlogged = _finding("waterlogged", "So wet that air is shut out.", cause=True)
hand_doubtful = _finding("hand_doubtful", "One handful that an earlier one or the heap's heat speaks against.")
starved_of_nitrogen = _finding("starved_of_nitrogen", "Too little nitrogen for the carbon that can rot.", cause=True)
too_much_nitrogen = _finding("too_much_nitrogen", "Nitrogen leaves as ammonia.", cause=True)
short_of_air = _finding("short_of_air", "Too little air reaches the middle.", cause=True)
channelling = _finding("channelling", "Air or water runs through cracks and passes the mass by.", cause=True)
overdrawn = _finding("overdrawn", "More heat is taken than is made, and the core falls.", cause=True)
asked_beyond_season = _finding("asked_beyond_season", "The draw is more than the heap can sustain to the goal's date.")
will_fall = _finding("will_fall", "If nothing is changed, the core falls by many degrees within a week.")
cool_soon = _finding("cool_soon", "If nothing is changed, the core is below the goal's limit within days.")
room_to_draw = _finding("room_to_draw", "Hot and steady, with less taken than it can sustain.")
less_made = _finding("less_made", "The core falls because less heat is made, not because of the draw.")
losing_unseen = _finding("losing_unseen", "Somewhere more is lost or drawn than was told.", cause=True)
cold_soaked = _finding("cold_soaked", "Chilled through, with fuel left.", cause=True)
losing_to_weather = _finding("losing_to_weather", "Bare or windy: much of the heat is lost at the skin.", cause=True)
spent = _finding("spent", "What could rot has rotted; heat will not come back.", cause=True)
ageing = _finding("ageing", "Past its best; the next heap should be on its way.")
too_young_to_judge = _finding("too_young_to_judge", "Too young to judge.")
warming_well = _finding("warming_well", "Warming as it should.")
steady_hot = _finding("steady_hot", "Hot and holding.")
too_small = _finding("too_small", "Too small to hold its own heat in frost.", cause=True)
towards_fire = _finding("towards_fire", "Hot and dry, or hot and still rising: watch for fire.")
very_hot = _finding("very_hot", "Hotter than the microbes like; look daily.")
overheating = _finding("overheating", "On the way to a fire.")
fire_danger = _finding("fire_danger", "So hot that it may catch fire, or smoke, or a burnt smell.")
settling_water = _finding("settling_water", "Water was added and has not had time to act.")
settling_nitrogen = _finding("settling_nitrogen", "Nitrogen was added and has not had time to act.")
settling_open = _finding("settling_open", "The heap was opened or rebuilt lately and has not had time to recover.")
settling_draw = _finding("settling_draw", "The draw was changed and the heap has not had time to answer.")
one_sided = _finding("one_sided", "Only one side is warm, and nobody has looked why.")
core_doubtful = _finding("core_doubtful", "The core reading may not be the core.")
loop_frost_danger = _finding("loop_frost_danger", "The loop may freeze.")
house_short = _finding("house_short", "The heap cannot cover the house tonight.")
gas_into_house = _finding("gas_into_house", "Heap gases may be led into the greenhouse.")

DECLARED: Final = dict(_ALL)
