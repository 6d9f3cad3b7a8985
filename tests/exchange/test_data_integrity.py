"""Proofs against the W3C's own vectors, and keys against RFC 8032.

The standards' files are read beside the project when they are there; nothing of them is
carried. ``test_credential`` has a check that needs none of them.
"""

import json
import socket
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from academy.errors import NotUnderstood
from academy.exchange import contexts, data_integrity, multibase

STANDARDS = Path(__file__).parents[3] / "shared" / "standards"
VECTORS = STANDARDS / "eddsa-rdfc-2022"
BADGES = STANDARDS / "openbadges"
EXAMPLES = "https://www.w3.org/ns/credentials/examples/v2"
needs_vectors = pytest.mark.skipif(
    not VECTORS.is_dir(), reason="the W3C vectors are not beside the project"
)
needs_badges = pytest.mark.skipif(
    not BADGES.is_dir(), reason="the example credentials are not beside the project"
)
# RFC 8032, section 7.1, test 1 (from memory; our signing must agree with it)
SECRET = bytes.fromhex(
    "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
)
PUBLIC = bytes.fromhex(
    "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
)


def _with_examples(address: str, options: object = None) -> dict[str, Any]:
    """Our contexts, and the one the vectors use: every word is an example."""
    if address != EXAMPLES:
        return contexts.load(address, options)
    vocabulary = "https://www.w3.org/ns/credentials/examples#"
    return {
        "contentType": "application/ld+json",
        "contextUrl": None,
        "documentUrl": address,
        "document": {"@context": {"@vocab": vocabulary}},
    }


def _json(path: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return read


def _proof(document: dict[str, Any]) -> dict[str, Any]:
    told = document["proof"]
    one: dict[str, Any] = told[0] if isinstance(told, list) else told
    return one


def test_a_public_key_comes_from_its_secret_as_in_rfc_8032() -> None:
    assert data_integrity.public_of(SECRET) == PUBLIC


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        # test vectors of the Internet draft "The Base58 Encoding Scheme" (from memory)
        (b"Hello World!", "2NEpo7TZRRrLZSi2U"),
        (
            b"The quick brown fox jumps over the lazy dog.",
            "USm3fpXnKG5EUBx2ndxBDMPVciP5hGey2Jh4NDv6gmeo1LkMeiKrLJUUBk6Z",
        ),
        (bytes.fromhex("0000287fb4cd"), "11233QC4"),
    ],
)
def test_bytes_become_base58_text_and_come_back(raw: bytes, text: str) -> None:
    assert multibase.encode(raw) == f"z{text}"
    assert multibase.decode(f"z{text}") == raw


@pytest.mark.parametrize("text", ["", "6Mk", "zO0", "z6Mk", "z" + "2" * 300])
def test_what_is_no_key_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        multibase.public_key(text)


def test_a_secret_key_is_never_taken_for_a_public_one() -> None:
    with pytest.raises(NotUnderstood):
        multibase.public_key(multibase.secret_multikey(SECRET))


@needs_vectors
def test_keys_are_written_as_in_the_vectors() -> None:
    pair = _json(VECTORS / "keyPair.json")
    secret = multibase.secret_key(pair["privateKeyMultibase"])
    public = multibase.public_key(pair["publicKeyMultibase"])
    assert data_integrity.public_of(secret) == public
    assert multibase.public_multikey(public) == pair["publicKeyMultibase"]
    assert multibase.secret_multikey(secret) == pair["privateKeyMultibase"]


@needs_vectors
@pytest.mark.parametrize(
    ("source", "text", "digest"),
    [
        ("unsigned.json", "canonDocDataInt.txt", "docHashDataInt.txt"),
        ("proofConfigDataInt.json", "proofCanonDataInt.txt", "proofHashDataInt.txt"),
    ],
)
def test_each_step_of_the_vectors_comes_out(
    source: str, text: str, digest: str
) -> None:
    found = data_integrity.canonical(_json(VECTORS / source), _with_examples)
    assert found == (VECTORS / text).read_text("utf-8")
    assert sha256(found.encode()).hexdigest() == (VECTORS / digest).read_text().strip()


@needs_vectors
def test_the_signature_of_the_vectors_comes_out() -> None:
    document = _json(VECTORS / "signedDataInt.json")
    expected = document.pop("proof")
    options = {name: told for name, told in expected.items() if name != "proofValue"}
    told = data_integrity.to_sign(document, options, _with_examples)
    assert told.hex() == (VECTORS / "combinedHashDataInt.txt").read_text().strip()
    pair = _json(VECTORS / "keyPair.json")
    secret = multibase.secret_key(pair["privateKeyMultibase"])
    made = data_integrity.signed(document, options, secret, _with_examples)
    assert made == expected
    assert made["proofValue"] == (VECTORS / "sigBTC58DataInt.txt").read_text().strip()
    raw = multibase.decode(made["proofValue"])
    assert raw.hex() == (VECTORS / "sigHexDataInt.txt").read_text().strip()
    public = multibase.public_key(pair["publicKeyMultibase"])
    assert data_integrity.fits(document, made, public, _with_examples)


@needs_badges
@pytest.mark.parametrize(
    ("name", "fits"),
    [
        ("complete.json", True),
        ("simple-err-expired.json", True),  # old, but signed rightly
        ("simple-err-issuer.json", True),  # lacks its issuer, but signed rightly
        ("simple-err-proof-value.json", False),
        ("simple-eddsa-2022.json", False),  # another, older cryptosuite
    ],
)
def test_credentials_signed_by_others_are_told_apart(name: str, fits: bool) -> None:
    document = _json(BADGES / name)
    proof = _proof(document)
    public = multibase.public_key(proof["verificationMethod"].partition("#")[2])
    assert data_integrity.fits(document, proof, public) is fits


SIMPLE: dict[str, Any] = {
    "@context": [contexts.CREDENTIALS, contexts.BADGES],
    "id": "urn:uuid:00000000-0000-0000-0000-000000000001",
    "type": ["VerifiableCredential", "OpenBadgeCredential"],
    "name": "A name",
    "issuer": "https://farm.example/issuer",
}


def _put(path: str, value: object) -> Callable[[], dict[str, Any]]:
    return lambda: {**SIMPLE, path: value}


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("claim_not_defined", _put("grade", "A")),
        (
            "claim_not_defined",
            lambda: {
                **SIMPLE,
                "@context": [*SIMPLE["@context"], {"grade": None}],
                "grade": "A",
            },
        ),
        ("claim_not_defined", _put("type", ["VerifiableCredential", "Invented"])),
        ("claim_not_defined", _put("issuer", {"id": "relative", "name": "x"})),
        ("context_not_known", _put("@context", "https://elsewhere.example/terms")),
        ("not_json_ld", _put("@context", {"name": 5})),
    ],
)
def test_what_no_signature_would_cover_is_refused(
    key: str, change: Callable[[], dict[str, Any]]
) -> None:
    with pytest.raises(NotUnderstood) as refused:
        data_integrity.canonical(change())
    assert refused.value.key == key


def test_nothing_is_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    def _no_network(*_args: object, **_kwargs: object) -> None:
        raise AssertionError("somebody opened a connection")

    monkeypatch.setattr(socket, "socket", _no_network)
    monkeypatch.setattr(socket, "create_connection", _no_network)
    assert "A name" in data_integrity.canonical(SIMPLE)
    with pytest.raises(NotUnderstood):
        data_integrity.canonical({**SIMPLE, "@context": "https://elsewhere.example/"})
