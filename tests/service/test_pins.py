import os
import stat
import sys

import pytest

from academy.errors import ContentError
from academy.service import pins, tokens

PEPPER = bytes(range(32))


def test_a_pin_has_six_digits():
    drawn = {pins.fresh_pin() for _ in range(50)}
    assert all(len(pin) == 6 and pin.isdecimal() for pin in drawn)
    assert len(drawn) > 40


def test_only_the_right_pin_fits_and_only_under_its_pepper():
    kept = pins.pin_hash("012345", PEPPER)
    assert pins.pin_fits("012345", kept, PEPPER)
    assert pins.pin_fits(" 012 345 ", kept, PEPPER)
    assert not pins.pin_fits("012346", kept, PEPPER)
    assert not pins.pin_fits("", kept, PEPPER)
    assert not pins.pin_fits("012345", kept, bytes(32))


def test_a_kept_pin_names_the_costs_of_its_hash_and_not_the_pin():
    kept = pins.pin_hash("012345", PEPPER)
    assert kept.startswith("$argon2id$v=19$m=19456,t=2,p=1$")
    assert "012345" not in kept


def test_the_pepper_is_made_once_and_for_its_owner_only(tmp_path):
    path = tmp_path / "pepper"
    first = pins.read_pepper(path)
    assert pins.read_pepper(path) == first
    assert len(first) == 32
    assert [file.name for file in tmp_path.iterdir()] == ["pepper"]
    if sys.platform != "win32":
        assert stat.S_IMODE(os.stat(path).st_mode) == 0o600


def test_a_second_first_start_takes_the_pepper_of_the_first(tmp_path):
    path = tmp_path / "pepper"
    first = pins.read_pepper(path)
    pins._make_pepper(path)
    assert pins.read_pepper(path) == first


@pytest.mark.parametrize("text", ["", "abc", "00" * 31])
def test_a_broken_pepper_is_refused(tmp_path, text):
    (tmp_path / "pepper").write_text(text)
    with pytest.raises(ContentError) as refused:
        pins.read_pepper(tmp_path / "pepper")
    assert refused.value.key == "pepper_broken"


def test_what_is_kept_of_a_token_is_the_published_hash():
    # FIPS 180-2, appendix B.1: SHA-256 of "abc"
    assert tokens.kept("abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )
    assert tokens.fresh_token() != tokens.fresh_token()
