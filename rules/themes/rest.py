"""What is said when no other rule asks for anything."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import NOT_TOO_HOT, WORTH_KEEPING
from rules.language.model import Act, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE
from rules.tables.thresholds import COLD_BELOW, YOUNG_UNTIL

_NOTHING_SETTLES = (
    found.settling_water.not_seen()
    & found.settling_nitrogen.not_seen()
    & found.settling_open.not_seen()
    & found.settling_draw.not_seen()
)

RULES: tuple[Rule, ...] = (
    Rule(
        id="rest.look-at-a-cold-heap",
        when=(f.age_days > YOUNG_UNTIL)
        & ((f.core_c < COLD_BELOW) | (found.starved_of_nitrogen.is_true() & f.core_c.known()))
        & _NOTHING_SETTLES
        & WORTH_KEEPING
        & NOT_TOO_HOT,
        reason="At {age_days} the core reads only {core_c}, and no work shows a clear gain now. Waiting alone will not "
        "warm it: squeeze and smell a handful from arm's depth, count what went in, and see what holds it back.",
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
