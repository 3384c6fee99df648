"""Every door tells the same of the same status: a few of chance each day, hundreds in the long run."""

from __future__ import annotations

import pytest

from tests.coherence.case import Case
from tests.coherence.doors import complaints
from tests.coherence.statuses import statuses

SMOKE = {"as_of": "2026-01-18T08:00:00+00:00", "pile": {"age": 90}, "temperatures": {"core": 58}, "signs": ["smoke"]}


@pytest.mark.parametrize(("seed", "count"), [(41, 4), pytest.param(12041, 300, marks=pytest.mark.slow)])
def test_every_door_tells_the_same(seed: int, count: int) -> None:
    told = {str(body): list(complaints(Case(body))) for body in [SMOKE, *statuses(seed, count)]}
    wrong = {body: found for body, found in told.items() if found}
    assert not wrong, f"{len(wrong)} of {count}: {next(iter(wrong.items()))}"
