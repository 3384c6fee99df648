"""What to do and in which order, as every kind of answer decides it: the ranking with what its look ahead gains.

Answers with and without what-ifs begin with the first move of the same rough look ahead, unless the finer what-ifs that
are told contradict it; what stands below is ranked by the best that is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from rules.actions.conflicts import NOT_FOR_NOTHING
from rules.engine.inference import Inference, infer_plainly
from rules.language.model import Act
from service.actions.advised_move import Advised
from service.actions.dose_basis import dose_inputs
from service.actions.doses import Dose, doses_for
from service.actions.order import NEXT_TO_NOTHING
from service.actions.rank import rank
from service.actions.rough_gains import Considered, Rough, rough_gains
from service.actions.whatif import Ahead, effect_by_plan, look_ahead
from service.picture.drawplan.record import draws_no_more
from service.picture.picture import KEPT, learned_picture
from service.picture.record import Picture
from service.status.models import Status


@dataclass(frozen=True, slots=True)
class Decision:
    """The ranked actions with their doses by id, what each gains for the ranking, and what-ifs where they were run.

    `closer` is the finer look ahead of these doses where the rough one left the first move open; it is told to nobody.
    """

    ranked: list[Advised]
    doses: Mapping[str, Sequence[Dose]]
    gains: Mapping[str, float]
    ahead: Ahead | None = None
    closer: Ahead | None = None


def decide(picture: Picture, found: Inference) -> Decision:
    """The decision without what-ifs."""
    return decide_together([(picture, found)])[0]


def decide_together(heaps: Sequence[tuple[Picture, Inference]]) -> list[Decision]:
    """The same for many heaps, whose rough look ahead is one run."""
    before = [ranked_for(*heap) for heap in heaps]
    doses = [doses_of(picture, order) for (picture, _), order in zip(heaps, before, strict=True)]
    considered = [Considered(picture, amounts) for (picture, _), amounts in zip(heaps, doses, strict=True)]
    return [
        _decided(*heap, order, amounts, rough)
        for heap, order, amounts, rough in zip(heaps, before, doses, rough_gains(considered), strict=True)
    ]


def _decided(
    picture: Picture, found: Inference, before: list[Advised], doses: Mapping[str, Sequence[Dose]], rough: Rough
) -> Decision:
    """By the rough look ahead, or by the finer one where an error of the rough one could put something else first."""
    if not rough.gains:
        return Decision(before, doses, {})
    ranked = ranked_for(picture, found, rough.gains)
    first = ranked[0].action.id
    if all(ranked_for(picture, found, other)[0].action.id == first for other in rough.or_else):
        return Decision(ranked, _dosed(picture, ranked, doses), rough.gains)
    closer = looked_ahead(picture, doses)
    gains = closer.gains()
    ranked = ranked_for(picture, found, gains)
    return Decision(ranked, _dosed(picture, ranked, doses), gains, closer=closer)


def _dosed(
    picture: Picture, ranked: Sequence[Advised], doses: Mapping[str, Sequence[Dose]]
) -> Mapping[str, Sequence[Dose]]:
    """The doses with those of what is advised only since something else was found to be for nothing."""
    late = [item for item in ranked if item.action.id not in doses]
    return {**doses, **doses_of(picture, late)} if late else doses


class InFull(NamedTuple):
    """The picture that a full answer rests on, what the rules find in it, and the decision with what-ifs."""

    picture: Picture
    found: Inference
    decision: Decision


@lru_cache(maxsize=KEPT)
def decided_in_full(status: Status) -> InFull:
    """What the full answer to a status rests on, in any units and language.

    Kept for whoever asks about the same status next, as a chat does for each answer and for its question; not to be
    written to.
    """
    picture = learned_picture(status)
    found = infer_plainly(picture.derived.facts)
    return InFull(picture, found, decide_in_full(picture, found))


def decide_in_full(picture: Picture, found: Inference) -> Decision:
    """The same with what-ifs of all that is advised, whose own order stands where they contradict the rough one."""
    quick = decide(picture.as_usual, found)
    doses = doses_of(picture, ranked_for(picture, found))
    closer = quick.closer if list(doses.items()) == list(quick.doses.items()) else None
    ahead = closer or looked_ahead(picture, doses)
    finer = _gains_as_told(ahead, picture)
    ranked = ranked_for(picture, found, finer)
    first_alike = ranked[0].action is quick.ranked[0].action
    left_out = _comes_to_nothing(picture, found) & {item.action.id for item in quick.ranked}
    if first_alike or left_out or _contradicted(quick.ranked, finer):
        begun = _begun_alike(ranked, quick.ranked[0], finer)
        return Decision(begun, _dosed(picture, begun, doses), finer, ahead)
    return Decision(quick.ranked, _dosed(picture, quick.ranked, doses), quick.gains, ahead)


def in_order_as_told(picture: Picture, found: Inference, decision: Decision) -> Decision:
    """A full decision once its plan was run with the work done: its order stands unless what is told contradicts it."""
    if decision.ahead is None:
        return decision
    gains = _gains_as_told(decision.ahead, picture)
    if not _contradicted(decision.ranked, gains):
        return decision
    ranked = [item for item in ranked_for(picture, found, gains) if item.action.id in decision.doses]
    return replace(decision, ranked=ranked or decision.ranked, gains=gains)


def _gains_as_told(ahead: Ahead, picture: Picture) -> dict[str, float]:
    """What each action gains, for the ranking: drawing more, as the answer tells it, by its plan."""
    told = "raise_draw" if "raise_draw" in ahead.effects else None
    by_plan = {} if told is None else {told: effect_by_plan(ahead, told, picture.plan).gain(ahead.usable_j)}
    return {**ahead.gains(), **by_plan}


def _begun_alike(ranked: list[Advised], first: Advised, gains: Mapping[str, float]) -> list[Advised]:
    """The order with the quick answer's first move in front, where no what-if speaks of it and it is as urgent."""
    there = next((item for item in ranked if item.action is first.action), None)
    judged = first.action.id in gains or ranked[0].action.safety
    if there is None or judged or there.urgency is not ranked[0].urgency:
        return ranked
    return [there, *(item for item in ranked if item is not there)]


def _contradicted(ranked: Sequence[Advised], gains: Mapping[str, float]) -> bool:
    """Whether what-ifs say that a move stands too high: first though it loses, above another though only that one
    clearly gains, or there at all though it is not for nothing."""
    named = [item.action for item in ranked]
    first, *others = named
    if any(gains.get(action.id, 1.0) <= 0.0 for action in named if action.id in NOT_FOR_NOTHING):
        return True
    if gains.get(first.id, 0.0) < 0.0 and any(gains.get(other.id, 0.0) >= 0.0 for other in others):
        return True
    clear = [place for place, action in enumerate(named) if gains.get(action.id, 0.0) > NEXT_TO_NOTHING]
    above = named[: clear[-1]] if clear else []
    return any(not action.safety and gains.get(action.id, 1.0) <= NEXT_TO_NOTHING for action in above)


def looked_ahead(picture: Picture, doses: Mapping[str, Sequence[Dose]]) -> Ahead:
    """The what-ifs of what is advised, to the goal's date."""
    goal, usable_j = picture.goal, picture.accounts.usable_left.value
    return look_ahead(
        picture.estimate,
        doses,
        goal.days,
        picture.heap,
        usable_j=usable_j,
        keep_above_c=picture.heat_counts_from_c,
        left_share=picture.left_share,
    )


def doses_of(picture: Picture, ranked: Sequence[Advised]) -> dict[str, list[Dose]]:
    """The doses of each ranked action, by its id; none of one that lasts until a danger is gone, or the summer."""
    inputs, off_season = dose_inputs(picture), picture.status.season == "off"
    lasting = {
        item.action.id for item in ranked if item.until_cleared or (off_season and item.action.id == "pause_draw")
    }
    return {item.action.id: [] if item.action.id in lasting else doses_for(item.action.id, inputs) for item in ranked}


def ranked_for(picture: Picture, found: Inference, gains: Mapping[str, float] | None = None) -> list[Advised]:
    """The ranking for one heap, by simulated gains where there are any."""
    on_hand = picture.status.on_hand
    return rank(
        found.fired,
        on_hand=None if on_hand is None else frozenset(on_hand),
        freezing=found.facts.get("freezing") is True,
        gains=gains,
        cool_soon=found.facts.get("cool_soon") is True,
        without=_comes_to_nothing(picture, found),
    )


def _comes_to_nothing(picture: Picture, found: Inference) -> frozenset[str]:
    """Moves that rules ask for, but of which no amount is wanted; more draw where the plan that was run draws no more.

    Rules go by the usual plan, which is the same in both ways of asking.
    """
    asked = {rule.gives.action for rule in found.fired if isinstance(rule.gives, Act)}
    inputs = dose_inputs(picture) if asked & NOT_FOR_NOTHING else None
    nothing = {action for action in asked & NOT_FOR_NOTHING if inputs and not doses_for(action, inputs)}
    plan = picture.plan
    if "raise_draw" in asked and plan is not None and plan is not picture.usual_plan and draws_no_more(plan):
        nothing.add("raise_draw")
    return frozenset(nothing)
