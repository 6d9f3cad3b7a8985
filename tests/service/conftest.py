"""An opened house with a farm in it, on both databases."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from a_farm import farm_form
from begun import Kept, begun

from academy.catalog import shelf
from academy.records.db import Database
from academy.records.queries import (
    answered,
    answers,
    coefficients,
    scenarios,
    stock,
)
from academy.service import beliefs, farm, people, signing
from academy.service.farm import FarmForm
from academy.service.house import House
from academy.service.settings import Settings
from academy.service.viewer import Viewer

START = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Signed:
    """A person who came in on a phone of their own."""

    viewer: Viewer
    device_token: str
    sign_in_token: str
    pin: str


@pytest.fixture
def house(database: Database, tmp_path: Path, quick_pins: None) -> House:
    del quick_pins
    return House(
        db=database,
        catalog=shelf.load(),
        settings=Settings(),
        instance=tmp_path,
        pepper=bytes(range(32)),
        clock=lambda: START,
    )


@pytest.fixture
def form() -> FarmForm:
    return farm_form()


@pytest.fixture
def owner_in(house: House, form: FarmForm, farms_begun: Kept) -> Signed:
    def begin() -> Signed:
        token = farm.first_run_link(house, START)
        return _come_in(house, farm.start_farm(house, token, form, START))

    return begun(farms_begun, house, ("service", form), begin)


@pytest.fixture
def owner(owner_in: Signed) -> Viewer:
    return owner_in.viewer


@pytest.fixture
def join(house: House, owner: Viewer) -> Callable[..., Signed]:
    """Take a person in and let them open their slip on a phone of their own."""

    def _join(name: str, *roles: str, crew_id: str | None = None) -> Signed:
        chosen = roles or ("hire",)
        person_id = people.add_person(
            house, owner, name, chosen, "es", "metric", START, crew_id
        )
        return _come_in(house, people.make_slip(house, owner, person_id, START))

    return _join


@pytest.fixture
def answer(house: House) -> Callable[..., None]:
    """Put an answered one-part scenario of a topic into the log, and refresh."""
    numbers = count(1)
    digest = "c" * 64
    with house.db.write() as connection:
        coefficients.keep(connection, digest, "{}")

    def _answer(
        person_id: str,
        topic: str,
        score: float,
        now: datetime,
        purpose: str = "assessment",
    ) -> None:
        number = next(numbers)
        part = stock.PartDraft("number", topic, "made@1", 0.6, 0.0, 1, 1.0)
        draft = stock.Draft(
            "made", number, f"{number:064x}", "{}", 1, digest, parts=[part]
        )
        issue = scenarios.Issue(person_id, "sitting", purpose, now)
        with house.db.write() as connection:
            answered.hold(connection, person_id)
            issued = scenarios.issue_draft(connection, draft, issue)
            (kept,) = scenarios.parts(connection, issued.id)
            answers.record(
                connection, kept.id, answer={}, score=score, marks={}, now=now
            )
            beliefs.refresh(connection, house.catalog, person_id, [topic])

    return _answer


def _come_in(house: House, slip: people.SlipMade) -> Signed:
    opened = signing.enrol(house, slip.token, "en", "us", None, "10.0.0.1", START)
    viewer = signing.viewer_of(house, opened.sign_in_token, START)
    assert viewer is not None
    return Signed(viewer, opened.device_token, opened.sign_in_token, slip.pin)
