"""Where belts, mats and the opening lie on the paper, seen from the cab."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from academy.drawing.axis import Values
from academy.drawing.svg import WIDTH

LEFT, RIGHT = 6.0, WIDTH - 6.0
SIDES = ("left", "right")
_HIGHEST, _LEAST = 84.0, 0.02
_TIMES = (1, 2, 5, 10, 20, 50)
_BESIDE = 0.3  # metres of each belt that the view of the middle shows


@dataclass(frozen=True, slots=True)
class SideView:
    """One belt: lengths in metres, speeds in metres a second.

    ``crop`` is where crop stands, from the left end of the header; ``meets`` says that
    the stream of the other side stops this one at the middle.
    """

    crop: tuple[float, float]
    speed: float
    edge_depth: float
    centre_depth: float
    meets: bool


@dataclass(frozen=True, slots=True)
class MatView:
    """The mats of a header: depths [m] at places [m] from the left end to the right."""

    width: float
    opening: float
    drop: float
    feed_gap: float
    gravity: float
    roller_speed: float
    places: Values
    depths: Values
    sides: tuple[SideView, SideView]
    deflector: bool = False
    yours: bool = False

    @property
    def edges(self) -> tuple[float, float]:
        """Places of the inner ends of the belts [m]."""
        half = self.opening / 2.0
        return self.width / 2.0 - half, self.width / 2.0 + half


@dataclass(frozen=True, slots=True)
class MatFrame:
    """A scale across, how many times heights are drawn, and where both begin."""

    units_per_metre: float
    times: int
    start: float  # metres from the left end of the header at the left of the paper
    level: float  # of height 0 on the paper

    def x(self, place: float) -> float:
        """Place of a point across [m from the left end]."""
        return LEFT + (float(place) - self.start) * self.units_per_metre

    def y(self, height: float) -> float:
        """Place of a height [m]."""
        return self.level - float(height) * self.units_per_metre * self.times


def whole_frame(view: MatView, top: float) -> MatFrame:
    """The whole width, the largest round exaggeration at which the mats fit."""
    scale = (RIGHT - LEFT) / view.width
    room = max(float(max(view.depths)), _LEAST) * scale
    times = max((n for n in _TIMES if n * room <= _HIGHEST), default=1)
    return MatFrame(scale, times, 0.0, top + times * room)


def middle_frame(view: MatView, top: float) -> MatFrame:
    """The opening and the ends of the belts, heights as large as widths."""
    scale = (RIGHT - LEFT) / (view.opening + 2 * _BESIDE)
    leaving = view.drop + max(side.edge_depth for side in view.sides)
    high = max(leaving, *(side.centre_depth for side in view.sides)) + _LEAST
    return MatFrame(scale, 1, view.edges[0] - _BESIDE, top + high * scale)


def flight(
    view: MatView, side: int, layer: float, count: int = 24
) -> tuple[list[float], list[float]]:
    """The way of a layer of a mat from its belt's end: places and heights [m].

    It ends on the centre belt, on the opposite belt, or at the middle where the other
    stream stops it.
    """
    own = view.sides[side]
    high = view.drop + layer
    far = own.speed * math.sqrt(2.0 * high / view.gravity)
    if own.meets:
        far = min(far, view.opening / 2.0)
    elif far > view.opening:  # the opposite belt lies higher than the centre belt
        level = own.speed * math.sqrt(2.0 * layer / view.gravity)
        far = max(view.opening, level)
    ways = [far * k / count for k in range(count + 1)]
    heights = [high - view.gravity * (way / own.speed) ** 2 / 2.0 for way in ways]
    edge, turn = view.edges[side], 1.0 if side == 0 else -1.0
    return [edge + turn * way for way in ways], heights


def crosses(view: MatView, side: int, layer: float) -> bool:
    """Whether a layer of a mat flies past the middle of the opening."""
    if view.sides[side].edge_depth <= 0:
        return False
    places, _ = flight(view, side, layer)
    return abs(places[-1] - places[0]) > view.opening / 2.0 * (1 + 1e-9)


def polygon(
    places: Sequence[float], heights: Sequence[float], frame: MatFrame
) -> tuple[list[float], list[float]]:
    """A mat's outline on the paper, closed along its belt at height 0."""
    xs = [frame.x(place) for place in (places[0], *places, places[-1])]
    ys = [frame.y(height) for height in (0.0, *heights, 0.0)]
    return xs, ys
