"""Answers, the truth everything else is counted from, and days of harvest work."""

from sqlalchemy import CheckConstraint, Column, Date, Double, ForeignKey, Table

from academy.records.tables.columns import (
    COUNTER,
    CanonicalJson,
    hex_text,
    metadata,
    moment,
    words,
)

answer = Table(
    "answer",
    metadata,
    Column("id", COUNTER, primary_key=True, autoincrement=True),
    hex_text("part_id", 32, ForeignKey("part.id"), unique=True),
    Column("answer", CanonicalJson, nullable=False),
    Column("score", Double, nullable=False),
    Column("marks", CanonicalJson, nullable=False),
    moment("answered_at"),
    words("client_key", 64, nullable=True),
    CheckConstraint("score >= 0 AND score <= 1", name="score_inside"),
    sqlite_autoincrement=True,
)

use_day = Table(
    "use_day",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    words("topic", 64, primary_key=True),
    Column("day", Date, primary_key=True),
)
