"""Figures that belong to no crop and no machine of ours: ``content/standards.toml``."""

from functools import cache

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, read


class Standards(Record):
    """Free fall, and how repairs of a combine grow with use."""

    standard_gravity: Named
    repair_factor: Named
    repair_exponent: Named
    repair_reference_use: Named


@cache
def load() -> Standards:
    """The figures; raises ContentError."""
    return read(Standards, paths.content() / "standards.toml")
