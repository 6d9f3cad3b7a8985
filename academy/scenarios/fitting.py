"""Findings and faults of a part that the drawn header can have at all."""

from academy.catalog import faults, walk_round
from academy.catalog.families import Asked, Family
from academy.scenarios.facts import Facts


def _met(key: str, of_faults: bool, header: str, carried: str) -> bool:
    listed = faults.load() if of_faults else walk_round.load()
    return listed[key].needs.met_by(header, carried)


def fitting(asked: Asked, header: str, carried: str) -> tuple[str, ...]:
    """Keys of the part's findings or faults that fit the header, in listed order."""
    of_faults = bool(asked.faults)
    keys = asked.faults or asked.findings
    return tuple(key for key in keys if _met(key, of_faults, header, carried))


def fitting_facts(asked: Asked, facts: Facts) -> tuple[str, ...]:
    """Keys of the part's findings or faults that fit the header of the facts."""
    return fitting(asked, facts["header"], facts.get("carried", "ground"))


def met_on(family: Family) -> tuple[tuple[str, str], ...]:
    """Every header of the family with every way it may be carried."""
    ways = tuple(dict.fromkeys(family.carried)) or ("ground",)
    return tuple((h, way) for h in dict.fromkeys(family.headers) for way in ways)
