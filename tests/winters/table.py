"""The table of winters, paired differences, what the plan told, and the heaps that lost most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from .lives import Lived

Array = NDArray[np.float64]
COLUMNS = ("heat_kwh", "drawn_kwh", "nights_short", "short_kwh", "hot_days", "fire", "dead", "jobs", "litres")
HEADER = (
    f"{'lived by':24} {'heat':>6} {'drawn':>6} {'short':>6} {'nights':>6} {'dead':>5} {'>75':>5} "
    f"{'fires':>5} {'jobs':>5} {'litres':>7}"
)


def row(lived: Lived) -> str:
    """One line of the table: means over the heaps."""
    return (
        f"{lived.policy:24} {lived.heat_kwh.mean():6.0f} {lived.drawn_kwh.mean():6.0f} {lived.short_kwh.mean():6.0f} "
        f"{lived.nights_short.mean():6.1f} {lived.dead.mean():5.2f} {(lived.hot_days > 0).mean():5.2f} "
        f"{lived.fire.mean():5.2f} {lived.jobs.mean():5.1f} {lived.litres.mean():7.0f}"
    )


def best_of(lived: Lived, blocks: int) -> Lived:
    """For each heap the life that brought most heat, of as many blocks of the same heaps side by side."""
    pick = lived.heat_kwh.reshape(blocks, -1).argmax(axis=0)
    places = pick * pick.size + np.arange(pick.size)
    values = {name: getattr(lived, name)[places] for name in COLUMNS}
    return Lived("best-in-hindsight", lived.truth, **values, core_c=lived.core_c[:, places])


def difference(first: Array, second: Array) -> tuple[float, float, float]:
    """Mean of a paired difference with its 90 % interval (bootstrap of the heaps, 2000 draws, one seed)."""
    gap = first - second
    means = gap[_drawn_again(gap.size)].mean(axis=1)
    return float(gap.mean()), float(np.quantile(means, 0.05)), float(np.quantile(means, 0.95))


def times(first: Array, second: Array) -> tuple[float, float, float]:
    """Ratio of two means with its 90 % interval, the heaps drawn again in pairs."""
    again = _drawn_again(first.size)
    ratios = first[again].mean(axis=1) / np.maximum(second[again].mean(axis=1), 1e-9)
    ratio = first.mean() / max(second.mean(), 1e-9)
    return float(ratio), float(np.quantile(ratios, 0.05)), float(np.quantile(ratios, 0.95))


def _drawn_again(heaps: int) -> NDArray[np.intp]:
    return np.random.default_rng(7).integers(0, heaps, (2000, heaps))


def paired(lives: Mapping[str, Lived], first: str, second: str) -> str:
    """One line on two policies, heap by heap."""
    heat = difference(lives[first].heat_kwh, lives[second].heat_kwh)
    dead = difference(1.0 * lives[first].dead, 1.0 * lives[second].dead)
    ratio = times(lives[first].heat_kwh, lives[second].heat_kwh)
    return (
        f"{first} against {second}: {ratio[0]:.2f} ({ratio[1]:.2f} to {ratio[2]:.2f}) times the heat, "
        f"{heat[0]:+.0f} kWh ({heat[1]:+.0f} to {heat[2]:+.0f}); dead {dead[0]:+.2f} ({dead[1]:+.2f} to {dead[2]:+.2f})"
    )


def told_over_came(lived: Lived) -> float:
    """Mean of the heat that plans told over the mean of what came from the day they were told. [1]"""
    told = lived.told_heat_kwh
    return float(told[:, 2].mean() / max(told[:, 5].mean(), 1e-9))


def told_range_held(lived: Lived) -> float:
    """Share of the ranges told that hold what came, to a kilowatt-hour. [1]"""
    told = lived.told_heat_kwh
    return float(((told[:, 3] <= told[:, 5] + 1.0) & (told[:, 5] <= told[:, 4] + 1.0)).mean())


def honesty(lived: Lived) -> str:
    """What the plan told it would bring against what came, from the day it was told."""
    told = lived.told_heat_kwh
    if not len(told):
        return f"{lived.policy}: no plan was told"
    means = f"told {told[:, 2].mean():.0f} kWh, came {told[:, 5].mean():.0f} ({told_over_came(lived):.2f})"
    return f"{lived.policy}: {means}; range holds {told_range_held(lived):.2f}"


def worst(lived: Lived, best: Lived, count: int = 10, lines: int = 12) -> str:
    """The heaps that fell furthest behind hindsight, with what was said."""
    lost = best.heat_kwh - lived.heat_kwh
    parts = []
    for i in np.argsort(-lost)[:count]:
        parts.append(
            f"--- {lived.truth} heap {i}: {lived.heat_kwh[i]:.0f} kWh where {best.heat_kwh[i]:.0f} were to be had; "
            f"core by month {[round(float(c)) for c in lived.core_c[10::25, i]]} "
            f"against {[round(float(c)) for c in best.core_c[10::25, i]]}"
        )
        parts += [f"    {line}" for line in lived.said[i][:lines]] if lived.said else []
    return "\n".join(parts)


def put_together(parts: Sequence[Mapping[str, Mapping[str, Lived]]]) -> dict[str, dict[str, Lived]]:
    """What was lived in parts, by truth and policy: the heaps of all parts beside each other."""
    found: dict[str, dict[str, list[Lived]]] = {}
    for part in parts:
        for truth, lives in part.items():
            for name, lived in lives.items():
                found.setdefault(truth, {}).setdefault(name, []).append(lived)
    return {truth: {name: _beside(lives) for name, lives in by.items()} for truth, by in found.items()}


def _beside(lives: Sequence[Lived]) -> Lived:
    values = {name: np.concatenate([getattr(lived, name) for lived in lives]) for name in COLUMNS}
    days = min(len(lived.core_c) for lived in lives)
    core = np.concatenate([lived.core_c[:days] for lived in lives], axis=1)
    told = np.concatenate([lived.told_heat_kwh for lived in lives])
    said = [lines for lived in lives for lines in lived.said]
    return Lived(lives[0].policy, lives[0].truth, **values, core_c=core, told_heat_kwh=told, said=said)
