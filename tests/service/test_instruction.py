"""The record of instruction: steps in order, yearly things on time, not by oneself."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from academy.catalog import instruction as catalog
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.language import Reader
from academy.records.queries import chain
from academy.records.schema import METADATA
from academy.service import instruction
from academy.service.house import House
from academy.service.viewer import Viewer

from .conftest import START as NOW

EN = Reader("en", "us")
TODAY = date(2026, 9, 1)
YEARLY = list(catalog.load().yearly)


@pytest.fixture
def two(join: Callable[..., Any]) -> tuple[Viewer, Viewer]:
    return join("Baltazar Oyarce", "lead").viewer, join("Ilse Quade").viewer


def test_the_four_steps_come_in_order_with_their_days(
    house: House, two: tuple[Viewer, Viewer]
) -> None:
    lead, hire = two

    def keep(step: str, day: date) -> None:
        instruction.keep_step(house, lead, hire.person_id, "knife", step, day, NOW)

    with pytest.raises(Conflict, match="earlier_step_missing"):
        keep("did", TODAY)
    keep("shown", date(2026, 8, 20))
    keep("did", date(2026, 8, 22))
    with pytest.raises(OutOfRange, match="day_before_earlier_step"):
        keep("explained", date(2026, 8, 21))
    with pytest.raises(OutOfRange, match="day_not_past"):
        keep("explained", date(2026, 9, 2))
    with pytest.raises(OutOfRange, match="day_after_later_step"):
        keep("shown", date(2026, 8, 23))
    keep("shown", date(2026, 8, 21))  # a day put right
    record = instruction.record(house, hire, hire.person_id, EN, NOW)
    (knife,) = (task for task in record.tasks if task.key == "knife")
    assert [step.day for step in knife.steps] == [
        date(2026, 8, 21),
        date(2026, 8, 22),
        None,
        None,
    ]
    assert knife.next == "explained"
    assert knife.steps[0].by == "Baltazar Oyarce"
    assert not record.may_keep
    with house.db.read() as connection:
        told = chain.entries(connection, chain.FARM)
    days = [one.body["day"] for one in told if one.kind == "instructed"]
    assert days == ["2026-08-20", "2026-08-22", "2026-08-21"]


def test_the_yearly_things_are_due_again_after_a_year(
    house: House, two: tuple[Viewer, Viewer]
) -> None:
    lead, hire = two

    def keep(items: list[str], day: date) -> None:
        instruction.keep_yearly(house, lead, hire.person_id, items, day, NOW)

    keep(YEARLY[:4], date(2025, 9, 1))
    record = instruction.record(house, lead, hire.person_id, EN, NOW)
    assert record.due is None  # one of the five was never said
    keep(YEARLY, date(2025, 8, 31))
    record = instruction.record(house, lead, hire.person_id, EN, NOW)
    # 365 days after 31 August 2025 is 31 August 2026; the others hold one day longer
    assert record.due == date(2026, 8, 31)
    assert [item.late for item in record.yearly] == [False] * 4 + [True]
    assert record.late
    keep(YEARLY, TODAY)
    record = instruction.record(house, lead, hire.person_id, EN, NOW)
    assert record.due == date(2027, 9, 1)
    assert not record.late
    with pytest.raises(NotUnderstood, match="nothing_ticked"):
        keep([], TODAY)


def test_nobody_keeps_their_own_and_a_hire_keeps_nobodys(
    house: House, two: tuple[Viewer, Viewer], join: Callable[..., Any]
) -> None:
    lead, hire = two
    mate = join("Pia Ames").viewer
    for who, whom, refusal in (
        (lead, lead, NotAllowed),
        (hire, hire, NotAllowed),
        (mate, hire, NotFound),
        (hire, lead, NotFound),
    ):
        with pytest.raises(refusal):
            instruction.keep_yearly(house, who, whom.person_id, YEARLY, TODAY, NOW)
    with pytest.raises(NotFound):
        instruction.record(house, mate, hire.person_id, EN, NOW)
    with pytest.raises(NotAllowed):
        instruction.of_crew(house, hire, EN, NOW)
    names = [one.person for one in instruction.of_crew(house, lead, EN, NOW)]
    assert names == ["Baltazar Oyarce", "Ilse Quade", "Odalys Penrose", "Pia Ames"]


def test_no_table_keeps_a_birth_date() -> None:
    names = [
        column.name for table in METADATA.sorted_tables for column in table.columns
    ]
    assert not [name for name in names if "birth" in name or name == "age"]
