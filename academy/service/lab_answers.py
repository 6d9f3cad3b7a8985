"""The answers of a lab as rows of a file: who, topic, part, answer, score, time."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from academy.catalog import families, topics
from academy.exchange import roster_csv, workbook
from academy.exchange.workbook import Share, Sheet
from academy.language import Reader, gettext, marked, with_unit
from academy.records.queries import farm as farms
from academy.records.queries import labs
from academy.records.queries.labs import LabAnswer
from academy.service import as_asked, asking
from academy.service.house import House
from academy.service.lab import own, titles
from academy.service.practice import reader_of
from academy.service.viewer import Viewer
from academy.service.views import PartView

_HEAD = (
    marked("Number"),
    marked("Name"),
    marked("Field"),
    marked("Part"),
    marked("Topic"),
    marked("Question"),
    marked("Answer given"),
    marked("Score"),
    marked("Time"),
)
_NAME = 1  # the column that is left out unless names are wanted
_WIDTHS = (8, 24, 26, 6, 26, 40, 44, 8, 17)
_CAUTION = marked(
    "A model marked these answers; no person has rated anyone. They are no licence. "
    "The machine's own book, local law and licensed trainers come first."
)


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answered part in the reader's words; ``score`` in whole per cent."""

    number: int
    name: str
    field: str
    part: int
    topic: str
    question: str
    answer: str
    score: int
    time: str


def answer_rows(
    house: House, looking: Viewer, lab_id: str
) -> tuple[tuple[AnswerRow, ...], datetime]:
    """Every answer by number, field and part, and when the lab was laid out.

    Raises NotFound.
    """
    with house.db.read() as connection:
        found = own(connection, looking, lab_id)
        members = {one.person_id: one for one in labs.members(connection, lab_id)}
        keys = labs.families(connection, [lab_id])[lab_id]
        answers = labs.answers(connection, lab_id)
        farm = farms.get(connection)
    zone = ZoneInfo(farm.zone if farm else "UTC")
    words, reader = titles(keys, looking.language), reader_of(looking)
    rows = []
    for one in answers:
        member, place = members[one.person_id], one.position - 1
        view = _view(keys[place], one, reader)
        rows.append(
            AnswerRow(
                number=member.number,
                name=member.name or "",
                field=words[place],
                part=one.place,
                topic=_topic(one.topic, reader),
                question=view.prompt if view else "",
                answer=answer_text(view, one.answer, reader) if view else "",
                score=round(100 * one.score),
                time=one.answered_at.astimezone(zone).strftime("%Y-%m-%d %H:%M"),
            )
        )
    ordered = sorted(rows, key=lambda row: row.number)  # keeps field and part
    return tuple(ordered), found.made_at.astimezone(zone)


def as_csv(house: House, looking: Viewer, lab_id: str, names: bool) -> bytes:
    """The answers as CSV; names only when wanted. Raises NotFound."""
    rows, _ = answer_rows(house, looking, lab_id)
    cells = [[str(cell) for cell in _cells(row)] for row in rows]
    head = [gettext(word, reader_of(looking).language) for word in _HEAD]
    return roster_csv.write(_kept(head, names), [_kept(row, names) for row in cells])


def as_workbook(
    house: House, looking: Viewer, lab_id: str, names: bool, now: datetime
) -> bytes:
    """The same answers as a workbook; raises NotFound."""
    rows, made = answer_rows(house, looking, lab_id)
    language = reader_of(looking).language
    cells = [[*_cells(row)[:-2], Share(row.score), row.time] for row in rows]
    sheet = Sheet(
        title=gettext(marked("Answers"), language),
        lines=(
            f"{gettext(marked('Lab'), language)} {made:%Y-%m-%d %H:%M}",
            gettext(_CAUTION, language),
        ),
        widths=tuple(_kept(list(_WIDTHS), names)),
        head=tuple(_kept([gettext(word, language) for word in _HEAD], names)),
        rows=tuple(tuple(_kept(row, names)) for row in cells),
    )
    return workbook.workbook([sheet], now)


def answer_text(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    """What was answered, in one line of the reader's words."""
    return _TEXTS.get(view.kind, _choice)(view, answer, reader)


def _cells(row: AnswerRow) -> list[Any]:
    return [
        row.number,
        row.name,
        row.field,
        row.part,
        row.topic,
        row.question,
        row.answer,
        row.score,
        row.time,
    ]


def _kept(row: list[Any], names: bool) -> list[Any]:
    return row if names else row[:_NAME] + row[_NAME + 1 :]


def _topic(key: str, reader: Reader) -> str:
    known = topics.load()
    return known[key].name.for_language(reader.language) if key in known else key


def _view(family: str, one: LabAnswer, reader: Reader) -> PartView | None:
    """The part as it was asked; None for a family that content no longer has."""
    if family not in families.known():
        return None
    payload = json.loads(one.payload)
    part, facts = payload["parts"][one.place - 1], payload["facts"]
    asked = as_asked.family_of(family, payload).parts[one.place - 1]
    return asking.part_view(one.place, asked, part, facts, reader)


def _settings(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    typed = answer["controls"]
    said = (
        f"{one.label} {_figure(typed[one.name], reader)}"
        for one in view.controls
        if one.name in typed
    )
    return "; ".join(said)


def _figure(pair: Any, reader: Reader) -> str:
    return with_unit(f"{float(pair[0]):g}", str(pair[1]), reader.language)


def _number(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    del view
    return _figure(answer["value"], reader)


def _order(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    del reader
    texts = dict(view.steps)
    return " > ".join(texts.get(key, key) for key in answer["order"])


def _inspection(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    del reader
    names = {key: name for key, name, _reads in view.findings}
    return "; ".join(names.get(key, key) for key in answer["ticked"])


def _choice(view: PartView, answer: Mapping[str, Any], reader: Reader) -> str:
    del reader
    chosen = str(answer.get("way", answer.get("choice", "")))
    return dict(view.options).get(chosen, chosen)


_TEXTS: Mapping[str, Callable[[PartView, Mapping[str, Any], Reader], str]] = {
    "set-up": _settings,
    "number": _number,
    "order": _order,
    "inspection": _inspection,
}
