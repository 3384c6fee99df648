"""Forecasts against what came, on held-out heaps of a finer model that shares no code with the service's.

`python -m tests.forecasting.benchmark --estimator service.outlook.forecast:forecast_core --split 7303` prints the same.
"""

from __future__ import annotations

import numpy as np
import pytest

from service.outlook.forecast import forecast_core
from service.status.reading import read_status
from tests.forecasting import baselines
from tests.forecasting.logs import make_logs
from tests.forecasting.score import by_kind, course_table, difference, errors, forecast, futures, scores, table

FRESH_SEEDS = (7303,)
"""Judged for the first time after the last training; after the next one take others."""

BODY = {
    "as_of": "2026-01-18T07:30:00Z",
    "pile": {"age": 30, "size": {"mass": "6 t"}},
    "temperatures": {"core": 56, "outdoor": -2},
    "history": [{"at": f"2026-01-{day}T07:30:00Z", "core": core} for day, core in ((14, 60), (15, 59), (17, 57))],
}


def test_a_forecast_begins_where_the_core_is_and_widens():
    median, low, high = forecast_core(read_status(BODY), [0.0, 1.0, 3.0, 7.0, 14.0])
    assert median[0] == pytest.approx(56.0, abs=2.5)
    assert (low < median).all() and (median < high).all()
    widths = high - low
    assert (np.diff(widths) > 0).all()
    assert 2.0 < widths[0] < 12.0


def test_days_may_be_asked_for_in_any_order():
    status = read_status(BODY)
    forward, backward = forecast_core(status, [1.0, 7.0]), forecast_core(status, [7.0, 1.0])
    assert forward[0].tolist() == backward[0][::-1].tolist()


@pytest.mark.slow
def test_held_out_heaps(capsys):
    logs = by_kind(log for seed in FRESH_SEEDS for log in make_logs(seed))["hot"]
    rivals = {"persistence": baselines.persistence, "line": baselines.line, "bounded line": baselines.bounded_line}
    found = {name: forecast(name, each, logs) for name, each in rivals.items()}
    ours = forecast("forecast_core", forecast_core, logs)
    with capsys.disabled():
        print("\n" + table([*found.values(), ours], logs, ("persistence", "line")))
        print("\n" + course_table([*found.values(), ours], logs))
    truth = futures(logs)
    for lead in (7, 14):
        for rival in found.values():
            gap = difference(errors(ours, truth, lead), errors(rival, truth, lead))
            assert gap.high < 0.0  # the mean error is smaller by a margin whose 90 % interval excludes 0
    ours_now, line_now = scores(ours, truth), scores(found["line"], truth)
    assert ours_now[1].median_error <= line_now[1].median_error
    for score in ours_now:
        assert 0.75 <= score.coverage <= 0.9
