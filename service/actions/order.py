"""What moves an action within the ranking beside its own key: switches, pipes in frost, troubles, the stove."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from rules.actions.conflicts import BEFORE_DIGGING, FREE_AND_INSTANT, KEEP_GOING_YIELDS_TO
from rules.actions.cures import CURES
from rules.language.model import Finding, Rule, Urgency
from service.actions.advised_move import URGENCY_ORDER, Advised
from service.units.figures import figure

NEXT_TO_NOTHING: Final = figure(1e-9, "1", "The gain of what clearly gains, but too little to matter", "no source")
LIKELY: Final = figure(
    1e-12,
    "1",
    "The gain of what most members gain by and none of four in five loses by, though some gain nothing",
    "no source",
)
STOVE: Final = "light_backup_heat"
WRAPS: Final = frozenset({"insulate", "cover_with_clear_film"})
"""Work of an hour or more that opens nothing."""
PIPES: Final = frozenset({"protect_loop_from_frost", "check_loop"})
AFTER_PIPES: Final = WRAPS | {"find_the_cause"}
LOOKS: Final = frozenset({"check_probe", "squeeze_again", "check_loop", "check_fan"})
LOOKED_AT: Final = frozenset({"one_sided", "core_doubtful", "hand_doubtful", "losing_unseen"})
"""Findings that one of LOOKS answers, as it is not known yet what they mean."""


def trouble_first(ranked: list[Advised], rules: Iterable[Rule], gains: Mapping[str, float]) -> list[Advised]:
    """What answers a trouble that was found, or looks at it, before going on as before; not what likely loses."""
    if not ranked or ranked[0].action.id != "keep_going":
        return ranked
    troubles = {rule.gives.name for rule in rules if isinstance(rule.gives, Finding)}
    answers = {move for trouble in troubles & CURES.keys() for move in CURES[trouble]}
    answers |= LOOKS if troubles & LOOKED_AT else set()
    answers -= {move for move, gain in gains.items() if gain < 0.0}
    place = max((place for place, item in enumerate(ranked) if item.action.id in answers), default=0)
    above = ranked[1 : place + 1]
    latest = max((item.urgency for item in above), key=URGENCY_ORDER.__getitem__, default=None)
    return [*above, no_sooner(ranked[0], latest), *ranked[place + 1 :]]


def stove_last(ranked: list[Advised], gains: Mapping[str, float]) -> list[Advised]:
    """The stove after all that changes the heap's winter for the better, unless plants are in danger tonight."""
    stove = [item for item in ranked if item.action.id == STOVE and item.urgency not in KEEP_GOING_YIELDS_TO]
    others = [item for item in ranked if item not in stove]
    loses = {item.action.id for item in others if item.idle and gains.get(item.action.id, 0.0) < 0.0}
    helps = [
        place
        for place, item in enumerate(others, start=1)
        if item.urgency is not Urgency.NEXT_PILE and item.action.id not in loses
    ]
    last = helps[-1] if helps else 0
    return [*others[:last], *stove, *others[last:]]


def switches_first(ranked: list[Advised], gains: Mapping[str, float], *, presses: bool) -> list[Advised]:
    """Put what is free and done at a switch, and what stops more water, before any digging that is as urgent.

    Where an overdrawn heap `presses`, a switch that clearly gains goes before wrapping it as well. What gains nothing
    itself, or too little to matter, stays below what clearly gains, and what likely loses never comes first.
    """
    order = list(ranked)
    for item in ranked:
        if item.action.id not in FREE_AND_INSTANT | BEFORE_DIGGING:
            continue
        place, eases = order.index(item), presses and gains.get(item.action.id, 0.0) > NEXT_TO_NOTHING
        highest = 0 if eases else _highest(item, order, gains)
        digging = [
            number
            for number, other in enumerate(order[:place])
            if number >= highest
            and other.urgency is item.urgency
            and (other.action.opens_heap or (eases and other.action.id in WRAPS))
        ]
        if digging:
            order.insert(digging[0], order.pop(place))
    return order


def fan_off_first(ranked: list[Advised], rules: Iterable[Rule]) -> list[Advised]:
    """Where heap gas may be blown into the house, the fan off before all work that is as urgent."""
    if Finding("gas_into_house") not in (rule.gives for rule in rules):
        return ranked
    off = next((item for item in ranked if item.action.id == "pause_draw"), None)
    if off is None:
        return ranked
    others = [item for item in ranked if item is not off]
    place = next((n for n, item in enumerate(others) if _may_wait(item, off)), len(others))
    return [*others[:place], off, *others[place:]]


def _may_wait(item: Advised, off: Advised) -> bool:
    """What is less urgent, for safety or not, and work that is as urgent."""
    later = URGENCY_ORDER[item.urgency] - URGENCY_ORDER[off.urgency]
    return later > 0 or (later == 0 and not item.action.safety)


def pipes_first(ranked: list[Advised]) -> list[Advised]:
    """In frost a loop that may freeze within the night before wrapping, digging or looking, where it is as urgent."""
    pipes = [item for item in ranked if item.action.id in PIPES and item.urgency in KEEP_GOING_YIELDS_TO]
    for urgency in dict.fromkeys(item.urgency for item in pipes):
        after = [
            place
            for place, item in enumerate(ranked)
            if item.urgency is urgency and (item.action.opens_heap or item.action.id in AFTER_PIPES)
        ]
        above = ranked[: after[0]] if after else ranked
        moved = [item for item in pipes if item not in above and item.urgency is urgency]
        ranked = [*above, *moved, *(item for item in ranked[len(above) :] if item not in moved)]
    return ranked


def _highest(item: Advised, order: Sequence[Advised], gains: Mapping[str, float]) -> int:
    """The highest place a switch may take."""
    if not item.idle:
        return 0
    clear = [place for place, other in enumerate(order) if gains.get(other.action.id, 0.0) > NEXT_TO_NOTHING]
    loses = gains.get(item.action.id, 0.0) < 0.0
    return max([place + 1 for place in clear] + [1 if loses else 0])


def no_sooner(item: Advised, latest: Urgency | None) -> Advised:
    """The same, no more urgent than the last of what stands above it."""
    if latest is None or URGENCY_ORDER[item.urgency] >= URGENCY_ORDER[latest]:
        return item
    return replace(item, urgency=latest)
