"""The roster in and out: all or nothing, asked once, refused by row and column."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from academy.errors import Conflict, NotAllowed
from academy.language import Reader, gettext, sentence_for
from academy.service import farm, people, roster, roster_plan
from academy.web.forms.people import ROLE_NAMES

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
HEAD = "Name;Roles;Language;Units;Crew\n"


def csv(*lines):
    return (HEAD + "".join(f"{line}\n" for line in lines)).encode("cp1252")


def names(house, owner):
    return {row.name for row in people.people(house, owner, NOW)}


def problems(house, owner, *lines):
    ahead = roster.look_ahead(house, owner, csv(*lines))
    assert ahead.rows == () or not ahead.problems
    return [(one.key, one.values["row"]) for one in ahead.problems]


def take(house, owner, data):
    digest = roster.look_ahead(house, owner, data).digest
    return roster.take_in(house, owner, data, digest, NOW)


def test_a_file_is_shown_first_and_taken_in_whole(house, owner):
    data = csv(
        "Hedda Ames;seasonal hire;English;US;",
        "Íñigo Paz;temporada / lead;español;métrico;North side",
    )
    ahead = roster.look_ahead(house, owner, data)
    assert [row.kind for row in ahead.rows] == ["added", "added"]
    assert ahead.new_crews == ("North side",)
    assert names(house, owner) == {"Odalys Penrose"}  # nothing is written yet
    assert roster.take_in(house, owner, data, ahead.digest, NOW) == (2, 0)
    rows = {row.name: row for row in people.people(house, owner, NOW)}
    inigo, hedda = rows["Íñigo Paz"], rows["Hedda Ames"]
    assert inigo.roles == ("hire", "lead")
    assert (inigo.language, inigo.units) == ("es", "metric")
    assert (inigo.crew_name, hedda.crew_name) == ("North side", "Upland Test Farm")
    assert (hedda.roles, hedda.language, hedda.units) == (("hire",), "en", "us")


def test_a_new_crew_has_its_usual_needs_and_one_spelling(house, owner):
    take(house, owner, csv("A;;;;North side", "B;;;;NORTH SIDE"))
    crews = {crew.name for crew in farm.crews(house, owner)}
    assert crews == {"Upland Test Farm", "North side"}


def test_empty_cells_and_missing_columns_mean_the_owners_own(house, owner):
    spanish = replace(owner, language="es", units="metric")
    take(house, spanish, b"Nombre\nHedda Ames\n")
    row = next(r for r in people.people(house, owner) if r.name == "Hedda Ames")
    assert (row.roles, row.language, row.units) == (("hire",), "es", "metric")
    assert row.crew_id == owner.crew_id


def test_sent_twice_it_is_taken_in_once(house, owner):
    data = csv("Hedda Ames;;;;", "Pia Lund;;;;")
    digest = roster.look_ahead(house, owner, data).digest
    assert roster.take_in(house, owner, data, digest, NOW) == (2, 0)
    assert roster.take_in(house, owner, data, digest, NOW) == (0, 0)
    assert len(people.people(house, owner)) == 3


def test_sent_at_the_same_moment_it_is_taken_in_once(house, owner):
    data = csv("Hedda Ames;;;;", "Pia Lund;;;;North")
    digest = roster.look_ahead(house, owner, data).digest
    with ThreadPoolExecutor(4) as pool:
        done = list(
            pool.map(
                lambda _: roster.take_in(house, owner, data, digest, NOW), range(4)
            )
        )
    assert sorted(done) == [(0, 0), (0, 0), (0, 0), (2, 0)]
    assert len(people.people(house, owner)) == 3


def test_a_known_name_is_the_same_person_changed(house, owner, join):
    hedda = join("Hedda Ames").viewer  # opened the slip in English and US units
    ahead = roster.look_ahead(house, owner, csv("HEDDA  AMES;hire / lead;;metric;"))
    (row,) = ahead.rows
    assert (row.kind, row.name) == ("changed", "Hedda Ames")
    assert row.details == (
        ("Roles", "seasonal hire", "seasonal hire / lead"),
        ("Units", "US", "metric"),
    )
    assert take(house, owner, csv("hedda ames;hire / lead;;metric;")) == (0, 1)
    kept = next(r for r in people.people(house, owner) if r.name == "Hedda Ames")
    assert kept.person_id == hedda.person_id
    assert (kept.roles, kept.units) == (("hire", "lead"), "metric")
    assert take(house, owner, csv("Hedda Ames;lead;;;")) == (0, 1)
    kept = next(r for r in people.people(house, owner) if r.name == "Hedda Ames")
    assert kept.roles == ("lead",)


def test_one_bad_row_keeps_all_out_and_every_bad_row_is_named(house, owner):
    lines = (
        "Hedda Ames;hire;English;US;",
        ";hire;;;",
        "Pia Lund;boss;;;",
        "Lino Prado;;French;;",
        "Mara Sol;;;imperial;",
        "hedda AMES;;;;",
        f"{'n' * 121};;;;",
    )
    assert problems(house, owner, *lines) == [
        ("roster_name_missing", 3),
        ("roster_not_a_choice", 4),
        ("roster_not_a_choice", 5),
        ("roster_not_a_choice", 6),
        ("roster_name_twice", 7),
        ("roster_name_too_long", 8),
    ]
    data = csv(*lines)
    with pytest.raises(Conflict):
        roster.take_in(house, owner, data, "", NOW)
    assert names(house, owner) == {"Odalys Penrose"}


def test_a_refused_row_says_where_what_and_what_to_do(house, owner):
    spanish = replace(owner, language="es")
    data = "Nombre;Función\nHedda;jefa\n".encode()
    (problem,) = roster.look_ahead(house, spanish, data).problems
    said = sentence_for(problem, Reader("es", "us"))
    assert said == (
        "La fila 2, columna «Función», debe ser una de estas opciones: temporada, a "
        "cargo de la cuadrilla, a cargo de la instrucción, titular de la finca; llegó "
        "«jefa». Elija una, o deje la celda vacía."
    )


def test_the_farm_keeps_an_owner(house, owner):
    assert problems(house, owner, "Odalys Penrose;lead;;;") == [
        ("roster_last_owner", 2)
    ]
    both = csv("Odalys Penrose;lead;;;", "Second Owner;owner;;;")
    assert take(house, owner, both) == (1, 1)


def test_two_people_of_one_name_are_told_apart_by_their_crew(house, owner, join):
    north = farm.add_crew(house, owner, "North side")
    join("Ana Ruiz")
    far = join("Ana Ruiz", crew_id=north).viewer
    assert take(house, owner, csv("Ana Ruiz;lead;;;North side")) == (0, 1)
    row = next(r for r in people.people(house, owner) if r.person_id == far.person_id)
    assert row.roles == ("lead",)
    join("Ana Ruiz")
    assert problems(house, owner, "Ana Ruiz;;;;") == [("roster_name_unclear", 2)]


def test_what_was_shown_is_what_is_done_or_it_is_shown_again(house, owner, join):
    data = csv("Hedda Ames;lead;;;", "Pia Lund;;;;")
    digest = roster.look_ahead(house, owner, data).digest
    join("Hedda Ames")  # meanwhile somebody took her in by hand
    with pytest.raises(Conflict) as refused:
        roster.take_in(house, owner, data, digest, NOW)
    assert refused.value.key == "roster_moved_on"
    assert "Pia Lund" not in names(house, owner)


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_goes_out_comes_back_in_unchanged(house, owner, join, language):
    join("=HYPERLINK(1)", "lead")
    join("@Ames, Hedda", "hire", "lead")
    join("-Ñandú 'x'")
    reader = replace(owner, language=language)
    data = roster.file_out(house, reader)
    assert data.startswith(b"\xef\xbb\xbf")
    ahead = roster.look_ahead(house, owner, data)
    assert (ahead.problems, ahead.unread) == ((), ())
    assert [row.kind for row in ahead.rows] == ["same"] * 4
    other = roster.file_out(house, replace(owner, language="es"))
    assert [row.kind for row in roster.look_ahead(house, reader, other).rows] == [
        "same"
    ] * 4


def test_a_roster_from_one_farm_makes_the_same_people_on_another(house, owner, join):
    join("=HYPERLINK(1)", "lead")
    gone = join("@Ames, Hedda", "hire", "lead").viewer.person_id
    data = roster.file_out(house, owner)
    people.erase(house, owner, gone, NOW)
    assert take(house, owner, data) == (1, 0)
    assert roster.file_out(house, owner) == data


def test_who_was_let_go_comes_back_as_the_same_person(house, owner, join):
    hedda = join("Hedda Ames").viewer.person_id
    people.deactivate(house, owner, hedda, NOW)
    assert "Hedda" not in roster.file_out(house, owner).decode("utf-8-sig")
    data = csv("Hedda Ames;lead;;;")
    (row,) = roster.look_ahead(house, owner, data).rows
    assert (row.kind, row.details) == (
        "returned",
        (("Roles", "seasonal hire", "lead"),),
    )
    assert take(house, owner, data) == (0, 1)
    back = next(r for r in people.people(house, owner) if r.name == "Hedda Ames")
    assert (back.person_id, back.roles) == (hedda, ("lead",))
    assert people.former(house, owner) == ()


def test_of_two_of_one_name_the_one_who_is_here_is_meant(house, owner, join):
    gone = join("Hedda Ames").viewer.person_id
    people.deactivate(house, owner, gone, NOW)
    join("Hedda Ames")
    (row,) = roster.look_ahead(house, owner, csv("Hedda Ames;;;;")).rows
    assert row.kind == "same"


def test_an_owner_who_left_keeps_no_farm(house, owner, join):
    left = join("Second Owner", "owner").viewer.person_id
    people.deactivate(house, owner, left, NOW)
    assert problems(house, owner, "Odalys Penrose;lead;;;") == [
        ("roster_last_owner", 2)
    ]
    both = ("Odalys Penrose;lead;;;", "Second Owner;owner;;;")
    assert problems(house, owner, *both) == []


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_sample_can_be_taken_in_as_it_is(house, owner, language):
    ahead = roster.look_ahead(house, owner, roster.sample(language, "Upland Test Farm"))
    assert ahead.problems == ()
    assert {row.kind for row in ahead.rows} == {"added"}
    assert ahead.new_crews == ()


def test_the_words_of_the_file_are_the_words_of_the_page():
    words = roster_plan.spelling.load()
    for role, name in ROLE_NAMES.items():
        assert words.word("roles", role, "en") == name
        assert words.word("roles", role, "es") == gettext(name, "es")


def test_who_may_do_what(house, owner, join):
    north = farm.add_crew(house, owner, "North side")
    hire, lead = join("Hedda Ames").viewer, join("Lino Prado", "lead").viewer
    join("Nadine Orr", crew_id=north)
    for viewer in (hire, lead):
        with pytest.raises(NotAllowed):
            roster.look_ahead(house, viewer, csv("A;;;;"))
        with pytest.raises(NotAllowed):
            roster.take_in(house, viewer, csv("A;;;;"), "", NOW)
    with pytest.raises(NotAllowed):
        roster.file_out(house, hire)
    led = roster.file_out(house, lead).decode("utf-8-sig")
    assert "Hedda Ames" in led
    assert "Nadine Orr" not in led
