"""Parts of the header: content and the engine's records name the same things."""

import dataclasses

import pytest

from academy.catalog import parts
from academy.catalog.toml_files import keys
from academy.errors import NotFound


def test_every_file_of_parts_is_known_to_the_engine() -> None:
    assert set(keys("parts")) == set(parts.PARTS)


@pytest.mark.parametrize("key", sorted(parts.PARTS))
def test_what_is_believed_lies_between_its_bounds(key: str) -> None:
    part = parts.load(key)
    for field in dataclasses.fields(part.values):
        low, value, high = (
            getattr(each, field.name) for each in (part.low, part.values, part.high)
        )
        assert low <= value <= high


def test_an_unknown_part_is_refused() -> None:
    with pytest.raises(NotFound):
        parts.load("sails")
