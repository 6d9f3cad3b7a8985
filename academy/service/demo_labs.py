"""Labs of the demonstration: one that was talked over, one that still takes answers.

They come about through the same deeds as real ones; simulated people answer.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from academy.catalog.demo_farm import DemoFarm, DemoLab, DemoPerson
from academy.records.queries import scenarios
from academy.scenarios.dice import Dice
from academy.service import lab, lab_own, practice
from academy.service.house import House
from academy.service.lab import LabForm
from academy.service.simulated import Simulated
from academy.service.viewer import Viewer


def build(
    house: House, content: DemoFarm, viewers: Mapping[str, Viewer], now: datetime
) -> None:
    """Lay out the labs of the farm; ``viewers`` are its people by name."""
    by_name = {one.name: one for one in content.people}
    teacher = next(one for one in content.people if "lead" in one.roles)
    others = [one for name, one in by_name.items() if "hire" in one.roles]
    for told in content.labs:
        laid_at = now - timedelta(days=told.days_ago)
        form = LabForm(
            families=told.families,
            fields=told.fields,
            people=tuple(viewers[one.name].person_id for one in others),
        )
        lab_id = lab.lay_out(house, viewers[teacher.name], form, laid_at)
        answering = [one for one in others if one.scenarios[-1]][: told.answered]
        _answer(house, content, lab_id, told, answering, viewers, laid_at)
        if told.debriefed:
            over = laid_at + timedelta(hours=1)
            lab.open_debrief(house, viewers[teacher.name], lab_id, over)


def _answer(
    house: House,
    content: DemoFarm,
    lab_id: str,
    told: DemoLab,
    people: Sequence[DemoPerson],
    viewers: Mapping[str, Viewer],
    laid_at: datetime,
) -> None:
    for minutes, person in enumerate(people, start=10):
        then = laid_at + timedelta(minutes=minutes)
        acting = Simulated(
            content, person.skill[-1], person.units, Dice("demo-lab", person.name)
        )
        viewer = viewers[person.name]
        for position in range(1, len(told.families) + 1):
            issued = lab_own.open_field(house, viewer, lab_id, position, then)
            with house.db.read() as connection:
                found = scenarios.get(connection, issued, viewer.person_id)
            assert found is not None  # noqa: S101 - it was handed out just now
            answers = acting.answers(json.loads(found.payload))
            practice.take_answers(house, viewer, issued, answers, then)
