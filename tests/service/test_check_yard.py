"""What ``academy check`` finds in a file of the yard."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from academy import paths
from academy.catalog import instruction, yard
from academy.errors import AcademyError
from academy.service import check, check_yard

UNREAD = shutil.ignore_patterns("lessons", "questions", "locale", "situations")
CACHED: tuple[Callable[..., object], ...] = (
    yard.rule,
    yard.groups,
    yard.known,
    yard.load,
    yard.digest,
    instruction.load,
)


@pytest.fixture
def content(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the content whose files may be spoilt."""
    folder = tmp_path / "content"
    shutil.copytree(paths.content(), folder, ignore=UNREAD)
    _forget()
    monkeypatch.setattr(paths, "content", lambda: folder)
    yield folder
    _forget()


def _forget() -> None:
    for each in CACHED:
        each.cache_clear()  # type: ignore[attr-defined]


def _spoil(file: Path, was: str, now: str) -> None:
    text = file.read_text("utf-8")
    assert was in text
    file.write_text(text.replace(was, now, 1), "utf-8")


def _found() -> list[AcademyError]:
    unread = [p for read in check_yard.READERS for p in check._problem(read)]
    return unread or list(check_yard.problems())


def test_the_lists_as_they_are_have_no_problem(content: Path) -> None:
    assert content.is_dir()
    assert _found() == []


@pytest.mark.parametrize(
    ("file", "was", "now", "key"),
    [
        # an unknown kind of item
        ("yard_groups/reel.toml", 'kind = "seen"', 'kind = "smelt"', "broken_content"),
        # no safe stop first
        ("yard/yard-helper.toml", '"safe-stop", ', "", "yard_list_without_safe_stop"),
        (
            "yard_groups/safe-stop.toml",
            '["task"]',
            '["task", "wait"]',
            "yard_list_without_safe_stop",
        ),
        ("yard/yard-helper.toml", '"cleaning"', '"dancing"', "names_unknown"),
        ("yard/yard-helper.toml", '"warm-bearing"', '"knife-fit", "warm-bearing"',
         "yard_item_twice"),
        ("yard/yard-helper.toml", '"flex35", ', "", "yard_list_misses_header"),
        ("yard_groups/reel.toml", '"iowa-hanna"', '"hearsay"', "names_unknown"),
        ("yard_groups/reel.toml", 'judge = "tine', 'judge = "time', "names_unknown"),
        ("yard_groups/reel.toml", 'key = "clearance"', 'key = "gap"', "names_unknown"),
        ("yard_groups/reel.toml", '["2", "3"]', '["2", "7"]', "names_unknown"),
        ("yard_groups/reel.toml", 'unit = "mm"', 'unit = "degC"', "broken_content"),
        ("yard/soybean-on-the-ground.toml", '["soybean"]', "[]", "names_unknown"),
        ("instruction.toml", "[steps.did]", "[steps.tried]", "broken_content"),
        ("instruction.toml", '"cfr-570-71"', '"hearsay"', "names_unknown"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_file_is_told(
    content: Path, file: str, was: str, now: str, key: str
) -> None:
    _spoil(content / file, was, now)
    assert key in [problem.key for problem in _found()]
