"""What an answer of another engine version would score today."""

import json
from dataclasses import dataclass

from academy.catalog.families import known
from academy.errors import AcademyError
from academy.records.queries.answers import SCORE_DECIMALS
from academy.records.queries.attempts import Attempt
from academy.service import making, marking


@dataclass(frozen=True, slots=True)
class Change:
    """A kept score beside today's; without one, why there is none."""

    where: str
    engine_version: int
    kept: float
    today: float | None
    why: str = ""


def change(attempt: Attempt, where: str) -> Change:
    """Judge the same facts with today's content and engine, and mark the answer."""
    try:
        today, why = _today(attempt), ""
    except AcademyError as found:
        today, why = None, found.key
    except (LookupError, TypeError, ValueError) as found:
        today, why = None, type(found).__name__
    if today is None and not why:
        why = "would_not_be_asked"
    return Change(where, attempt.engine_version, attempt.score, today, why)


def _today(attempt: Attempt) -> float | None:
    facts = json.loads(attempt.payload)["facts"]
    asked = known()[attempt.family].parts[attempt.position - 1]
    if asked.kind != attempt.kind:
        raise LookupError(attempt.kind)
    made = making.made_part(asked, facts, attempt.position)
    if made is None:
        return None
    part = {"kind": asked.kind, "topic": asked.topic} | made.key
    score = marking.mark(part, facts, attempt.answer).score
    return round(score, SCORE_DECIMALS)
