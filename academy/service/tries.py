"""How many tries at a PIN are allowed before everyone has to wait.

A try is charged before it is checked, so that a hundred at once get no more than one
after another; a right PIN gives its charge back.
"""

from datetime import datetime, timedelta

from academy.records.connection import Connection
from academy.records.queries import pin_tries, throttle

WINDOW = timedelta(hours=1)
MOST_ON_A_DEVICE = 10
_MOST = {"person": 20, "crew": 60, "address": 60}


def charge(connection: Connection, whose: dict[str, str], now: datetime) -> bool:
    """Count one try for each kind (person, crew, address); whether all are in bounds.

    Commit it also when the answer is no.
    """
    within = [
        throttle.hit(connection, _key(kind, name), now, WINDOW, _MOST[kind])
        for kind, name in whose.items()
    ]
    return all(within)


def give_back(connection: Connection, whose: dict[str, str]) -> None:
    """Take back the charge of a try that was right."""
    for kind, name in whose.items():
        pin_tries.give_back(connection, _key(kind, name))


def _key(kind: str, name: str) -> str:
    return f"{kind}:{name}"[:200]
