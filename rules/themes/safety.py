"""Cautions for people: gas, dust, germs, heat, current and weight. Local law and licensed trades come first."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import DRAW_FITTED, LOOP_MAY_BE_OPEN, TUBE_MAY_BE_COPPER
from rules.language.conditions import Threshold
from rules.language.model import Act, Caution, Gravity, Rule, Urgency
from rules.language.sources import (
    AMMONIA_EQUILIBRIUM,
    ASHRAE_LEGIONELLA,
    CFR_257,
    COMMON_PRACTICE,
    CONFINED_SPACE,
    COPPER_AND_AMMONIA,
    EPA_STATIC,
    EXPOSURE_LIMITS,
    NFPA_70,
    NOP_RAW_MANURE,
    PEARSON_BIOAEROSOLS,
    SCALD_STUDY,
    SEALED_HEATING,
    WHO_LEGIONELLA,
)
from rules.tables.thresholds import HOT_FROM

LEGIONELLA_FROM = Threshold("LEGIONELLA_FROM", 25.0, "degC", "Legionella grows from here", WHO_LEGIONELLA)
LEGIONELLA_TO = Threshold("LEGIONELLA_TO", 45.0, "degC", "Legionella grows up to here", WHO_LEGIONELLA)
SCALDS_FROM = Threshold("SCALDS_FROM", 49.0, "degC", "water burns skin within minutes", SCALD_STUDY)

_OPENS_THE_HEAP = (
    "loosen_pile",
    "add_dry_bulking",
    "add_carbon",
    "top_up",
    "enlarge_pile",
    "build_new_pile",
    "start_next_pile",
)
_DIGS = ("loosen_pile", "add_dry_bulking", "enlarge_pile", "build_new_pile")
_DRAWS = ("raise_draw", "reduce_draw", "pause_draw", "keep_going", "draw_air_instead_of_water")

_MACHINES = (
    DRAW_FITTED
    | f.fan_stopped.is_true()
    | f.water_in_duct.is_true()
    | f.no_flow_in_loop.is_true()
    | f.pipe_burst.is_true()
    | f.pipe_frozen.is_true()
    | f.fan_no_air.is_true()
    | f.duct_drips.is_true()
)
_NO_FIRE = found.fire_danger.not_seen()
"""In a fire nothing is told of pipes and ducts that nobody mentioned."""
_LUNG_GERMS = Caution(("*",), Gravity.LIFE, brief="Never spray loop water (Legionella).", topic="legionella")

_GAS_AND_DUST: tuple[Rule, ...] = (
    Rule(
        id="safety.dust-and-spores",
        when=f.core_c.known() & f.white_threads.not_seen(),
        reason="An opened heap throws up dust full of spores, at {core_c} as at any other heat. Wear a dust mask that "
        "fits, stand upwind, and stay away if your lungs are weak.",
        gives=Caution(_OPENS_THE_HEAP, Gravity.INJURY),
        source=PEARSON_BIOAEROSOLS,
    ),
    Rule(
        id="safety.spores-in-mouldy-matter",
        when=(f.smell.one_of("musty") | f.moisture_feel.one_of("dusty"))
        & found.fire_danger.not_seen()
        & found.overheating.not_seen(),
        reason="Musty or dusty matter throws up spores that can harm the lungs. Wear a dust mask that fits, and stay "
        "upwind, whenever you dig in, squeeze a handful or make holes.",
        gives=Caution(("*",), Gravity.INJURY),
        source=PEARSON_BIOAEROSOLS,
    ),
    Rule(
        id="safety.gas-in-an-opened-heap",
        when=f.core_c >= HOT_FROM,
        reason="At {core_c} inside, an opened heap breathes out hot steam and gas low in oxygen. Do not lean over it, "
        "and do not work in a shut shed.",
        gives=Caution(
            (*_OPENS_THE_HEAP, "open_vent_in_film", "lift_cover"),
            Gravity.LIFE,
            brief="Never lean over an opened heap.",
        ),
        source=EXPOSURE_LIMITS,
    ),
    Rule(
        id="safety.no-crawling-in",
        when=_MACHINES,
        reason="Never climb or put your head into a duct, pit, tank or dug hole. The air there can kill at once; law "
        "may ask for a permit and a second person.",
        gives=Caution(
            ("check_loop", "check_fan", "drain_duct", "protect_loop_from_frost"),
            Gravity.LIFE,
            brief="Keep out of ducts; have a second person.",
        ),
        source=CONFINED_SPACE,
    ),
    Rule(
        id="safety.ash-and-nitrogen",
        when=f.core_c.known() & (f.has_ash.is_true() | f.has_ash.unknown()),
        reason="Wood ash turns urea, urine and manure into ammonia gas, the faster the hotter (core: {core_c}). Keep "
        "them apart.",
        gives=Caution(("add_nitrogen", "loosen_pile"), Gravity.INJURY),
        source=AMMONIA_EQUILIBRIUM,
    ),
    Rule(
        id="safety.backup-heater-fumes",
        when=f.core_c.known(),
        reason="Whatever the heap gives (its core reads {core_c}), the fumes of a stove in a shut house can kill "
        "unseen. Give it a flue and fresh air, fit a gas alarm, and never sleep beside it.",
        gives=Caution(("light_backup_heat",), Gravity.LIFE, brief="A stove needs a flue and a gas alarm."),
        source=EXPOSURE_LIMITS,
    ),
)

_WATER: tuple[Rule, ...] = (
    Rule(
        id="safety.open-loop-in-legionella-band",
        when=f.water_loop_kind.one_of("open")
        & (f.water_outlet_c >= LEGIONELLA_FROM)
        & (f.water_outlet_c <= LEGIONELLA_TO),
        reason="The loop is {water_loop_kind} and its water leaves at {water_outlet_c}: germs that attack the lungs "
        "(Legionella) grow at such heat. Never spray, mist or shower with it; close the loop.",
        gives=_LUNG_GERMS,
        source=WHO_LEGIONELLA,
    ),
    Rule(
        id="safety.untold-loop-in-legionella-band",
        when=f.has_water_loop.is_true()
        & f.water_loop_kind.unknown()
        & (f.water_outlet_c >= LEGIONELLA_FROM)
        & (f.water_outlet_c <= LEGIONELLA_TO),
        reason="Water leaves the loop at {water_outlet_c}: germs that attack the lungs (Legionella) grow at such heat. "
        "Unless the loop is closed, never spray, mist or shower with it.",
        gives=_LUNG_GERMS,
        source=WHO_LEGIONELLA,
    ),
    Rule(
        id="safety.loop-water-unread",
        when=LOOP_MAY_BE_OPEN & f.water_outlet_c.unknown(),
        reason="Lukewarm water can breed germs that attack the lungs (Legionella). Never spray, mist or shower with "
        "the loop's water, and plan a closed loop with a heat exchanger.",
        gives=_LUNG_GERMS,
        source=ASHRAE_LEGIONELLA,
    ),
    Rule(
        id="safety.open-loop",
        when=LOOP_MAY_BE_OPEN & ((f.water_outlet_c < LEGIONELLA_FROM) | (f.water_outlet_c > LEGIONELLA_TO)),
        reason="Loop water that leaves at {water_outlet_c} and then stands lukewarm can breed germs that attack the "
        "lungs (Legionella). Do not use it; plan a closed loop with a heat exchanger.",
        gives=Caution((*_DRAWS, "check_loop"), Gravity.INJURY, topic="legionella"),
        source=ASHRAE_LEGIONELLA,
    ),
    Rule(
        id="safety.loop-untold",
        when=f.core_c.known() & f.has_water_loop.unknown() & f.has_air_duct.known() & _NO_FIRE,
        reason="If a water loop is fitted too (core: {core_c}): lukewarm water can breed germs that attack the lungs "
        "(Legionella). Never spray or shower with it, and give a closed loop a relief valve.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Any loop: never spray its water (Legionella).",
            topic="legionella",
        ),
        source=ASHRAE_LEGIONELLA,
    ),
    Rule(
        id="safety.loop-and-duct-untold",
        when=f.core_c.known() & f.has_water_loop.unknown() & f.has_air_duct.unknown() & _NO_FIRE,
        reason="If a loop or a duct is fitted (core: {core_c}): its water can breed germs of the lungs (Legionella) "
        "and burst a closed loop; its air can carry deadly gas. Use neither in the house, and unplug before you touch.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Any loop or duct: mind Legionella and gas.",
            topic="legionella",
        ),
        source=ASHRAE_LEGIONELLA,
    ),
    Rule(
        id="safety.close-the-loop",
        when=f.water_loop_kind.one_of("open")
        & (f.water_outlet_c >= LEGIONELLA_FROM)
        & (f.water_outlet_c <= LEGIONELLA_TO),
        reason="Water leaves an {water_loop_kind} loop at {water_outlet_c}, and so it gets used. Close the loop, with "
        "a heat exchanger between.",
        gives=Act("check_loop", Urgency.THIS_WEEK, closing=True),
        source=WHO_LEGIONELLA,
        confidence=0.7,
    ),
    Rule(
        id="safety.scald",
        when=f.water_outlet_c >= SCALDS_FROM,
        reason="Water leaves at {water_outlet_c}. It can scald within minutes, and faster when hotter. Fit a mixing "
        "valve, and lag the pipes that people touch.",
        gives=Caution((*_DRAWS, "check_loop", "protect_loop_from_frost"), Gravity.INJURY),
        source=SCALD_STUDY,
    ),
    Rule(
        id="safety.sealed-loop-needs-relief",
        when=f.has_water_loop.is_true()
        & (f.water_loop_kind.one_of("closed") | f.water_loop_kind.unknown())
        & f.core_c.known(),
        reason="A closed loop in a core of {core_c} builds pressure when the pump stops. It needs an expansion tank "
        "and a relief valve that drips where nobody stands.",
        gives=Caution(("*",), Gravity.INJURY),
        source=SEALED_HEATING,
    ),
    Rule(
        id="safety.copper-and-ammonia",
        when=TUBE_MAY_BE_COPPER,
        reason="Ammonia eats copper and can crack it. Keep urine, urea and fresh poultry manure off a copper tube.",
        gives=Caution(("add_nitrogen", "check_loop"), Gravity.INJURY),
        source=COPPER_AND_AMMONIA,
    ),
)

_CURRENT_AND_WEIGHT: tuple[Rule, ...] = (
    Rule(
        id="safety.current-outdoors",
        when=_MACHINES,
        reason="Pumps and fans in the wet need a safety switch that trips on earth faults (RCD or GFCI). Unplug before "
        "you touch them. Leave wiring to a licensed electrician.",
        gives=Caution(
            ("check_fan", "check_loop", "drain_duct"),
            Gravity.LIFE,
            brief="Unplug pump and fan first.",
        ),
        source=NFPA_70,
    ),
    Rule(
        id="safety.dug-face",
        when=f.core_c.known(),
        reason="A dug face can fall and bury you, all the more with hollows inside (core: {core_c}). Never undercut "
        "it, cut it back to a slope, and do not work alone.",
        gives=Caution(_DIGS, Gravity.LIFE, brief="Never undercut a dug face."),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="safety.lifting",
        when=f.age_days.known(),
        reason="Wet chips are heavy, and at {age_days} old they have packed down. Use small loads, and let a machine "
        "or a helper do the rest.",
        gives=Caution((*_DIGS, "start_next_pile", "remove_snow"), Gravity.INJURY),
        source=COMMON_PRACTICE,
    ),
)

_GERMS: tuple[Rule, ...] = (
    Rule(
        id="safety.heat-proves-no-kill",
        when=f.core_c.known(),
        reason="A core of {core_c} does not prove that germs and weed seeds are dead. The cool outer layer of an "
        "unturned heap never gets hot. Wash your hands.",
        gives=Caution(("build_new_pile", "start_next_pile", "top_up"), Gravity.INJURY),
        source=EPA_STATIC,
    ),
    Rule(
        id="safety.manure-and-crops",
        when=f.core_c.known()
        & (
            f.has_manure.is_true()
            | f.has_food_scraps.is_true()
            | (f.has_manure.unknown() & f.has_food_scraps.unknown())
        ),
        reason="Is manure or food in the heap? Then treat what comes out as raw manure, for all its {core_c}. Work it "
        "in four months before you pick crops that touch the soil, three before others.",
        gives=Caution(("build_new_pile",), Gravity.INJURY),
        source=NOP_RAW_MANURE,
    ),
    Rule(
        id="safety.turning-is-what-kills",
        when=(f.has_manure.is_true() | f.has_manure.unknown()) & (f.core_c >= HOT_FROM),
        reason="The core reads {core_c}. The rules for killing germs ask for high heat in every part, by turning or "
        "by blown air. A still heap does neither.",
        gives=Caution(("keep_going",), Gravity.INJURY),
        source=CFR_257,
    ),
)

RULES: tuple[Rule, ...] = _GAS_AND_DUST + _WATER + _CURRENT_AND_WEIGHT + _GERMS
