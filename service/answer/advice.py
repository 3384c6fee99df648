"""The whole flow: status, picture, rules, ranking, answer."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final, NamedTuple, cast

from rules.catalogue import SOURCE_LANGUAGE, said, speaking, texts_in
from rules.engine.inference import Inference, cautions_beside, infer
from rules.language.model import Rule
from rules.tables.emergency import numbers_to_call
from rules.tables.thresholds import FIRE_WATCH_DRY
from rules.version import knowledge_version
from service.actions.advised_move import Advised
from service.actions.decision import Decision, decide, decided_in_full, in_order_as_told
from service.actions.plan_after_work import with_plan_worked
from service.actions.rank import FIRE_ACTION
from service.actions.whatif import CHANGES_OF_THE_DRAW
from service.answer.ahead import advice_outlook_shown, effect_shown
from service.answer.causes import likely_causes
from service.answer.heat import balance_shown, draws_by_plan, energy_shown, tonight_shown, why_at_rest
from service.answer.moves import action_shown, cautions_told, warnings
from service.answer.plan import plan_shown
from service.answer.plan_now import plan_as_advised
from service.answer.quantities import assumed_shown, measured, read_as_shown
from service.answer.shapes.advice import Advice, LookAgain
from service.answer.shapes.part import Phase, WhatIfs
from service.answer.words import headline, short_text
from service.heat.learning.memory import learned_shown
from service.picture.picture import picture_of
from service.picture.record import Picture
from service.picture.tonight import share_of_need_percent
from service.status.models import Status
from service.units.figures import figure
from service.units.quantities import System
from service.worth.checks import ask_next

SOONEST_LOOK_DAYS: Final = figure(1 / 24, "days", "Nobody is told to look sooner than in an hour", "no source")
LATEST_LOOK_DAYS: Final = figure(14.0, "days", "Nobody is told to look later than this", "no source")
GOES_ON = frozenset({"keep_going", "wait"})


@dataclass(frozen=True, slots=True)
class AnswerForm:
    """How an answer was asked for; `weighed` where its questions are to be ranked by what an answer is worth."""

    effects: WhatIfs
    system: System
    language: str = SOURCE_LANGUAGE
    weighed: bool = True


class Judgement(NamedTuple):
    """What is found of a heap, the moves ranked for it, and the cautions that stand beside them."""

    picture: Picture
    found: Inference
    decision: Decision
    cautions: Sequence[Rule]


def advise(
    status: Status,
    effects: WhatIfs = "full",
    units: System | None = None,
    language: str = SOURCE_LANGUAGE,
    *,
    weighed: bool = True,
) -> Advice:
    """Ranked actions with reasons, doses and cautions, and the heat account beside them.

    Parameters
    ----------
    status
        What is known of the heap.
    effects
        `full` runs the what-ifs of each action, `none` leaves them out.
    units
        Units of the answer; the status's own where None.
    language
        One of `rules.catalogue.languages()`.
    weighed
        Whether a full answer weighs its questions, a quarter of its cost; whoever asks again and again without
        answering any leaves that out.

    Returns
    -------
    dict
        The answer, ready to be written as JSON. The same status with `as_of` gives the same answer.
    """
    with speaking(texts_in(language)):
        return answer_for(judgement_of(status, effects), AnswerForm(effects, units or status.units, language, weighed))


def judgement_of(status: Status, effects: WhatIfs) -> Judgement:
    """What is found of a heap and what is to be done, whatever the units and the language it is told in."""
    if effects == "full":
        picture, _, decision = decided_in_full(status)
        found = infer(picture.derived.facts)
        picture = with_plan_worked(picture, decision)
        decision = in_order_as_told(picture, found, decision)
    else:
        picture = picture_of(status)
        found = infer(picture.derived.facts)
        decision = decide(picture, found)
    return Judgement(picture, found, decision, cautions_beside(found, [item.action.id for item in decision.ranked]))


def answer_for(judgement: Judgement, asked: AnswerForm) -> Advice:
    """The whole answer from what was found and decided; in the texts of whoever is speaking."""
    picture, found, decision, cautions = judgement
    status, system = picture.status, asked.system
    ranked, ahead = decision.ranked, decision.ahead
    moves, plan = [item.action.id for item in ranked], plan_as_advised(picture, found, decision)
    rest = why_at_rest(found, plan, moves)
    if picture.house_needs is not None and "pile_share_percent" in found.facts:  # by the plan as it is advised
        share = share_of_need_percent(found.facts, picture.accounts, picture.house_needs, rests=rest is not None)
        found = replace(found, facts={**found.facts, "pile_share_percent": share})
    on_hand = None if status.on_hand is None else frozenset(status.on_hand)
    told = cautions_told(moves, cautions, found)
    actions = [
        action_shown(
            place,
            item,
            doses=decision.doses.get(item.action.id, ()),
            effect=effect_shown(ahead, item.action.id, system, plan),
            cautions=told[place - 1],
            above=frozenset(rule.id for earlier in told[: place - 1] for rule in earlier),
            found=found,
            on_hand=on_hand,
            system=system,
            read_in=status.heap_read_in,
        )
        for place, item in enumerate(ranked, start=1)
    ]
    look = _look_again(ranked[0], status.as_of, float(found.facts["hottest_c"]), picture.goal.days)
    return {
        "id": _identity(status, asked),
        "learned": None if ahead is None else learned_shown(status, ahead.heap.chosen),
        "as_of": status.as_of.isoformat(),
        "valid_until": look["at"],
        "knowledge_version": knowledge_version(),
        "units": system,
        "headline": headline(actions),
        "say": short_text(actions, look, status.emergency_number),
        "call": list(numbers_to_call(status.emergency_number)) if actions[0]["action"] == FIRE_ACTION else [],
        "phase": cast(Phase, found.facts["phase"]),
        "tonight": tonight_shown(picture, system, rest),
        "actions": actions,
        "avoid": warnings(found, actions, system),
        "likely_causes": likely_causes(found, moves, system),
        "heat_balance": balance_shown(picture.accounts, system),
        "energy": energy_shown(
            picture,
            system,
            planned=draws_by_plan(picture, moves),
            rest=rest,
            raised="raise_draw" in moves,
        ),
        "draw_plan": plan_shown(plan, picture, system),
        "outlook": advice_outlook_shown(ahead, picture, system),
        "assumed": [
            assumed_shown(each.pointer, measured(each.estimate, each.quantity, system), each.why)
            for each in picture.derived.assumed
        ],
        "read_as": read_as_shown(status.read_as),
        "ask_next": ask_next(picture, ranked[0].action.id, weighed=asked.weighed and asked.effects == "full"),
        "look_again": look,
    }


def _look_again(first: Advised, as_of: datetime, hottest_c: float, goal_days: float) -> LookAgain:
    """When to look again by what comes first; within a day where a dry heap would be watched for fire.

    Whatever is drawn, changed or as it is, is looked at while a day is left to change it again.
    """
    latest = LATEST_LOOK_DAYS if hottest_c < FIRE_WATCH_DRY.value else 1.0
    if first.action.id in CHANGES_OF_THE_DRAW | GOES_ON:
        latest = min(latest, max(goal_days - 1.0, 1.0))
    days = min(max(first.action.look_again_days, SOONEST_LOOK_DAYS), latest)
    return {"at": (as_of + timedelta(days=days)).isoformat(), "watch_for": said(f"action.{first.action.id}.watch_for")}


def _identity(status: Status, asked: AnswerForm) -> str:
    """Sixteen hexadecimal digits that follow from the status, the knowledge and what was asked."""
    parts = (status.model_dump_json(), asked.effects, asked.system, asked.language, knowledge_version())
    return hashlib.sha256("|".join(parts).encode()).hexdigest()[:16]
