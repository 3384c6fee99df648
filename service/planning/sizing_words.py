"""What is said about a planned heap, in one place."""

from __future__ import annotations

from typing import Final

from rules.language.model import Source
from rules.language.sources import (
    BUGGELN_FIRE,
    COMMON_PRACTICE,
    HEAT_BALANCE,
    STATIC_PRUNINGS_PILE,
    WSU_AVAILABLE_CARBON,
)
from service.planning.notes import OWN_MODEL

BUILD: Final = "Build a heap of {volume} as laid, {mass}, {diameter} across and {height} high."
SUSTAINS: Final = "It should sustain about {season} for {days} ({low} to {high})."
NO_HEAP: Final = "No single heap within the bounds gives {asked} for {days}."
LARGEST, THIS_ONE = "The largest", "This one"
NOT_THIS_HEAP: Final = "A heap of {volume} as laid, {mass}, is not likely to give {asked} for {days}."
NEAREST_HEAT: Final = "{which}, {volume} as laid, should sustain about {draw}."
NEAREST_HEAPS: Final = "{count} such heaps side by side would do it."
NEAREST_DAYS: Final = "{which} gives {asked} for about {days}."
NEAREST_LIMIT: Final = "{which} gives it if the core may fall to {limit}."
NEAREST_LEAD: Final = "Too few such heaps are hot when drawing begins; build it {lead} before the first draw."
NOTHING_HELPS: Final = "Neither a longer lead, nor less heat, nor fewer days help; a richer mix or milder weather may."

BURST: Final = (
    "For a few hours the loop or duct could take this, out of heat stored while nothing was drawn. It is no measure of "
    "a season."
)
SEASON: Final = "Around the clock over all the days, with the core at or above {limit} to the last."
RULE_OF_THUMB: Final = "rule of thumb"
YOURS: Final = "yours"
IMPOSSIBLE: Final = (
    "{rating} for {days} would be {share} of all the chemical energy in the heap: more than there is. Such figures "
    "come from a fresh heap's first hours, when stored heat runs out of it."
)
BURST_ONLY: Final = (
    "{rating} for {days} would burn {share} of all the chemical energy in the heap. Fewer than one in ten heaps of the "
    "best mix can give that; the heat stored above the limit would last {hours}."
)
POSSIBLE: Final = (
    "{rating} for {days} is {share} of the chemical energy: the best mixes could do it, but it is {times} what this "
    "heap should sustain."
)
POSSIBLE_LESS: Final = "{rating} for {days} is no more than this heap should sustain."

RANGE_NOTE: Final = (
    "The ranges are wide because heaps are: how fast a mix rots, how hard the place cools it and how well air gets in "
    "are not known beforehand. {nothing} of such heaps would not hold their core to the end even undrawn."
)
NITROGEN_NOTE: Final = (
    "It is counted as fed. That nitrogen helps is built into the model, not a finding; wood is fed for the carbon that "
    "can rot, no more."
)
HEIGHT_NOTE: Final = "No heap is planned higher than {height}: the deeper, the likelier a fire."
SCALE_NOTE: Final = "For scale: a full-size heap of prunings gave a farmhouse 2.75 kW on the mean of a year."
SETTLE_NOTE: Final = (
    "It sinks by a fifth in the first hot weeks. Lay it full, and lay the tube so that it can sink along."
)
SUM_NOTE: Final = "Heat made is heat lost, drawn and stored; what the cold takes through the skin, no tube can take."
LEAD_NOTE: Final = "{share} of such heaps are hot, {hot} or more, when drawing begins. Do not draw before yours is."
FILM_NOTE: Final = "Film keeps rain off and warmth in, but also cuts the air. Leave the ridge open."

REPORTS_NOTE: Final = (
    "Builders report more from heaps of this size: {reported} of chips with manure held {held} for half a year while "
    "drawn, another {held_too} for over five weeks. Nobody has measured what they gave."
)

NOTES: Final[dict[str, tuple[str, Source]]] = {
    "range": (RANGE_NOTE, OWN_MODEL),
    "lead": (LEAD_NOTE, OWN_MODEL),
    "nitrogen": (NITROGEN_NOTE, WSU_AVAILABLE_CARBON),
    "height": (HEIGHT_NOTE, BUGGELN_FIRE),
    "settle": (SETTLE_NOTE, COMMON_PRACTICE),
    "film": (FILM_NOTE, COMMON_PRACTICE),
    "sum": (SUM_NOTE, HEAT_BALANCE),
    "scale": (SCALE_NOTE, STATIC_PRUNINGS_PILE),
    "reports": (REPORTS_NOTE, COMMON_PRACTICE),
}
"""What to know: the sentence, who says so."""

TUBE: Final = (
    "Lay it in flat coils, {spacing} from turn to turn, between {inner} and {outer} from the centre, from {ground} "
    "above the ground up, in {layers}, {spacing} apart. The outermost turn lies {face} in from the outer face at the "
    "foot."
)
CROWDED: Final = " The heap has no room for all the tube the draw would take; run the pump longer, or build larger."
DUCT: Final = (
    "Lay it closed, in {rings}, {spacing} from turn to turn, in {layers}: the outermost {centre} from the centre, "
    "{face} in from the outer face at the foot, the lowest {ground} above the ground, with a steady fall so that water "
    "runs out."
)
DUCT_CROWDED: Final = " The heap has no room for all the duct the draw would take; run the fan longer, or build larger."
