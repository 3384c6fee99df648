"""The picture of one heap as a record: what is known, what follows, the heat account and the plan."""

from __future__ import annotations

from dataclasses import dataclass

from service.facts.mixture import Mixture
from service.facts.record import Derived
from service.facts.size import HeapSize
from service.picture.account import Accounts
from service.picture.drawplan.record import Plan
from service.status.models import Status
from service.units.estimate import Estimate, PileEstimate


@dataclass(frozen=True, slots=True)
class Goal:
    """How long the heat must last [days] and how warm the core must stay [degC]."""

    days: float
    keep_core_above_c: float


@dataclass(frozen=True, slots=True)
class Picture:
    """All that is known, believed and assumed about one heap."""

    status: Status
    derived: Derived
    mixture: Mixture
    size: HeapSize
    estimate: PileEstimate
    goal: Goal
    accounts: Accounts
    house_needs: Estimate | None
    plan: Plan | None = None


@dataclass(frozen=True, slots=True)
class Seen:
    """What a status says and what follows from it before any heat is counted."""

    status: Status
    derived: Derived
    mixture: Mixture
    size: HeapSize
    estimate: PileEstimate
    goal: Goal
