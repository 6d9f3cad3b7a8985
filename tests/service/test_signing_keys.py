"""Keys that sign: made once, for their owner's eyes, old ones kept to check by."""

import json
import stat
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import pytest

from academy.errors import ContentError
from academy.exchange import data_integrity, multibase
from academy.service import signing_keys

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def _files(instance: Path) -> list[Path]:
    return sorted((instance / "keys").iterdir())


def test_a_key_is_made_at_first_use_and_stays(tmp_path: Path) -> None:
    first = signing_keys.current(tmp_path, NOW)
    assert signing_keys.current(tmp_path, NOW) == first
    assert signing_keys.published(tmp_path) == (first.id,)
    public = data_integrity.public_of(first.secret)
    assert multibase.public_key(first.id) == public


def test_nobody_but_its_owner_can_read_it(tmp_path: Path) -> None:
    signing_keys.current(tmp_path, NOW)
    (file,) = _files(tmp_path)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_many_at_once_agree_on_one_key(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as workers:
        found = set(
            workers.map(lambda _: signing_keys.current(tmp_path, NOW).id, range(16))
        )
    assert len(found) == len(_files(tmp_path)) == 1


def test_a_new_key_signs_and_the_old_one_can_only_check(tmp_path: Path) -> None:
    old = signing_keys.current(tmp_path, NOW)
    new = signing_keys.renew(tmp_path, NOW)
    assert new != old.id
    assert signing_keys.current(tmp_path, NOW).id == new
    assert signing_keys.published(tmp_path) == (new, old.id)
    kept = _files(tmp_path)[0]
    assert set(json.loads(kept.read_text("utf-8"))) == {"public", "made_at"}
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600


def test_the_first_key_may_be_made_by_hand(tmp_path: Path) -> None:
    assert signing_keys.renew(tmp_path, NOW) == signing_keys.current(tmp_path, NOW).id


@pytest.mark.parametrize("change", ["", "{}", '{"public": "z6Mk"}', "[]"])
def test_a_broken_key_is_told_by_its_file(tmp_path: Path, change: str) -> None:
    signing_keys.current(tmp_path, NOW)
    (file,) = _files(tmp_path)
    file.write_text(change, encoding="utf-8")
    with pytest.raises(ContentError, match="signing_key_broken"):
        signing_keys.current(tmp_path, NOW)


def test_halves_that_do_not_belong_together_are_refused(tmp_path: Path) -> None:
    signing_keys.current(tmp_path, NOW)
    (file,) = _files(tmp_path)
    told = json.loads(file.read_text("utf-8"))
    told["secret"] = multibase.secret_multikey(bytes(32))
    file.write_text(json.dumps(told), encoding="utf-8")
    with pytest.raises(ContentError, match="signing_key_broken"):
        signing_keys.current(tmp_path, NOW)
