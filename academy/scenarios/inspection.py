"""Walk-round findings: which are shown, which are bad, and what the gauge reads."""

from math import comb
from typing import Any

from academy.catalog import walk_round
from academy.catalog.families import Asked
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts
from academy.scenarios.fitting import fitting_facts

_LEAST_BAD, _LEAST_GOOD = 2, 2


def drawn(asked: Asked, dice: Dice, facts: Facts) -> list[list[Any]]:
    """Shown findings as ``[key, "good" or "bad", value, unit]``; no value when seen.

    Only what the header of the facts has is shown.
    """
    shown = dice.shuffled(fitting_facts(asked, facts))[: asked.shown]
    bad = _LEAST_BAD + dice.below(asked.shown - _LEAST_BAD - _LEAST_GOOD + 1)
    states = dice.shuffled(["bad"] * bad + ["good"] * (asked.shown - bad))
    rows: list[list[Any]] = []
    for key, state in zip(shown, states, strict=True):
        finding = walk_round.load()[key]
        grid = finding.bad if state == "bad" else finding.good
        value = [None, ""] if grid is None else [dice.on(grid), grid.unit]
        rows.append([key, state, *value])
    return rows


def choices(asked: Asked, listed: int) -> int:
    """How many different sets of ``listed`` findings there are, readings aside."""
    ways = sum(
        comb(asked.shown, bad)
        for bad in range(_LEAST_BAD, asked.shown - _LEAST_GOOD + 1)
    )
    return comb(listed, asked.shown) * ways
