import dataclasses
import re
from pathlib import Path

import pytest

from academy.errors import ContentError
from academy.service import settings


def write(folder, text):
    (folder / "settings.toml").write_text(text, encoding="utf-8")
    return folder


def test_a_missing_file_gives_the_defaults(tmp_path):
    assert settings.read(tmp_path) == settings.Settings()


def test_a_written_key_is_taken_and_the_rest_stays(tmp_path):
    found = settings.read(write(tmp_path, "listen_port = 9000\n"))
    assert found.listen_port == 9000
    assert found.slip_days == settings.Settings().slip_days


@pytest.mark.parametrize(
    ("text", "key", "name"),
    [
        ("lisen_port = 1\n", "setting_not_known", "lisen_port"),
        ('listen_port = "80"\n', "setting_not_a_number", "listen_port"),
        ("listen_port = true\n", "setting_not_a_number", "listen_port"),
        ("site_address = 5\n", "setting_not_a_text", "site_address"),
        ("listen_port = 0\n", "setting_too_small", "listen_port"),
        ("listen_port = 65536\n", "setting_too_large", "listen_port"),
        ('site_address = "farm.example"\n', "setting_not_an_address", "site_address"),
        ('log_level = "loud"\n', "setting_not_a_choice", "log_level"),
        ("log_megabytes = 0\n", "setting_too_small", "log_megabytes"),
    ],
)
def test_a_wrong_key_is_refused_by_name(tmp_path, text, key, name):
    with pytest.raises(ContentError) as refused:
        settings.read(write(tmp_path, text))
    assert refused.value.key == key
    assert refused.value.values["name"] == name
    assert refused.value.values["file"] == "settings.toml"


def test_a_file_that_is_not_toml_is_refused(tmp_path):
    with pytest.raises(ContentError) as refused:
        settings.read(write(tmp_path, "listen_port 80"))
    assert refused.value.key == "setting_file_broken"


def test_the_address_ends_without_a_slash():
    written = settings.Settings(site_address="http://farm.example/")
    assert written.address == "http://farm.example"
    assert settings.Settings(listen_port=81).address == "http://localhost:81"


def test_the_database_lies_in_the_instance_folder_until_another_is_named(tmp_path):
    assert str(tmp_path.as_posix()) in settings.Settings().database(tmp_path)
    other = settings.Settings(database_url="postgresql://h/d")
    assert other.database(tmp_path) == "postgresql://h/d"


def test_the_readme_of_the_instance_lists_every_key_with_its_default():
    readme = Path(__file__).parents[2] / "instance" / "README.md"
    listed = dict(
        re.findall(
            r"^\| `(\w+)` \| `([^`]*)` \|", readme.read_text("utf-8"), re.MULTILINE
        )
    )
    defaults = {
        field.name: f'"{field.default}"'
        if isinstance(field.default, str)
        else str(field.default)
        for field in dataclasses.fields(settings.Settings)
    }
    assert listed == defaults
