"""Order of steps: the steps of a procedure, shuffled so that they start out wrong."""

from academy.catalog.procedures import Procedure
from academy.scenarios.dice import Dice


def shown_order(procedure: Procedure, dice: Dice) -> list[str]:
    """Keys of the steps in a random order that turns at least one pair round."""
    listed, needed = [step.key for step in procedure.steps], pairs(procedure)
    order = dice.shuffled(listed)
    while all(order.index(first) < order.index(last) for first, last in needed):
        order = dice.shuffled(listed)
    return order


def pairs(procedure: Procedure) -> list[tuple[str, str]]:
    """Every pair that must keep its order: the transitive closure, sorted."""
    before = {step.key: set[str]() for step in procedure.steps}
    for step in procedure.steps:  # listed in one right order
        for pair in procedure.precedences:
            if pair.after == step.key:
                before[step.key] |= {pair.before} | before[pair.before]
    return sorted((first, last) for last, firsts in before.items() for first in firsts)


def critical(procedure: Procedure) -> list[tuple[str, str]]:
    """The pairs that fail a person on their own."""
    return [(p.before, p.after) for p in procedure.precedences if p.critical]
