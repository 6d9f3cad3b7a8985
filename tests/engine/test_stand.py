"""Stems: green and damp ones are tough, and nothing leaves 0 to 1."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import parts
from academy.engine.stand import toughness
from academy.errors import OutOfRange

SHARES = st.floats(0.0, 1.0)
STILL = parts.load("stand").in_order
BELIEVED = parts.load("stand").values


@given(SHARES, SHARES, SHARES)
def test_damper_is_tougher(one: float, other: float, green: float) -> None:
    dry, damp = sorted((one, other))
    dry_stand = replace(STILL, stem_moisture=dry, green_stems=green)
    damp_stand = replace(dry_stand, stem_moisture=damp)
    assert 0.0 <= toughness(dry_stand, BELIEVED) <= toughness(damp_stand, BELIEVED)
    assert toughness(damp_stand, BELIEVED) <= 1.0


@given(SHARES)
def test_green_stems_are_tough_at_any_moisture(moisture: float) -> None:
    green = replace(STILL, stem_moisture=moisture, green_stems=1.0)
    assert toughness(green, BELIEVED) == pytest.approx(1.0)


def test_a_share_above_one_is_refused() -> None:
    with pytest.raises(OutOfRange):
        toughness(replace(STILL, green_stems=1.5), BELIEVED)
