"""The tables of the log book, the same for SQLite and PostgreSQL.

Ids are texts that sort by the time they were made. Moments are kept as microseconds since 1970 in UTC, beside the
offset they came with, so that the local day is not lost. Entries are kept as the JSON they were given as.
"""

from __future__ import annotations

import secrets
import time
from datetime import UTC, datetime, timedelta, timezone
from typing import Any, ClassVar, Final

from sqlalchemy import BigInteger, Dialect, ForeignKey, Index, MetaData, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import TypeDecorator

from service.answer.shapes.part import WhatIfs
from service.logbook.shapes.words import FeedbackVerdict, Outcome
from service.logbook.store.columns import Big, Octets, Phrase, Share, Small, Writing
from service.status.moments import YEARS
from service.units.quantities import System

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
NEVER: Final = datetime(9000, 1, 1, tzinfo=UTC)
"""Stands for a moment that cannot be read, or is none that an entry may have."""
_MICROSECOND: Final = timedelta(microseconds=1)
ID_LENGTH: Final = 24


_last_made = 0


def new_id() -> str:
    """Twenty-four hexadecimal digits: the time in microseconds, then forty random bits; later ids sort later."""
    global _last_made  # noqa: PLW0603 (two ids of one microsecond must still sort as they were made)
    _last_made = max(time.time_ns() // 1000, _last_made + 1)
    return f"{_last_made:014x}{secrets.token_hex(5)}"


def new_pile_id() -> str:
    """Sixteen random hexadecimal digits, which nobody can guess."""
    return secrets.token_hex(8)


class Instant(TypeDecorator[datetime]):
    """A moment as microseconds since 1970 in UTC."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> int | None:
        """Moment to number."""
        return None if value is None else microseconds(value)

    def process_result_value(self, value: int | None, dialect: Dialect) -> datetime | None:
        """Number to moment, in UTC; what a damaged row holds in its place is `NEVER`, which no entry has."""
        return None if value is None else moment_in_utc(value)


def microseconds(at: datetime) -> int:
    """A moment as the tables keep it."""
    return (at - _EPOCH) // _MICROSECOND


def moment_in_utc(number: Any) -> datetime:
    """The moment again, in UTC; `NEVER` where it is none."""
    try:
        at: datetime = _EPOCH + number * _MICROSECOND
    except (TypeError, ValueError, OverflowError):
        return NEVER
    return at if at.year in YEARS else NEVER


def at_offset(at: datetime, minutes: int) -> datetime:
    """The same moment on a clock that is `minutes` ahead of UTC."""
    return at.astimezone(timezone(timedelta(minutes=minutes)) if minutes else UTC)


def offset_of(at: datetime) -> int:
    """How many minutes the clock of `at` is ahead of UTC."""
    offset = at.utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)


class Base(DeclarativeBase):
    """The base of all tables; constraints have names, so that migrations can find them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map: ClassVar[dict[Any, Any]] = {datetime: Instant, bytes: Octets, float: Share}


def _of_pile() -> Mapped[str]:
    return mapped_column(Phrase(16), ForeignKey("piles.id", ondelete="CASCADE"))


class AccountRow(Base):
    """Whoever piles belong to: a name with any number of tokens."""

    __tablename__ = "accounts"

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(Phrase(60), unique=True)
    made_at: Mapped[datetime]


class TokenRow(Base):
    """A key to an account. Only the hash of its secret is kept."""

    __tablename__ = "tokens"

    id: Mapped[str] = mapped_column(Phrase(8), primary_key=True)
    account_id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), ForeignKey("accounts.id", ondelete="CASCADE"))
    name: Mapped[str] = mapped_column(Phrase(60))
    scope: Mapped[str] = mapped_column(Phrase(8))
    digest: Mapped[bytes]
    made_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]


class PileRow(Base):
    """One heap: whose it is, what it is called, and the units and time zone its answers are given in."""

    __tablename__ = "piles"
    __table_args__ = (Index("ix_piles_account_id", "account_id"),)

    id: Mapped[str] = mapped_column(Phrase(16), primary_key=True, default=new_pile_id)
    account_id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), ForeignKey("accounts.id", ondelete="CASCADE"))
    name: Mapped[str] = mapped_column(Phrase(60))
    units: Mapped[System] = mapped_column(Phrase(6))
    zone: Mapped[str] = mapped_column(Phrase(60))
    made_at: Mapped[datetime]
    changes: Mapped[int] = mapped_column(Big)
    """How often its readings or work have changed: advice that rests on an older count is superseded."""

    @property
    def system(self) -> System:
        """The units its answers are given in; metric where the row is damaged."""
        return "us" if self.units == "us" else "metric"


class ReadingRow(Base):
    """A part of a status as it was at one moment.

    `digest` tells twins. `lasting` says that something in it counts for longer than the history
    (`service.status.lifetimes`).
    """

    __tablename__ = "readings"
    __table_args__ = (UniqueConstraint("pile_id", "digest"), Index("ix_readings_pile_id_at", "pile_id", "at"))

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    pile_id: Mapped[str] = _of_pile()
    at: Mapped[datetime]
    offset_min: Mapped[int] = mapped_column(Small)
    received_at: Mapped[datetime]
    source: Mapped[str] = mapped_column(Phrase(8))
    part: Mapped[str] = mapped_column(Writing)
    lasting: Mapped[bool]
    digest: Mapped[bytes]


class AdviceRow(Base):
    """An answer as it was given, with all it rested on. `answer` is the packed bytes.

    Until `keeps_until` the same answer is given again where nothing has changed.
    """

    __tablename__ = "advice"
    __table_args__ = (
        UniqueConstraint("pile_id", "answer_id"),
        Index("ix_advice_pile_id_given_at", "pile_id", "given_at"),
    )

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    pile_id: Mapped[str] = _of_pile()
    answer_id: Mapped[str] = mapped_column(Phrase(16))
    given_at: Mapped[datetime]
    as_of: Mapped[datetime]
    valid_until: Mapped[datetime]
    keeps_until: Mapped[datetime]
    changes: Mapped[int] = mapped_column(Big)
    effects: Mapped[WhatIfs] = mapped_column(Phrase(4))
    units: Mapped[System] = mapped_column(Phrase(6))
    knowledge: Mapped[str] = mapped_column(Phrase(12))
    service: Mapped[str] = mapped_column(Phrase(40))
    status: Mapped[str] = mapped_column(Writing)
    known: Mapped[str] = mapped_column(Writing)
    answer: Mapped[bytes]
    superseded_at: Mapped[datetime | None]
    superseded_by: Mapped[str | None] = mapped_column(Phrase(16))


class AdvisedActionRow(Base):
    """An action of an advice: the rules that asked for it and the chance of gain it promised."""

    __tablename__ = "advised_actions"
    __table_args__ = (Index("ix_advised_actions_action", "action"),)

    advice_id: Mapped[str] = mapped_column(
        Phrase(ID_LENGTH), ForeignKey("advice.id", ondelete="CASCADE"), primary_key=True
    )
    action: Mapped[str] = mapped_column(Phrase(60), primary_key=True)
    rank: Mapped[int] = mapped_column(Small)
    chance_of_gain: Mapped[float | None]


class AdvisedRuleRow(Base):
    """A rule that asked for an action of an advice."""

    __tablename__ = "advised_rules"
    __table_args__ = (Index("ix_advised_rules_rule", "rule"),)

    advice_id: Mapped[str] = mapped_column(
        Phrase(ID_LENGTH), ForeignKey("advice.id", ondelete="CASCADE"), primary_key=True
    )
    action: Mapped[str] = mapped_column(Phrase(60), primary_key=True)
    rule: Mapped[str] = mapped_column(Phrase(80), primary_key=True)


class FeedbackRow(Base):
    """What became of one action of an advice. There is one row for each action; the last word counts."""

    __tablename__ = "feedback"
    __table_args__ = (UniqueConstraint("advice_id", "action"), Index("ix_feedback_pile_id", "pile_id"))

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    pile_id: Mapped[str] = _of_pile()
    advice_id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), ForeignKey("advice.id", ondelete="CASCADE"))
    action: Mapped[str] = mapped_column(Phrase(60))
    verdict: Mapped[FeedbackVerdict] = mapped_column(Phrase(8))
    reason: Mapped[str | None] = mapped_column(Phrase(20))
    comment: Mapped[str | None] = mapped_column(Phrase(200))
    at: Mapped[datetime]
    offset_min: Mapped[int] = mapped_column(Small)
    outcome: Mapped[Outcome | None] = mapped_column(Phrase(8))
    outcome_at: Mapped[datetime | None]


class WorkRow(Base):
    """Something done to the heap, told by itself or as feedback."""

    __tablename__ = "work"
    __table_args__ = (UniqueConstraint("pile_id", "digest"), Index("ix_work_pile_id_at", "pile_id", "at"))

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    pile_id: Mapped[str] = _of_pile()
    at: Mapped[datetime]
    offset_min: Mapped[int] = mapped_column(Small)
    received_at: Mapped[datetime]
    action: Mapped[str] = mapped_column(Phrase(60))
    amount: Mapped[str | None] = mapped_column(Phrase(80))
    feedback_id: Mapped[str | None] = mapped_column(Phrase(ID_LENGTH), ForeignKey("feedback.id", ondelete="CASCADE"))
    digest: Mapped[bytes]


class RepeatRow(Base):
    """The answer to a request that came with an Idempotency-Key, for its twins."""

    __tablename__ = "answered"

    account_id: Mapped[str] = mapped_column(
        Phrase(ID_LENGTH), ForeignKey("accounts.id", ondelete="CASCADE"), primary_key=True
    )
    route: Mapped[str] = mapped_column(Phrase(120), primary_key=True)
    key: Mapped[str] = mapped_column(Phrase(255), primary_key=True)
    pile_id: Mapped[str | None] = mapped_column(Phrase(16), ForeignKey("piles.id", ondelete="CASCADE"))
    fingerprint: Mapped[bytes]
    status: Mapped[int] = mapped_column(Small)
    body: Mapped[str] = mapped_column(Writing)
    made_at: Mapped[datetime]
