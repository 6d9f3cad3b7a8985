"""Six-digit PINs: picked by the program, kept as a slow hash under a pepper.

Six digits alone fall in a second to whoever steals the table. The pepper, a secret
outside the database, is mixed in before the slow hash: the table without it is worth
nothing. A PIN also works only on a device that a slip enrolled.
"""

import hashlib
import hmac
import os
import secrets
from pathlib import Path

from argon2 import PasswordHasher
from argon2.exceptions import VerificationError
from argon2.low_level import Type

from academy.errors import ContentError

DIGITS = 6
_PEPPER_BYTES = 32
_SLOW = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1, type=Type.ID)


def fresh_pin() -> str:
    """A PIN of six random digits, leading zeros and all."""
    return f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"


def pin_hash(pin: str, pepper: bytes) -> str:
    """What the database keeps of a PIN."""
    return _SLOW.hash(_peppered(pin, pepper))


def pin_fits(pin: str, kept: str, pepper: bytes) -> bool:
    """Whether a typed PIN is the kept one; spaces around and inside do not count."""
    try:
        return _SLOW.verify(kept, _peppered("".join(pin.split()), pepper))
    except VerificationError:
        return False


def read_pepper(path: Path) -> bytes:
    """The pepper in a file, made for its owner's eyes only when there is none."""
    if not path.exists():
        _make_pepper(path)
    try:
        pepper = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except ValueError as found:
        raise ContentError("pepper_broken", file=path.name) from found
    if len(pepper) != _PEPPER_BYTES:
        raise ContentError("pepper_broken", file=path.name)
    return pepper


def _make_pepper(path: Path) -> None:
    """Write beside, then link into place: two first starts agree on one pepper."""
    draft = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(_PEPPER_BYTES) + "\n")
        path.hardlink_to(draft)
    except FileExistsError:
        pass
    finally:
        draft.unlink()


def _peppered(pin: str, pepper: bytes) -> str:
    raw = pin.encode("utf-8", "surrogatepass")
    return hmac.new(pepper, raw, hashlib.sha256).hexdigest()
