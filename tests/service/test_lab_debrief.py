"""The debrief, the paper and the files of a lab: what they say, and of whom."""

import csv
import io
import json
from datetime import UTC, datetime, timedelta
from statistics import fmean
from typing import Any

import openpyxl
import pytest

from academy import units
from academy.catalog import demo_farm, families
from academy.errors import Conflict, NotFound
from academy.grading import explain
from academy.language import Reader, show
from academy.records.queries import labs, scenarios
from academy.scenarios.dice import Dice
from academy.service import (
    lab,
    lab_answers,
    lab_debrief,
    lab_key,
    lab_own,
    lab_paper,
    making,
    marking,
    practice,
    stock,
)
from academy.service.lab import LabForm
from academy.service.setup_explained import case_of
from academy.service.simulated import Simulated

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
FAMILIES = ("standing-soybean", "first-change-soybean", "safe-stop")
NAMES = ("Ilse Quade", "Hedda Ames", "Nadine Orr")
SKILLS = (0.0, 0.5, 1.0)


@pytest.fixture
def instructor(house: Any, join: Any) -> Any:
    stock.keep_coefficients(house)
    return join("Lino Prado", "instructor").viewer


@pytest.fixture
def group(join: Any) -> list[Any]:
    return [join(name).viewer for name in NAMES]


def answer(house: Any, who: Any, lab_id: str, position: int, skill: float) -> Any:
    issued = lab_own.open_field(house, who, lab_id, position, NOW)
    with house.db.read() as connection:
        found = scenarios.get(connection, issued, who.person_id)
    payload = json.loads(found.payload)
    acting = Simulated(demo_farm.load(), skill, "us", Dice("lab", who.name, position))
    given = acting.answers(payload)
    practice.take_answers(house, who, issued, given, NOW)
    return payload, given


@pytest.fixture
def debriefed(house: Any, instructor: Any, group: list[Any]) -> Any:
    """A lab of three fields, answered by all; id, payloads and answers by position."""

    def _debriefed(*keys: str, fields: str = "same") -> Any:
        people = tuple(one.person_id for one in group)
        lab_id = lab.lay_out(
            house, instructor, LabForm(keys, fields, people=people), NOW
        )
        told = {
            position: [
                answer(house, who, lab_id, position, skill)
                for who, skill in zip(group, SKILLS, strict=True)
            ]
            for position in range(1, len(keys) + 1)
        }
        lab.open_debrief(house, instructor, lab_id, NOW + timedelta(hours=1))
        return lab_id, told

    return _debriefed


def texts(told: Any) -> str:
    """All that the debrief says."""
    return repr(told)


def test_a_debrief_shows_everybody_and_names_nobody(house, instructor, debriefed):
    lab_id, _ = debriefed(*FAMILIES)
    told = lab_debrief.debrief(house, instructor, lab_id)
    assert [part.answered for field in told.fields for part in field.parts] == [
        3 for field in told.fields for _ in field.parts
    ]
    for name in NAMES:
        assert name not in texts(told)
    settings = told.fields[0].parts[0]
    assert settings.tables == ()
    controls = len(settings.asked.controls)
    assert len(settings.pictures) == controls + 2  # curves, losses, shares
    assert len({shown.title for shown in settings.pictures}) == controls + 2
    for curve in settings.pictures[:controls]:
        assert sum(int(row[-1]) for row in curve.table.rows) == 3


def test_marks_are_told_apart_only_on_request(house, instructor, debriefed):
    """And what settings cost the group is the mean of what they cost each."""
    lab_id, told_to = debriefed(FAMILIES[0])
    for shown, wanted in (
        ("numbers", {"1", "2", "3"}),
        ("initials", {"IQ", "HA", "NO"}),
    ):
        told = lab_debrief.debrief(house, instructor, lab_id, shown)
        (table,) = told.fields[0].parts[0].tables
        assert {row[0] for row in table.rows} == wanted
        order = [row[0] for row in table.rows]
        assert order == sorted(order)  # by mark, not by how well it went
    shares = told.fields[0].parts[0].pictures[-1].table.rows
    mean = fmean(_regret(*given) for given in told_to[1])
    assert shares[-1][1] == show(mean, "money_per_area", Reader("en", "us"))


def _regret(payload: Any, given: Any) -> float:
    """What somebody's settings cost above the best; Shapley shares add up to it."""
    case = case_of(payload["parts"][0], payload["facts"], given[1], Reader())
    cost = [
        float(explain.readings_of(case.problem, each).cost)
        for each in (case.yours, case.best)
    ]
    return cost[0] - cost[1]


def test_counts_are_those_who_chose_and_tell_the_right_one(
    house, instructor, debriefed
):
    lab_id, told = debriefed(FAMILIES[1])
    part = lab_debrief.debrief(house, instructor, lab_id).fields[0].parts[0]
    labels = dict(part.asked.options)
    key = told[1][0][0]["parts"][0]["key"]
    chosen = [given[1]["choice"] for _, given in told[1]]
    wanted = {
        (f"{label} (right)" if option == key else label): f"{chosen.count(option)} of 3"
        for option, label in labels.items()
    }
    assert dict(part.pictures[0].table.rows) == wanted
    assert part.key.best == labels[key]
    wrong = len(chosen) - chosen.count(key)
    assert sum(count for _, count in part.thoughts) == wrong


def test_one_field_each_is_told_by_how_far_off_the_own_best(
    house, instructor, debriefed
):
    lab_id, told = debriefed(FAMILIES[0], fields="each")
    part = lab_debrief.debrief(house, instructor, lab_id).fields[0].parts[0]
    assert part.key is None
    payload, given = told[1][2]  # the one of full skill chose the best
    best = payload["parts"][0]["best"]["ground_speed"]
    value, label = given[1]["controls"]["ground_speed"]
    assert float(units.to_si(value, label)) == pytest.approx(best, abs=0.05)
    off = part.pictures[0].table.rows
    assert sum(int(count) for _, count in off) == 3
    assert any(abs(float(shown)) < 0.06 for shown, _ in off)


def test_a_debrief_opens_when_it_is_opened_and_for_its_own(
    house, instructor, group, join
):
    people = (group[0].person_id,)
    form = LabForm(("safe-stop",), "same", people=people)
    lab_id = lab.lay_out(house, instructor, form, NOW)
    with pytest.raises(Conflict, match="lab_debrief_shut"):
        lab_debrief.debrief(house, instructor, lab_id)
    lab.open_debrief(house, instructor, lab_id, NOW)
    empty = lab_debrief.debrief(house, instructor, lab_id)
    assert empty.fields[0].parts[0].pictures == ()
    lead = join("Baltazar Oyarce", "lead").viewer
    reader = Reader()
    for stranger in (lead, group[0]):
        for deed in (
            lambda who: lab_debrief.debrief(house, who, lab_id),
            lambda who: lab_paper.paper(house, who, lab_id, reader),
            lambda who: lab_answers.as_csv(house, who, lab_id, True),
            lambda who: lab_answers.as_workbook(house, who, lab_id, True, NOW),
        ):
            with pytest.raises(NotFound):
                deed(stranger)


def test_csv_and_workbook_hold_every_answer_alike(house, instructor, debriefed):
    lab_id, told = debriefed(*FAMILIES[1:])
    plain = lab_answers.as_csv(house, instructor, lab_id, False).decode("utf-8-sig")
    named = lab_answers.as_csv(house, instructor, lab_id, True).decode("utf-8-sig")
    for name in NAMES:
        assert name not in plain
        assert name in named
    head, *rows = csv.reader(io.StringIO(plain))
    assert head[:4] == ["Number", "Field", "Part", "Topic"]
    parts = sum(len(payload["parts"]) for [(payload, _), *_] in told.values())
    assert len(rows) == 3 * parts
    assert [int(row[0]) for row in rows] == sorted(int(row[0]) for row in rows)
    data = lab_answers.as_workbook(house, instructor, lab_id, False, NOW)
    (page,) = openpyxl.load_workbook(io.BytesIO(data)).worksheets
    cells = list(page.iter_rows(min_row=4, values_only=True))
    assert list(cells[0]) == head
    for row, cell in zip(rows, cells[1:], strict=True):
        assert [str(cell[0]), *cell[1:2], str(cell[2]), *cell[3:6]] == row[:6]
        assert round(100 * cell[6]) == int(row[6])
        assert cell[7] == row[7] == "2026-09-01 11:00"  # Chicago, five hours behind


def one_of_each_kind() -> list[str]:
    """Families that together have every kind of part there is."""
    kinds: set[str] = set()
    chosen = []
    for key, content in families.known().items():
        fresh = {part.kind for part in content.parts} - kinds
        if fresh:
            kinds |= fresh
            chosen.append(key)
    return chosen


@pytest.mark.parametrize("family", one_of_each_kind())
def test_the_key_is_an_answer_that_earns_everything(family: str) -> None:
    payload = json.loads(making.make(family, 3).payload)
    right = lab_key.right_answers(payload)
    for place, part in enumerate(payload["parts"], start=1):
        assert marking.mark(part, payload["facts"], right[place]).score == 1
    for language in ("en", "es"):
        reader = Reader(language, "us")
        keys = lab_key.key_of(family, payload, reader)
        asked = lab_key.question_of(family, payload, reader)
        assert len(keys) == len(asked.parts)
        assert all(key.best or key.tables for key in keys)
        assert all(row.source for key in keys for row in key.how)


def test_paper_has_the_field_that_the_screen_has(house, instructor, group):
    form = LabForm(("standing-soybean",), "same", people=(group[0].person_id,))
    lab_id = lab.lay_out(house, instructor, form, NOW)
    issued = lab_own.open_field(house, group[0], lab_id, 1, NOW)
    screen = practice.question(house, group[0], issued)
    reader = practice.reader_of(group[0])
    (sheet,) = lab_paper.paper(house, instructor, lab_id, reader).fields
    assert (sheet.question.facts, sheet.question.parts) == (screen.facts, screen.parts)
    assert sheet.sources
    with house.db.read() as connection:
        (field,) = labs.fields(connection, lab_id)
    best = json.loads(field.draft.payload)["parts"][0]["best"]
    assert len(sheet.keys[0].tables[0].rows) == len(best)
