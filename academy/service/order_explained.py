"""An order of steps explained: what came too late, why, and the nearest safe order."""

from collections.abc import Mapping, Sequence
from typing import Any

from academy.catalog import procedures, sources
from academy.catalog.procedures import Precedence, Procedure
from academy.language import Reader, gettext, marked
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts
from academy.service.evidence_words import EVIDENCE
from academy.service.views import HowRow, Table

_PAIR = marked("“%(first)s” comes before “%(last)s”: %(why)s.")
_NEVER = marked("Never: %(deed)s.")
_HEAD = (marked("Place"), marked("Your order"), marked("Nearest safe order"))


def _texts(procedure: Procedure, reader: Reader) -> dict[str, str]:
    return {s.key: s.text.for_language(reader.language) for s in procedure.steps}


def _why(pair: Precedence, texts: Mapping[str, str], reader: Reader) -> str:
    return gettext(_PAIR, reader.language) % {
        "first": texts[pair.before],
        "last": texts[pair.after],
        "why": pair.why.for_language(reader.language),
    }


def _advice(
    procedure: Procedure, wrong: set[tuple[str, str]], reader: Reader
) -> tuple[str, ...]:
    """Why each pair that was turned round matters, then what one never does."""
    texts = _texts(procedure, reader)
    turned = [p for p in procedure.precedences if (p.before, p.after) in wrong]
    never = gettext(_NEVER, reader.language)
    return (
        *(_why(pair, texts, reader) for pair in turned),
        *(never % {"deed": d.for_language(reader.language)} for d in procedure.never),
    )


def _orders(
    procedure: Procedure, yours: Sequence[str], nearest: Sequence[str], reader: Reader
) -> Table:
    texts = _texts(procedure, reader)
    rows = tuple(
        (str(place), texts[own], texts[right])
        for place, (own, right) in enumerate(zip(yours, nearest, strict=True), 1)
    )
    head = tuple(gettext(word, reader.language) for word in _HEAD)
    return Table(procedure.title.for_language(reader.language), head, rows)


def _how(procedure: Procedure, reader: Reader) -> tuple[HowRow, ...]:
    texts = _texts(procedure, reader)
    return tuple(
        HowRow(
            f"{texts[pair.before]} → {texts[pair.after]}",
            pair.why.for_language(reader.language),
            gettext(EVIDENCE[pair.evidence], reader.language),
            sources.load()[pair.source].called(reader.language),
            f"/how/source/{pair.source}",
        )
        for pair in procedure.precedences
    )


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of an answered order of steps."""
    del facts, ids
    procedure = procedures.known()[part["procedure"]]
    detail, yours = kept.marks["detail"], kept.answer["order"]
    wrong = {(first, last) for first, last in detail["reversed"]}
    return {
        "yours": "",
        "best": "",
        "advice": _advice(procedure, wrong, reader),
        "tables": (_orders(procedure, yours, detail["nearest"], reader),),
        "how": _how(procedure, reader),
    }
