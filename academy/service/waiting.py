"""What a day of waiting costs: typed, or the crop's own where it was published."""

from collections.abc import Mapping

from academy import units
from academy.catalog.evidence import Evidenced
from academy.errors import NotUnderstood
from academy.service.quantity import Given


def daily_loss_entry(given: Given) -> Mapping[str, Evidenced]:
    """The crop's published figure by its page; nothing when one was typed.

    Raises NotUnderstood for a crop that has none: then it must be typed.
    """
    if "daily-loss" in given.si:
        return {}
    entry = given.crop.timeliness if given.crop else None
    if entry is None:
        raise NotUnderstood("missing_argument", name="daily-loss")
    return {f"{given.crop_key}.grain.timeliness": entry}


def daily_loss(given: Given) -> float:
    """Share of the crop lost in unit time [1/s]."""
    for entry in daily_loss_entry(given).values():
        return entry.si()[1]
    return given["daily-loss"] / units.to_si(1.0, "day")
