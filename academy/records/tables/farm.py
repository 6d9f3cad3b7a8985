"""The organisation of this installation: its farm, crews, seasons and needs."""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    ForeignKey,
    Integer,
    Table,
    UniqueConstraint,
    false,
)

from academy.records.tables.columns import hex_text, metadata, moment, words

farm = Table(
    "farm",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    words("name", 120),
    words("zone", 64),
    words("currency", 3),
    words("header_key", 64),
    words("combine_key", 64),
    hex_text("first_run_token_hash", 64, nullable=True),
    moment("created_at"),
    Column("one_person_may", Boolean, nullable=False, server_default=false()),
    CheckConstraint("id = 1", name="only_one"),
)
"""``one_person_may``: the farm says that who trained may decide on certificates too."""

crew = Table(
    "crew",
    metadata,
    hex_text("id", 32, primary_key=True),
    words("name", 120, unique=True),
)

season = Table(
    "season",
    metadata,
    hex_text("id", 32, primary_key=True),
    words("crop_key", 64),
    Column("year", Integer, nullable=False),
    Column("harvest_day", Date, nullable=False),
    UniqueConstraint("crop_key", "year"),
)

needed = Table(
    "needed",
    metadata,
    hex_text("crew_id", 32, ForeignKey("crew.id"), primary_key=True),
    words("role_key", 64, primary_key=True),
    Column("headcount", Integer, nullable=False),
    CheckConstraint("headcount >= 0", name="headcount_counts"),
)
