"""``academy check --bank``: every family, what its draws showed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict

from academy.catalog import borderline
from academy.language import Reader, gettext, marked
from academy.service.bank_check import FamilyChecked

_HEAD = marked(
    "family: topic, kind; draws, refused; most flips; par, how far a draw lies from "
    "it, and those of the hardest and the easiest part; words in English and Spanish; "
    "reading grade and ease; best guesser and commonest place of the key beyond "
    "chance; policy whose scores lie farthest apart; texts without a twin"
)
_PARS = marked(
    "Par of a set-up: %(operators)s simulated borderline operators. Par of every other "
    "kind: a fixed chance of that operator, a judgement; no person was asked."
)
_TOTAL = marked("%(families)s families, %(draws)s scenarios, %(refused)s draws refused")


def as_data(found: Sequence[FamilyChecked]) -> dict[str, object]:
    """All of it as plain data."""
    return {"families": [asdict(one) | {"wrong": one.wrong()} for one in found]}


def _most(gains: Mapping[str, float]) -> str:
    name, share = max(gains.items(), key=lambda item: item[1], default=("", 0.0))
    return f"{name} {100 * share:+.0f} %" if name else "\N{EN DASH}"


def _line(one: FamilyChecked) -> str:
    reasons = ", ".join(f"{kind} {n}" for kind, n in one.reasons.items())
    refused = f"{one.rejected} ({reasons})" if reasons else "0"
    words = "/".join(f"{count:.0f}" for count in one.words.values())
    far = max(one.apart.items(), key=lambda item: item[1], default=("", 0.0))
    clones = f"{far[0]} {far[1]:.2f}" if far[0] else "\N{EN DASH}"
    pars = f"{one.pars['hardest']:.2f}\N{EN DASH}{one.pars['easiest']:.2f}"
    told = (
        f"{one.key}: {one.topic}, {one.kind}; {one.draws}, {refused}; {one.flips}; "
        f"{one.par:.2f} \N{PLUS-MINUS SIGN} {one.spread:.2f}, {pars}; {words}; "
        f"{one.reading['en']:.1f}/{one.reading['es']:.0f}; "
        f"{_most(one.guessed)}, {_most(one.positions)}; {clones}; "
        f"{', '.join(one.missing) or '0'}"
    )
    why = f"{one.wrong()} {one.guessable}".strip()
    return f"{told}  !! {why}" if one.wrong() else told


def lines(found: Sequence[FamilyChecked], reader: Reader) -> Iterator[str]:
    """A line for each family, and what they come to."""
    yield gettext(_HEAD, reader.language)
    yield gettext(_PARS, reader.language) % {"operators": borderline.load().operators}
    yield from (_line(one) for one in found)
    yield gettext(_TOTAL, reader.language) % {
        "families": len(found),
        "draws": sum(one.draws for one in found),
        "refused": sum(one.rejected for one in found),
    }
