"""The safety gate's questions lie ready, but nobody meets one before the gate."""

from datetime import UTC, datetime
from typing import Any

import pytest

from academy.catalog import families, lessons
from academy.errors import NotFound
from academy.language import Reader
from academy.service import (
    bank_check,
    lab,
    making,
    next_practice,
    practice,
    preview,
    stock,
)
from academy.service.lab import LabForm

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
GATE = sorted(key for key, one in families.known().items() if one.gate)


@pytest.fixture
def instructor(join: Any) -> Any:
    return join("Lino Prado", "instructor").viewer


def test_asked_for_by_name_it_is_not_there(house, owner):
    for key in GATE:
        with pytest.raises(NotFound):
            next_practice.issue_family(house, owner, key, NOW)


def test_no_list_and_no_choice_offers_it(house, join, instructor):
    listed = practice.topics(Reader("en", "us"))
    assert not {one.key for topic in listed for one in topic.families} & set(GATE)
    hire = join("Hedda Ames").viewer
    with house.db.read() as connection:
        found = next_practice.course(connection, house, hire, NOW)
    assert not {pick.family for pick in next_practice.picks(found)} & set(GATE)
    given: list[str] = []
    while key := next_practice.starting_family(found, given):
        given.append(key)
    assert given
    assert not set(given) & set(GATE)
    pools = lab.choices(house, instructor).pools
    assert not {key for pool in pools for key, _ in pool.families} & set(GATE)
    taught = {key for one in lessons.known().values() for key in one.head.practice}
    assert not taught & set(GATE)


def test_no_lab_can_be_laid_out_from_it(house, owner, instructor):
    form = LabForm((GATE[0],), "same", people=(owner.person_id,))
    with pytest.raises(NotFound):
        lab.lay_out(house, instructor, form, NOW)


def test_stock_bank_and_preview_know_it(house, instructor):
    stock.keep_coefficients(house)
    stock.add_one(house, GATE[0])
    with house.db.read() as connection:
        assert stock.stock.count_by_family(connection) == {GATE[0]: 1}
    shown = {one.key for one in preview.listed(instructor, Reader("en", "us"))}
    assert shown == set(families.known())
    assert preview.preview(instructor, GATE[0], 3, Reader("es", "metric")).key
    assert bank_check.checked(GATE[0], 2).wrong() == ""
    assert making.make(GATE[0], 3) == making.make(GATE[0], 3)
