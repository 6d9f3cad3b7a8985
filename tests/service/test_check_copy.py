"""The check of content, on copies of it that somebody broke in a text editor."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from academy import paths
from academy.language import Reader, sentence_for
from academy.service.check import check
from academy.service.reread import reread

CONTENT = paths.content()


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of all content that the house reads instead of its own."""
    shutil.copytree(CONTENT, tmp_path / "content")
    monkeypatch.setattr(paths, "content", lambda: tmp_path / "content")
    reread()
    yield tmp_path / "content"
    monkeypatch.undo()
    reread()


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    reread()


def test_a_faithful_copy_is_in_order(copy):
    assert copy.is_dir()
    assert check(0) == []  # draws of ours are tried in test_check


# file, what stands there, what somebody wrote instead, key and words of the problem;
# what cannot be read hides what follows from it, so it is broken alone
ALONE = [
    ("topics/reel.toml", "[name]", "[name", "broken_toml", "topics/reel.toml"),
    ("topics/reel.toml", "order =", "odrer =", "broken_content", "topics/reel"),
    ("roles/yard-helper.toml", '"', '"un', "unknown_topic", "roles/yard-helper"),
    ("crops/soybean.toml", '"lb"', '"stone"', "broken_content", "bushel_mass.unit"),
    ("headers/flex40.toml", "low = 1.0", "low = 9.0", "broken_content", "flex40"),
    ("directions/float_force.toml", '"lower"', '"down"', "broken_content", "float"),
    ("borderline.toml", "value = 4", "value = 40", "broken_content", "borderline"),
    ("coefficients/reel.toml", "[", "[new_", "unknown_coefficient", "reel.toml"),
    ("sources.toml", "title", "titel", "broken_content", "sources.toml"),
    (
        "procedures/safe-stop.toml",
        'after = "brake"',
        'after = "breaks"',
        "unknown_step",
        "procedures/safe-stop",
    ),
    (
        "questions/cause-belts-wheat.toml",
        '"hold_down_gap"',
        '"shields"',
        "broken_content",
        ": shields",  # the sentence differs by language
    ),
]
AT_ONCE = [
    (
        "procedures/safe-stop.toml",
        'source = "hse-safe-stop"',
        'source = "hearsay"',
        "names_unknown",
        "procedures/safe-stop",
    ),
    (
        "directions/float_force.toml",
        'source = "msu-2019-low-pods"',
        'source = "hearsay"',
        "names_unknown",
        "directions/float_force",
    ),
    (
        "questions/field-capacity.toml",
        "field_efficiency",
        "field_slowness",
        "fact_not_shown",
        "given.field_slowness",
    ),
    (
        "questions/reel-speed-today.toml",
        "reel_index = {",
        "reel_rate = {",
        "fact_not_drawn",
        "given.reel_index",
    ),
    (
        "questions/cause-reel-soybean.toml",
        '"waited_long"',
        '"too_fast"',
        "fact_told_by_fault",
        "as_found.ground_speed",
    ),
    (
        "questions/rough-ground.toml",
        "cut_high = ",
        "cut_odd = ",
        "names_unknown",
        "cut_odd",
    ),
    (
        "questions/loss-from-counts.toml",
        ', name = { en = "Beans in the frame", es = "Granos en el marco" }',
        "",
        "fact_without_name",
        "givens.count",
    ),
    (
        "questions/dry-afternoon.toml",
        "reel_rate = { low = 46, high = 54",
        "reel_rate = { low = 46, high = 66",
        "found_beyond_control",
        "as_found.reel_rate",
    ),
    (
        "questions/rough-ground.toml",
        'topic = "ground-following"',
        'topic = "mudlarking"',
        "names_unknown",
        "mudlarking",
    ),
]
IN_THE_SAME_FILES = [
    (
        "questions/field-capacity.toml",
        'unit = "ac"',
        'unit = "mph"',
        "fact_in_wrong_unit",
        "given.field_area",
    ),
    (
        "questions/rough-ground.toml",
        'unit = "mph"',
        'unit = "in"',
        "fact_in_wrong_unit",
        "as_found.ground_speed",
    ),
]


@pytest.mark.parametrize(
    "broken", [*([one] for one in ALONE), AT_ONCE, IN_THE_SAME_FILES]
)
def test_a_broken_file_is_told_by_name(copy, broken):
    for file, old, new, _key, _said in broken:
        edit(copy / file, old, new)
    found = check(0)
    for language in ("en", "es"):
        told = [(one.key, sentence_for(one, Reader(language))) for one in found]
        assert [
            (file, key)
            for file, _old, _new, key, said in broken
            if not any(key == its and said in sentence for its, sentence in told)
        ] == [], told
        assert not any("?" in sentence for _key, sentence in told), told


def test_two_broken_files_are_told_together(copy):
    edit(copy / "topics" / "reel.toml", "[name]", "[name")
    edit(copy / "grounds.toml", "[smooth]", "[smooth")
    told = {str(problem.values["file"]) for problem in check(0)}
    assert {"topics/reel.toml", "content/grounds.toml"} <= told


def test_reading_anew_sees_an_edit_and_then_the_old_text_again(copy):
    from academy.catalog import families

    before = families.load("safe-stop").title.en
    edit(copy / "questions" / "safe-stop.toml", before, "Another title")
    assert families.load("safe-stop").title.en == "Another title"
    edit(copy / "questions" / "safe-stop.toml", "Another title", before)
    assert families.load("safe-stop").title.en == before
