"""The first tables: farm, people, sign-in, scenario -> part -> answer, belief."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

COUNTER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "coefficient_set",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_coefficient_set_digest_length")),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_coefficient_set")),
    )
    op.create_table(
        "crew",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_crew_id_length")),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 120", name=op.f("ck_crew_name_length")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_crew")),
        sa.UniqueConstraint("name", name=op.f("uq_crew_name")),
    )
    op.create_table(
        "device",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_device_id_length")),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(token_hash) = 64", name=op.f("ck_device_token_hash_length")),
        sa.Column("enrolled_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_device_token_hash")),
    )
    op.create_table(
        "farm",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 120", name=op.f("ck_farm_name_length")),
        sa.Column("zone", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(zone) BETWEEN 1 AND 64", name=op.f("ck_farm_zone_length")),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.CheckConstraint("length(currency) BETWEEN 1 AND 3", name=op.f("ck_farm_currency_length")),
        sa.Column("header_key", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(header_key) BETWEEN 1 AND 64", name=op.f("ck_farm_header_key_length")),
        sa.Column("combine_key", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(combine_key) BETWEEN 1 AND 64", name=op.f("ck_farm_combine_key_length")),
        sa.Column("first_run_token_hash", sa.String(length=64), nullable=True),
        sa.CheckConstraint("length(first_run_token_hash) = 64", name=op.f("ck_farm_first_run_token_hash_length")),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_farm_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_farm")),
    )
    op.create_table(
        "season",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_season_id_length")),
        sa.Column("crop_key", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(crop_key) BETWEEN 1 AND 64", name=op.f("ck_season_crop_key_length")),
        sa.Column("year", sa.Integer(), nullable=False),
        sa.Column("harvest_day", sa.Date(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_season")),
        sa.UniqueConstraint("crop_key", "year", name=op.f("uq_season_crop_key_year")),
    )
    op.create_table(
        "throttle",
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.CheckConstraint("length(key) BETWEEN 1 AND 200", name=op.f("ck_throttle_key_length")),
        sa.Column("window_start", sa.DateTime(timezone=True), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_throttle")),
    )
    op.create_table(
        "needed",
        sa.Column("crew_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(crew_id) = 32", name=op.f("ck_needed_crew_id_length")),
        sa.Column("role_key", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(role_key) BETWEEN 1 AND 64", name=op.f("ck_needed_role_key_length")),
        sa.Column("headcount", sa.Integer(), nullable=False),
        sa.CheckConstraint("headcount >= 0", name=op.f("ck_needed_headcount_counts")),
        sa.ForeignKeyConstraint(["crew_id"], ["crew.id"], name=op.f("fk_needed_crew_id_crew")),
        sa.PrimaryKeyConstraint("crew_id", "role_key", name=op.f("pk_needed")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_person_id_length")),
        sa.Column("crew_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(crew_id) = 32", name=op.f("ck_person_crew_id_length")),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.CheckConstraint("language IN ('en', 'es')", name=op.f("ck_person_language_known")),
        sa.Column("units", sa.String(length=6), nullable=False),
        sa.CheckConstraint("units IN ('us', 'metric')", name=op.f("ck_person_units_known")),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["crew_id"], ["crew.id"], name=op.f("fk_person_crew_id_crew")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
    )
    op.create_index(op.f("ix_person_crew_id"), "person", ["crew_id"])

    op.create_table(
        "ready_scenario",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_ready_scenario_id_length")),
        sa.Column("family", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(family) BETWEEN 1 AND 64", name=op.f("ck_ready_scenario_family_length")),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_ready_scenario_digest_length")),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("parts", sa.Text(), nullable=False),
        sa.Column("engine_version", sa.Integer(), nullable=False),
        sa.Column("coefficient_digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(coefficient_digest) = 64", name=op.f("ck_ready_scenario_coefficient_digest_length")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["coefficient_digest"], ["coefficient_set.digest"], name=op.f("fk_ready_scenario_coefficient_digest_coefficient_set")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ready_scenario")),
        sa.UniqueConstraint("digest", name=op.f("uq_ready_scenario_digest")),
    )
    op.create_index(op.f("ix_ready_scenario_family_id"), "ready_scenario", ["family", "id"])

    op.create_table(
        "belief",
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_belief_person_id_length")),
        sa.Column("topic", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(topic) BETWEEN 1 AND 64", name=op.f("ck_belief_topic_length")),
        sa.Column("as_of", sa.Date(), nullable=False),
        sa.Column("grid", sa.LargeBinary(), nullable=False),
        sa.Column("last_answer_id", COUNTER, nullable=False),
        sa.Column("model_version", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(model_version) BETWEEN 1 AND 64", name=op.f("ck_belief_model_version_length")),
        sa.CheckConstraint("length(grid) = 640", name=op.f("ck_belief_grid_length")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_belief_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "topic", name=op.f("pk_belief")),
    )
    op.create_table(
        "device_person",
        sa.Column("device_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(device_id) = 32", name=op.f("ck_device_person_device_id_length")),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_device_person_person_id_length")),
        sa.Column("pin_hash", sa.String(length=255), nullable=False),
        sa.CheckConstraint("length(pin_hash) BETWEEN 1 AND 255", name=op.f("ck_device_person_pin_hash_length")),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("locked", sa.Boolean(), nullable=False),
        sa.CheckConstraint("failures >= 0", name=op.f("ck_device_person_failures_count")),
        sa.ForeignKeyConstraint(["device_id"], ["device.id"], name=op.f("fk_device_person_device_id_device")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_device_person_person_id_person")),
        sa.PrimaryKeyConstraint("device_id", "person_id", name=op.f("pk_device_person")),
    )
    op.create_index(op.f("ix_device_person_person_id"), "device_person", ["person_id"])

    op.create_table(
        "person_name",
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_person_name_person_id_length")),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 120", name=op.f("ck_person_name_name_length")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_name_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_person_name")),
    )
    op.create_table(
        "person_role",
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_person_role_person_id_length")),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.CheckConstraint("role IN ('hire', 'lead', 'instructor', 'owner')", name=op.f("ck_person_role_role_known")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_role_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "role", name=op.f("pk_person_role")),
    )
    op.create_table(
        "scenario",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_scenario_id_length")),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_scenario_person_id_length")),
        sa.Column("sitting", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(sitting) BETWEEN 1 AND 64", name=op.f("ck_scenario_sitting_length")),
        sa.Column("purpose", sa.String(length=10), nullable=False),
        sa.CheckConstraint("purpose IN ('starting', 'practice', 'assessment', 'lab')", name=op.f("ck_scenario_purpose_known")),
        sa.Column("family", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(family) BETWEEN 1 AND 64", name=op.f("ck_scenario_family_length")),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_scenario_digest_length")),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("engine_version", sa.Integer(), nullable=False),
        sa.Column("coefficient_digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(coefficient_digest) = 64", name=op.f("ck_scenario_coefficient_digest_length")),
        sa.Column("issued_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["coefficient_digest"], ["coefficient_set.digest"], name=op.f("fk_scenario_coefficient_digest_coefficient_set")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_scenario_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_scenario")),
        sa.UniqueConstraint("person_id", "digest", name=op.f("uq_scenario_person_id_digest")),
        sa.UniqueConstraint("sitting", "digest", name=op.f("uq_scenario_sitting_digest")),
    )
    op.create_index(op.f("ix_scenario_person_id_issued_at"), "scenario", ["person_id", "issued_at"])

    op.create_table(
        "sign_in",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_sign_in_id_length")),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(token_hash) = 64", name=op.f("ck_sign_in_token_hash_length")),
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_sign_in_person_id_length")),
        sa.Column("device_id", sa.String(length=32), nullable=True),
        sa.CheckConstraint("length(device_id) = 32", name=op.f("ck_sign_in_device_id_length")),
        sa.Column("csrf", sa.String(length=128), nullable=False),
        sa.CheckConstraint("length(csrf) BETWEEN 1 AND 128", name=op.f("ck_sign_in_csrf_length")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["device_id"], ["device.id"], name=op.f("fk_sign_in_device_id_device")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sign_in_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_sign_in_token_hash")),
    )
    op.create_index(op.f("ix_sign_in_person_id"), "sign_in", ["person_id"])

    op.create_table(
        "slip",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_slip_id_length")),
        sa.Column("kind", sa.String(length=9), nullable=False),
        sa.CheckConstraint("kind IN ('slip', 'demo', 'first-run')", name=op.f("ck_slip_kind_known")),
        sa.Column("person_id", sa.String(length=32), nullable=True),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_slip_person_id_length")),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(token_hash) = 64", name=op.f("ck_slip_token_hash_length")),
        sa.Column("pin_hash", sa.String(length=255), nullable=True),
        sa.CheckConstraint("length(pin_hash) BETWEEN 1 AND 255", name=op.f("ck_slip_pin_hash_length")),
        sa.Column("word", sa.String(length=40), nullable=True),
        sa.CheckConstraint("length(word) BETWEEN 1 AND 40", name=op.f("ck_slip_word_length")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("person_id IS NOT NULL OR kind = 'first-run'", name=op.f("ck_slip_has_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_slip_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_slip")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_slip_token_hash")),
    )
    op.create_index(op.f("ix_slip_person_id"), "slip", ["person_id"])

    op.create_table(
        "use_day",
        sa.Column("person_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(person_id) = 32", name=op.f("ck_use_day_person_id_length")),
        sa.Column("topic", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(topic) BETWEEN 1 AND 64", name=op.f("ck_use_day_topic_length")),
        sa.Column("day", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_use_day_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "topic", "day", name=op.f("pk_use_day")),
    )
    op.create_table(
        "part",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_part_id_length")),
        sa.Column("scenario_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(scenario_id) = 32", name=op.f("ck_part_scenario_id_length")),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.CheckConstraint("length(kind) BETWEEN 1 AND 40", name=op.f("ck_part_kind_length")),
        sa.Column("topic", sa.String(length=64), nullable=False),
        sa.CheckConstraint("length(topic) BETWEEN 1 AND 64", name=op.f("ck_part_topic_length")),
        sa.Column("family_key", sa.String(length=128), nullable=False),
        sa.CheckConstraint("length(family_key) BETWEEN 1 AND 128", name=op.f("ck_part_family_key_length")),
        sa.Column("par", sa.Double(), nullable=False),
        sa.Column("floor", sa.Double(), nullable=False),
        sa.Column("weight_parts", sa.Integer(), nullable=False),
        sa.Column("weight", sa.Double(), nullable=False),
        sa.CheckConstraint("floor >= 0 AND floor < par", name=op.f("ck_part_floor_below_par")),
        sa.CheckConstraint("par > 0 AND par < 1", name=op.f("ck_part_par_inside")),
        sa.CheckConstraint("position >= 1", name=op.f("ck_part_position_counts")),
        sa.CheckConstraint("weight > 0", name=op.f("ck_part_weight_counts")),
        sa.CheckConstraint("weight_parts >= 1", name=op.f("ck_part_weight_parts_count")),
        sa.ForeignKeyConstraint(["scenario_id"], ["scenario.id"], name=op.f("fk_part_scenario_id_scenario")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
        sa.UniqueConstraint("scenario_id", "position", name=op.f("uq_part_scenario_id_position")),
    )
    op.create_index(op.f("ix_part_topic"), "part", ["topic"])

    op.create_table(
        "answer",
        sa.Column("id", COUNTER, autoincrement=True, nullable=False),
        sa.Column("part_id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("length(part_id) = 32", name=op.f("ck_answer_part_id_length")),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("score", sa.Double(), nullable=False),
        sa.Column("marks", sa.Text(), nullable=False),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("client_key", sa.String(length=64), nullable=True),
        sa.CheckConstraint("length(client_key) BETWEEN 1 AND 64", name=op.f("ck_answer_client_key_length")),
        sa.CheckConstraint("score >= 0 AND score <= 1", name=op.f("ck_answer_score_inside")),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_answer_part_id_part")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sa.UniqueConstraint("part_id", name=op.f("uq_answer_part_id")),
        sqlite_autoincrement=True,
    )
