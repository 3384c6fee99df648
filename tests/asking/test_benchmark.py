"""Asking in this service's order reaches what would be done first in fewer questions than two other orders."""

from __future__ import annotations

import numpy as np
import pytest

from tests.asking import benchmark
from tests.asking.benchmark import Seen, by_table, counts, interval, questions_until, table
from tests.asking.cases import FIELDS, TEST_SEED, TUNING_SEED, Case, make_cases, troubled_days

pytestmark = pytest.mark.slow


def test_fewer_questions_in_thirty_cases() -> None:
    cases = make_cases(TEST_SEED, 38, days=60)[:30]
    assert len(cases) == 30
    found = counts(cases, random_orders=2)
    assert found["this service"].mean() < found["fixed order"].mean()
    assert found["this service"].mean() < found["random order"].mean()


@pytest.mark.slow
def test_fewer_questions_in_two_hundred_cases(capsys: pytest.CaptureFixture[str]) -> None:
    found = counts(make_cases(TEST_SEED, benchmark.HEAPS)[: benchmark.CASES])
    with capsys.disabled():
        print("\n" + table(found))
    ours = found["this service"]
    assert ours.size == 200
    for other in ("fixed order", "random order"):
        assert interval(found[other] - ours)[0] > 0


@pytest.fixture(scope="module")
def few() -> list[Case]:
    return make_cases(TUNING_SEED, 8, days=40)


def test_cases_withhold_and_reveal(few: list[Case]) -> None:
    assert len(few) >= 5
    for case in few:
        bare, whole = case.status(), case.status(case.hidden)
        assert (bare.moisture_feel is None) == ("/moisture_feel" in case.hidden)
        assert whole.moisture_feel is not None and whole.history and whole.smell is not None
        assert bare.temperatures.core == whole.temperatures.core
        assert case.hidden <= FIELDS.keys()


def test_a_case_where_nothing_is_withheld_needs_no_question(few: list[Case]) -> None:
    seen = Seen(Case(few[0].number, few[0].truth, frozenset()))
    assert questions_until(seen, by_table) == 0


def test_troubled_days_are_cool_or_falling() -> None:
    core = np.repeat([20.0, 30, 45, 60, 65, 66, 66, 66, 65, 64, 60, 55], 2)
    assert troubled_days(core).tolist() == [10, 11]
    assert troubled_days(np.full(24, 45.0)).tolist() == list(range(5, 12))


def test_the_table_names_all_ways() -> None:
    shown = table({"this service": np.zeros(4), "fixed order": np.ones(4), "random order": np.full(4, 2.0)})
    assert "4 cases; a question was needed in 4" in shown
    assert "+1.00 (+1.00 to +1.00)" in shown
