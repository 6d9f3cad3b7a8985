"""Headers with one part out of order, drawn as one may well find them.

Each figure of the part lies between what it should be and half-way to its ends; its
kinds are any. The stand is drawn likewise; all else is as it should be.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from academy.catalog import headers, parts, stands, whole
from academy.catalog.evidence import Named
from academy.catalog.parts import Choice
from academy.engine.whole_state import State
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts

PARTS = tuple(name for name in whole.PARTS if name != "stand")
_AT_WORK = ("task",)  # says what the header is doing, not how a part is


def _figure(usual: float, figure: Named, dice: Dice) -> float:
    """A figure in SI, up to half-way from what it usually is to its ends."""
    low, _, high = figure.si()
    return dice.between((usual + low) / 2.0, (usual + high) / 2.0)


def _drawn(
    usual: Any,
    figures: Mapping[str, Named],
    choices: Mapping[str, Choice],
    dice: Dice,
) -> Any:
    found: dict[str, Any] = {
        name: _figure(getattr(usual, name), figure, dice)
        for name, figure in figures.items()
    }
    for name, choice in choices.items():
        if name not in _AT_WORK:
            found[name] = dice.one_of(tuple(choice.kinds))
    return replace(usual, **found)


def drawn_state(facts: Facts, out: tuple[str, ...], dice: Dice) -> State:
    """The header of the facts with the parts ``out`` of order, in a drawn stand.

    A draw may come out in order all the same. Raises NotFound for what there is not.
    """
    state = whole.in_order(facts["crop"], headers.load(facts["header"]))
    changed = {"stand": _drawn(state.stand, stands.figures(facts["crop"]), {}, dice)}
    for name in out:
        part = parts.load(name)
        usual = getattr(state, name)
        changed[name] = _drawn(usual, part.state, part.choices, dice)
    return replace(state, **changed)
