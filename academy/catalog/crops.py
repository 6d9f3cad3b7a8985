"""Crops: bushel, grain, ordinary field conditions and the crop's own coefficients."""

from functools import cache

from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, Twin, keys, path_of, read


class Grain(Record):
    """What the trade fixes or counts about a crop's grain."""

    bushel_mass: Evidenced
    market_moisture: Evidenced
    kernel_mass: Evidenced
    kernels_per_bushel_area: Evidenced
    price: Evidenced


class Conditions(Record):
    """Ordinary range of each condition of a field; ``value`` is the middle."""

    crop_yield: Evidenced
    crop_height: Evidenced
    lodged_height: Evidenced
    moisture: Evidenced
    lodging: Evidenced
    lowest_pod: Evidenced
    mog_ratio: Evidenced
    ground_roughness: Evidenced
    slope: Evidenced


class Targets(Record):
    """What is acceptable to leave behind, as shares of the crop."""

    preharvest: Evidenced
    shatter: Evidenced
    stubble: Evidenced
    lodged: Evidenced
    loose_stalk: Evidenced
    header: Evidenced
    total: Evidenced


class Crop(Record):
    """One crop of ``content/crops/``."""

    name: Twin
    grain: Grain
    conditions: Conditions
    targets: Targets
    coefficients: dict[str, Evidenced]

    @property
    def bushel(self) -> float:
        """Mass of this crop's bushel [kg]."""
        return self.grain.bushel_mass.si()[1]


@cache
def load(key: str) -> Crop:
    """Crop by key; raises NotFound, ContentError."""
    return read(Crop, path_of("crops", key))


def known() -> tuple[str, ...]:
    """Keys of all crops."""
    return keys("crops")
