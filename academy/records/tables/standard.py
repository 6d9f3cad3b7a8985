"""Where the line lies: what raters expect of a just-qualified person, and versions."""

from sqlalchemy import CheckConstraint, Column, Double, ForeignKey, Integer, Table

from academy.records.tables.columns import (
    CanonicalJson,
    hex_text,
    metadata,
    moment,
    words,
)

rating = Table(
    "rating",
    metadata,
    hex_text("rater_id", 32, ForeignKey("person.id"), primary_key=True),
    words("family", 64, primary_key=True),
    Column("expected", Double, nullable=False),
    moment("at"),
    CheckConstraint("expected >= 0 AND expected <= 1", name="expected_inside"),
)

line_version = Table(
    "line_version",
    metadata,
    Column("version", Integer, primary_key=True, autoincrement=False),
    hex_text("made_by", 32, ForeignKey("person.id")),
    moment("made_at"),
    Column("raters", Integer, nullable=False),
    Column("standard_error", Double, nullable=False),
    Column("body", CanonicalJson, nullable=False),
    CheckConstraint("version >= 1", name="version_counts"),
    CheckConstraint("raters >= 3", name="three_raters"),
)
"""``body``: mean expected score by family; a version never changes and never reaches
back."""
