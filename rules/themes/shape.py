"""What the heap's own looks tell: how far it has shrunk or rotted, a warm side, streaks like ash."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import CHIP_STORAGE, COMMON_PRACTICE, PUBLIC_LAB_SHRINK
from rules.tables.squeeze import FEEL_NOT_WET
from rules.tables.thresholds import COLD_BELOW, HOT_FROM
from rules.themes.ageing import SHRUNK_OLD_FROM

USUAL_SHRINK = Threshold("USUAL_SHRINK", 40.0, "%", "a heap sinks by a third or so", PUBLIC_LAB_SHRINK)
GREAT_SHRINK = Threshold("GREAT_SHRINK", 50.0, "%", "half of the heap is gone", COMMON_PRACTICE)

_LOOKS_ROTTED = (f.age_days >= SHRUNK_OLD_FROM) & f.looks_rotted.is_true()

RULES: Final = (
    Rule(
        id="shape.rotted-and-cold",
        when=_LOOKS_ROTTED & (f.core_c < COLD_BELOW) & f.core_rising.not_seen(),
        reason="At {age_days} old the chips look like soil and the core reads {core_c}: what could rot has rotted.",
        gives=Finding("spent"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="shape.looks-rotted",
        when=_LOOKS_ROTTED & (f.core_c < HOT_FROM),
        reason="At {age_days} old the chips look like soil and the core reads {core_c}: most of what could rot has "
        "rotted.",
        gives=Finding("ageing"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="shape.a-third-is-usual",
        when=f.shrunk_percent <= USUAL_SHRINK,
        reason="It has shrunk by {shrunk_percent}: a fifth in the first hot week and a third over a winter is usual. "
        "It is the rot that warms you, not a fault.",
        gives=Caution(("*",), Gravity.NOTE),
        source=PUBLIC_LAB_SHRINK,
    ),
    Rule(
        id="shape.usual-shrinking-needs-no-turning",
        when=(f.shrunk_percent <= USUAL_SHRINK) & FEEL_NOT_WET,
        reason="It has shrunk by {shrunk_percent}, which is usual. That is no reason to open it.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="shape.half-is-gone",
        when=f.shrunk_percent >= GREAT_SHRINK,
        reason="It has shrunk by {shrunk_percent}: so small a rest loses heat by its skin faster than it makes it. Top "
        "it up or plan the next.",
        gives=Act("top_up", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="shape.one-side-warm",
        when=f.one_side_warm.is_true(),
        reason="It is warm on one side alone: what one probe reads tells little of the whole.",
        gives=Finding("one_sided"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="shape.one-side-probe-round",
        when=found.one_sided.is_true(),
        reason="Only one side is warm: probe at four sides and two depths before you act. The cold side is wet, bare "
        "to the wind, short of fresh stuff, or drained by pipe or duct.",
        gives=Act("check_probe", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="shape.one-side-in-the-wind",
        when=f.one_side_warm.is_true() & f.wind.one_of("exposed"),
        reason="The place is {wind}: wind cools the near side first. Shelter that side with bales or a fence.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="shape.ash-streaks-are-dry",
        when=f.ash_streaks.is_true() & FEEL_NOT_WET,
        reason="Grey streaks like ash inside are microbes of hot, dry matter: it has been hot and dry there, and wants "
        "water.",
        gives=Finding("too_dry"),
        source=CHIP_STORAGE,
        confidence=0.7,
    ),
    Rule(
        id="shape.ash-streaks-not-as-you-are",
        when=f.ash_streaks.is_true(),
        reason="Streaks like ash tell that it has been hot and dry: it does not go on as it is.",
        gives=Avoid("keep_going"),
        source=CHIP_STORAGE,
    ),
    Rule(
        id="shape.ash-streaks-look-for-fire",
        when=f.ash_streaks.is_true(),
        reason="Streaks like ash come where it is hot and dry, and that is where fires start. Probe there from outside "
        "before you dig; at the least smoke or burnt smell keep clear.",
        gives=Caution(("*",), Gravity.LIFE, brief="Ash-like streaks: look for fire first, from outside."),
        source=CHIP_STORAGE,
    ),
)
