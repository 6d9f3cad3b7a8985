"""The debrief of a lab: one page of what the whole group answered, nobody ranked."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from academy.catalog import families
from academy.errors import Conflict
from academy.language import Reader
from academy.records.queries import labs
from academy.records.queries.labs import LabAnswer, LabField, Member
from academy.service import (
    as_asked,
    asking,
    lab_choices,
    lab_key,
    lab_settings,
    setup_explained,
)
from academy.service.house import House
from academy.service.lab import own
from academy.service.lab_choices import Given
from academy.service.lab_key import PartKey
from academy.service.lab_settings import Chosen
from academy.service.practice import reader_of
from academy.service.viewer import Viewer
from academy.service.views import PartView, Picture, Question, Table

SHOWN = ("hidden", "numbers", "initials")
_LETTERS = 3


@dataclass(frozen=True, slots=True)
class PartDebrief:
    """One part: as asked, its key (for one field of all), and what was answered.

    ``thoughts`` are mistaken ones with the number of people they were met in.
    """

    asked: PartView
    key: PartKey | None
    answered: int
    pictures: tuple[Picture, ...]
    tables: tuple[Table, ...]
    thoughts: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class FieldDebrief:
    """One field of the lab; ``question`` is the one all were asked, or a sample."""

    position: int
    question: Question
    parts: tuple[PartDebrief, ...]


@dataclass(frozen=True, slots=True)
class Debrief:
    """The whole page; ``shown`` says whether marks are hidden, numbers or initials."""

    lab_id: str
    same: bool
    people: int
    shown: str
    fields: tuple[FieldDebrief, ...]


@dataclass(frozen=True, slots=True)
class _Desk:
    """What every part needs: who reads, what marks are called, whose field it is."""

    reader: Reader
    labels: dict[str, str]
    same: bool


def debrief(
    house: House, looking: Viewer, lab_id: str, shown: str = SHOWN[0]
) -> Debrief:
    """What the group answered; raises NotFound, and Conflict before it was opened."""
    with house.db.read() as connection:
        found = own(connection, looking, lab_id)
        if found.debriefed_at is None:
            raise Conflict("lab_debrief_shut")
        fields = labs.fields(connection, lab_id)
        members = labs.members(connection, lab_id)
        answers = labs.answers(connection, lab_id)
    desk = _Desk(reader_of(looking), labels(members, shown), found.fields == "same")
    return Debrief(
        lab_id=lab_id,
        same=desk.same,
        people=len(members),
        shown=shown if shown in SHOWN else SHOWN[0],
        fields=tuple(
            _field(field, [a for a in answers if a.position == field.position], desk)
            for field in fields
            if field.draft.family in families.known()
        ),
    )


def labels(members: Sequence[Member], shown: str) -> dict[str, str]:
    """What the mark of each is called: nothing, a number, or initials."""
    if shown == "numbers":
        return {one.person_id: str(one.number) for one in members}
    if shown == "initials":
        return {one.person_id: _initials(one) for one in members}
    return {one.person_id: "" for one in members}


def _initials(member: Member) -> str:
    words = (member.name or "").split()[:_LETTERS]
    return "".join(word[0] for word in words).upper() or str(member.number)


def _field(field: LabField, answers: Sequence[LabAnswer], desk: _Desk) -> FieldDebrief:
    key, payload = field.draft.family, json.loads(field.draft.payload)
    question = lab_key.question_of(key, payload, desk.reader)
    keys = lab_key.key_of(key, payload, desk.reader) if desk.same else None
    parts = []
    for place, view in enumerate(question.parts, start=1):
        here = [answer for answer in answers if answer.place == place]
        right = keys[place - 1] if keys else None
        ids = f"field{field.position}-part{place}"
        parts.append(_part(view, right, _read(key, here, desk, view), desk, ids))
    return FieldDebrief(field.position, question, tuple(parts))


def _read(
    family_key: str, answers: Sequence[LabAnswer], desk: _Desk, asked: PartView
) -> list[tuple[str, Given]]:
    """Each answer beside its mark's label, by label: the order tells nothing."""
    read: dict[str, Any] = {}
    found = []
    for one in answers:
        if one.payload not in read:
            read[one.payload] = json.loads(one.payload)
        payload, view = read[one.payload], asked
        part, facts = payload["parts"][one.place - 1], payload["facts"]
        if not desk.same:
            content = as_asked.family_of(family_key, payload)
            wanted = content.parts[one.place - 1]
            view = asking.part_view(one.place, wanted, part, facts, desk.reader)
        given = Given(part, facts, view, one.answer, one.marks)
        found.append((desk.labels[one.person_id], given))
    return sorted(found, key=lambda pair: (len(pair[0]), pair[0]))


def _part(
    view: PartView,
    key: PartKey | None,
    read: Sequence[tuple[str, Given]],
    desk: _Desk,
    ids: str,
) -> PartDebrief:
    given = [one for _, one in read]
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()
    if given and view.kind == "set-up":
        group = _group(read, desk)
        draw = lab_settings.on_the_curves if desk.same else lab_settings.off_the_best
        pictures = draw(group, ids)
        tables = (lab_settings.settings_table(group),) if group[0].label else ()
    elif given:
        pictures = (lab_choices.counts_picture(given, desk.reader, ids),)
    return PartDebrief(
        asked=view,
        key=key,
        answered=len(given),
        pictures=pictures,
        tables=tables,
        thoughts=lab_choices.thoughts(given, desk.reader),
    )


def _group(read: Sequence[tuple[str, Given]], desk: _Desk) -> list[Chosen]:
    return [
        Chosen(
            label,
            setup_explained.case_of(one.part, one.facts, one.answer, desk.reader),
        )
        for label, one in read
    ]
