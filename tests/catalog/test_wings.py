"""Wings: each design says its states in its own words, and every pair is told."""

from typing import get_args

import pytest

from academy.catalog import headers, sources, wings
from academy.catalog.wings import PAIRS, Kind
from academy.engine.wings import RIGHT_STATE

KINDS = get_args(Kind)


@pytest.mark.parametrize("key", headers.known())
def test_every_header_has_wings_that_are_told(key: str) -> None:
    assert headers.load(key).parts.wings in wings.load().designs


def test_every_design_floats_at_work_and_is_held_for_service() -> None:
    for design in wings.load().designs.values():
        assert design.holds["working"] == "floats"
        assert design.holds["service"] == "stiff"
        assert design.holds["travelling"] != "floats"


def test_no_two_designs_say_the_same() -> None:
    told = [design.shown.en for design in wings.load().designs.values()]
    assert len(set(told)) == len(KINDS)
    for key in PAIRS:
        pair = wings.load().pairs[key]
        assert len({pair.on(kind).en for kind in KINDS}) == len(KINDS)
        assert len({pair.on(kind).es for kind in KINDS}) == len(KINDS)


def test_each_task_has_one_right_state_and_wrong_ones_off_the_field_hurt() -> None:
    for key, pair in wings.load().pairs.items():
        task, wing = key.split("-")
        wrong = RIGHT_STATE[task] != wing  # type: ignore[index]
        assert pair.safety == (wrong and task != "cutting")


def test_what_is_called_published_was_read() -> None:
    told = [*wings.load().rules.values(), *wings.load().pairs.values()]
    for each in told:
        read = sources.load()[each.source].seen != "no"
        assert read or each.evidence != "published"


def test_service_is_told_to_be_no_prop() -> None:
    right = wings.load().pairs["servicing-service"]
    for kind in KINDS:
        assert "prop" in right.on(kind).en
        assert "puntal" in right.on(kind).es
