"""The table of the cutting-pattern diagram keeps to the diagram and to its limits."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import knives
from academy.engine.cutting_diagram import diagram
from academy.engine.cutting_table import cut
from academy.errors import OutOfRange

KINDS = knives.all_kinds()
each_kind = pytest.mark.parametrize("kind", sorted(KINDS))


@each_kind
def test_the_table_keeps_to_its_stated_error(kind):
    # against a diagram of four times as many stems, at advances between its rows
    knife = KINDS[kind]
    for ratio in np.geomspace(0.11, 5.9, 12):
        fine = diagram(knife, ratio * knife.edge, 240, 480)
        read = cut(knife, ratio * knife.edge, 0.0)
        for name in ("bunched", "once", "recut"):
            assert getattr(read, name) == pytest.approx(getattr(fine, name), abs=0.004)
        for name, bent in (("aside", fine.sideways), ("ahead", fine.forward)):
            wanted = np.sqrt(np.mean(bent**2))
            assert getattr(read, name) == pytest.approx(wanted, abs=5e-4), name


def test_so_it_does_out_of_register():
    knife = KINDS["standard"]
    for ratio, part in ((0.8, 0.1), (1.4, 0.3), (2.5, 0.6), (1.1, 0.9)):
        out = part * knife.most_register
        fine = diagram(replace(knife, register=out), ratio * knife.edge, 240, 480)
        read = cut(knife, ratio * knife.edge, -out)
        for name in ("bunched", "once", "recut"):
            assert getattr(read, name) == pytest.approx(getattr(fine, name), abs=0.015)


# Advance [mm], shares bunched, once, recut: worked out stem by stem outside this
# program for pitch and stroke 76.2, tip 16, edge 52, ledger 22 mm.
@pytest.mark.parametrize(
    ("advance", "bunched", "once", "recut"),
    [(52, 0.051, 0.832, 0.117), (78, 0.199, 0.793, 0.008), (156, 0.450, 0.550, 0.0)],
)
def test_standard_sections_as_worked_out_elsewhere(advance, bunched, once, recut):
    read = cut(KINDS["standard"], advance / 1000, 0.0)
    assert read[:3] == pytest.approx((bunched, once, recut), abs=0.003)


@each_kind
@settings(max_examples=25, deadline=None)
@given(advance=st.floats(0.0, 10.0))
def test_shares_add_up_and_bending_stays_inside_the_gap_and_the_advance(kind, advance):
    knife, read = KINDS[kind], cut(KINDS[kind], advance, 0.0)
    assert read.bunched + read.once + read.recut == pytest.approx(1.0)
    assert min(read[:3]) >= -1e-12
    assert 0.0 <= read.aside <= knife.pitch - knife.ledger
    assert 0.0 <= read.ahead <= advance


@each_kind
def test_a_faster_machine_bunches_no_less_and_recuts_no_more(kind):
    advances = np.geomspace(0.05, 10.0, 300) * KINDS[kind].edge
    read = cut(KINDS[kind], advances, 0.0)
    grid = 2 / (120 * 240)  # a stem or two on a border
    assert np.all(np.diff(read.bunched) >= -grid)
    assert np.all(np.diff(read.recut) <= grid)


def test_a_standing_machine_bunches_nothing():
    assert cut(KINDS["standard"], 0.0, 0.0)[:3] == (0.0, 0.0, 1.0)


def test_half_pitch_bunches_less_and_long_and_short_in_turn_more_than_standard():
    advances = np.linspace(0.05, 0.2, 30)
    half, standard, turn = (
        cut(KINDS[kind], advances, 0.0).bunched
        for kind in ("half-pitch", "standard", "alternating")
    )
    assert np.all(half < standard)
    assert np.all(standard < turn)


@pytest.mark.parametrize(
    ("advance", "register"), [(-0.1, 0.0), (float("nan"), 0.0), (0.08, 0.02)]
)
def test_what_cannot_be_is_refused(advance, register):
    with pytest.raises(OutOfRange):
        cut(KINDS["standard"], advance, register)
