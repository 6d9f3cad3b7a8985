"""What became of a bar over a stretch of ground: all over it, and by section."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine.ground_profile import Heights, Mesh
from academy.engine.si import Metre, NewtonPerMetre, Ratio

Flags: TypeAlias = NDArray[np.bool_]
SECTIONS = ("left", "centre", "right")


@dataclass(frozen=True, slots=True)
class Section:
    """One section of the bar over the whole stretch, or all of it."""

    height: Metre  # mean true cut height
    spread: Metre  # its standard deviation
    force: NewtonPerMetre  # mean ground force
    off_ground: Ratio  # share of width and way without contact
    pushing: Ratio  # share of width and way on which the guards push soil


@dataclass(frozen=True, slots=True, eq=False)
class Across:
    """What became of each station across the width over the whole stretch."""

    height: Heights  # mean true cut height
    spread: Heights  # its standard deviation
    force: Heights  # mean ground force
    off_ground: Heights  # share of the way without contact
    pushing: Heights  # share of the way on which the guards push soil


@dataclass(frozen=True, slots=True, eq=False)
class Following:
    """True cut height [m], ground force [N/m] and contact, of shape (rows, stations).

    ``ground`` [m] holds its crumbs too; ``bar`` and ``frame`` [m] are the soles of the
    bar and of one fixed to the frame; ``starts`` are the first stations of left wing,
    centre and right wing.
    """

    mesh: Mesh
    ground: Heights
    bar: Heights
    frame: Heights
    height: Heights
    force: Heights
    touching: Flags
    pushing: Flags
    starts: tuple[int, int, int]

    @property
    def knife(self) -> Heights:
        """Heights of the knife over the ground's datum [m]."""
        return self.ground + self.height

    def typical(self) -> int:
        """The row that is as uneven as the stretch is on the whole."""
        uneven = np.mean(np.square(self.height - self.height.mean()), axis=1)
        return int(np.abs(uneven - uneven.mean()).argmin())

    def columns(self, section: str) -> slice:
        """Stations of ``left``, ``centre`` or ``right``; of ``all`` otherwise."""
        if section not in SECTIONS:
            return slice(None)
        ends = (*self.starts, self.mesh.stations)
        place = SECTIONS.index(section)
        return slice(ends[place], ends[place + 1])

    def of(self, section: str = "all") -> Section:
        """What became of one section, or of all."""
        at = self.columns(section)
        return Section(
            height=float(self.height[:, at].mean()),
            spread=float(self.height[:, at].std()),
            force=float(self.force[:, at].mean()),
            off_ground=1.0 - float(self.touching[:, at].mean()),
            pushing=float(self.pushing[:, at].mean()),
        )

    def across(self) -> Across:
        """What became of each station, from left to right."""
        return Across(
            height=self.height.mean(axis=0),
            spread=self.height.std(axis=0),
            force=self.force.mean(axis=0),
            off_ground=1.0 - self.touching.mean(axis=0),
            pushing=self.pushing.mean(axis=0),
        )

    def force_quantiles(
        self, shares: tuple[float, ...], section: str = "all"
    ) -> Heights:
        """Ground forces [N/m] that such shares of width and way stay below."""
        found: Heights = np.quantile(self.force[:, self.columns(section)], shares)
        return found

    def quantiles(self, shares: tuple[float, ...], section: str = "all") -> Heights:
        """True cut heights [m] that such shares of width and way stay below."""
        found: Heights = np.quantile(self.height[:, self.columns(section)], shares)
        return found
