"""What a family draws must be of use: shown, in reach of the control, and enough."""

from collections.abc import Iterator
from itertools import product

from academy import units
from academy.catalog import headers
from academy.catalog.families import Family, Grid
from academy.errors import AcademyError, ContentError
from academy.scenarios import faulty
from academy.scenarios.draw import grids
from academy.scenarios.number import COMPUTABLES
from academy.service.shown_facts import KIND_OF

_RUN = {"set-up", "one-change", "find-the-leak", "find-the-cause", "read-the-stubble"}
_SLACK = 1e-9  # of a control's range in SI; units do not come back to the last digit


def fact_problems(file: str, family: Family) -> Iterator[AcademyError]:
    """Everything wrong with what a family draws; its names must exist already."""
    for name, grid in grids(family).items():
        yield from _shown(file, name, grid)
    for name, grid in family.givens.items():
        if grid.name is None:
            yield ContentError("fact_without_name", file=file, field=f"givens.{name}")
    yield from _missing(file, family)
    if not family.grounds and _RUN & {part.kind for part in family.parts}:
        yield ContentError("grounds_missing", file=file)
    for header in family.headers:
        yield from _out_of_reach(file, family, header)


def _shown(file: str, name: str, grid: Grid) -> Iterator[AcademyError]:
    kind = KIND_OF.get(name.partition(".")[2] or name)
    if kind is None:
        yield ContentError("fact_not_shown", file=file, field=name)
    elif units.si_of(grid.unit) != units.si_of(units.KINDS[kind].metric):
        yield ContentError("fact_in_wrong_unit", file=file, field=name, unit=grid.unit)


def _missing(file: str, family: Family) -> Iterator[AcademyError]:
    drawn = grids(family)
    asked = [part.computable for part in family.parts if part.computable]
    needed = [name for computable in asked for name in COMPUTABLES[computable].needs]
    hidden = faulty.touched_by(key for part in family.parts for key in part.faults)
    for name in dict.fromkeys(needed):
        if name not in drawn:
            yield ContentError("fact_not_drawn", file=file, field=name)
        elif name in hidden:
            yield ContentError("fact_told_by_fault", file=file, field=name)


def _out_of_reach(file: str, family: Family, header: str) -> Iterator[AcademyError]:
    built, carried = headers.load(header), family.carried or ("ground",)
    for (name, grid), way in product(family.as_found.items(), carried):
        reach = headers.range_of(built, name, way)
        if units.si_of(grid.unit) != units.si_of(reach.unit):
            continue  # told as a wrong unit
        low, high, _ = reach.si()
        ends = (units.to_si(grid.low, grid.unit), units.to_si(grid.high, grid.unit))
        if ends[0] < low - _SLACK or ends[1] > high + _SLACK:
            yield ContentError(
                "found_beyond_control", file=file, field=f"as_found.{name}", name=header
            )
