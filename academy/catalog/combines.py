"""Combines that carry a header: capacity, power and cost of an hour."""

from functools import cache

from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, keys, path_of, read


class Combine(Record):
    """One combine of ``content/combines/``."""

    name: Twin
    note: Twin
    feedrate_at_1: Named
    feedrate_at_3: Named
    engine_power: Named
    hour_cost: Named
    field_efficiency: Named
    discharge_width: Named


@cache
def load(key: str) -> Combine:
    """Combine by key; raises NotFound, ContentError."""
    return read(Combine, path_of("combines", key))


def known() -> tuple[str, ...]:
    """Keys of all combines."""
    return keys("combines")
