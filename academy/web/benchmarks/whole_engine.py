"""How quick the whole header is: one run of it, and the search for its best settings.

Each drawn field meets a header all of whose parts are found somewhat out of order. The
wings alone work as they should: in any other state no setting is safe.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import cycle
from statistics import median
from time import perf_counter

from academy.catalog import families, headers, whole
from academy.engine import search, whole_header
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Readings, Run, Settings
from academy.errors import OutOfRange
from academy.grading.verdict import Problem
from academy.scenarios.dice import Dice
from academy.scenarios.draw import draw
from academy.scenarios.facts import Facts
from academy.scenarios.out_of_order import PARTS, drawn_state
from academy.service.problems import problem_of
from academy.service.reference_set import controls_of
from academy.web.benchmarks.best_settings import FIRST_SEED
from academy.web.benchmarks.measure import Measure

FIELDS = 40
MOST = 20.0
_TIMES = 3  # each is run this often; its middle time counts
_OUT = tuple(name for name in PARTS if name != "wings")


def _engine(facts: Facts, dice: Dice) -> Run:
    """The engine of a header in a drawn state."""
    build = whole.build(facts["crop"], headers.load(facts["header"]))
    state, believed = drawn_state(facts, _OUT, dice), whole.beliefs()

    def run(field: Field, machine: Machine, at: Settings, c: Coefficients) -> Readings:
        done = whole_header.run(field, machine, at, c, build, state, believed)
        return done.readings

    return run


def _search(one: Problem) -> search.Best:
    return search.best(
        one.field, one.machine, one.as_found, one.controls, one.values, one.engine
    )


def _safe(one: Problem) -> bool:
    """Whether some setting breaks no limit; also makes what later searches share."""
    try:
        _search(one)
    except OutOfRange:
        return False
    return True


def problems(count: int) -> Iterator[Problem]:
    """Set-ups of drawn fields and states with a safe answer, the families by turns."""
    asked = [(key, one) for key, one in families.known().items() if controls_of(one)]
    found, seed = 0, FIRST_SEED
    for key, family in cycle(asked):
        facts = draw(key, family, seed)
        engine = _engine(facts, Dice("whole-engine", seed))
        problem = replace(problem_of(facts, controls_of(family)), engine=engine)
        seed += 1
        if _safe(problem):
            yield problem
            found += 1
        if found == count:
            return


def _milliseconds(deed: Callable[[], object]) -> float:
    taken = []
    for _ in range(_TIMES):
        start = perf_counter()
        deed()
        taken.append(1e3 * (perf_counter() - start))
    return median(taken)


def measure(count: int = FIELDS) -> list[Measure]:
    """Milliseconds of a search through the whole header, and of one run of it."""
    searches, runs = [], []
    for one in problems(count):
        searches.append(_milliseconds(partial(_search, one)))
        runs.append(_milliseconds(partial(one.run, one.as_found, one.values)))
    return [
        Measure("whole_search_median", median(searches), "ms", most=MOST),
        Measure("whole_run", median(runs), "ms"),
    ]
