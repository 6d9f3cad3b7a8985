"""A scenario's facts drawn from a seed: same family, seed and substream, same facts."""

from math import factorial, prod
from typing import Any

from academy.catalog import crops, directions, procedures
from academy.catalog.evidence import Evidenced
from academy.catalog.families import Asked, Family, Grid
from academy.scenarios import conditions
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts
from academy.scenarios.order import shown_order


def grids(family: Family) -> dict[str, Grid]:
    """Every drawn quantity of a family by the name of its fact, in listed order."""
    named = dict(family.field)
    named.update({f"as_found.{name}": grid for name, grid in family.as_found.items()})
    named.update({f"given.{name}": grid for name, grid in family.givens.items()})
    return named


def _part_fact(asked: Asked, dice: Dice) -> Any:
    if asked.kind == "direction":
        return dice.one_of([s.key for s in directions.load(asked.setting).signs])
    if asked.kind == "order":
        return shown_order(procedures.known()[asked.procedure], dice)
    return None


def draw(key: str, family: Family, seed: int, substream: int = 0) -> Facts:
    """Facts of a family for a seed, in the units of the cab display."""
    dice = Dice(key, family.version, seed, substream)
    facts: dict[str, Any] = {
        "crop": family.crop,
        "combine": family.combine,
        "header": dice.one_of(family.headers),
    }
    if family.grounds:
        facts["ground"] = dice.one_of(family.grounds)
    if family.carried:
        facts["carried"] = dice.one_of(family.carried)
    for name, grid in grids(family).items():
        facts[name] = [dice.on(grid), grid.unit]
    for place, asked in enumerate(family.parts, start=1):
        drawn = _part_fact(asked, dice)
        if drawn is not None:
            facts[f"part.{place}"] = drawn
    return facts


def _part_choices(asked: Asked) -> int:
    if asked.kind == "direction":
        return len(directions.load(asked.setting).signs)
    if asked.kind == "order":
        return factorial(len(procedures.known()[asked.procedure].steps)) - 1
    return 1


def fact_sets(family: Family) -> int:
    """How many different sets of facts the family can draw.

    Of the orders of a procedure only the listed one is taken off, though other right
    orders are not shown either; they are few.
    """
    return (
        len(family.headers)
        * max(len(family.grounds), 1)
        * max(len(family.carried), 1)
        * prod(grid.size for grid in grids(family).values())
        * prod(_part_choices(asked) for asked in family.parts)
    )


def fact_name(facts: Facts, family: Family, name: str) -> Any:
    """Twin name of a drawn fact, from crop, header or family."""
    plain = name.partition(".")[2] or name
    if name.startswith("given."):
        return family.givens[plain].name
    if name.startswith("as_found."):
        return conditions.range_of(facts, plain).name
    crop = crops.load(facts["crop"])
    entry: Evidenced = (
        crop.grain.price if plain == "grain_price" else getattr(crop.conditions, plain)
    )
    return entry.name
