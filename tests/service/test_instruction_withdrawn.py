"""A line entered by mistake is withdrawn with a reason, stays, and counts no more."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import update

from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.language import Reader
from academy.records.queries import chain
from academy.records.tables.yard import withdrawn_instruction
from academy.service import instruction, log_check
from academy.service.house import House
from academy.service.instruction_withdrawn import Line, withdraw
from academy.service.viewer import Viewer

from .conftest import START as NOW

EN = Reader("en", "us")
TODAY = date(2026, 9, 1)
LATER = NOW + timedelta(hours=1)
SHOWN, DID = Line("knife", "shown", TODAY), Line("knife", "did", TODAY)


@pytest.fixture
def crew(owner: Viewer, join: Callable[..., Any]) -> dict[str, Viewer]:
    return {
        "owner": owner,
        "lead": join("Baltazar Oyarce", "lead").viewer,
        "second": join("Pia Lund", "lead").viewer,
        "instructor": join("Ines Vidal", "instructor").viewer,
        "hire": join("Ilse Quade").viewer,
    }


@pytest.fixture
def taught(house: House, crew: dict[str, Viewer]) -> str:
    """A hire who was shown the knife and did it, as the lead entered; the hire's id."""
    hire = crew["hire"].person_id
    for step in ("shown", "did"):
        instruction.keep_step(house, crew["lead"], hire, "knife", step, TODAY, NOW)
    return hire


def knife(house: House, looking: Viewer, person_id: str) -> Any:
    record = instruction.record(house, looking, person_id, EN, LATER)
    return record, next(one for one in record.tasks if one.key == "knife")


def clean(house: House) -> bool:
    with house.db.read() as connection:
        return log_check.check(connection).flaws == ()


def test_a_withdrawn_step_stays_with_both_names_and_may_be_entered_anew(
    house: House, crew: dict[str, Viewer], taught: str
) -> None:
    withdraw(house, crew["lead"], taught, DID, "  It was the\n reel. ", LATER)
    record, task = knife(house, crew["hire"], taught)
    assert [step.day for step in task.steps] == [TODAY, None, None, None]
    assert task.next == "did"
    (line,) = record.withdrawn
    assert (line.task, line.step, line.day, line.withdrawn) == (*_names(DID), TODAY)
    assert (line.by, line.withdrawn_by) == ("Baltazar Oyarce", "Baltazar Oyarce")
    assert line.reason == "It was the reel."
    withdraw(house, crew["lead"], taught, DID, "Twice", LATER)  # sent twice: no harm
    assert len(knife(house, crew["hire"], taught)[0].withdrawn) == 1
    assert clean(house)
    instruction.keep_step(house, crew["lead"], taught, "knife", "did", TODAY, LATER)
    record, task = knife(house, crew["hire"], taught)
    assert (task.next, len(record.withdrawn)) == ("explained", 1)
    assert clean(house)


def test_who_entered_it_an_owner_and_an_instructor_withdraw_and_nobody_else(
    house: House, crew: dict[str, Viewer], taught: str
) -> None:
    with pytest.raises(NotAllowed, match="withdrawn_by_who_entered"):
        withdraw(house, crew["second"], taught, DID, "So", LATER)
    with pytest.raises(NotAllowed, match="no_record_of_oneself"):
        withdraw(house, crew["hire"], taught, DID, "So", LATER)
    for name, line in (("owner", DID), ("instructor", SHOWN)):
        assert knife(house, crew[name], taught)[1].last is not None
        withdraw(house, crew[name], taught, line, "So", LATER)
    assert knife(house, crew["second"], taught)[1].last is None
    record, _task = knife(house, crew["owner"], taught)
    names = [one.withdrawn_by for one in record.withdrawn]
    assert sorted(names) == ["Ines Vidal", "Odalys Penrose"]
    assert {one.by for one in record.withdrawn} == {"Baltazar Oyarce"}


@pytest.mark.parametrize(
    ("line", "reason", "error"),
    [
        (DID, " \n ", NotUnderstood),
        (DID, "x" * 401, OutOfRange),
        (SHOWN, "So", Conflict),  # the step after it stands
        (Line("knife", "alone", TODAY), "So", NotFound),
        (Line("knife", "did", date(2026, 8, 31)), "So", NotFound),  # another day
        (Line("no-such", "yearly", TODAY), "So", NotFound),
    ],
)
def test_what_cannot_be_withdrawn_is_refused_and_nothing_changes(
    house: House,
    crew: dict[str, Viewer],
    taught: str,
    line: Line,
    reason: str,
    error: type[Exception],
) -> None:
    with pytest.raises(error):
        withdraw(house, crew["lead"], taught, line, reason, LATER)
    record, task = knife(house, crew["lead"], taught)
    assert [step.day for step in task.steps[:2]] == [TODAY, TODAY]
    assert record.withdrawn == ()


def test_a_yearly_item_withdrawn_is_due_as_if_it_had_not_been_said(
    house: House, crew: dict[str, Viewer]
) -> None:
    hire, lead = crew["hire"].person_id, crew["lead"]
    record = instruction.record(house, lead, hire, EN, NOW)
    item, other = (one.key for one in record.yearly[:2])
    for day in (date(2025, 10, 1), TODAY):
        instruction.keep_yearly(house, lead, hire, [item, other], day, NOW)
    withdraw(house, lead, hire, Line(item, "yearly", TODAY), "Not said", LATER)
    found = instruction.record(house, lead, hire, EN, LATER)
    days = {one.key: (one.day, one.due) for one in found.yearly}
    # 365 days after 1 October 2025 and after 1 September 2026
    assert days[item] == (date(2025, 10, 1), date(2026, 10, 1))
    assert days[other] == (TODAY, date(2027, 9, 1))
    assert found.withdrawn[0].name == record.yearly[0].text
    assert clean(house)


def test_the_log_tells_it_and_a_changed_reason_is_caught(
    house: House, crew: dict[str, Viewer], taught: str
) -> None:
    withdraw(house, crew["owner"], taught, DID, "It was the reel.", LATER)
    with house.db.read() as connection:
        told = chain.entries(connection, chain.FARM)[-1]
    assert told.kind == "instruction-withdrawn"
    assert told.body["entered_by"] == crew["lead"].person_id
    assert told.body["by"] == crew["owner"].person_id
    assert "reel" not in str(told.body)
    assert clean(house)
    with house.db.write() as connection:
        connection.execute(update(withdrawn_instruction).values(reason="Other"))
    assert not clean(house)


def _names(line: Line) -> tuple[str, str, date]:
    return line.task, line.step, line.day
