"""A read-the-stubble part from before there was a second picture still serves."""

import pytest

from academy.errors import NotUnderstood
from academy.grading.rules import RULE
from academy.language import Reader
from academy.records.queries.answers import Answer
from academy.service import read_stubble
from academy.service.regrade_kinds import KINDS, Attempted

# As it was stored: one trace, no signs, no side.
PLACES = 48
PART = {
    "kind": "read-the-stubble",
    "topic": "knife",
    "offered": ["too_fast", "cut_high", "none"],
    "key": "cut_high",
    "flips": 0,
    "trace": {
        "heights": [0.15] * PLACES,
        "ragged": [place == 5 for place in range(PLACES)],
        "standing": [False] * PLACES,
        "soil": [False] * PLACES,
    },
}
FACTS = {
    "crop": "soybean",
    "combine": "middle",
    "header": "flex35",
    "ground": "ordinary",
    "as_found.ground_speed": [3.0, "mph"],
    "as_found.cut_height": [2.0, "in"],
    "part.1": ["cut_high", "too_fast", "cut_high", "none"],
}


@pytest.mark.parametrize("language", ["en", "es"])
def test_it_is_asked_with_the_picture_it_was_given(language: str) -> None:
    shown = read_stubble.asked(PART, FACTS, Reader(language, "us"))
    (picture,) = shown["pictures"]
    # 0.15 m is 5.9 in; the sixth place lies in the second of twelve sections
    assert {row[1] for row in picture.table.rows} == {"5.9"}
    marked = [index for index, row in enumerate(picture.table.rows) if "1/4" in row[3]]
    assert marked == [1]
    assert [key for key, _ in shown["options"]] == PART["offered"]


def test_it_is_marked_and_marked_again_alike() -> None:
    for choice, score in (("cut_high", 1.0), ("none", 0.0)):
        mark = read_stubble.mark(PART, FACTS, {"choice": choice})
        again = KINDS["read-the-stubble"].rules[RULE](PART, {"choice": choice}, {})
        assert mark.score == again.score == score
    with pytest.raises(NotUnderstood):
        read_stubble.mark(PART, FACTS, {"choice": "bar_digs"})


def test_its_picture_is_not_drawn_again() -> None:
    tried = Attempted(FACTS, 1, PART, {"choice": "none"}, {}, values=None)
    assert KINDS["read-the-stubble"].rerun(tried) == {}


def test_it_is_explained() -> None:
    fields = dict.fromkeys(Answer.__dataclass_fields__) | {
        "answer": {"choice": "too_fast"}
    }
    reader = Reader("en", "us")
    told = read_stubble.explained(PART, FACTS, Answer(**fields), reader, "part1")
    assert told["best"] != told["yours"]
    assert len(told["pictures"]) == 1
    assert told["tables"][0].rows
