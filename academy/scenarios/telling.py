"""Can a fault be told from the others that are offered, whatever is believed?

Two faults are compared by what one can see: differences in steps that just show,
squared and added; less than a step is not seen. The doubt of coefficients is drawn.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Any

import numpy as np

from academy.catalog import signs as catalog
from academy.catalog import whole
from academy.engine import ensemble
from academy.engine.coefficients import Coefficients
from academy.engine.whole_state import Beliefs
from academy.scenarios import signs
from academy.scenarios.facts import bushel
from academy.scenarios.faulty import Pass, with_fault
from academy.scenarios.signs import Floats

IN_ORDER = "none"
_SEED = 20  # of the draws of what is believed of the parts


def differ(
    name: str, one: Sequence[float], other: Sequence[float], bushel: float
) -> bool:
    """Whether two readings of a sign differ visibly at any place."""
    just = signs.visible((name,), bushel)
    return bool(np.any(steps(np.array(one), np.array(other), just) >= 1.0))


@dataclass(frozen=True, slots=True)
class Told:
    """The signs of a fault that can be told, at each place [SI]."""

    found: tuple[float, ...]
    in_order: tuple[float, ...]
    flips: int


@cache
def beliefs(size: int, seed: int) -> Beliefs:
    """What may be believed of the parts: ``size`` draws of each figure."""
    low, best, high = whole.beliefs("low"), whole.beliefs(), whole.beliefs("high")
    drawn: dict[str, Any] = {}
    for place, part in enumerate(fields(Beliefs), start=1):
        ends = (getattr(each, part.name) for each in (low, best, high))
        bounds = ensemble.bounds_of(*ends)
        named = ensemble.draw_named(bounds, size, seed + place)
        drawn[part.name] = replace(getattr(best, part.name), **named)
    return Beliefs(**drawn)


def steps(one: Floats, other: Floats, just: Floats) -> Floats:
    """How many just visible steps lie between two readings, place by place.

    ``just``: the step where there is next to nothing, and how it grows with what is
    there, as ``signs.visible`` says it.
    """
    size = (np.abs(one) + np.abs(other)) / 2.0
    least, growth = (row.reshape(-1, *[1] * (np.ndim(one) - 1)) for row in just)
    between: Floats = np.abs(one - other) / (least + growth * size)
    return between


def apart(one: Floats, other: Floats, just: Floats) -> Floats:
    """Just visible steps between two readings in all; less than one is not seen."""
    between = steps(one, other, just)
    seen = np.where(between < 1.0, 0.0, between)
    total: Floats = np.sqrt(np.sum(np.square(seen), axis=0))
    return total


def judge(
    key: str,
    offered: Sequence[str],
    one: Pass,
    names: Sequence[str],
    draws: Coefficients,
    mirrored: bool = False,
) -> Told | None:
    """The key's signs, and in how many draws they look more like another's.

    None when another offered fault, or good order, looks too much like it. A draw is
    what one would find if other coefficients were true, set beside good order then, as
    a reader sets it beside good order now.
    """
    just = signs.visible(names, bushel(one.facts))
    faulty = {
        each: with_fault(one, each, mirrored) for each in {*offered, key, IN_ORDER}
    }
    known = {each: signs.read(faulty[each], names)[:, 0] for each in faulty}
    others = [each for each in faulty if each != key]
    gaps = [float(apart(known[key], known[each], just)) for each in others]
    if min(gaps, default=0.0) < catalog.apart():
        return None
    drawn = beliefs(np.size(draws.pod_share), _SEED)
    found, usual = (
        signs.read(replace(faulty[each], values=draws, believed=drawn), names)
        for each in (key, IN_ORDER)
    )
    told = known[IN_ORDER][:, None] + found - usual
    own = _distance(told, known[key], just)
    rivals = np.stack([_distance(told, known[each], just) for each in others])
    flips = int(np.count_nonzero(rivals.min(axis=0) < own))
    return Told(tuple(known[key]), tuple(known[IN_ORDER]), flips)


def _distance(told: Floats, known: Floats, just: Floats) -> Floats:
    total: Floats = np.sqrt(
        np.sum(np.square(steps(told, known[:, None], just)), axis=0)
    )
    return total
