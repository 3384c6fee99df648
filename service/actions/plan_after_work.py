"""The plan of drawing once the work that is advised beside it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.actions.decision import Decision
from service.actions.effects import CHANGES
from service.actions.whatif import CHANGES_OF_THE_DRAW
from service.heat.physics.piles import Piles, PileState
from service.picture.drawplan.choice import with_work
from service.picture.record import Picture


def work_among(moves: Sequence[str]) -> list[str]:
    """Those of the moves that change the heap itself and that the model can carry out."""
    return [move for move in moves if move in CHANGES and move not in CHANGES_OF_THE_DRAW]


def with_plan_worked(picture: Picture, decision: Decision) -> Picture:
    """The picture with a plan whose heat counts the advised work; as it is where none would change the heap."""
    plan, work = picture.plan, work_among([item.action.id for item in decision.ranked])
    if plan is None or not work:
        return picture

    def done(piles: Piles, state: PileState) -> tuple[Piles, PileState]:
        for move in work:
            piles, state = CHANGES[move](piles, state, decision.doses.get(move, ()))
        return piles, state

    return replace(picture, plan=with_work(picture, plan, done))
