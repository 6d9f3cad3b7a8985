"""One certificate of the demonstration, come about through the same deeds as real ones.

The lead releases the assessment and watches the work in the yard, a simulated person
without a fault answers, and the owner gives the certificate. Another assessment lies
released, to be tried.
"""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, TypeAlias

from academy.catalog import headers, yard
from academy.catalog.demo_farm import DemoCertified, DemoFarm
from academy.records.queries import assessments as rows
from academy.records.queries import devices, scenarios
from academy.scenarios.dice import Dice
from academy.service import (
    assessment,
    assessment_release,
    certificates,
    farm,
    instruction,
    sign_off,
)
from academy.service.house import House
from academy.service.sign_off import Given
from academy.service.simulated import Simulated
from academy.service.tokens import fresh_token, kept
from academy.service.viewer import Viewer

Payload: TypeAlias = dict[str, Any]
STEPS = ("shown", "did", "explained", "alone")


def build(
    house: House, content: DemoFarm, viewers: Mapping[str, Viewer], now: datetime
) -> None:
    """Certify one person and release an assessment for another; people by name."""
    by_role = {role: one.name for one in content.people for role in one.roles}
    owner, lead = viewers[by_role["owner"]], viewers[by_role["lead"]]
    told = content.certified
    if told is None:
        return
    then = now - timedelta(days=told.days_ago)
    person = viewers[told.name]
    _assess(house, content, told, (lead, person), then)
    _sign_off(house, told, (lead, person), content.header, then)
    certificates.issue(
        house, owner, person.person_id, told.certificate, person.language, then
    )
    waiting = viewers[content.assessment_released_for]
    assessment_release.release(
        house, lead, waiting.person_id, told.certificate, "week", now
    )


def _assess(
    house: House,
    content: DemoFarm,
    told: DemoCertified,
    pair: tuple[Viewer, Viewer],
    then: datetime,
) -> None:
    lead, person = pair
    made = assessment_release.release(
        house, lead, person.person_id, told.certificate, "tomorrow", then
    )
    with house.db.write() as connection:
        device = devices.add(connection, kept(fresh_token()), then, "phone")
    there = replace(person, device_id=device)
    acting = Simulated(content, 1.0, "us", Dice("demo-assessed", told.name))
    assessment.begin(house, there, made, then)
    place = assessment.place(house, there, made, then)
    while place.kind == "question":
        then += timedelta(seconds=told.seconds)
        asked = assessment.asked(house, there, made, place.position, then)
        assert asked is not None  # noqa: S101 - the place said that one waits
        answers = acting.answers(_payload(house, there, made, place.position))
        assessment.take(house, there, asked, asked.token, answers, then)
        place = assessment.place(house, there, made, then)


def _payload(house: House, person: Viewer, made: str, position: int) -> Payload:
    with house.db.read() as connection:
        step = next(
            one for one in rows.steps(connection, made) if one.position == position
        )
        found = scenarios.get(connection, step.scenario_id, person.person_id)
    assert found is not None  # noqa: S101 - it was asked just now
    payload: Payload = json.loads(found.payload)
    return payload


def _sign_off(
    house: House,
    told: DemoCertified,
    pair: tuple[Viewer, Viewer],
    header: str,
    then: datetime,
) -> None:
    lead, person = pair
    opened = sign_off.open_sign_off(
        house, lead, person.person_id, told.certificate, header, then
    )
    groups = yard.items_of(told.certificate, headers.load(header))
    items = [one for each in groups.values() for one in each]
    for number, item in enumerate(items):
        given = Given(right=True, entered=told.measured.get(item.key))
        then += timedelta(minutes=1)
        sign_off.enter(house, lead, opened, item.key, given, f"demo-{number}", then)
    sign_off.sign(house, lead, opened, sign_off.DONE, "", then)
    today = farm.today(house, then)
    for step in STEPS:
        instruction.keep_step(
            house, lead, person.person_id, told.task, step, today, then
        )
