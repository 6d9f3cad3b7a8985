"""What is put into the log, and how: one deed told in the write that does it.

Write the row, then tell it, in the same ``with house.db.write()``:

    log.tell(connection, "answered", now, step_id)        # assessment's own chain
    log.tell(connection, "signed-off", now, sign_off_id)  # the farm's chain

``tell`` reads the row back and makes the entry's body from it: ids, figures and
digests, never a name. Verifying makes the same body from the row again and compares.
Each kind's names stand in ``KINDS``. The bodies, for whoever appends by hand:

    answered_body    {"step", "scenario", "answers": digest, "scores": [...], "marks"}
    decided_body     {"decision", "assessment", "outcome", "evidence", "scenarios", ...}
    certificate_body {"certificate", "person", "key", "assessment", "credential", ...}
    sign_off_body    {"sign_off", "person", "list_digest", "by", "outcome", "items"}
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from academy.records.connection import Connection
from academy.records.queries import chain, logged

answered_body = logged.answered
"""(connection, step_id): call it after the answers were kept."""
decided_body = logged.decided
"""(connection, decision_id): call it after the decision was kept."""
certificate_body = logged.issued
"""(connection, certificate_id): call it after the certificate was kept."""
sign_off_body = logged.signed_off
"""(connection, sign_off_id): call it after it was signed."""


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of entry is told from its row.

    ``names`` are the keys of the body that name the row, in the order that ``body``
    takes them; ``farm``: it stands in the farm's chain, else in its assessment's.
    ``lasting``: the row never changes after it was logged; else only the newest entry
    is held against it.
    """

    body: Callable[..., dict[str, Any]]
    names: tuple[str, ...]
    farm: bool = False
    lasting: bool = True


KINDS: Mapping[str, Kind] = {
    "released": Kind(logged.released, ("assessment",)),
    "started": Kind(logged.released, ("assessment",)),
    "device-freed": Kind(logged.released, ("assessment",)),
    "reopened": Kind(logged.released, ("assessment",)),
    "cancelled": Kind(logged.released, ("assessment",)),
    "assessment-voided": Kind(logged.assessment_voided, ("assessment",)),
    "asked": Kind(logged.asked, ("step",)),
    "answered": Kind(logged.answered, ("step",)),
    "corrected": Kind(logged.corrected, ("step",)),
    "voided": Kind(logged.voided, ("step",)),
    "decided": Kind(logged.decided, ("decision",)),
    "appealed": Kind(logged.appealed, ("appeal",)),
    "appeal-answered": Kind(logged.appeal_answered, ("appeal",)),
    "sign-off-opened": Kind(logged.sign_off_opened, ("sign_off",), farm=True),
    "sign-off-taken-over": Kind(
        logged.sign_off_taken_over, ("sign_off", "place"), farm=True
    ),
    "sign-off-item": Kind(
        logged.sign_off_entered, ("sign_off", "item"), farm=True, lasting=False
    ),
    "signed-off": Kind(logged.signed_off, ("sign_off",), farm=True),
    "instructed": Kind(
        logged.instructed, ("person", "task", "step"), farm=True, lasting=False
    ),
    "instructed-yearly": Kind(
        logged.instructed_yearly, ("person", "item", "day"), farm=True, lasting=False
    ),
    "instruction-withdrawn": Kind(logged.instruction_withdrawn, ("line",), farm=True),
    "certificate-issued": Kind(logged.issued, ("certificate",), farm=True),
    "certificate-revoked": Kind(logged.revoked, ("certificate",), farm=True),
    "role-changed": Kind(logged.roles, ("person",), farm=True, lasting=False),
    "rated": Kind(logged.rated, ("by", "family"), farm=True, lasting=False),
    "line-set": Kind(logged.line_set, ("line",), farm=True),
}


def tell(
    connection: Connection,
    kind: str,
    now: datetime,
    *names: str | int,
    **also: Any,
) -> str:
    """Put a row that was just written into the log; the entry's hash.

    ``names`` name the row as ``KINDS[kind].names`` says; ``also`` adds ids and figures
    that no row keeps, as who cancelled, or the terms of a decision. Raises LookupError
    for a kind that is not known and for a row that is not there.
    """
    one = KINDS[kind]
    body = also | one.body(connection, *names)
    where = chain.FARM if one.farm else logged.chain_of(connection, body)
    return chain.append(connection, where, kind, body, now)
