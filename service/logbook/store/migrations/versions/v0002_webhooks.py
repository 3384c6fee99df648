"""The tables of webhooks."""

import sqlalchemy as sa
from alembic import op

from service.logbook.store.models import Instant

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

ID, PILE_ID, ERROR = 24, 16, 300


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "webhooks",
        sa.Column("id", sa.String(ID), nullable=False),
        sa.Column("pile_id", sa.String(PILE_ID), nullable=False),
        sa.Column("url", sa.String(500), nullable=False),
        sa.Column("secret", sa.String(100), nullable=False),
        sa.Column("events", sa.String(200), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column("told", sa.Text(), nullable=True),
        sa.Column("disabled_at", Instant(), nullable=True),
        sa.Column("disabled_why", sa.String(ERROR), nullable=True),
        sa.ForeignKeyConstraint(["pile_id"], ["piles.id"], name=op.f("fk_webhooks_pile_id_piles"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhooks")),
    )
    op.create_index("ix_webhooks_pile_id", "webhooks", ["pile_id"])
    op.create_table(
        "webhook_messages",
        sa.Column("id", sa.String(ID), nullable=False),
        sa.Column("webhook_id", sa.String(ID), nullable=False),
        sa.Column("event", sa.String(30), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column("attempts", sa.SmallInteger(), nullable=False),
        *(sa.Column(name, Instant(), nullable=True) for name in ("next_at", "tried_at", "taken_at", "failed_at")),
        sa.Column("status", sa.SmallInteger(), nullable=True),
        sa.Column("error", sa.String(ERROR), nullable=True),
        sa.ForeignKeyConstraint(
            ["webhook_id"],
            ["webhooks.id"],
            name=op.f("fk_webhook_messages_webhook_id_webhooks"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhook_messages")),
    )
    op.create_index("ix_webhook_messages_webhook_id", "webhook_messages", ["webhook_id"])
    op.create_index("ix_webhook_messages_next_at", "webhook_messages", ["next_at"])


def downgrade() -> None:
    """Drop the tables."""
    op.drop_table("webhook_messages")
    op.drop_table("webhooks")
