"""The first tables."""

import sqlalchemy as sa
from alembic import op

from service.logbook.store.models import Instant

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

ID, PILE_ID = 24, 16


def upgrade() -> None:
    """Make all tables."""
    _accounts()
    _entries()
    _advice()
    _feedback()
    _work_and_answers()


def downgrade() -> None:
    """Drop all tables."""
    for table in (
        "answered", "work", "feedback", "advised_rules", "advised_actions", "advice", "readings", "piles", "tokens",
        "accounts",
    ):  # fmt: skip
        op.drop_table(table)


def _text(name: str, length: int, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.String(length), nullable=nullable)


def _moment(name: str, nullable: bool = False) -> sa.Column[object]:
    return sa.Column(name, Instant(), nullable=nullable)


def _bytes(name: str) -> sa.Column[bytes]:
    return sa.Column(name, sa.LargeBinary(), nullable=False)


def _small(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.SmallInteger(), nullable=False)


def _long_text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _part_of(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    """A row that goes when what it belongs to goes."""
    return sa.ForeignKeyConstraint(
        [column], [f"{other}.id"], name=op.f(f"fk_{table}_{column}_{other}"), ondelete="CASCADE"
    )


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*(columns or ("id",)), name=op.f(f"pk_{table}"))


def _unique(table: str, *columns: str) -> sa.UniqueConstraint:
    return sa.UniqueConstraint(*columns, name=op.f(f"uq_{table}_{'_'.join(columns)}"))


def _index(table: str, *columns: str) -> None:
    op.create_index(f"ix_{table}_{'_'.join(columns)}", table, list(columns))


def _accounts() -> None:
    op.create_table(
        "accounts",
        _text("id", ID),
        _text("name", 60),
        _moment("made_at"),
        _key("accounts"),
        _unique("accounts", "name"),
    )
    op.create_table(
        "tokens",
        _text("id", 8),
        _text("account_id", ID),
        _text("name", 60),
        _text("scope", 8),
        _bytes("digest"),
        _moment("made_at"),
        _moment("revoked_at", nullable=True),
        _part_of("tokens", "account_id", "accounts"),
        _key("tokens"),
    )


def _entries() -> None:
    op.create_table(
        "piles",
        _text("id", PILE_ID),
        _text("account_id", ID),
        _text("name", 60),
        _text("units", 6),
        _text("zone", 60),
        _moment("made_at"),
        sa.Column("changes", sa.BigInteger(), nullable=False),
        _part_of("piles", "account_id", "accounts"),
        _key("piles"),
    )
    _index("piles", "account_id")
    op.create_table(
        "readings",
        _text("id", ID),
        _text("pile_id", PILE_ID),
        _moment("at"),
        _small("offset_min"),
        _moment("received_at"),
        _text("source", 8),
        _long_text("part"),
        sa.Column("lasting", sa.Boolean(), nullable=False),
        _bytes("digest"),
        _part_of("readings", "pile_id", "piles"),
        _key("readings"),
        _unique("readings", "pile_id", "digest"),
    )
    _index("readings", "pile_id", "at")


def _advice() -> None:
    op.create_table(
        "advice",
        _text("id", ID),
        _text("pile_id", PILE_ID),
        _text("answer_id", 16),
        *(_moment(name) for name in ("given_at", "as_of", "valid_until", "keeps_until")),
        sa.Column("changes", sa.BigInteger(), nullable=False),
        _text("effects", 4),
        _text("units", 6),
        _text("knowledge", 12),
        _text("service", 40),
        _long_text("status"),
        _long_text("known"),
        _bytes("answer"),
        _moment("superseded_at", nullable=True),
        _text("superseded_by", 16, nullable=True),
        _part_of("advice", "pile_id", "piles"),
        _key("advice"),
        _unique("advice", "pile_id", "answer_id"),
    )
    _index("advice", "pile_id", "given_at")
    op.create_table(
        "advised_actions",
        _text("advice_id", ID),
        _text("action", 60),
        _small("rank"),
        sa.Column("chance_of_gain", sa.Float(), nullable=True),
        _part_of("advised_actions", "advice_id", "advice"),
        _key("advised_actions", "advice_id", "action"),
    )
    _index("advised_actions", "action")
    op.create_table(
        "advised_rules",
        _text("advice_id", ID),
        _text("action", 60),
        _text("rule", 80),
        _part_of("advised_rules", "advice_id", "advice"),
        _key("advised_rules", "advice_id", "action", "rule"),
    )
    _index("advised_rules", "rule")


def _feedback() -> None:
    op.create_table(
        "feedback",
        _text("id", ID),
        _text("pile_id", PILE_ID),
        _text("advice_id", ID),
        _text("action", 60),
        _text("verdict", 8),
        _text("reason", 20, nullable=True),
        _text("comment", 200, nullable=True),
        _moment("at"),
        _small("offset_min"),
        _text("outcome", 8, nullable=True),
        _moment("outcome_at", nullable=True),
        _part_of("feedback", "advice_id", "advice"),
        _part_of("feedback", "pile_id", "piles"),
        _key("feedback"),
        _unique("feedback", "advice_id", "action"),
    )
    _index("feedback", "pile_id")


def _work_and_answers() -> None:
    op.create_table(
        "work",
        _text("id", ID),
        _text("pile_id", PILE_ID),
        _moment("at"),
        _small("offset_min"),
        _moment("received_at"),
        _text("action", 60),
        _text("amount", 80, nullable=True),
        _text("feedback_id", ID, nullable=True),
        _bytes("digest"),
        _part_of("work", "feedback_id", "feedback"),
        _part_of("work", "pile_id", "piles"),
        _key("work"),
        _unique("work", "pile_id", "digest"),
    )
    _index("work", "pile_id", "at")
    op.create_table(
        "answered",
        _text("account_id", ID),
        _text("route", 120),
        _text("key", 255),
        _text("pile_id", PILE_ID, nullable=True),
        _bytes("fingerprint"),
        _small("status"),
        _long_text("body"),
        _moment("made_at"),
        _part_of("answered", "account_id", "accounts"),
        _part_of("answered", "pile_id", "piles"),
        _key("answered", "account_id", "route", "key"),
    )
