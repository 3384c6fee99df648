"""Which check to make next: by how likely it changes what is done first, and by the heat lost in acting without it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from rules.catalogue import said
from rules.tables.questions import Question
from service.actions.decision import decided_in_full
from service.actions.gains import Effects
from service.actions.whatif import Ahead
from service.picture.picture import KEPT
from service.picture.record import Picture
from service.status.models import Status
from service.units.figures import figure
from service.worth.heaps import heaps_of
from service.worth.questions import open_questions, settling
from service.worth.shape import AskNext
from service.worth.worlds import Now, World

MOST_ASKED: Final = figure(3, "1", "So many questions are told at most", "no source")
CHANCE_COUNTS: Final = figure(
    0.5,
    "1",
    "A sure change of the first action counts like this share of the heap's heat (see tests/asking)",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A question with its likely answers, the chance that they change the first action, and the expected loss.

    `loss` is the share of the heap's heat that acting now is expected to cost against acting on the answer.
    """

    question: Question
    worlds: tuple[World, ...]
    chance: float
    loss: float

    @property
    def worth(self) -> float:
        """What the questions are ranked by."""
        return self.loss + CHANCE_COUNTS * self.chance


def ask_next(picture: Picture, first_action: str, *, weighed: bool) -> list[AskNext]:
    """The most useful questions that the status leaves open.

    `weighed`, beside the full advice, goes into every likely answer and ranks by what it is worth; else the order of
    the table stands and the chances are null. What settles something the first action took for granted comes first.
    """
    settle = settling(picture, first_action)
    if not weighed:
        asked = sorted(open_questions(picture), key=lambda question: question.field not in settle)
        return [_shown(question, None) for question in asked[:MOST_ASKED]]
    by_worth = sorted(weighed_in_full(picture.status), key=lambda each: each.question.field not in settle)
    return [_shown(each.question, each) for each in by_worth[:MOST_ASKED]]


@lru_cache(maxsize=KEPT)
def weighed_in_full(status: Status) -> tuple[Weighed, ...]:
    """The open questions beside the full advice, most useful first; kept as that is."""
    picture, _, decision = decided_in_full(status)
    return tuple(weigh(picture, decision.ranked[0].action.id, decision.ahead))


def weigh(picture: Picture, first_action: str, ahead: Ahead | None) -> list[Weighed]:
    """The open questions, most useful first.

    Parameters
    ----------
    first_action
        What is advised first now.
    ahead
        What was looked ahead for on the same members, for what actions gain.
    """
    left_open = open_questions(picture)
    if not left_open:
        return []
    now = Now(picture, heaps_of(picture, ahead), Effects.of(ahead))
    found = [_weighed(each, first_action, tuple(now.worlds(each))) for each in left_open]
    return sorted(found, key=lambda each: -round(each.worth, 6))


def _weighed(question: Question, now: str, worlds: tuple[World, ...]) -> Weighed:
    total = sum(world.chance for world in worlds)
    chance = sum(world.chance for world in worlds if world.first_action != now) / total
    return Weighed(question, worlds, chance, sum(world.chance * _loss(world, now) for world in worlds) / total)


def _loss(world: World, now: str) -> float:
    """Share of the heap's heat lost in this world by doing first what is advised now."""
    return max(world.worth_of(world.first_action) - world.worth_of(now), 0.0)


def _shown(question: Question, weighed: Weighed | None) -> AskNext:
    text = f"question.{question.key}"
    return {
        "question": said(f"{text}.text"),
        "field": question.field,
        "why": said(f"{text}.why"),
        "changes_first_action": None if weighed is None else round(weighed.chance, 2),
        "heat_at_stake": None if weighed is None else round(weighed.loss, 3),
    }
