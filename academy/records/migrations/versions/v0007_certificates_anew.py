"""One certificate in force for an assessment, where there was one for ever."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("certificate") as certificate:
        certificate.drop_constraint(op.f("uq_certificate_assessment_id"), type_="unique")
    op.create_index(
        op.f("ix_certificate_in_force"),
        "certificate",
        ["assessment_id"],
        unique=True,
        sqlite_where=sa.text("revoked_at IS NULL"),
        postgresql_where=sa.text("revoked_at IS NULL"),
    )
