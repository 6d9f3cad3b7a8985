"""What a machine costs to own and keep whole, and what going faster brings."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.catalog import standards
from academy.catalog.evidence import Evidenced
from academy.engine import capacity, ownership, tradeoff
from academy.errors import OutOfRange
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity, call, lent

_MONEY, _SHARE, _SPEED = Asked("money"), Asked("share"), Asked("ground_speed")
_LOSS = Asked("loss_mass")
_WHOLE = marked(
    "No field efficiency was given: the full width is reckoned, and no turns or stops."
)
_IF_USED = marked("Time saved is worth money only when something is done with it.")


def _repair_figures(_given: Given) -> Mapping[str, Evidenced]:
    known = standards.load()
    return {
        "repair-factor": known.repair_factor,
        "repair-exponent": known.repair_exponent,
        "reference-use": known.repair_reference_use,
    }


def _repair(given: Given) -> float:
    entries = _repair_figures(given)
    factor, exponent, reference = (
        lent(given, name, entry) for name, entry in entries.items()
    )
    return float(
        ownership.repair_cost(
            given["list-price"], given["use"], reference, factor, exponent
        )
    )


def _repair_leans_on(given: Given) -> Mapping[str, Evidenced]:
    pages = ("repair_factor", "repair_exponent", "repair_reference_use")
    named = zip(pages, _repair_figures(given).items(), strict=True)
    return {page: entry for page, (name, entry) in named if name not in given.si}


def _time_saved(given: Given) -> float:
    """Money that the time saved by the faster pace is worth."""
    if given["fast-speed"] < given["slow-speed"]:
        raise OutOfRange("faster_pace_is_slower")
    share = given.si.get("field-efficiency", 1.0)
    slow, fast = (
        capacity.field_capacity(given["width"], given[name], share)
        for name in ("slow-speed", "fast-speed")
    )
    saved = tradeoff.time_saved(given["area"], slow, fast)
    return float(tradeoff.time_value(saved, given["machine-cost"]))


def _field_loss(given: Given, name: str) -> float:
    value = tradeoff.field_loss_value(given["area"], given[name], given["price"])
    return float(value)


def _tradeoff(given: Given) -> float:
    slow, fast = (_field_loss(given, name) for name in ("slow-loss", "fast-loss"))
    return float(tradeoff.speed_gain(_time_saved(given), slow, fast))


def _tradeoff_parts(given: Given) -> Mapping[str, float]:
    slow, fast = (_field_loss(given, name) for name in ("slow-loss", "fast-loss"))
    return {"time-saved": _time_saved(given), "extra-loss": slow - fast}


def _tradeoff_notes(given: Given) -> tuple[str, ...]:
    return (_IF_USED,) if "field-efficiency" in given.si else (_WHOLE, _IF_USED)


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "capital-recovery": Quantity(
            "money",
            {
                "price": _MONEY,
                "salvage": _MONEY,
                "interest": _SHARE,
                "years": Asked("count"),
            },
            call(ownership.capital_recovery, "price", "salvage", "interest", "years"),
            "iowa-a3-29",
            crop=False,
        ),
        "repair-cost": Quantity(
            "money",
            {
                "list-price": _MONEY,
                "use": Asked("time"),
                "repair-factor": Asked("share", needed=False),
                "repair-exponent": Asked("ratio", needed=False),
                "reference-use": Asked("time", needed=False),
            },
            _repair,
            "asabe-d497",
            crop=False,
            leans_on=_repair_leans_on,
        ),
        "speed-tradeoff": Quantity(
            "money",
            {
                "area": Asked("field_area"),
                "width": Asked("length"),
                "slow-speed": _SPEED,
                "fast-speed": _SPEED,
                "slow-loss": _LOSS,
                "fast-loss": _LOSS,
                "price": Asked("price"),
                "machine-cost": Asked("hour_cost"),
                "field-efficiency": Asked("share", needed=False),
            },
            _tradeoff,
            "gregg-2016",
            parts=_tradeoff_parts,
            notes=_tradeoff_notes,
        ),
    }
)
