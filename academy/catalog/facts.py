"""Sourced sentences that lessons lean on: harm near a header, and what was found.

Cases of harm carry no name and no place.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths
from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, read

FILES = ("safety_facts.toml", "trade_facts.toml")


class SourcedFact(Record):
    """One sentence, how it is known and where it was read."""

    text: Twin
    evidence: EvidenceClass
    source: Words


class _Facts(RootModel[dict[str, SourcedFact]]):
    pass


@cache
def load() -> Mapping[str, SourcedFact]:
    """All facts by key, those of safety first; raises ContentError."""
    found: dict[str, SourcedFact] = {}
    for name in FILES:
        found |= read(_Facts, paths.content() / name).root
    return MappingProxyType(found)
