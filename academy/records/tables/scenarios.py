"""Scenarios: those that lie ready, those that were issued, and their parts."""

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    Table,
    Text,
    UniqueConstraint,
)

from academy.records.tables.columns import (
    CanonicalJson,
    hex_text,
    metadata,
    moment,
    one_of,
    words,
)

coefficient_set = Table(
    "coefficient_set",
    metadata,
    hex_text("digest", 64, primary_key=True),
    Column("body", Text, nullable=False),
)

ready_scenario = Table(
    "ready_scenario",
    metadata,
    hex_text("id", 32, primary_key=True),
    words("family", 64),
    Column("seed", BigInteger, nullable=False),
    hex_text("digest", 64, unique=True),
    Column("payload", Text, nullable=False),
    Column("parts", CanonicalJson, nullable=False),
    Column("engine_version", Integer, nullable=False),
    hex_text("coefficient_digest", 64, ForeignKey("coefficient_set.digest")),
    moment("made_at"),
    Index(None, "family", "id"),
)

scenario = Table(
    "scenario",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id")),
    words("sitting", 64),
    one_of("purpose", "starting", "practice", "assessment", "lab"),
    words("family", 64),
    Column("seed", BigInteger, nullable=False),
    hex_text("digest", 64),
    Column("payload", Text, nullable=False),
    Column("engine_version", Integer, nullable=False),
    hex_text("coefficient_digest", 64, ForeignKey("coefficient_set.digest")),
    moment("issued_at"),
    moment("answered_at", nullable=True),
    UniqueConstraint("person_id", "digest"),
    UniqueConstraint("sitting", "digest"),
    Index(None, "person_id", "issued_at"),
)

part = Table(
    "part",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("scenario_id", 32, ForeignKey("scenario.id")),
    Column("position", Integer, nullable=False),
    words("kind", 40),
    words("topic", 64),
    words("family_key", 128),
    Column("par", Double, nullable=False),
    Column("floor", Double, nullable=False),
    Column("weight_parts", Integer, nullable=False),
    Column("weight", Double, nullable=False),
    UniqueConstraint("scenario_id", "position"),
    CheckConstraint("position >= 1", name="position_counts"),
    CheckConstraint("par > 0 AND par < 1", name="par_inside"),
    CheckConstraint("floor >= 0 AND floor < par", name="floor_below_par"),
    CheckConstraint("weight_parts >= 1", name="weight_parts_count"),
    CheckConstraint("weight > 0", name="weight_counts"),
    Index(None, "topic"),
)
