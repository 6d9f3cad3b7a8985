"""An hour of machine and operator from its list price, and what lateness costs."""

from collections.abc import Mapping
from types import MappingProxyType

from academy import units
from academy.catalog import standards
from academy.catalog.evidence import Evidenced
from academy.engine import economics, hour_cost, ownership
from academy.service.quantity import Asked, Given, Quantity, lent
from academy.service.waiting import daily_loss, daily_loss_entry

_MONEY, _SHARE, _TIME = Asked("money"), Asked("share"), Asked("time")
_LENT_OF_HOUR: Mapping[str, str] = MappingProxyType(
    {
        "overhead-share": "overhead_share",
        "repair-factor": "repair_factor",
        "repair-exponent": "repair_exponent",
        "reference-use": "repair_reference_use",
        "fuel-per-power": "fuel_per_power",
        "lubricant-share": "lubricant_share",
        "labour-factor": "labour_factor",
    }
)
_LENT_OF_SEASON: Mapping[str, str] = MappingProxyType(
    {
        "working-hours": "working_hours",
        "fit-days": "fit_days",
        "schedule-divisor": "schedule_divisor",
    }
)


def _lend(given: Given, name: str, names: Mapping[str, str]) -> float:
    return lent(given, name, getattr(standards.load(), names[name]))


def _leant(given: Given, names: Mapping[str, str]) -> Mapping[str, Evidenced]:
    known = standards.load()
    return {
        page: getattr(known, page)
        for name, page in names.items()
        if name not in given.si
    }


def _hour(given: Given, name: str) -> float:
    return _lend(given, name, _LENT_OF_HOUR)


def _yearly(given: Given) -> dict[str, float]:
    """Costs of a year [money]."""
    price, salvage = given["price"], given["salvage"]
    years = given["years"]
    repairs = hour_cost.yearly_repairs(
        given.si.get("list-price", price),
        given.si.get("use-before", 0.0),
        given["yearly-use"],
        years,
        _hour(given, "reference-use"),
        _hour(given, "repair-factor"),
        _hour(given, "repair-exponent"),
    )
    paid = ownership.capital_recovery(price, salvage, given["interest"], years)
    share = _hour(given, "overhead-share")
    return {
        "ownership": float(paid),
        "overhead": float(hour_cost.yearly_overhead(price, salvage, share)),
        "repairs": float(repairs),
    }


def _hour_parts(given: Given) -> Mapping[str, float]:
    """The pieces of an hour's cost [money/s]."""
    used = given["yearly-use"]
    parts = {
        name: float(hour_cost.spread_over_use(cost, used))
        for name, cost in _yearly(given).items()
    }
    burnt = ownership.average_fuel_rate(
        given["engine-power"], _hour(given, "fuel-per-power")
    )
    share = _hour(given, "lubricant-share")
    fuel = hour_cost.fuel_cost_rate(burnt, given["fuel-price"], share)
    labour = hour_cost.labour_cost_rate(given["wage"], _hour(given, "labour-factor"))
    return parts | {"fuel": float(fuel), "labour": float(labour)}


def _timeliness(given: Given) -> float:
    hours = _lend(given, "working-hours", _LENT_OF_SEASON)
    cost = economics.timeliness_cost(
        daily_loss(given),
        given["yield"],
        given["price"],
        given["area"],
        given["area-rate"],
        hours / units.to_si(1.0, "day"),
        _lend(given, "fit-days", _LENT_OF_SEASON),
        _lend(given, "schedule-divisor", _LENT_OF_SEASON),
    )
    return float(cost)


def _timeliness_leans_on(given: Given) -> Mapping[str, Evidenced]:
    return {**daily_loss_entry(given), **_leant(given, _LENT_OF_SEASON)}


def _may(kind: str) -> Asked:
    return Asked(kind, needed=False)


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "hour-cost": Quantity(
            "hour_cost",
            {
                "price": _MONEY,
                "salvage": _MONEY,
                "interest": _SHARE,
                "years": Asked("count"),
                "yearly-use": _TIME,
                "engine-power": Asked("power"),
                "fuel-price": Asked("fuel_price"),
                "wage": Asked("hour_cost"),
                "list-price": _may("money"),
                "use-before": _may("time"),
                "overhead-share": _may("share"),
                "repair-factor": _may("share"),
                "repair-exponent": _may("ratio"),
                "reference-use": _may("time"),
                "fuel-per-power": _may("fuel_use"),
                "lubricant-share": _may("share"),
                "labour-factor": _may("ratio"),
            },
            lambda given: sum(_hour_parts(given).values()),
            "machinery-costs",
            crop=False,
            leans_on=lambda given: _leant(given, _LENT_OF_HOUR),
            parts=_hour_parts,
        ),
        "timeliness-cost": Quantity(
            "money_per_area",
            {
                "yield": Asked("crop_yield"),
                "price": Asked("price"),
                "area": Asked("field_area"),
                "area-rate": Asked("area_rate"),
                "daily-loss": _may("share"),
                "working-hours": _may("time"),
                "fit-days": _may("share"),
                "schedule-divisor": _may("ratio"),
            },
            _timeliness,
            "schuler-2005",
            leans_on=_timeliness_leans_on,
        ),
    }
)
