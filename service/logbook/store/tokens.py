"""Tokens: keys to an account, of which only a hash is kept.

A token is `wh_<id>_<secret>`; the secret has 256 random bits. A plain SHA-256 of it is enough: slow hashes and salts
guard secrets that people choose and that can be guessed, and 2^256 cannot be tried.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Final, Literal, get_args

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from service.logbook.store.models import AccountRow, TokenRow
from service.logbook.store.piles import account_named
from service.problems.problem import Problem

Scope = Literal["owner", "reader"]
SCOPES: Final[tuple[Scope, ...]] = get_args(Scope)
_WRITTEN: Final = re.compile(r"wh_([0-9a-f]{8})_([A-Za-z0-9_-]{43})")
_NO_DIGEST: Final = bytes(32)


@dataclass(frozen=True, slots=True)
class TokenShown:
    """A token as it is listed: everything but its secret."""

    id: str
    name: str
    account: str
    scope: str
    made_at: datetime
    revoked_at: datetime | None


def make(session: Session, account: str, name: str, scope: Scope, now: datetime) -> str:
    """A new token; this is the only time it can be read."""
    owner = account_named(session, account, now)
    token_id, secret = secrets.token_hex(4), secrets.token_urlsafe(32)
    session.add(TokenRow(id=token_id, account_id=owner.id, name=name, scope=scope, digest=_digest(secret), made_at=now))
    session.flush()
    return f"wh_{token_id}_{secret}"


def account_and_scope(session: Session, written: str) -> tuple[str, str, str] | None:
    """(account id, scope, token id) of a good token, else None; a wrong secret takes as long as a right one."""
    match = _WRITTEN.fullmatch(written)
    token_id, secret = match.groups() if match else ("", "")
    row = session.get(TokenRow, token_id)
    same = hmac.compare_digest(_digest(secret), row.digest if row is not None else _NO_DIGEST)
    if row is None or not same or row.revoked_at is not None:
        return None
    return row.account_id, row.scope, row.id


def revoke(session: Session, token_id: str, now: datetime) -> None:
    """Make a token useless from now on. Raises Problem `not-found`."""
    row = session.get(TokenRow, token_id)
    if row is None:
        raise Problem("not-found", "There is no token of this id; `warmheap tokens list` shows them.")
    row.revoked_at = row.revoked_at or now


def all_tokens(session: Session) -> list[TokenShown]:
    """Every token, oldest first."""
    rows = session.execute(select(TokenRow, AccountRow.name).join(AccountRow).order_by(TokenRow.made_at, TokenRow.id))
    return [TokenShown(t.id, t.name, account, t.scope, t.made_at, t.revoked_at) for t, account in rows]


def any_good(session: Session) -> bool:
    """Whether there is a token that has not been revoked."""
    return bool(session.scalar(select(func.count()).select_from(TokenRow).where(TokenRow.revoked_at.is_(None))))


def _digest(secret: str) -> bytes:
    return hashlib.sha256(secret.encode()).digest()
