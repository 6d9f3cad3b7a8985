"""The stubble that a fault leaves, by the engine: across the width and the travel.

Signs of one run are laid out over places, with luck from the facts: heights, and which
stems are bunched, torn or uncut, where soil is scraped or pushed, where chaff lies.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import pi, sqrt
from typing import Any

import numpy as np

from academy.catalog import signs as catalog
from academy.engine.whole_header import STRIPS
from academy.scenarios import signs
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts, canonical
from academy.scenarios.faulty import Pass, with_fault
from academy.scenarios.signs import Floats

PLACES = 48  # across the width, and along the travel
LENGTH = 1.2  # of the travel that is drawn [m]
GROUPS = ("stubble", "soil")
_WAVES = (1.5, 2.5, 4.0)  # over the width
_STRIP_FROM, _STRIP_TO = 8, 40  # a missing section is not at an end
_THIRD = PLACES // 3
Found = Mapping[str, Sequence[float]]


def names() -> tuple[str, ...]:
    """Signs that one sees of a stubble."""
    return (*catalog.of_groups(GROUPS), "chaff")


@dataclass(frozen=True, slots=True)
class Trace:
    """Stubble heights [m] and marks at places, left to right or along the travel.

    ``chaff``: from where to where of the width it lies, as shares.
    """

    heights: Sequence[float]
    ragged: Sequence[bool]
    standing: Sequence[bool]
    soil: Sequence[bool]
    bunched: Sequence[bool]
    pushed: Sequence[bool] = field(default_factory=list)
    chaff: Sequence[float] = field(default_factory=list)


def mirrored(facts: Facts, place: int) -> bool:
    """Whether a fault of one side is on the right in these facts."""
    return bool(Dice("side", place, canonical(facts)).below(2))


def _wave(dice: Dice) -> Floats:
    """A wavy line of root mean square 1, with its bends where luck puts them."""
    across = np.arange(PLACES) / PLACES
    line = np.zeros(PLACES)
    for waves in _WAVES:
        line = line + np.sin(2 * pi * (waves * across + dice.below(1000) / 1000))
    line = line - line.mean()
    scaled: Floats = line / sqrt(float(np.mean(line * line)))
    return scaled


def _marks(chosen: set[int]) -> list[bool]:
    return [place in chosen for place in range(PLACES)]


def _spread_out(share: float, dice: Dice) -> set[int]:
    return set(dice.shuffled(range(PLACES))[: round(share * PLACES)])


def _in_thirds(shares: Sequence[float], order: Sequence[int]) -> set[int]:
    """The first places of an order, as many in each third as its share says."""
    chosen: set[int] = set()
    for third, share in enumerate(shares):
        own = [place for place in order if place // _THIRD == third]
        chosen |= set(own[: round(share * _THIRD)])
    return chosen


def _uncut(found: Found, dice: Dice) -> set[int]:
    chosen = _spread_out(found["standing"][0], dice)
    if found["strip"][0]:
        chosen.add(_STRIP_FROM + dice.below(_STRIP_TO - _STRIP_FROM))
    ends = found["run_down"][0]
    for place in range(max(1, round(ends * PLACES / 2)) if ends else 0):
        chosen |= {place, PLACES - 1 - place}
    return chosen


def _profile(one: Pass) -> Floats:
    """Mean height of the stubble over the width; a straight line where it tilts."""
    left, middle, right = (
        np.ravel(run.strips.cut.true_cut_height) for run in one.run()
    )
    if "tilt" in one.seen:
        means = [float(each.mean()) for each in (left, middle, right)]
        line = np.polyfit([-1.0, 0.0, 1.0], means, 1)
        places = np.linspace(-1.5, 1.5, PLACES)
        return np.asarray(np.polyval(line, places), dtype=float)
    level: Floats = np.repeat(np.broadcast_to(middle, (STRIPS,)), PLACES // STRIPS)
    return level


def _across(one: Pass, found: Found, dice: Dice) -> Trace:
    """One pass across the width; the same luck, the same pass."""
    wave = np.repeat(np.asarray(found["wave"]), _THIRD) * _wave(dice)
    heights = np.maximum(_profile(one) + wave, 0.0)
    lowest = np.argsort(heights, kind="stable").tolist()
    bare = (1.0 - found["chaff"][0]) / 2.0
    return Trace(
        heights=[round(float(height), 4) for height in heights],
        ragged=_marks(_spread_out(found["torn"][0], dice)),
        bunched=_marks(_spread_out(found["bunched"][0], dice)),
        standing=_marks(_uncut(found, dice)),
        soil=_marks(_in_thirds(found["soil"], lowest)),
        pushed=_marks(_in_thirds(found["pushed"], dice.shuffled(range(PLACES)))),
        chaff=[round(bare, 4), round(1.0 - bare, 4)],
    )


def _along(one: Pass, found: Found, dice: Dice) -> Trace:
    """A line along the travel: what each stroke bunches is cut long, in its rhythm."""
    advance = float(np.ravel(one.run()[1].readings.advance_per_stroke)[0])
    advance /= float(one.state.knife.stroke_share)
    share = found["bunched"][0]
    way = np.arange(PLACES) * LENGTH / PLACES / advance + dice.below(1000) / 1000
    left = np.maximum(share - way % 1.0, 0.0) * advance  # bent forward so far
    heights = np.hypot(found["height"][1], left)
    return Trace(
        heights=[round(float(height), 4) for height in heights],
        bunched=[bool(bent > 0) for bent in left],
        ragged=_marks(_spread_out(found["torn"][0], dice)),
        standing=_marks(_spread_out(found["standing"][0], dice)),
        soil=[],
    )


def traces(one: Pass, key: str, place: int) -> tuple[Trace, Trace]:
    """What a fault leaves of the facts' pass: across the width, along the travel."""
    luck = Dice("stubble", place, canonical(one.facts))
    faulty = with_fault(one, key, mirrored(one.facts, place))
    known = signs.read(faulty, names())[:, 0]
    found: dict[str, Any] = signs.by_name(names(), known.tolist())
    return _across(faulty, found, luck), _along(faulty, found, luck)
