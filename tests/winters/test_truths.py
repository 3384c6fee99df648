"""The truths of the winters: what any heap must do, whatever its equations."""

from __future__ import annotations

import numpy as np
import pytest

from .heaps import TUNE_SEED, Heaps, build
from .lives import live
from .policies import POLICIES
from .truths import TRUTHS, Truth
from .weather import hour_of, winter_of

pytestmark = pytest.mark.slow  # the truths are tried before they judge anybody, not every day

DAYS = 12


def _lived(name: str, heaps: Heaps, days: int = DAYS, duty: float = 0.0) -> tuple[Truth, float]:
    truth, winter, drawn = TRUTHS[name](heaps), winter_of(heaps, days), 0.0
    for day in range(days):
        for hour in range(24):
            drawn += float(truth.hour(hour_of(winter, heaps, day, hour), np.full(heaps.count, duty)).sum())
    return truth, drawn


@pytest.mark.parametrize("name", list(TRUTHS))
def test_a_good_heap_heats_itself_and_a_dry_one_lags(name: str) -> None:
    heaps = build(TUNE_SEED, 24)
    truth, _ = _lived(name, heaps)
    good = (heaps.moisture > 0.5) & (heaps.manure_share > 0.15) & (heaps.volume_m3 > 8.0)
    dry = heaps.moisture < 0.44
    assert np.median(truth.core_c()[good]) > 45.0
    assert np.median(truth.core_c()[good]) > np.median(truth.core_c()[dry]) + 15.0
    assert np.all(truth.core_c() < 82.0)
    assert np.all((truth.mean_moisture() > 0.05) & (truth.mean_moisture() < 0.8))


@pytest.mark.parametrize("name", list(TRUTHS))
def test_water_and_feed_help_a_heap_that_lacks_them(name: str) -> None:
    heaps = build(TUNE_SEED, 24)
    lacking = (heaps.moisture < 0.44) | (heaps.manure_share < 0.1)
    winter = winter_of(heaps, 25)
    cores = []
    for helped in (False, True):
        truth = TRUTHS[name](heaps)
        if helped:
            truth.add_water(np.maximum(heaps.dry_kg * 1.3 - (heaps.mass_kg - heaps.dry_kg), 0.0) / 0.75)
            truth.feed(np.maximum(0.015 * heaps.degradable_kg - heaps.nitrogen_kg, 0.0))
        for day in range(25):
            for hour in range(24):
                truth.hour(hour_of(winter, heaps, day, hour), np.zeros(heaps.count))
        cores.append(truth.core_c()[lacking])
    assert cores[1].mean() > cores[0].mean() + 8.0


@pytest.mark.parametrize("name", list(TRUTHS))
def test_drawing_cools(name: str) -> None:
    heaps = build(TUNE_SEED, 8)
    still, nothing = _lived(name, heaps)
    drawn, heat = _lived(name, heaps, duty=0.5)
    assert nothing == 0.0
    assert heat > 0.0
    warm = still.material_c() > heaps.night_target_c + 10.0  # a colder heap may be warmed by what is pumped through
    assert warm.any()
    # Not heap by heap: one that is drawn may be spared the heat that kills its workers.
    assert drawn.material_c()[warm].mean() < still.material_c()[warm].mean() - 5.0


def test_the_same_seed_lives_the_same_winter() -> None:
    heaps = build(TUNE_SEED, 3)
    first, again = (live(heaps, "layers", POLICIES["thermostat"]) for _ in range(2))
    assert np.array_equal(first.core_c, again.core_c)
    fewer = live(build(TUNE_SEED, 2), "layers", POLICIES["thermostat"])
    assert np.allclose(first.core_c[: len(fewer.core_c), :2], fewer.core_c, atol=1e-9)
