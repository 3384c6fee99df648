"""What became of advice, and what it adds up to for each rule."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, get_args

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from service.logbook.entries import WorkEntry
from service.logbook.shapes.pages import CountsPage
from service.logbook.shapes.season_page import SeasonRule
from service.logbook.shapes.words import FeedbackVerdict, Outcome
from service.logbook.store.advice import advice_of
from service.logbook.store.models import (
    AdviceRow,
    AdvisedActionRow,
    AdvisedRuleRow,
    FeedbackRow,
    PileRow,
    at_offset,
    offset_of,
)
from service.logbook.store.readings import replace_work_of
from service.problems.problem import Problem
from service.why.counts import ChanceBand, Counts

OUTCOMES: Final = get_args(Outcome)
BANDS: Final = ((0.0, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.0))
"""Bands of the promised chance of gain."""


@dataclass(frozen=True, slots=True)
class ActionFeedback:
    """What somebody says about one action of an advice."""

    advice: str
    action: str
    verdict: FeedbackVerdict
    at: datetime
    reason: str | None = None
    comment: str | None = None
    amount: str | None = None
    outcome: Outcome | None = None
    outcome_at: datetime | None = None


def give(session: Session, pile: PileRow, word: ActionFeedback, now: datetime) -> FeedbackRow:
    """Keep what is said; the last word on an action counts, and saying it twice changes nothing.

    What was done enters the work of the pile; saying otherwise later takes it out again.
    """
    advice = advice_of(session, pile, word.advice)
    if session.get(AdvisedActionRow, (advice.id, word.action)) is None:
        detail = "this advice does not hold that action."
        raise Problem("invalid-request", f"/action: {detail}", [{"pointer": "/action", "detail": detail}])
    row = _said(session, advice, word.action)
    if row is None:
        row = FeedbackRow(pile_id=pile.id, advice_id=advice.id, action=word.action)
        session.add(row)
    row.verdict, row.at, row.offset_min = word.verdict, word.at, offset_of(word.at)
    row.reason, row.comment = word.reason, word.comment
    row.outcome, row.outcome_at = word.outcome, word.outcome_at
    session.flush()
    done = WorkEntry(word.at, word.action, word.amount) if word.verdict == "done" else None
    replace_work_of(session, pile, row.id, done, now)
    return row


def said_at(session: Session, pile: PileRow, answer_id: str, action: str) -> datetime | None:
    """The moment that was given when this action was spoken of before."""
    advice = advice_of(session, pile, answer_id)
    row = _said(session, advice, action)
    return None if row is None else at_offset(row.at, row.offset_min)


def _said(session: Session, advice: AdviceRow, action: str) -> FeedbackRow | None:
    wanted = select(FeedbackRow).where(FeedbackRow.advice_id == advice.id, FeedbackRow.action == action)
    return session.scalars(wanted).one_or_none()


def counts_of_rule(session: Session, rule: str, account_id: str | None = None) -> Counts:
    """How often a rule's advice was given, and what became of it; of one account's piles, or of all."""
    given = _given(account_id).where(AdvisedRuleRow.rule == rule)
    rows = session.execute(given).all()
    verdicts = Counter(row.verdict or "no_word" for row in rows)
    return {
        "given": len(rows),
        "done": verdicts["done"],
        "rejected": verdicts["rejected"],
        "ignored": verdicts["ignored"],
        "no_word": verdicts["no_word"],
        "rejected_because": dict(
            sorted(Counter(r.reason for r in rows if r.verdict == "rejected" and r.reason).items())
        ),
        "outcome": {outcome: sum(row.outcome == outcome for row in rows) for outcome in OUTCOMES},
        "calibration": _calibration([(row.chance_of_gain, row.outcome) for row in rows if row.verdict == "done"]),
    }


def rules_with_words(session: Session, account_id: str | None = None) -> list[str]:
    """Every rule whose advice was given at least once."""
    given = select(AdvisedRuleRow.rule).join(AdviceRow, AdviceRow.id == AdvisedRuleRow.advice_id).distinct()
    return sorted(session.scalars(_of_account(given, account_id)))


def _given(account_id: str | None) -> Select[*tuple[Any, ...]]:
    """One row for each time an action was advised by a rule: its promise, and what became of it."""
    found = (
        select(AdvisedActionRow.chance_of_gain, FeedbackRow.verdict, FeedbackRow.reason, FeedbackRow.outcome)
        .select_from(AdvisedRuleRow)
        .join(AdviceRow, AdviceRow.id == AdvisedRuleRow.advice_id)
        .join(
            AdvisedActionRow,
            (AdvisedActionRow.advice_id == AdvisedRuleRow.advice_id)
            & (AdvisedActionRow.action == AdvisedRuleRow.action),
        )
        .outerjoin(
            FeedbackRow,
            (FeedbackRow.advice_id == AdvisedRuleRow.advice_id) & (FeedbackRow.action == AdvisedRuleRow.action),
        )
    )
    return _of_account(found, account_id)


def _of_account(found: Select[*tuple[Any, ...]], account_id: str | None) -> Select[*tuple[Any, ...]]:
    if account_id is None:
        return found
    return found.join(PileRow, PileRow.id == AdviceRow.pile_id).where(PileRow.account_id == account_id)


def _calibration(done: list[tuple[float | None, str | None]]) -> list[ChanceBand]:
    """For each band of the promised chance of gain: how many told what came of it, and how many said better."""
    told = [(chance, outcome) for chance, outcome in done if chance is not None and outcome is not None]
    bands: list[ChanceBand] = []
    for low, high in BANDS:
        within = [outcome for chance, outcome in told if low <= chance < high or chance == high == 1.0]
        if within:
            bands.append({"promised": [low, high], "told": len(within), "better": within.count("better")})
    return bands


def calibration(session: Session, account_id: str | None = None) -> list[ChanceBand]:
    """The same over all advice; each action once, however many rules asked for it."""
    found = (
        select(AdvisedActionRow.chance_of_gain, FeedbackRow.outcome)
        .select_from(FeedbackRow)
        .join(AdviceRow, AdviceRow.id == FeedbackRow.advice_id)
        .join(
            AdvisedActionRow,
            (AdvisedActionRow.advice_id == AdviceRow.id) & (AdvisedActionRow.action == FeedbackRow.action),
        )
        .where(FeedbackRow.verdict == "done")
    )
    return _calibration([(row.chance_of_gain, row.outcome) for row in session.execute(_of_account(found, account_id))])


def pile_counts(session: Session, pile_id: str, begin: datetime | None, end: datetime) -> list[SeasonRule]:
    """For each rule whose advice somebody spoke of: how often it was given, done, and what came of it; of one pile."""
    within = [
        AdviceRow.pile_id == pile_id,
        AdviceRow.as_of <= end,
        *([] if begin is None else [AdviceRow.as_of >= begin]),
    ]
    found = (
        select(AdvisedRuleRow.rule, FeedbackRow.verdict, FeedbackRow.outcome)
        .join(AdviceRow, AdviceRow.id == AdvisedRuleRow.advice_id)
        .join(
            FeedbackRow,
            (FeedbackRow.advice_id == AdvisedRuleRow.advice_id) & (FeedbackRow.action == AdvisedRuleRow.action),
        )
        .where(*within)
    )
    rows = session.execute(found).all()
    return [
        {
            "rule": rule,
            "done": sum(row.verdict == "done" for row in rows if row.rule == rule),
            "rejected": sum(row.verdict == "rejected" for row in rows if row.rule == rule),
            "better": sum(row.outcome == "better" for row in rows if row.rule == rule),
            "same": sum(row.outcome == "same" for row in rows if row.rule == rule),
            "worse": sum(row.outcome == "worse" for row in rows if row.rule == rule),
        }
        for rule in sorted({row.rule for row in rows})
    ]


def counts_page(session: Session, account_id: str) -> CountsPage:
    """Feedback by rule, over the piles of one account."""
    return {
        "words": _words_given(session, account_id),
        "rules": {rule: counts_of_rule(session, rule, account_id) for rule in rules_with_words(session, account_id)},
        "calibration": calibration(session, account_id),
    }


def _words_given(session: Session, account_id: str) -> int:
    """How many actions somebody has said something about."""
    found = select(func.count()).select_from(FeedbackRow).join(AdviceRow, AdviceRow.id == FeedbackRow.advice_id)
    return session.scalar(_of_account(found, account_id)) or 0
