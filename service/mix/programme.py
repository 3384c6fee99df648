"""Linear programmes over mixtures.

The unknowns are the mass of each thing that may be added and one scale, all homogeneous: amounts are the first over the
scale. So a ratio of sums can be made least or most exactly, by holding the sum below the line at 1 (Charnes and Cooper,
Programming with linear fractional functionals, 1962).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.mix.limits import BOUNDS, Bound, Limit
from service.mix.matter import SUMS, MixPart, Totals, combined, total
from service.mix.question import MixChoice, WantedSize
from service.units.figures import figure

Vector = NDArray[np.float64]
Key = tuple[str, str]
"""A row: what it is of (a limit's id, `most`, `least`, `size`, `feed` or `room`) and which side or thing."""

TYPICAL_DENSITY: Final = figure(
    300.0, "kg/m3", "Bulk density that turns a wanted volume into a first guess of the mass", "no source"
)
ROOM: Final = figure(
    20.0,
    "1",
    "Most mass of the whole over the mass asked for, besides what is forced in: it keeps every programme finite",
    "no source",
)
ROOM_BESIDE_RECIPE: Final = figure(
    5.0, "1", "The same over the recipe's mass: more than four times the recipe is a new heap", "no source"
)
WATER_EFFORT: Final = figure(
    0.25, "1", "Carrying a kilogram of liquid over one of solid matter: it comes by hose", "no source"
)
TOLERANCE: Final = figure(1e-9, "1", "What the solver may be off by", "no source")
SLACK: Final = figure(1e-7, "1", "What a limit may be missed by on the way to the next aim", "no source")


@dataclass(frozen=True, slots=True)
class Constraint:
    """One condition: `vector` times the unknowns is at most 0."""

    key: Key
    vector: Vector


class Programme:
    """The programmes of one question: what may be added to what is there, within limits."""

    def __init__(
        self, base: Sequence[MixPart], choices: Sequence[MixChoice], limits: Sequence[Limit], size: WantedSize | None
    ):
        self.base, self.choices, self.limits, self.size = list(base), list(choices), list(limits), size
        there = total(base)
        forced = sum(choice.least_kg for choice in choices)
        self.reference_kg = there.mass or _mass_guess(size) or forced or 1.0
        columns = [choice.stuff.per_kg() for choice in choices]
        self._sums = {
            name: np.array([getattr(column, name) for column in (*columns, _scaled(there, 1 / self.reference_kg))])
            for name in SUMS
        }
        self.effort = np.array([*(WATER_EFFORT if c.stuff.is_liquid else 1.0 for c in choices), 0.0])
        self.rows = [*self._quality(), *self._amounts(), *self._size_rows(size), self._feed(), self._room()]

    def sums(self, name: str) -> Vector:
        """How much of a sum a unit of each unknown brings."""
        return self._sums[name]

    def scale(self) -> Vector:
        """Picks the scale."""
        return self.one(len(self.choices))

    def one(self, index: int) -> Vector:
        """Picks one unknown."""
        picked: Vector = np.eye(len(self.choices) + 1)[index]
        return picked

    def above_line(self, limit: Limit) -> Vector:
        """What stands above the line of a limit's ratio."""
        shape = limit.shape
        return self.sums(shape.plus) - (self.sums(shape.minus) if shape.minus else 0.0)

    def excess(self, limit: Limit, side: Bound, value: float) -> Vector:
        """How far a limit's ratio lies beyond `value`, times what stands below its line."""
        beyond: Vector = self.above_line(limit) - value * self.sums(limit.shape.over)
        return beyond if side == "high" else -beyond

    def without(self, *dropped: Key | str) -> list[Constraint]:
        """The rows but those dropped, by key or by what they are of."""
        return [row for row in self.rows if row.key not in dropped and row.key[0] not in dropped]

    def sized(self, amount: float) -> Programme:
        """The same with another size."""
        assert self.size is not None
        return Programme(self.base, self.choices, self.limits, WantedSize(self.size.of, amount))

    def masses(self, unknowns: Vector) -> list[float]:
        """Mass of each thing added. [kg]"""
        scale = unknowns[len(self.choices)] / self.reference_kg
        masses = [float(value / scale) for value in unknowns[: len(self.choices)]]
        least = TOLERANCE * self.reference_kg
        return [mass if mass > least else 0.0 for mass in masses]

    def mixture(self, masses: Iterable[float]) -> list[MixPart]:
        """What is there and what is added."""
        added = zip(self.choices, masses, strict=True)
        return [*self.base, *((choice.stuff, mass) for choice, mass in added if mass > 0)]

    def _quality(self) -> list[Constraint]:
        return [
            Constraint((limit.id, side), self.excess(limit, side, bound))
            for limit in self.limits
            for side in BOUNDS
            if (bound := limit.bound(side)) is not None
        ]

    def _amounts(self) -> list[Constraint]:
        rows = []
        for index, choice in enumerate(self.choices):
            if choice.most_kg is not None:
                most = choice.most_kg / self.reference_kg
                rows.append(Constraint(("most", choice.stuff.field), self.one(index) - most * self.scale()))
            if choice.least_kg > 0:
                least = choice.least_kg / self.reference_kg
                rows.append(Constraint(("least", choice.stuff.field), least * self.scale() - self.one(index)))
        return rows

    def _size_rows(self, size: WantedSize | None) -> list[Constraint]:
        if size is None:
            return []
        over = self.sums(size.of) - size.amount / self.reference_kg * self.scale()
        return [Constraint(("size", "high"), over), Constraint(("size", "low"), -over)]

    def _feed(self) -> Constraint:
        """Urea and its like give no more nitrogen than the things with carbon that can rot lack to 30:1."""
        fed = self.sums("mineral_feed").copy()
        there = total(self.base)
        fed[-1] = -max(0.0, there.feed_wanted - there.mineral_feed) / self.reference_kg
        wanted = self.sums("feed_wanted").copy()
        wanted[-1] = 0.0
        return Constraint(("feed", ""), fed - wanted)

    def _room(self) -> Constraint:
        forced = sum(choice.least_kg for choice in self.choices) / self.reference_kg
        room = (ROOM_BESIDE_RECIPE if self.base else ROOM) + forced
        return Constraint(("room", ""), self.sums("mass") - room * self.scale())


def solve(cost: Vector, rows: Sequence[Constraint], held_at_one: Vector) -> Vector | None:
    """The unknowns, none below 0, that keep the rows with least cost while `held_at_one` is 1; None if none do."""
    from scipy.optimize import linprog  # slow to load, and only proposals need it

    found = linprog(
        cost,
        A_ub=np.array([row.vector for row in rows]),
        b_ub=np.zeros(len(rows)),
        A_eq=held_at_one[np.newaxis],
        b_eq=[1.0],
        method="highs",
        options={"primal_feasibility_tolerance": TOLERANCE, "dual_feasibility_tolerance": TOLERANCE},
    )
    return np.asarray(found.x, dtype=np.float64) if found.status == 0 else None


def _mass_guess(size: WantedSize | None) -> float:
    if size is None:
        return 0.0
    return size.amount * TYPICAL_DENSITY if size.of == "volume" else size.amount


def _scaled(sums: Totals, factor: float) -> Totals:
    return combined([(sums, factor)])
