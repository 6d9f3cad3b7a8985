"""Files of others that we carry are the very files their makers published."""

import base64
import hashlib
import tomllib
from pathlib import Path

import pytest

from academy import paths

TESTS = Path(__file__).parents[1]
LISTS = [*TESTS.rglob("VENDOR.toml"), *paths.static().rglob("VENDOR.toml")]


def _files() -> list[tuple[Path, dict[str, str]]]:
    return [
        (path.parent / one["path"], one)
        for path in LISTS
        for one in tomllib.loads(path.read_text("utf-8"))["file"]
    ]


@pytest.mark.parametrize(("path", "said"), _files(), ids=lambda one: str(one)[-20:])
def test_a_vendored_file_is_as_listed(path: Path, said: dict[str, str]) -> None:
    assert hashlib.sha256(path.read_bytes()).hexdigest() == said["sha256"]
    assert path.with_name(said["licence_file"]).is_file()
    kind, _, digest = said["integrity"].partition("-")
    assert kind == "sha512"
    assert len(base64.b64decode(digest)) == 64
    for needed in ("name", "version", "licence", "use"):
        assert said[needed]


def test_nothing_is_carried_that_is_not_listed() -> None:
    listed = {path for path, _said in _files()}
    listed |= {path.with_name(said["licence_file"]) for path, said in _files()}
    carried = {path for at in LISTS for path in at.parent.iterdir()} - set(LISTS)
    assert carried == listed
