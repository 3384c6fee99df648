"""One step of the heat model, in parts for piles that would move too far in it.

An implicit half step gives the temperatures in the middle of the step (linearised in conduction, vapour, draws and the
warmth of decay); every flow is computed once at those; pools shrink by a bounded closed form; what leaves one place
arrives at another and in the ledger. Second order, as stable as the trapezoidal rule for the linear terms, and closed
by construction: no state is corrected after booking.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.physics import decay
from service.heat.physics.arrays import Array
from service.heat.physics.entries import FlowEntries
from service.heat.physics.flows import (
    FIXED_DRAW_FLOOR_C,
    FIXED_DRAW_RAMP_K,
    Moving,
    book,
    edge_flows,
    heat_out,
    humidity_of,
    humidity_slope,
    moving,
    through_stiffness,
    water_out,
)
from service.heat.physics.moist_air import DRY_AIR_HEAT, EVAPORATION_HEAT_0C
from service.heat.physics.piles import DRY_MATTER_HEAT, WATER_HEAT, PileState
from service.heat.physics.step import FAST_PER_S, SLOW_PER_S, Held, Outdoors, Prepared, hold
from service.units.figures import figure

LARGEST_MOVE_K: Final = figure(12.0, "K", "A node that would move further in a step has the step halved", "no source")
LARGEST_BEND_K: Final = figure(
    2.0, "K", "A node that ends this far from where the linearised half step pointed has the step halved", "no source"
)
MOST_HALVINGS: Final = figure(7, "1", "How often a step is halved at most", "no source")
MOST_CHILL: Final = figure(
    3.0, "1", "Bound on the rate at which air through the material chills a node, per step", "no source"
)
MOST_GROWTH: Final = figure(
    0.9,
    "1",
    "Bound on the growth rate of a node's warmth by decay that the linearised flows see, per step",
    "no source",
)
WATER_SHARE_PER_STEP: Final = figure(
    0.35, "1", "At most this share of a node's water leaves it in one step", "no source"
)
TOGETHER: Final = figure(
    256,
    "columns",
    "So many columns take hardly longer than a few: 16 took 0.23 ms, 64 0.25, 320 0.36 and 512 0.45",
    "derived",
)
NOBODY: Final = np.zeros(0, dtype=np.intp)

SERIES_BELOW: Final = figure(
    0.02, "1", "Below this the first term of the series is nearer than the difference of two large numbers", "derived"
)


def advance(
    fixed: Prepared,
    state: PileState,
    air: Outdoors,
    seconds: float | Array,
    *,
    halvings: int = MOST_HALVINGS,
    total: FlowEntries | None = None,
) -> PileState:
    """The state after one step of all piles, in halves, and halves of these, for those that would move too far.

    Parameters
    ----------
    seconds
        Length of the step, of all or of each. [s]
    halvings
        How often it may be halved; beyond it a pile goes as far as it goes.
    total
        Where every flow is added up. [J, kg]
    """
    new, too_far, entries = _tried(fixed, state, air, seconds, booked=total is not None)
    far = np.flatnonzero(too_far) if halvings else NOBODY
    if far.size:
        length = np.broadcast_to(seconds, too_far.shape)[far]
        parts = None if entries is None else FlowEntries.zeros(far.size)
        new.put(far, _in_parts(fixed, state.take(far), air, length, far, halvings=halvings, total=parts))
        if entries is not None and parts is not None:
            entries.put(far, parts)
    if total is not None and entries is not None:
        total.add(entries)
    return new


def _in_parts(
    fixed: Prepared,
    state: PileState,
    air: Outdoors,
    seconds: Array,
    far: NDArray[np.intp],
    *,
    halvings: int,
    total: FlowEntries | None,
) -> PileState:
    """One step of the piles that would move too far in it, each in parts of its own: the halves of halves it needs.

    `state`, `seconds` and `total` are those of the piles at `far` alone. A part that is too long is halved, and its
    second half follows its first. All piles go on at once, each from where it is. Few piles cost hardly less than
    TOGETHER, so shorter parts are tried along with the one that is due.
    """
    parts = 1 << halvings
    done, level = np.zeros(seconds.size, dtype=np.intp), np.ones(seconds.size, dtype=np.intp)
    at_once, now, now_air = NOBODY, fixed, air
    while (going := np.flatnonzero(done < parts)).size:
        deeper = np.arange(max(1, min(TOGETHER // going.size, halvings)))
        levels = np.minimum(level[going] + deeper[:, None], halvings)
        columns = np.broadcast_to(going, levels.shape).reshape(-1)
        if not np.array_equal(columns, at_once):
            at_once, now, now_air = columns, fixed.take(far[columns]), air.take(far[columns])
        length = np.ldexp(seconds[columns], -levels.reshape(-1))
        new, too_far, entries = _tried(now, state.take(columns), now_air, length, booked=total is not None)
        fits = ~too_far.reshape(levels.shape) | (levels == halvings)
        longest, who = fits.argmax(axis=0), np.flatnonzero(fits.any(axis=0))
        level[going] = np.minimum(levels[-1] + 1, halvings)
        gone, taken = going[who], longest[who] * going.size + who
        state.put(gone, new.take(taken))
        if total is not None and entries is not None:
            total.put(gone, total.take(gone) + entries.take(taken))
        done[gone] += parts >> levels[longest[who], who]
        # The next part is the longest that begins where this one ended: a second half, or what follows it.
        level[gone] = halvings + 1 - np.frexp(done[gone] & -done[gone])[1]
    return state


def bounded_draw(fixed: Prepared, held: Held, seconds: float | Array) -> Prepared:
    """The same piles with draws that a step can follow; ordinary draws stay as they are.

    A fixed draw takes at most half of a node's heat above the draw's floor. Air through the material, whose vapour
    grows steeply with warmth, runs no stronger than would chill a node within a third of the step.
    """
    inertia = held.capacity / seconds
    if fixed.any_fixed:
        most = 0.5 * inertia * np.maximum(held.celsius - FIXED_DRAW_FLOOR_C, 0.0)
        fixed = replace(fixed, fixed_draw=np.minimum(fixed.fixed_draw, most))
    if fixed.any_through:
        slope = humidity_slope(held.celsius, humidity_of(held.celsius, held.wetness))
        chill = np.maximum(through_stiffness(fixed, slope), 1e-30)
        share = np.minimum(1.0, MOST_CHILL * inertia / chill)
        fixed = replace(fixed, through=fixed.through * share)
    return fixed


def _too_far(fixed: Prepared, held: Held, aimed: Array, new: PileState) -> NDArray[np.bool_]:
    """Whether a pile moved too much for this step, or ended too far from where the linearised flows pointed."""
    dry = fixed.inert + new.fast_kg + new.slow_kg
    end = new.enthalpy_j / (DRY_MATTER_HEAT * dry + WATER_HEAT * new.water_kg)
    bend = np.abs(end - aimed).max(axis=0)
    move = np.abs(aimed - held.celsius).max(axis=0)
    result: NDArray[np.bool_] = (bend > LARGEST_BEND_K) | (move > LARGEST_MOVE_K)
    return result


def _tried(
    fixed: Prepared, state: PileState, air: Outdoors, seconds: float | Array, *, booked: bool
) -> tuple[PileState, NDArray[np.bool_], FlowEntries | None]:
    """One step of all piles whatever it does: the new state, who moved too far, and the flows as totals. [J, kg]"""
    held = hold(fixed, state, air)
    now_fixed = bounded_draw(fixed, held, seconds)
    celsius, end = aim(now_fixed, held, seconds)
    now = moving(now_fixed, held, celsius, state.water_kg * (WATER_SHARE_PER_STEP / seconds))
    edge = edge_flows(now_fixed, held, celsius, now)
    pace = held.environment * now.speed
    fast = state.fast_kg * decay.share_lost((FAST_PER_S * seconds) * pace)
    slow = state.slow_kg * decay.share_lost((SLOW_PER_S * seconds) * pace)
    burnt = fast + slow
    new = PileState(
        state.enthalpy_j + (decay.HEAT_PER_DRY_MATTER * burnt - seconds * heat_out(now, edge)),
        state.fast_kg - fast,
        state.slow_kg - slow,
        state.water_kg + (decay.WATER_PER_DRY_MATTER * burnt - seconds * water_out(now_fixed, held, now)),
    )
    entries = book(now_fixed, held, now, edge, burnt / seconds).scaled(seconds) if booked else None
    return new, _too_far(fixed, held, end, new), entries


def aim(fixed: Prepared, held: Held, seconds: float | Array) -> tuple[Array, Array]:
    """Temperatures at which the step's flows are taken, and those at its end if all flows were linear. [degC]

    (C/(w dt) + J) dT = F(T) with J the linearised flows, and w between 0 and 1 the share of the step that makes it
    exact for a node alone: one half for slow nodes, nearing one where a strong draw or the heat of decay pulls a node
    to its balance within the step.
    """
    now = moving(fixed, held, held.celsius)
    burnt = held.burning * now.speed
    out = heat_out(now, edge_flows(fixed, held, held.celsius, now))
    # Enthalpy that only moves with its water or dry matter changes the heat capacity, not the temperature.
    gained = WATER_HEAT * (decay.WATER_PER_DRY_MATTER * burnt - water_out(fixed, held, now)) - DRY_MATTER_HEAT * burnt
    force = decay.HEAT_PER_DRY_MATTER * burnt - out - gained * held.celsius
    inertia = held.capacity / seconds
    lower, diagonal, upper = _stiffness(fixed, held, now, MOST_GROWTH * inertia)
    share = _fitted_share(diagonal / inertia)
    move = _solve(lower, diagonal + inertia / share, upper, force)
    return held.celsius + move, held.celsius + move / share


def _fitted_share(stiffness: Array) -> Array:
    """The share w = 1/(1 - exp(-z)) - 1/z of a step with z = step over time constant; 1/2 + z/12 for small z."""
    half = 0.5 * stiffness
    small = np.abs(half) < SERIES_BELOW
    safe = np.where(small, 1.0, half)
    return 0.5 + 0.5 * np.where(small, half / 3.0, 1.0 / np.tanh(safe) - 1.0 / safe)


def _stiffness(fixed: Prepared, held: Held, now: Moving, most_growth: Array) -> tuple[Array, Array, Array]:
    """Derivatives of the heat leaving each node by the temperatures of its inner, own and outer neighbour. [W/K]

    Where decay feeds on its own heat the own derivative falls, by no more than `most_growth`: so it stays dominant.
    """
    slope = humidity_slope(held.celsius, now.humidity)
    own = held.conductance + now.carrier * (DRY_AIR_HEAT + EVAPORATION_HEAT_0C * slope)
    outer = held.conductance[:-1] + now.carrier[:-1] * (DRY_AIR_HEAT + EVAPORATION_HEAT_0C * slope[1:])
    steepness = decay.temperature_slope(held.celsius, fixed.cardinals)
    growth = decay.HEAT_PER_DRY_MATTER * held.burning * now.oxygen * steepness
    taken = own + fixed.loop + fixed.duct if fixed.any_loop or fixed.any_duct else own
    diagonal = taken - np.minimum(growth, most_growth)
    if fixed.any_through:
        diagonal += through_stiffness(fixed, slope)
    if fixed.any_fixed:
        within = np.abs(held.celsius - FIXED_DRAW_FLOOR_C - 0.5 * FIXED_DRAW_RAMP_K) < 0.5 * FIXED_DRAW_RAMP_K
        diagonal += within * fixed.fixed_draw / FIXED_DRAW_RAMP_K
    diagonal[1:] += outer
    diagonal[-1] += held.ground
    return -own[:-1], diagonal, -outer


def _solve(lower: Array, diagonal: Array, upper: Array, force: Array) -> Array:
    """Tridiagonal systems of four unknowns, one per pile; dominant by columns, so no pivoting is needed."""
    rows = diagonal.shape[0]
    pivot, right = [diagonal[0]], [force[0]]
    for row in range(1, rows):
        ratio = lower[row - 1] / pivot[-1]
        pivot.append(diagonal[row] - ratio * upper[row - 1])
        right.append(force[row] - ratio * right[-1])
    result = np.empty_like(force)
    result[-1] = right[-1] / pivot[-1]
    for row in range(rows - 2, -1, -1):
        result[row] = (right[row] - upper[row] * result[row + 1]) / pivot[row]
    return result
