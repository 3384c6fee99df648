"""What the heat phase alone says: wait, keep going, or look for the cause. Keeps an answer from being empty."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import (
    HAS_AIR_AND_NOT_TOO_WET,
    HOUSE_NEEDS_HEAT,
    NO_KNOWN_CAUSE,
    NOT_TOO_HOT,
)
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Finding, Rule, Urgency
from rules.language.sources import BUGGELN_RYNK, COMMON_PRACTICE, CORNELL_PHYSICS, FROZEN_CHIP_PILE, NRCS_OPERATION
from rules.tables.thresholds import (
    COLD_BELOW,
    FIRE_LOOK_DAILY,
    FIRE_WATCH_DRY,
    HOLDING_FROM,
    HOT_FROM,
    LITTLE_LEFT_BELOW,
    LITTLE_TO_ROT_BELOW,
    YOUNG_COOL_BELOW,
    YOUNG_UNTIL,
)
from rules.themes.measurement import READ_IN_THE_CORE
from rules.themes.nitrogen import LEAN_WHEN_BUILT

TOO_YOUNG_UNTIL = Threshold("TOO_YOUNG_UNTIL", 7.0, "days", "most heaps are hot by this age", NRCS_OPERATION)
CHILLING_AIR = Threshold("CHILLING_AIR", 5.0, "degC", "air that can chill a slow heap through", COMMON_PRACTICE)
COLD_SOAK_UNTIL = Threshold("COLD_SOAK_UNTIL", 365.0, "days", "an older cold heap is old, not chilled", COMMON_PRACTICE)

_NOTHING_TO_MEND = (
    HAS_AIR_AND_NOT_TOO_WET
    & found.too_dry.not_seen()
    & found.dry_core_under_wet_skin.not_seen()
    & found.too_much_nitrogen.not_seen()
)
_DRAW_MAY_STAY = HOUSE_NEEDS_HEAT | f.drawing.not_seen()

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="phase.too-young-to-judge",
        when=(f.age_days <= TOO_YOUNG_UNTIL) & (f.core_c < YOUNG_COOL_BELOW),
        reason="The heap is {age_days} old and the core reads {core_c}. Many heaps take up to {TOO_YOUNG_UNTIL} "
        "to get hot.",
        gives=Finding("too_young_to_judge"),
        source=NRCS_OPERATION,
        confidence=0.9,
    ),
    Rule(
        id="phase.warming-well",
        when=f.core_rising.is_true() & (f.hottest_c < FIRE_LOOK_DAILY),
        reason="The core is rising and the hottest spot reads {hottest_c}.",
        gives=Finding("warming_well"),
        source=CORNELL_PHYSICS,
        confidence=0.9,
    ),
    Rule(
        id="phase.steady-hot",
        when=(f.core_c >= HOT_FROM) & f.core_steady.is_true() & (f.hottest_c < FIRE_LOOK_DAILY),
        reason="The core reads {core_c} and holds steady.",
        gives=Finding("steady_hot"),
        source=CORNELL_PHYSICS,
        confidence=0.9,
    ),
    Rule(
        id="phase.cold-soaked",
        when=f.phase.one_of("cold")
        & (f.core_c < COLD_BELOW)
        & (f.age_days > YOUNG_UNTIL)
        & (f.age_days < COLD_SOAK_UNTIL)
        & (f.degradable_left_percent >= LITTLE_LEFT_BELOW)
        & (f.could_rot_percent.unknown() | (f.could_rot_percent >= LITTLE_TO_ROT_BELOW))
        & ((f.outdoor_c < CHILLING_AIR) | f.freezing.is_true())
        & READ_IN_THE_CORE,
        reason="The core reads {core_c} in cold weather, yet about {degradable_left_percent} of what can rot is "
        "still there. Cold slows the heap down; it is not used up.",
        gives=Finding("cold_soaked"),
        source=FROZEN_CHIP_PILE,
        confidence=0.6,
    ),
)

_BELOW_THE_WATCH = NOT_TOO_HOT & (f.hottest_c.unknown() | (f.hottest_c < FIRE_WATCH_DRY))
"""From there on a dry heap is watched for fire, so that any heap is read each day."""

_WARM_PHASES: tuple[Rule, ...] = (
    Rule(
        id="phase.warming-wait",
        when=f.phase.one_of("warming")
        & f.core_c.known()
        & f.core_falling.not_seen()
        & _BELOW_THE_WATCH
        & _NOTHING_TO_MEND,
        reason="The core reads {core_c} and the heap is still warming up. Let it climb. Read it once a day.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=CORNELL_PHYSICS,
        confidence=0.8,
    ),
    Rule(
        id="phase.young-and-falling",
        when=f.phase.one_of("warming")
        & f.core_falling.is_true()
        & (f.age_days > TOO_YOUNG_UNTIL)
        & f.core_c.known()
        & f.drawing.not_seen()
        & f.drawn_until_stopped.not_seen()
        & _BELOW_THE_WATCH
        & _NOTHING_TO_MEND,
        reason="At {age_days} old the core, now {core_c}, falls instead of climbing. Squeeze a handful from arm's "
        "depth and smell it: too dry, too wet or too lean keeps a young heap from getting hot.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.6,
    ),
    Rule(
        id="phase.young-heap-wait",
        when=found.too_young_to_judge.is_true() & f.age_days.known() & _NOTHING_TO_MEND,
        reason="At {age_days} old it is too soon to judge this heap. Give it time before you change a thing.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.9,
    ),
    Rule(
        id="phase.hot-keep-going",
        when=f.phase.one_of("hot")
        & (f.core_c >= HOT_FROM)
        & _BELOW_THE_WATCH
        & found.overdrawn.not_seen()
        & found.asked_beyond_season.not_seen()
        & _DRAW_MAY_STAY,
        reason="The core reads {core_c}: the heap is hot and works. Look again in a few days.",
        gives=Act("keep_going", Urgency.THIS_WEEK),
        source=CORNELL_PHYSICS,
        confidence=0.8,
    ),
    Rule(
        id="phase.steady-hot-keep-going",
        when=found.steady_hot.is_true()
        & (f.core_c >= HOT_FROM)
        & _BELOW_THE_WATCH
        & found.asked_beyond_season.not_seen()
        & _DRAW_MAY_STAY,
        reason="At {core_c} and steady, all is well. Leave it as it is, and read it again in a few days.",
        gives=Act("keep_going", Urgency.TODAY),
        source=CORNELL_PHYSICS,
        confidence=0.95,
    ),
    Rule(
        id="phase.very-warm-keep-going",
        when=f.phase.one_of("hot", "warming")
        & (f.hottest_c >= FIRE_WATCH_DRY)
        & NOT_TOO_HOT
        & found.overdrawn.not_seen()
        & found.asked_beyond_season.not_seen()
        & _DRAW_MAY_STAY,
        reason="The hottest spot reads {hottest_c}: the heap works, and is near what its own life can stand. Read it "
        "every day, and look for dry places and smoke.",
        gives=Act("keep_going", Urgency.THIS_WEEK),
        source=BUGGELN_RYNK,
        confidence=0.8,
    ),
    Rule(
        id="phase.holding-keep-going",
        when=f.phase.one_of("holding")
        & (f.core_c >= HOLDING_FROM)
        & found.asked_beyond_season.not_seen()
        & _DRAW_MAY_STAY,
        reason="The core reads {core_c}: warm, but with little to spare. Look again within days, as a slow fall "
        "starts like this.",
        gives=Act("keep_going", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
)

_COOL_PHASES: tuple[Rule, ...] = (
    Rule(
        id="phase.unclear-wait",
        when=f.phase.one_of("unclear") & f.core_c.known() & NO_KNOWN_CAUSE,
        reason="The core reads {core_c}: lukewarm, which tells little by itself. Read it again tomorrow in the same "
        "spot, and squeeze a handful from arm's depth.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.5,
    ),
    Rule(
        id="phase.cold-soaked-rest",
        when=found.cold_soaked.is_true() & f.core_c.known(),
        reason="The core reads {core_c} and the heap is chilled through. Take no heat from it and keep it covered. "
        "It may wake when mild days come.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=FROZEN_CHIP_PILE,
        confidence=0.6,
    ),
    Rule(
        id="phase.cold-soaked-top-up",
        when=found.cold_soaked.is_true() & f.slumping.is_true() & f.core_c.known(),
        reason="The heap has sunk and the core reads {core_c}. A fresh, rich layer on top can help it start again.",
        gives=Act("top_up", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.4,
    ),
)

_WRONG_MOVES: tuple[Rule, ...] = (
    Rule(
        id="phase.young-no-nitrogen",
        when=found.too_young_to_judge.is_true()
        & f.age_days.known()
        & (f.cn_ratio_degradable.unknown() | (f.cn_ratio_degradable <= LEAN_WHEN_BUILT)),
        reason="At {age_days} old, cool does not mean hungry. Feed added now may only turn to ammonia gas.",
        gives=Avoid("add_nitrogen"),
        source=NRCS_OPERATION,
        confidence=0.8,
    ),
    Rule(
        id="phase.warming-well-no-feed",
        when=found.warming_well.is_true() & f.core_c.known() & found.starved_of_nitrogen.not_seen(),
        reason="The core reads {core_c} and climbs by itself. It does not ask for feed.",
        gives=Avoid("add_nitrogen"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="phase.young-no-new-pile",
        when=found.too_young_to_judge.is_true() & f.age_days.known(),
        reason="At {age_days} old the heap has not had time to fail. Do not start over yet.",
        gives=Avoid("build_new_pile"),
        source=NRCS_OPERATION,
        confidence=0.9,
    ),
    Rule(
        id="phase.young-no-loosening",
        when=found.too_young_to_judge.is_true() & f.age_days.known() & HAS_AIR_AND_NOT_TOO_WET,
        reason="The heap is {age_days} old and still loose. Turning it now lets out the first heat.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="phase.working-heap-in-frost",
        when=f.phase.one_of("warming", "hot", "holding") & f.freezing.is_true() & HAS_AIR_AND_NOT_TOO_WET,
        reason="The heap is {phase}, and it freezes. Turning it now throws away heat that it may not win back.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="phase.steady-hot-leave-shut",
        when=found.steady_hot.is_true() & (f.core_c >= HOT_FROM) & HAS_AIR_AND_NOT_TOO_WET,
        reason="The core reads {core_c}. Opening a hot heap only lets the heat out.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="phase.cold-soaked-do-not-dig",
        when=found.cold_soaked.is_true() & f.core_c.known() & HAS_AIR_AND_NOT_TOO_WET,
        reason="The core reads {core_c} and it needs rest. Digging it up in the cold chills it more.",
        gives=Avoid("loosen_pile"),
        source=FROZEN_CHIP_PILE,
        confidence=0.7,
    ),
    Rule(
        id="phase.cold-soaked-do-not-give-up",
        when=found.cold_soaked.is_true() & (f.degradable_left_percent >= LITTLE_LEFT_BELOW),
        reason="About {degradable_left_percent} of what can rot is still there. Wait for mild days before you take "
        "this heap apart.",
        gives=Avoid("build_new_pile"),
        source=FROZEN_CHIP_PILE,
        confidence=0.6,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _WARM_PHASES + _COOL_PHASES + _WRONG_MOVES
