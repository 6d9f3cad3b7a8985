"""A lab on paper: questions to hand out, and the answer sheet of whoever teaches."""

import json
from dataclasses import dataclass

from academy.catalog import families
from academy.language import Reader
from academy.records.queries import labs
from academy.records.queries.labs import LabField
from academy.service import lab_key
from academy.service.house import House
from academy.service.lab import own
from academy.service.lab_key import PartKey
from academy.service.viewer import Viewer
from academy.service.views import Question


@dataclass(frozen=True, slots=True)
class PaperField:
    """One field: its questions, the key of each part, and the sources behind it."""

    question: Question
    keys: tuple[PartKey, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """All fields of a lab for paper."""

    lab_id: str
    fields: tuple[PaperField, ...]


def paper(house: House, looking: Viewer, lab_id: str, reader: Reader) -> Paper:
    """The lab in a reader's words and units; raises NotFound."""
    with house.db.read() as connection:
        own(connection, looking, lab_id)
        fields = labs.fields(connection, lab_id)
    known = families.known()
    shown = (_field(one, reader) for one in fields if one.draft.family in known)
    return Paper(lab_id, tuple(shown))


def _field(field: LabField, reader: Reader) -> PaperField:
    family, payload = field.draft.family, json.loads(field.draft.payload)
    keys = lab_key.key_of(family, payload, reader)
    how = [row for key in keys for row in key.how]
    said = ((row.source, row.evidence.partition(":")[0]) for row in how)
    sources = dict.fromkeys(f"{source} ({evidence})" for source, evidence in said)
    question = lab_key.question_of(family, payload, reader)
    return PaperField(question, keys, tuple(sources))
