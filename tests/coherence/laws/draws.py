"""What is drawn, what the heap can keep up, and what is said of both."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from rules.language.common import DRAWN_BEYOND_SEASON
from service.facts.drawing import FOUL_AIR
from tests.coherence.case import Answer, Case, days_ahead, drawn_told, first, hottest, moves, told
from tests.coherence.law import law

CHANGES = {"reduce_draw", "pause_draw", "raise_draw", "draw_air_instead_of_water"}
FITTED = {"air": "air_duct", "water": "water_loop"}
STANDS = {
    "air": {"fan_stopped", "fan_no_air", "power_out"},
    "water": {"no_flow_in_loop", "pipe_frozen", "pipe_burst", "power_out"},
}
SHOWS = {
    "air": {"fan_stopped", "fan_no_air", "water_in_duct", "duct_drips"},
    "water": {"no_flow_in_loop", "pipe_frozen", "pipe_burst"},
}
"""Signs that are seen only where there is a duct, or a loop."""
LESS = {"reduce_draw", "pause_draw"}
NEXT_TO_NOTHING_W = 1.0
TOO_COOL_DAYS = 3.5
WORTH_NAMING_W = 50.0
"""A draw below this is lost in the heap's own losses (our own)."""
FALLS = ((3, 10.0), (7, 8.0))
"""Days ahead, and the fall of the core above which nobody is told that all is well [K]."""
CALM = ("all is well", "hot and works", "leave it as it is")


@law("keep going, or wait, beside a change of the draw")
def calm_beside_a_change_of_the_draw(case: Case, answer: Answer) -> Iterator[str]:
    for calm in {"keep_going", "wait"} & set(moves(answer)):
        if changes := CHANGES & set(moves(answer)):
            yield f"{calm} beside {sorted(changes)}"


@law("keep going or wait first above an outlook that falls by 10 K in 3 days or 8 K in 7", "full", rate=0.001)
def calm_above_a_collapse(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what comes first rests on the rough look ahead of both kinds of answer, the outlook on the run.
    if first(answer)["action"] in ("keep_going", "wait"):
        for fall in _falls(answer):
            yield f"{first(answer)['action']} above {fall}"


@law("a text that says all is well above an outlook that falls", "full")
def all_is_well_above_a_fall(case: Case, answer: Answer) -> Iterator[str]:
    said = [answer["headline"], answer["say"], *(r["text"] for a in answer["actions"] for r in a["reasons"])]
    calm = sorted({words for words in CALM for text in said if words in text})
    if calm:
        for fall in _falls(answer):
            yield f"{calm[0]!r} above {fall}"


def _falls(answer: Answer) -> Iterator[str]:
    core, days = answer["outlook"]["core"]["median"], days_ahead(answer)
    if not core:
        return
    for ahead, most in FALLS:
        if ahead in days and core[0] - core[days.index(ahead)] >= most:
            yield f"a core that falls from {core[0]} to {core[days.index(ahead)]} in {ahead} days"


@law("asked is null though a draw was told")
def asked_is_null_though_told(case: Case, answer: Answer) -> Iterator[str]:
    ways = [way for way in ("air", "water") if drawn_told(case.body, way) is not None]
    if ways and answer["energy"]["asked"] is None:
        yield f"{' and '.join(ways)} told"


@law("keep going while something is drawn from a heap that can spare nothing")
def keep_going_with_nothing_to_spare(case: Case, answer: Answer) -> Iterator[str]:
    season, asked = answer["energy"]["season_draw"], answer["energy"]["asked"]
    if asked is None or "keep_going" not in moves(answer):
        return
    if _watts(season)["value"] < NEXT_TO_NOTHING_W and _watts(asked)["value"] > WORTH_NAMING_W:
        yield f"asked {asked}, season draw {season}"


USED_UP = {"draw.plan-beyond-the-season", "draw.plan-empties-it"}


@law("keep going, or raise, while likely more is drawn than the heap can keep up")
def keep_going_beyond_what_it_keeps_up(case: Case, answer: Answer) -> Iterator[str]:
    season, asked = answer["energy"]["season_draw"], answer["energy"]["asked"]
    if asked is None or told(case.body, "goal", "prefer") == "tonight" or (hottest(case.body) or 0) >= 70:
        return
    over = _watts(asked)["value"] > max(DRAWN_BEYOND_SEASON.value * _watts(season)["high"], WORTH_NAMING_W)
    # The plan may use a heap up by the date; then its reasons must say that this is not for good, or its last weeks.
    planned = any(reason["rule"] in USED_UP for item in answer["actions"] for reason in item["reasons"])
    for move in {"keep_going", *(() if planned else ("raise_draw",))} & set(moves(answer)):
        if over:
            yield f"{move}: asked {asked}, season draw {season}"


@law("a season draw above the burst draw")
def season_above_burst(case: Case, answer: Answer) -> Iterator[str]:
    season, burst = answer["energy"]["season_draw"], answer["energy"]["burst_draw"]
    if burst is None:
        return
    for part in ("value", "high"):
        if _watts(season)[part] > _watts(burst)[part] * 1.001 + 0.1:
            yield f"{part}: {season} above {burst}"


@law("less usable heat than what is left of it: usable above the total")
def usable_above_the_total(case: Case, answer: Answer) -> Iterator[str]:
    usable, total = answer["energy"]["usable_left"], answer["energy"]["total"]
    if usable["value"] > total["value"] * 1.001:
        yield f"{usable} above {total}"


@law("to draw less where nothing is drawn")
def less_of_nothing(case: Case, answer: Answer) -> Iterator[str]:
    ways = [drawn_told(case.body, way) for way in ("air", "water")]
    off = ways.count(False) > 0 and True not in ways
    equipment = told(case.body, "equipment")
    # Nobody told whether the fan runs, and somebody feels unwell or the air is foul: it goes off, running or not.
    foul = told(case.body, "people") or told(case.body, "smell") in FOUL_AIR
    if foul and _is_fitted(case, "air", "air_duct") and ways[0] is None:
        return
    none_fitted = equipment == [] and told(case.body, "draw") is None
    for move in LESS & set(moves(answer)):
        if off or none_fitted:
            yield f"{move} with nothing drawn"


@law("a draw that is cut by one way, while the other runs on as it was")
def half_of_a_cut(case: Case, answer: Answer) -> Iterator[str]:
    both = drawn_told(case.body, "air") and drawn_told(case.body, "water")
    cut = next((action for action in answer["actions"] if action["action"] == "reduce_draw"), None)
    if not both or cut is None or set(told(case.body, "signs") or []) & (STANDS["air"] | STANDS["water"]):
        return
    named = {dose["of"] for dose in cut["doses"]}
    missing = {"air_minutes_per_hour", "water_minutes_per_hour"} - named
    if len(missing) > ("hours_per_day" in named):  # hours are those of one way
        yield f"{sorted(named)}"


@law("a reading that falls for two weeks or more is called steady")
def slow_decline_called_steady(case: Case, answer: Answer) -> Iterator[str]:
    core, history = told(case.body, "temperatures", "core"), told(case.body, "history") or []
    if core is None or answer["phase"] == "overheating" or case.judgement.found.facts.get("probe_fault"):
        return  # of a probe that fails nothing is believed that it read last
    readings = [*sorted([(str(r["at"]), float(r["core"])) for r in history]), (case.body["as_of"], float(core))]
    last = (told(case.body, "read_at") or {}).get("/temperatures/core", case.body["as_of"])
    span = (datetime.fromisoformat(last) - datetime.fromisoformat(readings[0][0])).total_seconds() / 86400
    steady = all(later < before for (_, before), (_, later) in pairwise(readings))
    if span < 14 or len(readings) < 4 or not steady or readings[0][1] - float(core) < 3.0:
        return
    told_of = " ".join([answer["headline"], *(r["text"] for a in answer["actions"] for r in a["reasons"])])
    # At most 14 days old and below 45 degC is warming by definition, whatever the trend: then the texts count.
    calm = ("hot", "holding") if case.judgement.found.facts["age_days"] <= 14 else ("hot", "holding", "warming")
    if answer["phase"] in calm or any(words in told_of for words in ("steady", "does not fall", "Let it climb")):
        yield f"fell from {readings[0][1]} to {core} in {span} days, phase {answer['phase']}"


def _watts(quantity: dict[str, float]) -> dict[str, float]:
    factor = 1000.0 if quantity["unit"] == "kW" else 1.0
    return {part: quantity[part] * factor for part in ("value", "low", "high")}


@law("a draw that is set, or counted, though a sign shows that pump or fan stands still or has to")
def draws_by_what_stands(case: Case, answer: Answer) -> Iterator[str]:
    seen = set(told(case.body, "signs") or [])
    fitted = {way for way, name in FITTED.items() if _is_fitted(case, way, name)}
    still = {way for way, signs in STANDS.items() if seen & signs}
    if not still or not fitted or not fitted <= still:
        return
    plan, asked = answer["draw_plan"], answer["energy"]["asked"]
    if set_anew := {"raise_draw", "reduce_draw"} & set(moves(answer)):
        yield f"{sorted(set_anew)} beside {sorted(seen)}"
    if plan is not None and plan["by"] != "off":
        yield f"plan by {plan['by']} beside {sorted(seen)}"
    if asked is not None and _watts(asked)["value"] > 0:
        yield f"asked {asked['value']} beside {sorted(seen)}"


def _is_fitted(case: Case, way: str, name: str) -> bool:
    listed = told(case.body, "equipment")
    shown = listed is None and bool(SHOWS[way] & set(told(case.body, "signs") or ()))
    return told(case.body, "draw", way) is not None or name in (listed or []) or shown


@law("a heap that keeps its core for weeks, says the ledger, above one that is likely too cool within three days")
def kept_and_too_cool(case: Case, answer: Answer) -> Iterator[str]:
    until = case.judgement.found.facts.get("days_until_cool")
    verdict = answer["energy"]["verdict"]
    if until is not None and until <= TOO_COOL_DAYS and "around the clock and keep its core" in verdict:
        yield f"{verdict!r} beside {until} days"
