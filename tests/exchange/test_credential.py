"""The digital certificate: official schemas, an independent check, every byte guarded.

The independent check knows nothing of JSON-LD: the statements are written down by hand
from the standards' vocabularies, sorted, and the signature is checked by the formulas
of RFC 8032.
"""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256, sha512
from pathlib import Path
from time import process_time
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.errors import NotUnderstood
from academy.exchange import credential, data_integrity, multibase, strict_json
from academy.exchange.credential import Stated

STANDARDS = Path(__file__).parents[3] / "shared" / "standards"
BADGE_SCHEMA = STANDARDS / "openbadges/ob_v3p0_achievementcredential_schema.json"
VC_SCHEMA = STANDARDS / "vc/verifiable-credential-schema.json"
SECRET = bytes(range(32))
KEY = multibase.public_multikey(data_integrity.public_of(SECRET))
NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
SITE = "https://farm.example"
STATED = Stated(
    certificate_id="a" * 32,
    site=SITE,
    issuer_name="Upland Test Farm",
    language="es",
    key="soybean-on-the-ground",
    title="Operador de cabezal: soja a ras del suelo",
    scope='Ajusta <script>alert("x")</script> y opera.',
    narrative="Aprobó la evaluación.\nHizo la práctica en el patio.",
    remark="No es licencia.",
    versions="motor 2",
    holder_hash=credential.hash_of_name("Ñusta Weir", "0f" * 16),
    salt="0f" * 16,
    evidence=(("evaluación", "b" * 32), ("práctica", "c" * 32)),
    valid_from=NOW,
    valid_until=NOW + timedelta(days=200),
)
SIGNED = credential.sign(STATED, SECRET, NOW)
RAW = SIGNED.encode()


def _verdict(raw: bytes, *keys: str) -> str:
    try:
        return credential.verdict(raw, credential.read(raw), frozenset(keys or (KEY,)))
    except NotUnderstood as refused:
        return refused.key


# --- an independent path

TYPE = "<http://www.w3.org/1999/02/22-rdf-syntax-ns#type>"
VC = "https://www.w3.org/2018/credentials#"
OB = "https://purl.imsglobal.org/spec/vc/ob/vocab.html#"
SCHEMA = "https://schema.org/"
TIME = "http://www.w3.org/2001/XMLSchema#dateTime"
HTTPS_XSD = "https://www.w3.org/2001/XMLSchema#"  # as the badge context spells it


def _hand_written_document() -> str:
    """The credential's statements, by hand, in the order of their bytes."""
    at, issuer = f"{SITE}/c/{'a' * 32}", f"{SITE}/issuer"
    holder, criteria = f"<{at}#holder>", f"<{at}#criteria>"
    achieved = f"<{issuer}#soybean-on-the-ground>"
    held = sha256(("Ñusta Weir" + "0f" * 16).encode()).hexdigest()
    one, two = "bbbbbbbb-bbbb-bbbb-bbbb-", "cccccccc-cccc-cccc-cccc-"
    title = "Operador de cabezal: soja a ras del suelo"
    told = [
        f"<{at}> {TYPE} <{VC}VerifiableCredential>",
        f"<{at}> {TYPE} <{OB}OpenBadgeCredential>",
        f'<{at}> <{SCHEMA}name> "{title}"',
        f'<{at}> <{SCHEMA}description> "No es licencia."',
        f"<{at}> <{VC}issuer> <{issuer}>",
        f'<{at}> <{VC}validFrom> "2026-09-01T15:00:00Z"^^<{TIME}>',
        f'<{at}> <{VC}validUntil> "2027-03-20T15:00:00Z"^^<{TIME}>',
        f"<{at}> <{VC}credentialSubject> {holder}",
        f"<{at}> <{VC}credentialStatus> <{issuer}/revocations>",
        f"<{at}> <{VC}evidence> <urn:uuid:{one}{'b' * 12}>",
        f"<{at}> <{VC}evidence> <urn:uuid:{two}{'c' * 12}>",
        f"<urn:uuid:{one}{'b' * 12}> {TYPE} <{OB}Evidence>",
        f'<urn:uuid:{one}{"b" * 12}> <{SCHEMA}name> "evaluación"',
        f"<urn:uuid:{two}{'c' * 12}> {TYPE} <{OB}Evidence>",
        f'<urn:uuid:{two}{"c" * 12}> <{SCHEMA}name> "práctica"',
        f"<{issuer}> {TYPE} <{OB}Profile>",
        f'<{issuer}> <{SCHEMA}name> "Upland Test Farm"',
        f'<{issuer}> <{SCHEMA}url> "{SITE}"^^<{HTTPS_XSD}anyURI>',
        f"<{issuer}/revocations> {TYPE} "
        "<https://purl.imsglobal.org/spec/vcrl/v1p0/context.json#1EdTechRevocationList>",
        f"{holder} {TYPE} <{OB}AchievementSubject>",
        f"{holder} <{OB}achievement> {achieved}",
        f"{holder} <{OB}identifier> _:c14n0",
        f"_:c14n0 {TYPE} <{OB}IdentityObject>",
        f'_:c14n0 <{OB}hashed> "true"^^<{HTTPS_XSD}boolean>',
        f'_:c14n0 <{OB}identityHash> "sha256${held}"',
        f'_:c14n0 <{OB}identityType> "name"',
        f'_:c14n0 <{OB}salt> "{"0f" * 16}"',
        f"{achieved} {TYPE} <{OB}Achievement>",
        f'{achieved} <{OB}achievementType> "Certificate"',
        f'{achieved} <{SCHEMA}name> "{title}"',
        f"{achieved} <{SCHEMA}description> "
        r'"Ajusta <script>alert(\"x\")</script> y opera."',
        f"{achieved} <{OB}Criteria> {criteria}",
        f'{achieved} <{OB}version> "motor 2"',
        f'{achieved} <{SCHEMA}inLanguage> "es"',
        f"{criteria} <{OB}narrative> "
        r'"Aprobó la evaluación.\nHizo la práctica en el patio."',
    ]
    return "".join(sorted(f"{one} .\n" for one in told))


def _hand_written_options(nonce: str) -> str:
    security = "https://w3id.org/security#"
    told = [
        f'_:c14n0 <http://purl.org/dc/terms/created> "2026-09-01T15:00:00Z"^^<{TIME}>',
        f"_:c14n0 {TYPE} <{security}DataIntegrityProof>",
        f'_:c14n0 <{security}cryptosuite> "eddsa-rdfc-2022"'
        f"^^<{security}cryptosuiteString>",
        f'_:c14n0 <{security}nonce> "{nonce}"',
        f"_:c14n0 <{security}proofPurpose> <{security}assertionMethod>",
        f"_:c14n0 <{security}verificationMethod> <{SITE}/issuer/keys/{KEY}>",
    ]
    return "".join(sorted(f"{one} .\n" for one in told))


P = 2**255 - 19
ORDER = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
Point = tuple[int, int]


def _added(a: Point, b: Point) -> Point:
    """Sum of two points of the twisted Edwards curve (RFC 8032, 5.1)."""
    product = D * a[0] * b[0] * a[1] * b[1] % P
    x = (a[0] * b[1] + b[0] * a[1]) * pow(1 + product, P - 2, P)
    y = (a[1] * b[1] + a[0] * b[0]) * pow(1 - product, P - 2, P)
    return x % P, y % P


def _times(factor: int, point: Point) -> Point:
    found: Point = (0, 1)
    while factor:
        if factor & 1:
            found = _added(found, point)
        point, factor = _added(point, point), factor >> 1
    return found


def _point(raw: bytes) -> Point:
    """A point from its 32 bytes (RFC 8032, 5.1.3)."""
    y = int.from_bytes(raw, "little") & (2**255 - 1)
    square = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(square, (P + 3) // 8, P)
    if x * x % P != square:
        x = x * pow(2, (P - 1) // 4, P) % P
    assert x * x % P == square
    return (P - x if x & 1 != raw[31] >> 7 else x), y


BASE = _point((4 * pow(5, P - 2, P) % P).to_bytes(32, "little"))


def _fits_rfc_8032(public: bytes, message: bytes, signature: bytes) -> bool:
    """Whether [s]B = R + [k]A (RFC 8032, 5.1.7)."""
    s = int.from_bytes(signature[32:], "little")
    told = sha512(signature[:32] + public + message).digest()
    k = int.from_bytes(told, "little") % ORDER
    left = _times(s, BASE)
    right = _added(_point(signature[:32]), _times(k, _point(public)))
    return s < ORDER and left == right


def test_the_formulas_agree_with_the_first_vector_of_rfc_8032() -> None:
    # RFC 8032, section 7.1, test 1: the empty message (from memory)
    public = bytes.fromhex(
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
    )
    signature = bytes.fromhex(
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
    )
    assert _fits_rfc_8032(public, b"", signature)
    assert not _fits_rfc_8032(public, b"x", signature)


def test_the_signature_holds_without_any_of_our_code() -> None:
    document = json.loads(SIGNED)
    (proof,) = document.pop("proof")
    told = (
        sha256(_hand_written_options(proof["nonce"]).encode()).digest()
        + sha256(_hand_written_document().encode()).digest()
    )
    digits = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
    value = 0
    for digit in proof["proofValue"].removeprefix("z"):
        value = value * 58 + digits.index(digit)
    public = data_integrity.public_of(SECRET)
    assert _fits_rfc_8032(public, told, value.to_bytes(64, "big"))


def test_the_nonce_is_the_digest_of_the_text_without_the_proof() -> None:
    document = json.loads(SIGNED)
    (proof,) = document.pop("proof")
    text = json.dumps(
        document, sort_keys=True, ensure_ascii=False, separators=(",", ":")
    )
    assert proof["nonce"] == f"sha256-{sha256(text.encode()).hexdigest()}"


# --- official schemas


@pytest.mark.skipif(not BADGE_SCHEMA.is_file(), reason="the schema is not beside us")
def test_the_official_badge_schema_takes_it() -> None:
    schema = json.loads(BADGE_SCHEMA.read_text("utf-8"))
    check = jsonschema.Draft201909Validator(schema)
    check.validate(json.loads(SIGNED))
    broken = {n: v for n, v in json.loads(SIGNED).items() if n != "issuer"}
    assert not check.is_valid(broken)


@pytest.mark.skipif(not VC_SCHEMA.is_file(), reason="the schema is not beside us")
def test_the_official_schema_of_verifiable_credentials_takes_it() -> None:
    schema = json.loads(VC_SCHEMA.read_text("utf-8"))
    jsonschema.validators.validator_for(schema)(schema).validate(json.loads(SIGNED))


def test_the_name_is_told_only_by_a_salted_hash() -> None:
    assert "Ñusta" not in SIGNED
    assert "Weir" not in SIGNED
    # the example of the standard's IdentityHash: 'a@example.com' salted with 'Kosher'
    assert credential.hash_of_name("a@example.com", "Kosher") == (
        "sha256$b5809d8a92f8858436d7e6b87c12ebc0ae1eac4baecc2c0b913aee2c922ef399"
    )


# --- tampering


def test_what_was_signed_fits_and_another_key_is_unknown() -> None:
    assert _verdict(RAW) == "fits"
    other = multibase.public_multikey(data_integrity.public_of(bytes(32)))
    assert _verdict(RAW, other) == "unknown-key"


def test_no_single_byte_can_be_changed() -> None:
    for place in range(len(RAW)):
        changed = bytearray(RAW)
        changed[place] ^= 1
        assert _verdict(bytes(changed)) != "fits", place


@given(place=st.integers(0, len(RAW) - 1), byte=st.integers(0, 255))
def test_nor_put_in_taken_out_or_replaced(place: int, byte: int) -> None:
    one = bytes([byte])
    assert _verdict(RAW[:place] + one + RAW[place:]) != "fits"
    assert _verdict(RAW[:place] + RAW[place + 1 :]) != "fits"
    if RAW[place : place + 1] != one:
        assert _verdict(RAW[:place] + one + RAW[place + 1 :]) != "fits"


def _written(document: dict[str, Any]) -> bytes:
    return strict_json.text_of(document).encode()


def _parsed() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(SIGNED)
    return read


def _with_fresh_nonce(document: dict[str, Any]) -> bytes:
    """As somebody without the key would try it: the digest made to fit again."""
    bare = {name: told for name, told in document.items() if name != "proof"}
    text = strict_json.text_of(bare).encode()
    document["proof"][0]["nonce"] = f"sha256-{sha256(text).hexdigest()}"
    return _written(document)


@pytest.mark.parametrize(
    "raw",
    [
        RAW + b"\n",
        b" " + RAW,
        json.dumps(_parsed(), indent=1).encode(),
        json.dumps(_parsed(), ensure_ascii=True, sort_keys=True).encode(),
        _written({**_parsed(), "type": _parsed()["type"][::-1]}),
        _written({**_parsed(), "type": [*_parsed()["type"], _parsed()["type"][0]]}),
        _written({**_parsed(), "image": None}),
        _written(
            {**_parsed(), "type": ["VerifiableCredential", "AchievementCredential"]}
        ),
        _written({**_parsed(), "proof": _parsed()["proof"] * 2}),
        _written({**_parsed(), "proof": _parsed()["proof"][0]}),
    ],
)
def test_other_bytes_of_the_same_meaning_are_a_change_too(raw: bytes) -> None:
    assert _verdict(raw) in ("changed", "unknown-key", "not_json")


@pytest.mark.parametrize(
    ("name", "value", "found"),
    [
        ("name", "Anything", "changed"),
        ("validUntil", "2099-01-01T00:00:00Z", "changed"),
        ("grade", "A", "claim_not_defined"),
        ("@context", [*credential.CONTEXTS, {"grade": None}], "changed"),
    ],
)
def test_a_digest_made_to_fit_does_not_help(name: str, value: Any, found: str) -> None:
    document = _parsed() | {name: value}
    if name == "@context":
        document["grade"] = "A"
    assert _verdict(_with_fresh_nonce(document)) == found


def test_a_second_writing_of_the_same_signature_is_refused() -> None:
    # RFC 8032, 5.1.7: s must be below the order, or each signature would have twins
    document = _parsed()
    value = multibase.decode(document["proof"][0]["proofValue"])
    s = int.from_bytes(value[32:], "little") + ORDER
    twin = value[:32] + s.to_bytes(32, "little")
    document["proof"][0]["proofValue"] = multibase.encode(twin)
    assert _verdict(_written(document)) == "changed"


@pytest.mark.parametrize(
    "knot",
    [
        # twelve alike without names under one without a name: 12! orders to try
        {"related": [{"type": ["Related"]} for _ in range(12)]},
        # each of nine nameless ones points at all others
        {"related": [{"id": f"_:n{n}", "related": [f"_:n{m}" for m in range(9)]}
                     for n in range(9)]},
    ],
)  # fmt: skip
def test_a_knot_of_nameless_things_is_refused_at_once(knot: dict[str, Any]) -> None:
    document = _parsed()
    document["credentialSubject"]["achievement"].update(knot)
    begun = process_time()
    assert _verdict(_with_fresh_nonce(document)) == "changed"
    assert process_time() - begun < 1


def test_a_proof_of_anything_but_texts_is_refused() -> None:
    document = _parsed()
    document["proof"][0]["created"] = {"type": "x", "id": "_:b"}
    assert _verdict(_with_fresh_nonce(document)) == "changed"


@pytest.mark.parametrize(
    ("raw", "key"),
    [
        (b"", "not_json"),
        (b'{"type": "VerifiableCredential", "x": 1e999}', "not_json"),
        (rb'{"type": "VerifiableCredential", "x": "\ud800"}', "not_json"),
        (
            b'{"type": "VerifiableCredential", "x": ' + b"[" * 900 + b"]" * 900 + b"}",
            "unknown-key",
        ),
        (b"\xff\xfe", "not_json"),
        (b'{"type": NaN}', "not_json"),
        (b"[" * 100_000, "not_json"),
        (b'{"id": 1, "id": 2}', "name_twice"),
        (b"[]", "not_a_credential"),
        (b'{"type": "Something"}', "not_a_credential"),
        (b'{"type": "VerifiableCredential"}', "unknown-key"),
        (b'{"type": "VerifiableCredential", "proof": [5], "issuer": 5}', "unknown-key"),
    ],
)
def test_what_is_no_certificate_gets_its_own_answer(raw: bytes, key: str) -> None:
    assert _verdict(raw) == key


def test_a_statement_that_the_contexts_do_not_define_is_never_signed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = credential.unsigned
    monkeypatch.setattr(credential, "unsigned", lambda s: {**made(s), "grade": "A"})
    with pytest.raises(NotUnderstood, match="claim_not_defined"):
        credential.sign(STATED, SECRET, NOW)


def test_the_issuer_publishes_keys_and_what_was_taken_back() -> None:
    profile = credential.profile(SITE, "Upland Test Farm", (KEY, "z6MkOld"))
    methods = {one["id"]: one for one in profile["verificationMethod"]}
    method = json.loads(SIGNED)["proof"][0]["verificationMethod"]
    assert methods[method]["publicKeyMultibase"] == KEY
    assert methods[method]["controller"] == json.loads(SIGNED)["issuer"]["id"]
    assert method in profile["assertionMethod"]
    listed = credential.revocations(SITE, ("a" * 32,))
    assert listed["id"] == json.loads(SIGNED)["credentialStatus"]["id"]
    assert listed["revokedCredentials"][0]["id"] == json.loads(SIGNED)["id"]


def test_signing_is_quick() -> None:
    # the goal is 10 ms on an idle machine; a busy one gets three times that
    taken = []
    for number in range(15):
        begun = process_time()
        credential.sign(replace(STATED, versions=str(number)), SECRET, NOW)
        taken.append(process_time() - begun)
    assert min(taken) <= 0.030
