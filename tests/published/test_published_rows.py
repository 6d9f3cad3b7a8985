"""Every figure copied from print, through the functions anyone may call.

The tables beside this file hold the rows: header and grain from publications, derived
worked out by hand. A figure fits when it rounds to what is printed; a wider tolerance
says why, and a row from memory says so. Figures that nothing can be computed from stand
in ``not_computed.toml`` with the reason.
"""

import importlib
import tomllib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from together import together

from academy import units
from academy.engine import cutting_diagram, economics, grain
from academy.engine.si import (
    KilogramPerSquareMetre,
    Metre,
    MoneyPerKilogram,
    MoneyPerSquareMetre,
    Ratio,
)
from academy.service.compute import arguments_of, compute

TABLES = ("header", "derived", "grain")
MOST = 0.2  # of what is printed, that a wider tolerance may be
MOST_OF_A_MODEL = (
    0.34  # where the figure was measured and the formula is a simple model
)
# Every figure collected from print for the header, for grain, and by hand.
LISTED = """
H01 H02 H03 H04 H05 H06 H07 H08 H09 H10 H11 H12 H13 H14 H15 H16 H17 H18 H19 H20 H21
H22-8 H22-10 H22-12 H22-14 H22-15 H22-16 H22-20 H22-24 H23 H24 H25 H26-wheat
H26-durum H26-barley H26-oats H27-wheat H27-barley H27-oats H27-lupin H27-red_lentil
H27-green_lentil H27-kabuli_chickpea H28 H29 H30 H31 H32 H34 H35-18 H36-18 H37-18
H35-17 H36-17 H37-17 H35-15 H36-15 H37-15 H38 H39 H40 H41 H42 H43 H44 H45 H46 H47
H48 H49 H50 H51 H52 H54 H55 H56 H57-barley H57-canola H57-chickpea H57-faba H57-oat
H57-wheat H60 H61 H62 H63 H64 H65-1 H65-2 H65-4 H66 H67 M01-3.5 M01-5.0 M01-6.5
D-entry-1.1 D-u-1.1 D-loop-1.1 D-cover6-1.1 D-entry-1.25 D-u-1.25 D-loop-1.25
D-cover6-1.25 D-entry-1.5 D-u-1.5 D-loop-1.5 D-cover6-1.5 D-entry-2.0 D-u-2.0
D-loop-2.0 D-cover6-2.0 D-H1 D-pitch D-vm-1000 D-vx-1000 D-adv-1000-3 D-adv-1000-5
D-vm-1100 D-vx-1100 D-adv-1100-3 D-adv-1100-5 D-vm-1200 D-vx-1200 D-adv-1200-3
D-adv-1200-5 D-pat-52-bunched D-pat-52-once D-pat-52-recut D-pat-78-bunched
D-pat-78-once D-pat-78-recut D-pat-104-bunched D-pat-104-once D-pat-104-recut D-iso
D-rigid D-throw FC-01 FC-02 FC-03 FC-04 FC-05 FC-07 RM-01 RM-02 RM-03 FU-01 FU-02
OW-01 TL-01 EC-01 EC-02 LC-01 LC-02 LC-03 LC-04 LC-05 LC-06 LC-07 LC-09 LC-11 LC-12
SH-01 SH-02 SH-03 SH-04 SH-05 SH-06 SH-07 SH-08 SH-09 WT-01 WT-02 WT-03 WT-04 WT-05
EM-01 EM-02 EM-03 EM-05 EM-06 EM-07 EM-08 DR-01 TH-02 TH-03 RL-01 SL-01 PW-01
"""
FIGURES = LISTED.split()


def _read(name: str) -> dict[str, Any]:
    path = Path(__file__).with_name(f"{name}.toml")
    return tomllib.loads(path.read_text("utf-8"))


ROWS: list[dict[str, Any]] = [row for name in TABLES for row in _read(name)["check"]]
NOT_COMPUTED: list[dict[str, Any]] = _read("not_computed")["row"]


def saleable_cost(
    moisture: Ratio,
    market_moisture: Ratio,
    crop_yield: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
) -> MoneyPerSquareMetre:
    """Money that a crop sold too dry misses, from two formulas in a row."""
    share = grain.saleable_loss(moisture, market_moisture)
    return economics.cost_of_loss(share, crop_yield, grain_price)


def _stems(fate: str) -> Callable[..., Any]:
    """Share of stems of one fate, for a knife whose stroke is its pitch."""

    def share(
        advance: Metre, pitch: Metre, tip: Metre, edge: Metre, ledger: Metre
    ) -> Ratio:
        knife = cutting_diagram.Knife(
            pitch=pitch, stroke=pitch, tip=tip, edges=(edge,), ledger=ledger
        )
        return getattr(cutting_diagram.diagram(knife, advance, 400, 800), fate)

    return share


CHAINS = {
    "saleable_cost": saleable_cost,
    "stems_bunched": _stems("bunched"),
    "stems_once": _stems("once"),
    "stems_recut": _stems("recut"),
}


def _formula(name: str) -> Callable[..., Any]:
    module, dot, function = name.rpartition(".")
    if not dot:
        return CHAINS[name]
    found: Callable[..., Any] = getattr(
        importlib.import_module(f"academy.engine.{module}"), function
    )
    return found


def _bushel(row: dict[str, Any]) -> float | None:
    return units.to_si(float(row["bushel"][0]), "lb") if "bushel" in row else None


def _converted(row: dict[str, Any]) -> float:
    value, label = row["convert"]
    return float(units.from_si(units.to_si(float(value), label), row["unit"]))


def _asked(row: dict[str, Any]) -> float:
    name, *words = row["ask"].split()
    return compute(name, arguments_of(words), row["unit"]).value


def _computed(row: dict[str, Any]) -> float:
    formula, bushel = _formula(row["by"]), _bushel(row)
    parameters = units.signature_units(formula)
    given = {}
    for name, (value, label) in row["given"].items():
        assert parameters[name] in (None, units.si_of(label)), name
        typed = np.asarray(value, float) if isinstance(value, list) else float(value)
        given[name] = units.to_si(typed, label, bushel)
    result = formula(**given)
    last = _formula(row["then"]) if "then" in row else formula
    if "then" in row:
        result = last(result)
    assert units.si_of(row["unit"]) == units.signature_units(last)["return"]
    return float(units.from_si(result, row["unit"], bushel))


def _value(row: dict[str, Any]) -> float:
    if "convert" in row:
        return _converted(row)
    return _asked(row) if "ask" in row else _computed(row)


def _half_last_digit(printed: str) -> float:
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal(5).scaleb(exponent - 1)) * (1 + 1e-9)


@together("row", ROWS, ids=lambda row: row["id"])
def test_the_figure_is_what_is_printed(row: dict[str, Any]) -> None:
    value = _value(row)
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


@together("row", ROWS, ids=lambda row: row["id"])
def test_a_row_says_where_it_is_from_and_why_it_is_wide(row: dict[str, Any]) -> None:
    assert row["source"].strip()
    assert row["seen"] in {"seen", "memory", "hand"}
    assert ("wide" in row) == bool(row.get("reason", "").strip())
    if "wide" in row:
        # wider than print, and still no blank cheque
        assert _half_last_digit(row["printed"]) < row["wide"]
        most = MOST_OF_A_MODEL if row.get("model") else MOST
        assert row["wide"] <= most * abs(float(row["printed"]))


def _stands_for(row_id: str, figure: str) -> bool:
    return row_id == figure or row_id.startswith(f"{figure}-")


@together("figure", FIGURES)
def test_every_published_figure_is_computed_or_says_why_not(figure: str) -> None:
    computed = any(_stands_for(row["id"], figure) for row in ROWS)
    excused = [row for row in NOT_COMPUTED if row["id"] == figure]
    assert computed != bool(excused)


def test_the_list_of_what_is_not_computed_is_whole() -> None:
    ids = [row["id"] for row in NOT_COMPUTED]
    assert len(ids) == len(set(ids))
    assert set(ids) < set(FIGURES)
    for row in NOT_COMPUTED:
        assert all(
            row[part].strip()
            for part in ("quantity", "printed", "unit", "source", "reason")
        )
