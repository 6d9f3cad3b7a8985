"""How the weight of the header is shared out between wings and centre."""

import numpy as np
from numpy.typing import NDArray

from academy.engine import across, guard
from academy.engine.readings import Flags
from academy.engine.si import NewtonPerMetre, Ratio


def pushing_tendency(force: NewtonPerMetre, pushing_force: NewtonPerMetre) -> Ratio:
    """How much a section tends to push soil before it.

    Parameters
    ----------
    force : [N/m] force of the section on the ground
    pushing_force : [N/m] force at which it is half way to pushing all the time

    Returns
    -------
    [1] from 0, without weight, towards 1

    Raises
    ------
    OutOfRange : when the force is negative, or the other not above zero

    Notes
    -----
    ``F²/(F² + F₀²)``; only that more weight pushes more is known, by practice
    [common-practice], the size is [judgement].

    Examples
    --------
    >>> pushing_tendency(500.0, 500.0)
    0.5
    """
    guard.not_negative("force", force)
    guard.positive("pushing_force", pushing_force)
    square = force * force
    return square / (square + pushing_force * pushing_force)


def section_force(
    float_force: NewtonPerMetre, left: Ratio, centre: Ratio, right: Ratio
) -> NewtonPerMetre:
    """Force on the ground of left wing, centre and right wing, along the last axis.

    Parameters
    ----------
    float_force : [N/m] force that is set
    left : [1] share of it that the left wing has, 1 when it is even
    centre : [1] share of it that the centre has
    right : [1] share of it that the right wing has

    Returns
    -------
    [N/m] force per width of the three sections

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``F w`` for each section [mass-balance].

    Examples
    --------
    >>> section_force(200.0, 2.0, 1.0, 1.0).tolist()
    [400.0, 200.0, 200.0]
    """
    guard.not_negative("float_force", float_force)
    for weight in (left, centre, right):
        guard.not_negative("weight", weight)
    each = [np.multiply(float_force, weight) for weight in (left, centre, right)]
    forces: NDArray[np.float64] = np.stack(np.broadcast_arrays(*each), axis=-1)
    return forces


def heavy(section_forces: NewtonPerMetre, seen_heavy: Ratio) -> Flags:
    """Which sections press clearly more than the mean of all, along the last axis.

    Practice eases the weight of that wing first, then of the whole frame, and last
    takes half the travel from the bar. Raises OutOfRange when a force is negative, or
    what shows is below 1.
    """
    guard.not_negative("section_forces", section_forces)
    guard.at_least("seen_heavy", seen_heavy, 1.0)
    mean = np.mean(section_forces, axis=-1, keepdims=True)
    pressed: Flags = np.asarray(section_forces) > across.spread_out(seen_heavy) * mean
    return pressed
