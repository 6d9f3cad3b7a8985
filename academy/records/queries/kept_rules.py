"""The rules that assessments were released with, each kept once under its digest."""

from typing import Any

from sqlalchemy import Connection, select

from academy.records.rows import put_once
from academy.records.tables.assessments import assessment_rules


def keep(connection: Connection, digest: str, body: Any) -> None:
    """Keep the rules, as plain data, unless they are there already."""
    put_once(connection, assessment_rules, digest=digest, body=body)


def get(connection: Connection, digest: str) -> Any:
    """The rules of a digest as plain data; None when there are none."""
    query = select(assessment_rules.c.body).where(assessment_rules.c.digest == digest)
    return connection.scalar(query)
