"""Whether a certificate's file is genuine: checked here, without any network.

What the file itself says is believed only once its signature fits a key that is known:
one that ever signed here, or one that the asker brings along. Whether it was revoked is
known only to the farm that issued it.
"""

from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from academy.errors import AcademyError, NotUnderstood
from academy.exchange import credential, multibase
from academy.exchange.credential import Read
from academy.records.connection import Connection
from academy.records.copying import refuse_other_release
from academy.records.queries import certificates as rows
from academy.records.queries import farm as farms
from academy.service import certificate_lists, signing_keys
from academy.service.house import House
from academy.service.installation import Installation

VALID = "valid"
_REVOCATIONS = {
    "": "unknown",
    "fine": "not-revoked",
    "doubt": "not-revoked",
    "revoked": "revoked",
}


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found: one ``state`` and what it rests on.

    ``state``: valid, expired, not-yet, revoked, doubt (an appeal overturned what it was
    given for), changed, or unknown-key. ``revocation`` is known only when it was issued
    here: not-revoked, revoked, unknown.
    ``brought``: the key was the asker's. What the file says – title, issuer, days – is
    empty when nothing vouches for it.
    """

    state: str
    revocation: str
    brought: bool
    key: str
    title: str = ""
    scope: str = ""
    issuer: str = ""
    issuer_address: str = ""
    address: str = ""
    valid_from: datetime | None = None
    valid_until: datetime | None = None

    @property
    def valid(self) -> bool:
        """Whether it holds today, as far as this program can tell."""
        return self.state == VALID

    def as_plain(self) -> dict[str, Any]:
        """The finding as plain data."""
        told = asdict(self) | {"valid": self.valid}
        for name in ("valid_from", "valid_until"):
            moment = told[name]
            told[name] = moment.isoformat() if moment else None
        return told


@dataclass(frozen=True, slots=True)
class Vouching:
    """What this program knows: keys, and how the certificate stands if issued here.

    ``standing``: empty for one that was not, else fine, revoked or doubt.
    """

    keys: frozenset[str]
    standing: str = ""


def check(house: House, raw: bytes, now: datetime, key: str = "") -> Checked:
    """Check a file on a running site; ``key`` is another issuer's public key.

    Raises NotUnderstood for what is no certificate's file, or no key.
    """
    with house.db.read() as connection:
        known = _known(connection, raw, signing_keys.published(house.instance))
    return checked(raw, known, now, key)


def check_beside(
    installed: Installation, raw: bytes, now: datetime, key: str = ""
) -> Checked:
    """The same on a computer with or without a farm; nothing is made or changed.

    Raises NotUnderstood.
    """
    keys = signing_keys.published(installed.instance)
    known = Vouching(frozenset(keys))
    try:
        installed.check_there()
        with installed.database.snapshot() as connection:
            refuse_other_release(connection, installed.database)
            known = _known(connection, raw, keys)
    except AcademyError:
        pass
    return checked(raw, known, now, key)


def checked(raw: bytes, known: Vouching, now: datetime, key: str = "") -> Checked:
    """What can be said of a file; raises NotUnderstood."""
    brought = brought_along(key)
    file = credential.read(raw)
    found = credential.verdict(raw, file, known.keys | brought)
    mine = file.key_id in known.keys
    if found != "fits":
        return Checked(found, "unknown", not mine and bool(brought), file.key_id[:60])
    standing = known.standing if mine else ""
    return Checked(
        state=_state(file, standing, now),
        revocation=_REVOCATIONS[standing],
        brought=not mine,
        key=file.key_id,
        title=file.title,
        scope=file.scope,
        issuer=file.issuer_name,
        issuer_address=file.issuer,
        address=file.id,
        valid_from=file.valid_from,
        valid_until=file.valid_until,
    )


def brought_along(key: str) -> frozenset[str]:
    """A key as it was typed, alone or as its address; raises NotUnderstood."""
    tidy = key.strip().rpartition("/")[2]
    if not tidy:
        return frozenset()
    multibase.public_key(tidy)
    return frozenset([tidy])


def issuer_profile(house: House) -> dict[str, Any]:
    """The issuer's document with every public key; raises NotFound, ContentError."""
    with house.db.read() as connection:
        name = _farm_name(connection)
        kept = rows.key_ids(connection)
    keys = signing_keys.published(house.instance)
    ordered = [*keys, *(one for one in kept if one not in keys)]
    return credential.profile(house.settings.address, name, tuple(ordered))


def key_document(house: House, key_id: str) -> dict[str, Any] | None:
    """One public key of this issuer; None for one that is not its own."""
    methods = issuer_profile(house)["verificationMethod"]
    mine = (one for one in methods if one["publicKeyMultibase"] == key_id)
    return next(mine, None)


def revocation_list(house: House) -> dict[str, Any]:
    """The certificates that were taken back, by number, without reasons."""
    with house.db.read() as connection:
        return credential.revocations(house.settings.address, rows.revoked(connection))


def _known(connection: Connection, raw: bytes, keys: Collection[str]) -> Vouching:
    """Keys of this issuer, and whether the file's certificate was issued here."""
    all_keys = frozenset(keys) | frozenset(rows.key_ids(connection))
    try:
        number = credential.read(raw).id.rpartition("/")[2]
    except NotUnderstood:
        return Vouching(all_keys)
    kept = rows.get(connection, number)
    if kept is None:
        return Vouching(all_keys)
    if kept.revoked_at:
        return Vouching(all_keys, "revoked")
    doubted = bool(certificate_lists.overturned(connection, [kept]))
    return Vouching(all_keys, "doubt" if doubted else "fine")


def _state(file: Read, standing: str, now: datetime) -> str:
    if standing in ("revoked", "doubt"):
        return standing
    if file.valid_from is not None and now < file.valid_from:
        return "not-yet"
    if file.valid_until is None or now > file.valid_until:
        return "expired"
    return VALID


def _farm_name(connection: Connection) -> str:
    found = farms.get(connection)
    return found.name if found else ""
