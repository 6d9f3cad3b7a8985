"""Embedded proofs of the cryptosuite ``eddsa-rdfc-2022``.

Source: W3C Recommendation "Data Integrity EdDSA Cryptosuites v1.0": canonical N-Quads
(RDFC-1.0) of the document and of the proof's options, SHA-256 of both, Ed25519 over
proof hash and document hash.

A processor of JSON-LD drops without a word what its contexts do not define, so such a
claim would stand in a document without being signed. Here it is refused.
"""

from collections.abc import Callable, Mapping
from hashlib import sha256
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import (
    Ed25519PrivateKey,
    Ed25519PublicKey,
)

from academy.errors import NotUnderstood
from academy.exchange import contexts, multibase

SUITE = "eddsa-rdfc-2022"
TYPE = "DataIntegrityProof"
SIGNATURE_BYTES = 64
NOWHERE = "https://relative.invalid/"
"""Where relative names are resolved to, so that they can be told and refused."""
Document = Mapping[str, Any]
Loader = Callable[..., dict[str, Any]]


def new_secret() -> bytes:
    """A fresh secret key, 32 bytes."""
    return Ed25519PrivateKey.generate().private_bytes_raw()


def public_of(secret: bytes) -> bytes:
    """The public key, 32 bytes, of a secret one."""
    return Ed25519PrivateKey.from_private_bytes(secret).public_key().public_bytes_raw()


def canonical(document: Document, load: Loader = contexts.load) -> str:
    """The document's canonical N-Quads.

    Raises NotUnderstood for a claim that the contexts do not define, and for what is
    no JSON-LD at all.
    """
    from pyld import jsonld  # late: most commands never need it

    dropped: list[Any] = []
    options = {"documentLoader": load, "base": NOWHERE}
    processor = jsonld.JsonLdProcessor(on_property_dropped=dropped.append)
    try:
        expanded = processor.expand(dict(document), dict(options))
        quads = jsonld.normalize(
            expanded,
            {**options, "algorithm": "URDNA2015", "format": "application/n-quads"},
        )
    except (jsonld.JsonLdError, TypeError, ValueError, RecursionError) as found:
        raise NotUnderstood("not_json_ld") from _unknown_context(found)
    _refuse_undefined(expanded, dropped)
    return str(quads)


def signed(
    document: Document, options: Document, secret: bytes, load: Loader = contexts.load
) -> dict[str, Any]:
    """The proof of a document: its options with ``proofValue`` added.

    ``options`` are the proof without its value; the context is the document's. Raises
    NotUnderstood.
    """
    key = Ed25519PrivateKey.from_private_bytes(secret)
    value = key.sign(to_sign(document, options, load))
    return {**options, "proofValue": multibase.encode(value)}


def fits(
    document: Document, proof: Document, public: bytes, load: Loader = contexts.load
) -> bool:
    """Whether a proof is of this document and made with this key.

    Raises NotUnderstood for a document that is not JSON-LD of our contexts.
    """
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    if options.get("type") != TYPE or options.get("cryptosuite") != SUITE:
        return False
    try:
        value = multibase.decode(str(proof.get("proofValue", "")))
    except NotUnderstood:
        return False
    return _verified(public, value, to_sign(document, options, load))


def to_sign(
    document: Document, options: Document, load: Loader = contexts.load
) -> bytes:
    """The 64 bytes that are signed: hash of the options, hash of the document."""
    unsigned = {name: value for name, value in document.items() if name != "proof"}
    configured = {"@context": unsigned.get("@context", []), **options}
    return _hash(canonical(configured, load)) + _hash(canonical(unsigned, load))


def _hash(quads: str) -> bytes:
    return sha256(quads.encode()).digest()


def _verified(public: bytes, value: bytes, told: bytes) -> bool:
    if len(value) != SIGNATURE_BYTES:
        return False
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(value, told)
    except (InvalidSignature, ValueError):
        return False
    return True


def _unknown_context(found: BaseException) -> BaseException:
    """The refusal of our own loader where one lies beneath, else the error itself."""
    beneath: BaseException | None = found
    while beneath is not None:
        if isinstance(beneath, NotUnderstood):
            raise beneath
        beneath = beneath.__cause__ or beneath.__context__
    return found


def _refuse_undefined(expanded: Any, dropped: list[Any]) -> None:
    """Raise NotUnderstood for claims that expansion dropped, and for relative names."""
    names = [*map(str, dropped), *_relative(expanded)]
    if names:
        raise NotUnderstood("claim_not_defined", text=", ".join(sorted(set(names))))


def _relative(value: Any) -> list[str]:
    if isinstance(value, list):
        return [name for one in value for name in _relative(one)]
    if not isinstance(value, dict):
        return []
    found = []
    for key, inside in value.items():
        if key in ("@id", "@type"):
            told = inside if isinstance(inside, list) else [inside]
            names = [str(one) for one in told]
            found += [n.removeprefix(NOWHERE) for n in names if n.startswith(NOWHERE)]
        else:
            found += _relative(inside)
    return found
