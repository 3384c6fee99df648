"""Whoever tells less is warned no less: a few statuses of chance each day, hundreds in the long run."""

from __future__ import annotations

import pytest

from tests.coherence.case import Case
from tests.coherence.removals import complaints
from tests.coherence.statuses import statuses


@pytest.mark.parametrize(("seed", "count"), [(51, 4), pytest.param(12051, 500, marks=pytest.mark.slow)])
def test_a_field_left_out_silences_no_caution_for_life(seed: int, count: int) -> None:
    told = {str(body): list(complaints(Case(body))) for body in statuses(seed, count)}
    wrong = {body: found for body, found in told.items() if found}
    assert not wrong, f"{len(wrong)} of {count}: {next(iter(wrong.items()))}"
