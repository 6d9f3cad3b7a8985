"""The opening of a header with its feed drum, and the speeds that drum can turn at."""

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths
from academy.catalog import standards
from academy.catalog.evidence import Named
from academy.catalog.headers import Header
from academy.catalog.toml_files import Record, Twin, read
from academy.engine.flow_state import Mouth

SPEEDS = ("slowest", "fastest", "step")


class DrumSpeeds(Record):
    """One kind of drum drive of ``content/drum_speeds.toml``."""

    name: Twin
    note: Twin
    slowest: Named
    fastest: Named
    step: Named

    def figures(self) -> Iterator[tuple[str, Named]]:
        """Every figure by its name."""
        yield from ((name, getattr(self, name)) for name in SPEEDS)

    def rates(self) -> tuple[float, ...]:
        """Every speed that can be set, slowest first [rad/s]."""
        first, last, step = (
            each.si()[1] for each in (self.slowest, self.fastest, self.step)
        )
        count = round((last - first) / step)
        return tuple(first + (last - first) * k / count for k in range(count + 1))


class _File(RootModel[dict[str, DrumSpeeds]]):
    pass


@cache
def load() -> Mapping[str, DrumSpeeds]:
    """Drum speeds by kind of drive; raises ContentError."""
    return MappingProxyType(read(_File, paths.content() / "drum_speeds.toml").root)


def drum_speeds(header: Header) -> DrumSpeeds:
    """The speeds at which the header's drum can turn; raises ContentError."""
    return load()[header.parts.drum_speed]


def mouth(header: Header) -> Mouth:
    """The engine's record of the header's opening and drum, in SI."""
    return Mouth(
        opening=header.measures.centre_opening.si()[1],
        drum_diameter=header.measures.drum_diameter.si()[1],
        slowest_drum=drum_speeds(header).slowest.si()[1],
        gravity=standards.load().standard_gravity.si()[1],
    )
