"""A small winter of each truth lived by the advice; fails when a must is missed that a dozen heaps can tell."""

from __future__ import annotations

import pytest

from .__main__ import hindsight
from .heaps import TUNE_SEED, build
from .lives import live
from .musts import must_lines
from .policies import POLICIES
from .truths import TRUTHS

HEAPS = 12
LIVED_BY = ("thermostat", "thermostat-and-water", "work-and-thermostat", "three-and-plan", "first-and-plan")


@pytest.mark.slow
@pytest.mark.parametrize("truth", TRUTHS)
def test_the_musts_of_a_winter(truth: str) -> None:
    heaps = build(TUNE_SEED, HEAPS)
    lives = {name: live(heaps, truth, POLICIES[name]) for name in LIVED_BY}
    lives["hindsight"] = hindsight(heaps, truth)
    told = list(must_lines(lives, more_dead=1.01 / HEAPS, apart=0.55))
    print("\n".join(told))
    assert not [line for line in told if line.startswith("MISSED")]
