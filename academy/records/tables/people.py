"""People under random ids; their names lie in one table that can be erased."""

from sqlalchemy import Boolean, Column, ForeignKey, Table

from academy.records.tables.columns import hex_text, metadata, moment, one_of, words

person = Table(
    "person",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("crew_id", 32, ForeignKey("crew.id"), index=True),
    Column("active", Boolean, nullable=False),
    one_of("language", "en", "es"),
    one_of("units", "us", "metric"),
    moment("created_at"),
)

person_name = Table(
    "person_name",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    words("name", 120),
)

person_role = Table(
    "person_role",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    one_of("role", "hire", "lead", "instructor", "owner", primary_key=True),
)
