"""The one ranking: which advised action comes first, and which may not stand beside another.

Order of importance: safety, urgency, whether it can be had, heat gained or saved, confidence, effort, and at last
the action's name, so that the order never depends on chance. What gains nothing by its own what-if goes to the end
where something else does gain, and what is done at a switch goes before digging that is as urgent.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from rules.actions.conflicts import (
    ALLOWED_WHEN_OVERHEATING,
    BESIDE_THE_HEAP,
    CONFLICTS,
    EXCLUSIVE_WHEN_FIRE,
    FREE_AND_INSTANT,
    KEEP_GOING_YIELDS_TO,
    NOT_FOR_NOTHING,
    WAIT_YIELDS_TO,
)
from rules.actions.records import ACTIONS
from rules.language.model import Act, Avoid, Finding, Rule, Urgency
from service.actions.advised_move import URGENCY_ORDER, Advised
from service.actions.order import (
    LOOKS,
    NEXT_TO_NOTHING,
    fan_off_first,
    no_sooner,
    pipes_first,
    stove_last,
    switches_first,
    trouble_first,
)
from service.units.figures import figure

PRIOR_SHARE: Final = figure(
    {0: 0.0, 1: 0.05, 2: 0.15, 3: 0.4},
    "1",
    "Share of the heap's heat to the goal an action is expected to gain or save before any what-if",
    "no source",
)
NO_HELP_TODAY: Final = frozenset({"build_new_pile", "start_next_pile", "enlarge_pile", "keep_going"})
"""What gives its heat weeks later, or changes nothing: never hastened."""
NEAR_FIRE: Final = frozenset({"very_hot", "overheating", "fire_danger"})
"""Findings under which nothing is put off for the heat it costs."""
FIRE_ACTION: Final = "keep_clear_and_call_fire_service"


def rank(
    fired: Iterable[Rule],
    *,
    on_hand: frozenset[str] | None = None,
    freezing: bool = False,
    gains: Mapping[str, float] | None = None,
    cool_soon: bool = False,
    without: frozenset[str] = frozenset(),
) -> list[Advised]:
    """Rank the actions that the fired rules ask for.

    Parameters
    ----------
    fired
        Rules that fired. An `Avoid` takes its action out.
    on_hand
        What is there; None is unknown and moves nothing.
    freezing
        Frost now or tonight. It moves water back only where water is known not to be on hand.
    gains
        Share of the heap's heat each action gains or saves, from what-ifs: 0 where that cannot be told from nothing,
        NEXT_TO_NOTHING where it is too little to count, LIKELY where it most likely gains and loses nothing, below 0
        where it likely loses. Where one is missing, the catalogue's prior expectation stands in.
    cool_soon
        The core is likely to be too cool within days: work of this week that saves or makes heat is due today where
        none is.
    without
        Actions that are left out for another reason, such as a dose that comes to nothing.

    Returns
    -------
    list of Advised
        First to do first; no two that contradict each other.
    """
    rules = list(fired)
    known = _gains_that_count(rules, gains or {})
    vetoed = {rule.gives.action for rule in rules if isinstance(rule.gives, Avoid)}
    vetoed |= without
    vetoed |= {action for action in NOT_FOR_NOTHING if known.get(action, 1.0) <= 0.0}
    if Finding("overheating") in (rule.gives for rule in rules):
        vetoed |= ACTIONS.keys() - ALLOWED_WHEN_OVERHEATING
    asking = [rule for rule in rules if isinstance(rule.gives, Act) and rule.gives.action not in vetoed]
    pressing = [rule for rule in asking if not _act(rule).last_resort]
    drains = cool_soon and Finding("overdrawn") in (rule.gives for rule in rules)

    def in_order(asked: Iterable[Rule]) -> list[Advised]:
        behind: dict[str, list[Rule]] = {}
        for rule in asked:
            behind.setdefault(_act(rule).action, []).append(rule)
        advised = [
            _advised(action, because, on_hand=on_hand, freezing=freezing, gains=known)
            for action, because in behind.items()
        ]
        ranked = _idle_last(_without_contradictions(sorted(advised, key=Advised.key)), known, drains=drains)
        due = _without_contradictions(sorted(_hastened(ranked), key=Advised.key)) if cool_soon else ranked
        ordered = switches_first(pipes_first(due) if freezing else due, known, presses=drains)
        return fan_off_first(stove_last(trouble_first(ordered, rules, known), known), rules)

    ranked = in_order(pressing or asking)
    if not cool_soon or not pressing or any(item.urgency in KEEP_GOING_YIELDS_TO for item in ranked):
        return ranked
    # It is soon too cool and nothing is due today: then what is else the last resort stands beside the rest.
    today = [rule for rule in asking if _act(rule).last_resort and _urgency(rule) in KEEP_GOING_YIELDS_TO]
    return in_order([*pressing, *today])


def _gains_that_count(rules: list[Rule], gains: Mapping[str, float]) -> Mapping[str, float]:
    """What-ifs decide only where no fire is near: there film is opened and heat drawn off whatever it costs."""
    very_hot = any(isinstance(rule.gives, Finding) and rule.gives.name in NEAR_FIRE for rule in rules)
    return {} if very_hot else gains


def _idle_last(ranked: list[Advised], gains: Mapping[str, float], *, drains: bool) -> list[Advised]:
    """Move down what likely loses, and what gains nothing that counts where something else clearly gains.

    What is moved down is no more urgent than what then stands above it: what gains nothing than what clearly gains,
    what loses than all that is done before the next heap. Where the draw `drains` the heap within days,
    nothing is put below what helps only weeks later, unless that clearly gains.
    """
    clear = any(gains.get(item.action.id, 0.0) > NEXT_TO_NOTHING for item in ranked)
    idle = {
        item.action.id
        for item in ranked
        if not item.action.safety and item.action.id in gains and _is_idle(gains[item.action.id], clear=clear)
    }
    if not idle or len(idle) == len(ranked):
        return ranked
    first = [item for item in ranked if item.action.id not in idle]
    if drains and not clear and not any(_helps_today(item) for item in first):
        return ranked
    gaining = [item for item in first if gains.get(item.action.id, 0.0) > NEXT_TO_NOTHING]
    others = [item for item in first if item.urgency is not Urgency.NEXT_PILE]
    last = [
        no_sooner(replace(item, idle=True), _latest((others or first) if gains[item.action.id] < 0.0 else gaining))
        for item in ranked
        if item.action.id in idle
    ]
    return sorted([*first, *last], key=Advised.key)


def _latest(items: Iterable[Advised]) -> Urgency | None:
    """The urgency of the least urgent that is not done for safety."""
    urgencies = (item.urgency for item in items if not item.action.safety)
    return max(urgencies, key=URGENCY_ORDER.__getitem__, default=None)


def _helps_today(item: Advised) -> bool:
    return item.action.id not in NO_HELP_TODAY and item.urgency not in (Urgency.THIS_MONTH, Urgency.NEXT_PILE)


def _is_idle(gain: float, *, clear: bool) -> bool:
    return gain < 0.0 or (clear and gain <= NEXT_TO_NOTHING)


def _advised(
    action_id: str,
    rules: list[Rule],
    *,
    on_hand: frozenset[str] | None,
    freezing: bool,
    gains: Mapping[str, float],
) -> Advised:
    action = ACTIONS[action_id]
    by_urgency = sorted(rules, key=lambda rule: (URGENCY_ORDER[_urgency(rule)], -rule.confidence, rule.id))
    lacking = on_hand is not None and bool(action.needs) and not on_hand.intersection(action.needs)
    return Advised(
        action=action,
        urgency=_urgency(by_urgency[0]),
        rules=tuple(by_urgency),
        gain=found if (found := gains.get(action_id, 0.0)) > NEXT_TO_NOTHING else PRIOR_SHARE[action.gains.expected],
        obtainable=not (lacking and freezing and "water" in action.needs),
    )


def _act(rule: Rule) -> Act:
    assert isinstance(rule.gives, Act)
    return rule.gives


def _urgency(rule: Rule) -> Urgency:
    return _act(rule).urgency


def _hastened(advised: list[Advised]) -> list[Advised]:
    """Work of this week that saves or makes heat is due today, where no such work is; without any, what is free;
    without that, looking for what cools it, and at last looking at what is in doubt, whenever that was due."""
    helps = [
        item
        for item in advised
        if item.action.gains.kind != "none" and item.action.id not in NO_HELP_TODAY and not item.idle
    ]
    helps = helps or [item for item in advised if item.action.id in FREE_AND_INSTANT and not item.idle]
    helps = helps or [item for item in advised if item.action.id == "find_the_cause"]
    looks = [item for item in advised if item.action.id in LOOKS and not helps]
    if any(item.urgency in KEEP_GOING_YIELDS_TO for item in [*helps, *looks]):
        return advised
    return [
        replace(item, urgency=Urgency.TODAY)
        if item in looks or (item in helps and item.urgency is Urgency.THIS_WEEK)
        else item
        for item in advised
    ]


def _without_contradictions(ranked: list[Advised]) -> list[Advised]:
    """Drop what must not stand with something else, by the conflict table; in a fire only what is safe stays."""
    if any(item.action.id == FIRE_ACTION for item in ranked):
        return [item for item in ranked if item.action.id in EXCLUSIVE_WHEN_FIRE]
    pressing = any(item.urgency in KEEP_GOING_YIELDS_TO for item in _moves_on_the_heap(ranked))
    losers = {"keep_going"} if pressing else set()
    if _work_is_due(ranked):
        losers.add("wait")
    names = {item.action.id for item in ranked}
    for conflict in CONFLICTS:
        if conflict.keeps in names - losers and conflict.drops in names:
            losers.add(conflict.drops)
    return [item for item in ranked if item.action.id not in losers]


def _work_is_due(ranked: list[Advised]) -> bool:
    """Whether some work on the heap is due as soon as waiting is."""
    waits = [URGENCY_ORDER[item.urgency] for item in ranked if item.action.id == "wait"]
    works = [URGENCY_ORDER[item.urgency] for item in ranked if item.action.id in WAIT_YIELDS_TO]
    return bool(waits) and bool(works) and min(works) <= waits[0]


def _moves_on_the_heap(ranked: list[Advised]) -> Iterator[Advised]:
    return (item for item in ranked if item.action.id not in {"keep_going", *BESIDE_THE_HEAP})
