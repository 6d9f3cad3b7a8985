"""What one measures and sees at a header at work, read off the engine's run.

Each sign is a value, or one for left, middle and right; numbers, or arrays over draws
of what is believed. All in SI.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from academy.catalog import signs as catalog
from academy.catalog.signs import Sign
from academy.engine.si import Number, Ratio
from academy.engine.whole_header import STRIPS
from academy.engine.whole_state import WholeReadings
from academy.scenarios.faulty import Pass, Runs

Floats = NDArray[np.float64]
Reader = Callable[[Pass, Runs], Sequence[Number]]
_THIRD = STRIPS // 3


def _thirds(runs: Runs, get: Callable[[WholeReadings], Number]) -> list[Number]:
    """Means over left, middle and right third of what lies over the strips."""
    means: list[Number] = []
    for place, run in enumerate(runs):
        laid = np.asarray(get(run), dtype=float)
        laid = laid[..., None] if laid.ndim == 0 else laid
        laid = np.broadcast_to(laid, (*laid.shape[:-1], STRIPS))
        means.append(laid[..., place * _THIRD : (place + 1) * _THIRD].mean(axis=-1))
    return means


def _lost(*pieces: str) -> Reader:
    """Grain that some stages lose [kg/m^2], in each third."""

    def read(one: Pass, runs: Runs) -> Sequence[Number]:
        def share(run: WholeReadings) -> Ratio:
            return sum(run.strips.pieces[piece] for piece in pieces)

        return [each * one.field.crop_yield for each in _thirds(runs, share)]

    return read


def _loss(piece: str) -> Reader:
    return lambda one, runs: [getattr(runs[1].readings, piece) * one.field.crop_yield]


def _at_ends(one: Pass, runs: Runs) -> Sequence[Number]:
    width, zone = one.machine.width, catalog.ends_zone()
    lost = runs[1].readings.divider * one.field.crop_yield
    return [lost * width / (2.0 * zone)]


def _pushed(one: Pass, runs: Runs) -> Sequence[Number]:
    """By left wing, centre and right wing; a bar off the ground pushes nothing."""
    if one.machine.carried != "ground":
        return [0.0, 0.0, 0.0]
    laid = np.asarray(runs[1].wings.section_pushing)
    return [laid[..., place] for place in range(3)]


def _nicked(one: Pass, runs: Runs) -> Sequence[Number]:
    least = one.machine.least_finger_gap
    return _thirds(runs, lambda run: np.less(run.reel_sections.finger_gap, least) * 1.0)


def _torn(one: Pass, runs: Runs) -> Sequence[Number]:
    del one
    knife = runs[1].knife
    return [1.0 - (1.0 - knife.folded) * (1.0 - knife.pulled)]


def _extra(name: str, usual: float = 0.0) -> Reader:
    return lambda one, _: [one.seen.get(name, usual)]


def _run_down(one: Pass, runs: Runs) -> Sequence[Number]:
    del runs
    return [2.0 * one.seen.get("ends", 0.0) / float(one.machine.width)]


def _sides(name: str) -> Reader:
    return lambda _, runs: [
        getattr(runs[1].flow, f"{side}_{name}") for side in ("left", "right")
    ]


def _flow(name: str) -> Reader:
    return lambda _, runs: [np.clip(getattr(runs[1].flow, name), 0.0, 1.0)]


def _knife(name: str) -> Reader:
    return lambda _, runs: [getattr(runs[1].knife, name)]


def _reading(name: str) -> Reader:
    return lambda _, runs: [getattr(runs[1].readings, name)]


def _engine(one: Pass, runs: Runs) -> Sequence[Number]:
    """A full engine shows as full, however much more is asked of it."""
    del one
    return [np.minimum(runs[1].readings.engine_load, 1.0)]


def _over_top(one: Pass, runs: Runs) -> Sequence[Number]:
    del one
    return [np.clip(runs[1].readings.carry_tendency, 0.0, 1.0)]


SIGNS: Mapping[str, Reader] = {
    "loose_grain": _lost("shatter", "knife"),
    "loose_stalks": _lost("loose_stalk"),
    "on_stubble": _lost("stubble"),
    "run_under": _loss("lodged"),
    "at_ends": _at_ends,
    "height": lambda _, runs: _thirds(runs, lambda run: run.strips.cut.true_cut_height),
    "wave": lambda _, runs: _thirds(runs, lambda run: run.strips.cut.cut_height_spread),
    "bunched": _reading("bunched"),
    "torn": _torn,
    "standing": _knife("uncut"),
    "strip": _extra("strip"),
    "run_down": _run_down,
    "soil": lambda _, runs: _thirds(runs, lambda run: run.strips.cut.digging),
    "pushed": _pushed,
    "over_top": _over_top,
    "nicked": _nicked,
    "mat": _sides("depth"),
    "slip": _sides("slip"),
    "walk": _sides("walk"),
    "leak": _loss("belt_leak"),
    "hauling": lambda _, runs: [runs[1].flow.power],
    "crossed": _flow("crossing_over"),
    "lumps": _reading("slugging_index"),
    "waiting": _flow("bunching"),
    "round": _flow("carry_over"),
    "flung": _flow("fling"),
    "hold_down": _knife("hold_down_excess"),
    "bearing": lambda one, _: [one.state.knife.bearing_temperature],
    "drive": _knife("power_mean"),
    "shock": _knife("power_peak"),
    "dragged": _knife("drag"),
    "moisture": lambda one, _: [one.field.moisture],
    "processed": _loss("processing"),
    "split": lambda _, runs: [runs[1].threshing.crack_tendency],
    "engine": _engine,
    "chaff": _extra("chaff", 1.0),
}


def read(one: Pass, names: Sequence[str]) -> Floats:
    """Values of some signs, one row a place, one column a draw; SI.

    Raises KeyError for a sign that there is not.
    """
    runs = one.run()
    rows = [np.ravel(each) for name in names for each in SIGNS[name](one, runs)]
    size = max(row.size for row in rows)
    return np.stack([np.broadcast_to(row, (size,)) for row in rows])


def _each_place(names: Sequence[str]) -> Iterator[Sign]:
    for name in names:
        sign = catalog.load()[name]
        yield from (sign,) * catalog.PLACES[sign.laid]


def visible(names: Sequence[str], bushel: float) -> Floats:
    """Difference that just shows at each place, where there is next to nothing; SI.

    A second row says what it grows by with what is there [1].
    """
    laid = list(_each_place(names))
    just = [sign.visible.si(bushel)[1] for sign in laid]
    return np.array([just, [catalog.relative() * sign.grows for sign in laid]])


def by_name(names: Sequence[str], values: Sequence[float]) -> dict[str, list[float]]:
    """Values of ``read`` under the names of their signs."""
    listed, left = catalog.load(), list(values)
    told = {}
    for name in names:
        places = catalog.PLACES[listed[name].laid]
        told[name], left = left[:places], left[places:]
    return told
