"""Choices: right or wrong, and nothing between."""

import pytest

from academy.catalog.directions import WAYS
from academy.grading.choice import mark_choice


@pytest.mark.parametrize("key", WAYS)
def test_exactly_one_way_is_right(key):
    marks = {way: mark_choice(way, key) for way in WAYS}
    assert {way for way, mark in marks.items() if mark.score == 1} == {key}
    assert {mark.score for mark in marks.values()} == {0.0, 1.0}
    assert {mark.reason for way, mark in marks.items() if way != key} == {"wrong_way"}


def test_the_mark_keeps_the_right_way_for_the_page():
    mark = mark_choice("lower", "higher")
    assert mark.detail == {"key": "higher"}
    assert not mark.critical_miss
