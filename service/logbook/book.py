"""Advice from a pile's log: given, kept, and given again. Joins the store with the flow from status to answer."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from importlib.metadata import version
from typing import Literal

from pydantic_core import to_json
from sqlalchemy.orm import Session

from rules.version import knowledge_version
from service.answer.advice import advise
from service.answer.shapes.advice import Advice
from service.answer.shapes.part import WhatIfs
from service.heat.learning.memory import LEAST_DAYS
from service.logbook.difference import difference
from service.logbook.merge import Merged, merge
from service.logbook.shapes.known_value import KnownValue
from service.logbook.shapes.pages import AdviceRecord, PileAdvice, ReplayPage
from service.logbook.store import advice as kept
from service.logbook.store.damage import ADVISED, Damaged
from service.logbook.store.engine import Store
from service.logbook.store.file_entry import file_entry
from service.logbook.store.models import AdviceRow
from service.logbook.store.piles import local, pile_of
from service.logbook.store.readings import to_merge
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.status.reading import read_status
from service.work.places import ADVICE, done

ReplayVerdict = Literal["same", "differs", "not-rerun"]


@dataclass(frozen=True, slots=True)
class Replay:
    """An answer as it was given, and whether making it again gives the same bytes.

    `not-rerun`: it was given under other knowledge than the service now holds, so it cannot be made again.
    """

    answer: bytes
    verdict: ReplayVerdict


def now_utc() -> datetime:
    """This moment."""
    return datetime.now(UTC)


def merged_status(
    store: Store, account_id: str, pile_id: str, as_of: datetime | None, *, naming_all: bool = False
) -> tuple[Merged, datetime, int]:
    """The pile's log as one status, the moment it is of, and the count of changes it rests on.

    With `naming_all` every damaged reading is named, also where so many lie there that most count for nothing.
    """
    now = now_utc()
    with store.reading() as session:
        pile = pile_of(session, account_id, pile_id)
        moment = (as_of or local(pile, now)).replace(microsecond=0)
        past = to_merge(session, pile, moment, naming_all=naming_all)
        units, changes = pile.system, pile.changes
        learned = kept.learned_before(session, pile, moment - timedelta(days=LEAST_DAYS))
    merged = merge(past.readings, past.work, units, moment, learned)
    return replace(merged, damaged=past.damaged), moment, changes


@dataclass(frozen=True, slots=True)
class KeptAdvice:
    """An answer, the status and the known values it rests on, and whether it is kept in the pile's log."""

    answer: Advice
    status: JsonObject
    known: list[KnownValue]
    is_kept: bool = True


def advice_for(store: Store, account_id: str, pile_id: str, effects: WhatIfs, as_of: datetime | None) -> PileAdvice:
    """An answer with the pile it is for, the age of everything it rests on, and whether it was kept."""
    advised = advised_on(store, account_id, pile_id, effects, as_of)
    return {**advised.answer, "pile": pile_id, "known": advised.known, "kept": advised.is_kept}


def advised_on(store: Store, account_id: str, pile_id: str, effects: WhatIfs, as_of: datetime | None) -> KeptAdvice:
    """Advice from what is known of a pile as of a moment (default now), kept in its log where that can be written.

    While nothing new is known and nothing has turned stale, the answer given before is given again.
    """
    if as_of is None:
        before = _still_good(store, account_id, pile_id, effects)
        if before is not None:
            return before
    merged, moment, changes = merged_status(store, account_id, pile_id, as_of)
    answer = done(advise, merged.status, effects, weight=ADVICE[effects])
    valid_until = datetime.fromisoformat(answer["valid_until"])
    given = kept.Given(
        answer=answer,
        answer_bytes=to_json(answer),
        status=merged.written,
        known=[value.as_dict(moment) for value in merged.known],
        changes=changes,
        keeps_until=min(merged.keeps_until, valid_until),
        effects=effects,
        service=version("warmheap"),
    )
    try:
        return _kept(store, account_id, pile_id, given, is_current=as_of is None)
    except Problem as problem:
        if not problem.slug.startswith("storage-"):
            raise
        return KeptAdvice(answer, given.status, given.known, is_kept=False)


def _kept(store: Store, account_id: str, pile_id: str, given: kept.Given, *, is_current: bool) -> KeptAdvice:
    with store.writing() as session:
        pile = pile_of(session, account_id, pile_id, to_change=True)
        kept.keep(session, pile, given, now_utc(), is_current=is_current)
        return KeptAdvice(given.answer, given.status, given.known)


def _still_good(store: Store, account_id: str, pile_id: str, effects: WhatIfs) -> KeptAdvice | None:
    with store.reading() as session:
        pile = pile_of(session, account_id, pile_id)
        row = kept.still_good(session, pile, effects, knowledge_version(), now_utc())
        try:
            told = None if row is None else file_entry(session, row)
        except Damaged:
            return None
        return None if told is None else KeptAdvice(json.loads(told["answer"]), told["status"], told["known"])


def record_advice(store: Store, account_id: str, pile_id: str, answer_id: str) -> AdviceRecord:
    """One advice with all it was given under."""
    with store.reading() as session:
        pile = pile_of(session, account_id, pile_id)
        row = kept.advice_of(session, pile, answer_id)
        told = _told(session, row)
        given = told["answer"].encode()
        return {
            "pile": pile_id,
            "id": row.answer_id,
            "given_at": local(pile, row.given_at).isoformat(),
            "valid_until": local(pile, row.valid_until).isoformat(),
            "superseded_at": None if row.superseded_at is None else local(pile, row.superseded_at).isoformat(),
            "superseded_by": row.superseded_by,
            "effects": row.effects,
            "knowledge_version": row.knowledge,
            "service_version": row.service,
            "sha256": hashlib.sha256(given).hexdigest(),
            "status": told["status"],
            "known": told["known"],
            "answer": json.loads(given),
        }


def replay(store: Store, account_id: str, pile_id: str, answer_id: str) -> Replay:
    """An answer as it was given, made again where the knowledge is still the same."""
    told = _kept_before(store, account_id, pile_id, answer_id)
    then = told["answer"].encode()
    if told["knowledge"] != knowledge_version():
        return Replay(then, "not-rerun")
    return Replay(then, "same" if to_json(_again(told)) == then else "differs")


def replay_now(store: Store, account_id: str, pile_id: str, answer_id: str) -> ReplayPage:
    """What the service would say today of the same status, beside what it said then."""
    told = _kept_before(store, account_id, pile_id, answer_id)
    then, now = told["answer"].encode(), _again(told)
    return {
        "pile": pile_id,
        "id": told["answer_id"],
        "knowledge": {"then": told["knowledge"], "now": knowledge_version()},
        "service": {"then": told["service"], "now": version("warmheap")},
        "same_bytes": to_json(now) == then,
        "difference": difference(json.loads(then), json.loads(to_json(now))),
        "now": dict(now),
    }


def _kept_before(store: Store, account_id: str, pile_id: str, answer_id: str) -> JsonObject:
    with store.reading() as session:
        return _told(session, kept.advice_of(session, pile_of(session, account_id, pile_id), answer_id))


def _told(session: Session, row: AdviceRow) -> JsonObject:
    """An advice with all it was given under. Raises Problem `entry-damaged`."""
    try:
        return file_entry(session, row)
    except Damaged:
        raise Problem("entry-damaged", ADVISED) from None


def _again(told: JsonObject) -> Advice:
    effects: WhatIfs = "full" if told["effects"] == "full" else "none"
    try:
        status = read_status(told["status"])
    except Problem:
        raise Problem("entry-damaged", ADVISED) from None
    answer: Advice = done(advise, status, effects, weight=ADVICE[effects])
    return answer
