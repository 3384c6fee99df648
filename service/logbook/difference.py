"""What differs between two answers, by JSON pointer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from service.logbook.shapes.difference import AnswerDifference, ValueThenAndNow
from service.problems.json_text import JsonObject
from service.problems.problem import pointer

MOST_SHOWN: Final = 200
_MISSING: Final = object()


def difference(then: JsonObject, now: JsonObject) -> AnswerDifference:
    """The first actions, the order of actions, and every value that differs (the first `MOST_SHOWN`)."""
    changed = list(_changes(then, now, ()))
    return {
        "first_action": {"then": _first(then), "now": _first(now)},
        "actions": {"then": _actions(then), "now": _actions(now)},
        "count": len(changed),
        "changed": changed[:MOST_SHOWN],
    }


def _changes(then: Any, now: Any, place: tuple[str | int, ...]) -> Iterator[ValueThenAndNow]:
    if isinstance(then, dict) and isinstance(now, dict):
        for key in sorted({*then, *now}):
            yield from _changes(then.get(key, _MISSING), now.get(key, _MISSING), (*place, key))
    elif isinstance(then, list) and isinstance(now, list):
        for index in range(max(len(then), len(now))):
            yield from _changes(_item(then, index), _item(now, index), (*place, index))
    elif then is _MISSING:
        yield {"pointer": pointer(place), "now": now}
    elif now is _MISSING:
        yield {"pointer": pointer(place), "then": then}
    elif then != now or type(then) is not type(now):
        yield {"pointer": pointer(place), "then": then, "now": now}


def _item(items: list[Any], index: int) -> Any:
    return items[index] if index < len(items) else _MISSING


def _actions(answer: JsonObject) -> list[str]:
    return [action["action"] for action in answer["actions"]]


def _first(answer: JsonObject) -> str | None:
    return next(iter(_actions(answer)), None)
