"""What reading whole answers against each other brought up: rest, limits, last days, doubts, and who speaks of what."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime

from tests.coherence.case import Answer, Case, first, hottest, in_fire, moves, told
from tests.coherence.law import law

CALM = ("keep_going", "wait")
A_STEP_DAYS = 3.0
HARD_FROST_C = -5.0
HANGS_ON_IT = ("reduce_draw", "pause_draw", "raise_draw", "keep_going")
BUILDS = ("build_new_pile", "start_next_pile", "enlarge_pile")
MATTER = ("m3", "kg", "L")
RESTS = ("The heap is to rest for now", "The house is not being heated")
LOOKS_FOR_FAULTS = "Look for a shut valve"
DIES = re.compile(r"dies before its time with a chance of (.+?)(?:,| if|\.)")
DIES_AS_NOW = re.compile(r"die too soon with a chance of (.+?)\.")


@law("heat that is counted on tonight though the heap is to rest, or the house is not heated")
def heat_of_tonight_at_rest(case: Case, answer: Answer) -> Iterator[str]:
    tonight = answer["tonight"]
    rests = in_fire(answer) or any(words in tonight["verdict"] for words in RESTS)
    if rests and tonight["from_pile"] is not None and tonight["from_pile"]["high"] > 0.0:
        yield f"{tonight['from_pile']} from the heap: {tonight['verdict']}"
    if rests and tonight["needed"] is not None and tonight["short_by"]["value"] != tonight["needed"]["value"]:
        yield f"{tonight['needed']} is needed, {tonight['short_by']} left for the stove"


@law("too cool already, beside a core that is to climb over the limit", "full")
def cool_already_beside_a_climb(case: Case, answer: Answer) -> Iterator[str]:
    until, median = answer["outlook"]["days_until_cool"], answer["outlook"]["core"]["median"]
    limit = told(case.body, "goal", "keep_core_above") or 40
    if until is not None and until["value"] == 0.0 and median and max(median) >= limit + 1.0:
        yield f"{until}, and the core goes from {median[0]} to {max(median)}"


@law("all goes on as it is, with a core at its limit that is likely below it within three days", "full", rate=0.001)
def calm_at_the_limit(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what is due rests on the rough look ahead of both kinds of answer, the outlook on the run.
    limit, median = told(case.body, "goal", "keep_core_above") or 40, answer["outlook"]["core"]["median"]
    near = [core for core, at in zip(median, answer["outlook"]["at"], strict=True) if _days(answer, at) <= A_STEP_DAYS]
    if near and limit <= near[0] <= limit + 1.0 and min(near) < limit - 1.0 and first(answer)["action"] == "keep_going":
        yield f"{near}, limit {limit}"


@law("an amount of matter whose range has no width")
def matter_of_no_width(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        if action["action"] in BUILDS:
            continue  # how big a new heap is to be is chosen, not estimated
        for dose in action["doses"]:
            for each in (dose, *dose["or_instead"]):
                if each["unit"] in MATTER and each["low"] == each["high"]:
                    yield f"{action['action']}: {each['value']} ({each['low']} to {each['high']}) {each['unit']}"


@law("steps of days for a draw, or a look at it, that are more than the days left")
def small_steps_with_no_days_left(case: Case, answer: Answer) -> Iterator[str]:
    until = told(case.body, "goal", "until")
    if until is None:
        return
    now = datetime.fromisoformat(answer["as_of"])
    left = max((date.fromisoformat(until) - now.date()).days, 1)
    if left >= A_STEP_DAYS:
        return
    for action in answer["actions"]:
        yield from (step for step in action["steps"] if "three days" in step and action["action"] == "raise_draw")
    plan = answer["draw_plan"]
    if plan is not None and "two or three days" in plan["text"]:
        yield plan["text"]
    if first(answer)["action"] in ("reduce_draw", "raise_draw", "pause_draw", *CALM):
        look = (datetime.fromisoformat(answer["look_again"]["at"]) - now).total_seconds() / 86400.0
        if look > max(left - 1, 1) + 0.01:
            yield f"look again in {look:.1f} days, {left} are left"


@law("a handful that is doubted, and neither a step nor a question that looks again")
def doubted_hand_left_at_that(case: Case, answer: Answer) -> Iterator[str]:
    facts = case.judgement.found.facts
    if facts.get("hand_doubtful") is not True or (hottest(case.body) or 0.0) >= 75.0 or in_fire(answer):
        return
    if facts.get("overheating") is True or told(case.body, "people") or told(case.body, "pile", "moisture") is not None:
        return
    asked = [each["field"] for each in answer["ask_next"]]
    if "squeeze_again" not in moves(answer) and "/moisture_feel" not in asked and asked:
        yield f"{moves(answer)}, asked {asked}"


@law("the first move hangs on how much is drawn, some of it was not told, and something else is asked first")
def untold_draw_not_asked_first(case: Case, answer: Answer) -> Iterator[str]:
    if case.judgement.found.facts.get("draw_assumed") is not True or first(answer)["action"] not in HANGS_ON_IT:
        return
    asked = [each["field"] for each in answer["ask_next"]]
    if (hottest(case.body) or 0.0) < 75.0 and asked and not asked[0].startswith("/draw/"):
        yield f"{first(answer)['action']}, asked {asked}"


@law("a pump that is to run less while hard frost is near, and no guard of its pipes")
def runs_less_in_hard_frost_unguarded(case: Case, answer: Answer) -> Iterator[str]:
    facts = case.judgement.found.facts
    hard = facts.get("has_water_loop") is True and float(facts.get("near_low_c", 0.0)) <= HARD_FROST_C
    less = facts.get("water_drawing") is True and {"reduce_draw", "pause_draw"} & set(moves(answer))
    done = any(each["action"] == "protect_loop_from_frost" for each in told(case.body, "done") or [])
    steps = [
        step for each in answer["actions"] if each["action"] in ("reduce_draw", "pause_draw") for step in each["steps"]
    ]
    guarded = "protect_loop_from_frost" in moves(answer) or any("freeze" in step for step in steps)
    bare = not done and not guarded
    if hard and less and bare and (hottest(case.body) or 0.0) < 70.0:
        yield f"{facts['near_low_c']:.0f} degC, {moves(answer)}"


@law("a loop that is only to be closed, with steps that look for what is out of order")
def closed_by_looking_for_faults(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        asked = {reason["rule"] for reason in action["reasons"]}
        if action["action"] == "check_loop" and asked == {"safety.close-the-loop"}:
            yield from (step for step in action["steps"] if LOOKS_FOR_FAULTS in step)


@law("a heap on its way to a fire, told by the lower limit")
def overheating_by_the_lower_limit(case: Case, answer: Answer) -> Iterator[str]:
    if (hottest(case.body) or 0.0) >= 75.0 and "at or above 70" in answer["headline"]:
        yield answer["headline"]


@law("a move that is warned off without a word why")
def warned_off_without_a_word(case: Case, answer: Answer) -> Iterator[str]:
    yield from (avoid["action"] for avoid in answer["avoid"] if not avoid["reasons"])


@law("a risk that is told against drawing on as now, though it is no higher than the plan's own", "full")
def risk_against_itself(case: Case, answer: Answer) -> Iterator[str]:
    why = answer["draw_plan"]["why"] if answer["draw_plan"] else ""
    planned, as_now = DIES.search(why), DIES_AS_NOW.search(why)
    if planned and as_now and _chance(as_now[1]) < _chance(planned[1]):
        yield why


@law("a step that names minutes where none are dosed")
def minutes_that_are_not_dosed(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        dosed = any(dose["of"].endswith("minutes_per_hour") or dose["of"].endswith("flow") for dose in action["doses"])
        if not dosed and action["doses"]:
            yield from (step for step in action["steps"] if "minutes per hour" in step and "given here" in step)


def _days(answer: Answer, at: str) -> float:
    return (datetime.fromisoformat(at) - datetime.fromisoformat(answer["as_of"])).total_seconds() / 86400.0


def _chance(words: str) -> float:
    """A chance in words as a number, near enough to compare."""
    number = float(words.split(" in ", maxsplit=1)[0].rsplit(maxsplit=1)[-1])
    return number / 20.0 - (0.01 if "less" in words else 0.0) if "in 20" in words else number / 10.0
