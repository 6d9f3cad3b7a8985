"""Rules kept with an assessment, voids, taken-over lists, withdrawn instruction."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "assessment_rules",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_assessment_rules_digest_length")),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_assessment_rules")),
    )
    with op.batch_alter_table("assessment") as assessment:
        assessment.add_column(sa.Column("rules", sa.String(length=64), nullable=True))
        assessment.add_column(sa.Column("void_reason", sa.String(length=64), nullable=True))
        assessment.create_check_constraint(op.f("ck_assessment_rules_length"), "length(rules) = 64")
        assessment.create_check_constraint(op.f("ck_assessment_void_reason_length"), "length(void_reason) BETWEEN 1 AND 64")
        assessment.create_foreign_key(op.f("fk_assessment_rules_assessment_rules"), "assessment_rules", ["rules"], ["digest"])
    with op.batch_alter_table("decision") as decision:
        decision.drop_constraint(op.f("ck_decision_outcome_known"), type_="check")
        decision.create_check_constraint(op.f("ck_decision_outcome_known"), "outcome IN ('pass', 'fail', 'gate', 'void')")

    op.create_table(
        "sign_off_take_over",
        sa.Column("sign_off_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(sign_off_id) = 32", name=op.f("ck_sign_off_take_over_sign_off_id_length")),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("from_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(from_id) = 32", name=op.f("ck_sign_off_take_over_from_id_length")),
        sa.Column("by_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(by_id) = 32", name=op.f("ck_sign_off_take_over_by_id_length")),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("place >= 1", name=op.f("ck_sign_off_take_over_place_counts")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_sign_off_take_over_by_id_person")),
        sa.ForeignKeyConstraint(["from_id"], ["person.id"], name=op.f("fk_sign_off_take_over_from_id_person")),
        sa.ForeignKeyConstraint(["sign_off_id"], ["sign_off.id"], name=op.f("fk_sign_off_take_over_sign_off_id_sign_off")),
        sa.PrimaryKeyConstraint("sign_off_id", "place", name=op.f("pk_sign_off_take_over")),
    )

    op.create_table(
        "withdrawn_instruction",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_withdrawn_instruction_id_length")),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_withdrawn_instruction_person_id_length")),
        sa.Column("task", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(task) BETWEEN 1 AND 64", name=op.f("ck_withdrawn_instruction_task_length")),
        sa.Column("step", sa.String(length=9), nullable=False),
        sa.CheckConstraint("step IN ('shown', 'did', 'explained', 'alone', 'yearly')", name=op.f("ck_withdrawn_instruction_step_known")),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("by_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(by_id) = 32", name=op.f("ck_withdrawn_instruction_by_id_length")),
        sa.Column("withdrawn_by", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(withdrawn_by) = 32", name=op.f("ck_withdrawn_instruction_withdrawn_by_length")),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("reason", sa.String(length=400), nullable=False),
        sa.CheckConstraint("length(reason) BETWEEN 1 AND 400", name=op.f("ck_withdrawn_instruction_reason_length")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_withdrawn_instruction_by_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_withdrawn_instruction_person_id_person")),
        sa.ForeignKeyConstraint(["withdrawn_by"], ["person.id"], name=op.f("fk_withdrawn_instruction_withdrawn_by_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_withdrawn_instruction")),
    )
    op.create_index(op.f("ix_withdrawn_instruction_person_id"), "withdrawn_instruction", ["person_id"])
