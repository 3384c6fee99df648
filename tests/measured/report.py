"""The report: every measured heap, what was told of it, what was forecast, and how it came out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from service.outlook.forecast import forecast_core
from service.status.reading import read_status
from tests.measured import litter
from tests.measured.bins import Batch, batches
from tests.measured.milestones import milestones_shown
from tests.measured.scoring import Shot, Tally, all_shots, shots_of, tally

WARMING_DAYS = tuple(float(day) for day in range(1, 31))


def report(judge: bool = False) -> str:
    """The whole report; the part kept for judging only where it is asked for."""
    parts = [_told()]
    kept = litter.JUDGING if judge else litter.TUNING
    for probe in kept:
        trace = litter.traces()[probe]
        parts.append(f"probe {probe} ({trace.where})\n" + _shots(shots_of(trace)))
    parts.append(f"litter stack, {'kept for judging' if judge else 'open for tuning'}: {', '.join(kept)}")
    parts.append(_tallies("daily log of 14 days", tally(all_shots(kept))))
    parts.append(_tallies("one reading, no log", tally(all_shots(kept, log_days=0))))
    parts.append(_tallies("log, nothing told of the mix", tally(all_shots(kept, mix=False))))
    parts.append(_bins([batch for batch in batches() if batch.judging == judge]))
    parts.append(milestones_shown())
    return "\n\n".join(parts)


def _told() -> str:
    return (
        "Litter stack 2023 (Kamp and Feilberg, CC BY 4.0). Told: 22 t of poultry litter of 49 % moisture, age, cover "
        "(none, a sheet from day 6 to 34), air outside, one probe read once a day, no equipment."
    )


def _shots(shots: Sequence[Shot]) -> str:
    lines = [
        f"{'day':>6}{'lead':>6}{'came':>8}{'told':>8}{'range':>16}  {'held':<5}{'error':>6}"
        f"{'as now':>8}{'line':>7}{'damped':>8}"
    ]
    for shot in shots:
        span = f"{shot.low:.1f} to {shot.high:.1f}"
        others = [abs(shot.rivals[name] - shot.came) for name in ("as now", "line", "damped")]
        lines.append(
            f"{shot.day:6.1f}{shot.lead:6.0f}{shot.came:8.1f}{shot.median:8.1f}{span:>16}  "
            f"{'yes' if shot.held else 'no':<5}{shot.error:6.1f}{others[0]:8.1f}{others[1]:7.1f}{others[2]:8.1f}"
        )
    return "\n".join(lines)


def _tallies(title: str, tallies: Iterable[Tally]) -> str:
    lines = [f"{title:<32}{'n':>4}{'warmheap':>10}{'as now':>8}{'line':>7}{'damped':>8}{'held':>6}{'width':>7}"]
    for each in tallies:
        e = each.errors
        lines.append(
            f"{'mean error, ' + format(each.lead, '.0f') + ' d [K]':<32}{each.count:>4}{e['warmheap']:>10.1f}"
            f"{e['as now']:>8.1f}{e['line']:>7.1f}{e['damped']:>8.1f}{each.held:>6.2f}{each.width:>7.1f}"
        )
    return "\n".join(lines)


def highest(batch: Batch) -> tuple[float, float, float]:
    """Low, median and high of the hottest the core is told to get in the first month. [degC]"""
    median, low, high = forecast_core(read_status(batch.told()), WARMING_DAYS)
    return float(np.max(low)), float(np.max(median)), float(np.max(high))


def _bins(some: Sequence[Batch]) -> str:
    told = np.array([highest(batch) for batch in some])
    came = np.array([batch.highest_c for batch in some])
    held = float(((told[:, 0] <= came) & (came <= told[:, 2])).mean())
    return (
        "Bin batches 2024 (Lytras et al., Apache-2.0). Told on the first day: kilograms of each kind, ambient.\n"
        f"{len(some)} batches, highest temperature: measured {came.mean():.1f} (80 % {np.quantile(came, 0.1):.0f} to "
        f"{np.quantile(came, 0.9):.0f}) degC, told {told[:, 1].mean():.1f} ({told[:, 0].mean():.0f} to "
        f"{told[:, 2].mean():.0f}); mean error {np.abs(told[:, 1] - came).mean():.1f} K, range held {held:.2f}"
    )
