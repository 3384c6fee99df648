"""What may not stand together, and what comes before what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from rules import RULES
from rules.actions.conflicts import CONFLICTS
from rules.actions.records import ACTIONS
from rules.language.model import Act, Urgency
from service.actions.order import NEXT_TO_NOTHING
from tests.coherence.case import Answer, Case, first, hottest, in_fire, moves, told
from tests.coherence.law import law
from tests.coherence.laws.effects import clear_gain, is_run, loses

FREE_AND_INSTANT = ("reduce_draw", "pause_draw", "stop_adding_water", "keep_rain_off", "check_loop")
SOON = ("now", "today")
PAIRS = (
    ("add_water", "stop_adding_water"),
    ("add_water", "add_dry_bulking"),
    ("cover_with_clear_film", "lift_cover"),
    ("insulate", "lift_cover"),
    ("add_nitrogen", "add_carbon"),
    ("raise_draw", "reduce_draw"),
    ("raise_draw", "pause_draw"),
    ("reduce_draw", "pause_draw"),
    ("build_new_pile", "keep_going"),
    ("watch_heat", "keep_going"),
    ("watch_heat", "wait"),
    ("watch_heat", "cover_with_clear_film"),
    ("watch_heat", "insulate"),
    ("loosen_pile", "wait"),
    ("loosen_pile", "keep_going"),
    ("keep_going", "wait"),
)
CURES = {
    "too_dry": {"add_water"},
    "dry_core_under_wet_skin": {"add_water"},
    "too_wet": {
        "stop_adding_water",
        "keep_rain_off",
        "add_dry_bulking",
        "loosen_pile",
        "open_vent_in_film",
        "lift_cover",
        "draw_air_instead_of_water",
        "remove_snow",
    },
    "starved_of_nitrogen": {"add_nitrogen", "top_up", "build_new_pile"},
    "too_much_nitrogen": {"add_carbon", "ventilate_greenhouse"},
    "short_of_air": {"loosen_pile", "add_dry_bulking", "lift_cover", "open_vent_in_film", "remove_snow"},
    "channelling": {"top_up", "loosen_pile", "add_water", "check_loop"},
    "overdrawn": {"reduce_draw", "pause_draw", "draw_air_instead_of_water"},
    "losing_unseen": {"check_loop", "check_fan", "drain_duct", "check_probe", "find_the_cause"},
    "cold_soaked": {"wait", "insulate", "cover_with_clear_film", "pause_draw", "reduce_draw", "top_up"},
    "losing_to_weather": {"cover_with_clear_film", "insulate", "keep_rain_off"},
    "spent": {"build_new_pile", "start_next_pile"},
    "too_small": {"enlarge_pile", "insulate", "build_new_pile"},
}
CURES["waterlogged"] = CURES["too_wet"]


@law("an action that is both advised and warned off")
def advised_and_warned_off(case: Case, answer: Answer) -> Iterator[str]:
    yield from sorted({avoid["action"] for avoid in answer["avoid"]} & set(moves(answer)))


@law("two moves that contradict each other")
def moves_that_contradict(case: Case, answer: Answer) -> Iterator[str]:
    named = set(moves(answer))
    pairs = {*PAIRS, *((conflict.keeps, conflict.drops) for conflict in CONFLICTS)}
    yield from (f"{one} and {other}" for one, other in sorted(pairs) if {one, other} <= named)


@law("digging before what is free and instant, or stops more water, at the same urgency", rate=0.001)
def digging_before_the_switch(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what a shorter draw gains is told by its plan and ranked by its what-if (measured: 1 in 3,900
    # full answers, none in 28,000 without what-ifs).
    # Digging that clearly gains may stand above a switch that does not, and no switch that likely loses comes first.
    for place, action in enumerate(answer["actions"]):
        if not ACTIONS[action["action"]].opens_heap:
            continue
        for later in answer["actions"][place + 1 :]:
            between = answer["actions"][place : later["rank"] - 1]
            apart = any(_stands_above(case, answer, each, later) for each in between)
            if later["action"] in FREE_AND_INSTANT and later["urgency"] == action["urgency"] and not apart:
                yield f"{action['action']} before {later['action']}, both {action['urgency']}"


def _stands_above(case: Case, answer: Answer, above: Mapping[str, Any], switch: Mapping[str, Any]) -> bool:
    """Whether what-ifs put a move above a switch; those that the order rests on, where an answer tells none."""
    if is_run(switch):
        return (clear_gain(above, answer) and not clear_gain(switch, answer)) or (above["rank"] == 1 and loses(switch))
    gains = case.judgement.decision.gains
    of_switch, of_above = gains.get(switch["action"], 0.0), gains.get(above["action"], 0.0)
    return (of_above > NEXT_TO_NOTHING >= of_switch) or (above["rank"] == 1 and of_switch < 0.0)


@law("less urgent before more urgent, other than for safety")
def urgency_out_of_order(case: Case, answer: Answer) -> Iterator[str]:
    order = [urgency.value for urgency in Urgency]
    rest = [action for action in answer["actions"] if not ACTIONS[action["action"]].safety]
    for one, next_one in pairwise(rest):
        if order.index(one["urgency"]) > order.index(next_one["urgency"]):
            yield f"{one['action']} {one['urgency']} before {next_one['action']} {next_one['urgency']}"


@law("nothing due today though the core falls below the limit within three days", "full", rate=0.001)
def today_when_it_soon_is_cold(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what is due rests on the rough look ahead of both kinds of answer, the outlook on the run.
    limit = told(case.body, "goal", "keep_core_above") or 40
    core, until = hottest(case.body), answer["outlook"]["days_until_cool"]
    if until is None or core is None or core <= limit + 1 or answer["outlook"]["core"]["median"][0] <= limit:
        return
    if until["value"] <= 3 and first(answer)["urgency"] not in SOON:
        yield f"{first(answer)['action']} {first(answer)['urgency']}: below {limit} in {until['value']} days"


@law("a cause of one half or more without an action or a sentence why there is none")
def cause_without_an_answer(case: Case, answer: Answer) -> Iterator[str]:
    for cause in answer["likely_causes"]:
        cured = CURES[cause["cause"]] & set(moves(answer))
        if cause["share"] >= 0.5 and not cured and not cause.get("no_action") and not in_fire(answer):
            yield f"{cause['cause']} {cause['share']}: {moves(answer)}"


@law("look again: in the past, or later than an hour in a fire, or later than a day from 65 degC on")
def look_again_in_time(case: Case, answer: Answer) -> Iterator[str]:
    at, now = datetime.fromisoformat(answer["look_again"]["at"]), datetime.fromisoformat(answer["as_of"])
    most = timedelta(hours=1) if in_fire(answer) else timedelta(days=1 if (hottest(case.body) or 0) >= 65 else 14)
    if not now < at <= now + most:
        yield f"{at - now} from now"


@law("frost guard and a stopped or shortened draw without a word how both go together")
def frost_and_less_draw(case: Case, answer: Answer) -> Iterator[str]:
    named = set(moves(answer))
    water = told(case.body, "draw", "water") is not None or "water_loop" in (told(case.body, "equipment") or [])
    cuts = {"reduce_draw", "pause_draw"} & named
    if "protect_loop_from_frost" not in named or not cuts or not water:
        return
    steps = " ".join(step for a in answer["actions"] if a["action"] in cuts for step in a["steps"]).casefold()
    if not any(word in steps for word in ("drain", "antifreeze", "freeze")):
        yield f"{sorted(cuts)} beside protect_loop_from_frost"


@law("work before the fan is off, both as urgent, where heap gas may be blown into the house")
def work_before_the_fan_is_off(case: Case, answer: Answer) -> Iterator[str]:
    named = [action["action"] for action in answer["actions"]]
    if "pause_draw" not in named or case.judgement.found.facts.get("gas_into_house") is not True:
        return
    off = answer["actions"][named.index("pause_draw")]
    for above in answer["actions"][: named.index("pause_draw")]:
        if above["urgency"] == off["urgency"] and not ACTIONS[above["action"]].safety:
            yield f"{above['action']} before pause_draw, both {off['urgency']}"


@law("work on this heap that waits for the next one, though no rule puts it off so far, and it does not lose")
def put_off_to_the_next_heap(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        asked = [RULES[because["rule"]].gives for because in action["reasons"]]
        acts = [gives for gives in asked if isinstance(gives, Act) and gives.action == action["action"]]
        loses_heat = case.judgement.decision.gains.get(action["action"], 0.0) < 0.0 or (
            is_run(action) and loses(action)
        )
        sooner = all(act.urgency is not Urgency.NEXT_PILE for act in acts)
        if action["urgency"] == "next_pile" and acts and sooner and not loses_heat:
            yield f"{action['action']}, asked for {sorted({act.urgency.value for act in acts})}"
