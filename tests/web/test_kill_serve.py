"""Every answer that the site acknowledged outlives a killed server."""

import http.client
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from http.cookies import SimpleCookie
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlencode

import pytest
from sqlalchemy import select

from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part
from academy.service.house import open_house
from academy.web.benchmarks.installation import Page, open_farm
from academy.web.visit import DEVICE, SIGN_IN

KILLS = 50
FAMILY = "reel-speed-today"
# Each port on standard input forks a process that serves there by the command's own
# way, only that nobody fills the shelf beside it; forks spare starting Python anew.
SERVING = """
import os, sys
from contextlib import nullcontext
from academy.web.cli import main, serve

serve.filler = lambda house: nullcontext()
for line in sys.stdin:
    if (child := os.fork()) == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        try:
            main(["serve", "--port", line.strip()])
        finally:
            os._exit(1)
    os.write(1, f"{child}\\n".encode())
    os.waitpid(child, 0)
    os.write(1, b"ended\\n")
"""
pytestmark = pytest.mark.skipif(
    not Path("/proc").is_dir(), reason="forks what it kills and finds it in /proc"
)


class Visitor:
    """A signed-in person who answers over HTTP, one connection a request."""

    def __init__(self, port: int, cookies: dict[str, str]) -> None:
        self.port = port
        self.cookies = dict(cookies)

    def ask(
        self, path: str, form: dict[str, str] | None = None
    ) -> tuple[int, str, str]:
        """Status, Location and text of a GET, or of a POST when there is a form."""
        said = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        headers = {"Cookie": said}
        body = None
        if form is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
            body = urlencode(form)
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        with closing(line):  # also when the server dies in the middle
            line.request("GET" if form is None else "POST", path, body, headers)
            got = line.getresponse()
            with closing(got):
                text = got.read().decode()
        for header in got.headers.get_all("Set-Cookie") or []:
            for name, kept in SimpleCookie(header).items():
                self.cookies[name] = kept.value
        return got.status, got.headers.get("Location", ""), text

    def answer_one(self) -> str:
        """Take a scenario and answer it; its id once the site has said yes."""
        _, _, shelf = self.ask("/practice")
        fields = Page(shelf, "/practice").fields
        _, where, _ = self.ask("/practice", fields | {"family": FAMILY})
        path = "/" + where.split("/", 3)[3] if where.startswith("http") else where
        _, _, question = self.ask(path)
        typed = Page(question, path).fields | {"part-1": "36", "part-1-unit": "rpm"}
        status, told, _ = self.ask(path, typed)
        assert status == 303, status
        assert told.endswith("/explained"), told
        return path.rsplit("/", 1)[1]


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server(NamedTuple):
    """A site at work: where it listens and the process that can be killed."""

    port: int
    pid: int

    def kill(self) -> None:
        os.kill(self.pid, signal.SIGKILL)


@pytest.fixture
def serving(tmp_path: Path) -> Iterator[Callable[[], AbstractContextManager[Server]]]:
    """Serve the folder in a process of its own; killed at the end at the latest."""
    command = [sys.executable, "-c", SERVING]
    environment = os.environ | {"ACADEMY_INSTANCE": str(tmp_path)}
    with subprocess.Popen(
        command,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as starter:
        yield lambda: _served(starter)


@contextmanager
def _served(starter: subprocess.Popen[str]) -> Iterator[Server]:
    assert starter.stdin is not None
    assert starter.stdout is not None
    for _ in range(5):  # somebody else may take the free port first
        port = _free_port()
        starter.stdin.write(f"{port}\n")
        starter.stdin.flush()
        server = Server(port, int(starter.stdout.readline()))
        try:
            if _came_up(server):
                yield server
                return
        finally:
            with suppress(ProcessLookupError):
                server.kill()
            assert starter.stdout.readline().startswith("ended")
    raise AssertionError("the server did not come up")


def _came_up(server: Server) -> bool:
    until = time.monotonic() + 30
    while time.monotonic() < until and Path(f"/proc/{server.pid}").exists():
        try:
            socket.create_connection(("127.0.0.1", server.port), timeout=1).close()
        except OSError:
            time.sleep(0.02)
        else:
            return True
    return False


def _answer_until_killed(visitor: Visitor, told: list[str]) -> None:
    while True:
        try:
            told.append(visitor.answer_one())
        except (OSError, http.client.HTTPException):
            return


def _wait_for_first(told: list[str]) -> None:
    until = time.monotonic() + 20
    while not told and time.monotonic() < until:
        time.sleep(0.01)


def _kept(folder: Path) -> set[str]:
    house = open_house(folder)
    with house.db.read() as connection:
        query = select(part.c.scenario_id).join(answer, answer.c.part_id == part.c.id)
        found = set(connection.scalars(query))
    house.db.close()
    return found


@pytest.mark.long
@pytest.mark.timeout(900)
def test_no_answer_the_site_acknowledged_is_lost_to_fifty_kills(tmp_path, serving):
    installed = open_farm(tmp_path)
    cookies = {
        name: kept.value
        for name in (DEVICE, SIGN_IN)
        if (kept := installed.client.get_cookie(name)) is not None
    }
    installed.house.db.close()
    moments, acknowledged = random.Random(6), list[str]()  # noqa: S311
    for _ in range(KILLS):
        with serving() as server:
            told: list[str] = []
            at_work = threading.Thread(
                target=_answer_until_killed, args=(Visitor(server.port, cookies), told)
            )
            at_work.start()
            _wait_for_first(told)
            time.sleep(moments.random() * 0.4)
            server.kill()
            at_work.join(timeout=30)
        acknowledged += told
    assert len(acknowledged) >= KILLS
    assert set(acknowledged) <= _kept(tmp_path)


@pytest.mark.timeout(120)
def test_a_form_sent_again_after_a_kill_counts_once(tmp_path, serving):
    """The phone never heard whether its answer came in, so it sends it again."""
    installed = open_farm(tmp_path)
    cookies = {
        name: kept.value
        for name in (DEVICE, SIGN_IN)
        if (kept := installed.client.get_cookie(name)) is not None
    }
    installed.house.db.close()
    sent = []
    for moment in (0.0, 0.003, 0.02, 0.2):
        with serving() as server:
            visitor = Visitor(server.port, cookies)
            path, typed = _asked(visitor)
            at_work = threading.Thread(
                target=_send_into_the_dark, args=(visitor, path, typed)
            )
            at_work.start()
            time.sleep(moment)
            server.kill()
            at_work.join(timeout=30)
        with serving() as server:
            for _ in range(2):
                status, told, _ = Visitor(server.port, cookies).ask(path, typed)
                assert (status, told.endswith("/explained")) == (303, True)
        sent.append(path.rsplit("/", 1)[1])
    house = open_house(tmp_path)
    with house.db.read() as connection:
        query = select(part.c.scenario_id).join(answer, answer.c.part_id == part.c.id)
        assert sorted(connection.scalars(query)) == sorted(sent)
    house.db.close()


def _asked(visitor: Visitor) -> tuple[str, dict[str, str]]:
    """A fresh scenario's path and its form, filled in."""
    _, _, shelf = visitor.ask("/practice")
    fields = Page(shelf, "/practice").fields
    _, where, _ = visitor.ask("/practice", fields | {"family": FAMILY})
    path = "/" + where.split("/", 3)[3] if where.startswith("http") else where
    _, _, question = visitor.ask(path)
    typed = Page(question, path).fields | {"part-1": "36", "part-1-unit": "rpm"}
    return path, typed


def _send_into_the_dark(visitor: Visitor, path: str, typed: dict[str, str]) -> None:
    try:
        visitor.ask(path, typed)
    except (OSError, http.client.HTTPException):
        return
