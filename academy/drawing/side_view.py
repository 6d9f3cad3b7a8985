"""What the side view shows, and the scale and places that follow from it.

Lengths ahead of the knife point are x, heights over the ground z. Driving direction is
to the right.
"""

import math
from dataclasses import dataclass

import numpy as np

from academy.drawing.axis import Values
from academy.drawing.svg import WIDTH
from academy.engine import guard

Place = tuple[float, float]
BAT_ANGLES = np.linspace(-0.6, np.pi + 0.6, 121)  # of the path drawn [rad], judgement
_REAR, _BEHIND, _AHEAD, _OVER = 0.8, 0.42, 0.38, 0.05  # margins of the picture [m]


@dataclass(frozen=True, slots=True)
class SideView:
    """What is drawn; lengths [m], ``path_x``/``path_z`` as ``engine.reel.bat_path``.

    ``reel_height`` is the axle over the knife, ``reel_lead`` the axle ahead of it. The
    path's z stands over the ground, its x starts from the axle's place at angle 0.
    """

    tip_radius: float
    reel_height: float
    reel_lead: float
    cut_height: float
    crop_height: float
    lowest_grain: float
    bats: int
    reel_index: float
    belt_depth: float
    bar_rise: float
    path_x: Values
    path_z: Values
    yours: bool = False

    def __post_init__(self) -> None:
        for name in ("tip_radius", "reel_index", "belt_depth", "crop_height", "bats"):
            guard.positive(name, float(getattr(self, name)))
        for name in ("cut_height", "lowest_grain", "bar_rise", "reel_height"):
            guard.not_negative(name, float(getattr(self, name)))
        guard.finite("reel_lead", self.reel_lead)


@dataclass(frozen=True, slots=True)
class Frame:
    """The way from metres to units of the drawing."""

    units_per_metre: float
    rear: float
    ground: float

    def x(self, ahead: float) -> float:
        """Place of a length ahead of the knife [m]."""
        return (ahead - self.rear) * self.units_per_metre

    def y(self, height: float) -> float:
        """Place of a height over the ground [m]."""
        return self.ground - height * self.units_per_metre

    def at(self, ahead: float, height: float) -> Place:
        """Both at once."""
        return self.x(ahead), self.y(height)


def frame_of(view: SideView) -> Frame:
    """The one scale at which everything fits the width."""
    rear = min(-_REAR, view.reel_lead - view.tip_radius - _BEHIND)
    front = max(view.reel_lead + view.tip_radius, 0.5) + _AHEAD
    scale = WIDTH / (front - rear)
    top = max(axle_of(view)[1] + view.tip_radius, view.crop_height) + _OVER
    return Frame(scale, rear, top * scale)


def axle_of(view: SideView) -> Place:
    """The reel's axle [m]."""
    return view.reel_lead, view.cut_height + view.reel_height


def entry_angle(view: SideView) -> float:
    """Angle of the drawn tine [rad]: where it comes straight down, else the lowest."""
    return math.asin(1 / view.reel_index) if view.reel_index > 1 else math.pi / 2


def tips_of(view: SideView) -> list[Place]:
    """Tips of all tines [m], the first at the entry angle."""
    ahead, over = axle_of(view)
    turn, now = 2 * math.pi / view.bats, entry_angle(view)
    angles = [now + turn * k for k in range(view.bats)]
    reach = view.tip_radius
    return [(ahead + reach * math.cos(a), over - reach * math.sin(a)) for a in angles]


def touches(view: SideView) -> bool:
    """Whether the tip circle reaches the knife point at its highest place."""
    over = view.reel_height - view.bar_rise
    return math.hypot(view.reel_lead, over) <= view.tip_radius
