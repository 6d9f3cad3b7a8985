"""A scenario's facts drawn from a seed: same family, seed and substream, same facts."""

from collections.abc import Callable
from math import comb, factorial, prod
from typing import Any

from academy.catalog import crops, directions, procedures, situations
from academy.catalog.evidence import Evidenced
from academy.catalog.families import Asked, Family, Grid
from academy.scenarios import conditions, counted, inspection
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts
from academy.scenarios.fitting import fitting, fitting_facts, met_on
from academy.scenarios.order import shown_order


def grids(family: Family) -> dict[str, Grid]:
    """Every drawn quantity of a family by the name of its fact, in listed order."""
    named = dict(family.field)
    named.update({f"as_found.{name}": grid for name, grid in family.as_found.items()})
    named.update({f"given.{name}": grid for name, grid in family.givens.items()})
    if family.counted:
        named[counted.AREA] = family.counted.frame_area
        named[counted.BEFORE] = family.counted.before_count
    return named


def _sign(asked: Asked, dice: Dice, facts: Facts) -> str:
    del facts
    return dice.one_of([sign.key for sign in directions.load(asked.setting).signs])


def _order(asked: Asked, dice: Dice, facts: Facts) -> list[str]:
    del facts
    return shown_order(procedures.known()[asked.procedure], dice)


def _situation(asked: Asked, dice: Dice, facts: Facts) -> str:
    del facts
    return dice.one_of([case.key for case in situations.load(asked.situation).cases])


def _changes(asked: Asked, dice: Dice, facts: Facts) -> list[str]:
    del facts
    return dice.shuffled(asked.changes)


def _fault(asked: Asked, dice: Dice, facts: Facts) -> list[str]:
    """The fault, and then all that are offered, it among them.

    Only what the header of the facts can have is offered.
    """
    offered = dice.shuffled(fitting_facts(asked, facts))[: asked.shown]
    return [dice.one_of(offered), *offered]


_PART_FACTS: dict[str, Callable[[Asked, Dice, Facts], Any]] = {
    "direction": _sign,
    "order": _order,
    "one-change": _changes,
    "inspection": inspection.drawn,
    "read-the-stubble": _fault,
    "find-the-cause": _fault,
    "go-or-stop": _situation,
}


def _ends(family: Family, dice: Dice) -> dict[str, Grid]:
    """The narrower ends of this draw, none in more than half of the draws."""
    cases = family.sometimes
    drawn = dice.below(2 + 2 * len(cases)) if cases else 0
    return cases[drawn] if drawn < len(cases) else {}


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
    ends = _ends(family, dice)
    for name, grid in grids(family).items():
        plain = name.partition(".")[2] or name
        facts[name] = [dice.on(ends.get(plain, grid)), grid.unit]
    for place, asked in enumerate(family.parts, start=1):
        if asked.kind in _PART_FACTS:
            facts[f"part.{place}"] = _PART_FACTS[asked.kind](asked, dice, facts)
    return facts | (counted.counts(facts) if family.counted else {})


def _fewest(asked: Asked, family: Family) -> int:
    """How many findings or faults fit the header of the family that has fewest."""
    return min(len(fitting(asked, *met)) for met in met_on(family))


def _part_choices(asked: Asked, family: Family) -> int:
    if asked.kind == "direction":
        return len(directions.load(asked.setting).signs)
    if asked.kind == "order":
        return factorial(len(procedures.known()[asked.procedure].steps)) - 1
    if asked.kind == "inspection":
        return inspection.choices(asked, _fewest(asked, family))
    if asked.kind in ("read-the-stubble", "find-the-cause"):
        return comb(_fewest(asked, family), asked.shown) * asked.shown
    if asked.kind == "go-or-stop":
        return len(situations.load(asked.situation).cases)
    return 1


def fact_sets(family: Family) -> int:
    """How many different sets of facts the family can draw.

    Of the orders of a procedure only the listed one is taken off, though other right
    orders are not shown either; they are few.
    """
    return (
        len(set(family.headers))
        * max(len(family.grounds), 1)
        * max(len(set(family.carried)), 1)
        * prod(grid.size for grid in grids(family).values())
        * prod(_part_choices(asked, family) for asked in family.parts)
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
