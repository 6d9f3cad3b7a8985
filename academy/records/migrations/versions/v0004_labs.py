"""Labs: one lay-out, its fields, its group, and the scenario each was given."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "lab",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_lab_id_length")),
        sa.Column("made_by", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(made_by) = 32", name=op.f("ck_lab_made_by_length")),
        sa.Column("fields", sa.String(length=4), nullable=False),
        sa.CheckConstraint("fields IN ('same', 'each')", name=op.f("ck_lab_fields_known")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("debriefed_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name=op.f("fk_lab_made_by_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lab")),
    )
    op.create_index(op.f("ix_lab_made_by"), "lab", ["made_by"])

    op.create_table(
        "lab_field",
        sa.Column("lab_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(lab_id) = 32", name=op.f("ck_lab_field_lab_id_length")),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("family", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(family) BETWEEN 1 AND 64", name=op.f("ck_lab_field_family_length")),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_lab_field_digest_length")),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("parts", sa.Text(), nullable=False),
        sa.Column("engine_version", sa.Integer(), nullable=False),
        sa.Column("coefficient_digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(coefficient_digest) = 64", name=op.f("ck_lab_field_coefficient_digest_length")),
        sa.CheckConstraint("position >= 1", name=op.f("ck_lab_field_position_counts")),
        sa.ForeignKeyConstraint(["coefficient_digest"], ["coefficient_set.digest"], name=op.f("fk_lab_field_coefficient_digest_coefficient_set")),
        sa.ForeignKeyConstraint(["lab_id"], ["lab.id"], name=op.f("fk_lab_field_lab_id_lab")),
        sa.PrimaryKeyConstraint("lab_id", "position", name=op.f("pk_lab_field")),
    )

    op.create_table(
        "lab_member",
        sa.Column("lab_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(lab_id) = 32", name=op.f("ck_lab_member_lab_id_length")),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_lab_member_person_id_length")),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.CheckConstraint("number >= 1", name=op.f("ck_lab_member_number_counts")),
        sa.ForeignKeyConstraint(["lab_id"], ["lab.id"], name=op.f("fk_lab_member_lab_id_lab")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_lab_member_person_id_person")),
        sa.PrimaryKeyConstraint("lab_id", "person_id", name=op.f("pk_lab_member")),
        sa.UniqueConstraint("lab_id", "number", name=op.f("uq_lab_member_lab_id_number")),
    )
    op.create_index(op.f("ix_lab_member_person_id"), "lab_member", ["person_id"])

    op.create_table(
        "lab_scenario",
        sa.Column("lab_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(lab_id) = 32", name=op.f("ck_lab_scenario_lab_id_length")),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_lab_scenario_person_id_length")),
        sa.Column("scenario_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(scenario_id) = 32", name=op.f("ck_lab_scenario_scenario_id_length")),
        sa.ForeignKeyConstraint(["lab_id", "position"], ["lab_field.lab_id", "lab_field.position"], name=op.f("fk_lab_scenario_lab_id_lab_field")),
        sa.ForeignKeyConstraint(["lab_id", "person_id"], ["lab_member.lab_id", "lab_member.person_id"], name=op.f("fk_lab_scenario_lab_id_lab_member")),
        sa.ForeignKeyConstraint(["scenario_id"], ["scenario.id"], name=op.f("fk_lab_scenario_scenario_id_scenario")),
        sa.PrimaryKeyConstraint("lab_id", "position", "person_id", name=op.f("pk_lab_scenario")),
        sa.UniqueConstraint("scenario_id", name=op.f("uq_lab_scenario_scenario_id")),
    )
