"""The demonstration: an invented farm with two springs of practice behind it.

Its history is made through the same deeds as a real one: scenarios are issued, answered
by simulated people and marked, only earlier than today.
"""

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import cycle, islice

from academy.catalog import demo_farm
from academy.catalog.demo_farm import DemoFarm, DemoPerson
from academy.catalog.families import practised
from academy.errors import Conflict
from academy.records.queries import people as persons
from academy.records.queries import scenarios
from academy.scenarios.dice import Dice
from academy.service import (
    demo_certified,
    demo_labs,
    farm,
    people,
    practice,
    slips,
    stock,
)
from academy.service.farm import FarmForm
from academy.service.house import House
from academy.service.simulated import Simulated
from academy.service.slips import SlipMade
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class DemoPersonMade:
    """An invented person with a fresh one-time link and its PIN."""

    name: str
    roles: tuple[str, ...]
    token: str
    url: str
    pin: str


@dataclass(frozen=True, slots=True)
class DemoMade:
    """The demonstration farm and how to come in as each of its people."""

    farm_name: str
    people: tuple[DemoPersonMade, ...]


def build(house: House, now: datetime, chosen: DemoFarm | None = None) -> DemoMade:
    """Make a demonstration farm in an empty installation, or open it again.

    On a demonstration farm that is there already only fresh links are made. Raises
    Conflict on anybody else's farm.
    """
    content = chosen or demo_farm.load()
    found = farm.farm(house, now)
    if found is None:
        _make(house, content, now)
    elif found.name != content.name:
        raise Conflict("farm_already_started")
    return _links(house, content, now)


def _make(house: House, content: DemoFarm, now: datetime) -> None:
    stock.keep_coefficients(house)
    begun = now - timedelta(days=content.first_spring_days_ago + 1)
    owner = _start(house, content, begun)
    _seasons(house, owner, content, farm.today(house, now))
    for job, headcount in content.needs.items():
        farm.set_needs(house, owner, job, headcount)
    joined = {
        person.name: _join(house, owner, content, person, now)
        for person in content.people
        if "owner" not in person.roles
    }
    demo_labs.build(house, content, joined, now)
    boss = next(one.name for one in content.people if "owner" in one.roles)
    demo_certified.build(house, content, joined | {boss: owner}, now)


def _start(house: House, content: DemoFarm, begun: datetime) -> Viewer:
    owner = next(person for person in content.people if "owner" in person.roles)
    form = FarmForm(
        name=content.name,
        zone=content.zone,
        currency=content.currency,
        header_key=content.header,
        combine_key=content.combine,
        owner_name=owner.name,
        language=owner.language,
        units=owner.units,
    )
    token = farm.first_run_link(house, begun)
    return _viewer(house, farm.start_farm(house, token, form, begun).person_id)


def _seasons(house: House, owner: Viewer, content: DemoFarm, today: date) -> None:
    harvest = today + timedelta(days=content.harvest_in_days)
    past = harvest - timedelta(days=365)
    for day in (past, harvest):
        farm.set_season(house, owner, content.crop, day.year, day)


def _join(
    house: House, owner: Viewer, content: DemoFarm, person: DemoPerson, now: datetime
) -> Viewer:
    """Take a person in at the first spring of theirs, and let them practise."""
    ago = content.second_spring_days_ago
    springs = [content.first_spring_days_ago, ago]
    came = springs[0] if person.scenarios[0] else springs[1]
    joined = now - timedelta(days=came + 1)
    person_id = people.add_person(
        house, owner, person.name, person.roles, person.language, person.units, joined
    )
    viewer = _viewer(house, person_id)
    for spring, days_ago in enumerate(springs):
        dice = Dice("demo", person.name, spring)
        acting = Simulated(content, person.skill[spring], person.units, dice)
        begun = now - timedelta(days=days_ago)
        _practise(house, viewer, acting, person.scenarios[spring], begun)
    return viewer


def _practise(
    house: House, viewer: Viewer, acting: Simulated, count: int, begun: datetime
) -> None:
    """Answer that many scenarios, the families in turn, over the days of a spring."""
    todo = islice(cycle(acting.dice.shuffled(list(practised()))), count)
    for place, family in enumerate(todo):
        then = begun + timedelta(days=acting.farm.spring_days * place / count)
        scenario_id = practice.issue(house, viewer, family, then)
        with house.db.read() as connection:
            stored = scenarios.get(connection, scenario_id, viewer.person_id)
        assert stored is not None  # noqa: S101 - it was issued two lines above
        answers = acting.answers(json.loads(stored.payload))
        practice.take_answers(house, viewer, scenario_id, answers, then)


def _viewer(house: House, person_id: str) -> Viewer:
    """A person as a viewer without a sign-in, for deeds done on their behalf."""
    with house.db.read() as connection:
        person = persons.get(connection, person_id)
        assert person is not None  # noqa: S101 - taken in just before
        return Viewer(
            person_id=person.id,
            name=person.name or "",
            roles=persons.roles(connection, person_id),
            crew_id=person.crew_id,
            language=person.language,
            units=person.units,
            sign_in_id="",
            csrf="",
        )


def _links(house: House, content: DemoFarm, now: datetime) -> DemoMade:
    with house.db.read() as connection:
        there = {person.name: person for person in persons.active(connection)}
    made = []
    for person in content.people:
        if person.name in there:
            drawn = slips.draw(house, person.language)
            whom = (there[person.name].id, person.name)
            with house.db.write() as connection:
                slip = slips.hand(connection, house, drawn, whom, now, kind="demo")
            made.append(_made(person, slip))
    return DemoMade(content.name, tuple(made))


def _made(person: DemoPerson, slip: SlipMade) -> DemoPersonMade:
    return DemoPersonMade(person.name, person.roles, slip.token, slip.url, slip.pin)
