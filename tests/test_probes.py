"""A failing probe is recognised from the log, named, and left out of the forecast: four real cases and made-up ones."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from service.answer.advice import advise
from service.facts.probes import health_of
from service.outlook.forecast import forecast_core
from service.picture.picture import seen_in
from service.status.reading import read_status
from tests.each import each
from tests.measured import litter

PLATEAU = [(float(days), 55.0 + 0.1 * (days % 3) + 0.05 * days) for days in range(14, 0, -1)]


def told(readings: list[tuple[float, float]], core: float | None, **more: Any) -> dict[str, Any]:
    now = datetime.fromisoformat("2026-01-20T08:00:00+00:00")
    history = [{"at": (now - timedelta(days=days)).isoformat(), "core": value} for days, value in readings]
    temperatures = {"outdoor": 2} | ({} if core is None else {"core": core})
    return {"as_of": now.isoformat(), "pile": {"age": 30}, "temperatures": temperatures, "history": history, **more}


def faults_named(body: dict[str, Any]) -> set[str]:
    answer = advise(read_status(body), effects="none")
    ids = {reason["rule"] for action in answer["actions"] for reason in action["reasons"]}
    return {id_ for id_ in ids if id_.startswith("measurement.probe-")}


# --- Kamp and Feilberg 2023, the real cases: T22, T32 and T12 went silent, T11 was out of the heap in the last hour


@each([("T22", 10.7), ("T32", 23.0), ("T12", 24.5)])
def test_a_probe_that_died_is_named_and_its_last_reading_grows_doubtful(probe: str, stopped: float) -> None:
    trace = litter.traces()[probe]
    asked = stopped + 4.0
    log = [(asked - day, trace.at(day)) for day in np.arange(1.0, asked, 1.0) if np.isfinite(trace.at(day))]
    body = told(log, None)
    assert "measurement.probe-silent-check-it" in faults_named(body)
    core = seen_in(read_status(body)).estimate.core_c
    assert core.high - core.low > 9.0  # days old, so by far not as sure as a reading of today


def test_a_probe_pulled_out_does_not_enter_the_forecast() -> None:
    trace = litter.traces()["T11"]
    end = float(trace.days[-1])
    last = trace.at(end)  # what it read in the hour in which the stack was taken away
    backs = [*range(192, 0, -12), 1]
    log = [(back / 24.0, trace.at(end - back / 24.0)) for back in backs]
    assert last < 17.0 and log[-1][1] > 26.0
    body = told(log, last)
    assert "measurement.probe-pulled-out-check-it" in faults_named(body)
    median, _, _ = forecast_core(read_status(body), [1.0])
    assert median[0] > 24.0


@each([6, 12, 24])
def test_sound_probes_of_the_stack_are_not_suspected(hours: int) -> None:
    # Kamp and Feilberg 2023: all but the last day of the probes that worked to the end
    alarms, looked_at = 0, 0
    for name, trace in litter.traces().items():
        if name in ("T12", "T22", "T32"):
            continue
        for day in np.arange(5.0, 42.0, 3.0):
            backs = np.arange(min(14.0, day - 0.2) // (hours / 24) * (hours / 24), -0.01, -hours / 24)
            readings = [(float(back), trace.at(day - back)) for back in backs if np.isfinite(trace.at(day - back))]
            looked_at += 1
            alarms += health_of(readings, litter.air_of_day(day)).fault is not None
    assert looked_at > 100 and alarms <= 1


# --- made up


def test_minus_63_is_named_and_left_out() -> None:
    broken = [*PLATEAU[:-3], (3.0, -63.0), (2.0, 55.2), (1.0, -63.0)]
    assert "measurement.probe-broken-check-it" in faults_named(told(broken, 55.0))
    with_it, _, _ = forecast_core(read_status(told(broken, 55.0)), [7.0])
    without, _, _ = forecast_core(read_status(told([r for r in broken if r[1] > 0], 55.0)), [7.0])
    assert with_it[0] == pytest.approx(without[0])


@each(
    [
        (PLATEAU, None),
        ([*PLATEAU, (0.0, -40.0)], "pulled_out"),
        ([*PLATEAU[:-2], (0.5, -3.0)], "pulled_out"),
        ([(9.0, 52.0), (0.0, -4.0)], None),
        ([(2.0, 16.0), (0.0, -4.0)], None),
        ([*PLATEAU, (0.0, 55.3)], None),
        ([(float(d), 55.3) for d in range(12, -1, -1)], "stuck"),
        ([(float(d), 55.0) for d in range(8, -1, -1)], None),  # whole degrees stay alike on a plateau
        ([(float(d), 55.0) for d in range(16, -1, -1)], "stuck"),
        ([(float(d), 70.3) for d in range(12, -1, -1)], None),  # hot is believed
        ([(float(d), 55.3 + 0.1 * (d % 3)) for d in range(12, -1, -1)], "stuck"),  # it only trembles
        ([(float(d), 40.0 + (11.0 * d) % 23.0) for d in range(12, -1, -1)], "jumping"),  # up and down as no heap goes
        ([(float(d), 27.3 + 0.1 * (d % 3)) for d in range(12, -1, -1)], None),  # a base at rest may be so still
        ([(float(d), 55.1 if d % 2 else 30.2) for d in range(12, -1, -1)], "jumping"),  # two probes taken in turns
        ([(d / 4, 35.0 + 6.0 * (d % 4 == 0) - 4.0 * (d % 4 == 2)) for d in range(40, -1, -1)], None),  # near the skin
        ([(float(d), 30.0 if d in (3, 6) else 55.1 + 0.1 * d) for d in range(12, -1, -1)], "jumping"),
        ([(float(d), 85.0 if d in (3, 6) else 55.1 + 0.1 * d) for d in range(12, -1, -1)], "jumping"),  # never measured
        ([(float(d), 85.0 if d in (3, 6) else 55.0 + d) for d in range(12, -1, -1)], None),  # read by hand
        ([(float(d), 85.0 if d in (3, 6) else 55.0 + 0.5 * d) for d in range(12, -1, -1)], None),  # to the half degree
        ([(float(d), 85.0 if d in (3, 6) else (120 + d) / 1.8) for d in range(12, -1, -1)], None),  # in Fahrenheit
        ([(d / 2, 55.5) for d in range(12, -1, -1)], None),  # read by eye, a plateau stays alike
        ([(float(d), 85.3 if d in (3, 6) else 55.1 + 0.1 * d) for d in range(12, -1, -1)], None),
        ([(float(d), 85.0 if d < 3 else 55.1 + 0.1 * d) for d in range(12, -1, -1)], None),  # nothing cool after it
        ([(float(d), 80.0 if d in (3, 6) else 55.1 + 0.1 * d) for d in range(12, -1, -1)], None),  # may be a fire
        ([(float(d), 2.0 * d - 10.0) for d in range(10, -1, -1)], "drifting"),
        ([(d / 4, 8.0 * d / 4 - 10.0) for d in range(32, -1, -1)], "drifting"),  # the same read every six hours
        ([(d / 4, 55.1 + 0.1 * (d % 3) if d > 8 else 0.0) for d in range(40, -1, -1)], "pulled_out"),  # dead at nought
        ([(d / 4, 55.1 + 0.1 * (d % 3) if d > 8 else 30.1 + d) for d in range(40, -1, -1)], None),  # far over the air
        ([(float(d), 2.0 * d + 20.0) for d in range(10, -1, -1)], None),  # a heap that cools
        ([(d + 5.0, 50.0 + 0.3 * d) for d in range(10, -1, -1)], "silent"),
        ([(10.0, 50.0), (5.0, 51.0)], None),  # never regular
    ]
)
def test_what_is_and_is_no_fault(readings: list[tuple[float, float]], fault: str | None) -> None:
    assert health_of([(float(d), c) for d, c in readings], 2.0).fault == fault


def test_a_spike_is_left_out_even_where_it_is_the_only_one() -> None:
    spiked = [*PLATEAU[:-2], (2.0, 31.0), (1.0, 55.0)]
    assert (2.0, 31.0) not in health_of([*spiked, (0.0, 55.0)], 2.0).sound


def test_all_of_a_drift_and_all_that_was_read_outside_the_heap_is_left_out() -> None:
    drift = [*((d / 4, 54.1) for d in range(60, 28, -1)), *((d / 4, 8.0 * d / 4 - 10.0) for d in range(28, -1, -1))]
    assert health_of(drift, 2.0).newest == (7.25, 54.1)
    # Read once a day, with the probe's own tremble, and begun gently: no reading on the way down is left over
    tremble = (0.5, -0.4, 0.6, -0.6, 0.2, 0.5, -0.5)
    begun = [*((float(d), 54.1 + 0.3 * (d % 2)) for d in range(24, 14, -1)), (14.0, 52.6), (13.0, 49.2)]
    daily = [*begun, *((float(d), 4.1 * d - 6.0 + tremble[d % 7]) for d in range(12, -1, -1))]
    assert health_of(daily, 2.0).newest == (15.0, 54.4)
    median, _, _ = forecast_core(read_status(told(daily[:-1], daily[-1][1])), [1.0])
    assert median[0] > 50.0
    outside = [
        *((d / 4, 54.1 + 0.4 * (d % 2)) for d in range(40, 8, -1)),
        *((d / 4, 1.1 + d) for d in range(8, -1, -1)),
    ]
    assert health_of(outside, 2.0).newest == (2.25, 54.5)
    assert health_of(outside, None).newest == (0.0, 1.1)  # how warm the air is was not told


def test_a_heap_that_was_opened_may_fall() -> None:
    fall = [*PLATEAU, (0.1, 55.0), (0.0, 35.0)]
    assert health_of(fall, 2.0).fault == "pulled_out"
    assert health_of(fall, 2.0, opened=True).fault is None


def test_a_hot_reading_is_never_put_aside() -> None:
    answer = advise(read_status(told(PLATEAU, 82.0)), effects="none")
    assert "fire" in str(answer["headline"]).lower() or "hot" in str(answer["headline"]).lower()
