"""One header over one stretch of drawn ground: what a picture of it costs to make."""

from statistics import median
from time import perf_counter

from academy.catalog import coefficients
from academy.engine.header import Field, Machine, Settings
from academy.scenarios import conditions, following
from academy.web.benchmarks.measure import Measure

REPEATS = 15
MOST = 30.0
_FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle"}


def _set_up() -> tuple[Field, Machine, Settings]:
    facts = _FACTS | {"ground": "rough"}
    field = conditions.field_of(facts)
    return field, conditions.machine_of(facts), conditions.as_found(facts)


def measure(repeats: int = REPEATS) -> list[Measure]:
    """Milliseconds to draw the ground and to let the bar follow it, middle of many."""
    field, machine, settings = _set_up()
    values = coefficients.load("soybean").values
    taken = []
    for seed in range(repeats + 1):
        start = perf_counter()
        following.over_ground(field, machine, settings, values, seed)
        taken.append(perf_counter() - start)
    # the first makes what the others share
    found = 1000.0 * median(taken[1:])
    return [Measure("ground_following_median", found, "ms", most=MOST)]
