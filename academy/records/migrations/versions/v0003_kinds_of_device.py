"""What kind of device it is, and since when each person has it."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("device") as device:
        device.add_column(sa.Column("kind", sa.String(length=8), nullable=False, server_default="unknown"))
        device.create_check_constraint(op.f("ck_device_kind_known"), "kind IN ('phone', 'tablet', 'computer', 'unknown')")
    with op.batch_alter_table("device_person") as pair:
        pair.add_column(sa.Column("enrolled_at", sa.DateTime(timezone=True), nullable=True))
