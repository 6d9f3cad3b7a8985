"""Wings in a reader's words: every pair of task and state, on every header."""

from dataclasses import replace
from typing import get_args
from xml.etree import ElementTree

import pytest

from academy.catalog import headers, parts, wings
from academy.engine.wings import Task, Wing, violations_of
from academy.language import Reader
from academy.scenarios import conditions
from academy.service.wings_explained import BROKEN, wings_picture, wings_told

FACTS = {"crop": "soybean", "header": "flex40", "combine": "middle"}
FACTS |= {"ground": "ordinary"}
EN, ES = Reader("en", "us"), Reader("es", "metric")
IN_ORDER = parts.load("wings").in_order


def shown(state, reader=EN, **changed):
    facts = FACTS | changed
    return wings_picture(facts, conditions.as_found(facts), state, reader)


def rows_of(made):
    return {row[0]: row[1:] for row in made.table.rows}


@pytest.mark.parametrize("key", headers.known())
@pytest.mark.parametrize("reader", [EN, ES])
@pytest.mark.parametrize("carried", ["ground", "wheels"])
def test_every_header_is_drawn_in_the_readers_words(key, reader, carried):
    state = replace(IN_ORDER, left_wing="travelling", right_wing="service")
    made = shown(state, reader, header=key, carried=carried)
    ElementTree.fromstring(made.svg)  # noqa: S314
    held = {"en": "held stiff", "es": "rígida"}[reader.language]
    assert made.table.rows[0][3] == held
    assert all(cell in made.description for row in made.table.rows for cell in row)


def test_working_wings_cut_as_set_all_over():
    rows = rows_of(shown(IN_ORDER))
    assert set(rows["how the section is held"]) == {"floats"}
    assert set(rows["cut height over level ground, at the end"]) == {"1.75 in"}
    assert set(rows["clearly heavier than the rest"]) == {"no"}


def test_off_the_ground_no_section_weighs_on_it():
    rows = rows_of(shown(IN_ORDER, carried="wheels"))
    assert set(rows["weight on the ground, mean"]) == {"0 lb/ft"}


@pytest.mark.parametrize("task", get_args(Task))
@pytest.mark.parametrize("wing", get_args(Wing))
def test_every_pair_is_told_for_the_headers_own_design(task, wing):
    state = replace(IN_ORDER, task=task, left_wing=wing)
    for key in headers.known():
        kind = headers.load(key).parts.wings
        told = [row.value for row in wings_told(FACTS | {"header": key}, state, ES)]
        assert told[0] == wings.load().pairs[f"{task}-{wing}"].on(kind).es
        beneath = wings.load().rules["no-prop"].text.es in told
        assert beneath == (task == "servicing")


def test_every_broken_rule_has_words():
    assert set(BROKEN) == set(violations_of(IN_ORDER))
