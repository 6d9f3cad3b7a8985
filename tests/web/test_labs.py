"""A lab through its own pages: laid out, found, answered, debriefed, taken away."""

import re
from typing import Any

import pytest

HIRES = ("Ilse Quade", "Hedda Ames")


@pytest.fixture
def phones(join: Any, owner: Any) -> dict[str, Any]:
    del owner
    hires = {name: join(name, "hire") for name in HIRES}
    return {"instructor": join("Lino Prado", "instructor"), **hires}


def lay_out(phones: Any, person_id: Any, **typed: Any) -> str:
    people = [person_id(phones[name]) for name in HIRES]
    sent = {"families": "safe-stop", "people": people} | typed
    answer = phones["instructor"].send("/labs", "/labs", **sent)
    assert answer.status_code == 303
    return str(answer.location)


def open_and_answer(hire: Any, lab_id: str) -> str:
    """Open the field and send the steps in the order shown; the question's address."""
    issued = hire.send(f"/lab/{lab_id}", f"/lab/{lab_id}/1")
    assert issued.status_code == 303
    keys = re.findall(r'name="part-1-([\w-]+)"', hire.text(issued.location))
    places = {f"part-1-{key}": str(n) for n, key in enumerate(keys, start=1)}
    answer = hire.send(issued.location, issued.location, **places)
    assert answer.status_code == 303
    return str(issued.location)


def test_a_lab_from_the_form_to_the_debrief(phones: Any, person_id: Any) -> None:
    path = lay_out(phones, person_id)
    lab_id = path.rpartition("/")[2]
    teacher, (first, second) = phones["instructor"], (phones[n] for n in HIRES)
    assert f"/lab/{lab_id}" in teacher.text(path)
    assert f"/lab/{lab_id}" in first.text("/practice")
    done = open_and_answer(first, lab_id)
    explained = first.get(f"{done}/explained")
    # This very address says that the answer was kept; the key waits.
    assert explained.status_code == 200
    held = explained.get_data(as_text=True)
    assert "Your answer is kept." in held
    assert "Nearest safe order" not in held
    assert first.get(f"{path}/debrief").status_code == 404
    assert teacher.get(f"{path}/debrief").location == path

    opened = teacher.send(path, f"{path}/debrief")
    assert opened.location == f"{path}/debrief"
    page = teacher.text(opened.location)
    assert "1 of 2" in page
    assert not any(name in page for name in HIRES)
    assert "Nearest safe order" in first.text(f"{done}/explained")
    late = second.client.post(
        f"/lab/{lab_id}/1",
        data={"csrf_token": dict(second.form("/", "/reader"))["csrf_token"]},
    )
    assert late.status_code == 409
    assert teacher.send(path, f"{path}/reopen").location == path
    assert second.send(f"/lab/{lab_id}", f"/lab/{lab_id}/1").status_code == 303


def test_who_has_begun_and_comes_too_late_is_told(phones: Any, person_id: Any) -> None:
    path = lay_out(phones, person_id)
    lab_id, hire = path.rpartition("/")[2], phones[HIRES[0]]
    issued = hire.send(f"/lab/{lab_id}", f"/lab/{lab_id}/1").location
    fields = dict(hire.form(issued, issued))
    keys = [name for name in fields if name.startswith("part-1-")]
    fields |= {name: str(n) for n, name in enumerate(keys, start=1)}
    phones["instructor"].send(path, f"{path}/debrief")
    answer = hire.client.post(issued, data=fields)
    assert answer.status_code == 409
    assert "no more answers are taken" in answer.get_data(as_text=True)
    assert hire.get(issued).location == f"/lab/{lab_id}"


def test_what_was_ticked_stays_when_the_form_comes_again(
    phones: Any, person_id: Any
) -> None:
    del person_id
    answer = phones["instructor"].send(
        "/labs", "/labs", families="safe-stop", fields="each"
    )
    assert answer.status_code == 422
    page = answer.get_data(as_text=True)
    assert "Choose a crew or some people" in page
    assert re.search(r'name="families" value="safe-stop" checked', page)
    assert re.search(r'name="fields" value="each" checked', page)


def test_paper_and_files_in_both_languages(phones: Any, person_id: Any) -> None:
    path = lay_out(phones, person_id)
    teacher = phones["instructor"]
    for language, word in (("en", "Answer sheet"), ("es", "Hoja de respuestas")):
        paper = teacher.text(f"{path}/paper?in={language}")
        assert f'<html lang="{language}">' in paper
        assert word in paper
        assert paper.count('class="caution"') >= 2
    open_and_answer(phones[HIRES[0]], path.rpartition("/")[2])
    for ending in ("csv", "xlsx"):
        answer = teacher.get(f"{path}/answers.{ending}")
        assert f".{ending}" in answer.headers["Content-Disposition"]
    assert HIRES[0].encode() not in teacher.get(f"{path}/answers.csv").data
    assert HIRES[0].encode() in teacher.get(f"{path}/answers.csv?names=1").data
