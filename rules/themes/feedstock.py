"""What the heap is made of: materials that pack, smell, draw mice, or bring trouble along."""

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
    CORNELL_POROSITY,
    ON_FARM_HANDBOOK,
)
from rules.tables.squeeze import WET_INSIDE
from rules.tables.thresholds import HOLDING_FROM

PACKS_ABOVE = Threshold("PACKS_ABOVE", 50.0, "%", "a mix with more soft matter than this packs", COMMON_PRACTICE)
ASH_CALM = Threshold("ASH_CALM", 60.0, "days", "wood ash drives off ammonia until then", COMMON_PRACTICE)
NEARLY_ALL_WOOD = Threshold("NEARLY_ALL_WOOD", 90.0, "%", "hardly anything quick to rot", COMMON_PRACTICE)
WOOD_TO_REUSE = Threshold("WOOD_TO_REUSE", 40.0, "%", "enough coarse wood to screen out", COMMON_PRACTICE)
RICH_MIX_HOT_UNTIL = Threshold(
    "RICH_MIX_HOT_UNTIL", 60.0, "days", "a rich mix may still give off ammonia", COMMON_PRACTICE
)

_BUILDING = ("build_new_pile", "start_next_pile", "top_up", "enlarge_pile")

RULES: Final = (
    # --- findings
    Rule(
        id="feedstock.soft-and-wet",
        when=(f.fine_share_percent > PACKS_ABOVE) & WET_INSIDE,
        reason="Soft matter is {fine_share_percent} of the mix, over {PACKS_ABOVE}, and a handful is "
        "{moisture_feel}: it mats and shuts air out.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.65,
    ),
    Rule(
        id="feedstock.soft-and-sinking",
        when=(f.fine_share_percent > PACKS_ABOVE) & f.slumping.is_true(),
        reason="Soft matter is {fine_share_percent} of the mix, over {PACKS_ABOVE}, and the heap sinks: it packs.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.55,
    ),
    # --- ash and rich matter
    Rule(
        id="feedstock.ash-just-added",
        when=f.days_since_ash < ASH_CALM,
        reason="Wood ash went on {days_since_ash} ago. It turns nitrogen into ammonia gas: feed none yet.",
        gives=Avoid("add_nitrogen"),
        source=AMMONIA_EQUILIBRIUM,
        confidence=0.85,
    ),
    Rule(
        id="feedstock.ash-of-unknown-age",
        when=f.has_ash.is_true() & f.days_since_ash.unknown(),
        reason="There is wood ash in the heap, which turns nitrogen into ammonia gas. Feed none till you know its age.",
        gives=Avoid("add_nitrogen"),
        source=AMMONIA_EQUILIBRIUM,
        confidence=0.7,
    ),
    Rule(
        id="feedstock.wait-for-the-ash",
        when=found.starved_of_nitrogen.is_true() & (f.days_since_ash < ASH_CALM),
        reason="The heap lacks nitrogen, but wood ash went on {days_since_ash} ago. Wait until {ASH_CALM} have passed.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=AMMONIA_EQUILIBRIUM,
        confidence=0.6,
    ),
    Rule(
        id="feedstock.old-ash",
        when=f.has_ash.is_true() & (f.days_since_ash >= ASH_CALM),
        reason="Wood ash went on {days_since_ash} ago. Feed a quarter of the dose first. Stop if you smell ammonia.",
        gives=Caution(("add_nitrogen",), Gravity.INJURY),
        source=AMMONIA_EQUILIBRIUM,
    ),
    Rule(
        id="feedstock.ash-and-ammonia",
        when=f.has_ash.is_true() & f.smell.one_of("ammonia"),
        reason="Wood ash is part of why it smells of {smell}. Add no more ash or lime, and coal ash never.",
        gives=Caution(("*",), Gravity.INJURY),
        source=CORNELL_CHEMISTRY,
    ),
    Rule(
        id="feedstock.young-poultry-manure",
        when=f.has_poultry_manure.is_true() & (f.age_days < RICH_MIX_HOT_UNTIL) & (f.core_c < HOLDING_FROM),
        reason="The core reads only {core_c}, but poultry manure is rich and the heap is {age_days} old: more feed "
        "would leave as ammonia.",
        gives=Avoid("add_nitrogen"),
        source=ON_FARM_HANDBOOK,
        confidence=0.6,
    ),
    Rule(
        id="feedstock.rich-matter-inside",
        when=f.has_rich_nitrogen.is_true(),
        reason="There is rich feed in the heap already. Take it off the dose, and stop if you smell ammonia.",
        gives=Caution(("add_nitrogen",)),
        source=CORNELL_CN,
    ),
    Rule(
        id="feedstock.clean-brown-matter",
        when=found.too_much_nitrogen.is_true(),
        reason="Use plain, clean brown matter: no glossy or taped cardboard, no painted or treated wood, no ash.",
        gives=Caution(("add_carbon",)),
        source=COMMON_PRACTICE,
    ),
    # --- soft matter and food
    Rule(
        id="feedstock.coarse-not-fine",
        when=f.fine_share_percent > PACKS_ABOVE,
        reason="Soft matter is {fine_share_percent} of the mix. Mix in coarse chips: sawdust or leaves would pack too.",
        gives=Caution(("add_dry_bulking", "add_carbon", "loosen_pile")),
        source=CORNELL_POROSITY,
    ),
    Rule(
        id="feedstock.sour-food",
        when=f.has_food_scraps.is_true()
        & f.smell.one_of("sour")
        & WORTH_KEEPING
        & found.overheating.not_seen()
        & found.fire_danger.not_seen(),
        reason="There are food scraps in the heap and it smells {smell}: mix coarse dry matter into the wet food.",
        gives=Act("add_dry_bulking", Urgency.THIS_WEEK),
        source=CORNELL_POROSITY,
        confidence=0.75,
    ),
    Rule(
        id="feedstock.food-draws-mice",
        when=f.has_food_scraps.is_true(),
        reason="Food scraps and warm straw draw mice and rats. Bury scraps an arm deep, use no meat, and look for "
        "holes at the foot. Mice also chew pipes and wires.",
        gives=Caution((*_BUILDING, "insulate", "keep_going", "wait")),
        source=COMMON_PRACTICE,
    ),
    # --- wood
    Rule(
        id="feedstock.all-wood-next-time",
        when=f.wood_share_percent >= NEARLY_ALL_WOOD,
        reason="Wood is {wood_share_percent} of the dry matter. Mix manure or greens into the next one: wood alone "
        "warms slowly and seldom gets hot.",
        gives=Caution(("build_new_pile", "start_next_pile", "enlarge_pile"), Gravity.NOTE),
        source=CORNELL_CN,
    ),
    Rule(
        id="feedstock.wood-to-reuse",
        when=found.spent.is_true() & (f.wood_share_percent >= WOOD_TO_REUSE),
        reason="Wood was {wood_share_percent} of the dry matter. Screen out the coarse bits for the next heap.",
        gives=Caution(("build_new_pile",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    # --- what comes out at the end
    Rule(
        id="feedstock.weedkiller-in-manure",
        when=f.has_manure.is_true(),
        reason="Manure, hay and straw can carry weedkiller that outlasts composting. Ask where it came from, and grow "
        "a few beans in it before you spread it.",
        gives=Caution(_BUILDING),
        source=COMMON_PRACTICE,
    ),
)
