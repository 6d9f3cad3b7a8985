"""Opaque tokens: random text that only its holder knows.

The database keeps the SHA-256 of a token, never the token: who reads the tables can
sign in as nobody. A token carries 256 random bits, so a plain hash needs no salt.
"""

import hashlib
import secrets


def fresh_token() -> str:
    """A new token, safe in an address."""
    return secrets.token_urlsafe(32)


def kept(token: str) -> str:
    """What the database keeps of a token: 64 hexadecimal digits."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
