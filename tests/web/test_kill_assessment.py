"""An assessment goes on after its server was killed, with nothing lost."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from threading import Thread
from urllib.parse import urlencode

import pytest

from academy.catalog import demo_farm
from academy.records.queries import answers, assessments
from academy.scenarios.dice import Dice
from academy.service import log_check
from academy.service.house import open_house
from academy.service.shown_question import question
from academy.service.simulated import Simulated
from academy.web.benchmarks.assessing import candidate
from academy.web.benchmarks.installation import Page, open_farm
from academy.web.benchmarks.typed import typed

# Serves in a process of its own by the command's own way, the shelf filled by nobody
SERVING = """
import sys
from contextlib import nullcontext
from academy.web.cli import main, serve

serve.filler = lambda house: nullcontext()
main(["serve", "--port", sys.argv[1]])
"""
pytestmark = pytest.mark.skipif(
    not hasattr(signal, "SIGKILL"), reason="kills what it serves"
)


@contextmanager
def served(folder: Path) -> Iterator[tuple[int, subprocess.Popen[bytes]]]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    serving = subprocess.Popen(
        [sys.executable, "-c", SERVING, str(port)],
        env=os.environ | {"ACADEMY_INSTANCE": str(folder)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        until = time.monotonic() + 30
        while time.monotonic() < until:
            try:
                socket.create_connection(("127.0.0.1", port), timeout=1).close()
                break
            except OSError:
                time.sleep(0.05)
        yield port, serving
    finally:
        serving.kill()
        serving.wait()


def ask(port, cookies, path, form=None):
    """Status, path that it leads to, and text."""
    said = "; ".join(f"{name}={value}" for name, value in cookies.items())
    headers = {"Cookie": said, "Content-Type": "application/x-www-form-urlencoded"}
    line = HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        body = None if form is None else urlencode(form, doseq=True)
        line.request("GET" if form is None else "POST", path, body, headers)
        got = line.getresponse()
        return got.status, got.headers.get("Location", ""), got.read().decode()
    finally:
        line.close()


def rows(folder, assessment_id):
    """The steps, how many answers each has, and whether the log is whole."""
    house = open_house(folder)
    with house.db.read() as connection:
        steps = assessments.steps(connection, assessment_id)
        kept = [answers.for_scenario(connection, one.scenario_id) for one in steps]
        clean = log_check.check(connection).clean
    house.db.close()
    return steps, [len(one) for one in kept], clean


@pytest.mark.timeout(120)
def test_it_goes_on_where_it_was_after_a_kill(tmp_path):
    farm = open_farm(tmp_path)
    one = candidate(farm, 1)
    root = f"/assessments/{one.assessment_id}"
    client = farm.client.application.test_client()
    for name, value in one.cookies.items():
        client.set_cookie(name, value)
    begin = Page(client.get(root).get_data(as_text=True), f"{root}/begin").fields
    client.post(f"{root}/begin", data=begin)
    farm.house.db.close()
    with served(tmp_path) as (port, serving):
        path, fields = asked(tmp_path, port, one, root)
        sending = Thread(target=into_the_dark, args=(port, one, path, fields))
        sending.start()
        time.sleep(0.02)
        serving.kill()
        sending.join()
    with served(tmp_path) as (port, _):
        # the phone never heard of it, so it sends the same once more, and again
        for _ in range(2):
            status, where, _ = ask(port, one.cookies, path, fields)
            assert status == 303
            assert where in (root, f"{root}/2")
        second, _ = asked(tmp_path, port, one, root)
        assert second == f"{root}/2"
    steps, counts, clean = rows(tmp_path, one.assessment_id)
    assert clean
    assert [bool(step.answered_at) for step in steps] == [True, False]
    assert counts == [2, 0]


def asked(folder, port, one, root):
    """The path of the question that waits, and its form filled in."""
    status, path, text = ask(port, one.cookies, root)
    if status == 200:  # killed after the answer was kept, before the next was asked
        form = Page(text, f"{root}/next").fields
        _, path, _ = ask(port, one.cookies, f"{root}/next", form)
    _, _, text = ask(port, one.cookies, path)
    house = open_house(folder)
    with house.db.read() as connection:
        position = int(path.rsplit("/", 1)[1])
        found = assessments.sent(connection, one.assessment_id, position)
    house.db.close()
    assert found is not None
    person = Simulated(demo_farm.load(), 1.0, "us", Dice("kill", position))
    said = person.answers(json.loads(found[2].payload))
    return path, Page(text, path).fields | typed(question(found[1]), said)


def into_the_dark(port, one, path, fields):
    try:
        ask(port, one.cookies, path, fields)
    except (OSError, HTTPException):
        return
