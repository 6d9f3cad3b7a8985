"""A group on one axis: everyone has a mark, and no mark lies on another."""

import re
from itertools import combinations

import pytest

from academy.drawing.axis import Scale
from academy.drawing.cost_curve import CurveView, cost_curve
from academy.drawing.crowd import Mark, hanging, placed
from academy.drawing.off_best import off_best
from academy.errors import OutOfRange

AXIS = Scale(0.0, 10.0, 20.0, 340.0)
VALUES = [0.1, 0.1, 0.1, 0.2, 5.0, 5.0, 9.9, 10.0, -3.0, 12.0]


@pytest.mark.parametrize("labels", [[""] * 10, [str(n) for n in range(31, 41)]])
def test_marks_of_one_row_stay_apart(labels: list[str]) -> None:
    marks = [Mark(v, label) for v, label in zip(VALUES, labels, strict=True)]
    wide = 8.0 if not labels[0] else 2 * 13 * 0.6
    found = placed(marks, AXIS)
    assert len(found) == len(marks)
    for one, other in combinations(found, 2):
        assert one.row != other.row or abs(one.x - other.x) >= wide
    assert sorted(one.beyond for one in found) == [-1, *[0] * 8, 1]


def test_alone_a_mark_hangs_straight_under_its_value() -> None:
    (one,) = placed([Mark(5.0)], AXIS)
    assert (one.x, one.row) == (180.0, 0)  # half way from 20 to 340
    assert hanging([], AXIS, 0.0) == ("", 0.0)


def test_a_cost_curve_shows_and_counts_its_group() -> None:
    words = dict.fromkeys(
        ("title", "description", "x", "y", "band", "low", "high"), "w"
    )
    plain = {
        "values": [0, 5, 10],
        "cost": [9, 1, 9],
        "low": [8, 1, 8],
        "high": [9, 2, 9],
    }
    alone = cost_curve(CurveView(**plain, points=[]), words)
    crowd = [Mark(4.0), Mark(6.0), Mark(9.5), Mark(30.0)]
    view = CurveView(**plain, points=[], crowd=crowd)
    drawn = cost_curve(view, words | {"crowd": "people"})
    assert len(alone.head) == 4
    assert drawn.head[-1] == "people"
    assert [row[-1] for row in drawn.rows] == ["0", "2", "2"]
    rings = len(re.findall(r'<circle[^>]*fill="none"', drawn.svg))
    assert rings == 3  # one lies beyond the curve
    assert drawn.svg.count("<circle") == 6  # and the same three under the axis


def test_off_the_best_tells_every_difference_once() -> None:
    words = dict.fromkeys(("title", "description", "x", "best", "people"), "w")
    drawn = off_best([Mark(1.5), Mark(-2.0), Mark(1.5)], words)
    assert drawn.rows == (("-2.00", "1"), ("1.50", "2"))
    with pytest.raises(OutOfRange):
        off_best([Mark(float("nan"))], words)
