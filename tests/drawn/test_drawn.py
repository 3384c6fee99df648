"""Season draws: the told range holds what heaps of three truths stand, and what is published stands in a table."""

from __future__ import annotations

import numpy as np
import pytest

from tests.drawn.judged import planned, standing, table
from tests.drawn.published import REPORTS, reports_shown
from tests.drawn.steady import Copies, Planned

FRESH_SEED = 6203
HEAPS = 40


def test_the_largest_draw_is_found_between_two_settings() -> None:
    core = np.array([[50.0, 50.0, 50.0], [50.0, 48.0, 44.0], [50.0, 40.0, 36.0], [50.0, 30.0, 10.0]])
    power = np.array([[0.0, 0.0, 0.0], [100.0, 100.0, 100.0], [200.0, 200.0, 200.0], [400.0, 400.0, 400.0]])
    copies = Copies(core, power, None, None)  # type: ignore[arg-type]
    assert copies.most_w(0, 1, 40.0) == pytest.approx(150.0)
    assert copies.most_w(0, 1, 55.0) == 0.0
    assert Planned.__doc__


@pytest.mark.slow
@pytest.mark.parametrize("truth", ["fine", "coarse", "plane"])
def test_standing_heaps_stand_what_they_are_told(truth: str, capsys: pytest.CaptureFixture[str]) -> None:
    draws = standing(truth, FRESH_SEED, HEAPS)
    with capsys.disabled():
        print("\n" + table(draws))
    assert np.mean([draw.held for draw in draws]) >= 0.75  # .80 over all truths, some 25 heaps of each


@pytest.mark.slow
def test_planned_heaps_stand_what_they_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    draws = [each for truth in ("fine", "coarse") for each in planned(truth, FRESH_SEED, HEAPS // 2)]
    with capsys.disabled():
        print("\n" + table(draws))
    assert np.mean([draw.held for draw in draws]) >= 0.70


@pytest.mark.slow
def test_reports_stand_beside_what_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print("\n" + reports_shown())
    for report in REPORTS:
        assert report.found() == report.verdict, report.heap
        if report.verdict == "outside: told less":
            assert report.says_so(), report.heap
