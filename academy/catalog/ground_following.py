"""What the numeric following of the ground takes from ``content/``."""

from functools import cache

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, read


class GroundFollowing(Record):
    """Figures of ``content/ground_following.toml``."""

    low_wavenumber: Named
    high_wavenumber: Named
    step: Named
    travel: Named
    ridge_spacing: Named
    row_angle: Named
    dead_time: Named
    track: Named
    reach: Named
    knife_lead: Named
    wing_share: Named
    section_float: Named
    half_free_weight: Named
    soil_load: Named
    soil_sink: Named

    def si(self, name: str) -> float:
        """The value of one figure in SI."""
        figure: Named = getattr(self, name)
        return figure.si()[1]


@cache
def load() -> GroundFollowing:
    """The figures; raises ContentError."""
    return read(GroundFollowing, paths.content() / "ground_following.toml")
