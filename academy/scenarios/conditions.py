"""Facts turned into what the engine takes: field, machine, settings, controls."""

from collections.abc import Sequence
from dataclasses import fields

from academy import units
from academy.catalog import combines, crops, grounds, headers
from academy.catalog.headers import ControlRange
from academy.engine.conditions import Carried
from academy.engine.header import Field, Machine, Settings
from academy.engine.search import Control
from academy.scenarios.facts import Facts, si

SETTINGS = tuple(field.name for field in fields(Settings))


def field_of(facts: Facts) -> Field:
    """The crop and ground of the facts; what is not stated is ordinary."""
    crop = crops.load(facts["crop"])
    known = {}
    for field in fields(Field):
        if field.name in facts:
            known[field.name] = si(facts, field.name)
        elif field.name == "ground_roughness":
            known[field.name] = grounds.load()[facts["ground"]].roughness.si()[1]
        elif field.name == "grain_price":
            known[field.name] = crop.grain.price.si(crop.bushel)[1]
        else:
            known[field.name] = getattr(crop.conditions, field.name).si(crop.bushel)[1]
    return Field(**known)


def carried_of(facts: Facts) -> Carried:
    """What carries the header; on the ground unless the facts say otherwise."""
    carried: Carried = facts.get("carried", "ground")
    return carried


def range_of(facts: Facts, setting: str) -> ControlRange:
    """What a setting can be set to on the header of the facts, as it is carried."""
    return headers.range_of(headers.load(facts["header"]), setting, carried_of(facts))


def machine_of(facts: Facts) -> Machine:
    """The header of the facts on their combine."""
    return headers.machine(
        headers.load(facts["header"]),
        combines.load(facts["combine"]),
        carried_of(facts),
    )


def as_found(facts: Facts) -> Settings:
    """The settings as found; what is not stated stands where it usually does."""
    known = {}
    for name in SETTINGS:
        stated = f"as_found.{name}"
        usual = range_of(facts, name)
        known[name] = (
            si(facts, stated)
            if stated in facts
            else float(units.to_si(usual.usual, usual.unit))
        )
    return Settings(**known)


def controls_of(facts: Facts, names: Sequence[str]) -> list[Control]:
    """What can be chosen on this header for each of ``names``, in SI."""
    return [Control(name, *range_of(facts, name).si()) for name in names]
