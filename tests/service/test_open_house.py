from dataclasses import replace
from datetime import timedelta

import pytest

from academy.errors import ContentError
from academy.records.migrate import current_revision, newest_revision
from academy.records.tables.sign_in import sign_in, slip, wrong_tries
from academy.service import people, signing
from academy.service.house import open_house, sweep


def test_opening_makes_folder_pepper_and_tables_once(tmp_path):
    folder = tmp_path / "farm"
    first = open_house(folder)
    with first.db.read() as connection:
        assert current_revision(connection) == newest_revision()
    first.db.close()
    again = open_house(folder)
    again.db.close()
    assert again.pepper == first.pepper
    assert {path.name for path in folder.iterdir()} >= {"academy.db", "pepper"}


def test_opening_with_a_wrong_setting_touches_nothing(tmp_path):
    (tmp_path / "settings.toml").write_text("colour = 1\n")
    with pytest.raises(ContentError):
        open_house(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["settings.toml"]


def test_a_named_database_goes_before_the_settings(database, tmp_path):
    url = database.url.render_as_string(hide_password=False)
    opened = open_house(tmp_path, url)
    opened.db.close()
    assert opened.db.url == database.url


def count(house, table):
    with house.db.read() as connection:
        return len(connection.execute(table.select()).all())


def test_what_has_served_its_time_is_swept(house, owner, join):
    hire = join("Hedda Ames")
    now = house.clock()
    signing.sign_out(house, hire.viewer, now)
    people.make_slip(house, owner, hire.viewer.person_id, now)
    keep = timedelta(days=house.settings.keep_sign_ins_days)
    sweep(house, now + keep)
    assert count(house, sign_in) == 2
    sweep(house, now + keep + timedelta(seconds=1))
    assert [count(house, table) for table in (sign_in, wrong_tries)] == [0, 0]
    with house.db.read() as connection:
        kept = connection.execute(slip.select()).all()
    assert kept
    assert all(row.used_at is not None for row in kept)


def test_a_sign_in_that_is_still_used_is_kept(house, owner_in):
    late = house.clock() + timedelta(days=29)
    assert signing.viewer_of(house, owner_in.sign_in_token, late)
    brief = replace(house, settings=replace(house.settings, keep_sign_ins_days=1))
    sweep(brief, late + timedelta(days=29))
    assert signing.viewer_of(house, owner_in.sign_in_token, late) is not None
