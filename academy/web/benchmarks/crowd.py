"""Eight people who answer set-ups at the same time, on one real ``academy serve``.

Each sends their answers one after the other, as fast as the site takes them, over a
connection of their own. How long the slowest answers take beside the middle one tells
whether somebody stands in line behind the others.
"""

from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from http.client import HTTPConnection
from secrets import randbelow
from statistics import median, quantiles
from threading import Barrier, Thread
from time import perf_counter
from urllib.parse import urlencode

from academy.catalog import families
from academy.records.queries import scenarios
from academy.records.queries.scenarios import Issue
from academy.service import making, people, signing
from academy.web.benchmarks.installation import Installation, Page
from academy.web.benchmarks.measure import Measure
from academy.web.benchmarks.served import served
from academy.web.benchmarks.typed import Fields, typed_rightly
from academy.web.visit import DEVICE, SIGN_IN

PEOPLE = 8
EACH = 50
FORM = "application/x-www-form-urlencoded"


@dataclass(frozen=True)
class Answerer:
    """A signed-in person: cookies, and a right answer by the question's address."""

    cookies: str
    answers: Mapping[str, Fields]


def measure(farm: Installation, each: int = EACH) -> list[Measure]:
    """Milliseconds of an answer among eight: the middle one, p99, and how far apart."""
    answerers = _crowd(farm, each)
    with served(farm.house.instance) as serving:
        took = _all_at_once(serving.port, answerers)
    middle, slow = median(took), quantiles(took, n=100)[98]
    return [
        Measure("eight_at_once_median", middle, "ms"),
        Measure("eight_at_once_p99", slow, "ms"),
        Measure("eight_at_once_p99_over_median", slow / middle, "times", most=5),
    ]


def _crowd(farm: Installation, each: int) -> list[Answerer]:
    """Eight people with the same questions, each in a sitting of their own."""
    family = next(key for key in families.practised() if _sets_up(key))
    drafts = [making.make(family, randbelow(2**53)) for _ in range(each)]
    made = []
    for number in range(PEOPLE):
        person_id, cookies = _joined(farm, number)
        to = Issue(person_id, f"crowd/{number}", "practice", farm.house.clock())
        with farm.house.db.write() as connection:
            issued = [scenarios.issue_draft(connection, one, to) for one in drafts]
        answers = {f"/practice/{one.id}": typed_rightly(one) for one in issued}
        made.append(Answerer(cookies, answers))
    return made


def _sets_up(key: str) -> bool:
    return any(part.kind == "set-up" for part in families.load(key).parts)


def _joined(farm: Installation, number: int) -> tuple[str, str]:
    house, owner, now = farm.house, farm.viewer, farm.house.clock()
    person_id = people.add_person(
        house, owner, f"Person {number}", ["hire"], "en", "us", now
    )
    slip = people.make_slip(house, owner, person_id, now)
    opened = signing.enrol(house, slip.token, "en", "us", None, "bench", now)
    cookies = f"{DEVICE}={opened.device_token}; {SIGN_IN}={opened.sign_in_token}"
    return person_id, cookies


def _all_at_once(port: int, answerers: Sequence[Answerer]) -> list[float]:
    ready, took = Barrier(len(answerers)), list[float]()
    threads = [
        Thread(target=_answer_all, args=(port, one, ready, took)) for one in answerers
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if len(took) != sum(len(one.answers) for one in answerers):
        raise RuntimeError("an answer was not taken")
    return took


def _answer_all(port: int, person: Answerer, ready: Barrier, took: list[float]) -> None:
    """Fetch every question, wait for the others, then answer them all."""
    try:
        with closing(HTTPConnection("127.0.0.1", port, timeout=60)) as line:
            forms = {
                path: urlencode(Page(_asked(line, person, path), path).fields | answer)
                for path, answer in person.answers.items()
            }
            ready.wait(timeout=120)
            for path, form in forms.items():
                start = perf_counter()
                status, _ = _sent(line, person, path, form)
                if status == 303:
                    took.append(1e3 * (perf_counter() - start))
    except BaseException:
        ready.abort()
        raise


def _asked(line: HTTPConnection, person: Answerer, path: str) -> str:
    return _sent(line, person, path, None)[1]


def _sent(
    line: HTTPConnection, person: Answerer, path: str, form: str | None
) -> tuple[int, str]:
    headers = {"Cookie": person.cookies, "Content-Type": FORM}
    line.request("GET" if form is None else "POST", path, form, headers)
    answer = line.getresponse()
    return answer.status, answer.read().decode()
