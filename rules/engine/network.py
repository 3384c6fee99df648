"""The shape of the network the engine builds from conditions, to stay within its fixed tables.

The engine (durable-rules 2.0.28) matches a message by walking a tree of tests with a stack of 64 places; with one more
it gives up and the answer is lost, and whether that happens depends on the message. So the worst message
is worked out here, when the rules are loaded. Node lists overrun without any error at 128 and 256 entries.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rules.engine.envelope import KIND, SELF_TEST, EngineForm, to_engine
from rules.language.conditions import All, AnyOf, Condition, Known, Test

KIND_VALUE: Final = "pile"
MAX_STACK: Final = 60
MAX_FORWARDS: Final = 120
MAX_ENDS: Final = 200
_GROUP_SIZES: Final = (16, 8, 4)


class _Node:
    """A test that passed: what is tried next, how many paths go on from it untested, how many rules end here."""

    __slots__ = ("ends", "forwards", "tests")

    def __init__(self) -> None:
        self.tests: dict[Condition | str, _Node] = {}
        self.forwards: list[_Node] = []
        self.ends = 0

    def test(self, key: Condition | str) -> _Node:
        """The node behind a test; rules that begin alike share it."""
        return self.tests.setdefault(key, _Node())


def _grow(node: _Node, condition: Condition) -> _Node:
    """Hang `condition` below `node` and give the node reached where it holds."""
    match condition:
        case Test(fact, op, limit):
            return node.test(Test(fact, op, limit))
        case Known():
            return node.test(condition)
        case All(parts):
            for part in parts:
                node = _grow(node, part)
            return node
        case AnyOf(parts):
            join = _Node()
            for part in parts:
                _grow(node, part).forwards.append(join)
            return join
    raise TypeError(f"not a condition: {condition!r}")


def _network(groups: Sequence[Sequence[Condition]]) -> _Node:
    root = _Node()
    kind = root.test(KIND)
    kind.ends = 1
    kind.test(SELF_TEST).ends = 1
    for number, conditions in enumerate(groups):
        group = kind.test(f"g{number}")
        for condition in conditions:
            _grow(group, condition).ends += 1
    return root


def _fits(root: _Node) -> bool:
    depths: dict[_Node, int] = {}

    def depth(node: _Node) -> int:
        if node not in depths:
            below = [*node.tests.values(), *node.forwards]
            deepest = max(map(depth, below), default=0)
            depths[node] = max(len(below), len(below) - 1 + deepest)
        return depths[node]

    return depth(root) <= MAX_STACK and all(
        node.ends <= MAX_ENDS and len(node.forwards) + _absences(node) <= MAX_FORWARDS for node in depths
    )


def _absences(node: _Node) -> int:
    return sum(isinstance(key, Known) and not key.present for key in node.tests)


def grouped(conditions: Sequence[Condition]) -> list[list[Condition]]:
    """The conditions in order, in groups as large as the engine's tables allow. Raises ValueError if none fits."""
    for size in _GROUP_SIZES:
        groups = [list(conditions[start : start + size]) for start in range(0, len(conditions), size)]
        if _fits(_network(groups)):
            return groups
    raise ValueError(f"{len(conditions)} conditions with too many alternatives for one rule set: split the set")


def behind_marks(condition: Condition, group: int) -> EngineForm:
    """A condition behind the marks of a message and of its group.

    The mark of the message comes first: without it a rule also matches the engine's own record of its state.
    """
    return {"$and": [{KIND: KIND_VALUE}, {f"g{group}": 1}, to_engine(condition)]}
