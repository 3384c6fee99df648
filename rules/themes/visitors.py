"""Beasts in the heap: rats and mice, flies, ants; and what people feel who stand beside it."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import LOOP_DRAWS_NOTHING
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import CDC_CO, CDC_RODENTS, COMMON_PRACTICE, EXPOSURE_LIMITS
from rules.tables.squeeze import FEEL_NOT_WET

_AT_THE_HEAP: Final = (
    "drain_duct",
    "check_fan",
    "squeeze_again",
    "loosen_pile",
    "find_the_cause",
    "add_dry_bulking",
    "add_carbon",
    "add_nitrogen",
    "add_water",
    "top_up",
)
"""Work with a face at duct or heap."""
_NOT_WHILE_UNWELL: Final = tuple(
    Rule(
        id=f"visitors.unwell-no-{action.replace('_', '-')}",
        when=f.people_unwell.is_true(),
        reason="Somebody feels unwell: nobody works at duct or heap until the cause is found.",
        gives=Avoid(action),
        source=CDC_CO,
    )
    for action in _AT_THE_HEAP
)

RULES: Final = (
    *_NOT_WHILE_UNWELL,
    # --- people first
    Rule(
        id="visitors.out-of-the-air",
        when=f.people_unwell.is_true(),
        reason="Headache, dizziness or sickness near a heap or in its house can be gas: carbon monoxide, carbon "
        "dioxide or too little oxygen. Open the house from outside and keep everybody out.",
        gives=Act("ventilate_greenhouse", Urgency.NOW),
        source=CDC_CO,
        confidence=0.95,
    ),
    Rule(
        id="visitors.out-first",
        when=f.people_unwell.is_true(),
        reason="Everybody out into the open air now. If anybody is faint, confused or no better at once, call the "
        "emergency services and say that it may be gas. Nobody goes back in to fetch anything.",
        gives=Caution(("*",), Gravity.LIFE, brief="Everybody out into the open air now.", soon=True),
        source=CDC_CO,
        confidence=1.0,
    ),
    Rule(
        id="visitors.stop-the-fan",
        when=f.people_unwell.is_true() & f.has_air_duct.is_true() & (f.fan_is_set.is_true() | f.fan_is_set.unknown()),
        reason="Somebody feels unwell and a fan draws on the heap. Switch it off from outside, and leave it off until "
        "all are well and the cause is found.",
        gives=Act("pause_draw", Urgency.NOW, until_cleared=True),
        source=CDC_CO,
        confidence=0.9,
    ),
    Rule(
        id="visitors.not-as-you-are",
        when=f.people_unwell.is_true(),
        reason="Somebody feels unwell: nothing goes on as it is until they are better and the cause is found.",
        gives=Avoid("keep_going"),
        source=CDC_CO,
    ),
    Rule(
        id="visitors.no-waiting",
        when=f.people_unwell.is_true(),
        reason="Somebody feels unwell: do not wait and see.",
        gives=Avoid("wait"),
        source=CDC_CO,
    ),
    Rule(
        id="visitors.stinging-air",
        when=f.people_sting.is_true(),
        reason="Eyes or throat that sting, or a cough, tell of ammonia or dust. Get upwind into the open. Rinse eyes "
        "with water. See a doctor if it lasts or fever follows.",
        gives=Caution(("*",), Gravity.INJURY),
        source=EXPOSURE_LIMITS,
    ),
    Rule(
        id="visitors.stop-the-fan-that-stings",
        when=f.foul_air_by_fan.is_true()
        & (f.fan_is_set.is_true() | f.fan_is_set.unknown())
        & f.people_unwell.not_seen()
        & found.fire_danger.not_seen(),
        reason="The heap's air smells foul or stings, and a fan may blow it into the house. Switch the fan off from "
        "outside, and leave it off until it is sure that a closed duct keeps that air apart.",
        gives=Act("pause_draw", Urgency.NOW, until_cleared=True),
        source=EXPOSURE_LIMITS,
        confidence=0.85,
    ),
    Rule(
        id="visitors.foul-air-blown-in",
        when=f.foul_air_by_fan.is_true() & (f.fan_is_set.is_true() | f.fan_is_set.unknown()),
        reason="The heap's air smells foul or stings, and a fan may blow it into the house.",
        gives=Finding("gas_into_house"),
        source=EXPOSURE_LIMITS,
        confidence=0.8,
    ),
    Rule(
        id="visitors.not-as-you-are-while-it-stings",
        when=f.foul_air_by_fan.is_true(),
        reason="Foul air may be blown into the house: it is not to go on as it is.",
        gives=Avoid("keep_going"),
        source=EXPOSURE_LIMITS,
    ),
    Rule(
        id="visitors.no-harder-foul-air",
        when=f.foul_air_by_fan.is_true() & LOOP_DRAWS_NOTHING,
        reason="Foul air may be blown into the house: no fan is to draw before a closed duct is laid.",
        gives=Avoid("raise_draw"),
        source=EXPOSURE_LIMITS,
    ),
    Rule(
        id="visitors.fever-after-dust-or-water",
        when=f.people_fever.is_true(),
        reason="A fever or chills after work at a heap can come of its dust, or of germs in warm loop water. See a "
        "doctor today, and say that you work with compost and with warm water. Until then nobody opens the heap or "
        "lets its water spray.",
        gives=Caution(("*",), Gravity.LIFE, brief="With a fever since: see a doctor today.", soon=True),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="visitors.air-the-house",
        when=f.people_sting.is_true() & f.people_unwell.not_seen(),
        reason="Air that stings is no air for a house: open it up, and work upwind.",
        gives=Act("ventilate_greenhouse", Urgency.TODAY),
        source=EXPOSURE_LIMITS,
        confidence=0.8,
    ),
    # --- rats and mice
    Rule(
        id="visitors.rodents-carry-disease",
        when=f.rodents.is_true(),
        reason="Rats and mice carry hantavirus and leptospirosis. Wear gloves and a mask, wet droppings with "
        "disinfectant before you touch them, never sweep them dry, and wash your hands.",
        gives=Caution(("*",), Gravity.INJURY),
        source=CDC_RODENTS,
    ),
    Rule(
        id="visitors.holes-leak-air",
        when=f.rodents.is_true(),
        reason="Their holes are air leaks: warm air leaves by them and the heap dries along them. Collapse and firm "
        "them from outside with a bar, and bury food deep.",
        gives=Caution(("*",)),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="visitors.mesh-on-hand",
        when=f.rodents.is_true() & f.has_mesh.is_true(),
        reason="You have mesh: lay it round the foot, dug in a hand deep, holes no wider than a fingernail.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    # --- insects
    Rule(
        id="visitors.ants-tell-dryness",
        when=f.ants.is_true() & FEEL_NOT_WET,
        reason="Ants nest where it is dry and no hotter than a hand can bear: that part wants water.",
        gives=Finding("too_dry"),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="visitors.ants-go-when-wet",
        when=f.ants.is_true(),
        reason="Ants do no harm to the heap. Water their place well and they move; no poison in a heap.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="visitors.flies",
        when=f.flies.is_true(),
        reason="Flies breed in wet, fresh matter near the skin. Bury it deep and cap the heap with a hand of chips or "
        "finished compost: the heat below does the rest.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
)
