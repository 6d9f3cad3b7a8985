"""Certificates as they were given out, under public numbers that are random."""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    ForeignKey,
    Index,
    Table,
    Text,
    text,
)

from academy.records.tables.columns import hex_text, metadata, moment, one_of, words

certificate = Table(
    "certificate",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), index=True),
    words("certificate", 64),
    hex_text("assessment_id", 32, ForeignKey("assessment.id")),
    hex_text("sign_off_id", 32, ForeignKey("sign_off.id")),
    words("header_key", 64),
    hex_text("issued_by", 32, ForeignKey("person.id")),
    moment("issued_at"),
    Column("valid_until", Date, nullable=False),
    one_of("language", "en", "es"),
    Column("one_person", Boolean, nullable=False),
    Column("model_line", Boolean, nullable=False),
    words("key_id", 120),
    Column("credential", Text, nullable=False),
    moment("revoked_at", nullable=True),
    hex_text("revoked_by", 32, ForeignKey("person.id"), nullable=True),
    words("revoke_reason", 400, nullable=True),
    CheckConstraint(
        "(revoked_at IS NULL) = (revoke_reason IS NULL)", name="revoked_has_reason"
    ),
    Index(
        "ix_certificate_in_force",
        "assessment_id",
        unique=True,
        sqlite_where=text("revoked_at IS NULL"),
        postgresql_where=text("revoked_at IS NULL"),
    ),
)
"""``one_person``: trainer and decision maker were the same. ``model_line``: no three
raters had set the line. ``credential`` is the signed document, byte by byte. Of those
that were given for one assessment all but one were taken back."""
