"""DEVELOPERS.md may not rot: what it names exists, and its example can be asked."""

import re
import textwrap

import pytest

from academy import paths
from academy.catalog import families
from academy.catalog.families import Family
from academy.catalog.toml_files import parse
from academy.scenarios.draw import draw, fact_sets
from academy.service import making

ROOT = paths.content().parent
TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
ROOMS = ("engine", "catalog", "scenarios", "grading", "competence", "records")
ROOMS += ("drawing", "exchange", "service", "web")


def _named_files() -> list[str]:
    named = set(re.findall(r"`([\w./-]+/[\w.-]+\.(?:py|toml|html|txt))[`:]", TEXT))
    return sorted(named - {"content/questions/gusty-noon.toml"})


def _example() -> str:
    after = TEXT.partition("`content/questions/gusty-noon.toml`:\n")[2]
    block = re.match(r"\n((?:    .*\n|\n)+)", after)
    assert block is not None
    return textwrap.dedent(block[1])


def test_the_guide_is_short_enough_to_be_read() -> None:
    assert len(TEXT.splitlines()) <= 392


@pytest.mark.parametrize("name", _named_files())
def test_every_file_the_guide_names_exists(name: str) -> None:
    inside = name.partition("/")[0] in ROOMS
    assert (ROOT / ("academy" if inside else "") / name).is_file()


def test_every_room_of_the_package_stands_in_the_guide() -> None:
    for room in (*ROOMS, "errors", "paths", "units", "language"):
        assert f"`{room}`" in TEXT


def test_the_example_family_can_be_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    example = parse(Family, _example(), "DEVELOPERS.md")
    monkeypatch.setattr(families, "known", lambda: {"gusty-noon": example})
    monkeypatch.setattr(making, "known", families.known)
    assert fact_sets(example) >= 10_000
    assert draw("gusty-noon", example, 7) == draw("gusty-noon", example, 7)
    made = making.make("gusty-noon", 7)
    (part,) = made.parts
    assert (part.kind, part.topic) == ("set-up", "reel")
    assert 0 < part.par < 1
