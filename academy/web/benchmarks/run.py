"""All benchmarks in one run: what ``academy bench`` prints."""

import os
import platform
from pathlib import Path
from typing import Any

from academy.engine.version import VERSION
from academy.web.benchmarks import (
    answering,
    assessing,
    best_settings,
    certificates,
    crowd,
    first_page,
    ground_speed,
    memory,
    whole_engine,
)
from academy.web.benchmarks.installation import folder, open_farm
from academy.web.benchmarks.measure import Measure


def run(
    seeds: int = best_settings.SEEDS,
    repeats: int = answering.REPEATS,
    where: Path | None = None,
) -> dict[str, Any]:
    """Every measure with its target, and what it was measured on, as plain data.

    ``where`` is the folder for the throw-away installations, by default the
    instance's own, so that the disk is the one that matters.
    """
    from academy.web.benchmarks import engine_speed  # imports numba, which is slow

    measures = best_settings.measure(seeds) + engine_speed.measure()
    measures += whole_engine.measure()
    measures += ground_speed.measure()
    measures += certificates.measure()
    with folder(where) as instance:
        farm = open_farm(instance)
        measures += answering.measure(farm, repeats)
        measures += first_page.measure(farm)
        measures += crowd.measure(farm)
        measures += assessing.measure(farm)
        farm.house.db.close()
    with folder(where) as instance:
        measures += memory.measure(instance)
    return {
        "engine_version": VERSION,
        "python": platform.python_version(),
        "processors": os.cpu_count(),
        "seeds": seeds,
        "repeats": repeats,
        "measures": [each.as_plain() for each in measures],
    }


def lines(found: dict[str, Any]) -> list[str]:
    """One line a measure: name, figure, target, and whether it is met."""
    return [_line(each) for each in found["measures"]]


def _line(each: dict[str, Any]) -> str:
    signs = {True: "ok", False: "MISSED", None: ""}
    figure = f"{each['value']:g} {each['unit']}"
    return f"{each['name']:<48}{figure:>16}  {each['target']:<8}{signs[each['met']]}"


__all__ = ["Measure", "lines", "run"]
