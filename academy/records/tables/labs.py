"""Labs: who laid one out, its fields, its group, and what each was given.

Names stand here nowhere: a person is a random id and, inside the lab, a number.
"""

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
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

lab = Table(
    "lab",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("made_by", 32, ForeignKey("person.id"), index=True),
    one_of("fields", "same", "each"),
    moment("made_at"),
    moment("debriefed_at", nullable=True),
)

lab_field = Table(
    "lab_field",
    metadata,
    hex_text("lab_id", 32, ForeignKey("lab.id"), primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    words("family", 64),
    Column("seed", BigInteger, nullable=False),
    hex_text("digest", 64),
    Column("payload", Text, nullable=False),
    Column("parts", CanonicalJson, nullable=False),
    Column("engine_version", Integer, nullable=False),
    hex_text("coefficient_digest", 64, ForeignKey("coefficient_set.digest")),
    CheckConstraint("position >= 1", name="position_counts"),
)

lab_member = Table(
    "lab_member",
    metadata,
    hex_text("lab_id", 32, ForeignKey("lab.id"), primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True, index=True),
    Column("number", Integer, nullable=False),
    UniqueConstraint("lab_id", "number"),
    CheckConstraint("number >= 1", name="number_counts"),
)

lab_scenario = Table(
    "lab_scenario",
    metadata,
    hex_text("lab_id", 32, primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    hex_text("person_id", 32, primary_key=True),
    hex_text("scenario_id", 32, ForeignKey("scenario.id"), unique=True),
    ForeignKeyConstraint(
        ["lab_id", "position"], ["lab_field.lab_id", "lab_field.position"]
    ),
    ForeignKeyConstraint(
        ["lab_id", "person_id"], ["lab_member.lab_id", "lab_member.person_id"]
    ),
)
