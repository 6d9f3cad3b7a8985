"""The compiled loop says what the engine says, or it is no bar to measure by."""

import math
from collections.abc import Iterator
from dataclasses import replace
from importlib.util import find_spec
from itertools import islice, product
from types import FunctionType
from typing import Any

import numpy as np
import pytest

from academy.catalog import coefficients, combines, headers
from academy.engine import header
from academy.engine.conditions import Carried, Field, Settings
from academy.web.benchmarks import compiled_engine, engine_speed
from academy.web.benchmarks.best_settings import problems

CROPS = ("soybean", "wheat")
CARRIED: tuple[Carried, ...] = ("ground", "wheels", "sensing")


def a_field(number: int) -> Field:
    """A field of its own for each number, from thin and dry to heavy and lodged."""
    rng = np.random.Generator(np.random.PCG64(number))
    return Field(
        crop_yield=float(rng.uniform(0.1, 0.6)),
        crop_height=float(rng.uniform(0.5, 1.1)),
        moisture=float(rng.uniform(0.09, 0.2)),
        lodging=float(rng.choice([0.0, rng.uniform(0.0, 1.0)])),
        lowest_grain=float(rng.uniform(0.08, 0.2)),
        mog_ratio=float(rng.uniform(0.8, 1.5)),
        ground_roughness=256e-6 * 16 ** float(rng.random()),
        slope=float(rng.uniform(0, 0.3)),
        grain_price=float(rng.uniform(0.1, 0.5)),
    )


def some_settings(number: int, count: int) -> dict[str, Any]:
    rng = np.random.Generator(np.random.PCG64(1000 + number))
    ends = {
        "ground_speed": (0.4, 3.2),
        "reel_rate": (1.0, 6.5),
        "reel_height": (0.6, 1.5),
        "reel_lead": (0.05, 0.45),
        "cut_height": (0.0, 0.6),
        "belt_speed": (1.4, 4.2),
    }
    return {name: rng.uniform(low, high, count) for name, (low, high) in ends.items()}


def both(
    crop: str, carried: Carried, number: int, count: int, key: str = "flex40"
) -> Iterator[Any]:
    """Cost and broken limits of the engine, then of the loop."""
    machine = headers.machine(headers.load(key), combines.load("middle"), carried)
    field, values = a_field(number), coefficients.load(crop).values
    drawn = some_settings(number, count)
    settings = Settings(**drawn, float_force=200.0, tine_pitch=0.0)
    read = header.run(field, machine, settings, values)
    flags = np.zeros(count, dtype=bool)
    for flag in read.violations.values():
        flags = flags | flag
    yield read.cost, flags
    plain = compiled_engine.plain
    cost, broken = np.empty(count), np.empty(count, dtype=bool)
    rows = tuple(drawn[name] for name in compiled_engine.SETTINGS)
    compiled_engine.costs(
        plain(field), plain(machine), plain(values), rows, cost, broken
    )
    yield cost, broken


@pytest.mark.parametrize(
    ("crop", "carried", "number", "key"),
    [(*case, "flex40") for case in product(CROPS, CARRIED, range(3))]
    + [(*case, 1, "hinged30") for case in product(CROPS, CARRIED)],
)
def test_costs_and_limits_agree_with_the_engine(
    crop: str, carried: Carried, number: int, key: str
) -> None:
    # without numba the loop runs as plain Python: fewer settings, the same check
    count = 20_000 if compiled_engine.there else 300
    (cost, flags), (own, broken) = both(crop, carried, number, count, key)
    np.testing.assert_allclose(own, cost, rtol=1e-9)
    np.testing.assert_array_equal(broken, flags)
    assert flags.any()
    assert not flags.all()


def test_a_header_that_cannot_sense_its_height_breaks_a_limit_always() -> None:
    (_, flags), (_, broken) = both("wheat", "sensing", 0, 50, "flex35")
    assert flags.all()
    assert broken.all()


def test_the_loop_is_compiled_where_numba_is() -> None:
    # Without numba the very same loop runs as it is written.
    assert compiled_engine.there == (find_spec("numba") is not None)
    compiled = not isinstance(compiled_engine.costs, FunctionType)
    assert compiled == compiled_engine.there


def test_both_rivals_do_the_same_work() -> None:
    for problem in islice(problems(3), 3):
        drawn = engine_speed._drawn(problem, 3 * engine_speed.CHUNK // 2)
        (cost, broken), (other, flagged) = (
            rival(problem, drawn) for rival in (engine_speed.ours, engine_speed.theirs)
        )
        np.testing.assert_allclose(other, cost, rtol=1e-9)
        np.testing.assert_array_equal(flagged, broken)
        assert len(cost) == len(drawn["ground_speed"])


def test_drawn_settings_lie_between_the_ends_and_differ() -> None:
    (problem,) = problems(1)
    drawn = engine_speed._drawn(problem, 500)
    for control in problem.controls:
        row = drawn[control.name]
        assert control.low <= row.min() < row.max()
        assert row.max() <= control.low + control.step * control.size
    fixed = replace(problem, controls=())
    assert len(set(engine_speed._drawn(fixed, 5)["reel_rate"])) == 1


def test_speed_is_told_with_its_target_where_numba_is() -> None:
    found = {each.name: each for each in engine_speed.measure(evaluations=20_000)}
    assert found["engine_evaluations"].value > 0
    ratio = found.get("engine_speed_over_compiled_loop")
    assert (ratio is not None) == compiled_engine.there
    assert ratio is None or (ratio.least == 0.5 and math.isfinite(ratio.value))
