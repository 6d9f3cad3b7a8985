"""Records, appeals and ratings through the real forms; the log on the command line."""

import json
import re
from typing import Any

import pytest
from sqlalchemy import update

from academy.catalog import blueprints, demo_farm
from academy.records.tables.assessments import decision
from academy.scenarios.dice import Dice
from academy.service import assessment, assessment_release, signing
from academy.service.simulated import Simulated
from academy.web.cli import main

KEY = "yard-helper"


@pytest.fixture
def viewer(house: Any) -> Any:
    def _viewer(phone: Any) -> Any:
        token = phone.client.get_cookie("sign_in").value
        return signing.viewer_of(house, token, house.clock())

    return _viewer


@pytest.fixture
def crew(join: Any, owner: Any) -> dict[str, Any]:
    return {
        "owner": owner,
        "hire": join("Hedda Ames", "hire"),
        "other": join("Luz Prado", "hire"),
        "lead": join("Perry Voss", "lead"),
        "instructor": join("Ines Calder", "instructor", "es"),
    }


@pytest.fixture
def closed(house: Any, crew: Any, viewer: Any) -> str:
    """An assessment that ended at the safety gate; its id."""
    now, hire = house.clock(), viewer(crew["hire"])
    made = assessment_release.release(
        house, viewer(crew["lead"]), hire.person_id, KEY, "week", now
    )
    assessment.begin(house, hire, made, now)
    acting = Simulated(demo_farm.load(), 0.0, "us", Dice("pages"))
    while (place := assessment.place(house, hire, made, now)).kind == "question":
        asked = assessment.asked(house, hire, made, place.position, now)
        given = acting.answers(json.loads(asked.payload))
        assessment.take(house, hire, asked, asked.token, given, now)
    return made


def test_an_appeal_goes_from_the_person_to_a_second_one(crew: Any, closed: str) -> None:
    record, appeal = (f"/assessments/{closed}/{name}" for name in ("record", "appeal"))
    assert f'href="{record}"' in crew["hire"].text(f"/assessments/{closed}")
    refused = crew["hire"].send(appeal, appeal, reason="  ")
    assert refused.status_code == 422
    assert "Say in a sentence or two what you doubt" in refused.get_data(as_text=True)
    sent = crew["hire"].send(appeal, appeal, reason="Question 2 <was> cut off.")
    assert (sent.status_code, sent.location) == (303, record)
    assert "Question 2 &lt;was&gt; cut off." in crew["lead"].text(record)
    assert crew["other"].get(record).status_code == 404
    assert "you may decide it" not in crew["lead"].text("/appeals")
    assert "usted puede decidirla" in crew["instructor"].text("/appeals")
    answer = f"{appeal}/answer"
    # the first page says so to who may decide, and to nobody else
    assert f'href="{record}"' in crew["instructor"].text("/")
    assert f'href="{record}"' not in crew["lead"].text("/")
    # who reloads a refused form stands at the page above it
    back = crew["instructor"].get(answer)
    assert (back.status_code, back.location) == (303, appeal)
    assert "You had a part in this" in crew["lead"].text(record)
    assert answer not in crew["lead"].text(record)
    empty = crew["instructor"].send(record, answer, outcome="overturned", reason="")
    assert empty.status_code == 422
    done = crew["instructor"].send(
        record, answer, outcome="overturned", reason="The second line was missing."
    )
    assert done.status_code == 303
    told = crew["hire"].text(record)
    assert "The second line was missing." in told
    assert "<strong>overturned</strong>" in told
    # both decisions, and both are told what happens next
    assert "the safety gate was not passed this time" in told
    assert "does not count: overturned on appeal" in told
    assert "An assessment does not count" in crew["hire"].text("/")
    own = crew["hire"].text(f"/assessments/{closed}")
    assert "Ask your lead to release a new one" in own
    assert "Another attempt can be released from" not in own
    assert "Qué sigue: se avisa" in crew["instructor"].text(record)
    lead = crew["lead"].text(f"/assessments/{closed}")
    again = re.search(r'href="(/people/[0-9a-f]{32}/assessment)"', lead)[1]
    sent = crew["lead"].send(again, again, certificate=KEY, until="week")
    assert sent.status_code == 303  # at once, though a fail has to wait for a day
    assert "An assessment does not count" not in crew["hire"].text("/")


def test_a_refused_appeal_keeps_what_was_typed(crew: Any, closed: str) -> None:
    appeal = f"/assessments/{closed}/appeal"
    long = "x" * 2001
    refused = crew["hire"].send(appeal, appeal, reason=long)
    assert refused.status_code == 422
    assert long in refused.get_data(as_text=True)


def test_the_record_shows_each_question_with_answer_and_key(
    crew: Any, closed: str
) -> None:
    page = crew["hire"].text(f"/assessments/{closed}/record/1")
    for words in ("Answered", "Key", "Marked again", "Par", "As it was shown"):
        assert words in page
    assert crew["hire"].get(f"/assessments/{closed}/record/99").status_code == 404
    assert 'lang="en"' in crew["instructor"].text(f"/assessments/{closed}/record/1")


def test_a_rating_is_typed_and_others_stay_hidden_until_then(crew: Any) -> None:
    family = blueprints.families_for(blueprints.load(KEY), "safe-stop")[0]
    path = f"/raters/{family}"
    refused = crew["owner"].send(path, path, expected="5")
    assert refused.status_code == 422
    text = refused.get_data(as_text=True)
    assert "A rating lies from" in text
    assert 'value="5"' in text
    assert crew["owner"].send(path, path, expected="61").status_code == 303
    assert "61 %" not in crew["instructor"].text("/raters")
    assert crew["instructor"].send(path, path, expected="77").status_code == 303
    told = crew["instructor"].text(path)
    assert "69 %" in told  # the mean of 61 and 77
    assert crew["lead"].get(path).status_code == 404
    line = crew["owner"].client.post("/raters/line", data={})
    assert line.status_code == 400  # not without the form's own guard


@pytest.mark.usefixtures("closed")
def test_the_command_verifies_the_log_and_names_what_was_changed(
    house: Any, monkeypatch: Any, capsys: Any
) -> None:
    url = house.db.url.render_as_string(hide_password=False)
    (house.instance / "settings.toml").write_text(f'database_url = "{url}"\n')
    monkeypatch.setenv("ACADEMY_INSTANCE", str(house.instance))
    assert main(["log", "verify", "--json", "--lang", "en"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["clean"], told["flaws"], told["chains"]) == (True, [], 2)
    with house.db.write() as connection:
        connection.execute(update(decision).values(outcome="pass"))
    assert main(["log", "verify", "--lang", "en"]) == 1
    said = capsys.readouterr().out
    assert "does not say what was logged (outcome)" in said
    assert "Hedda" not in said
    assert main(["log", "verify", "--lang", "es"]) == 1
    assert "no dice lo que se registró (outcome)" in capsys.readouterr().out
    assert main(["log", "verify", "--json", "--seal", "ab" * 32]) == 1
    flaws = json.loads(capsys.readouterr().out)["flaws"]
    assert [one["what"] for one in flaws] == ["seal_unknown", "row_changed"]
    assert main(["regrade", "--certificates", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["certificates"] == 0
