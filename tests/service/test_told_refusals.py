"""A family that gives no draw is told what most often stands in the way."""

import pytest

from academy.catalog import families
from academy.catalog.families import Family
from academy.catalog.toml_files import parse
from academy.errors import ContentError
from academy.language import Reader, sentence_for
from academy.service import making
from academy.service.check_facts import fact_problems

HEAD = """
order = 1
version = 1
crop = "soybean"
combine = "middle"
headers = ["flex35"]
grounds = ["smooth"]
title = { en = "a", es = "b" }
story = { en = "a", es = "b" }
[field]
moisture = { low = 14, high = 16, step = 0.5, unit = "%" }
"""
# What the drum shows is the same for slow belts, early fingers and damp crop: crop
# waits before it. Only the belts' own signs tell slow belts from the others.
CAUSE = """
[[parts]]
kind = "find-the-cause"
topic = "finding-cause"
faults = ["too_damp", "fingers_early", "belt_slack", "belts_slow"]
shown = 4
evidence = ["drum"]
prompt = { en = "a", es = "b" }
"""
# 41 rpm is 4.29 rad/s, the best there is here: nothing is left to gain by a setting.
SET_UP = """
[as_found]
reel_rate = { low = 41, high = 41, step = 1, unit = "rpm" }
[[parts]]
kind = "set-up"
topic = "reel"
controls = ["reel_rate"]
prompt = { en = "a", es = "b" }
"""


@pytest.mark.parametrize(
    ("parts", "key", "advice"),
    [
        (CAUSE, "no_fault_told_apart", "more groups of signs in evidence"),
        (SET_UP, "no_fair_draw", "Widen what is drawn as found"),
    ],
)
def test_what_stands_in_the_way_is_named_with_what_to_do(
    parts: str, key: str, advice: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = parse(Family, HEAD + parts, "questions/tried.toml")
    monkeypatch.setattr(making, "TRIES", 12)
    monkeypatch.setattr(families, "known", lambda: {"tried": tried})
    monkeypatch.setattr(making, "known", lambda: {"tried": tried})
    with pytest.raises(ContentError) as refused:
        making.make("tried", 7)
    assert refused.value.key == key
    assert advice in sentence_for(refused.value, Reader("en", "us"))


@pytest.mark.parametrize("parts", [CAUSE, SET_UP])
def test_a_header_that_runs_must_run_on_some_ground(parts: str) -> None:
    text = (HEAD + parts).replace('grounds = ["smooth"]', "")
    tried = parse(Family, text, "questions/tried.toml")
    keys = [one.key for one in fact_problems("questions/tried", tried)]
    assert keys == ["grounds_missing"]
    whole = parse(Family, HEAD + parts, "questions/tried.toml")
    assert list(fact_problems("questions/tried", whole)) == []
