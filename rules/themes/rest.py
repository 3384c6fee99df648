"""What is said when no other rule asks for anything."""

from __future__ import annotations

from rules.language import facts as f
from rules.language.model import Act, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE

RULES: tuple[Rule, ...] = (
    Rule(
        id="rest.nothing-calls-for-work",
        when=f.core_c.known(),
        reason="The core reads {core_c}, and nothing you told calls for work now.",
        gives=Act("wait", Urgency.THIS_WEEK, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.3,
    ),
)
