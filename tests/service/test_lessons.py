"""Lessons: complete, easy to read, and nothing in them leads nowhere."""

from typing import get_args

import pytest

from academy import paths
from academy.catalog import facts, lesson_pictures, lessons, sources, topics
from academy.catalog.lessons import Lesson, Subject, body_of
from academy.errors import ContentError, NotFound
from academy.language import Reader, sentence_for
from academy.service import check_lessons, how
from academy.service import lessons as reading
from academy.service.bench_choice import usual

EN = Reader("en", "us")


def test_every_topic_and_every_subject_has_its_lesson() -> None:
    told = lessons.known().values()
    assert set(topics.load()) <= set(lessons.known())
    assert all(lessons.load(key).head.topic == key for key in topics.load())
    assert {one.head.subject for one in told} >= set(get_args(Subject))


@pytest.mark.parametrize("key", lessons.known())
def test_a_lesson_is_in_order(key: str) -> None:
    # twins, reading grade, length, slots, figures, facts, families; that its pictures
    # can be drawn is part of the check of all content
    found = check_lessons.lesson_problems(key, lessons.load(key))
    assert [sentence_for(one, EN) for one in found] == []


def test_every_picture_and_every_fact_is_used_by_a_lesson() -> None:
    told = lessons.known().values()
    slots = {slot for one in told for slot in one.bodies["en"].slots}
    drawn = {key for kind, key in slots if kind == "picture"}
    assert drawn == set(lesson_pictures.load())
    assert set(facts.load()) == {key for one in told for key in one.head.facts}


def test_what_is_said_to_be_published_was_read() -> None:
    for key, fact in facts.load().items():
        if fact.evidence == "published":
            assert sources.load()[fact.source].seen != "no", key


def _changed(**changes: object) -> Lesson:
    one = lessons.load("reel")
    head = one.head.model_copy(update=changes)
    return Lesson(one.key, head, one.bodies)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"practice": ("reel-speed-today", "moon", "standing-canola")}, "practice"),
        ({"facts": ("no-such-fact",)}, "facts"),
        ({"figures": ("crop.no_such_figure",)}, "figures"),
    ],
)
def test_a_head_that_names_nothing_is_told_with_its_file(
    changes: dict[str, object], field: str
) -> None:
    (problem,) = check_lessons.lesson_problems("reel", _changed(**changes))
    assert "lessons/reel.toml" in sentence_for(problem, EN)
    assert problem.values["field"] == field


def test_practice_that_asks_another_topic_is_told() -> None:
    practice = ("reel-speed-today", "lodged-soybean", "safe-stop")
    (problem,) = check_lessons.lesson_problems("reel", _changed(practice=practice))
    assert problem.key == "practice_off_topic"
    assert problem.values["value"] == "safe-stop"


def _with_english(text: str) -> list[str]:
    one = lessons.load("reel")
    body = body_of(text)
    changed = Lesson(one.key, one.head, {**one.bodies, "en": body})
    found = check_lessons.lesson_problems("reel", changed)
    return [sentence_for(problem, EN) for problem in found]


def test_a_slot_that_leads_nowhere_and_a_twin_that_differs_are_told() -> None:
    told = " ".join(_with_english("Look.\n\n{{picture:moon}}\n"))
    assert "lessons/reel.en.md" in told
    assert "moon" in told
    assert "lessons/reel.es.md" not in told  # the slip is not the Spanish text's
    assert "has 1 words" in told
    slipped = " ".join(_with_english("Look.\n\n{{picure:side}}\n"))
    assert "lessons/reel.en.md has {{picure:side}}, which is no slot" in slipped
    assert "lessons/reel.es.md" not in slipped


def test_a_slot_that_only_one_text_has_is_told_at_that_text() -> None:
    told = _with_english("Look.\n\n{{picture:side}}\n\n{{picture:mat}}\n")
    assert any("lessons/reel.en.md has {{picture:mat}}" in one for one in told)
    assert any("lessons/reel.es.md has {{picture:reel-cost}}" in one for one in told)
    assert not any("reel.es.md has {{picture:side}}" in one for one in told)


def test_hard_words_are_told() -> None:
    hard = "Electrohydraulic accumulators necessitate depressurization beforehand "
    assert "school grade" in " ".join(_with_english(hard * 60))


def test_a_lesson_without_its_twin_is_refused(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = paths.Path(str(tmp_path)) / "lessons"
    folder.mkdir()
    source = paths.content() / "lessons"
    for name in ("reel.toml", "reel.en.md"):
        (folder / name).write_text((source / name).read_text("utf-8"), "utf-8")
    monkeypatch.setattr(paths, "content", lambda: folder.parent)
    with pytest.raises(ContentError) as refused:
        lessons.known.__wrapped__()
    assert refused.value.values["file"] == "lessons/reel.es.md"


def test_html_in_a_lesson_is_shown_and_not_obeyed() -> None:
    (piece,) = body_of("Look <b>here</b> <script>x</script>").pieces
    assert "<b>" not in piece.value
    assert "&lt;script&gt;" in piece.value


def test_figures_stand_in_the_readers_units_with_a_way_to_their_page() -> None:
    choice = usual({"crop": "soybean", "header": "flex40"})
    told = reading.lesson("ground-following", choice, EN)
    metric = reading.lesson("ground-following", choice, Reader("es", "metric"))
    text, other = (" ".join(p.html for p in v.parts) for v in (told, metric))
    assert '<a href="/how/flex40.bar_travel">7 in</a>' in text
    assert "/how/flex40.bar_travel" in other
    assert "7 in" not in other
    assert "{{" not in text + other


def test_pictures_are_of_the_chosen_crop_and_header() -> None:
    def mat(crop: str, header: str) -> str:
        choice = usual({"crop": crop, "header": header})
        return str(reading.lesson("crop-flow", choice, EN).parts[1].shown)

    one = mat("soybean", "flex40")
    assert one == mat("soybean", "flex40")
    assert len({one, mat("wheat", "flex40"), mat("soybean", "hinged30")}) == 3


def test_an_unknown_lesson_is_not_found() -> None:
    with pytest.raises(NotFound):
        reading.lesson("moon", usual({}), EN)


def test_links_of_facts_and_figures_lead_somewhere() -> None:
    choice = usual({})
    for key in lessons.known():
        told = reading.lesson(key, choice, EN)
        for row in told.facts:
            how.source(row.href.removeprefix("/how/source/"))
        for row in told.figures:
            how.entry(row.href.removeprefix("/how/"))
