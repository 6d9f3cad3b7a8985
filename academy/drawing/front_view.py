"""Where the bar and the ground under it lie on the paper, seen from the cab."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from academy.drawing.axis import Values
from academy.drawing.svg import WIDTH

LEFT, RIGHT = 6.0, WIDTH - 6.0
_TOP, _DEEPEST = 34.0, 104.0
_SEEN = 1e-4  # metres by which two lines differ
_TIMES = (1, 2, 5, 10, 20, 50, 100, 200)
SECTIONS = ("left", "centre", "right")


@dataclass(frozen=True, slots=True)
class FrontView:
    """One place of the way: heights [m] at stations from the left end to the right.

    ``starts`` are the first stations of left wing, centre and right wing; ``forces``
    the ground force of each section [N/m].
    """

    width: float
    ground: Values
    knife: Values
    fixed: Values  # the knife of a bar fixed to the frame
    touching: Sequence[bool]
    pushing: Sequence[bool]
    starts: tuple[int, int, int]
    forces: tuple[float, float, float]
    yours: bool = False
    hinged: bool = False  # the sections pivot where they meet

    @property
    def ends(self) -> tuple[float, ...]:
        """Places of the ends of the sections from the left end [m], four of them."""
        step = self.width / len(self.ground)
        return (*(step * start for start in self.starts), self.width)

    @property
    def follows(self) -> bool:
        """Whether the bar goes another way than the frame."""
        pairs = zip(self.knife, self.fixed, strict=True)
        return any(abs(float(knife) - float(fixed)) > _SEEN for knife, fixed in pairs)

    def state(self, station: int) -> str:
        """What the bar does at a station: ``pushing``, ``touching`` or ``off``."""
        if self.pushing[station]:
            return "pushing"
        return "touching" if self.touching[station] else "off"


@dataclass(frozen=True, slots=True)
class FrontFrame:
    """The scale across, how many times heights are drawn, and the place of level 0."""

    units_per_metre: float
    times: int
    level: float
    foot: float

    def x(self, across: float) -> float:
        """Place of a point across, from the left end [m]."""
        return LEFT + float(across) * self.units_per_metre

    def y(self, height: float) -> float:
        """Place of a height [m]."""
        return self.level - float(height) * self.units_per_metre * self.times


def frame_of(view: FrontView) -> FrontFrame:
    """The largest round exaggeration at which bar and ground fit."""
    lines = (view.ground, view.knife, view.fixed)
    low = min(float(min(line)) for line in lines)
    high = max(float(max(line)) for line in lines)
    scale = (RIGHT - LEFT) / view.width
    room = max(high - low, 1e-6) * scale
    times = max((n for n in _TIMES if n * room <= _DEEPEST), default=1)
    level = _TOP + high * scale * times
    return FrontFrame(scale, times, level, level - low * scale * times)


def stations(view: FrontView) -> list[float]:
    """Places of the stations from the left end [m]."""
    step = view.width / len(view.ground)
    return [step * (k + 0.5) for k in range(len(view.ground))]


def runs(view: FrontView) -> Iterator[tuple[str, float, float]]:
    """What the bar does from where to where [m], in as few pieces as can be."""
    step, start, count = view.width / len(view.ground), 0, len(view.ground)
    for station in range(1, count + 1):
        if station == count or view.state(station) != view.state(start):
            yield view.state(start), start * step, station * step
            start = station
