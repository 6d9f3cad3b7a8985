"""The kinds of column every table is made of, and the one metadata they share."""

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    DateTime,
    Dialect,
    Integer,
    MetaData,
    String,
    Text,
)
from sqlalchemy.types import TypeDecorator

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)

COUNTER = BigInteger().with_variant(Integer, "sqlite")
"""A number the database counts up by itself."""


class UtcDateTime(TypeDecorator[datetime]):
    """A moment, kept and handed back in UTC; SQLite alone would lose the zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(
        self, value: datetime | None, dialect: Dialect
    ) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a zone")
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(
        self, value: datetime | None, dialect: Dialect
    ) -> datetime | None:
        if value is None:
            return None
        if dialect.name == "sqlite":
            return value.replace(tzinfo=UTC)
        return value.astimezone(UTC)


def canonical_text(value: object) -> str:
    """The one JSON text of a value: sorted keys, no spaces, no NaN."""
    return json.dumps(
        value,
        ensure_ascii=False,
        allow_nan=False,
        sort_keys=True,
        separators=(",", ":"),
    )


class CanonicalJson(TypeDecorator[Any]):
    """A plain value kept as its canonical JSON text, the same on both databases."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ARG002
        return None if value is None else canonical_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:  # noqa: ARG002
        return None if value is None else json.loads(value)


def words(name: str, longest: int, *parts: Any, **options: Any) -> Column[str]:
    """A text column of 1 to ``longest`` characters, refused beyond everywhere."""
    limit = CheckConstraint(
        f"length({name}) BETWEEN 1 AND {longest}", name=f"{name}_length"
    )
    options.setdefault("nullable", False)
    return Column(name, String(longest), *parts, limit, **options)


def hex_text(name: str, length: int, *parts: Any, **options: Any) -> Column[str]:
    """A text column of exactly ``length`` characters: ids (32) and digests (64)."""
    limit = CheckConstraint(f"length({name}) = {length}", name=f"{name}_length")
    options.setdefault("nullable", False)
    return Column(name, String(length), *parts, limit, **options)


def one_of(name: str, *choices: str, **options: Any) -> Column[str]:
    """A text column that holds one of a few words."""
    listed = ", ".join(f"'{choice}'" for choice in choices)
    limit = CheckConstraint(f"{name} IN ({listed})", name=f"{name}_known")
    longest = max(len(choice) for choice in choices)
    options.setdefault("nullable", False)
    return Column(name, String(longest), limit, **options)


def moment(name: str, **options: Any) -> Column[datetime]:
    """A column for a moment in UTC."""
    options.setdefault("nullable", False)
    return Column(name, UtcDateTime(), **options)
