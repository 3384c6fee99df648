"""Many tiny checks as one test: the runner's work for each of thousands of tests costs more than the checks do."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from itertools import product
from typing import Any

import pytest


def each(*rows: Iterable[Any]) -> Callable[[Callable[..., None]], Callable[[], None]]:
    """Run a check for every value (with several rows, for every combination) and name all that fail.

    A value may be a `pytest.param` with an id; a tuple is handed over as several arguments.
    """
    cases = list(product(*rows))

    def together(check: Callable[..., None]) -> Callable[[], None]:
        def run() -> None:
            failed = []
            for case in cases:
                values = [value for item in case for value in _values(item)]
                try:
                    check(*values)
                except Exception as error:
                    failed.append(f"{' '.join(_name(item) for item in case)}: {type(error).__name__}: {error}")
            assert not failed, f"{len(failed)} of {len(cases)} fail\n" + "\n".join(failed[:20])

        # The runner reads arguments from the wrapped function's signature, so only name and text are taken over.
        wraps(check)(run)
        del run.__wrapped__
        return run

    return together


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
