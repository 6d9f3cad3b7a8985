"""A certificate as a signed digital document: Open Badges 3.0, embedded proof.

An AchievementCredential of Open Badges 3.0 on the W3C Verifiable Credentials Data Model
2.0, signed as ``data_integrity`` says. It holds no name: who holds it is told by a
salted hash, so it can outlive the erasing of a person.

The signature covers what the document means. Different bytes can mean the same: spaces,
the order of a list. So the proof's nonce is the digest of the document's one canonical
JSON text, and a changed byte is told from a credential as it was issued.
"""

import hmac
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from itertools import pairwise
from typing import Any, Literal

from academy.errors import NotUnderstood
from academy.exchange import contexts, data_integrity, multibase, strict_json

CONTEXTS = (contexts.CREDENTIALS, contexts.BADGES, contexts.BADGE_EXTENSIONS)
STATUS = "1EdTechRevocationList"
NONCE = "sha256-"
PROOF_NAMES = {
    *("type", "cryptosuite", "created", "verificationMethod", "proofPurpose"),
    *("nonce", "proofValue"),
}
Verdict = Literal["fits", "changed", "unknown-key"]


@dataclass(frozen=True, slots=True)
class Stated:
    """What a credential states; texts in one language, moments aware.

    ``site`` is the issuer's address without a closing slash. ``holder_hash`` is
    ``hash_of_name`` with ``salt``. ``evidence`` are random ids by name.
    """

    certificate_id: str
    site: str
    issuer_name: str
    language: str
    key: str
    title: str
    scope: str
    narrative: str
    remark: str
    versions: str
    holder_hash: str
    salt: str
    evidence: tuple[tuple[str, str], ...]
    valid_from: datetime
    valid_until: datetime


@dataclass(frozen=True, slots=True)
class Read:
    """What a file says of itself; worth nothing before its signature fits."""

    document: dict[str, Any]
    id: str
    issuer: str
    issuer_name: str
    title: str
    scope: str
    valid_from: datetime | None
    valid_until: datetime | None
    key_id: str


def hash_of_name(name: str, salt: str) -> str:
    """A holder's name as an IdentityHash of Open Badges: SHA-256 of name and salt."""
    return f"sha256${sha256((name + salt).encode()).hexdigest()}"


def issuer_of(site: str) -> str:
    """The id of a site's issuer, which is where its profile lies."""
    return f"{site}/issuer"


def key_address(site: str, key_id: str) -> str:
    """Where a public key of an issuer lies; ``key_id`` is its Multikey."""
    return f"{issuer_of(site)}/keys/{key_id}"


def unsigned(stated: Stated) -> dict[str, Any]:
    """The credential before it is signed."""
    at = f"{stated.site}/c/{stated.certificate_id}"
    return {
        "@context": list(CONTEXTS),
        "id": at,
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "name": stated.title,
        "description": stated.remark,
        "issuer": {
            "id": issuer_of(stated.site),
            "type": ["Profile"],
            "name": stated.issuer_name,
            "url": stated.site,
        },
        "validFrom": _moment(stated.valid_from),
        "validUntil": _moment(stated.valid_until),
        "credentialSubject": {
            "id": f"{at}#holder",
            "type": ["AchievementSubject"],
            "identifier": [
                {
                    "type": "IdentityObject",
                    "hashed": True,
                    "identityHash": stated.holder_hash,
                    "identityType": "name",
                    "salt": stated.salt,
                }
            ],
            "achievement": {
                "id": f"{issuer_of(stated.site)}#{stated.key}",
                "type": ["Achievement"],
                "achievementType": "Certificate",
                "name": stated.title,
                "description": stated.scope,
                "criteria": {"id": f"{at}#criteria", "narrative": stated.narrative},
                "version": stated.versions,
                "inLanguage": stated.language,
            },
        },
        "evidence": [
            {"id": f"urn:uuid:{_dashed(hex_id)}", "type": ["Evidence"], "name": name}
            for name, hex_id in stated.evidence
        ],
        "credentialStatus": {
            "id": f"{issuer_of(stated.site)}/revocations",
            "type": STATUS,
        },
    }


def sign(stated: Stated, secret: bytes, now: datetime) -> str:
    """The signed credential as text, just as it is kept and handed out.

    Raises NotUnderstood when it states what the contexts do not define.
    """
    document = unsigned(stated)
    public = multibase.public_multikey(data_integrity.public_of(secret))
    options = {
        "type": data_integrity.TYPE,
        "cryptosuite": data_integrity.SUITE,
        "created": _moment(now),
        "verificationMethod": key_address(stated.site, public),
        "proofPurpose": "assertionMethod",
        "nonce": _digest(document),
    }
    proof = data_integrity.signed(document, options, secret)
    return strict_json.text_of({**document, "proof": [proof]})


def read(raw: bytes) -> Read:
    """What a file says of itself; raises NotUnderstood for what is no credential."""
    document = strict_json.read(raw)
    if not isinstance(document, dict) or not _is_credential(document):
        raise NotUnderstood("not_a_credential")
    issuer = document.get("issuer")
    told: dict[str, Any] = issuer if isinstance(issuer, dict) else {"id": issuer}
    subject = document.get("credentialSubject")
    achieved = subject.get("achievement") if isinstance(subject, dict) else None
    scope = achieved.get("description") if isinstance(achieved, dict) else None
    return Read(
        document=document,
        id=_text(document.get("id")),
        issuer=_text(told.get("id")),
        issuer_name=_text(told.get("name")),
        title=_text(document.get("name")),
        scope=_text(scope),
        valid_from=_read_moment(document.get("validFrom")),
        valid_until=_read_moment(document.get("validUntil")),
        key_id=_key_id(document),
    )


def verdict(raw: bytes, file: Read, keys: frozenset[str]) -> Verdict:
    """Whether a file is, byte by byte, what the holder of one of ``keys`` signed.

    ``keys`` are public Multikeys. Raises NotUnderstood for claims that are not defined.
    """
    if file.key_id not in keys:
        return "unknown-key"
    proof = _proof(file.document)
    if set(proof) != PROOF_NAMES or not _plain(file.document, proof):
        return "changed"
    if not _untouched(raw, file.document, proof):
        return "changed"
    public = multibase.public_key(file.key_id)
    fitting = data_integrity.fits(file.document, proof, public)
    return "fits" if fitting else "changed"


def profile(site: str, name: str, keys: tuple[str, ...]) -> dict[str, Any]:
    """The issuer as a document: who it is, and every key that ever signed."""
    methods = [key_document(site, one) for one in keys]
    return {
        "@context": [*CONTEXTS[:2], "https://www.w3.org/ns/cid/v1"],
        "id": issuer_of(site),
        "type": ["Profile"],
        "name": name,
        "url": site,
        "verificationMethod": methods,
        "assertionMethod": [method["id"] for method in methods],
    }


def key_document(site: str, key_id: str) -> dict[str, Any]:
    """One public key as a Multikey of W3C Controlled Identifiers."""
    return {
        "@context": "https://www.w3.org/ns/cid/v1",
        "id": key_address(site, key_id),
        "type": "Multikey",
        "controller": issuer_of(site),
        "publicKeyMultibase": key_id,
    }


def revocations(site: str, certificate_ids: tuple[str, ...]) -> dict[str, Any]:
    """The list of certificates that were taken back; it gives no reasons."""
    return {
        "id": f"{issuer_of(site)}/revocations",
        "issuer": issuer_of(site),
        "revokedCredentials": [
            {"id": f"{site}/c/{one}", "revoked": True} for one in certificate_ids
        ],
    }


def _plain(document: dict[str, Any], proof: dict[str, Any]) -> bool:
    """Whether it is as plain as what we write; anything else is not worth the time.

    Nameless things that point at each other can be made to take for ever to put in
    order. Ours has one of them, the holder's identity.
    """
    bare = {name: value for name, value in document.items() if name != "proof"}
    texts = all(isinstance(value, str) for value in proof.values())
    return texts and '"_:' not in strict_json.text_of(bare) and _nameless(bare) <= 1


def _nameless(value: Any) -> int:
    """How many objects in it have no id."""
    if isinstance(value, list):
        return sum(_nameless(one) for one in value)
    if not isinstance(value, dict):
        return 0
    return ("id" not in value) + sum(_nameless(one) for one in value.values())


def _untouched(raw: bytes, document: dict[str, Any], proof: dict[str, Any]) -> bool:
    bare = {name: value for name, value in document.items() if name != "proof"}
    as_issued = strict_json.text_of(document).encode() == raw
    nonce = _text(proof.get("nonce"))
    return as_issued and hmac.compare_digest(nonce.encode(), _digest(bare).encode())


def _digest(document: dict[str, Any]) -> str:
    return NONCE + sha256(strict_json.text_of(document).encode()).hexdigest()


def _proof(document: dict[str, Any]) -> dict[str, Any]:
    """The one proof of a document; empty when there is none, or more."""
    told = document.get("proof")
    one = told[0] if isinstance(told, list) and len(told) == 1 else None
    return one if isinstance(one, dict) else {}


def _key_id(document: dict[str, Any]) -> str:
    method = _text(_proof(document).get("verificationMethod"))
    return method.rpartition("/")[2]


def _is_credential(document: dict[str, Any]) -> bool:
    told = document.get("type")
    kinds = told if isinstance(told, list) else [told]
    return "VerifiableCredential" in kinds


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def _moment(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _read_moment(value: object) -> datetime | None:
    try:
        moment = datetime.fromisoformat(_text(value))
    except ValueError:
        return None
    return moment if moment.tzinfo else None


def _dashed(hex_id: str) -> str:
    cut = (0, 8, 12, 16, 20, 32)
    return "-".join(hex_id[a:b] for a, b in pairwise(cut))
