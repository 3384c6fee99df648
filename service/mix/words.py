"""What is said about a mix, in one place: plain sentences by quantity, verdict and cause."""

from __future__ import annotations

import re
from typing import Final

from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import (
    AMMONIA_EQUILIBRIUM,
    COMMON_PRACTICE,
    CORNELL_CHEMISTRY,
    CORNELL_MIX,
    NEW_BRUNSWICK,
    SURREY_FIRE,
    URINE_STUDY,
    WSU_AVAILABLE_CARBON,
)
from rules.tables.material import Material

ESTIMATE: Final = Source(
    SourceKind.PHYSICS,
    "our own estimate from published peaks and the factors of Haug, 1993; see its text",
    HowKnown.DERIVED,
)
FORMULA: Final = Source(
    SourceKind.HANDBOOK,
    "Agnew and Leonard, 2003, and Richard et al., 2004: free air space from bulk density and moisture",
    HowKnown.FROM_MEMORY,
)

UNKNOWN: Final = "This cannot be told for this mix."
VERDICTS: Final[dict[str, dict[str, str]]] = {
    "c_to_n": {
        "too_low": "Too much nitrogen for the carbon that can rot in time. The spare nitrogen leaves as ammonia.",
        "too_high": "Too little nitrogen for the carbon that can rot in time. It will stay cool and work slowly.",
        "reasonable": "This works. A little nearer to the middle would be better.",
        "preferred": "Carbon that can rot and nitrogen are in good balance.",
    },
    "c_to_n_total": {
        "too_low": "Low, even with all the carbon counted.",
        "too_high": "High, with all the carbon counted. Where wood holds most of it, go by the carbon that can rot.",
        "reasonable": "This works for a mix without much wood.",
        "preferred": "This is what most printed recipes aim at.",
    },
    "moisture": {
        "too_low": "Too dry. Rot slows down, and below 30 % it all but stops.",
        "too_high": "Too wet. Water fills the air spaces and the mix can turn sour.",
        "reasonable": "This works. Nearer to a wrung-out rag would be better.",
        "preferred": "Damp like a wrung-out rag, as it should be.",
    },
    "free_air_space": {
        "too_low": "Too little air space. Add something coarse and dry.",
        "too_high": "More air space than was asked for.",
        "reasonable": "There is room for air. A very airy heap cools and dries sooner, and it will settle.",
        "preferred": "There is room for air to move through.",
    },
    "soft_matter": {
        "too_low": "Less soft matter than was asked for.",
        "too_high": "Too much of it packs. It will mat and shut air out unless you mix in more coarse stuff.",
        "reasonable": "Coarse stuff can hold this open.",
        "preferred": "Coarse stuff can hold this open.",
    },
    "bulk_density": {
        "too_low": "Very light. It holds air well and warmth badly: build it large and wet it.",
        "too_high": "Heavy. It will press the air out of its own foot.",
        "reasonable": "A usual weight for a heap of this kind.",
        "preferred": "A usual weight for a heap of this kind.",
    },
    "expected_peak": {
        "too_low": "It may get warm, but is not likely to get hot.",
        "too_high": "It may get hotter than its own microbes like. Watch it in the first weeks.",
        "reasonable": "It should get hot enough to be of use.",
        "preferred": "It should get properly hot.",
    },
}
MEANINGS: Final = {
    "rots_in_weeks": "Share of the dry matter that rots within weeks. It gives the first heat.",
    "rots_in_years": "Share of the dry matter that rots over years. It carries the heat through a winter.",
}
PEAK_DOUBT: Final = (
    " This is a rough guide. It goes by water, air, nitrogen and what can rot in three weeks. It knows nothing of your "
    "weather or of how much heat you draw."
)

RICH_HIGH: Final = "Only {ratio} parts of carbon that can rot go with one of nitrogen. What is spare leaves as ammonia."
RICH_SOME: Final = "{ratio} parts of carbon that can rot go with one of nitrogen: some of it may leave as ammonia."
ASH_HIGH: Final = "Wood ash turns the nitrogen of {names} into ammonia gas. Leave the ash out."
ASH_SOME: Final = "Wood ash makes the mix alkaline, and that lets ammonia go. Keep it out, or to a dusting."
QUICK_SOME: Final = "The nitrogen of {names} turns to ammonia within days. Cover it at once and work in the open air."
OVERFED: Final = (
    "There is more nitrogen in the {names} than the carbon that can rot is able to hold: {share} of it would do. The "
    "rest leaves as ammonia or washes out."
)
CALM: Final = "There is enough carbon that can rot to hold the nitrogen."
NO_NITROGEN: Final = "There is hardly any nitrogen in it to lose."

WOOD_NOTE: Final = (
    "All the carbon is {total} to one part nitrogen, but {share} of it is in wood, and most of that cannot rot in "
    "time. Go by the carbon that can: {ratio} to one. Never feed for all of it with urea: what the microbes cannot use "
    "leaves as ammonia."
)
RUNS_OFF: Final = "There is more water than the mix has room for. It will run off and take nitrogen with it."
SMALL_NOTE: Final = "It comes to {volume}. A heap under {least} hardly holds its heat through frost."
FIRE_NOTE: Final = "A rich large heap can reach {daily}. From there look daily; from {clear} keep clear of it."
DRY_NOTE: Final = "Dry wood sheds water. Soak it a day before, or water it in layers and again after a day."

REASONS: Final[dict[str, tuple[str, str, Source]]] = {
    "rich_high": ("high", RICH_HIGH, CORNELL_CHEMISTRY),
    "rich_some": ("some", RICH_SOME, NEW_BRUNSWICK),
    "ash_high": ("high", ASH_HIGH, AMMONIA_EQUILIBRIUM),
    "ash_some": ("some", ASH_SOME, AMMONIA_EQUILIBRIUM),
    "quick_some": ("some", QUICK_SOME, URINE_STUDY),
    "overfed": ("high", OVERFED, WSU_AVAILABLE_CARBON),
    "calm": ("low", CALM, CORNELL_CHEMISTRY),
    "no_nitrogen": ("low", NO_NITROGEN, CORNELL_CHEMISTRY),
}
"""Causes of ammonia: how grave, the sentence, who says so."""
NOTES: Final[dict[str, tuple[str, Source]]] = {
    "wood": (WOOD_NOTE, WSU_AVAILABLE_CARBON),
    "runs_off": (RUNS_OFF, FORMULA),
    "small": (SMALL_NOTE, COMMON_PRACTICE),
    "fire": (FIRE_NOTE, SURREY_FIRE),
    "dry_wood": (DRY_NOTE, CORNELL_MIX),
}
"""What else to know: the sentence, who says so."""

GOOD_RECIPE: Final = "This mix should work."
WHY: Final = {
    "typical": "not given: typical of {name}",
    "size": "no size was asked for",
    "vessel": "a common {name}",
}
"""Why something was assumed."""

LIMIT_NAMES: Final = {
    "c_to_n": "Carbon that can rot to one part nitrogen",
    "c_to_n_total": "All carbon to one part nitrogen",
    "moisture": "Moisture",
    "free_air_space": "Free air space",
    "soft_matter": "Soft matter",
}
BEYOND: Final = {"low": "at least", "high": "at most"}
IN_THE_WAY_LIMIT: Final = "{name} is to be {bound} {asked}. That stands in the way; {would_do} would do."
IN_THE_WAY_TOGETHER: Final = "{name} is to be {bound} {asked}. That cannot be kept; the nearest mix has {would_do}."
IN_THE_WAY_MOST: Final = "There is not enough of this on hand: {name}. {would_do} would do, and there is {asked}."
IN_THE_WAY_LEAST: Final = "Too much {name} must go in: {would_do} would do, and {asked} is asked for."
IN_THE_WAY_LEAST_TOGETHER: Final = "Not all the {name} can go in: the nearest mix takes {would_do} of {asked}."
IN_THE_WAY_SIZE: Final = {
    "low": "What is on hand makes {would_do} of a mix that keeps the limits, not {asked}.",
    "high": "What must go in makes {would_do} or more, not {asked}.",
}
IN_THE_WAY_SIZE_TOGETHER: Final = "What is on hand comes to {would_do}, not {asked}."
IN_THE_WAY_FEED: Final = (
    "Only feeding the wood as if all of it could rot would do it. That is not offered: the spare nitrogen would leave "
    "as ammonia."
)
IN_THE_WAY_ROOM: Final = "It would take many times as much as there is. Build a new mix instead."
NOTHING_TO_MIX: Final = "What is on hand makes no mix at all."
GET_MORE: Final = "Get {amount} more {name}."
GET_NEW: Final = "Get {amount} of {name}."


def plain_name(material: Material) -> str:
    """A material's name without its asides, for use inside a sentence."""
    return re.split(r"[,(]", material.name)[0].strip()


def listed(names: list[str]) -> str:
    """Names in a row: `a`, `a and b`, `a, b and c`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
