"""The compact bunching form against the cutting-pattern diagram."""

import numpy as np
import pytest

from academy.engine.cutting_pattern import bunched_share
from academy.errors import OutOfRange

EDGE = 0.052

# Advance over edge, share bunched: diagram worked out stem by stem outside this program
# (pitch 76.2, tip 16, edge 52, ledger 22 mm). The compact form with 0.651 is stated to
# leave residuals from −0.016 to +0.018 above one edge.
DIAGRAM = [(1.25, 0.125), (1.5, 0.199), (2.0, 0.321), (3.0, 0.450)]


@pytest.mark.parametrize(("ratio", "share"), DIAGRAM)
def test_compact_form_keeps_to_the_diagram(ratio, share):
    compact = bunched_share(ratio * EDGE, EDGE, 0.651)
    assert compact == pytest.approx(share, abs=0.0185)


def test_two_edges_bunch_half_the_coefficient():
    # 0.6 (1 − 1/2)
    assert bunched_share(2 * EDGE, EDGE, 0.6) == pytest.approx(0.3)


def test_nothing_bunches_up_to_one_edge_and_the_form_has_no_jump():
    advances = np.array([0.0, 0.5, 1.0, 1.0 + 1e-9]) * EDGE
    assert bunched_share(advances, EDGE, 0.651) == pytest.approx(0.0, abs=1e-8)


def test_bunching_rises_towards_the_coefficient():
    shares = bunched_share(np.geomspace(1, 1000, 50) * EDGE, EDGE, 0.651)
    assert np.all(np.diff(shares) > 0)
    assert shares[-1] == pytest.approx(0.651, rel=2e-3)


def test_an_edge_without_length_is_refused():
    with pytest.raises(OutOfRange, match="must_be_positive"):
        bunched_share(0.08, 0.0, 0.651)
