"""Everything that was answered, with all that its marks were counted from."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part, scenario

_AT_ONCE = 200  # rows in memory


@dataclass(frozen=True, slots=True)
class Attempt:
    """One answered part; ``payload`` is the scenario's canonical JSON text."""

    scenario_id: str
    position: int
    kind: str
    family: str
    payload: str
    engine_version: int
    coefficient_digest: str
    answer: Any
    score: float
    marks: Any


def every_attempt(connection: Connection) -> Iterator[Attempt]:
    """All answered parts in the order they were answered, a few in memory."""
    query = (
        select(
            part.c.scenario_id,
            part.c.position,
            part.c.kind,
            scenario.c.family,
            scenario.c.payload,
            scenario.c.engine_version,
            scenario.c.coefficient_digest,
            answer.c.answer,
            answer.c.score,
            answer.c.marks,
        )
        .select_from(answer.join(part).join(scenario))
        .order_by(answer.c.id)
        .execution_options(yield_per=_AT_ONCE)
    )
    return (Attempt(**row._asdict()) for row in connection.execute(query))
