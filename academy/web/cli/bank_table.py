"""``academy check --bank``: every family, what its draws showed."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from academy.language import Reader, gettext, marked
from academy.service.bank_check import FamilyChecked

_HEAD = marked(
    "family: topic, kind; draws, refused; most flips; par and how far a draw lies from "
    "it; words in English and Spanish; reading grade and ease; best guesser beyond "
    "chance; policy whose scores lie farthest apart"
)
_TOTAL = marked("%(families)s families, %(draws)s scenarios, %(refused)s draws refused")


def as_data(found: Sequence[FamilyChecked]) -> dict[str, object]:
    """All of it as plain data."""
    return {"families": [asdict(one) | {"wrong": one.wrong()} for one in found]}


def _line(one: FamilyChecked) -> str:
    reasons = ", ".join(f"{kind} {n}" for kind, n in one.reasons.items())
    refused = f"{one.rejected} ({reasons})" if reasons else "0"
    words = "/".join(f"{count:.0f}" for count in one.words.values())
    name, share = max(one.guessed.items(), key=lambda item: item[1], default=("", 0.0))
    guessed = f"{name} {100 * share:+.0f} %" if name else "\N{EN DASH}"
    far = max(one.apart.items(), key=lambda item: item[1], default=("", 0.0))
    clones = f"{far[0]} {far[1]:.2f}" if far[0] else "\N{EN DASH}"
    told = (
        f"{one.key}: {one.topic}, {one.kind}; {one.draws}, {refused}; {one.flips}; "
        f"{one.par:.2f} \N{PLUS-MINUS SIGN} {one.spread:.2f}; {words}; "
        f"{one.reading['en']:.1f}/{one.reading['es']:.0f}; {guessed}; {clones}"
    )
    return f"{told}  !! {one.wrong()}" if one.wrong() else told


def lines(found: Sequence[FamilyChecked], reader: Reader) -> Iterator[str]:
    """A line for each family, and what they come to."""
    yield gettext(_HEAD, reader.language)
    yield from (_line(one) for one in found)
    yield gettext(_TOTAL, reader.language) % {
        "families": len(found),
        "draws": sum(one.draws for one in found),
        "refused": sum(one.rejected for one in found),
    }
