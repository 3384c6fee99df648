"""Old, used up, too small: when the next heap is due, and what to do with this one."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import (
    DRAWN_LIGHTLY,
    FROST_MAY_COME,
    HAS_AIR_AND_NOT_TOO_WET,
    HOUSE_NEEDS_HEAT,
    NOT_TOO_HOT,
    WORTH_KEEPING,
)
from rules.language.conditions import Threshold
from rules.language.model import Act, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_CN, FROZEN_CHIP_PILE, HEAT_BALANCE, HEAT_RECOVERY_REVIEW
from rules.tables.thresholds import COLD_BELOW, COOL_SOON, HOT_FROM, LITTLE_LEFT_BELOW, LITTLE_TO_ROT_BELOW

OLD_FROM = Threshold("OLD_FROM", 365.0, "days", "a heap past its first year", FROZEN_CHIP_PILE)
VERY_OLD_FROM = Threshold("VERY_OLD_FROM", 540.0, "days", "a heap past its second summer", FROZEN_CHIP_PILE)
AGEING_FROM = Threshold("AGEING_FROM", 270.0, "days", "most of the easy heat is gone", COMMON_PRACTICE)
TIRING_FROM = Threshold("TIRING_FROM", 150.0, "days", "a fall from here may be age", COMMON_PRACTICE)
SHRUNK_OLD_FROM = Threshold("SHRUNK_OLD_FROM", 120.0, "days", "time enough to rot down", COMMON_PRACTICE)
SHRUNK_TO_HALF = Threshold("SHRUNK_TO_HALF", 45.0, "%", "about half of the heap is gone", COMMON_PRACTICE)
NEAR_OUTDOOR = Threshold("NEAR_OUTDOOR", 12.0, "delta_degC", "hardly warmer than the air", COMMON_PRACTICE)
HALF_LEFT_BELOW = Threshold("HALF_LEFT_BELOW", 50.0, "%", "half of what can rot has rotted", COMMON_PRACTICE)
LONG_PAST_PEAK = Threshold("LONG_PAST_PEAK", 120.0, "days", "a peak that will not come back", COMMON_PRACTICE)
NEW_HEAP_READY = Threshold("NEW_HEAP_READY", 14.0, "days", "a new heap gets hot and holds for a week", COMMON_PRACTICE)
TOO_SMALL_BELOW = Threshold("TOO_SMALL_BELOW", 4.0, "m3", "loses more at its skin than it makes in frost", HEAT_BALANCE)

_AT_OUTDOOR = (f.core_c < COLD_BELOW) & (f.core_above_outdoor_k < NEAR_OUTDOOR) & f.core_rising.not_seen()

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="ageing.little-left-and-cool",
        when=f.phase.one_of("spent") & (f.core_c < COLD_BELOW) & (f.degradable_left_percent < LITTLE_LEFT_BELOW),
        reason="The core reads {core_c}, and only about {degradable_left_percent} of what can rot is left.",
        gives=Finding("spent"),
        source=HEAT_RECOVERY_REVIEW,
        confidence=0.8,
    ),
    Rule(
        id="ageing.old-damp-and-cool",
        when=(f.age_days >= OLD_FROM) & _AT_OUTDOOR & f.moisture_feel.one_of("damp", "wet"),
        reason="The heap is {age_days} old and {moisture_feel}, yet the core, at {core_c}, is hardly warmer than the "
        "air. It lacks no water; it is used up.",
        gives=Finding("spent"),
        source=FROZEN_CHIP_PILE,
        confidence=0.8,
    ),
    Rule(
        id="ageing.very-old-and-cool",
        when=(f.age_days >= VERY_OLD_FROM)
        & _AT_OUTDOOR
        & (f.moisture_feel.unknown() | f.moisture_feel.one_of("damp", "wet", "soggy")),
        reason="The heap is {age_days} old and the core, at {core_c}, is hardly warmer than the air.",
        gives=Finding("spent"),
        source=FROZEN_CHIP_PILE,
        confidence=0.75,
    ),
    Rule(
        id="ageing.very-old-and-cold",
        when=(f.age_days >= VERY_OLD_FROM)
        & (f.core_c < COLD_BELOW)
        & f.core_above_outdoor_k.unknown()
        & f.core_rising.not_seen()
        & (f.moisture_feel.unknown() | f.moisture_feel.one_of("damp", "wet", "soggy")),
        reason="The heap is {age_days} old and the core reads {core_c}.",
        gives=Finding("spent"),
        source=FROZEN_CHIP_PILE,
        confidence=0.65,
    ),
    Rule(
        id="ageing.shrunk-damp-and-cool",
        when=(f.age_days >= SHRUNK_OLD_FROM)
        & (f.shrunk_percent >= SHRUNK_TO_HALF)
        & (f.core_c < COLD_BELOW)
        & f.core_rising.not_seen()
        & f.moisture_feel.one_of("damp", "wet")
        & (f.smell.unknown() | f.smell.one_of("earthy", "none")),
        reason="It has shrunk by {shrunk_percent} in {age_days}, is {moisture_feel} and smells of nothing foul, yet "
        "the core reads {core_c}: what could rot has rotted.",
        gives=Finding("spent"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="ageing.built-of-rotted-stuff",
        when=(f.could_rot_percent < LITTLE_TO_ROT_BELOW) & (f.core_c < COLD_BELOW) & f.core_rising.not_seen(),
        reason="The heap was built of stuff that has rotted before. Only about {could_rot_percent} of its dry matter "
        "can still rot, so a core of {core_c} has nothing to climb on.",
        gives=Finding("spent"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="ageing.past-its-best",
        when=(f.age_days >= AGEING_FROM) & (f.core_c < HOT_FROM),
        reason="The heap is {age_days} old and the core is down to {core_c}.",
        gives=Finding("ageing"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="ageing.half-used-up",
        when=(f.degradable_left_percent < HALF_LEFT_BELOW) & (f.core_c < HOT_FROM),
        reason="About {degradable_left_percent} of what can rot is left, and the core is down to {core_c}.",
        gives=Finding("ageing"),
        source=HEAT_RECOVERY_REVIEW,
        confidence=0.6,
    ),
    Rule(
        id="ageing.long-past-its-peak",
        when=(f.days_since_peak >= LONG_PAST_PEAK) & (f.core_c < HOT_FROM),
        reason="The core was hottest {days_since_peak} ago and now reads {core_c}.",
        gives=Finding("ageing"),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="ageing.too-small-for-frost",
        when=(f.volume_m3 < TOO_SMALL_BELOW) & (FROST_MAY_COME | f.season.one_of("heating")),
        reason="The heap holds only about {volume_m3}. So small a heap has much skin for little core, and frost gets "
        "the better of it.",
        gives=Finding("too_small"),
        source=HEAT_BALANCE,
        confidence=0.65,
    ),
)

_MOVES: tuple[Rule, ...] = (
    Rule(
        id="ageing.spent-build-new",
        when=found.spent.is_true() & f.age_days.known() & f.core_c.known(),
        reason="At {age_days} old and {core_c} inside, this heap has no heat left to give. Build a new one, and reuse "
        "its coarse wood.",
        gives=Act("build_new_pile", Urgency.THIS_MONTH),
        source=CORNELL_CN,
        confidence=0.85,
    ),
    Rule(
        id="ageing.spent-in-season",
        when=found.spent.is_true() & f.season.one_of("heating") & found.core_doubtful.not_seen(),
        reason="The season is {season} and this heap is used up: each week without a new one is a cold week.",
        gives=Act("build_new_pile", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="ageing.start-the-next",
        when=found.ageing.is_true() & WORTH_KEEPING & f.core_c.known(),
        reason="The heap is past its best and the core reads {core_c}. Start the next one while this one still gives "
        "some heat.",
        gives=Act("start_next_pile", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="ageing.new-heap-after-your-date",
        when=found.spent.is_true() & (f.goal_days < NEW_HEAP_READY),
        reason="Your date is in {goal_days}, and a new heap can hardly be drawn on before {NEW_HEAP_READY} have gone: "
        "it is for the time after.",
        gives=Act("build_new_pile", Urgency.NEXT_PILE),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="ageing.next-heap-after-your-date",
        when=found.ageing.is_true() & WORTH_KEEPING & (f.goal_days < NEW_HEAP_READY),
        reason="Your date is in {goal_days}, and the next heap can hardly be drawn on before {NEW_HEAP_READY} have "
        "gone: it is for the time after.",
        gives=Act("start_next_pile", Urgency.NEXT_PILE),
        source=COMMON_PRACTICE,
        confidence=0.4,
    ),
    Rule(
        id="ageing.falling-with-age",
        when=found.less_made.is_true() & (f.age_days >= TIRING_FROM) & WORTH_KEEPING & found.too_dry.not_seen(),
        reason="At {age_days} old the heap makes less heat than it did. Plan the next one now.",
        gives=Act("start_next_pile", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="ageing.spring-wind-down",
        when=f.season.one_of("off") & (f.age_days >= TIRING_FROM) & WORTH_KEEPING,
        reason="The heating season is {season} and the heap is {age_days} old. Gather chips and manure over the "
        "summer, and build the next heap some weeks before you need it.",
        gives=Act("start_next_pile", Urgency.NEXT_PILE),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="ageing.enlarge-a-small-heap",
        when=found.too_small.is_true()
        & f.volume_m3.known()
        & f.phase.one_of("falling", "holding", "cold", "unclear")
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & HOUSE_NEEDS_HEAT
        & found.overdrawn.not_seen(),
        reason="The heap holds only about {volume_m3} and is {phase}. A bigger heap keeps its heat better.",
        gives=Act("enlarge_pile", Urgency.THIS_MONTH),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="ageing.enlarge-before-it-falls",
        when=found.too_small.is_true()
        & f.volume_m3.known()
        & f.phase.one_of("warming", "hot")
        & found.will_fall.is_true()
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & HOUSE_NEEDS_HEAT
        & found.overdrawn.not_seen(),
        reason="The heap holds only about {volume_m3} and is likely to cool soon. A bigger heap keeps its heat better.",
        gives=Act("enlarge_pile", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="ageing.wrap-a-small-heap",
        when=found.too_small.is_true()
        & f.volume_m3.known()
        & (found.will_fall.is_true() | found.cool_soon.is_true())
        & (f.cover.unknown() | f.cover.one_of("none", "tarp", "clear_film"))
        & HAS_AIR_AND_NOT_TOO_WET
        & DRAWN_LIGHTLY
        & found.overdrawn.not_seen()
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & HOUSE_NEEDS_HEAT,
        reason="A heap of {volume_m3} has much skin, and is likely to cool soon. A wrap about it saves heat from the "
        "first night on.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.55,
    ),
    Rule(
        id="ageing.look-at-a-small-heap",
        when=found.too_small.is_true()
        & f.volume_m3.known()
        & found.cool_soon.is_true()
        & (f.days_until_cool <= COOL_SOON)
        & f.keep_core_above_c.known()
        & f.cover.one_of("straw", "breathable")
        & DRAWN_LIGHTLY
        & WORTH_KEEPING
        & NOT_TOO_HOT,
        reason="A heap of {volume_m3} is likely to be below {keep_core_above_c} in about {days_until_cool}. Read it "
        "each day, and see what it lacks besides size.",
        gives=Act("find_the_cause", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.4,
    ),
    Rule(
        id="ageing.small-overdrawn-heap",
        when=found.too_small.is_true() & found.overdrawn.is_true() & f.volume_m3.known() & WORTH_KEEPING & NOT_TOO_HOT,
        reason="Only about {volume_m3}: draw less first. If it must give more, it has to be bigger.",
        gives=Act("enlarge_pile", Urgency.NEXT_PILE),
        source=HEAT_BALANCE,
        confidence=0.45,
    ),
)

_CAUTIONS: tuple[Rule, ...] = (
    Rule(
        id="ageing.frozen-chips-start-late",
        when=f.freezing.is_true(),
        reason="It freezes. A heap built of frozen chips can take months to warm: use stuff that is not frozen.",
        gives=Caution(("build_new_pile", "start_next_pile", "enlarge_pile", "top_up")),
        source=FROZEN_CHIP_PILE,
    ),
    Rule(
        id="ageing.use-the-compost",
        when=found.spent.is_true() & f.age_days.known(),
        reason="What is left after {age_days} is mulch or compost. Sieve it, keep the wood, and let the fines rest "
        "some weeks before you sow in them.",
        gives=Caution(("build_new_pile",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _MOVES + _CAUTIONS
