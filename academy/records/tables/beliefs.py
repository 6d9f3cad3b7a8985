"""What the answers say of a person in a topic: a cache that replay can refill."""

from sqlalchemy import CheckConstraint, Column, Date, ForeignKey, LargeBinary, Table

from academy.records.tables.columns import COUNTER, hex_text, metadata, words

belief = Table(
    "belief",
    metadata,
    hex_text("person_id", 32, ForeignKey("person.id"), primary_key=True),
    words("topic", 64, primary_key=True),
    Column("as_of", Date, nullable=False),
    Column("grid", LargeBinary, nullable=False),
    Column("last_answer_id", COUNTER, nullable=False),
    words("model_version", 64),
    CheckConstraint("length(grid) = 640", name="grid_length"),
)
