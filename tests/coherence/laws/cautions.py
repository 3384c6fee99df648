"""Cautions for life and limb stand unless the status shows that they cannot apply, and stand once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from rules.tables.life_tags import TAGS
from tests.coherence.case import (
    Answer,
    Case,
    cautions,
    drawn_told,
    first,
    hottest,
    in_fire,
    is_lethal,
    moves,
    season_of,
    told,
    warned,
)
from tests.coherence.law import law

LUKEWARM = (25.0, 45.0)
"""Legionella grows between these [degC] (World Health Organization, Legionella and the prevention of legionellosis)."""
SHORT_M = 0.5
UNWELL = {"headache", "dizzy", "sick"}
"""What gas does to people first (US CDC, carbon monoxide poisoning: signs and first steps)."""
TINDER_FROM = 70.0
RISE_K_DAY = 1.2
"""Clearly more than the kelvin a day from which a hot heap is watched (our own)."""
TOPICS = ("legionella", "carbon monoxide", "dust full of spores", "rcd", "relief valve", "can fall and bury")
WINTER = (12, 1, 2)
KEEP_OFF_FROM = 75.0
"""From here nothing is done at the heap that can be done without, so pipes are not spoken of [degC]."""


@law("a lukewarm loop, not known to be closed, without a word of Legionella")
def lukewarm_loop_without_legionella(case: Case, answer: Answer) -> Iterator[str]:
    water = told(case.body, "draw", "water") or {}
    outlet = water.get("outlet")
    if outlet is None or not LUKEWARM[0] <= outlet <= LUKEWARM[1] or water.get("loop") == "closed" or in_fire(answer):
        return
    if not warned(answer, "legionella"):
        yield f"outlet {outlet}, loop {water.get('loop', 'untold')}"


@law("air of the heap that may reach the house without a word of gas")
def heap_air_without_gas(case: Case, answer: Answer) -> Iterator[str]:
    air = told(case.body, "draw", "air") or {}
    safe = air.get("path") == "closed_duct" or air.get("outlet_to") in ("outdoors", "other")
    if drawn_told(case.body, "air") and not safe and not in_fire(answer) and not warned(answer, "gas", "monoxide"):
        yield f"path {air.get('path', 'untold')}, to {air.get('outlet_to', 'untold')}"


@law("ammonia, or feed, beside a tube that may be copper without a word of it")
def ammonia_and_copper(case: Case, answer: Answer) -> Iterator[str]:
    water = told(case.body, "draw", "water")
    fitted = water is not None or "water_loop" in (told(case.body, "equipment") or [])
    ammonia = told(case.body, "smell") == "ammonia" or "add_nitrogen" in moves(answer)
    may_be_copper = fitted and (water or {}).get("tube") != "plastic"
    if may_be_copper and ammonia and not in_fire(answer) and not warned(answer, "copper"):
        yield f"tube {(water or {}).get('tube', 'untold')}"


@law("a hot core read by a probe that may be short without a word that it may hide heat")
def short_probe_hides_heat(case: Case, answer: Answer) -> Iterator[str]:
    length, core = told(case.body, "probe", "length"), hottest(case.body)
    if core is None or core < 60 or in_fire(answer):
        return
    if length is not None and case.judgement.found.facts.get("probe_too_short") is False:
        return  # the size that was told, or what went in, shows that the probe reaches half the radius
    deep = [point for point in told(case.body, "temperatures", "points") or [] if point.get("depth", 0.0) >= SHORT_M]
    if not deep and (length is None or length < SHORT_M) and not warned(answer, "probe", "thermometer"):
        yield f"core {core}, probe {length or 'untold'}"


@law("a very hot heap whose cover may be straw without a word that straw burns")
def straw_is_tinder(case: Case, answer: Answer) -> Iterator[str]:
    core, cover = hottest(case.body), told(case.body, "pile", "cover")
    if core is None or core < TINDER_FROM or cover not in (None, "straw") or in_fire(answer):
        return
    if not warned(answer, "straw"):
        yield f"core {core}, cover {cover or 'untold'}"


@law("work on pump, fan or duct without a word of current in the wet")
def current_outdoors(case: Case, answer: Answer) -> Iterator[str]:
    works = {"check_loop", "check_fan", "drain_duct"} & set(moves(answer))
    if works and not warned(answer, "RCD", "safety switch"):
        yield f"{sorted(works)}"


@law("work in ducts and pits without a word of crawling in")
def crawling_in(case: Case, answer: Answer) -> Iterator[str]:
    works = {"check_loop", "check_fan", "drain_duct", "protect_loop_from_frost"} & set(moves(answer))
    if works and not warned(answer, "climb or put your head"):
        yield f"{sorted(works)}"


def _keeps_off(case: Case) -> bool:
    """Whether nobody is sent near, by what reads now or did within the last days."""
    lately = case.judgement.found.facts.get("hottest_lately_c")
    return max(hottest(case.body) or 0.0, lately if isinstance(lately, float) else 0.0) >= KEEP_OFF_FROM


@law("a loop in winter, the air outside untold, without a word of frost")
def frost_in_winter(case: Case, answer: Answer) -> Iterator[str]:
    if season_of(case.body) not in WINTER or _keeps_off(case) or in_fire(answer):
        return
    if any(work["action"] == "protect_loop_from_frost" for work in told(case.body, "done") or []):
        return
    fitted = told(case.body, "draw", "water") is not None or "water_loop" in (told(case.body, "equipment") or [])
    outdoor, weather = told(case.body, "temperatures", "outdoor"), told(case.body, "weather") or {}
    known = (
        outdoor is not None or weather.get("low") is not None or any("low" in d for d in weather.get("forecast", []))
    )
    spoken = warned(answer, "frost", "freez") or "protect_loop_from_frost" in moves(answer)
    if fitted and not known and not spoken:
        yield "water loop in winter"


@law("the same caution twice in one answer")
def same_caution_twice(case: Case, answer: Answer) -> Iterator[str]:
    rules = Counter(caution["rule"] for caution in cautions(answer))
    yield from (f"{rule} {times} times" for rule, times in rules.items() if times > 1)
    for topic in TOPICS:
        texts = {c["text"] for c in cautions(answer) if topic in c["text"].casefold()}
        if len(texts) > 1:
            yield f"{topic!r} in {len(texts)} cautions"


@law("a caution for life on the first move that is not in the short text")
def life_is_said(case: Case, answer: Answer) -> Iterator[str]:
    if in_fire(answer):
        return
    said = answer["say"].casefold()
    for caution in first(answer)["cautions"]:
        telling = [word.strip(".,()").casefold() for word in caution["text"].split() if len(word) > 5]
        brief = str(caution["brief"] or "").casefold()
        tag = TAGS.get(caution["rule"], brief).casefold()
        if is_lethal(caution["rule"]) and not any(word in said for word in (brief, tag, *telling)):
            yield f"{caution['rule']} not in {answer['say']!r}"


@law("a heap from 65 degC and dry, or 66 and rising by a kelvin a day, that is not watched for fire")
def hot_and_dry_is_watched(case: Case, answer: Answer) -> Iterator[str]:
    core = hottest(case.body)
    if core is None or core < 65:
        return
    dry = told(case.body, "moisture_feel") in ("dry", "dusty")
    if dry and not {"watch_heat", "keep_clear_and_call_fire_service"} & set(moves(answer)):
        yield f"{core} and {told(case.body, 'moisture_feel')}: {moves(answer)}"
    if core >= 66 and _rises(case) and not {"watch_heat", "keep_clear_and_call_fire_service"} & set(moves(answer)):
        yield f"{core} and rising: {moves(answer)}"
    if any("let it climb" in r["text"].casefold() for a in answer["actions"] for r in a["reasons"]):
        yield f"let it climb at {core}"


def _rises(case: Case) -> bool:
    """Whether the core read now stands clearly above each reading of the last ten days, each above the one before."""
    now, past = told(case.body, "temperatures", "core"), told(case.body, "history") or []
    at = datetime.fromisoformat(case.body["as_of"])
    days = [((at - datetime.fromisoformat(each["at"])).total_seconds() / 86_400, each["core"]) for each in past]
    recent = sorted([(day, core) for day, core in days if day <= 10.0], reverse=True)
    if now is None or not recent:
        return False
    course = [*recent, (0.0, now)]
    return all(b - a >= RISE_K_DAY * (before - after) for (before, a), (after, b) in pairwise(course))


@law("somebody by the heap feels unwell and is not sent out first")
def unwell_and_not_sent_out(case: Case, answer: Answer) -> Iterator[str]:
    if UNWELL & set(told(case.body, "people") or []) and not in_fire(answer):
        calm = {"keep_going", "wait"} & set(moves(answer))
        if not answer["say"].startswith("Everybody out"):
            yield f"say begins {answer['say'][:40]!r}"
        if calm:
            yield f"{sorted(calm)} beside it"


@law("to open a heap that is watched for fire")
def opens_what_may_burn(case: Case, answer: Answer) -> Iterator[str]:
    seen = hottest(case.body)
    opening = {"loosen_pile", "add_dry_bulking", "add_carbon"} & set(moves(answer))
    if seen is not None and seen >= TINDER_FROM and opening:
        yield f"{sorted(opening)} at {seen} degC"
