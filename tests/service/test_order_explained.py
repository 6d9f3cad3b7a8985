"""An answered order explained: which step moves where, and why, in both languages."""

import re
from types import SimpleNamespace

from academy.catalog import procedures
from academy.grading.ordering import mark_order
from academy.language import Reader
from academy.scenarios.order import critical, pairs
from academy.service.order_explained import explained

SAFE_STOP = procedures.known()["safe-stop"]
LISTED = [step.key for step in SAFE_STOP.steps]


def told(order, language="en"):
    needed, fatal = pairs(SAFE_STOP), critical(SAFE_STOP)
    mark = mark_order(order, needed, fatal)
    kept = SimpleNamespace(answer={"order": order}, marks={"detail": mark.detail})
    part = {"procedure": "safe-stop", "pairs": needed, "critical": fatal}
    return explained(part, {}, kept, Reader(language, "us"), "part1")


def test_one_step_too_late_is_the_only_one_that_moves():
    late = [*LISTED[:5], *LISTED[6:8], "key", "task"]  # key taken after climbing down
    said = told(late)
    # by hand: all but the key can stay; it belongs after engine_off, before dismount
    assert said["advice"][0] == "8 of your 9 steps keep their order; 1 must move."
    assert said["advice"][1].endswith("from place 8 to place 7.")
    assert "Take the key" in said["advice"][1]
    assert "only means of starting" in said["advice"][2]
    assert "alone fails the answer" in said["advice"][2]
    assert "Never" in said["advice"][3]
    (table,) = said["tables"]
    assert [row[3] for row in table.rows].count("stays") == 8
    assert table.rows[6][3] == "moved here from place 8"


def test_a_right_order_moves_nothing():
    said = told(LISTED, "es")
    assert all(line.startswith("Nunca") for line in said["advice"])
    assert {row[3] for row in said["tables"][0].rows} == {"queda"}


def test_every_turned_pair_is_told_once_however_wrong():
    said = told(LISTED[::-1])
    reasons = [pair.why.en for pair in SAFE_STOP.precedences]
    assert [sum(why in line for line in said["advice"]) for why in reasons] == [
        reasons.count(why) for why in reasons
    ]


def test_no_step_is_said_to_move_to_its_own_place():
    turned = [told(LISTED[k:][::-1] + LISTED[:k])["advice"] for k in range(len(LISTED))]
    said = [line for lines in turned for line in lines]
    moves = [re.search(r"from place (\d+) to place (\d+)", line) for line in said]
    assert all(one[1] != one[2] for one in moves if one)
    assert any("keeps place" in line for line in said)
