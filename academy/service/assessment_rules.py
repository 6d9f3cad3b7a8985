"""The rules an assessment was released with: it ends by them, whatever content says.

They are kept once under their digest: the blueprint, the bar, the safety gate, the
model that reads the answers, and the families that may be asked, each in its version.
A family that was dropped or rewritten since is not drawn any more, and none is added.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from academy.catalog import assessment as content
from academy.catalog import blueprints, competence, families, gate
from academy.catalog.assessment import Again, Bar, Gate
from academy.catalog.blueprints import Blueprint
from academy.catalog.competence import CompetenceModel
from academy.competence import decision, renewal
from academy.errors import ContentError
from academy.records.connection import Connection
from academy.records.queries import kept_rules
from academy.records.queries.assessments import Assessment
from academy.records.tables.columns import canonical_text

Versions = Mapping[str, int]
"""Versions of families by key."""


@dataclass(frozen=True, slots=True)
class Measures:
    """Bar, lengths of a renewal, safety gate, and the model that reads the answers."""

    bar: Bar
    again: Again
    gate: Gate
    model: CompetenceModel

    def bar_of(self, row: Assessment) -> Bar:
        """The bar of this attempt; where it has credit, as long as a renewal."""
        bar = decision.bar_for_attempt(self.bar, row.attempt)
        return renewal.bar_again(bar, self.again) if row.credit > 0 else bar


@dataclass(frozen=True, slots=True)
class Rules:
    """All that a running assessment needs; families by topic and by concept."""

    blueprint: Blueprint
    measures: Measures
    topics: Mapping[str, Versions]
    concepts: Mapping[str, Versions]

    def eligible(self, stage: str, slot: str) -> tuple[str, ...]:
        """Families that may fill a slot and still are what they were, sorted."""
        named = self.topics if stage == "scenario" else self.concepts
        found = named.get(slot, {})
        return tuple(key for key in sorted(found) if _same(key, found[key]))


def of_today(certificate: str) -> tuple[str, dict[str, Any]]:
    """The rules of a certificate as content has them now: digest and plain data.

    Raises NotFound, ContentError.
    """
    blueprint = blueprints.load(certificate)
    known = families.known()
    named = gate.concepts()
    body = {
        "blueprint": blueprint.model_dump(mode="json"),
        "measures": asdict(_measures()),
        "topics": {
            topic: {
                key: known[key].version
                for key in blueprints.families_for(blueprint, topic)
            }
            for topic in blueprint.weights
        },
        "concepts": {
            concept: {key: known[key].version for key in named[concept].families}
            for concept in blueprint.concepts
        },
    }
    return hashlib.sha256(canonical_text(body).encode()).hexdigest(), body


def of(connection: Connection, row: Assessment) -> Rules | None:
    """The rules that an assessment was released with; None when they are gone.

    One that was released before rules were kept goes by content, as long as its
    blueprint is still the same.
    """
    if row.rules is not None:
        return _read(connection, row.rules)
    known = row.certificate in blueprints.known()
    if not known or blueprints.digest(row.certificate) != row.blueprint_digest:
        return None
    return _made(of_today(row.certificate)[1])


def plan(connection: Connection, row: Assessment | None) -> Blueprint | None:
    """The blueprint an assessment goes by; None without one, or when it is gone."""
    rules = of(connection, row) if row else None
    return rules.blueprint if rules else None


def measures(rules: Rules | None) -> Measures:
    """What answers are judged by; as content has it where no rules are left."""
    return _measures() if rules is None else rules.measures


def _measures() -> Measures:
    model = competence.load()
    return Measures(content.bar(), content.again(), content.gate(), model)


def _same(key: str, version: int) -> bool:
    """Whether content still has this family in this version, for assessments."""
    found = families.known().get(key)
    if found is None or found.version != version:
        return False
    return found.assesses or bool(found.gate)


_kept: dict[str, Rules] = {}  # by digest, which names one body for ever


def _read(connection: Connection, digest: str) -> Rules | None:
    if digest not in _kept:
        body = kept_rules.get(connection, digest)
        made = None if body is None else _made(body)
        if made is None:
            return None
        _kept[digest] = made
    return _kept[digest]


def _made(body: Mapping[str, Any]) -> Rules | None:
    """The rules back from plain data; None when this program cannot read them."""
    try:
        plain: Mapping[str, Any] = body["measures"]
        return Rules(
            blueprint=blueprints.from_plain(body["blueprint"]),
            measures=Measures(
                Bar(**plain["bar"]),
                Again(**plain["again"]),
                Gate(**plain["gate"]),
                CompetenceModel(**plain["model"]),
            ),
            topics=body["topics"],
            concepts=body["concepts"],
        )
    except (ContentError, TypeError, LookupError):
        return None
