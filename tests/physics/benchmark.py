"""How many heaps a second the heat model runs, all at once and one by one: `python -m tests.physics.benchmark [HEAPS]`.

Both ways are the same code, so they give the same numbers; the ratio is what running many heaps at once is worth.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass

import numpy as np

from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import simulate

from .samples import ordinary

DAYS, STEP_H = 30.0, 12.0
CHUNK = 4000
ALONE = 12
ROUNDS = 3


@dataclass(frozen=True)
class Speed:
    """Forecasts of 30 days a second: together in chunks, and one by one; and how far their cores differ. [1/s, K]"""

    together: float
    alone: float
    apart_k: float

    @property
    def ratio(self) -> float:
        """How many times faster they run together."""
        return self.together / self.alone


def measure(heaps: int = CHUNK) -> Speed:
    """Run ordinary heaps together, and a dozen of them one by one, in turns; the best of each counts."""
    piles, state = ordinary(heaps // 4, seed=5)
    weather = DailyWeather.of(-2.0)
    count = piles.rate.size
    chunks = [slice(start, start + CHUNK) for start in range(0, count, CHUNK)]
    together, alone, apart = [], [], []
    for _ in range(ROUNDS):
        began = time.process_time()
        cores = [simulate(piles.take(part), state.take(part), weather, DAYS, STEP_H).core_c[-1] for part in chunks]
        together.append(count / (time.process_time() - began))
        core = np.concatenate(cores)
        began = time.process_time()
        for number in range(ALONE):
            one = slice(number, number + 1)
            own = simulate(piles.take(one), state.take(one), weather, DAYS, STEP_H).core_c[-1, 0]
            apart.append(abs(float(own - core[number])))
        alone.append(ALONE / (time.process_time() - began))
    return Speed(max(together), max(alone), max(apart))


def table(speed: Speed) -> str:
    """The speeds as text."""
    return (
        f"forecasts of {DAYS:.0f} days a second, steps of {STEP_H:.0f} h: {speed.together:,.0f} together, "
        f"{speed.alone:,.0f} one by one, {speed.ratio:,.0f} times; cores differ by at most {speed.apart_k:.1e} K"
    )


if __name__ == "__main__":
    print(table(measure(int(sys.argv[1]) if len(sys.argv) > 1 else CHUNK)))
