"""The log says what happened and never who, what was typed, or what opens a door."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from academy.errors import NotUnderstood
from academy.service import farm
from academy.service.house import House
from academy.web import create_app, program_log

LINE = re.compile(
    r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ (info|warning|error|debug) [0-9a-f]{8} "
    r"(GET|POST) (/[\w<>:./-]*|\(no such page\)) \d{3} \d+\.\d ms"
)
TYPED = "1234.567"
WRONG_PIN = "975310"


@pytest.fixture
def log(house: House) -> Iterator[Path]:
    with program_log.kept(house):
        yield house.instance / program_log.FILE_NAME


@pytest.fixture
def app(house: House) -> Flask:
    """The site as it is served, with two pages that break."""
    made = create_app(house)

    @made.get("/breaks/<what>")
    def breaks(what: str) -> str:
        raise ValueError(f"{what} was typed by Odalys Penrose")

    @made.get("/breaks-behind/<what>")
    def breaks_behind(what: str) -> str:
        try:
            return str({}[what])
        except KeyError as found:
            raise NotUnderstood("not_a_number", text=what) from found

    return made


def _slip_and_pin(sheet: str) -> tuple[str, str]:
    (link,) = re.findall(r"http://localhost:\d+(/slip/[\w-]+)</p>", sheet)
    (pin,) = re.findall(r'class="pin">([\d ]+)<', sheet)
    return link, pin


def _answered(phone: Any) -> str:
    """Answer a number; the address of its explanation."""
    fields = dict(phone.form("/practice", "/practice"))
    asked = phone.client.post("/practice", data=fields | {"family": "reel-speed-today"})
    answer = phone.send(
        asked.location, asked.location, part__1=TYPED, part__1__unit="rpm"
    )
    assert answer.status_code == 303
    return str(answer.location)


def test_nothing_that_names_or_opens_is_written(
    phone: Any, house: House, log: Path
) -> None:
    first = farm.first_run_link(house, house.clock())
    path = f"/first-run/{first}"
    sheet = phone.send(
        path, path, farm_name="Sallow Ridge", owner_name="Odalys Penrose"
    )
    link, pin = _slip_and_pin(sheet.get_data(as_text=True))
    assert phone.send(link, link).status_code == 303
    explained = _answered(phone)
    with house.db.read() as connection:
        kept = connection.exec_driver_sql("SELECT answer FROM answer").scalar_one()
    assert TYPED in kept
    phone.send("/", "/sign-out")
    wrong = phone.send("/sign-in?next=/card", "/sign-in", pin=WRONG_PIN)
    assert wrong.status_code == 403
    assert phone.send("/sign-in", "/sign-in", pin=pin).status_code == 303
    assert phone.get(f"/breaks/{TYPED}?who=Odalys").status_code == 500
    assert phone.get(f"/breaks-behind/{TYPED}").status_code == 422
    assert phone.get(f"/nowhere/{TYPED}").status_code == 404
    assert phone.client.post("/practice", data={"family": "x"}).status_code == 400
    text = log.read_text("utf-8")
    cookies = [
        cookie.value
        for name in ("sign_in", "device", "visitor")
        if (cookie := phone.client.get_cookie(name))
    ]
    assert len(cookies) == 3
    secrets = ["Odalys", "Penrose", "Sallow", pin, pin.replace(" ", ""), WRONG_PIN]
    secrets += [TYPED, first, link.rpartition("/")[2], explained.split("/")[2]]
    secrets += [*cookies, "next=", "127.0.0.1", house.pepper.hex()]
    assert [one for one in secrets if one in text] == []


def test_what_happened_is_written(
    phone: Any, owner: Any, house: House, log: Path
) -> None:
    assert owner.get("/practice/0123?x=1").status_code == 404
    assert phone.get("/breaks/here").status_code == 500
    assert phone.get("/breaks-behind/here").status_code == 422
    owner.client.open("/", method="BREW")
    program_log.started(house, lan=False)
    program_log.stopped()
    lines = log.read_text("utf-8").splitlines()
    requests = [line for line in lines if line.endswith(" ms")]
    odd = [line for line in requests if " (other) " in line]
    assert len(odd) == 1
    assert all(LINE.fullmatch(line) for line in requests if line not in odd)
    templates = {line.split()[4] for line in requests}
    assert {"/practice/<scenario_id>", "/breaks/<what>"} <= templates
    number = next(
        line.split()[2] for line in lines if "/practice/<scenario_id>" in line
    )
    assert any(f"{number} refused: no_such_scenario" in line for line in lines)
    assert any(line.endswith("refused: not_a_number") for line in lines)
    broke = next(place for place, line in enumerate(lines) if line.endswith(" broke"))
    assert lines[broke + 1] == "  builtins.ValueError"
    assert any(line.endswith(" breaks") for line in lines[broke + 2 : broke + 20])
    assert lines[-2].split(" ", 2)[2].startswith("start: engine ")
    assert lines[-1].endswith(" info stop")


def test_an_error_tells_what_was_behind_it_and_no_message() -> None:
    try:
        try:
            int("x4071")
        except ValueError as found:
            raise RuntimeError("and 4071 again") from found
    except RuntimeError as error:
        told = program_log.places_of(error)
    assert told.index("builtins.ValueError") < told.index("builtins.RuntimeError")
    assert "4071" not in told


def test_the_log_keeps_to_its_size(house: House) -> None:
    small = replace(house, settings=replace(house.settings, log_megabytes=1))
    with program_log.kept(small):
        for _ in range(12_000):
            program_log.LOG.info("x" * 100)
    files = list(house.instance.glob(f"{program_log.FILE_NAME}*"))
    assert len(files) == 5
    assert sum(file.stat().st_size for file in files) <= 1024 * 1024


def test_a_quieter_level_leaves_requests_out(phone: Any, house: House) -> None:
    quiet = replace(house, settings=replace(house.settings, log_level="error"))
    with program_log.kept(quiet):
        phone.get("/health")
        phone.get("/breaks/here")
    lines = (house.instance / program_log.FILE_NAME).read_text("utf-8").splitlines()
    assert [line for line in lines if line.endswith(" ms")] == []
    assert lines[0].endswith(" broke")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_a_served_site_notes_its_start_and_its_asked_for_stop(tmp_path: Path) -> None:
    port = _free_port()
    with subprocess.Popen(
        [sys.executable, "-m", "academy", "serve", "--port", str(port)],
        stdout=subprocess.DEVNULL,
        env=os.environ | {"ACADEMY_INSTANCE": str(tmp_path)},
    ) as served:
        until = time.monotonic() + 30
        while time.monotonic() < until:
            with suppress(OSError):
                urllib.request.urlopen(f"http://127.0.0.1:{port}/health").close()
                break
            time.sleep(0.1)
        served.send_signal(signal.SIGTERM)
        assert served.wait(timeout=30) == 0
    lines = (tmp_path / program_log.FILE_NAME).read_text("utf-8").splitlines()
    assert f"sqlite, port {port}, this computer" in lines[0]
    assert " GET /health 200 " in lines[1]
    assert lines[-1].endswith(" info stop")
