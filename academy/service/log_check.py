"""Whether the log and what it tells of are still as they were written.

(a) Every entry's hash, place and link. (b) Every seal. (c) Every row that an entry
tells of says the same now. (d) Every row that must stand in the log does. Nothing is
changed.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from academy.records.connection import Connection
from academy.records.copying import refuse_other_release
from academy.records.queries import chain, logged_rows
from academy.records.queries.chain import NOTHING, Entry, Seal
from academy.service.installation import Installation
from academy.service.log import KINDS


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing that is not as it was written.

    ``what``: changed, missing, moved, unlinked (an entry); seal_changed, seal_unlinked,
    seal_unknown (``where`` is the day, or the seal asked for); row_changed (``fields``
    of the row), row_gone, not_logged (``where`` names the row).
    """

    what: str
    where: str
    chain: str | None = None
    place: int | None = None
    kind: str | None = None
    fields: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """How much was looked at, and all that is not as it was written, in order."""

    entries: int
    chains: int
    rows: int
    seals: int
    sealed_to: date | None
    seal: str | None
    flaws: tuple[Flaw, ...]

    @property
    def clean(self) -> bool:
        """Whether all is as it was written."""
        return not self.flaws

    def as_plain(self) -> dict[str, Any]:
        """The report as plain data."""
        told = {"clean": self.clean} | asdict(self)
        told["sealed_to"] = None if self.sealed_to is None else str(self.sealed_to)
        return told


def verify(installed: Installation, noted: str | None = None) -> Report:
    """Verify log and rows at one moment of the database.

    ``noted`` is a seal's hash that was written down elsewhere. Raises NotFound without
    a database, Conflict for tables of another release.
    """
    installed.check_there()
    with installed.database.snapshot() as connection:
        refuse_other_release(connection, installed.database)
        return check(connection, noted)


def check(connection: Connection, noted: str | None = None) -> Report:
    """Verify log and rows over an open connection."""
    entries = chain.everything(connection)
    seals = chain.seals(connection)
    newest = seals[-1] if seals else None
    flaws = [
        *_chain_flaws(entries),
        *_seal_flaws(entries, seals),
        *_noted_flaws(seals, noted),
        *_row_flaws(connection, entries),
        *_unlogged(connection, entries),
    ]
    return Report(
        entries=len(entries),
        chains=len({one.chain for one in entries}),
        rows=sum(1 for _ in _to_hold(entries)),
        seals=len(seals),
        sealed_to=newest.day if newest else None,
        seal=newest.hash if newest else None,
        flaws=tuple(flaws),
    )


def _chain_flaws(entries: Iterable[Entry]) -> Iterator[Flaw]:
    """Walk each chain; what comes after a break is measured from there on."""
    last: Entry | None = None
    for one in entries:
        if last is not None and last.chain != one.chain:
            last = None
        what = _flaw_of(one, last)
        if what:
            yield Flaw(what, one.chain, one.chain, one.place, one.kind)
        last = one


def _flaw_of(one: Entry, last: Entry | None) -> str | None:
    if one.place != (1 if last is None else last.place + 1):
        return "missing"
    body = (one.chain, one.place, one.kind, one.at, one.body, one.before)
    if one.hash != chain.hash_of(*body):
        return "changed"
    if one.before != (NOTHING if last is None else last.hash):
        return "unlinked"
    return "moved" if last is not None and one.id <= last.id else None


def _seal_flaws(entries: Sequence[Entry], seals: Iterable[Seal]) -> Iterator[Flaw]:
    by_age = sorted(entries, key=lambda one: one.id)
    ends: dict[str, str] = {}
    done, before = 0, NOTHING
    for seal in seals:
        while done < len(by_age) and by_age[done].id <= seal.entries:
            ends[by_age[done].chain] = by_age[done].hash
            done += 1
        if seal.before != before:
            yield Flaw("seal_unlinked", seal.day.isoformat())
        elif seal.hash != chain.seal_hash(seal.day, ends, seal.before):
            yield Flaw("seal_changed", seal.day.isoformat())
        before = seal.hash


def _noted_flaws(seals: Iterable[Seal], noted: str | None) -> Iterator[Flaw]:
    if noted is not None and noted not in {seal.hash for seal in seals}:
        yield Flaw("seal_unknown", noted)


def _to_hold(entries: Iterable[Entry]) -> Iterator[tuple[Entry, tuple[Any, ...]]]:
    """Entries to hold against their rows, with the rows' names.

    Of a row that may change, only the newest entry.
    """
    newest: dict[tuple[Any, ...], Entry] = {}
    for one in entries:
        if one.kind not in KINDS or not all(
            name in one.body for name in KINDS[one.kind].names
        ):
            continue
        lasting = KINDS[one.kind].lasting
        newest[one.id if lasting else one.kind, *_names(one)] = one
    return ((one, _names(one)) for one in newest.values())


def _names(one: Entry) -> tuple[Any, ...]:
    """The names of the row that an entry tells of."""
    return tuple(one.body.get(name) for name in KINDS[one.kind].names)


def _row_flaws(connection: Connection, entries: Iterable[Entry]) -> Iterator[Flaw]:
    for one, names in _to_hold(entries):
        where = _row(one.kind, names)
        try:
            now = KINDS[one.kind].body(connection, *names)
        except LookupError:
            yield Flaw("row_gone", where, one.chain, one.place, one.kind)
            continue
        differ = tuple(
            name for name, told in now.items() if one.body.get(name, told) != told
        )
        if differ:
            yield Flaw("row_changed", where, one.chain, one.place, one.kind, differ)


def _unlogged(connection: Connection, entries: Iterable[Entry]) -> Iterator[Flaw]:
    told = {(one.kind, *_names(one)) for one in entries if one.kind in KINDS}
    for kind, rows in logged_rows.due(connection).items():
        for names in rows:
            if (kind, *names) not in told:
                yield Flaw("not_logged", _row(kind, names), kind=kind)


def _row(kind: str, names: Iterable[Any]) -> str:
    return " ".join([kind, *(str(name) for name in names)])
