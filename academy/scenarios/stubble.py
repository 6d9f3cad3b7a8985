"""The stubble that a fault leaves, by the engine: its traits, and one pass across it.

Each fault changes what goes into one engine run, or what that run says of the whole
width; a trace then lays the traits out over the width, with luck from the facts.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, astuple, dataclass, replace
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from academy.catalog import faults
from academy.engine import ground, header
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Readings, Settings
from academy.engine.hinged_bar import sections_alike
from academy.engine.si import Number
from academy.errors import ContentError
from academy.scenarios.dice import Dice

PLACES = 48  # across the width
_WAVES = (1.5, 2.5, 4.0)  # over the width
_STRIP_FROM, _STRIP_TO = 8, 40  # a missing section is not at an end


@dataclass(frozen=True, slots=True)
class Traits:
    """What one sees of a stubble: lengths [m], shares of stems or of the width [1]."""

    height: Number
    tilt: Number  # from one end to the other
    wave: Number  # root mean square about the mean
    ragged: Number
    strip: Number  # uncut, inside
    ends: Number  # uncut, at both ends together
    soil: Number


@dataclass(frozen=True, slots=True)
class Trace:
    """One pass across the width: stubble heights [m] and marks, left to right."""

    heights: Sequence[float]
    ragged: Sequence[bool]
    standing: Sequence[bool]
    soil: Sequence[bool]


@dataclass(frozen=True, slots=True)
class Pass:
    """What the engine runs on."""

    field: Field
    machine: Machine
    settings: Settings
    values: Coefficients

    def readings(self) -> Readings:
        """The engine's readings."""
        return header.run(self.field, self.machine, self.settings, self.values)


def _seen(one: Pass, **more: Number) -> Traits:
    read = one.readings()
    plain = Traits(
        height=read.true_cut_height,
        tilt=0.0,
        wave=read.cut_height_spread,
        ragged=read.bunched,
        strip=0.0,
        ends=0.0,
        soil=read.digging,
    )
    return replace(plain, **more)


def _amount(key: str) -> float:
    amount = faults.load()[key].amount
    if amount is None:
        raise ContentError("fault_needs_amount", file="faults", field=key)
    return float(amount.si()[1])


def _set(one: Pass, **settings: Number) -> Pass:
    return replace(one, settings=replace(one.settings, **settings))


def _too_fast(one: Pass) -> Traits:
    return _seen(
        _set(one, ground_speed=one.settings.ground_speed * _amount("too_fast"))
    )


def _cut_high(one: Pass) -> Traits:
    return _seen(_set(one, cut_height=one.settings.cut_height + _amount("cut_high")))


def _bar_digs(one: Pass) -> Traits:
    low = one.settings.cut_height - _amount("bar_digs")
    return _seen(_set(one, cut_height=np.maximum(low, 0.0)))


def _flex_stiff(one: Pass) -> Traits:
    held = sections_alike("rigid", one.machine.sensed, one.machine.carried, 0.0)
    locked = replace(one.machine, bar_travel=0.0, build="rigid", sections=held)
    return _seen(replace(one, machine=locked))


def _one_end_high(one: Pass) -> Traits:
    lift = ground.end_lift(one.machine.width, _amount("one_end_high"))
    return _seen(one, tilt=2.0 * lift)


def _section_missing(one: Pass) -> Traits:
    return _seen(one, strip=_amount("section_missing") / one.machine.width)


def _ends_down(one: Pass) -> Traits:
    return _seen(one, ends=2.0 * _amount("ends_down") / one.machine.width)


FAULTS: Mapping[str, Callable[[Pass], Traits]] = {
    "none": _seen,
    "too_fast": _too_fast,
    "cut_high": _cut_high,
    "bar_digs": _bar_digs,
    "flex_stiff": _flex_stiff,
    "one_end_high": _one_end_high,
    "section_missing": _section_missing,
    "ends_down": _ends_down,
}


def steps_between(one: Traits, other: Traits) -> Number:
    """How far two stubbles look apart, in just-visible steps, traits squared and added.

    Works along the draws when one of them holds arrays.
    """
    steps = [
        (getattr(one, name) - getattr(other, name)) / step
        for name, step in faults.visible().items()
    ]
    apart: Number = np.sqrt(sum(np.square(step) for step in steps))
    return apart


def _over_draws(fault: str, one: Pass) -> Traits:
    """Traits with every coefficient drawn, each an array of the draws' length."""
    seen = FAULTS[fault](one)
    size = np.size(one.values.pod_share)
    spread = [np.broadcast_to(np.ravel(each), (size,)) for each in astuple(seen)]
    return Traits(**dict(zip(asdict(seen), spread, strict=True)))


def flips(
    key: str, offered: Sequence[str], one: Pass, draws: Coefficients
) -> int | None:
    """Draws in which the key's stubble looks more like another's; None: too alike.

    What is compared is what one sees: traits in steps that an eye can just tell.
    """
    known = {each: FAULTS[each](one) for each in offered}
    others = [known[each] for each in offered if each != key]
    if (
        min(float(steps_between(known[key], other)) for other in others)
        < faults.apart()
    ):
        return None
    seen = _over_draws(key, replace(one, values=draws))
    own = steps_between(seen, known[key])
    rivals = [np.asarray(steps_between(seen, other)) for other in others]
    return int(np.count_nonzero(np.stack(rivals).min(axis=0) < own))


def _wave(rms: float, dice: Dice) -> NDArray[np.float64]:
    """A wavy line of that root mean square, with its bends where luck puts them."""
    across = np.arange(PLACES) / PLACES
    line = np.zeros(PLACES)
    for waves in _WAVES:
        line = line + np.sin(2 * pi * (waves * across + dice.below(1000) / 1000))
    line = line - line.mean()
    scaled: NDArray[np.float64] = line * (rms / sqrt(float(np.mean(line * line))))
    return scaled


def _spread_out(share: float, dice: Dice) -> list[bool]:
    chosen = set(dice.shuffled(range(PLACES))[: round(share * PLACES)])
    return [place in chosen for place in range(PLACES)]


def _lowest(heights: NDArray[np.float64], share: float) -> list[bool]:
    low = set(np.argsort(heights, kind="stable")[: round(share * PLACES)].tolist())
    return [place in low for place in range(PLACES)]


def _uncut(traits: Traits, dice: Dice) -> list[bool]:
    uncut = [False] * PLACES
    if traits.strip:
        uncut[_STRIP_FROM + dice.below(_STRIP_TO - _STRIP_FROM)] = True
    for place in range(max(1, round(float(traits.ends) * PLACES / 2))):
        if traits.ends:
            uncut[place] = uncut[-1 - place] = True
    return uncut


def trace(traits: Traits, dice: Dice) -> Trace:
    """One pass across the width with these traits; the same luck, the same pass."""
    side = 1.0 if dice.below(2) else -1.0
    slope = np.linspace(-0.5, 0.5, PLACES) * side * float(traits.tilt)
    heights = float(traits.height) + slope + _wave(float(traits.wave), dice)
    heights = np.maximum(heights, 0.0)
    return Trace(
        heights=[round(float(height), 4) for height in heights],
        ragged=_spread_out(float(traits.ragged), dice),
        standing=_uncut(traits, dice),
        soil=_lowest(heights, float(traits.soil)),
    )
