"""The keys that sign certificates, in ``instance/keys``, for their owner's eyes only.

One file per key, numbered; the newest signs. A key that is followed by another loses
its secret half and keeps its public one, so that what it signed can be checked for ever
and nothing can be signed with it any more. The public halves also stand in the database
beside what they signed: a lost folder costs a key, no certificate.
"""

import json
import os
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from academy.errors import ContentError, NotUnderstood
from academy.exchange import data_integrity, multibase

FOLDER = "keys"
ENDING = ".key"


@dataclass(frozen=True, slots=True)
class SigningKey:
    """A key: its id, which is its public half as a Multikey, and its secret half."""

    id: str
    secret: bytes


def current(instance: Path, now: datetime) -> SigningKey:
    """The key that signs; made when there is none. Raises ContentError."""
    files = _files(instance)
    found = _read(files[-1]) if files else None
    if found is None:
        _make(instance, _next(files), now)
        return current(instance, now)
    return found


def renew(instance: Path, now: datetime) -> str:
    """A fresh key from now on; its id. Those before it can only check any more.

    Raises ContentError for a key file that cannot be read.
    """
    before = _files(instance)
    _make(instance, _next(before), now)
    for path in before:
        _take_secret(path)
    return current(instance, now).id


def published(instance: Path) -> tuple[str, ...]:
    """The public keys that lie here, the newest first; raises ContentError."""
    return tuple(_told(path)["public"] for path in reversed(_files(instance)))


def _files(instance: Path) -> list[Path]:
    return sorted((instance / FOLDER).glob(f"*{ENDING}"))


def _next(files: list[Path]) -> int:
    """The number after the newest; raises ContentError for a name that is none."""
    if not files:
        return 1
    if not files[-1].stem.isdecimal():
        raise ContentError("signing_key_broken", file=files[-1].name)
    return int(files[-1].stem) + 1


def _told(path: Path) -> dict[str, str]:
    try:
        told = json.loads(path.read_text("utf-8"))
        multibase.public_key(told["public"])
    except (ValueError, KeyError, TypeError, NotUnderstood) as found:
        raise ContentError("signing_key_broken", file=path.name) from found
    return dict(told)


def _read(path: Path) -> SigningKey | None:
    """The key in a file; None when it holds the public half alone."""
    told = _told(path)
    if "secret" not in told:
        return None
    try:
        secret = multibase.secret_key(told["secret"])
    except NotUnderstood as found:
        raise ContentError("signing_key_broken", file=path.name) from found
    public = multibase.public_multikey(data_integrity.public_of(secret))
    if public != told["public"]:
        raise ContentError("signing_key_broken", file=path.name)
    return SigningKey(public, secret)


def _make(instance: Path, number: int, now: datetime) -> None:
    """Write beside, then link into place: two first certificates agree on one key."""
    folder = instance / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    secret = data_integrity.new_secret()
    told = {
        "public": multibase.public_multikey(data_integrity.public_of(secret)),
        "secret": multibase.secret_multikey(secret),
        "made_at": now.astimezone(UTC).isoformat(timespec="seconds"),
    }
    draft = _draft(folder, told)
    try:
        (folder / f"{number:04d}{ENDING}").hardlink_to(draft)
    except FileExistsError:
        pass
    finally:
        draft.unlink()


def _take_secret(path: Path) -> None:
    told = {name: said for name, said in _told(path).items() if name != "secret"}
    os.replace(_draft(path.parent, told), path)


def _draft(folder: Path, told: dict[str, str]) -> Path:
    draft = folder / f".{secrets.token_hex(8)}"
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(json.dumps(told, indent=1) + "\n")
        file.flush()
        os.fsync(file.fileno())
    return draft
