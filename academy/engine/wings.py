"""Wings of the header: the state that holds them, the task, and their weight.

There is one state for cutting, one for the road and one for repairs. What a state does
depends on the design: a wing floats on springs or oil, hangs on its lower stop, or is
held stiff. A wrong pair of task and state costs crop, or can hurt someone.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from academy.engine import across, guard, wing_weight
from academy.engine.conditions import Settings
from academy.engine.readings import Flags
from academy.engine.si import Metre, NewtonPerMetre, Number, Ratio

Wing: TypeAlias = Literal["working", "travelling", "service"]
Task: TypeAlias = Literal["cutting", "travelling", "servicing"]
Props: TypeAlias = Literal["stowed", "set"]
# What a state makes of a wing: it follows the ground with part of its weight, lies on
# the ground with all of it, or goes where the frame goes.
Hold: TypeAlias = Literal["floats", "hangs", "stiff"]

RIGHT_STATE: Mapping[Task, Wing] = {
    "cutting": "working",
    "travelling": "travelling",
    "servicing": "service",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WingsState:
    """Task, state of each wing, props, and how the weight is shared out."""

    task: Task
    left_wing: Wing
    right_wing: Wing
    wing_props: Props
    left_weight: Ratio  # over an even share, as of the others
    centre_weight: Ratio
    right_weight: Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class WingsCoefficients:
    """What is believed of wings; sizes are judged, only directions are known."""

    hanging_drop: Metre  # at the wing's end
    hanging_force: Ratio  # over that of a floating wing
    hanging_travel: Ratio  # share of its travel that is left
    pushing_force: NewtonPerMetre
    seen_heavy: Ratio  # weight of a section over the mean of all that shows
    push_soil: Ratio  # of the way taken with soil where a section pushes all the time


class WingsEffect(NamedTuple):
    """What the wings change, and what one reads of them.

    The first six lie over the places, along the last axis; ``section_`` readings along
    left wing, centre and right wing. ``pairs`` names what became of left and right
    wing: ``cutting-working``, ``cutting-service`` and so on.
    """

    cut_height_add: Metre  # to the cut height that is set
    travel_factor: Ratio  # on the travel of the bar
    float_factor: Ratio  # on the float force
    ground_force: NewtonPerMetre
    pushing: Ratio  # tendency to push soil, 0 to 1
    soil_taken: Ratio  # share of the way with soil, beyond that of an even weight
    section_force: NewtonPerMetre
    section_pushing: Ratio
    section_heavy: Flags
    pairs: tuple[str, str]
    violations: dict[str, Flags]


def wing_reach(place: Ratio, wing_share: Ratio) -> Ratio:
    """How far out on a wing a place lies, from its hinge to its end.

    Parameters
    ----------
    place : [1] distance from the middle over the width, from −½ to ½
    wing_share : [1] share of the width that each wing takes

    Returns
    -------
    [1] 0 at the hinge and in the centre, 1 at the end

    Raises
    ------
    OutOfRange : when the place lies beyond an end, the share is not above zero, or the
        wings leave no centre

    Notes
    -----
    ``max(0, (|x| − ½ + s)/s)`` [kinematics].

    Examples
    --------
    >>> [float(wing_reach(x, 0.25)) for x in (0.0, 0.375, -0.5)]
    [0.0, 0.5, 1.0]
    """
    across.inside(place)
    guard.positive("wing_share", wing_share)
    guard.at_least("middle_share", 1.0 - 2.0 * wing_share, 0.0)
    out = (np.abs(place) - 0.5 + wing_share) / wing_share
    reach: Ratio = np.maximum(out, 0.0)
    return reach


def hanging_change(reach: Ratio, hanging_drop: Metre, cut_height: Metre) -> Metre:
    """Change of the cut height along a wing that hangs on its lower stop.

    Parameters
    ----------
    reach : [1] how far out on the wing, from hinge to end
    hanging_drop : [m] drop at the end
    cut_height : [m] height of the knife that is set

    Returns
    -------
    [m] change, never above zero and never below the ground

    Raises
    ------
    OutOfRange : when the reach is no fraction, or a length is negative

    Notes
    -----
    ``−min(d r, h)``: straight from the hinge until the ground holds it [kinematics];
    the size of the drop is [judgement].

    Examples
    --------
    >>> [float(hanging_change(r, 0.06, 0.04)) for r in (0.0, 0.5, 1.0)]
    [0.0, -0.03, -0.04]
    """
    guard.fraction("wing_reach", reach)
    guard.not_negative("hanging_drop", hanging_drop)
    guard.not_negative("cut_height", cut_height)
    change: Metre = 0.0 - np.minimum(hanging_drop * reach, cut_height)
    return change


def pairs_of(state: WingsState) -> tuple[str, str]:
    """Keys of task and state of the left wing, and of the right one."""
    return f"{state.task}-{state.left_wing}", f"{state.task}-{state.right_wing}"


def violations_of(state: WingsState) -> dict[str, Flags]:
    """Rules that task, states and props break.

    The service state is no prop: under raised wings a mechanical one has to be set.
    """
    wings = {state.left_wing, state.right_wing}
    wrong = wings != {RIGHT_STATE[state.task]}
    beneath = state.task == "servicing"
    return {
        "wings_not_working": state.task == "cutting" and wrong,
        "wings_may_rise": state.task == "travelling" and wrong,
        "wing_may_drop": beneath and (wrong or state.wing_props != "set"),
        "wings_differ": len(wings) > 1,
        "wing_props_left": not beneath and state.wing_props == "set",
    }


def _laid(
    left: Number, centre: Number, right: Number, at: Ratio, reach: Ratio
) -> Ratio:
    """What holds of each section, laid over the places."""
    ends = (across.spread_out(value) for value in (left, right))
    wing = np.where(np.asarray(at) < 0.0, *ends)
    laid: Ratio = np.where(np.asarray(reach) > 0.0, wing, across.spread_out(centre))
    return laid


def _factors(
    state: WingsState, holds: tuple[Hold, Hold], c: WingsCoefficients
) -> tuple[Ratio, Ratio, Ratio]:
    """Factor on the float force of left wing, centre and right wing."""
    for weight in (state.left_weight, state.centre_weight, state.right_weight):
        guard.not_negative("weight", weight)
    guard.not_negative("hanging_force", c.hanging_force)
    left, right = (c.hanging_force if hold == "hangs" else 1.0 for hold in holds)
    return left * state.left_weight, state.centre_weight, right * state.right_weight


def wings_effect(
    *,
    settings: Settings,
    state: WingsState,
    c: WingsCoefficients,
    holds: Mapping[Wing, Hold],
    wing_share: Ratio,
    places: Ratio,
) -> WingsEffect:
    """What the state and the weight of the wings change over the places.

    ``holds`` says what each state does on this design of wing, ``wing_share`` [1] how
    much of the width each wing takes. Raises OutOfRange when an input lies where it
    cannot be.
    """
    guard.fraction("hanging_travel", c.hanging_travel)
    guard.fraction("push_soil", c.push_soil)
    held = holds[state.left_wing], holds[state.right_wing]
    reach = wing_reach(places, across.spread_out(wing_share))
    drops = (c.hanging_drop if hold == "hangs" else 0.0 for hold in held)
    travels = (
        {"floats": 1.0, "hangs": c.hanging_travel, "stiff": 0.0}[h] for h in held
    )
    left_drop, right_drop = drops
    left_travel, right_travel = travels
    factors = _factors(state, held, c)
    floating = _laid(*factors, places, reach)
    force = across.spread_out(settings.float_force) * floating
    most = across.spread_out(c.pushing_force)
    pushing = wing_weight.pushing_tendency(force, most)
    set_force = across.spread_out(settings.float_force)
    even = wing_weight.pushing_tendency(set_force, most)
    sections = wing_weight.section_force(settings.float_force, *factors)
    cut = across.spread_out(settings.cut_height)
    drop = _laid(left_drop, 0.0, right_drop, places, reach)
    return WingsEffect(
        cut_height_add=hanging_change(reach, drop, cut),
        travel_factor=_laid(left_travel, 1.0, right_travel, places, reach),
        float_factor=floating,
        ground_force=force,
        pushing=pushing,
        soil_taken=across.spread_out(c.push_soil) * np.maximum(pushing - even, 0.0),
        section_force=sections,
        section_pushing=wing_weight.pushing_tendency(
            sections, across.spread_out(c.pushing_force)
        ),
        section_heavy=wing_weight.heavy(sections, c.seen_heavy),
        pairs=pairs_of(state),
        violations=violations_of(state),
    )
