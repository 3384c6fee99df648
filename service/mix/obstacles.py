"""Which limit is in the way of any mix, how far it would have to give, and what to get instead."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from service.mix.amounts import SEEN
from service.mix.limits import Bound, Limit
from service.mix.programme import Key, Programme, solve
from service.mix.question import MixChoice, by_name
from service.units.figures import figure

WORTH_GETTING: Final = (
    "wood_chips_dry",
    "wood_chips_green",
    "straw",
    "leaves",
    "cardboard",
    "grass_clippings",
    "horse_manure",
    "poultry_manure",
    "coffee_grounds",
    "urea",
)

"""What most people can get, tried when no mix can be made."""
MOST_TO_GET: Final = figure(
    3, "materials", "Materials to get that are named at most: more is a shopping list", "no source"
)


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A condition without which a mix could be made, all else the same.

    `would_do` is where it would have to stand: a fraction or ratio for a limit, kg for an amount, m3 or kg for the
    size; None for what is never given up.
    """

    key: Key
    would_do: float | None


@dataclass(frozen=True, slots=True)
class ToGet:
    """A thing whose presence would make a mix possible, and the least of it, beyond what there is. [kg]"""

    choice: MixChoice
    more_kg: float


def obstacles(programme: Programme) -> list[Obstacle]:
    """Every condition that stands in the way by itself; empty where several must give together."""
    return [*_limits_in_the_way(programme), *_amounts_in_the_way(programme), *_fixed_in_the_way(programme)]


def _limits_in_the_way(programme: Programme) -> Iterator[Obstacle]:
    by_id: dict[str, Limit] = {limit.id: limit for limit in programme.limits}
    for row in programme.rows:
        limit = by_id.get(row.key[0])
        if limit is None:
            continue
        side: Bound = "high" if row.key[1] == "high" else "low"
        above = programme.above_line(limit)
        found = solve(above if side == "high" else -above, programme.without(row.key), programme.sums(limit.shape.over))
        if found is not None and float(above @ found) >= 0:  # below 0 air space there is only soup
            yield Obstacle(row.key, float(above @ found))


def _amounts_in_the_way(programme: Programme) -> Iterator[Obstacle]:
    for index, choice in enumerate(programme.choices):
        for kind, sign in (("most", 1.0), ("least", -1.0)):
            key = (kind, choice.stuff.field)
            rows = programme.without(key)
            if len(rows) == len(programme.rows):
                continue
            found = solve(sign * programme.one(index), rows, programme.scale())
            bound = choice.most_kg if kind == "most" else choice.least_kg
            reached = None if found is None else float(found[index]) * programme.reference_kg
            if reached is not None and _moved(reached, bound or 0.0):
                yield Obstacle(key, reached)
    if programme.size is not None:
        measured = programme.sums(programme.size.of)
        for side, sign in (("low", -1.0), ("high", 1.0)):
            found = solve(sign * measured, programme.without(("size", side)), programme.scale())
            reached = 0.0 if found is None else float(measured @ found) * programme.reference_kg
            if reached > SEEN * programme.size.amount and _moved(reached, programme.size.amount):
                yield Obstacle(("size", side), reached)


def _moved(reached: float, asked: float) -> bool:
    """Whether a condition would really stand elsewhere: one at the rim of what can be solved is not in the way."""
    return abs(reached - asked) > SEEN * max(reached, asked)


def _fixed_in_the_way(programme: Programme) -> Iterator[Obstacle]:
    for kind in ("feed", "room"):
        if solve(programme.effort, programme.without(kind), programme.scale()) is not None:
            yield Obstacle((kind, ""), None)


def worth_getting(programme: Programme, found: list[Obstacle]) -> list[ToGet]:
    """Up to three things that would make a mix possible, least carrying first: more of what there is, or new ones."""
    by_field = {choice.stuff.field: choice for choice in programme.choices}
    more = [
        ToGet(by_field[each.key[1]], each.would_do - (by_field[each.key[1]].most_kg or 0.0))
        for each in found
        if each.key[0] == "most" and each.would_do is not None
    ]
    held = {choice.stuff.material.id for choice in programme.choices}
    new = [got for name in WORTH_GETTING if name not in held and (got := _with(programme, name)) is not None]
    least = SEEN * programme.reference_kg
    worth = [each for each in (*more, *new) if each.more_kg > least]
    return sorted(worth, key=lambda each: (each.more_kg, each.choice.stuff.material.id))[:MOST_TO_GET]


def _with(programme: Programme, name: str) -> ToGet | None:
    choice = MixChoice(by_name(name), 0.0, None)
    richer = Programme(programme.base, [*programme.choices, choice], programme.limits, programme.size)
    index = len(programme.choices)
    found = solve(richer.one(index), richer.rows, richer.scale())
    return None if found is None else ToGet(choice, float(found[index]) * richer.reference_kg)
