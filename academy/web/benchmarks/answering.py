"""How long making, issuing and answering a set-up take.

Answering goes through the real site: POST, reading the form, marking, storing, 303.
Beside it stands a bare Flask page that inserts and commits one row with the same
settings of SQLite, in turn, so that both meet the same disk.
"""

from collections.abc import Callable, Mapping
from functools import partial
from secrets import randbelow
from statistics import median
from time import perf_counter
from typing import Any, TypeVar

from flask import Flask, request
from flask.testing import FlaskClient
from werkzeug.wrappers import Response

from academy.catalog import families
from academy.records.db import Database, sqlite_url
from academy.records.queries import scenarios
from academy.service import making, practice, stock
from academy.web.benchmarks.installation import Installation, Page
from academy.web.benchmarks.measure import Measure
from academy.web.benchmarks.typed import typed_rightly

T = TypeVar("T")
REPEATS = 40


def _timed(deed: Callable[[], T]) -> tuple[T, float]:
    """What a deed returns, and its milliseconds."""
    start = perf_counter()
    done = deed()
    return done, 1e3 * (perf_counter() - start)


def _set_up_families() -> list[str]:
    return [
        key
        for key, family in families.practised().items()
        if any(part.kind == "set-up" for part in family.parts)
    ]


def bare_page(installation: Installation, name: str = "bare.db") -> FlaskClient:
    """The least that keeps an answer: one page, one row, one commit, 303."""
    database = Database(sqlite_url(installation.house.instance / name))
    table = "CREATE TABLE kept (id INTEGER PRIMARY KEY, body TEXT NOT NULL)"
    with database.engine.begin() as connection:
        connection.exec_driver_sql(table)
    app = Flask(__name__, static_folder=None)

    @app.post("/")
    def keep() -> Response:
        body = "&".join(f"{name}={value}" for name, value in request.form.items())
        with database.engine.begin() as connection:
            connection.exec_driver_sql("INSERT INTO kept (body) VALUES (?)", (body,))
        return Response(status=303, headers={"Location": "/"})

    return app.test_client()


def post(client: FlaskClient, address: str, fields: Mapping[str, Any]) -> float:
    """Milliseconds until a form was taken; raises RuntimeError unless 303."""
    answer, took = _timed(lambda: client.post(address, data=fields))
    if answer.status_code != 303:
        raise RuntimeError(f"{address} answered {answer.status_code}, not 303")
    return took


def _answer(
    installation: Installation, scenario_id: str
) -> tuple[float, dict[str, Any]]:
    """Milliseconds of sending a question's form with right answers, and its fields."""
    address = f"/practice/{scenario_id}"
    shown = installation.client.get(address).get_data(as_text=True)
    with installation.house.db.read() as connection:
        person_id = installation.viewer.person_id
        found = scenarios.get(connection, scenario_id, person_id)
    if found is None:
        raise RuntimeError("the question is not there")
    fields = Page(shown, action=address).fields | typed_rightly(found)
    return post(installation.client, address, fields), fields


def _issue(installation: Installation, family: str) -> tuple[str, float]:
    house, viewer = installation.house, installation.viewer
    stock.add_one(house, family)
    return _timed(lambda: practice.issue(house, viewer, family, house.clock()))


def _making(repeats: int) -> list[float]:
    keys = _set_up_families()
    asked = [(keys[place % len(keys)], randbelow(2**53)) for place in range(repeats)]
    return [_timed(partial(making.make, *each))[1] for each in asked]


def measure(installation: Installation, repeats: int = REPEATS) -> list[Measure]:
    """Medians of making, issuing and answering, and the bare page's beside them."""
    family = _set_up_families()[0]
    bare = bare_page(installation)
    issued, answered, kept = [], [], []
    for _ in range(repeats):
        scenario_id, took = _issue(installation, family)
        issued.append(took)
        took, fields = _answer(installation, scenario_id)
        answered.append(took)
        kept.append(post(bare, "/", fields))
    more = median(answered) - median(kept)
    return [
        Measure("making_median", median(_making(repeats)), "ms", most=250),
        Measure("issuing_ready_median", median(issued), "ms", most=10),
        Measure("answering_median", median(answered), "ms"),
        Measure("bare_insert_median", median(kept), "ms"),
        Measure("answering_over_bare", more, "ms", most=10),
    ]
