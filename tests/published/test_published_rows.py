"""Every figure copied from print, through the functions anyone may call.

The tables beside this file hold the rows: header and grain from publications, derived
worked out by hand. A figure fits when it rounds to what is printed; a wider tolerance
says why, and a row from memory says so.
"""

import importlib
import tomllib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from academy import units
from academy.engine import economics, grain
from academy.engine.si import (
    KilogramPerSquareMetre,
    MoneyPerKilogram,
    MoneyPerSquareMetre,
    Ratio,
)
from academy.service.compute import arguments_of, compute

TABLES = ("header", "derived", "grain")


def _rows() -> list[dict[str, Any]]:
    rows = []
    for name in TABLES:
        path = Path(__file__).with_name(f"{name}.toml")
        rows += tomllib.loads(path.read_text("utf-8"))["check"]
    return rows


ROWS = _rows()


def saleable_cost(
    moisture: Ratio,
    market_moisture: Ratio,
    crop_yield: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
) -> MoneyPerSquareMetre:
    """Money that a crop sold too dry misses, from two formulas in a row."""
    share = grain.saleable_loss(moisture, market_moisture)
    return economics.cost_of_loss(share, crop_yield, grain_price)


def _formula(name: str) -> Callable[..., Any]:
    module, dot, function = name.rpartition(".")
    if not dot:
        return saleable_cost
    found: Callable[..., Any] = getattr(
        importlib.import_module(f"academy.engine.{module}"), function
    )
    return found


def _bushel(row: dict[str, Any]) -> float | None:
    return units.to_si(float(row["bushel"][0]), "lb") if "bushel" in row else None


def _asked(row: dict[str, Any]) -> float:
    name, *words = row["ask"].split()
    return compute(name, arguments_of(words), row["unit"]).value


def _computed(row: dict[str, Any]) -> float:
    formula, bushel = _formula(row["by"]), _bushel(row)
    parameters = units.signature_units(formula)
    given = {}
    for name, (value, label) in row["given"].items():
        assert units.si_of(label) == parameters[name], name
        typed = np.asarray(value, float) if isinstance(value, list) else float(value)
        given[name] = units.to_si(typed, label, bushel)
    result = formula(**given)
    last = _formula(row["then"]) if "then" in row else formula
    if "then" in row:
        result = last(result)
    assert units.si_of(row["unit"]) == units.signature_units(last)["return"]
    return float(units.from_si(result, row["unit"], bushel))


def _half_last_digit(printed: str) -> float:
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal(5).scaleb(exponent - 1)) * (1 + 1e-9)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_figure_is_what_is_printed(row: dict[str, Any]) -> None:
    value = _asked(row) if "ask" in row else _computed(row)
    fits = value == pytest.approx(
        float(row["printed"]), abs=_half_last_digit(row["printed"]), rel=0
    )
    # a wider tolerance is for figures that need it, and for no others
    assert fits != ("wide" in row)
    if "wide" in row:
        assert value == pytest.approx(float(row["printed"]), abs=row["wide"], rel=0)


def test_there_are_enough_rows_and_none_twice() -> None:
    ids = [row["id"] for row in ROWS]
    assert len(ids) == len(set(ids)) > 100


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_a_row_says_where_it_is_from_and_why_it_is_wide(row: dict[str, Any]) -> None:
    assert row["source"].strip()
    assert row["seen"] in {"seen", "memory", "hand"}
    assert ("wide" in row) == bool(row.get("reason", "").strip())
    if "wide" in row:
        # wider than print, and still no blank cheque
        assert _half_last_digit(row["printed"]) < row["wide"]
        assert row["wide"] <= 0.2 * float(row["printed"])
