"""Safety at the ends of the header: rules in words, each with how it is known."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths
from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, read


class Rule(Record):
    """One rule and where it is from."""

    text: Twin
    evidence: EvidenceClass
    source: Words


class _Rules(RootModel[dict[str, Rule]]):
    pass


@cache
def load() -> Mapping[str, Rule]:
    """Every rule by key; raises NotFound, ContentError."""
    return MappingProxyType(read(_Rules, paths.content() / "ends.toml").root)
