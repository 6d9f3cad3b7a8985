"""Figures that belong to no crop and no machine of ours: ``content/standards.toml``."""

from functools import cache

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, read


class Standards(Record):
    """Free fall, and what money and seasons of a combine are reckoned with."""

    standard_gravity: Named
    repair_factor: Named
    repair_exponent: Named
    repair_reference_use: Named
    fuel_per_power: Named
    lubricant_share: Named
    labour_factor: Named
    overhead_share: Named
    field_area: Named
    season_area: Named
    working_hours: Named
    fit_days: Named
    schedule_divisor: Named
    pod_density_exponent: Named


@cache
def load() -> Standards:
    """The figures; raises ContentError."""
    return read(Standards, paths.content() / "standards.toml")
