"""The reel of some facts over the width, out of step or not, in plain numbers."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.catalog import coefficients, headers, parts
from academy.engine import across, header
from academy.engine.conditions import Machine, Settings
from academy.engine.reel_sections import (
    ReelSectionsState,
    arm_offset,
    reel_sections_effect,
)
from academy.scenarios import conditions
from academy.scenarios.facts import Facts

THIRDS = ("left", "centre", "right")
PIECES = ("shatter", "loose_stalk")
STRIPS = 24  # three thirds of eight


@dataclass(frozen=True, slots=True)
class Third:
    """A third of the width: means, and the least gap [m] to the raised bar."""

    offset: float  # of the axle over what is set [m]
    gap: float
    pieces: Mapping[str, float]  # losses [1]


@dataclass(frozen=True, slots=True)
class ReelAcross:
    """Arms from the left end and the axle's height at them [m]; losses [1] by strip."""

    machine: Machine
    arms: tuple[float, ...]
    axle: tuple[float, ...]
    pieces: Mapping[str, tuple[float, ...]]
    in_step: float  # loss at a reel in step
    thirds: tuple[Third, Third, Third]


def _by_strip(value: object) -> NDArray[np.float64]:
    return np.broadcast_to(np.asarray(value, dtype=np.float64), (STRIPS,))


def _third(
    place: int,
    offset: NDArray[np.float64],
    gap: NDArray[np.float64],
    pieces: Mapping[str, NDArray[np.float64]],
) -> Third:
    wide = STRIPS // len(THIRDS)
    here = slice(place * wide, (place + 1) * wide)
    return Third(
        offset=float(offset[here].mean()),
        gap=float(gap[here].min()),
        pieces={name: float(lost[here].mean()) for name, lost in pieces.items()},
    )


def _arms(
    machine: Machine, settings: Settings, state: ReelSectionsState, count: int
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Places of the arms, and heights of the axle there."""
    at = np.linspace(-0.5, 0.5, count + 1)
    up = arm_offset(at, state.left_arm, state.centre_arm, state.right_arm, float(count))
    axle = np.asarray(settings.reel_height + up)
    places = (at + 0.5) * machine.width
    return tuple(places.tolist()), tuple(axle.tolist())


def reel_across(
    facts: Facts, settings: Settings, state: ReelSectionsState
) -> ReelAcross:
    """The reel as its arms stand, and what it loses; raises OutOfRange."""
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    believed = coefficients.load(facts["crop"]).values
    count = headers.load(facts["header"]).parts.reel_parts
    effect = reel_sections_effect(
        machine=machine,
        settings=settings,
        state=state,
        c=parts.load("reel_sections").values,
        reel_parts=float(count),
        places=across.places(STRIPS),
    )
    height = settings.reel_height + effect.reel_height_add
    read = header.run(field, machine, replace(settings, reel_height=height), believed)
    level = header.run(field, machine, settings, believed)
    lost = {piece: _by_strip(getattr(read, piece)) for piece in PIECES}
    offset, gap = (_by_strip(v) for v in (effect.reel_height_add, effect.finger_gap))
    left, centre, right = (_third(place, offset, gap, lost) for place in range(3))
    arms, axle = _arms(machine, settings, state, count)
    return ReelAcross(
        machine=machine,
        arms=arms,
        axle=axle,
        pieces={piece: tuple(each.tolist()) for piece, each in lost.items()},
        in_step=sum(float(getattr(level, piece)) for piece in PIECES),
        thirds=(left, centre, right),
    )
