"""Conditions over the facts of many heaps at once: each fact a column, each test one comparison of the column.

The meaning is that of `rules.engine.plain`: a test on a missing fact is not certainly true.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from rules.engine.envelope import DECIMALS, MAX_NUMBER
from rules.language.conditions import All, AnyOf, Condition, Fact, Facts, Known, Test

Mask = NDArray[np.bool_]

_COMPARE: Final[dict[str, Callable[[Any, Any], Any]]] = {
    "$lt": np.less,
    "$lte": np.less_equal,
    "$gt": np.greater,
    "$gte": np.greater_equal,
    "$eq": np.equal,
    "$neq": np.not_equal,
}
_KINDS: Final[dict[str, set[type]]] = {"number": {float, int}, "flag": {bool}, "text": {str}}
_SCALE: Final = 10.0**DECIMALS
_NEAR_A_TIE: Final = 0.49
"""Share of the last decimal from which a number is rounded one by one, as `round` does it."""


class FactColumns:
    """The facts of many heaps by name, checked and rounded as `rules.engine.envelope.checked_facts` does for one."""

    def __init__(self, facts: Sequence[Facts], declared: Mapping[str, Fact], read: Iterable[str]) -> None:
        """Take the facts in `read` from each heap.

        Raises ValueError, naming the fact, for an undeclared name or a value that cannot be.
        """
        unheard = set().union(*facts) - declared.keys()
        if unheard:
            raise ValueError(f"no fact is called {min(unheard)}")
        self.count = len(facts)
        self._never = np.zeros(self.count, dtype=np.bool_)
        self._columns: dict[str, tuple[NDArray[Any], Mask]] = {}
        self._tests: dict[Test | Known, Mask] = {}
        for name in read:
            values = [known.get(name) for known in facts]
            if set(values) != {None}:
                self._columns[name] = _column(declared[name], values)

    def conclude(self, name: str, where: Mask) -> None:
        """Add a flag that is set where it was concluded and unknown elsewhere."""
        self._columns[name] = (where, where)

    def certainly(self, condition: Condition) -> Mask:
        """For each heap, whether the condition is certainly true."""
        match condition:
            case Test() | Known():
                found = self._tests.get(condition)
                if found is None:
                    found = self._tests[condition] = self._leaf(condition)
                return found
            case All(parts):
                every = self.certainly(parts[0])
                for part in parts[1:]:
                    every = every & self.certainly(part)
                return every
            case AnyOf(parts):
                some = self.certainly(parts[0])
                for part in parts[1:]:
                    some = some | self.certainly(part)
                return some
        raise TypeError(f"not a condition: {condition!r}")

    def _leaf(self, leaf: Test | Known) -> Mask:
        column = self._columns.get(leaf.fact)
        if column is None:
            return ~self._never if isinstance(leaf, Known) and not leaf.present else self._never
        values, known = column
        if isinstance(leaf, Known):
            return known if leaf.present else ~known
        result: Mask = known & _COMPARE[leaf.op](values, leaf.limit)
        return result


def _column(fact: Fact, values: list[Any]) -> tuple[NDArray[Any], Mask]:
    """The values of one fact, anything where missing, and where it is known."""
    strange = set(map(type, values)) - _KINDS[fact.kind] - {type(None)}
    if strange:
        raise ValueError(f"{fact.name} is a {fact.kind} and cannot be a {strange.pop().__name__}")
    known = np.array([value is not None for value in values])
    if fact.kind == "number":
        numbers = np.array([0.0 if value is None else value for value in values], dtype=np.float64)
        if not (np.abs(numbers) <= MAX_NUMBER).all():
            raise ValueError(f"{fact.name} is beyond {MAX_NUMBER:.0e}, or no number")
        return rounded(numbers), known
    if fact.kind == "text":
        strangers = set(values) - {None, *fact.values}
        if strangers:
            raise ValueError(f"{fact.name} cannot be {repr(min(strangers))[:60]}")
        return np.array(["" if value is None else value for value in values]), known
    return np.array([value is True for value in values]), known


def rounded(numbers: NDArray[np.float64]) -> NDArray[np.float64]:
    """To 4 decimals, each exactly as Python's `round` does it; numbers up to 1e9."""
    scaled = numbers * _SCALE
    whole = np.rint(scaled)
    result: NDArray[np.float64] = whole / _SCALE
    # Scaling may have moved a number across the middle between two decimals.
    for place in np.flatnonzero(np.abs(scaled - whole) >= _NEAR_A_TIE).tolist():
        result[place] = round(float(numbers[place]), DECIMALS)
    return result
