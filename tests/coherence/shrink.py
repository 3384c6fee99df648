"""The smallest status that still breaks a law: fields are dropped as long as it does."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

from service.problems.problem import Problem

Body = dict[str, Any]
Path = tuple[str | int, ...]
KEPT = {("as_of",)}


def smallest(body: Body, breaks: Callable[[Body], bool], tries: int = 400) -> Body:
    """`body` without all that can be left out while `breaks` stays true; at most `tries` statuses are looked at."""
    found, left = copy.deepcopy(body), tries
    going_on = True
    while going_on and left > 0:
        going_on = False
        for path in sorted(_paths(found), key=len):
            less = _without(found, path)
            if less is None:
                continue
            left -= 1
            if _still(less, breaks):
                found, going_on = less, True
                break
            if left <= 0:
                break
    return found


def _still(body: Body, breaks: Callable[[Body], bool]) -> bool:
    try:
        return breaks(body)
    except Problem:
        return False


def _paths(value: Any, before: Path = ()) -> Iterator[Path]:
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in parts:
        path = (*before, key)
        if path not in KEPT:
            yield path
        yield from _paths(part, path)


def _without(body: Body, path: Path) -> Body | None:
    """A copy without the part; None where an earlier step has taken it away."""
    copied = copy.deepcopy(body)
    place: Any = copied
    for part in path[:-1]:
        place = place[part]
    del place[path[-1]]
    return copied
