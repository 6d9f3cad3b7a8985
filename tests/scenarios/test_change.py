"""One change made to the machine as found."""

import math

import pytest

from academy.catalog import changes
from academy.scenarios import conditions
from academy.scenarios.change import changed

RPM, MPH = math.pi / 30, 0.44704


def facts(**more):
    return {
        "crop": "soybean",
        "combine": "middle",
        "header": "flex40",
        "as_found.reel_rate": [40, "rpm"],
        "as_found.ground_speed": [3.5, "mph"],
    } | more


def test_a_change_turns_one_setting_and_leaves_the_rest():
    found = conditions.as_found(facts())
    _, after = changed(facts(), changes.load()["reel_slower"])
    assert after.reel_rate == pytest.approx((40 - 8) * RPM)
    others = [name for name in conditions.SETTINGS if name != "reel_rate"]
    assert [getattr(after, n) for n in others] == [getattr(found, n) for n in others]


def test_a_control_stops_at_its_end():
    # The reel turns at 10 rpm at least: from 14 a change of 8 down is one of 4.
    _, after = changed(
        facts(**{"as_found.reel_rate": [14, "rpm"]}), changes.load()["reel_slower"]
    )
    assert after.reel_rate == pytest.approx(10 * RPM)


def test_at_the_end_there_is_no_change():
    at_end = facts(**{"as_found.reel_rate": [10, "rpm"]})
    assert changed(at_end, changes.load()["reel_slower"]) is None


def test_leaving_it_changes_nothing():
    machine, after = changed(facts(), changes.load()["leave_it"])
    assert after == conditions.as_found(facts())
    assert machine == conditions.machine_of(facts())


def test_wheels_can_only_be_fitted_where_there_are_none():
    wheels = changes.load()["fit_wheels"]
    assert changed(facts(carried="wheels"), wheels) is None
    machine, _ = changed(facts(carried="sensing"), wheels)
    assert machine.carried == "wheels"


def test_every_change_can_be_made_somewhere_or_is_told():
    made = [changed(facts(), change) for change in changes.load().values()]
    assert sum(each is not None for each in made) == len(changes.load())
