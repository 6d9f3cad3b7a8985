"""The page of signs, causes and cures: the trade's list of troubles, by topic.

Everyone may read it. Beside each row stands how we know it and what practises it; where
nothing does, or where its signs are not computed, why.
"""

from dataclasses import dataclass

from academy.catalog import families, sources, topics, troubles
from academy.catalog.troubles import Trouble
from academy.language import Language, gettext
from academy.service.evidence_words import EVIDENCE

OFFERED = 3  # families that one row offers at most


@dataclass(frozen=True, slots=True)
class Row:
    """One trouble in the reader's words; ``reason``: why its signs are not drawn."""

    key: str
    sign: str
    cause: str
    cure: str
    evidence: str
    source: str
    href: str
    reason: str
    practice: tuple[tuple[str, str], ...]  # family, its title


@dataclass(frozen=True, slots=True)
class Subject:
    """The troubles of one topic."""

    topic: str
    name: str
    rows: tuple[Row, ...]


def _row(key: str, trouble: Trouble, language: Language) -> Row:
    known = families.practised()
    offered = list(troubles.practised(trouble))[:OFFERED]
    sign = trouble.symptom.for_language(language)
    return Row(
        key=key,
        sign=sign[:1].upper() + sign[1:],
        cause=trouble.cause.for_language(language),
        cure=trouble.cure.for_language(language),
        evidence=gettext(EVIDENCE[trouble.evidence], language).partition(":")[0],
        source=sources.load()[trouble.source].called(language),
        href=f"/how/source/{trouble.source}",
        reason=trouble.reason.for_language(language) if trouble.reason else "",
        practice=tuple((k, known[k].title.for_language(language)) for k in offered),
    )


def subjects(language: Language) -> tuple[Subject, ...]:
    """Every row of the trade's list, by topic in the order of the topics."""
    listed = troubles.load()
    found = (
        Subject(
            key,
            topic.name.for_language(language),
            tuple(
                _row(name, one, language)
                for name, one in listed.items()
                if one.subject == key
            ),
        )
        for key, topic in topics.load().items()
    )
    return tuple(one for one in found if one.rows)
