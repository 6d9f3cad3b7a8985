"""How a person comes in: slips, enrolled devices, sign-ins, and wrong tries.

Only hashes of tokens and PINs are kept; who reads the tables cannot sign in. Wrong
tries stand under keyed hashes of accounts and addresses: they say nobody's address.
"""

from sqlalchemy import Boolean, CheckConstraint, Column, ForeignKey, Integer, Table

from academy.records.tables.columns import hex_text, metadata, moment, one_of, words

slip = Table(
    "slip",
    metadata,
    hex_text("id", 32, primary_key=True),
    one_of("kind", "slip", "demo", "first-run"),
    hex_text("person_id", 32, ForeignKey("person.id"), nullable=True, index=True),
    hex_text("token_hash", 64, unique=True),
    words("pin_hash", 255, nullable=True),
    words("word", 40, nullable=True),
    moment("made_at"),
    moment("used_at", nullable=True),
    moment("revoked_at", nullable=True),
    CheckConstraint("person_id IS NOT NULL OR kind = 'first-run'", name="has_person"),
)

device = Table(
    "device",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("token_hash", 64, unique=True),
    one_of("kind", "phone", "tablet", "computer", "unknown", server_default="unknown"),
    moment("enrolled_at"),
    moment("revoked_at", nullable=True),
)

device_person = Table(
    "device_person",
    metadata,
    hex_text("device_id", 32, ForeignKey("device.id"), primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True, index=True),
    words("pin_hash", 255),
    Column("failures", Integer, nullable=False),
    Column("locked", Boolean, nullable=False),
    moment("enrolled_at", nullable=True),
    CheckConstraint("failures >= 0", name="failures_count"),
)

sign_in = Table(
    "sign_in",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("token_hash", 64, unique=True),
    hex_text("person_id", 32, ForeignKey("person.id"), index=True),
    hex_text("device_id", 32, ForeignKey("device.id"), nullable=True),
    words("csrf", 128),
    moment("made_at"),
    moment("seen_at"),
    moment("ended_at", nullable=True),
)

wrong_tries = Table(
    "wrong_tries",
    metadata,
    hex_text("key_hash", 64, primary_key=True),
    Column("failures", Integer, nullable=False),
    moment("counted_at", index=True),
    moment("free_at"),
    CheckConstraint("failures >= 0", name="failures_count"),
)
