"""What was seen on the real machine: yard sign-offs and records of instruction."""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    ForeignKey,
    Integer,
    Table,
)

from academy.records.tables.columns import (
    CanonicalJson,
    hex_text,
    metadata,
    moment,
    one_of,
    words,
)

sign_off = Table(
    "sign_off",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), index=True),
    words("list_key", 64),
    hex_text("list_digest", 64),
    words("header_key", 64),
    hex_text("lead_id", 32, ForeignKey("person.id")),
    moment("opened_at"),
    moment("signed_at", nullable=True),
    one_of("outcome", "done", "not-yet", nullable=True),
    words("note", 400, nullable=True),
)

sign_off_item = Table(
    "sign_off_item",
    metadata,
    hex_text("sign_off_id", 32, ForeignKey("sign_off.id"), primary_key=True),
    words("item", 64, primary_key=True),
    Column("tries", Integer, nullable=False),
    Column("right", Boolean, nullable=False),
    Column("value", CanonicalJson, nullable=True),
    moment("at"),
    words("client_key", 64, nullable=True),
)
"""``value`` is ``{"entered": {"gap": [0.6, "mm"], ...}, "keys": [...]}``: what was
typed and chosen by name, left out for a step seen, and a key of every entry so that
none counts twice. ``tries`` counts the entries; the last one holds. ``client_key`` is
its key."""

sign_off_take_over = Table(
    "sign_off_take_over",
    metadata,
    hex_text("sign_off_id", 32, ForeignKey("sign_off.id"), primary_key=True),
    Column("place", Integer, primary_key=True, autoincrement=False),
    hex_text("from_id", 32, ForeignKey("person.id")),
    hex_text("by_id", 32, ForeignKey("person.id")),
    moment("at"),
    CheckConstraint("place >= 1", name="place_counts"),
)
"""Who took a list over from whom; ``sign_off.lead_id`` is who has it now."""

instruction = Table(
    "instruction",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    words("task", 64, primary_key=True),
    one_of("step", "shown", "did", "explained", "alone", primary_key=True),
    Column("day", Date, nullable=False),
    hex_text("by_id", 32, ForeignKey("person.id")),
)

yearly_instruction = Table(
    "yearly_instruction",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    words("item", 64, primary_key=True),
    Column("day", Date, primary_key=True),
    hex_text("by_id", 32, ForeignKey("person.id")),
)

withdrawn_instruction = Table(
    "withdrawn_instruction",
    metadata,
    hex_text("id", 32, primary_key=True),
    hex_text("person_id", 32, ForeignKey("person.id"), index=True),
    words("task", 64),
    one_of("step", "shown", "did", "explained", "alone", "yearly"),
    Column("day", Date, nullable=False),
    hex_text("by_id", 32, ForeignKey("person.id")),
    hex_text("withdrawn_by", 32, ForeignKey("person.id")),
    moment("withdrawn_at"),
    words("reason", 400),
)
"""Lines of both records that were entered by mistake: they stay, and do not count.
``task`` is the item's key where ``step`` is yearly."""
