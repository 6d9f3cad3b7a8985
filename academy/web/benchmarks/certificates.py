"""A certificate's two forms: signing and checking the file, laying out the paper."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median
from time import perf_counter

from academy.exchange import certificate_pdf, credential, data_integrity, multibase
from academy.exchange.certificate_pdf import Paper
from academy.exchange.credential import Stated
from academy.web.benchmarks.measure import Measure

REPEATS = 15
NOW = datetime(2026, 9, 1, tzinfo=UTC)
SENTENCE = "Sets, checks and runs a draper header that cuts soybean on the ground. "


def measure() -> list[Measure]:
    """Milliseconds of each, in the middle of some repeats, after a first one."""
    secret = data_integrity.new_secret()
    keys = frozenset([multibase.public_multikey(data_integrity.public_of(secret))])
    raw = credential.sign(_stated(0), secret, NOW).encode()

    def check() -> None:
        if credential.verdict(raw, credential.read(raw), keys) != "fits":
            raise RuntimeError("a fresh signature does not fit")

    signing = _middle(lambda number: credential.sign(_stated(number), secret, NOW))
    checking = _middle(lambda _number: check())
    printing = _middle(lambda number: certificate_pdf.made(_paper(number)))
    return [
        Measure("certificate_signed", signing, "ms", most=10),
        Measure("certificate_checked", checking, "ms"),
        Measure("certificate_printed", printing, "ms", most=50),
    ]


def _middle(deed: Callable[[int], object]) -> float:
    deed(0)
    taken = []
    for number in range(1, REPEATS + 1):
        begun = perf_counter()
        deed(number)
        taken.append(perf_counter() - begun)
    return 1000 * median(taken)


def _stated(number: int) -> Stated:
    salt = f"{number:032x}"
    return Stated(
        certificate_id=f"{number:032x}",
        site="https://farm.example",
        issuer_name="Upland Test Farm",
        language="en",
        key="soybean-on-the-ground",
        title="Header operator: soybean on the ground",
        scope=SENTENCE,
        narrative=SENTENCE * 5,
        remark=SENTENCE * 3,
        versions="engine 1, question bank 0123456789ab, plan 0123456789ab",
        holder_hash=credential.hash_of_name("Ana María Núñez", salt),
        salt=salt,
        evidence=(("assessment", f"{number:032x}"), ("yard sign-off", salt)),
        valid_from=NOW,
        valid_until=NOW + timedelta(days=200),
    )


def _paper(number: int) -> Paper:
    return Paper(
        language="en",
        paper="us-letter",
        program="Even Stubble",
        farm="Upland Test Farm",
        label="Certificate",
        title="Header operator: soybean on the ground",
        scope=SENTENCE,
        holder="Held by",
        name=f"Ana María Núñez {number}",
        facts=tuple((f"Fact {place}", SENTENCE) for place in range(7)),
        tasks_title="What the questions are about",
        tasks=(SENTENCE,) * 11,
        notes=(SENTENCE * 3, SENTENCE * 2),
        caution=SENTENCE * 2,
        check="Anybody can check it here:",
        address=f"https://farm.example/c/{number:032x}",
        number=f"Number {number:032x}",
        missing="",
        made_at=NOW,
    )
