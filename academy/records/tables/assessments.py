"""Assessments: what was released, every step asked, what was decided and appealed.

Nothing is taken away: a voided step stays with its reason, and a decision that an
appeal overturned stays beside the one that replaced it.
"""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Integer,
    Table,
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

assessment_rules = Table(
    "assessment_rules",
    metadata,
    hex_text("digest", 64, primary_key=True),
    Column("body", CanonicalJson, nullable=False),
)
"""The rules that assessments were released with, each once under its digest."""

assessment = Table(
    "assessment",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), index=True),
    words("certificate", 64),
    hex_text("blueprint_digest", 64),
    words("header_key", 64),
    Column("attempt", Integer, nullable=False),
    Column("credit", Double, nullable=False),
    Column("line", Integer, ForeignKey("line_version.version"), nullable=True),
    hex_text("released_by", 32, ForeignKey("person.id")),
    moment("released_at"),
    moment("open_until"),
    hex_text("device_id", 32, ForeignKey("device.id"), nullable=True),
    one_of("state", "released", "running", "ended", "cancelled"),
    moment("started_at", nullable=True),
    moment("ended_at", nullable=True),
    hex_text("rules", 64, ForeignKey("assessment_rules.digest"), nullable=True),
    words("void_reason", 64, nullable=True),
    CheckConstraint("attempt >= 1", name="attempt_counts"),
    CheckConstraint("credit >= 0", name="credit_counts"),
)
"""``line`` is the version of the line that raters moved; null while a model sets it.
``void_reason`` is a word for why a cancelled one never counts, null for all others."""

assessment_step = Table(
    "assessment_step",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("assessment_id", 32, ForeignKey("assessment.id")),
    Column("position", Integer, nullable=False),
    one_of("stage", "gate", "fresh", "scenario"),
    words("slot", 64),
    hex_text("scenario_id", 32, ForeignKey("scenario.id"), unique=True),
    Column("shown", CanonicalJson, nullable=False),
    hex_text("token_hash", 64, nullable=True),
    moment("asked_at"),
    moment("answered_at", nullable=True),
    moment("corrected_at", nullable=True),
    hex_text("corrected_by", 32, ForeignKey("person.id"), nullable=True),
    moment("voided_at", nullable=True),
    hex_text("voided_by", 32, ForeignKey("person.id"), nullable=True),
    words("void_reason", 400, nullable=True),
    UniqueConstraint("assessment_id", "position"),
    CheckConstraint("position >= 1", name="position_counts"),
    CheckConstraint(
        "(voided_at IS NULL) = (void_reason IS NULL)", name="void_has_reason"
    ),
)
"""``slot`` is a concept of the safety gate or a topic of the blueprint; ``shown`` is
the question just as the person saw it."""

decision = Table(
    "decision",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("assessment_id", 32, ForeignKey("assessment.id"), index=True),
    one_of("outcome", "pass", "fail", "gate", "void"),
    Column("evidence", Double, nullable=False),
    Column("scenarios", Integer, nullable=False),
    hex_text("decided_by", 32, ForeignKey("person.id"), nullable=True),
    moment("decided_at"),
    words("reason", 2000, nullable=True),
    CheckConstraint("scenarios >= 0", name="scenarios_count"),
)
"""``decided_by`` is null for what the rule decided; the newest decision holds. "void":
a person overturned a closed safety gate, and nothing of it counts."""

appeal = Table(
    "appeal",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("assessment_id", 32, ForeignKey("assessment.id"), index=True),
    hex_text("raised_by", 32, ForeignKey("person.id")),
    moment("raised_at"),
    words("reason", 2000),
    hex_text("answered_by", 32, ForeignKey("person.id"), nullable=True),
    moment("answered_at", nullable=True),
    Column("overturned", Boolean, nullable=True),
    words("answer", 2000, nullable=True),
)
