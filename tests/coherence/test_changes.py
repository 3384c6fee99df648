"""One change at a time: told as it was assumed, a neutral word more, a hotter core."""

from __future__ import annotations

import json

import pytest

from tests.coherence.changes import complaints
from tests.coherence.statuses import statuses


def _hold(seed: int, count: int) -> None:
    for body in statuses(seed, count):
        found = next(complaints(body), None)
        assert found is None, f"{found}\n{json.dumps(body)}"


def test_one_change_turns_no_first_move_round() -> None:
    _hold(29, 4)


@pytest.mark.slow
def test_one_change_turns_no_first_move_round_in_many() -> None:
    _hold(30, 400)
