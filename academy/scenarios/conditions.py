"""Facts turned into what the engine takes: field, machine, settings, controls."""

from collections.abc import Sequence
from dataclasses import fields

from academy import units
from academy.catalog import combines, crops, grounds, headers
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


def machine_of(facts: Facts) -> Machine:
    """The header of the facts on their combine."""
    return headers.machine(
        headers.load(facts["header"]), combines.load(facts["combine"])
    )


def as_found(facts: Facts) -> Settings:
    """The settings as found; what is not stated stands where it usually does."""
    controls = headers.load(facts["header"]).controls
    known = {}
    for name in SETTINGS:
        stated = f"as_found.{name}"
        usual = getattr(controls, name)
        known[name] = (
            si(facts, stated)
            if stated in facts
            else float(units.to_si(usual.usual, usual.unit))
        )
    return Settings(**known)


def controls_of(facts: Facts, names: Sequence[str]) -> list[Control]:
    """What can be chosen on this header for each of ``names``, in SI."""
    ranges = headers.load(facts["header"]).controls
    return [Control(name, *getattr(ranges, name).si()) for name in names]
