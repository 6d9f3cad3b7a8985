"""Grain lost by waiting, weight given away when too dry, and bushels as paid."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.catalog.evidence import Evidenced
from academy.engine import delay, grain, moisture
from academy.errors import NotUnderstood
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity, lent
from academy.service.waiting import daily_loss, daily_loss_entry

_MOISTURE, _MARKET = Asked("moisture"), Asked("moisture", needed=False)
_NOTHING_MISSING = marked(
    "The grain is not drier than the market's: no weight is given away. What damp "
    "grain costs is reckoned as shrink."
)


def _waited(given: Given) -> float:
    waited = delay.waited_mass(daily_loss(given), given["delay"], given["yield"])
    return float(waited)


def _market_entry(given: Given) -> Evidenced:
    """The crop's own market moisture; raises NotUnderstood where none is known."""
    entry = given.crop.market_moisture if given.crop else None
    if entry is None:
        raise NotUnderstood("missing_argument", name="market-moisture")
    return entry


def _market(given: Given) -> float:
    if "market-moisture" in given.si:
        return given["market-moisture"]
    return lent(given, "market-moisture", _market_entry(given))


def _leans_on(given: Given) -> Mapping[str, Evidenced]:
    if "market-moisture" in given.si:
        return {}
    return {f"{given.crop_key}.grain.market_moisture": _market_entry(given)}


def _saleable(given: Given) -> float:
    return float(grain.saleable_loss(given["moisture"], _market(given)))


def _saleable_notes(given: Given) -> tuple[str, ...]:
    return () if given["moisture"] < _market(given) else (_NOTHING_MISSING,)


def _dry(given: Given) -> float:
    return float(moisture.shrink(given["mass"], given["moisture"], _market(given)))


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "timeliness-loss": Quantity(
            "loss_mass",
            {
                "daily-loss": Asked("share", needed=False),
                "delay": Asked("time"),
                "yield": Asked("crop_yield"),
            },
            _waited,
            "schuler-2005",
            like="yield",
            leans_on=daily_loss_entry,
        ),
        "saleable-loss": Quantity(
            "share",
            {"moisture": _MOISTURE, "market-moisture": _MARKET},
            _saleable,
            "unl-2017",
            leans_on=_leans_on,
            notes=_saleable_notes,
        ),
        "dry-bushels": Quantity(
            "grain_mass",
            {"mass": Asked("mass"), "moisture": _MOISTURE, "market-moisture": _MARKET},
            _dry,
            "purdue-shrink",
            crop=True,
            leans_on=_leans_on,
        ),
    }
)
