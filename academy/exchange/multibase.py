"""Bytes as base58btc text (multibase ``z``), and Ed25519 keys as Multikeys.

Source: W3C Controlled Identifiers v1.0, sections Multibase and Multikey: two bytes in
front say what a key is.
"""

from academy.errors import NotUnderstood

ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
BASE58 = "z"
PUBLIC, SECRET = b"\xed\x01", b"\x80\x26"
KEY_BYTES = 32
LONGEST = 200


def encode(raw: bytes) -> str:
    """``raw`` in base58btc behind the letter z."""
    value, digits = int.from_bytes(raw, "big"), ""
    while value:
        value, rest = divmod(value, 58)
        digits = ALPHABET[rest] + digits
    zeros = len(raw) - len(raw.lstrip(b"\0"))
    return BASE58 + ALPHABET[0] * zeros + digits


def decode(text: str) -> bytes:
    """The bytes of a base58btc text; raises NotUnderstood for anything else."""
    digits = text[1:]
    if text[:1] != BASE58 or len(text) > LONGEST or set(digits) - set(ALPHABET):
        raise NotUnderstood("not_multibase", text=text[:LONGEST])
    value = 0
    for digit in digits:
        value = value * 58 + ALPHABET.index(digit)
    zeros = len(digits) - len(digits.lstrip(ALPHABET[0]))
    return b"\0" * zeros + value.to_bytes((value.bit_length() + 7) // 8, "big")


def public_multikey(raw: bytes) -> str:
    """A public Ed25519 key (32 bytes) as a Multikey: ``z6Mk…``."""
    return encode(PUBLIC + raw)


def secret_multikey(raw: bytes) -> str:
    """A secret Ed25519 key (32 bytes) as a Multikey: ``z3u2…``."""
    return encode(SECRET + raw)


def public_key(text: str) -> bytes:
    """The 32 bytes of a public Multikey; raises NotUnderstood."""
    return _key(text, PUBLIC)


def secret_key(text: str) -> bytes:
    """The 32 bytes of a secret Multikey; raises NotUnderstood."""
    return _key(text, SECRET)


def _key(text: str, kind: bytes) -> bytes:
    raw = decode(text)
    if len(raw) != len(kind) + KEY_BYTES or not raw.startswith(kind):
        raise NotUnderstood("not_an_ed25519_key", text=text[:8])
    return raw[len(kind) :]
