"""The pepper on its way into a backup and back; ``pins`` says what it is for."""

import hashlib
import hmac
import os
import secrets
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Literal

from academy.service.pins import read_pepper

SECRET, MARK = "pepper", "pepper_mark"
Fits = Literal["kept", "put", "replaced", "other", "unknown"]


def note_of(path: Path, secret: bool) -> dict[str, str]:
    """What a backup notes of a pepper: a mark to know it by, and itself if asked."""
    if not path.exists():
        return {}
    pepper = read_pepper(path)
    return {MARK: _mark(pepper)} | ({SECRET: pepper.hex()} if secret else {})


def take(path: Path, note: Mapping[str, str], now: datetime) -> Fits:
    """Let the pepper be the one of a backup; what became of it.

    ``kept``: it was the very one. ``put``: none was here. ``replaced``: another one was
    here and is kept beside. ``other``: the backup has none and means another one;
    PINs will not fit. ``unknown``: a bare copy of a database says nothing of it.
    """
    here = read_pepper(path) if path.exists() else None
    if here is not None and note.get(MARK) == _mark(here):
        return "kept"
    if SECRET not in note:
        return "other" if MARK in note else "unknown"
    if here is None:
        _put(path, note[SECRET])
        return "put"
    path.with_name(dated(path.name, now)).hardlink_to(path)
    _put(path, note[SECRET])
    return "replaced"


def dated(name: str, now: datetime) -> str:
    """The name under which something replaced is kept."""
    return f"{name}.before-{now:%Y%m%d-%H%M%S}"


def _put(path: Path, text: str) -> None:
    draft = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(text + "\n")
        file.flush()
        os.fsync(file.fileno())
    os.replace(draft, path)


def _mark(pepper: bytes) -> str:
    """Tells a pepper from others and tells nothing else: it has 256 random bits."""
    return hmac.new(pepper, b"which pepper", hashlib.sha256).hexdigest()
