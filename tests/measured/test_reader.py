"""The measured sets as they were shipped, and the report on them."""

from __future__ import annotations

import numpy as np
import pytest

from service.status.reading import read_status
from tests.measured import litter
from tests.measured.bins import batches
from tests.measured.milestones import MILESTONES, milestones_shown
from tests.measured.rivals import as_now, damped, line


def test_the_stack_is_read_hour_by_hour() -> None:
    # Kamp and Feilberg, AU-BCE-EE/Kamp-2024-Broiler-Litter: 1,057 rows, 12 probes, the sheet off on 2 October
    traces = litter.traces()
    assert len(traces) == 12 and all(trace.days.size == 1057 for trace in traces.values())
    assert traces["T22"].at(10.7) == pytest.approx(58.2, abs=0.1)
    ends = {name: float(trace.days[np.isfinite(trace.celsius)][-1]) for name, trace in traces.items()}
    assert ends["T22"] == pytest.approx(10.7, abs=0.1)
    assert ends["T32"] == pytest.approx(23.0, abs=0.1)
    assert ends["T12"] == pytest.approx(24.5, abs=0.1)


def test_each_probe_is_for_tuning_or_for_judging() -> None:
    assert set(litter.JUDGING) | set(litter.TUNING) == set(litter.traces())
    assert not set(litter.JUDGING) & set(litter.TUNING)
    for half in (litter.JUDGING, litter.TUNING):
        assert {litter.WHERE[probe[-1]] for probe in half} == {"base", "middle", "top"}


def test_every_origin_is_a_status_the_service_takes() -> None:
    trace = litter.traces()["T32"]
    for day in litter.origins(trace):
        status = read_status(litter.told(trace, day))
        assert status.temperatures.core == trace.at(day)
        assert len(status.history or []) <= litter.LOG_DAYS
    assert litter.cover_at(litter.COVERED) == "tarp"


def test_a_probe_that_stopped_gives_no_more_origins() -> None:
    assert max(litter.origins(litter.traces()["T22"])) < 10.7


def test_the_batches_are_those_published() -> None:
    # Lytras et al. 2024: 88 batches, highest temperature 71.6 +/- 7.1 degC, 98 +/- 9 days
    highest = np.array([batch.highest_c for batch in batches()])
    assert highest.size == 88
    assert highest.mean() == pytest.approx(71.6, abs=0.1)
    assert highest.std(ddof=1) == pytest.approx(7.1, abs=0.2)
    assert np.mean([batch.days for batch in batches()]) == pytest.approx(98.0, abs=1.0)
    assert all(read_status(batch.told()).pile.ingredients for batch in batches())


def test_the_simple_ways_on_a_straight_fall() -> None:
    body = {
        "as_of": "2026-01-20T08:00:00Z",
        "pile": {"age": 30},
        "temperatures": {"core": 46},
        "history": [{"at": f"2026-01-{20 - back}T08:00:00Z", "core": 46 + 2 * back} for back in range(1, 8)],
    }
    status = read_status(body)
    np.testing.assert_allclose(as_now(status, [3.0, 7.0]), 46.0)
    np.testing.assert_allclose(line(status, [3.0, 7.0]), [40.0, 32.0])
    np.testing.assert_allclose(damped(status, [6.0]), 46.0 - 12.0 * (1.0 - np.exp(-1.0)))


def test_milestones_compare_as_the_table_says() -> None:
    # Each is cited beside its figure; all but two lie in the told range. A steep fall of a single probe in a box of
    # half a cubic metre does not: the middle of such courses falls slowly. Nor does a cage of grass and leaves that was
    # hot on its third day: simulated heaps warm up more slowly, and the range was learned on them.
    for each in MILESTONES:
        assert each.found() == each.verdict, each
    outside = [each.what for each in MILESTONES if each.verdict.startswith("too")]
    assert outside == ["steepest fall, days 13 to 17", "core on day 3"]
    assert "1980" in milestones_shown()
