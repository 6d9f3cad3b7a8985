"""The append-only log: one chain of hashes per assessment, one for the rest, seals."""

from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Integer,
    Table,
    UniqueConstraint,
)

from academy.records.tables.columns import (
    COUNTER,
    CanonicalJson,
    hex_text,
    metadata,
    moment,
    words,
)

log_entry = Table(
    "log_entry",
    metadata,
    Column("id", COUNTER, primary_key=True, autoincrement=True),
    hex_text("chain", 32),
    Column("place", Integer, nullable=False),
    words("kind", 40),
    moment("at"),
    Column("body", CanonicalJson, nullable=False),
    hex_text("before", 64),
    hex_text("hash", 64, unique=True),
    UniqueConstraint("chain", "place"),
    CheckConstraint("place >= 1", name="place_counts"),
    sqlite_autoincrement=True,
)

log_seal = Table(
    "log_seal",
    metadata,
    Column("day", Date, primary_key=True),
    Column("entries", Integer, nullable=False),
    hex_text("before", 64),
    hex_text("hash", 64),
    moment("sealed_at"),
)
"""A day's seal: over the ends of all chains, and over the seal before it."""
