"""The opening and drum of each header, and the speeds its drum turns at."""

import itertools
import math

import pytest

from academy.catalog import headers, mouths


@pytest.mark.parametrize("key", headers.known())
def test_a_headers_mouth_is_what_its_file_says(key: str) -> None:
    header = headers.load(key)
    mouth = mouths.mouth(header)
    # inches in the file
    assert mouth.opening == pytest.approx(header.measures.centre_opening.value * 0.0254)
    assert mouth.drum_diameter == pytest.approx(
        header.measures.drum_diameter.value * 0.0254
    )
    assert mouth.slowest_drum == min(mouths.drum_speeds(header).rates())


@pytest.mark.parametrize("kind", mouths.load())
def test_speeds_go_from_the_slowest_to_the_fastest_in_equal_steps(kind: str) -> None:
    speeds = mouths.load()[kind]
    rates = [rate * 30 / math.pi for rate in speeds.rates()]
    assert (rates[0], rates[-1]) == pytest.approx(
        (speeds.slowest.value, speeds.fastest.value)
    )
    steps = [after - before for before, after in itertools.pairwise(rates)]
    assert steps == pytest.approx([speeds.step.value] * len(steps))


def test_every_kind_of_drum_drive_has_its_speeds() -> None:
    kinds = {headers.load(key).parts.drum_speed for key in headers.known()}
    assert kinds <= set(mouths.load())
