"""The wings of some facts' header in a state, over ground drawn for the purpose."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.catalog import ground_following, headers, parts
from academy.catalog import wings as catalog
from academy.engine import across
from academy.engine.conditions import Machine, Settings
from academy.engine.wings import Hold, WingsEffect, WingsState, wing_reach, wings_effect
from academy.scenarios import conditions
from academy.scenarios.facts import Facts

STATIONS = 120
_PUSHES = 0.5  # half way to pushing all the time
_OFF = 0.01  # metres over the height that is set at which the bar is off the ground
_ENDS = (0, STATIONS // 2, STATIONS - 1)  # where a section is read
Heights = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Winged:
    """A header's wings in a state: machine, settings, what holds them, the effect."""

    machine: Machine
    settings: Settings
    holds: tuple[Hold, Hold, Hold]  # of left wing, centre and right wing
    reach: Heights  # how far out on a wing each station lies
    effect: WingsEffect

    @property
    def lies(self) -> bool:
        """Whether the header lies on the ground."""
        return self.machine.carried == "ground"


@dataclass(frozen=True, slots=True)
class Over:
    """The bar over the drawn ground: heights [m] and states by station."""

    ground: tuple[float, ...]
    knife: tuple[float, ...]
    touching: tuple[bool, ...]
    pushing: tuple[bool, ...]
    starts: tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Section:
    """One section: how it is held, its knife at the end [m], travel, weight [N/m]."""

    held: Hold
    cut_height: float
    travel: float  # share that is left [1]
    force: float
    pushing: float
    heavy: bool


def winged(facts: Facts, settings: Settings, state: WingsState) -> Winged:
    """The wings of the facts' header; raises OutOfRange."""
    design = catalog.load().designs[headers.load(facts["header"]).parts.wings]
    share, places = ground_following.load().si("wing_share"), across.places(STATIONS)
    effect = wings_effect(
        settings=settings,
        state=state,
        c=parts.load("wings").values,
        holds=design.holds,
        wing_share=share,
        places=places,
    )
    left, right = design.holds[state.left_wing], design.holds[state.right_wing]
    return Winged(
        machine=conditions.machine_of(facts),
        settings=settings,
        holds=(left, "floats", right),
        reach=np.asarray(wing_reach(places, share)),
        effect=effect,
    )


def _ground(made: Winged) -> tuple[Heights, float]:
    """Heights of the ground, and how far up or down the bar can take it.

    A bar that flexes meets a hollow and a mound under each wing, a third of its travel
    deep; stiff sections a slope that falls to the left end and one that rises to the
    right.
    """
    travel, rise = float(made.machine.bar_travel), float(made.machine.bar_rise)
    if travel > 0.0:
        return -travel / 3.0 * np.sin(2.0 * np.pi * made.reach), travel / 2.0
    side = np.sign(np.arange(STATIONS) - STATIONS / 2 + 0.5)
    return rise * side * made.reach, rise


def _knife(made: Winged, ground: Heights, most: float) -> Heights:
    level = np.asarray(made.settings.cut_height + made.effect.cut_height_add)
    if not made.lies:
        return level
    half = most * np.asarray(made.effect.travel_factor)
    return level + np.clip(ground, -half, half)


def over_ground(made: Winged) -> Over:
    """The bar over ground drawn to show what the state of the wings does."""
    ground, most = _ground(made)
    knife = _knife(made, ground, most)
    over = knife - ground
    touching = made.lies & (over <= float(made.settings.cut_height) + _OFF)
    heavy = touching & (np.asarray(made.effect.pushing) > _PUSHES)
    pushing = (over <= 0.0) | heavy
    wing = int(np.count_nonzero(made.reach > 0.0)) // 2
    return Over(
        ground=tuple(ground.tolist()),
        knife=tuple(np.maximum(knife, ground).tolist()),
        touching=tuple(touching.tolist()),
        pushing=tuple(pushing.tolist()),
        starts=(0, wing, STATIONS - wing),
    )


def sections(made: Winged) -> tuple[Section, Section, Section]:
    """Left wing at its end, centre in its middle, right wing at its end."""
    left, centre, right = (_section(made, place) for place in range(3))
    return left, centre, right


def _section(made: Winged, place: int) -> Section:
    effect, at = made.effect, _ENDS[place]
    drop = float(np.asarray(effect.cut_height_add)[at])
    force = float(np.asarray(effect.section_force)[place])
    return Section(
        held=made.holds[place],
        cut_height=float(made.settings.cut_height) + drop,
        travel=float(np.asarray(effect.travel_factor)[at]),
        force=force if made.lies else 0.0,
        pushing=float(np.asarray(effect.section_pushing)[place]) if made.lies else 0.0,
        heavy=bool(np.asarray(effect.section_heavy)[place]),
    )
