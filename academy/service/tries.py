"""How long to wait after wrong tries, per account and per address.

A try is charged before it is checked, so that eight at once get no more than one after
another; a right one gives its charge back. The first few are free, then each wrong one
doubles the wait, up to a longest one; wrong tries are forgotten one by one. While one
waits, further tries are refused without being counted, so nobody can draw it out.

A whole farm may stand behind one address: its wait is short, and it holds up only those
who have mistyped on their own device. What is kept is a keyed hash, for a day.
"""

import hashlib
import hmac
import ipaddress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from academy.records.connection import Connection
from academy.records.queries import throttle
from academy.records.queries.throttle import Tries

MOST_ON_A_DEVICE = 10
KEPT = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Rule:
    """So many free tries; then waits from ``first``, doubling, up to ``longest``.

    One wrong try is forgotten every ``forgets``.
    """

    free: int
    first: timedelta
    longest: timedelta
    forgets: timedelta

    def wait(self, failures: int) -> timedelta:
        """The wait after so many wrong tries.

        >>> [ACCOUNT.wait(n).seconds for n in (3, 4, 5, 6, 20)]
        [0, 30, 60, 120, 900]
        """
        beyond = failures - self.free
        if beyond <= 0:
            return timedelta(0)
        doubled: timedelta = self.first * 2 ** min(beyond - 1, 20)
        return min(doubled, self.longest)


ACCOUNT = Rule(3, timedelta(seconds=30), timedelta(minutes=15), timedelta(minutes=10))
ADDRESS = Rule(20, timedelta(seconds=5), timedelta(minutes=1), timedelta(seconds=30))


@dataclass(frozen=True, slots=True)
class Key:
    """One account or address under its hash, and the rule it goes by."""

    key_hash: str
    rule: Rule


@dataclass(frozen=True, slots=True)
class Charge:
    """A counted try: what was kept for it, and since when its key was free before."""

    made: Tries
    free_before: datetime


def account(pepper: bytes, person_id: str) -> Key:
    """The key of a person's account."""
    return Key(_hashed(pepper, f"account:{person_id}"), ACCOUNT)


def address(pepper: bytes, text: str, what: str) -> Key:
    """The key of an address for one kind of try; of IPv6 the network counts."""
    return Key(_hashed(pepper, f"{what} from:{_network(text)}"), ADDRESS)


def charge(
    connection: Connection, key: Key, now: datetime, *, bound: bool = True
) -> Charge | timedelta:
    """Count a try, or say how long to wait; commit it also when refused.

    Who is not ``bound`` is counted and never made to wait. Old counts are deleted.
    """
    throttle.sweep(connection, now - KEPT)
    found = _faded(throttle.held(connection, key.key_hash, now), key.rule, now)
    if bound and found.free_at > now:
        return found.free_at - now
    failures = found.failures + 1
    free_at = max(found.free_at, now + key.rule.wait(failures))
    made = replace(found, failures=failures, free_at=free_at)
    throttle.keep(connection, made)
    return Charge(made, found.free_at)


def give_back(connection: Connection, charged: Charge, now: datetime) -> None:
    """Take back the charge of a try that was right, and the wait it alone brought."""
    found = throttle.held(connection, charged.made.key_hash, now)
    alone = found.free_at == charged.made.free_at
    throttle.keep(
        connection,
        replace(
            found,
            failures=max(found.failures - 1, 0),
            free_at=charged.free_before if alone else found.free_at,
        ),
    )


def forget(connection: Connection, key: Key) -> None:
    """Start a key's count again."""
    throttle.forget(connection, key.key_hash)


def _faded(found: Tries, rule: Rule, now: datetime) -> Tries:
    """The count after what time has let be forgotten."""
    steps = max((now - found.counted_at) // rule.forgets, 0)
    if steps >= found.failures:
        return replace(found, failures=0, counted_at=now)
    return replace(
        found,
        failures=found.failures - steps,
        counted_at=found.counted_at + steps * rule.forgets,
    )


def _hashed(pepper: bytes, text: str) -> str:
    return hmac.new(pepper, b"tries of " + text.encode(), hashlib.sha256).hexdigest()


def _network(text: str) -> str:
    """An IPv4 address itself, of IPv6 the half that one household or farm shares."""
    try:
        found = ipaddress.ip_address(text.partition("%")[0])
    except ValueError:
        return text
    if found.version == 4:
        return str(found)
    mapped = found.ipv4_mapped
    return (
        str(mapped) if mapped else str(ipaddress.ip_network((found, 64), strict=False))
    )
