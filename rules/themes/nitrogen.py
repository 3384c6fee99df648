"""Nitrogen: too little for the carbon that can rot, or so much that it leaves as ammonia."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import (
    AMMONIA_EQUILIBRIUM,
    COMMON_PRACTICE,
    CORNELL_CHEMISTRY,
    CORNELL_CN,
    MANITOBA,
    URINE_STUDY,
    WSU_AVAILABLE_CARBON,
)
from rules.tables.squeeze import DAMP_INSIDE
from rules.tables.thresholds import HOLDING_FROM, HOT_FROM, LITTLE_LEFT_BELOW, YOUNG_UNTIL

STARVED_ABOVE = Threshold(
    "STARVED_ABOVE", 40.0, "1", "more carbon than this to one part nitrogen rots slowly", MANITOBA
)
RICH_BELOW = Threshold("RICH_BELOW", 20.0, "1", "less carbon than this lets nitrogen go as ammonia", MANITOBA)
LEAN_WHEN_BUILT = Threshold("LEAN_WHEN_BUILT", 50.0, "1", "a mix this short of nitrogen starts slowly", COMMON_PRACTICE)
FED_EARLY_UNTIL = Threshold("FED_EARLY_UNTIL", 28.0, "days", "feed acts best in a heap's first weeks", COMMON_PRACTICE)
MOSTLY_WOOD = Threshold("MOSTLY_WOOD", 80.0, "%", "so much wood brings hardly any nitrogen", COMMON_PRACTICE)
WOODY_RATIO = Threshold("WOODY_RATIO", 100.0, "1", "a ratio only wood gives", CORNELL_CHEMISTRY)
STILL_WORTH_FEEDING = Threshold(
    "STILL_WORTH_FEEDING", 365.0, "days", "an older heap seldom repays feeding", COMMON_PRACTICE
)

_FUEL_LEFT = f.degradable_left_percent.unknown() | (f.degradable_left_percent >= LITTLE_LEFT_BELOW)
_OLD_ENOUGH = f.age_days > YOUNG_UNTIL

RULES: Final = (
    # --- findings
    Rule(
        id="nitrogen.little-for-the-carbon",
        when=_OLD_ENOUGH
        & (f.core_c < HOLDING_FROM)
        & (f.cn_ratio_degradable > STARVED_ABOVE)
        & f.core_rising.not_seen()
        & _FUEL_LEFT,
        reason="There are {cn_ratio_degradable} parts of carbon that can rot to each part of nitrogen, over "
        "{STARVED_ABOVE}. After {age_days} the core is only {core_c}.",
        gives=Finding("starved_of_nitrogen"),
        source=WSU_AVAILABLE_CARBON,
        confidence=0.7,
    ),
    Rule(
        id="nitrogen.wood-that-never-heated",
        when=_OLD_ENOUGH
        & (f.wood_share_percent >= MOSTLY_WOOD)
        & (f.peak_core_c < HOT_FROM)
        & (f.core_c < HOLDING_FROM)
        & f.core_rising.not_seen()
        & _FUEL_LEFT,
        reason="Wood is {wood_share_percent} of the dry matter and the core never read over {peak_core_c} in "
        "{age_days}: too little nitrogen is the usual cause.",
        gives=Finding("starved_of_nitrogen"),
        source=CORNELL_CN,
        confidence=0.75,
    ),
    # --- moves
    Rule(
        id="nitrogen.feed-a-lean-heap-early",
        when=(f.age_days <= FED_EARLY_UNTIL)
        & (f.cn_ratio_degradable > LEAN_WHEN_BUILT)
        & (f.core_c < HOT_FROM)
        & f.days_since_add_nitrogen.unknown()
        & found.too_much_nitrogen.not_seen()
        & found.waterlogged.not_seen()
        & WORTH_KEEPING,
        reason="The mix has {cn_ratio_degradable} parts of carbon that can rot to each part of nitrogen, over "
        "{LEAN_WHEN_BUILT}. Fed in its first weeks ({age_days} now) it gets going; fed later, weeks are lost.",
        gives=Act("add_nitrogen", Urgency.THIS_WEEK),
        source=WSU_AVAILABLE_CARBON,
        confidence=0.65,
    ),
    Rule(
        id="nitrogen.feed-a-starved-heap",
        when=found.starved_of_nitrogen.is_true()
        & found.too_much_nitrogen.not_seen()
        & found.waterlogged.not_seen()
        & WORTH_KEEPING
        & (f.age_days < STILL_WORTH_FEEDING),
        reason="At {age_days} the heap has carbon to rot but little nitrogen to rot it with.",
        gives=Act("add_nitrogen", Urgency.THIS_WEEK),
        source=CORNELL_CN,
        confidence=0.7,
    ),
    Rule(
        id="nitrogen.feed-a-tiring-woody-heap",
        when=found.less_made.is_true()
        & (f.cn_ratio_degradable > STARVED_ABOVE)
        & _OLD_ENOUGH
        & (f.age_days < STILL_WORTH_FEEDING)
        & DAMP_INSIDE
        & _FUEL_LEFT
        & WORTH_KEEPING
        & found.too_much_nitrogen.not_seen(),
        reason="Less heat is made, the handful is {moisture_feel}, and the carbon that can rot is "
        "{cn_ratio_degradable} to one part nitrogen: feed may bring it back.",
        gives=Act("add_nitrogen", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.4,
    ),
    Rule(
        id="nitrogen.bind-ammonia",
        when=found.too_much_nitrogen.is_true(),
        reason="Nitrogen leaves as ammonia gas. Dry brown matter holds it, and gives it carbon to work on.",
        gives=Act("add_carbon", Urgency.TODAY),
        source=CORNELL_CHEMISTRY,
        confidence=0.8,
    ),
    Rule(
        id="nitrogen.none-with-ammonia",
        when=found.too_much_nitrogen.is_true(),
        reason="The heap already loses nitrogen as ammonia. More feed would only go the same way.",
        gives=Avoid("add_nitrogen"),
        source=CORNELL_CHEMISTRY,
        confidence=0.95,
    ),
    Rule(
        id="nitrogen.none-in-a-rich-mix",
        when=f.cn_ratio < RICH_BELOW,
        reason="All the carbon is {cn_ratio} to one part nitrogen, under {RICH_BELOW}: it has plenty.",
        gives=Avoid("add_nitrogen"),
        source=CORNELL_CN,
        confidence=0.85,
    ),
    Rule(
        id="nitrogen.air-first",
        when=found.starved_of_nitrogen.is_true() & (found.short_of_air.is_true() | found.waterlogged.is_true()),
        reason="The heap is short of nitrogen, but it lacks air as well. Feed given now smells and washes out: give it "
        "air first.",
        gives=Avoid("add_nitrogen"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="nitrogen.none-for-a-spent-heap",
        when=found.spent.is_true(),
        reason="What could rot has rotted. Feed cannot bring the heat back; it only fouls the ground.",
        gives=Avoid("add_nitrogen"),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="nitrogen.none-while-hot",
        when=(f.core_c >= HOT_FROM) & (f.cn_ratio > STARVED_ABOVE) & f.core_falling.not_seen(),
        reason="The mix looks woody, but with the core at {core_c} it does not lack nitrogen. Feed in a hot heap goes "
        "off as ammonia.",
        gives=Avoid("add_nitrogen"),
        source=AMMONIA_EQUILIBRIUM,
    ),
    Rule(
        id="nitrogen.none-while-it-warms",
        when=found.warming_well.is_true() & f.core_trend_k_per_day.known(),
        reason="The core climbs ({core_trend_k_per_day}) without help. Feed now may only turn to gas.",
        gives=Avoid("add_nitrogen"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="nitrogen.no-more-brown",
        when=found.starved_of_nitrogen.is_true() & found.too_much_nitrogen.not_seen(),
        reason="The heap lacks nitrogen. More dry brown matter would make that worse.",
        gives=Avoid("add_carbon"),
        source=CORNELL_CN,
    ),
    Rule(
        id="nitrogen.warm-heap-gives-gas",
        when=f.core_c >= HOLDING_FROM,
        reason="With the core at {core_c}, urea and urine turn to ammonia gas fast. Give half the dose, outdoors.",
        gives=Caution(("add_nitrogen",), Gravity.INJURY),
        source=AMMONIA_EQUILIBRIUM,
    ),
    Rule(
        id="nitrogen.not-for-all-the-wood",
        when=(f.cn_ratio > WOODY_RATIO) & (f.wood_share_percent >= MOSTLY_WOOD),
        reason="All the carbon is {cn_ratio} to one part nitrogen, but most wood cannot rot in time. The dose is for "
        "the part that can: never feed for all of it.",
        gives=Caution(("add_nitrogen",)),
        source=WSU_AVAILABLE_CARBON,
    ),
    Rule(
        id="nitrogen.rain-washes-out",
        when=f.rain.one_of("heavy"),
        reason="Rain is {rain}: feed poured on now washes out at the foot. Wait for a dry day or cover first.",
        gives=Caution(("add_nitrogen",)),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="nitrogen.handle-with-care",
        when=found.starved_of_nitrogen.is_true(),
        reason="Stored urine and wet urea give off ammonia gas. Work outdoors with gloves. Keep them off food crops.",
        gives=Caution(("add_nitrogen",), Gravity.INJURY),
        source=URINE_STUDY,
    ),
)
