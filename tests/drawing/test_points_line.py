"""The running points of an assessment, drawn."""

import re

import pytest

from academy.drawing.points_line import PointsView, points_line
from academy.errors import OutOfRange

WORDS = {
    "title": "Points",
    "description": "The line.",
    "y": "Points above par",
    "x": "scenarios",
    "passes": "enough to pass",
    "fails": "enough not to pass",
    "scenario": "Scenario",
    "points": "Points",
}


def view(points, start=0.0):
    told = [f"{value:+.2f}" for value in points]
    return PointsView(start, points, told, 1.27, -0.76, 8, [(0.0, "0"), (1.0, "+1")])


def heights(svg):
    dots = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)
    return [(float(x), float(y)) for x, y in dots]


def test_one_dot_a_scenario_in_even_steps_as_high_as_its_points():
    drawn = points_line(view([0.5, 1.0, 0.5, 0.0]), WORDS)
    (x1, y1), (x2, y2), (x3, y3), (_, y4) = heights(drawn.svg)
    assert x2 - x1 == pytest.approx(x3 - x2, abs=0.02)
    assert y1 == y3
    assert y1 - y2 == pytest.approx(y4 - y1, abs=0.02)  # half a point each
    assert y2 < y1 < y4  # more points stand higher


def test_the_limits_stand_as_far_apart_as_their_points():
    drawn = points_line(view([0.0, 1.0]), WORDS)
    rules = re.findall(r'y1="([\d.]+)"[^>]*stroke-dasharray="9 4"', drawn.svg)
    (_, zero), (_, one) = heights(drawn.svg)
    passes, fails = (float(rule) for rule in rules)
    assert (fails - passes) / (zero - one) == pytest.approx(1.27 + 0.76, abs=0.005)


def test_the_table_says_the_same_and_the_text_the_last():
    drawn = points_line(view([0.5, -0.25]), WORDS)
    assert drawn.rows == (("1", "+0.50"), ("2", "-0.25"))
    assert "Scenario 2: -0.25." in drawn.description


def test_without_a_scenario_or_with_limits_crossed_there_is_no_picture():
    with pytest.raises(OutOfRange):
        view([])
    with pytest.raises(OutOfRange):
        PointsView(0.0, [1.0], ["1"], -1.0, 1.0, 8, [])
