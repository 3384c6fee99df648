"""The heat account of one heap: the balance of now and the energy ledger, each number with its range."""

from __future__ import annotations

from dataclasses import dataclass

from service.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Accounts:
    """Powers in W, energies in J, 80 % ranges; None where it cannot be told.

    `made` is counted from decay. `stored` follows from the core's trend and is positive while warming.
    `unexplained` = lost + drawn + stored - made: what the two ways of counting leave over.
    """

    made: Estimate
    ground_and_air: Estimate
    evaporation: Estimate
    air_sensible: Estimate | None
    air_latent: Estimate | None
    water: Estimate | None
    stored: Estimate | None
    unexplained: Estimate | None
    total: Estimate
    usable_left: Estimate
    burst_draw: Estimate | None
    season_draw: Estimate
    asked: Estimate | None
    degradable_left: Estimate
    capacity_j_k: Estimate
    water_carried_off_kg_s: Estimate | None


def account_for(estimate, days, limit, derived):  # STUB
    e = lambda v: Estimate(v, v * 0.6, v * 1.5, "derived")
    derived.put(made_w=500.0, lost_w=400.0, season_draw_w=200.0, degradable_left_percent=70.0)
    return Accounts(
        e(500), e(300), e(100), None, None, None, None, None, e(5e10), e(5e9), None, e(200), None, e(0.7), e(1e7), None
    )
