"""Crops: bushel, grain, ordinary field conditions and the crop's own coefficients."""

from functools import cache
from typing import Literal

from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, keys, path_of, read


class Grain(Record):
    """What the trade fixes or counts about a crop's grain."""

    bushel_mass: Named
    market_moisture: Named
    kernel_mass: Named
    kernels_per_bushel_area: Named
    price: Named


class Conditions(Record):
    """Ordinary range of each condition of a field; ``value`` is the middle."""

    crop_yield: Named
    crop_height: Named
    lodged_height: Named
    moisture: Named
    lodging: Named
    lowest_grain: Named
    mog_ratio: Named
    ground_roughness: Named
    slope: Named


class Targets(Record):
    """What is acceptable to leave behind, as shares of the crop.

    Only ``total`` is known for every crop.
    """

    preharvest: Named | None = None
    shatter: Named | None = None
    stubble: Named | None = None
    lodged: Named | None = None
    loose_stalk: Named | None = None
    header: Named | None = None
    total: Named


class Window(Record):
    """Moisture of the grain between which the crop is cut."""

    lowest_moisture: Named  # below it shatter rises
    highest_moisture: Named  # above it the crop is too damp to thresh and to store


class Delay(Record):
    """What waiting costs, where it was published."""

    daily_loss: Named  # grain lost in the field, in unit time
    timeliness: Named  # worth lost, quality counted in


class Crop(Record):
    """One crop of ``content/crops/``."""

    order: int  # its place in lists
    name: Twin
    bears: Literal["pods", "heads"]
    off_ground: bool  # usually cut so
    grain: Grain
    conditions: Conditions
    stand: dict[str, Named]  # its own figures; the rest as in parts/stand.toml
    window: Window
    targets: Targets
    delay: Delay | None = None
    coefficients: dict[str, Named]

    @property
    def bushel(self) -> float:
        """Mass of this crop's bushel [kg]."""
        return self.grain.bushel_mass.si()[1]


@cache
def load(key: str) -> Crop:
    """Crop by key; raises NotFound, ContentError."""
    return read(Crop, path_of("crops", key))


@cache
def known() -> tuple[str, ...]:
    """Keys of all crops, in the order of the lists."""
    return tuple(sorted(keys("crops"), key=lambda key: load(key).order))
