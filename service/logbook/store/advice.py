"""Advice as it was given: kept with all it rested on, found again, and superseded."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from service.answer.shapes.advice import Advice
from service.heat.learning.shape import LearnedShown
from service.logbook.shapes.known_value import KnownValue
from service.logbook.store.damage import Damaged, sound_answer
from service.logbook.store.file_entry import file_entry
from service.logbook.store.models import AdviceRow, AdvisedActionRow, AdvisedRuleRow, PileRow
from service.problems.json_text import JsonObject
from service.problems.problem import Problem


@dataclass(frozen=True, slots=True)
class Given:
    """An answer and what it was made from. `status` can be read again to give the same answer."""

    answer: Advice
    answer_bytes: bytes
    status: JsonObject
    known: list[KnownValue]
    changes: int
    keeps_until: datetime
    effects: str
    service: str


def keep(session: Session, pile: PileRow, given: Given, now: datetime, *, is_current: bool) -> AdviceRow:
    """Keep an answer; where the same one was kept before, that one.

    It supersedes what was given before, if it is about now and no entry came in while it was made.
    """
    answer = given.answer
    same = find(session, pile, answer["id"])
    if same is not None:
        _mend(session, same, given, now, is_current=is_current)
        return same
    row = AdviceRow(
        pile_id=pile.id,
        superseded_at=None if is_current and given.changes == pile.changes else now,
        **_columns(given, now),
    )
    if is_current:
        older = update(AdviceRow).where(AdviceRow.pile_id == pile.id)
        session.execute(older.where(AdviceRow.superseded_at.is_(None)).values(superseded_at=now))
        session.execute(older.where(AdviceRow.superseded_by.is_(None)).values(superseded_by=row.answer_id))
    session.add(row)
    session.flush()
    session.add_all(actions_of(row.id, answer))
    session.flush()
    return row


def _columns(given: Given, now: datetime) -> JsonObject:
    """What the table keeps of an answer."""
    answer = given.answer
    return {
        "answer_id": answer["id"],
        "given_at": now,
        "as_of": datetime.fromisoformat(answer["as_of"]),
        "valid_until": datetime.fromisoformat(answer["valid_until"]),
        "keeps_until": given.keeps_until,
        "changes": given.changes,
        "effects": given.effects,
        "units": answer["units"],
        "knowledge": answer["knowledge_version"],
        "service": given.service,
        "status": json.dumps(given.status),
        "known": json.dumps(given.known),
        "answer": zlib.compress(given.answer_bytes),
    }


def _mend(session: Session, row: AdviceRow, given: Given, now: datetime, *, is_current: bool) -> None:
    """Write an advice anew that was damaged: it has just been made again."""
    try:
        file_entry(session, row)
    except Damaged:
        for name, value in _columns(given, now).items():
            setattr(row, name, value)
        row.superseded_at, row.superseded_by = None if is_current else now, None


def actions_of(advice_id: str, answer: Mapping[str, Any]) -> list[AdvisedActionRow | AdvisedRuleRow]:
    """The actions of an answer, each with the rules that asked for it."""
    rows: list[AdvisedActionRow | AdvisedRuleRow] = []
    for action in answer["actions"]:
        effect = action["effect"] or {}
        rows.append(
            AdvisedActionRow(
                advice_id=advice_id,
                action=action["action"],
                rank=action["rank"],
                chance_of_gain=effect.get("chance_of_gain"),
            )
        )
        rules = dict.fromkeys(reason["rule"] for reason in action["reasons"])
        rows += [AdvisedRuleRow(advice_id=advice_id, action=action["action"], rule=rule) for rule in rules]
    return rows


def find(session: Session, pile: PileRow, answer_id: str) -> AdviceRow | None:
    """The advice of this id, if there is one."""
    wanted = select(AdviceRow).where(AdviceRow.pile_id == pile.id, AdviceRow.answer_id == answer_id)
    return session.scalars(wanted).one_or_none()


def advice_of(session: Session, pile: PileRow, answer_id: str) -> AdviceRow:
    """The advice of this id. Raises Problem `not-found`."""
    row = find(session, pile, answer_id)
    if row is None:
        raise Problem("not-found", "There is no advice of this id in this pile's log.")
    return row


def still_good(session: Session, pile: PileRow, effects: str, knowledge: str, now: datetime) -> AdviceRow | None:
    """The newest advice, if it would be given just the same again: nothing new, nothing lapsed, same knowledge."""
    wanted = select(AdviceRow).where(
        AdviceRow.pile_id == pile.id,
        AdviceRow.superseded_at.is_(None),
        AdviceRow.effects == effects,
        AdviceRow.units == pile.units,
        AdviceRow.knowledge == knowledge,
        AdviceRow.changes == pile.changes,
        AdviceRow.keeps_until > now,
    )
    return session.scalars(wanted.order_by(AdviceRow.given_at.desc(), AdviceRow.id.desc()).limit(1)).one_or_none()


def learned_before(session: Session, pile: PileRow, moment: datetime) -> LearnedShown | None:
    """What the newest advice up to a moment learned of the heap from its log, if anything."""
    wanted = select(AdviceRow).where(
        AdviceRow.pile_id == pile.id, AdviceRow.as_of <= moment, AdviceRow.effects == "full"
    )
    row = session.scalars(wanted.order_by(AdviceRow.as_of.desc(), AdviceRow.id.desc()).limit(1)).one_or_none()
    try:
        learned: LearnedShown | None = None if row is None else sound_answer(row)[1].get("learned")
    except Damaged:
        return None
    return learned
