"""An assessment that cannot go on is voided as a technical failure.

It never counts as an attempt, the next one is asked at the same bar, and the reason is
kept and told. A lead who breaks one off, that is another matter: that counts.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime

from academy.language import marked
from academy.records.connection import Connection
from academy.records.queries import assessments
from academy.records.queries.assessments import Assessment
from academy.service import assessment_state, log
from academy.service.assessment_state import State
from academy.service.beliefs import recount
from academy.service.house import House

NOTHING_LEFT = "nothing-left"
RULES_GONE = "rules-gone"
REASONS: Mapping[str, str] = {
    NOTHING_LEFT: marked(
        "The questions were changed while it went on, and nothing was left to ask in"
        " one of its topics."
    ),
    RULES_GONE: marked(
        "The rules of this certificate were changed, and the ones it was released"
        " with are not kept any more."
    ),
}


def void(
    connection: Connection,
    house: House,
    state: State,
    reason: str,
    now: datetime,
    **also: str,
) -> None:
    """Void a whole assessment, for one of ``REASONS``; ``also`` goes into the log.

    What was answered still counts for the forecast, as answers of a broken-off one do.
    """
    row = state.row
    assessments.change(
        connection, row.id, state="cancelled", ended_at=now, void_reason=reason
    )
    log.tell(connection, "assessment-voided", now, row.id, **also)
    count_answers(connection, house, row, state.topics)


def void_if_stuck(
    connection: Connection, house: House, row: Assessment, now: datetime
) -> bool:
    """Void one that is open but cannot go on; whether it was voided."""
    if row.state not in ("released", "running"):
        return False
    state = assessment_state.kept(connection, row)
    if state.kept is None:
        void(connection, house, state, RULES_GONE, now)
        return True
    planned = assessment_state.plan(state)
    if planned is None or planned.family is not None:
        return False
    void(connection, house, state, NOTHING_LEFT, now, slot=planned.slot)
    return True


def count_answers(
    connection: Connection, house: House, row: Assessment, topics: Iterable[str]
) -> None:
    """Let what was answered count for the person, now that it is over."""
    recount(connection, house.catalog, row.person_id, topics)
