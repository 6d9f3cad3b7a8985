"""Where the cutting pattern lies on the paper, and the marks of its stems.

The machine drives to the right: the way along lies across the paper, one period of the
bar up and down it: a pitch, or two where long and short sections stand in turn.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from academy.drawing.svg import WIDTH, fixed
from academy.engine.cutting_diagram import Diagram, Knife, diagram
from academy.engine.si import Metre

_LEFT, _TOP, _SPACING = 6.0, 4.0, 12.5
_DEEPEST, _DEEPER = 190.0, 290.0  # with one gap, with more
FATES = ("once", "bunched", "recut")


@dataclass(frozen=True, slots=True)
class CuttingView:
    """What is drawn: a knife at an advance per stroke [m]."""

    knife: Knife
    advance: float
    yours: bool = False


@dataclass(frozen=True, slots=True)
class Frame:
    """The scale, and the way from the ground to the paper."""

    units_per_metre: float
    width: float
    depth: float

    def x(self, along: float) -> float:
        """Place of a point along the way [m] across the paper."""
        return _LEFT + float(along) * self.units_per_metre

    def y(self, across: float) -> float:
        """Place of a point across the gap [m] down the paper."""
        return _TOP + self.depth - float(across) * self.units_per_metre

    def all(self, along: Metre, across: Metre) -> tuple[list[float], list[float]]:
        """Places of many points."""
        return (
            [self.x(each) for each in np.atleast_1d(along)],
            [self.y(each) for each in np.atleast_1d(across)],
        )


def frame_of(view: CuttingView) -> Frame:
    """The largest scale at which one period of the bar and two strokes fit."""
    cycle, across = 2.0 * view.advance, view.knife.pitch * view.knife.gaps
    deepest = _DEEPEST if view.knife.gaps == 1 else _DEEPER
    scale = min((WIDTH - 2 * _LEFT) / cycle, deepest / across)
    return Frame(scale, cycle * scale, across * scale)


def stems_of(view: CuttingView, frame: Frame) -> Diagram:
    """The stems that are marked: as many as stay apart on the paper."""
    gap = (view.knife.pitch - view.knife.ledger) * frame.units_per_metre
    columns, rows = (max(2, int(room / _SPACING)) for room in (gap, frame.width))
    return diagram(view.knife, view.advance, columns, rows)


def fate_of(passes: int) -> str:
    """Name of what became of a stem."""
    return "bunched" if passes == 0 else "once" if passes == 1 else "recut"


def places(made: Diagram, frame: Frame) -> Iterator[tuple[str, float, float]]:
    """Fate and place on the paper of every stem."""
    for row, along in enumerate(made.along):
        for column, across in enumerate(made.across):
            fate = fate_of(int(made.passes[row, column]))
            yield fate, frame.x(float(along)), frame.y(float(across))


def _ring(x: float, y: float) -> str:
    return f"M{fixed(x - 2.8)},{fixed(y)}a2.8,2.8 0 1,0 5.6,0a2.8,2.8 0 1,0 -5.6,0"


def _wedge(x: float, y: float) -> str:
    return f"M{fixed(x - 4)},{fixed(y - 4.4)}l8.4,4.4l-8.4,4.4z"


def _cross(x: float, y: float) -> str:
    return f"M{fixed(x - 3.4)},{fixed(y - 3.4)}l6.8,6.8m0,-6.8l-6.8,6.8"


_MARKS = {"once": _ring, "bunched": _wedge, "recut": _cross}


def marks(fate: str, at: Iterable[tuple[float, float]]) -> str:
    """Path of one mark at each place: ring, wedge pointing ahead, or cross."""
    return "".join(_MARKS[fate](x, y) for x, y in at)
