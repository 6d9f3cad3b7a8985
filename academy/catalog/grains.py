"""What the trade fixes or counts about the grain of every crop we can count."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths
from academy.catalog import crops
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, Twin, read
from academy.errors import NotFound


class Grain(Record):
    """One crop's bushel and, where known, its market moisture and how to count it."""

    name: Twin
    bushel_mass: Evidenced
    market_moisture: Evidenced | None = None
    kernels_per_bushel_area: Evidenced | None = None
    kernels_per_100_kg_ha: Evidenced | None = None
    kernel_mass: Evidenced | None = None
    timeliness: Evidenced | None = None  # share of its worth lost in unit time

    @property
    def bushel(self) -> float:
        """Mass of this crop's bushel [kg]."""
        return self.bushel_mass.si()[1]


class _Grains(RootModel[dict[str, Grain]]):
    pass


def _of_crop(key: str) -> Grain:
    crop = crops.load(key)
    return Grain(
        name=crop.name,
        bushel_mass=crop.grain.bushel_mass,
        market_moisture=crop.grain.market_moisture,
        kernels_per_bushel_area=crop.grain.kernels_per_bushel_area,
        kernel_mass=crop.grain.kernel_mass,
        timeliness=crop.delay.timeliness if crop.delay else None,
    )


@cache
def load() -> Mapping[str, Grain]:
    """Every grain by crop; a crop with a file of its own goes first.

    Raises ContentError for a broken record.
    """
    counted = read(_Grains, paths.content() / "grains.toml").root
    own = {key: _of_crop(key) for key in crops.known()}
    return MappingProxyType(counted | own)


def of(crop: str) -> Grain:
    """Grain of a crop; raises NotFound."""
    if crop not in load():
        raise NotFound("no_such_grain", name=crop, allowed=", ".join(load()))
    return load()[crop]
