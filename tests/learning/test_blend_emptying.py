"""Where more is drawn than is stored and made, the forecast is that of the model, unless a log stood the draw."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from service.heat.learning.members import learned
from service.heat.physics.kernel import simulate
from service.picture.picture import learned_picture
from service.status.reading import read_status

DRAWN: dict[str, Any] = {
    "as_of": "2026-01-20T08:00:00Z",
    "pile": {"age": "70 days", "size": {"volume": 12}},
    "temperatures": {"core": 48, "outdoor": -4},
    "draw": {"water": {"flow": 3, "inlet": 10, "outlet": 42}},
}
STEADY = [{"at": f"2026-01-{day:02d}T08:00:00Z", "core": 48} for day in (8, 11, 14, 17)]


def core_in_three_days(body: dict[str, Any]) -> float:
    heap = learned(learned_picture(read_status(body)).estimate)
    run = simulate(heap.piles, heap.state, heap.weather(7.0), 7.0, 24.0)
    return float(np.interp(3.0, run.days, np.median(heap.told_core(run.days, run.core_c), axis=1)))


def test_a_draw_beyond_all_that_is_stored_empties_the_heap() -> None:
    # 3 L/min by 32 K is 6.7 kW: 579 MJ a day, out of some 4.5 t of wet chips that hold about 2.7 MJ/K each, 12 MJ/K
    # in all (first law of thermodynamics): the 38 K over the inlet are gone within a day.
    assert core_in_three_days(DRAWN) < 20.0


def test_without_a_draw_it_stays_about_where_it_is() -> None:
    assert core_in_three_days({**DRAWN, "draw": {"water": {"flow": 0}}}) == pytest.approx(48.0, abs=8.0)


def test_a_log_that_stood_the_draw_outranks_the_model() -> None:
    water = {**DRAWN["draw"]["water"], "since": "2025-12-20"}
    assert core_in_three_days({**DRAWN, "draw": {"water": water}, "history": STEADY}) > 35.0
