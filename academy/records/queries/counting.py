"""Which answers count by now: not those of an assessment that still goes on.

Nobody learns from a card or a board how an assessment stands before it has ended, and a
voided step never counts.
"""

from sqlalchemy import ColumnElement, exists, or_

from academy.records.tables.assessments import assessment, assessment_step
from academy.records.tables.scenarios import scenario


def counts() -> ColumnElement[bool]:
    """Whether the scenario of a query's row counts."""
    withheld = exists().where(
        assessment_step.c.scenario_id == scenario.c.id,
        assessment_step.c.assessment_id == assessment.c.id,
        or_(assessment_step.c.voided_at.is_not(None), assessment.c.state == "running"),
    )
    return ~withheld
