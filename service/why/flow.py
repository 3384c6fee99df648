"""The flow from status to ranking, run again without writing an answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rules.engine.inference import Inference, infer_plainly
from service.actions.advised_move import Advised
from service.actions.decision import decided_in_full, ranked_for
from service.actions.effects import CHANGES, REBUILDS
from service.picture.picture import learned_picture, picture_of
from service.picture.record import Picture
from service.status.models import Status

MODELLED = frozenset({*CHANGES, *REBUILDS})
"""Actions whose gain can be worked out."""


@dataclass(frozen=True, slots=True)
class Rerun:
    """One run; `gains` are those of the actions that were looked ahead for."""

    picture: Picture
    found: Inference
    ranked: list[Advised]
    gains: Mapping[str, float]

    @property
    def first_action(self) -> str:
        """What is advised first."""
        return self.ranked[0].action.id


def rerun(status: Status) -> Rerun:
    """Picture, rules and ranking of a status; the first action is that of the full answer."""
    picture = learned_picture(status)
    found = infer_plainly(picture.derived.facts)
    ranked = ranked_for(picture, found)
    if not MODELLED & {item.action.id for item in ranked}:
        return Rerun(picture, found, ranked, {})
    decision = decided_in_full(status).decision
    return Rerun(picture, found, decision.ranked, decision.gains)


@dataclass(frozen=True, slots=True)
class Guess:
    """A quick guess of what is advised first; `unsure` if an action whose gain nobody worked out might come before."""

    first_action: str
    unsure: bool


def guess(status: Status, gains: Mapping[str, float]) -> Guess:
    """What is advised first if actions gain as they did in another run: many times quicker than a run."""
    picture = picture_of(status)
    ranked = ranked_for(picture, infer_plainly(picture.derived.facts), gains)
    rivals = {item.action.id for item in ranked}
    return Guess(ranked[0].action.id, len(rivals) > 1 and bool(rivals & MODELLED - gains.keys()))
