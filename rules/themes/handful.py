"""One handful against what else is known of the water in a heap."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import NOT_TOO_HOT
from rules.language.model import Act, Avoid, Finding, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_MIX
from rules.tables.squeeze import DRY_INSIDE, FROM_INSIDE, WET_INSIDE
from rules.tables.thresholds import (
    TOO_DRY_BELOW,
    TOO_WET_ABOVE,
    YOUNG_UNTIL,
)

_HEATS_WELL = f.phase.one_of("hot") & (f.age_days > YOUNG_UNTIL)
_HAND_DOUBTED = f.hand_confirmed.is_false() | (f.hand_confirmed.unknown() & _HEATS_WELL)
"""An earlier handful said otherwise, or there was none and the heap works as no heap of that feel does."""
_NO_DRY_SIGN = f.ash_streaks.not_seen() & f.ants.not_seen()
"""Nothing else tells of dryness inside."""
_ONE_HAND = f.moisture_percent.unknown() & f.dry_pockets.not_seen() & f.leachate.not_seen() & f.moisture_feel.known()

RULES: Final = (
    Rule(
        id="moisture.dry-hand-against-earlier",
        when=DRY_INSIDE & f.hand_confirmed.is_false() & f.hand_after_water.not_seen() & _ONE_HAND & _NO_DRY_SIGN,
        reason="This handful is {moisture_feel}, but the one before it was not. One handful in several is misjudged: "
        "squeeze three more before you carry water.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.dry-hand-after-water",
        when=DRY_INSIDE & f.hand_after_water.is_true() & f.days_since_add_water.known() & _ONE_HAND,
        reason="Water went on {days_since_add_water} ago, and this handful is {moisture_feel} all the same: it may not "
        "have reached that spot. Squeeze three more before you carry water again.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.dry-hand-against-the-heat",
        when=f.moisture_feel.one_of("dry")
        & FROM_INSIDE
        & f.hand_confirmed.unknown()
        & _HEATS_WELL
        & _ONE_HAND
        & _NO_DRY_SIGN
        & f.core_c.known(),
        reason="This handful is {moisture_feel}, but the heap is {phase} with a core of {core_c}, which a dry one "
        "hardly is for long. Squeeze three more before you carry water.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="moisture.wet-hand-doubted",
        when=WET_INSIDE & _HAND_DOUBTED & _ONE_HAND & f.smell.one_of("earthy", "none") & f.core_c.known(),
        reason="This handful is {moisture_feel}, but an earlier one was not or the core, at {core_c}, works well, and "
        "it smells {smell}. Squeeze three more before you mix anything in.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="moisture.hand-and-measure-differ",
        when=(WET_INSIDE & (f.moisture_percent < TOO_DRY_BELOW)) | (DRY_INSIDE & (f.moisture_percent > TOO_WET_ABOVE)),
        reason="Water was told as {moisture_percent} of the mass, and a handful is {moisture_feel}: both cannot be so.",
        gives=Finding("hand_doubtful"),
        source=CORNELL_MIX,
        confidence=0.6,
    ),
    Rule(
        id="moisture.squeeze-again",
        when=found.hand_doubtful.is_true() & NOT_TOO_HOT & found.towards_fire.not_seen() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. A second look costs minutes; "
        "water in a heap that was wet enough costs weeks.",
        gives=Act("squeeze_again", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.no-water-on-a-doubtful-hand",
        when=found.hand_doubtful.is_true() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. Squeeze three more first.",
        gives=Avoid("add_water"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.no-bulking-on-a-doubtful-hand",
        when=found.hand_doubtful.is_true() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. Squeeze three more first.",
        gives=Avoid("add_dry_bulking"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
)
