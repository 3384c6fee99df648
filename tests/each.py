"""Many tiny checks as one test: the runner's work for each of thousands of tests costs more than the checks do."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from itertools import product
from typing import Any

import pytest


def each(*rows: Iterable[Any], every: int = 1) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Run a check for every value (with several rows, for every combination) and name all that fail.

    A value may be a `pytest.param` with an id; a tuple is handed over as several arguments. With `every`, every
    so-many-th case is run each day, the others with the long tests: costly cases that try the same law.
    """
    cases = list(product(*rows))

    def together(check: Callable[..., None]) -> Callable[..., None]:
        def run() -> None:
            _hold(check, cases)

        def run_in_turn(later: bool) -> None:
            _hold(check, [case for place, case in enumerate(cases) if (place % every != 0) is later])

        chosen = run if every == 1 else run_in_turn
        # The runner reads arguments from the wrapped function's signature, so only name and text are taken over.
        wraps(check)(chosen)
        del chosen.__wrapped__  # type: ignore[attr-defined]
        return chosen if every == 1 else _NOW_OR_LATER(chosen)

    return together


_NOW_OR_LATER = pytest.mark.parametrize(
    "later", [False, pytest.param(True, marks=pytest.mark.slow)], ids=["now", "later"]
)


def _hold(check: Callable[..., None], cases: list[tuple[Any, ...]]) -> None:
    failed = []
    for case in cases:
        values = [value for item in case for value in _values(item)]
        try:
            check(*values)
        except Exception as error:
            failed.append(f"{' '.join(_name(item) for item in case)}: {type(error).__name__}: {error}")
    assert not failed, f"{len(failed)} of {len(cases)} fail\n" + "\n".join(failed[:20])


def _values(item: Any) -> tuple[Any, ...]:
    values = getattr(item, "values", item)
    return values if isinstance(values, tuple) else (item,)


def _name(item: Any) -> str:
    return str(getattr(item, "id", None) or item)[:100]


def now_and_then(rows: Iterable[Any], every: int) -> list[Any]:
    """Every so-many-th row in the everyday run, the others with the long tests: costly rows that try the same law."""
    return [
        row if place % every == 0 else pytest.param(*_values(row), marks=pytest.mark.slow)
        for place, row in enumerate(rows)
    ]
