"""Every answer that was acknowledged outlives a killed process."""

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from a_farm import farm_form
from sqlalchemy import select

from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part, scenario
from academy.service import farm, signing
from academy.service.house import open_house

KILLS = 50
START = datetime.now(UTC).replace(microsecond=0)  # opening sweeps by the real clock
# Each line on standard input forks a process that opens the farm by itself, answers
# until it is killed, and tells in whole lines; forks spare starting Python every time.
ANSWERING = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from academy.records.queries import scenarios
from academy.service import practice, signing
from academy.service.house import open_house
from academy.service.making import make

def tell(line):
    os.write(1, f"{line}\\n".encode())

def answer_for_ever():
    now = datetime.now(UTC)
    house = open_house(Path(sys.argv[1]))
    viewer = signing.viewer_of(house, sys.argv[2], now)
    tell(f"open {os.getpid()}")
    while True:
        made = practice.issue(house, viewer, "field-capacity", now)
        given = {1: {"value": [10.0, "ac/h"]}, 2: {"value": [10.0, "h"]}}
        practice.take_answers(house, viewer, made, given, now)
        tell(made)

make("field-capacity", 1)  # reads what every fork would have to read
for _ in sys.stdin:
    if (child := os.fork()) == 0:
        try:
            answer_for_ever()
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    tell(f"ended {os.waitstatus_to_exitcode(status)}")
"""


@pytest.fixture
def farm_folder(tmp_path: Path) -> Path:
    return tmp_path / "instance"


@pytest.fixture
def sign_in(farm_folder: Path) -> str:
    """A farm on SQLite with an owner signed in; the token of the sign-in."""
    house = open_house(farm_folder)
    form = farm_form()
    slip = farm.start_farm(house, farm.first_run_link(house, START), form, START)
    opened = signing.enrol(house, slip.token, "en", "us", None, "10.0.0.1", START)
    house.db.close()
    return opened.sign_in_token


@pytest.fixture
def answering(farm_folder: Path, sign_in: str) -> Iterator[subprocess.Popen[str]]:
    """What starts a process that answers, for every line it is told."""
    command = [sys.executable, "-c", ANSWERING, str(farm_folder), sign_in]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True) as process:
        yield process


def killed_at(answering: subprocess.Popen[str], seconds: float) -> list[str]:
    """Scenarios acknowledged by a process killed so long after its first answer."""
    assert answering.stdin is not None
    assert answering.stdout is not None
    answering.stdin.write("another\n")
    answering.stdin.flush()
    opened, number = answering.stdout.readline().split()
    assert opened == "open"
    told = [answering.stdout.readline().strip()]
    assert not told[0].startswith("ended")
    time.sleep(seconds)
    os.kill(int(number), signal.SIGKILL)
    while not (line := answering.stdout.readline()).startswith("ended"):
        assert line  # it never ends by itself
        told.append(line.strip())
    assert line == "ended -9\n"  # it was still at work
    return told


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
@pytest.mark.skipif(not hasattr(os, "fork"), reason="forks what it kills")
@pytest.mark.timeout(600)
def test_no_acknowledged_answer_is_lost_to_fifty_kills(farm_folder, answering):
    moments = random.Random(4)  # noqa: S311
    acknowledged: list[str] = []
    for _ in range(KILLS):
        acknowledged += killed_at(answering, moments.random() * 0.2)
    kept = answered_parts(farm_folder)
    assert len(acknowledged) > KILLS
    assert len(set(acknowledged)) == len(acknowledged)
    # both parts of every one: the two are kept together or not at all
    assert [kept.get(one) for one in acknowledged] == [2] * len(acknowledged)
    assert set(kept.values()) == {2}
