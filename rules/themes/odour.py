"""What the nose tells, and what it cannot."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import DUCT_MAY_TOUCH_THE_HEAP, HAS_AIR_AND_NOT_TOO_WET, TUBE_MAY_BE_COPPER
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import (
    COMMON_PRACTICE,
    COPPER_AND_AMMONIA,
    CORNELL_CHEMISTRY,
    CORNELL_POROSITY,
    EXPOSURE_LIMITS,
    IOWA_CONFINED,
    NRCS_OPERATION,
)
from rules.tables.squeeze import DAMP_INSIDE, DRY_INSIDE, WET_INSIDE
from rules.themes.nitrogen import RICH_BELOW

_MAY_REACH_THE_HOUSE = f.air_outlet_to_house.is_true() | f.air_outlet_to_house.unknown()

RULES: Final = (
    # --- findings
    Rule(
        id="odour.rotten-egg",
        when=f.smell.one_of("rotten_egg"),
        reason="It smells of {smell}: parts of the heap rot without air.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.9,
    ),
    Rule(
        id="odour.rotten-egg-and-soggy",
        when=f.smell.one_of("rotten_egg") & f.moisture_feel.one_of("soggy"),
        reason="It smells of {smell} and a handful is {moisture_feel}: water has shut the air out.",
        gives=Finding("waterlogged"),
        source=CORNELL_POROSITY,
        confidence=0.9,
    ),
    Rule(
        id="odour.sour",
        when=f.smell.one_of("sour"),
        reason="It smells {smell}: wet, soft matter has run out of air.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.7,
    ),
    Rule(
        id="odour.alcohol",
        when=f.smell.one_of("alcohol"),
        reason="A smell of {smell} is sugar and starch that ferment without air: wet, soft matter packed too tight.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.65,
    ),
    Rule(
        id="odour.ammonia",
        when=f.smell.one_of("ammonia"),
        reason="It smells of {smell}: there is more nitrogen than the carbon at hand can hold.",
        gives=Finding("too_much_nitrogen"),
        source=CORNELL_CHEMISTRY,
        confidence=0.9,
    ),
    Rule(
        id="odour.musty-and-wet",
        when=f.smell.one_of("musty") & WET_INSIDE,
        reason="It smells {smell} and a handful is {moisture_feel}: air is running short.",
        gives=Finding("short_of_air"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="odour.musty-and-dry",
        when=f.smell.one_of("musty") & DRY_INSIDE,
        reason="It smells {smell} and a handful is {moisture_feel}: moulds of dry wood have taken over.",
        gives=Finding("too_dry"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    # --- moves
    Rule(
        id="odour.loosen-rotten-egg",
        when=found.short_of_air.is_true()
        & f.smell.one_of("rotten_egg")
        & found.overheating.not_seen()
        & found.fire_danger.not_seen()
        & found.spent.not_seen(),
        reason="The smell of {smell} goes once air gets in: loosen the wet part.",
        gives=Act("loosen_pile", Urgency.TODAY),
        source=NRCS_OPERATION,
        confidence=0.8,
    ),
    Rule(
        id="odour.air-out-heap-gas",
        when=f.smell.one_of("rotten_egg", "ammonia") & DUCT_MAY_TOUCH_THE_HEAP & _MAY_REACH_THE_HOUSE,
        reason="It smells of {smell}, and air from the heap may reach the house: open it up and stay out.",
        gives=Act("ventilate_greenhouse", Urgency.NOW),
        source=EXPOSURE_LIMITS,
        confidence=0.85,
    ),
    Rule(
        id="odour.air-out-ammonia",
        when=f.smell.one_of("ammonia") & _MAY_REACH_THE_HOUSE,
        reason="A heap that smells of {smell} can foul the air of a house nearby and scorch leaves: air it each day.",
        gives=Act("ventilate_greenhouse", Urgency.THIS_WEEK),
        source=EXPOSURE_LIMITS,
        confidence=0.7,
    ),
    Rule(
        id="odour.rotten-egg-gas-kills",
        when=f.smell.one_of("rotten_egg"),
        reason="The gas that smells of {smell} is a poison, and it dulls the nose: a smell that fades is no sign of "
        "safety. Stay upwind, never put your head into a hole or pit, and do not work alone.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Rotten-egg gas is a poison: stay upwind.",
            soon=True,
        ),
        source=IOWA_CONFINED,
    ),
    Rule(
        id="odour.ammonia-stings",
        when=f.smell.one_of("ammonia"),
        reason="You can smell {smell} well below the level that harms. If eyes or throat sting, get out into the open.",
        gives=Caution(("*",), Gravity.INJURY),
        source=EXPOSURE_LIMITS,
    ),
    Rule(
        id="odour.ammonia-eats-copper",
        when=f.smell.one_of("ammonia") & TUBE_MAY_BE_COPPER,
        reason="The gas that smells of {smell} eats copper: check a copper loop's joints for green or blue stains and "
        "leaks.",
        gives=Caution(("*",), Gravity.INJURY),
        source=COPPER_AND_AMMONIA,
    ),
    Rule(
        id="odour.musty-squeeze-first",
        when=f.smell.one_of("musty") & f.moisture_feel.unknown(),
        reason="It smells {smell}: that can be mould in dry wood, or wet matter short of air. A squeezed handful from "
        "arm's depth tells which.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="odour.healthy-leave-shut",
        when=f.smell.one_of("earthy", "none")
        & DAMP_INSIDE
        & f.phase.one_of("falling", "cold", "unclear", "holding")
        & HAS_AIR_AND_NOT_TOO_WET,
        reason="The heap is {phase}, but turning will not help. Smell: {smell}. Handful: {moisture_feel}. So it has "
        "air and water.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="odour.healthy-no-brown",
        when=f.smell.one_of("earthy", "none") & (f.cn_ratio < RICH_BELOW) & found.too_much_nitrogen.not_seen(),
        reason="The mix is rich, but it smells of {smell}: no ammonia leaves, so brown matter has nothing to bind.",
        gives=Avoid("add_carbon"),
        source=CORNELL_CHEMISTRY,
    ),
)
