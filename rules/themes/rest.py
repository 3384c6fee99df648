"""What is said when no other rule asks for anything, or when hand and nose have said what they know."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import HAND_AND_NOSE_TOLD, HAND_OR_NOSE_UNTOLD, NO_KNOWN_CAUSE, NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Condition
from rules.language.model import Act, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, NRCS_OPERATION
from rules.tables.thresholds import COLD_BELOW, YOUNG_UNTIL

_NOTHING_SETTLES = (
    found.settling_water.not_seen()
    & found.settling_nitrogen.not_seen()
    & found.settling_open.not_seen()
    & found.settling_draw.not_seen()
)

_TOO_COLD_AND_LEAN: Final[Condition] = (
    found.starved_of_nitrogen.is_true() & (f.core_c < COLD_BELOW) & f.cn_ratio_degradable.known()
)
_NOT_TOO_COLD_AND_LEAN: Final[Condition] = (
    found.starved_of_nitrogen.not_seen() | (f.core_c >= COLD_BELOW) | f.cn_ratio_degradable.unknown()
)
_FALLS_UNEXPLAINED: Final[Condition] = (
    f.phase.one_of("falling")
    & f.core_c.known()
    & (f.drawing.not_seen() | f.draw_over_made.known() | f.draw_over_season.known())
    & f.drawn_until_stopped.not_seen()
    & NOT_TOO_HOT
    & found.ageing.not_seen()
    & NO_KNOWN_CAUSE
)
_COLD_UNEXPLAINED: Final[Condition] = (
    f.phase.one_of("cold") & (f.core_c < COLD_BELOW) & f.drawing.not_seen() & found.ageing.not_seen() & NO_KNOWN_CAUSE
)
_COLD_FOR_WEEKS: Final[Condition] = (
    (f.age_days > YOUNG_UNTIL)
    & ((f.core_c < COLD_BELOW) | (found.starved_of_nitrogen.is_true() & f.core_c.known()))
    & _NOTHING_SETTLES
    & WORTH_KEEPING
    & NOT_TOO_HOT
    & _NOT_TOO_COLD_AND_LEAN
)

RULES: tuple[Rule, ...] = (
    Rule(
        id="rest.build-a-cold-lean-heap-anew",
        when=_TOO_COLD_AND_LEAN & (f.age_days > YOUNG_UNTIL) & _NOTHING_SETTLES & WORTH_KEEPING & NOT_TOO_HOT,
        reason="The core reads {core_c}, and {cn_ratio_degradable} parts of carbon that can rot come to one of "
        "nitrogen. Feed poured on so cold a heap does little: build it anew with manure or green stuff mixed in.",
        gives=Act("build_new_pile", Urgency.THIS_WEEK, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.45,
    ),
    Rule(
        id="phase.cold-find-the-cause",
        when=_COLD_UNEXPLAINED & HAND_OR_NOSE_UNTOLD,
        reason="The core reads {core_c}: cold, but nothing you told says why. First squeeze a handful from arm's "
        "depth and smell it: dry, soggy and used up each need a different cure.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.4,
    ),
    Rule(
        id="phase.falling-find-the-cause",
        when=_FALLS_UNEXPLAINED & HAND_OR_NOSE_UNTOLD,
        reason="The core reads {core_c} and falls, but nothing you told explains it. First squeeze a handful from "
        "arm's depth, smell it, and note how much heat you draw.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.4,
    ),
    Rule(
        id="rest.falling-look-further",
        when=_FALLS_UNEXPLAINED & HAND_AND_NOSE_TOLD,
        reason="The core reads {core_c} and falls, and neither the handful ({moisture_feel}) nor its smell ({smell}) "
        "says why. Read it in three spots at one depth, note how much heat you draw, and look for draughts.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.4,
    ),
    Rule(
        id="rest.cold-look-further",
        when=_COLD_UNEXPLAINED & HAND_AND_NOSE_TOLD,
        reason="The core reads {core_c}: cold, though a handful is {moisture_feel} and smells {smell}. Read it in "
        "three spots, deeper too, and count what went in: wood alone, or too small a heap, hardly heats.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.4,
    ),
    Rule(
        id="rest.look-at-a-cold-heap",
        when=_COLD_FOR_WEEKS & HAND_OR_NOSE_UNTOLD,
        reason="At {age_days} the core reads only {core_c}, and no work shows a clear gain now. Waiting alone will not "
        "warm it: squeeze and smell a handful from arm's depth, count what went in, and see what holds it back.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.35,
    ),
    Rule(
        id="rest.look-further-at-a-cold-heap",
        when=_COLD_FOR_WEEKS & HAND_AND_NOSE_TOLD,
        reason="At {age_days} the core reads only {core_c}, and no work shows a clear gain now. Waiting alone will not "
        "warm it: read it in three spots, count what went in, and see what holds it back.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.35,
    ),
    Rule(
        id="rest.nothing-calls-for-work",
        when=f.core_c.known(),
        reason="The core reads {core_c}, and nothing you told calls for work now.",
        gives=Act("wait", Urgency.THIS_WEEK, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.3,
    ),
)
