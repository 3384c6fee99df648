"""Amounts that keep the limits, come closest to what is best, and then take the least carrying; or the nearest miss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.mix.limits import BOUNDS
from service.mix.programme import SLACK, Constraint, Key, Programme, Vector, solve
from service.units.figures import figure

SEEN: Final = figure(1e-6, "kg", "A miss larger than this is one", "no source")
LEAST_STEP: Final = figure(
    0.20,
    "1",
    "Falling short of an amount that must go in by this much of the dry matter counts as a clear miss",
    "no source",
)
JUST_INSIDE: Final = figure(
    1.0 - 1e-9, "1", "What is shortened by this is inside a limit, whatever rounding does", "no source"
)


@dataclass(frozen=True, slots=True)
class Proposal:
    """Mass of each thing to add [kg], in the order of the choices.

    `distance` is 0 with every quantity in its best range, and grows by about 1 with each clear miss. Where no mix keeps
    every limit, `possible` is false, the masses are of the nearest mix, and `missed` are the limits it breaks.
    """

    masses: tuple[float, ...]
    possible: bool
    distance: float
    missed: tuple[Key, ...] = ()


def propose(programme: Programme) -> Proposal | None:
    """The best mix within the limits, else the nearest; None where nothing at all can be mixed."""
    return within_limits(programme) or _nearest(programme)


def within_limits(programme: Programme) -> Proposal | None:
    """The best mix that keeps every limit, or None where there is none."""
    return _Lexicon(programme, soft=()).proposal()


def _nearest(programme: Programme) -> Proposal | None:
    """A mix of another size that keeps the limits, else one that misses them by as little as can be."""
    qualities = tuple(limit.id for limit in programme.limits)
    soft = (*qualities, "least")
    if programme.size is None:
        return _Lexicon(programme, soft).proposal()
    for side, sign in (("low", -1.0), ("high", 1.0)):
        reached = _size_reached(programme, programme.without(("size", side)), sign)
        resized = None if reached is None else within_limits(programme.sized(reached))
        if resized is not None:
            return replace(resized, possible=False, missed=(("size", side),))
    reached = _size_reached(programme, programme.without(("size", "low"), *soft), -1.0)
    if reached is None:
        return None
    if reached * JUST_INSIDE >= programme.size.amount * (1 - SEEN):
        return _Lexicon(programme, soft).proposal()
    nearest = _Lexicon(programme.sized(reached), soft).proposal()
    return None if nearest is None else replace(nearest, missed=(("size", "low"), *nearest.missed))


def _size_reached(programme: Programme, rows: Sequence[Constraint], sign: float) -> float | None:
    """Just inside the least (`sign` 1) or most (-1) that can be mixed within the rows; None where nothing can."""
    assert programme.size is not None
    measured = programme.sums(programme.size.of)
    found = solve(sign * measured, rows, programme.scale())
    reached = 0.0 if found is None else float(measured @ found) * programme.reference_kg
    inside = JUST_INSIDE if sign < 0 else 1 / JUST_INSIDE
    return reached * inside if reached > SEEN * programme.size.amount else None


class _Lexicon:
    """One programme after another, each keeping what the one before has reached: least broken, closest, lightest.

    Further unknowns take up how far each `soft` row is broken and how far each quantity is out of its best range, both
    per dry matter: water must not hide a miss by thinning it.
    """

    def __init__(self, programme: Programme, soft: Sequence[str]) -> None:
        self._programme = programme
        broken = [row for row in programme.rows if row.key[0] in soft]
        steps = {limit.id: limit.shape.step * limit.shape.typical for limit in programme.limits} | {"least": LEAST_STEP}
        misses = [
            Constraint((limit.id, f"best {side}"), programme.excess(limit, side, end))
            for limit in programme.limits
            for side in BOUNDS
            if (end := limit.best.low if side == "low" else limit.best.high) is not None
        ]
        self._soft_keys = [row.key for row in broken]
        taking = [*broken, *misses]
        taken = -np.diag([steps[row.key[0]] for row in taking]) if taking else np.zeros((0, 0))
        self._extra = len(taking)
        self._rows = [
            *(Constraint(row.key, self._wide(row.vector)) for row in programme.without(*soft)),
            *(Constraint(row.key, np.concatenate([row.vector, own])) for row, own in zip(taking, taken, strict=True)),
        ]
        self._breaking = self._wide(programme.sums("mass") * 0, range(len(broken)))
        self._missing = self._wide(programme.sums("mass") * 0, range(len(broken), len(taking)))

    def _wide(self, vector: Vector, ones: range = range(0)) -> Vector:
        extra = np.zeros(self._extra)
        extra[list(ones)] = 1.0
        return np.concatenate([vector, extra])

    def proposal(self) -> Proposal | None:
        """What the last programme finds; where rounding leaves it nothing, what the one before found."""
        programme, dry = self._programme, self._wide(self._programme.sums("dry"))
        best: Vector | None = None
        for cost in (self._breaking, self._missing):
            found = solve(cost, self._rows, dry)
            if found is None and best is None:
                return None
            best = best if found is None else found
            assert best is not None
            self._rows.append(Constraint(("kept", ""), cost - (float(cost @ best) + SLACK) * dry))
        assert best is not None
        lightest = solve(self._wide(programme.effort), self._rows, self._wide(programme.scale()))
        width = len(programme.effort)
        breaks = best[width : width + len(self._soft_keys)]
        return Proposal(
            masses=tuple(programme.masses(best if lightest is None else lightest)),
            possible=not self._soft_keys,
            distance=float(self._missing @ best),
            missed=tuple(key for key, miss in zip(self._soft_keys, breaks, strict=True) if miss > SEEN),
        )
