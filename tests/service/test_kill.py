"""Every answer that was acknowledged outlives a killed process."""

import random
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from academy.catalog import combines, headers
from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part, scenario
from academy.service import farm, signing
from academy.service.farm import FarmForm
from academy.service.house import open_house

KILLS = 50
START = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
ANSWERING = """
import json, sys
from datetime import UTC, datetime
from pathlib import Path
from academy.records.queries import scenarios
from academy.service import practice, signing
from academy.service.house import open_house

now = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
house = open_house(Path(sys.argv[1]))
viewer = signing.viewer_of(house, sys.argv[2], now)
print("open", flush=True)
while True:
    made = practice.issue(house, viewer, "field-capacity", now)
    given = {1: {"value": [10.0, "ac/h"]}, 2: {"value": [10.0, "h"]}}
    practice.take_answers(house, viewer, made, given, now)
    print(made, flush=True)
"""


@pytest.fixture
def farm_folder(tmp_path: Path) -> Path:
    return tmp_path / "instance"


@pytest.fixture
def sign_in(farm_folder: Path) -> str:
    """A farm on SQLite with an owner signed in; the token of the sign-in."""
    house = open_house(farm_folder)
    form = FarmForm(
        name="Upland Test Farm",
        zone="America/Chicago",
        currency="USD",
        header_key=headers.known()[0],
        combine_key=combines.known()[0],
        owner_name="Odalys Penrose",
        language="en",
        units="us",
    )
    slip = farm.start_farm(house, farm.first_run_link(house, START), form, START)
    opened = signing.enrol(house, slip.token, "en", "us", None, "10.0.0.1", START)
    house.db.close()
    return opened.sign_in_token


def killed_at(folder: Path, token: str, seconds: float) -> list[str]:
    """Scenarios acknowledged by a process that is killed after so many seconds."""
    command = [sys.executable, "-c", ANSWERING, str(folder), token]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "open\n"
        time.sleep(seconds)
        process.kill()
        told = process.stdout.read()
    assert process.returncode == -9  # it was still at work
    whole, _, _ = told.rpartition("\n")  # a line cut short was not acknowledged
    return whole.split()


def answered_parts(folder: Path) -> dict[str, int]:
    """How many answers each closed scenario has in the database."""
    house = open_house(folder)
    query = (
        select(scenario.c.id, answer.c.id)
        .select_from(answer.join(part).join(scenario))
        .where(scenario.c.answered_at.is_not(None))
    )
    found: dict[str, int] = {}
    with house.db.read() as connection:
        for scenario_id, _ in connection.execute(query):
            found[scenario_id] = found.get(scenario_id, 0) + 1
        whole = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
        modes = [
            connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous")
        ]
    house.db.close()
    assert whole == "ok"
    assert modes == ["wal", 2]  # 2 is FULL
    return found


@pytest.mark.long
@pytest.mark.timeout(600)
def test_no_acknowledged_answer_is_lost_to_fifty_kills(farm_folder, sign_in):
    moments = random.Random(4)  # noqa: S311
    acknowledged: list[str] = []
    for _ in range(KILLS):
        acknowledged += killed_at(farm_folder, sign_in, moments.random() * 0.2)
    kept = answered_parts(farm_folder)
    assert len(acknowledged) > KILLS
    assert len(set(acknowledged)) == len(acknowledged)
    # both parts of every one: the two are kept together or not at all
    assert [kept.get(one) for one in acknowledged] == [2] * len(acknowledged)
    assert set(kept.values()) == {2}
