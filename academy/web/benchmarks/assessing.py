"""Answering in an assessment, and two hundred people who begin one at once.

An answer goes through the real site: POST, marking, storing, log, and the next question
in the same write. Beside it stands the bare page that keeps one row. The two hundred
are signed in, each on a device and a connection of their own, on one real ``academy
serve``: told is when the last of them has the first question before them.
"""

import json
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from http.client import HTTPConnection
from statistics import median
from threading import Barrier, Thread
from time import perf_counter
from typing import Any
from urllib.parse import urlencode

from academy.catalog import blueprints, demo_farm, families
from academy.language import Reader
from academy.records.queries import assessments, devices, scenarios
from academy.records.queries import sign_in as sign_ins
from academy.scenarios.dice import Dice
from academy.service import answering, assessment_release, people, stock, tokens
from academy.service.simulated import Simulated
from academy.service.views import Question
from academy.web.benchmarks.answering import bare_page, post
from academy.web.benchmarks.installation import Installation, Page
from academy.web.benchmarks.measure import Measure
from academy.web.benchmarks.served import served
from academy.web.benchmarks.typed import typed
from academy.web.visit import DEVICE, SIGN_IN

PEOPLE = 200
ROUNDS = 3
CERTIFICATE = "yard-helper"
FORM = "application/x-www-form-urlencoded"


@dataclass(frozen=True)
class Candidate:
    """A signed-in person with a released assessment."""

    person_id: str
    cookies: dict[str, str]
    assessment_id: str


def measure(
    farm: Installation, rounds: int = ROUNDS, many: int = PEOPLE
) -> list[Measure]:
    """Median answer over the bare page's; seconds until the last of many can answer."""
    took, kept = _answers(farm, rounds)
    _lay_out(farm, gate=True, each=stock.PER_FAMILY)
    crowd = [candidate(farm, number) for number in range(many)]
    with served(farm.house.instance) as serving:
        waits = _all_at_once(serving.port, crowd)
    return [
        Measure("assessment_answering_median", median(took), "ms"),
        Measure(
            "assessment_answering_over_bare", median(took) - median(kept), "ms", most=10
        ),
        Measure("two_hundred_start_median", median(waits), "s"),
        Measure("two_hundred_start_last", max(waits), "s", most=5),
    ]


def candidate(farm: Installation, number: int) -> Candidate:
    """Take a person in, signed in on a device of their own, and release one."""
    house, now = farm.house, farm.house.clock()
    name = f"Candidate {number}"
    person_id = people.add_person(house, farm.viewer, name, ["hire"], "en", "us", now)
    device, signed = tokens.fresh_token(), tokens.fresh_token()
    with house.db.write() as connection:
        device_id = devices.add(connection, tokens.kept(device), now)
        devices.enrol(connection, device_id, person_id, "-", now)
        sign_ins.begin(
            connection,
            token_hash=tokens.kept(signed),
            person_id=person_id,
            device_id=device_id,
            csrf=tokens.fresh_token(),
            now=now,
        )
    released = assessment_release.release(
        house, farm.viewer, person_id, CERTIFICATE, "today", now
    )
    return Candidate(person_id, {DEVICE: device, SIGN_IN: signed}, released)


def right_answers(
    farm: Installation, one: Candidate
) -> tuple[int, Question, dict[int, dict[str, Any]]]:
    """Place, question and right answers of what is asked now; raises StopIteration."""
    with farm.house.db.read() as connection:
        steps = assessments.steps(connection, one.assessment_id)
        step = next(each for each in steps if not each.answered_at)
        found = scenarios.get(connection, step.scenario_id, one.person_id)
    if found is None:
        raise RuntimeError("the question is not there")
    payload = json.loads(found.payload)
    expert = Simulated(demo_farm.load(), 1.0, "us", Dice("bench", step.id))
    shown = answering.view(found, payload, Reader("en", "us"))
    return step.position, shown, expert.answers(payload)


def _answers(farm: Installation, rounds: int) -> tuple[list[float], list[float]]:
    bare = bare_page(farm, "bare-assessment.db")
    took, kept = [], []
    for number in range(rounds):
        _lay_out(farm, gate=False, each=1)
        _lay_out(farm, gate=True, each=1)
        one = candidate(farm, 1000 + number)
        client = farm.client.application.test_client()
        for name, value in one.cookies.items():
            client.set_cookie(name, value)
        root = f"/assessments/{one.assessment_id}"
        begin = Page(client.get(root).get_data(as_text=True), f"{root}/begin").fields
        post(client, f"{root}/begin", begin)
        while True:
            try:
                position, question, answers = right_answers(farm, one)
            except StopIteration:
                break
            path = f"{root}/{position}"
            shown = client.get(path).get_data(as_text=True)
            fields = Page(shown, path).fields | typed(question, answers)
            took.append(post(client, path, fields))
            kept.append(post(bare, "/", fields))
    return took, kept


def _lay_out(farm: Installation, gate: bool, each: int) -> None:
    """Put scenarios on the shelf that an assessment of this certificate can ask."""
    blueprint = blueprints.load(CERTIFICATE)
    wanted = {
        key
        for topic in blueprint.weights
        for key in blueprints.families_for(blueprint, topic)
    }
    for key, family in families.known().items():
        if bool(family.gate) == gate and (gate or key in wanted):
            for _ in range(each):
                stock.add_one(farm.house, key)


def _all_at_once(port: int, crowd: Sequence[Candidate]) -> list[float]:
    ready, waits = Barrier(len(crowd)), list[float]()
    threads = [Thread(target=_begin, args=(port, one, ready, waits)) for one in crowd]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if len(waits) != len(crowd):
        raise RuntimeError(f"{len(crowd) - len(waits)} could not begin")
    return waits


def _begin(port: int, one: Candidate, ready: Barrier, waits: list[float]) -> None:
    """Read the rules, wait for the others, begin, and see the first question."""
    root = f"/assessments/{one.assessment_id}"
    try:
        with closing(HTTPConnection("127.0.0.1", port, timeout=60)) as line:
            form = Page(_page(line, one, root), f"{root}/begin").fields
            ready.wait(timeout=120)
            start = perf_counter()
            _, first, _ = _asked(line, one, f"{root}/begin", urlencode(form))
            shown = _page(line, one, first)
            if 'name="token"' in shown:
                waits.append(perf_counter() - start)
    except BaseException:
        ready.abort()
        raise


def _page(line: HTTPConnection, one: Candidate, path: str) -> str:
    """A page, also where the way leads on to another."""
    status, where, text = _asked(line, one, path, None)
    return text if status == 200 else _asked(line, one, where, None)[2]


def _asked(
    line: HTTPConnection, one: Candidate, path: str, form: str | None
) -> tuple[int, str, str]:
    cookies = "; ".join(f"{name}={value}" for name, value in one.cookies.items())
    headers = {"Cookie": cookies, "Content-Type": FORM}
    line.request("GET" if form is None else "POST", path, form, headers)
    answer = line.getresponse()
    text = answer.read().decode()
    if answer.status >= 400:
        raise RuntimeError(f"{path} answered {answer.status}")
    return answer.status, answer.headers.get("Location", ""), text
