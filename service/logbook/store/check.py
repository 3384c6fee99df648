"""Whether the log book is whole: its file, its references, and every entry in it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any, Final, TypedDict

from sqlalchemy import func, select, text
from sqlalchemy.orm import Session

from rules.catalogue import said
from service.logbook.merge import is_lasting
from service.logbook.shapes.entry import Entry
from service.logbook.store.advice import actions_of
from service.logbook.store.damage import Damaged
from service.logbook.store.engine import Store, version_in
from service.logbook.store.file_entry import file_entry, pile_fault
from service.logbook.store.models import (
    NEVER,
    AccountRow,
    AdviceRow,
    AdvisedActionRow,
    AdvisedRuleRow,
    FeedbackRow,
    PileRow,
    ReadingRow,
    RepeatRow,
    TokenRow,
    WorkRow,
)
from service.logbook.store.repeats import is_sound_repeat
from service.logbook.store.schema_version import HEAD
from service.logbook.store.tables import foreign_parts, other_kinds
from service.logbook.store.tokens import SCOPES
from service.logbook.store.webhook_models import Webhook, WebhookMessage
from service.logbook.store.webhooks import MOST_ATTEMPTS
from service.problems.problem import Problem, cut
from service.status.reading import read_model

COUNTED = {
    "accounts": AccountRow,
    "tokens": TokenRow,
    "piles": PileRow,
    "readings": ReadingRow,
    "work": WorkRow,
    "advice": AdviceRow,
}
LONGEST_NAME: Final = 60
LONGEST_URL: Final = 500
DIGEST_BYTES: Final = 32
_AT_ONCE: Final = 100
_NAMED_BY: Final = {"answer": "made_at"}


def is_a_name(written: str, longest: int) -> bool:
    """Whether a text may stand where the log book keeps names."""
    return 0 < len(written) <= longest and written.isprintable() and "\N{REPLACEMENT CHARACTER}" not in written


class CheckedStore(TypedDict):
    """Where the log book lies, how much it holds, and every fault."""

    where: str
    counts: dict[str, int | None]
    faults: list[str]


def check(store: Store) -> CheckedStore:
    """Counts, and every fault found; an empty list of faults means that all is well."""
    with store.reading() as session:
        faults = [*_file_faults(store, session), *_row_faults(session)]
        tables = {**COUNTED, "feedback": FeedbackRow}
        counts = {name: session.scalar(select(func.count()).select_from(table)) for name, table in tables.items()}
    return {"where": str(store.file or store.engine.url.render_as_string()), "counts": counts, "faults": faults}


def _file_faults(store: Store, session: Session) -> Iterator[str]:
    version = version_in(session.connection())
    if version != HEAD:
        yield said("check.version", found=cut(str(version)), wanted=str(HEAD))
    yield from foreign_parts(session)
    yield from other_kinds(session)
    if not store.is_sqlite:
        return
    for (line,) in session.execute(text("PRAGMA integrity_check")):
        if line != "ok":
            yield said("check.integrity", line=str(line))
    for row in session.execute(text("PRAGMA foreign_key_check")):
        yield said("check.orphan", table=str(row[0]), other=str(row[2]))


def _row_faults(session: Session) -> Iterator[str]:
    """Every row that is not as it came in, or could not come in by a request, by its id."""
    looks: tuple[tuple[str, type[Any], Callable[[Session, Any], object]], ...] = (
        ("account", AccountRow, _account),
        ("token", TokenRow, _token),
        ("pile", PileRow, _pile),
        ("reading", ReadingRow, _reading),
        ("work", WorkRow, file_entry),
        ("advice", AdviceRow, _advice),
        ("feedback", FeedbackRow, file_entry),
        ("webhook", Webhook, _webhook),
        ("message", WebhookMessage, _message),
        ("answer", RepeatRow, _repeat),
    )
    for name, table, look in looks:
        for row in session.scalars(select(table).execution_options(yield_per=_AT_ONCE)):
            why = _fault(look, session, row)
            if why is not None:
                yield said(
                    "check.row",
                    kind=said("check.kind.answer") if name == "answer" else name,
                    id=cut(str(getattr(row, _NAMED_BY.get(name, "id")))),
                    why=why,
                )


def _fault(look: Callable[[Session, Any], object], session: Session, row: object) -> str | None:
    try:
        look(session, row)
    except (Damaged, Problem) as fault:
        return str(fault)
    except (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        return said("check.unreadable")
    return None


def _account(session: Session, row: AccountRow) -> None:
    _expect(is_a_name(row.name, LONGEST_NAME), said("check.no-name"))
    _expect_moments(row.made_at)


def _token(session: Session, row: TokenRow) -> None:
    _expect(row.scope in SCOPES, said("check.no-scope"))
    _expect(len(row.digest) == DIGEST_BYTES, said("check.secret-not-compared"))
    _expect(is_a_name(row.name, LONGEST_NAME), said("check.no-name"))
    _expect_moments(row.made_at, row.revoked_at)


def _pile(session: Session, row: PileRow) -> None:
    fault = pile_fault(row)
    _expect(fault is None, fault or "")


def _reading(session: Session, row: ReadingRow) -> None:
    part = file_entry(session, row)["part"]
    read_model(part, Entry, "A reading")
    _expect(row.lasting or not is_lasting(part), said("check.forgotten"))


def _advice(session: Session, row: AdviceRow) -> None:
    told = file_entry(session, row)
    kept: list[Any] = []
    for table in (AdvisedActionRow, AdvisedRuleRow):
        kept += session.scalars(select(table).where(table.advice_id == row.id))
    same = sorted(map(_advised, kept)) == sorted(map(_advised, actions_of(row.id, json.loads(told["answer"]))))
    _expect(same, said("check.other-actions"))


def _advised(row: AdvisedActionRow | AdvisedRuleRow) -> tuple[str, ...]:
    if isinstance(row, AdvisedRuleRow):
        return (row.action, row.rule)
    return (row.action, "", str(row.rank), str(row.chance_of_gain))


def _webhook(session: Session, row: Webhook) -> None:
    _expect(row.url.startswith(("https://", "http://")) and len(row.url) <= LONGEST_URL, said("check.no-address"))
    _expect(row.url.isprintable() and row.events.isprintable(), said("check.address-or-events"))
    _expect(row.secret.isascii() and row.secret.isprintable(), said("check.secret-unreadable"))
    _expect(all(re.fullmatch(r"[a-z.]{1,30}", event) for event in row.events.split()), said("check.no-events"))
    _expect(isinstance(json.loads(row.told or "{}"), dict), said("check.told-unreadable"))
    _expect_moments(row.made_at, row.disabled_at)


def _message(session: Session, row: WebhookMessage) -> None:
    _expect(isinstance(json.loads(row.body), dict), said("check.unreadable"))
    _expect(0 <= row.attempts < MOST_ATTEMPTS, said("check.how-often"))
    _expect(row.status is None or row.status in range(100, 600), said("check.no-status"))
    _expect_moments(row.made_at, row.next_at, row.tried_at, row.taken_at, row.failed_at)


def _repeat(session: Session, row: RepeatRow) -> None:
    _expect(is_sound_repeat(row), said("check.answer-not-again"))
    _expect(len(row.fingerprint) == DIGEST_BYTES, said("check.not-compared"))
    _expect_moments(row.made_at)


def _expect(holds: bool, why: str) -> None:
    if not holds:
        raise Damaged(why)


def _expect_moments(*moments: datetime | None) -> None:
    _expect(NEVER not in moments, said("check.no-moment"))
