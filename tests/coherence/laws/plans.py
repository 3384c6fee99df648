"""The plan of drawing, the verdict on energy and the advice speak with one mind."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from rules.themes.spare_heat import DRAWN_HOT_FROM
from tests.coherence.case import Answer, Case, action, drawn_told, first, hottest, moves, told
from tests.coherence.law import law
from tests.coherence.laws.cautions import KEEP_OFF_FROM, UNWELL

LEAST_MINUTES = 2.0
"""A pump that runs for less in the hour only flushes its own pipe (common practice, no source)."""
COLD_BELOW = 30.0
COLLAPSE_K = 9.0
"""A fall within three days that nobody lets go on while heat is drawn [K] (our own)."""
NIGHT_HOURS = 14.0
"""From about seven in the evening to nine in the morning [h/day]."""
STEP = 1.5
FIRST_MINUTES = 5.0 * 14.0
"""With much untold: half as much again at most, or five minutes in each hour of a night [min/day] (our own)."""
OLD_DAYS = 4.0
TOO_OLD_DAYS = 10.0
WORTH_CUTTING_W = 300.0
"""A draw below this is not cut for its own sake (our own)."""
AGAINST_MORE = ("more than it can keep up", "othing can be taken", "othing is to be taken")
TIMERS = {"water": "water_minutes_per_hour", "air": "air_minutes_per_hour"}
CALM = {"keep_going", "wait"}
WRAPS = {"insulate", "cover_with_clear_film"}


@law("a plan of drawing that runs the pump or fan otherwise than the advice beside it")
def plan_against_the_advice(case: Case, answer: Answer) -> Iterator[str]:
    plan, named = answer["draw_plan"], set(moves(answer))
    if plan is None:
        return
    minutes, now = plan["minutes_per_hour"], _running_now(case, plan["way"])
    if "pause_draw" in named and minutes > 0:
        yield f"pause_draw beside {minutes} min/h"
    for move in ("raise_draw", "reduce_draw"):
        advised = action(answer, move)
        for dose in advised["doses"] if advised else ():
            if dose["of"] == TIMERS[plan["way"]] and abs(dose["value"] - minutes) > 1.0:
                yield f"{move} to {dose['value']} min/h beside {minutes}"
    warned_off = "raise_draw" in {avoid["action"] for avoid in answer["avoid"]}
    if now is not None and "pause_draw" not in named:
        a_day = minutes * plan["hours_per_day"]
        if a_day > now + 1.0 and (warned_off or "reduce_draw" in named or CALM & named):
            yield f"{a_day} min a day beside {sorted(named)}, {now} now"


@law("a plan that switches by the core, or runs, though its text leaves the draw off for now")
def off_in_words_alone(case: Case, answer: Answer) -> Iterator[str]:
    plan = answer["draw_plan"]
    off = plan is not None and re.match("Leave the (pump|fan) off (?!until the core)", plan["text"])
    if off and (plan["by"] != "off" or plan["minutes_per_hour"] > 0):
        yield f"by {plan['by']}, {plan['minutes_per_hour']} min/h: {plan['text'][:60]}"


@law("a plan that is to be set, or left as it is, by its words, and switches by its cores; or hours that do not fit")
def by_cores_against_its_words(case: Case, answer: Answer) -> Iterator[str]:
    plan = answer["draw_plan"]
    if plan is None:
        return
    as_is = re.match("Leave the (pump|fan) set as it is", plan["text"])
    by_thermostat = as_is and told(case.body, "draw", "control") == "thermostat"
    by_minutes = as_is or re.match("Draw no more|Until the next reading set", plan["text"])
    if by_minutes and not by_thermostat and plan["by"] == "core":
        yield f"by {plan['by']}: {plan['text'][:60]}"
    if (plan["hours_per_day"] > NIGHT_HOURS) is not (plan["hours"] == "all"):
        yield f"{plan['hours_per_day']} hours a day, {plan['hours']}"


@law("a plan that is said to bring most heat beside more that is drawn now, without a word why", "full")
def most_heat_and_less_than_now(case: Case, answer: Answer) -> Iterator[str]:
    plan = answer["draw_plan"]
    if plan is None or plan["heat"] is None or plan["by"] == "off":
        return
    heat, now = plan["heat"]["value"], plan["heat_as_now"]["value"]
    if heat < 0.95 * now and "most useful heat" in plan["why"] and "as now would bring more" not in plan["why"]:
        yield f"{heat} by the plan, {now} as now"


@law("a plan that is said to bring more than all the heat that is left, without a word why", "full")
def more_than_is_left(case: Case, answer: Answer) -> Iterator[str]:
    plan, left = answer["draw_plan"], answer["energy"]["usable_left"]
    if plan is None or plan["heat"] is None or plan["by"] == "off":
        return
    if plan["heat"]["value"] > 1.01 * left["high"] and "as things are" not in plan["why"]:
        yield f"{plan['heat']['value']} by the plan, {left['high']} left at most"


@law("a pump or fan that is to run for less than two minutes in the hour")
def a_plan_that_drips(case: Case, answer: Answer) -> Iterator[str]:
    plan = answer["draw_plan"]
    if plan is None or plan["minutes_per_hour"] == told(case.body, "draw", plan["way"], "minutes_per_hour"):
        return  # as somebody has set it
    if 0 < plan["minutes_per_hour"] < LEAST_MINUTES:
        yield f"{plan['minutes_per_hour']} min/h"


@law("too much is asked, or nothing can be taken, says the ledger, where the advice is to draw more")
def too_much_and_draw_more(case: Case, answer: Answer) -> Iterator[str]:
    verdict = answer["energy"]["verdict"]
    if "raise_draw" in moves(answer) and any(words in verdict for words in AGAINST_MORE):
        yield verdict


@law("a ledger that gives heat while the core is too cold for any, or the draw is to rest")
def heat_of_a_heap_at_rest(case: Case, answer: Answer) -> Iterator[str]:
    core = hottest(case.body)
    plan = answer["draw_plan"]
    off = plan is not None and plan["by"] == "off"
    if not off and plan is not None and plan["minutes_per_hour"] > 0:  # drawn as planned, cold as it is
        if "Nothing is to be taken while the core is this cold" in answer["energy"]["verdict"]:
            yield f"{plan['minutes_per_hour']} min/h are planned, and: {answer['energy']['verdict']}"
        return
    rests = {"pause_draw", "keep_clear_and_call_fire_service"} & set(moves(answer)) or off
    if not rests and (core is None or core >= COLD_BELOW):
        return
    verdicts = answer["energy"]["verdict"], answer["tonight"]["verdict"]
    for words in ("can give about", "can carry the house", "The heap covers about"):
        yield from (verdict for verdict in verdicts if words in verdict and "about 0 %" not in verdict)


@law(
    "a heap that is drawn far beyond what it can keep up, and falls by 9 K in 3 days, whose draw is left as it is",
    "full",
    rate=0.001,
)
def overdrawn_and_left(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: now and then the run of the members holds it best to take what is stored first, and says so.
    energy, core = answer["energy"], answer["outlook"]["core"]["median"]
    asked, season = energy["asked"], energy["season_draw"]
    if asked is None or season is None or told(case.body, "season") == "off" or (hottest(case.body) or 99) >= 70:
        return
    if _is_used_up_on_purpose(case, answer):
        return
    unsure = any(untold(told(case.body, "draw", way)) for way in TIMERS)
    fall = core[0] - core[3] if len(core) > 3 else 0.0
    if unsure or asked["low"] <= 2 * season["high"] or fall < COLLAPSE_K or core[0] < COLD_BELOW:
        return
    if not {"reduce_draw", "pause_draw", "keep_clear_and_call_fire_service"} & set(moves(answer)):
        yield f"asked {asked['value']}, season up to {season['high']}, falls by {fall:.0f} K: {moves(answer)}"


@law("keep going or wait first where more is drawn than twice what can be kept up at best")
def calm_above_an_overdraw(case: Case, answer: Answer) -> Iterator[str]:
    asked, season = answer["energy"]["asked"], answer["energy"]["season_draw"]
    unsure = any(untold(told(case.body, "draw", way)) for way in TIMERS)
    if asked is None or season is None or unsure or told(case.body, "season") == "off":
        return
    if _is_used_up_on_purpose(case, answer) or (hottest(case.body) or 0.0) >= DRAWN_HOT_FROM.value:
        return  # hotter, a heap loses heat for nothing: what it gives above all cools it
    if first(answer)["action"] in CALM and asked["low"] > max(2 * season["high"], WORTH_CUTTING_W):
        yield f"{first(answer)['action']}: asked {asked['value']}, season up to {season['high']}"


@law("keep going or wait first above a core that was read more than ten days ago")
def calm_above_an_old_reading(case: Case, answer: Answer) -> Iterator[str]:
    age = _age_of_the_core(case)
    if age is not None and age > TOO_OLD_DAYS and first(answer)["action"] in CALM:
        yield f"{first(answer)['action']}: read {age:.0f} days ago"


@law("a core that holds, or does not fall, beside one that is likely to fall")
def steady_above_a_fall(case: Case, answer: Answer) -> Iterator[str]:
    parts = [*answer["actions"], *answer["avoid"]]
    texts = " ".join(reason["text"] for part in parts for reason in part["reasons"])
    steady = [words for words in ("holds steady", "does not fall") if words in texts]
    past = told(case.body, "history") and told(case.body, "temperatures", "core") is None
    if steady and past and "is falling" in texts:
        yield f"{steady[0]!r} beside a falling core"


@law("somebody feels unwell, and a fan that draws on the heap is left on")
def unwell_beside_a_fan(case: Case, answer: Answer) -> Iterator[str]:
    running = drawn_told(case.body, "air")
    unwell = UNWELL & set(told(case.body, "people") or [])
    if unwell and running and first(answer)["action"] != "keep_clear_and_call_fire_service":
        if "pause_draw" not in moves(answer):
            yield f"{moves(answer)}"
        plan = answer["draw_plan"]
        if plan is not None and plan["way"] == "air" and plan["minutes_per_hour"] > 0:
            yield plan["text"]


@law("wrapping before a loop that may freeze tonight, both today")
def wraps_before_pipes(case: Case, answer: Answer) -> Iterator[str]:
    named = {item["action"]: item for item in answer["actions"]}
    guard = named.get("protect_loop_from_frost")
    outdoor = told(case.body, "temperatures", "outdoor")
    if guard is None or guard["urgency"] != "today" or outdoor is None or outdoor > 0:
        return
    for wrap in WRAPS & named.keys():
        if named[wrap]["urgency"] == "today" and named[wrap]["rank"] < guard["rank"]:
            yield f"{wrap} before protect_loop_from_frost"


@law("a core that was read days ago, and not a word of its age")
def old_reading_unsaid(case: Case, answer: Answer) -> Iterator[str]:
    age = _age_of_the_core(case)
    if age is None or first(answer)["action"] == "keep_clear_and_call_fire_service":
        return
    texts = [caution["text"] for each in answer["actions"] for caution in each["cautions"]]
    texts += [reason["text"] for each in answer["actions"] for reason in each["reasons"]]
    spoken = any("old, and all of this" in text or "nothing has come for" in text for text in texts)
    spoken = spoken or any(assumed["field"] == "/temperatures/core" for assumed in answer["assumed"])
    if age > OLD_DAYS and (hottest(case.body) or 99) < KEEP_OFF_FROM and not spoken:
        yield f"read {age:.0f} days ago"


@law("a big step up of the draw where much was not told")
def big_step_in_the_dark(case: Case, answer: Answer) -> Iterator[str]:
    plan, raised = answer["draw_plan"], action(answer, "raise_draw")
    pile = told(case.body, "pile") or {}
    damp = "moisture" in pile or "moisture_feel" in case.body
    known = [bool(pile.get("size")) or _amounts(pile), bool(pile.get("ingredients")), damp]
    if plan is None or raised is None or any(known) or (hottest(case.body) or 0.0) >= KEEP_OFF_FROM:
        return
    now = _running_now(case, plan["way"])
    a_day = plan["minutes_per_hour"] * plan["hours_per_day"]
    if now is not None and a_day > max(STEP * now, FIRST_MINUTES) + plan["hours_per_day"]:
        yield f"{a_day} min a day, {now} now"


def _is_used_up_on_purpose(case: Case, answer: Answer) -> bool:
    """Whether somebody named the day, or the night, for which a heap may be emptied, and the answer says so."""
    named = told(case.body, "goal", "until") or told(case.body, "goal", "prefer") == "tonight"
    return bool(named) and "By the plan of drawing" in answer["energy"]["verdict"]


def _age_of_the_core(case: Case) -> float | None:
    """Days since the newest reading, None where one of now was told."""
    now, past = told(case.body, "temperatures") or {}, told(case.body, "history") or []
    if "core" in now or now.get("points") or not past:
        return None
    newest = max(datetime.fromisoformat(reading["at"]) for reading in past)
    return (datetime.fromisoformat(case.body["as_of"]) - newest).total_seconds() / 86_400


def _amounts(pile: Mapping[str, Any]) -> bool:
    parts = pile.get("ingredients") or []
    return bool(parts) and all("amount" in part for part in parts)


def untold(draw: Mapping[str, Any] | None) -> bool:
    """Whether some of the setting of a draw that was told of was not told."""
    return draw is not None and any(draw.get(name) is None for name in ("flow", "minutes_per_hour", "hours_per_day"))


def _running_now(case: Case, way: str) -> float | None:
    """Minutes a day that pump or fan runs as told; what was not told is taken as all of it, None where nothing was."""
    draw = told(case.body, "draw", way)
    running = drawn_told(case.body, way)
    if not draw or running is None:
        return None
    if running is False:
        return 0.0
    minutes, hours = draw.get("minutes_per_hour"), draw.get("hours_per_day")
    return (60.0 if minutes is None else minutes) * (24.0 if hours is None else hours)


@law("a draw that is left as it is, says the plan, beside a heap that is not to be")
def left_as_it_is_above_a_fall(case: Case, answer: Answer) -> Iterator[str]:
    plan = answer["draw_plan"]
    falls = [because for part in answer["avoid"] for because in part["reasons"] if "Left as it is" in because["text"]]
    if plan is not None and falls and "set as it is" in plan["text"]:
        yield f"{falls[0]['text']!r} beside {plan['text'][:60]!r}"
