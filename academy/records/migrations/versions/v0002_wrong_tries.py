"""Wrong tries under keyed hashes, in place of the throttle that kept addresses."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.drop_table("throttle")
    op.create_table(
        "wrong_tries",
        sa.Column("key_hash", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(key_hash) = 64", name=op.f("ck_wrong_tries_key_hash_length")),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("counted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("free_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("failures >= 0", name=op.f("ck_wrong_tries_failures_count")),
        sa.PrimaryKeyConstraint("key_hash", name=op.f("pk_wrong_tries")),
    )
    op.create_index(op.f("ix_wrong_tries_counted_at"), "wrong_tries", ["counted_at"])
