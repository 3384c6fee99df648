"""What the what-ifs say, held against the order of the moves and the words beside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from rules.actions.records import ACTIONS
from tests.coherence.case import Answer, Case, days_ahead, first, hottest, in_fire, moves, told
from tests.coherence.law import law

TINY_SHARE, TINY_DAYS = 0.01, 0.5
TINY = {"MJ": 3.6, "kWh": 1.0, "BTU": 3412.0}
"""A gain under this share of the usable heat or under a kilowatt-hour, and under these hot days, matters to nobody."""
ROUNDED = 1.05
"""Two digits tell what is up to so many times less."""
TOO_SMALL = "too small"
SOON_DAYS = 7
FOR_LIFE_FROM = 70.0
"""From here film is opened and heat drawn off for safety, whatever it costs [degC]."""


@law("a move that loses heat, or cannot be told from nothing, above one whose gain is clear", "full", rate=0.005)
def loser_above_a_clear_gain(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what a shorter draw gains is told by its plan, run once the work is done, and the first move is
    # that of the quick answer, which runs no plan (measured: 1 in 300).
    if in_fire(answer) or (hottest(case.body) or 0.0) >= FOR_LIFE_FROM:
        return
    gas = case.judgement.found.facts.get("gas_into_house") is True
    for place, above in enumerate(answer["actions"]):
        # A fan that blows heap air into the house goes off whatever it costs.
        for_life = ACTIONS[above["action"]].safety or (gas and above["action"] == "pause_draw")
        if not is_run(above) or for_life or clear_gain(above, answer, 1 / ROUNDED):
            continue
        better = [below["action"] for below in answer["actions"][place + 1 :] if clear_gain(below, answer)]
        if better:
            yield f"{above['action']} {_gain(above)} above {better[0]}"


@law("a first move that is expected to lose heat without a hot day won, where there is another", "full", rate=0.001)
def first_move_loses(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: a draw that empties the heap within days is not answered by what helps only weeks later.
    move = first(answer)
    if in_fire(answer) or (hottest(case.body) or 0.0) >= FOR_LIFE_FROM or not is_run(move):
        return
    others = [each for each in answer["actions"] if not (is_run(each) and loses(each))]
    if loses(move) and others:
        yield f"{move['action']} {_gain(move)}"


MOST_GAIN: Final = 0.75
"""So many members gain, as the answer rounds it, where a gain is likely and a loss is not (our own)."""


@law("nitrogen first where its own what-if shows no gain", "full", rate=0.001)
def nitrogen_first_for_nothing(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: what comes first rests on the rough gains of both kinds of answer, the what-if on the run.
    move = first(answer)
    told = is_run(move) and (move["effect"]["heat_to_goal"]["low"] > 0 or move["effect"]["hot_days_gained"]["low"] > 0)
    if is_run(move) and not _tiny(move, answer) and move["effect"]["heat_to_goal"]["low"] == 0:
        told = told or move["effect"]["chance_of_gain"] >= MOST_GAIN  # hardly any loses, most gain what matters
    if move["action"] == "add_nitrogen" and is_run(move) and not told:
        yield _gain(move)


@law("a gain too small to matter that is not said to be", "full")
def tiny_gain_sold(case: Case, answer: Answer) -> Iterator[str]:
    for move in answer["actions"]:
        if is_run(move) and not loses(move) and _tiny(move, answer) and TOO_SMALL not in (move["effect"]["note"] or ""):
            yield f"{move['action']} {_gain(move)} of {answer['energy']['usable_left']['value']}"


@law("raising a draw that is more than the heap keeps up, or above a core that soon falls below the limit", "full")
def raise_above_a_fall(case: Case, answer: Answer) -> Iterator[str]:
    if case.judgement.found.facts.get("emptying") is True:
        return  # in its last weeks a heap is emptied, below the limit of the weeks before
    if "raise_draw" not in moves(answer) or (hottest(case.body) or 0) >= FOR_LIFE_FROM:
        return
    until, plan, core = answer["outlook"]["days_until_cool"], answer["draw_plan"], answer["outlook"]["core"]["median"]
    if told(case.body, "goal", "keep_core_above") is not None or plan is None or not core:
        if until and until["value"] < SOON_DAYS:
            yield f"below the limit in {until}"
        return
    least = min(celsius for day, celsius in zip(days_ahead(answer), core, strict=True) if day <= SOON_DAYS)
    if least < plan["stop_at"] - 1.0:  # nobody set a limit: the plan's own is kept
        yield f"{least} within a week, below {plan['stop_at']}"


@law("days until it is too cool: one figure in a reason, another in the outlook", "full", rate=0.01)
def one_figure_of_days_until_cool(case: Case, answer: Answer) -> Iterator[str]:
    # Rare, not never: the reasons rest on the rough look ahead that both kinds of answer share, the outlook on the run.
    until = answer["outlook"]["days_until_cool"]
    told = {
        r["facts"]["days_until_cool"]
        for a in answer["actions"]
        for r in a["reasons"]
        if "days_until_cool" in r["facts"]
    }
    for days in told:
        if until is None or not until["low"] - 1 <= days <= until["high"] + 1:
            yield f"{days} days in a reason, {until} in the outlook"


def is_run(move: Mapping[str, Any]) -> bool:
    return move["effect"]["heat_to_goal"] is not None


def _tiny(move: Mapping[str, Any], answer: Answer, rounded: float = 0.999) -> bool:
    """Whether a gain is under what matters; `rounded` is what its last digit told may hide, one way or the other."""
    heat, days = move["effect"]["heat_to_goal"], move["effect"]["hot_days_gained"]
    usable = answer["energy"]["usable_left"]
    least = max(TINY_SHARE * usable["value"], TINY[heat["unit"]])
    return heat["value"] < least * rounded and days["value"] < TINY_DAYS * rounded


def clear_gain(move: Mapping[str, Any], answer: Answer, rounded: float = ROUNDED) -> bool:
    """A gain of heat or hot days that is there at both ends of its range, and large enough to matter; see `_tiny`."""
    heat, days = move["effect"]["heat_to_goal"], move["effect"]["hot_days_gained"]
    if heat is None:
        return False
    return (heat["low"] > 0 or days["low"] > 0) and not loses(move) and not _tiny(move, answer, rounded)


def loses(move: Mapping[str, Any]) -> bool:
    """Less heat likely, and no hot day gained for it."""
    heat, days = move["effect"]["heat_to_goal"], move["effect"]["hot_days_gained"]
    return bool(heat["value"] < 0 and days["value"] <= 0)


def _gain(move: Mapping[str, Any]) -> str:
    effect = move["effect"]
    heat, days = effect["heat_to_goal"], effect["hot_days_gained"]
    return f"{heat['value']} ({heat['low']} to {heat['high']}) {heat['unit']}, {days['value']} hot days"
