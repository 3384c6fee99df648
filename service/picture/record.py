"""The picture of one heap as a record: what is known, what follows, the heat account and the plan."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.facts.mixture import Mixture
from service.facts.record import Derived
from service.facts.size import HeapSize
from service.heat.learning.members import Learned
from service.picture.account import Accounts
from service.picture.drawplan.record import Plan, pair_on
from service.status.models import Status
from service.units.estimate import Estimate, PileEstimate


@dataclass(frozen=True, slots=True)
class GoalInDays:
    """How long the heat must last [days] and how warm the core must stay [degC]."""

    days: float
    keep_core_above_c: float


@dataclass(frozen=True, slots=True)
class Picture:
    """All that is known, believed and assumed about one heap; `heap` are the members that fit its log.

    `usual_plan` is the usual way of drawing, which needs no run; `plan` a better one where it was looked for.
    """

    status: Status
    derived: Derived
    mixture: Mixture
    size: HeapSize
    estimate: PileEstimate
    goal: GoalInDays
    accounts: Accounts
    house_needs: Estimate | None
    heap: Learned
    usual_plan: Plan | None = None
    plan: Plan | None = None

    @property
    def as_usual(self) -> Picture:
        """The same with the usual plan of drawing in place of a better one."""
        return self if self.plan is self.usual_plan else replace(self, plan=self.usual_plan)

    @property
    def heat_counts_from_c(self) -> float:
        """The core down to which heat that is drawn counts as gained [degC].

        The goal's limit. Where a heap is emptied in its last weeks, or is already colder than a limit that nobody set,
        the core down to which it then is drawn.
        """
        limit_c = self.goal.keep_core_above_c
        if self.usual_plan is None or not (self._is_emptied or self._is_below_no_limit):
            return limit_c
        return min(limit_c, pair_on(self.usual_plan, self.status.as_of.date())[1])

    @property
    def left_share(self) -> float:
        """How much of the heat left at the goal's date counts for a change of the draw: none in its last weeks [1]."""
        return 0.0 if self._is_emptied else 1.0

    @property
    def _is_below_no_limit(self) -> bool:
        goal = self.status.goal
        set_by_nobody = goal is None or goal.keep_core_above is None
        return set_by_nobody and float(self.derived.facts["core_c"]) < self.goal.keep_core_above_c

    @property
    def _is_emptied(self) -> bool:
        return self.derived.facts.get("emptying") is True


@dataclass(frozen=True, slots=True)
class Seen:
    """What a status says and what follows from it before any heat is counted."""

    status: Status
    derived: Derived
    mixture: Mixture
    size: HeapSize
    estimate: PileEstimate
    goal: GoalInDays
