"""An assessment on its pages: no secret leaves, no answer counts twice."""

import json
import re
from collections.abc import Callable
from dataclasses import fields
from typing import Any

import pytest
from sqlalchemy import select, update

from academy.catalog import demo_farm, families
from academy.records.queries import assessments, scenarios
from academy.records.tables.assessments import assessment_step
from academy.records.tables.scenarios import part, scenario
from academy.scenarios.dice import Dice
from academy.service.house import House
from academy.service.shown_question import question as shown_back
from academy.service.simulated import Simulated
from academy.service.views import (
    ControlView,
    FactRow,
    PartView,
    Picture,
    Question,
    Table,
)
from academy.web.benchmarks.typed import typed


class Candidate:
    """A hire's phone in a running assessment."""

    def __init__(self, house: House, phone: Any, lead: Any, person_id: str) -> None:
        self.house, self.phone, self.lead, self.person_id = (
            house,
            phone,
            lead,
            person_id,
        )
        form = f"/people/{person_id}/assessment"
        self.root = lead.send(form, form, certificate="yard-helper").location
        self.id = self.root.rsplit("/", 1)[1]

    def begin(self) -> str:
        return str(self.phone.send(self.root, f"{self.root}/begin").location)

    def fields(self, path: str, skill: float = 1.0) -> dict[str, Any]:
        """The form as the page has it, filled in."""
        position = int(path.rsplit("/", 1)[1])
        with self.house.db.read() as connection:
            found = assessments.sent(connection, self.id, position)
        assert found is not None
        person = Simulated(demo_farm.load(), skill, "us", Dice("web", position))
        answers = person.answers(json.loads(found[2].payload))
        return dict(self.phone.form(path, path)) | typed(shown_back(found[1]), answers)

    def answer(self, path: str, skill: float = 1.0) -> str:
        sent = self.phone.client.post(path, data=self.fields(path, skill))
        assert sent.status_code == 303
        return str(sent.location)

    def until_end(self, path: str, skill: float = 1.0) -> None:
        while re.search(r"/\d+$", path) and len(path.rsplit("/", 1)[1]) < 3:
            path = self.answer(
                path, 1.0 if int(path.rsplit("/", 1)[1]) <= 10 else skill
            )


@pytest.fixture
def candidate(
    house: House, join: Callable[..., Any], person_id: Callable[[Any], str]
) -> Candidate:
    hire = join("Ilse Quade", "hire")
    lead = join("Baltazar Oyarce", "lead")
    return Candidate(house, hire, lead, person_id(hire))


def test_the_page_and_what_is_kept_of_it_hold_no_secret(candidate: Candidate) -> None:
    """Other keys, pars and seeds behind the same facts: the very same page."""
    path = candidate.begin()
    for _ in range(5):
        position = int(path.rsplit("/", 1)[1])
        with candidate.house.db.read() as connection:
            found = assessments.sent(connection, candidate.id, position)
            assert found is not None
            parts = scenarios.parts(connection, found[2].id)
        before = _without_tokens(candidate.phone.text(path))
        for figure in (found[2].seed, *(f"{one.par:.6f}" for one in parts)):
            assert str(figure) not in before
        payload = json.loads(found[2].payload)
        with candidate.house.db.write() as connection:
            connection.execute(
                update(scenario)
                .where(scenario.c.id == found[2].id)
                .values(payload=json.dumps(_turned(payload)), seed=1)
            )
            connection.execute(
                update(part).where(part.c.scenario_id == found[2].id).values(par=0.97)
            )
        assert _without_tokens(candidate.phone.text(path)) == before
        candidate.phone.send(path, "/reader", language="es")
        again = _without_tokens(candidate.phone.text(path))
        with candidate.house.db.write() as connection:
            connection.execute(
                update(scenario)
                .where(scenario.c.id == found[2].id)
                .values(payload=found[2].payload, seed=found[2].seed)
            )
        assert _without_tokens(candidate.phone.text(path)) == again
        candidate.phone.send(path, "/reader", language="en")
        assert _names(found[1]) <= SEEN
        path = candidate.answer(path)


SEEN = {
    field.name
    for view in (Question, FactRow, PartView, ControlView, Picture, Table)
    for field in fields(view)
} | {"language", "units"}


def _names(told: Any) -> set[str]:
    if isinstance(told, dict):
        return set(told).union(*(_names(one) for one in told.values()))
    if isinstance(told, list):
        return set().union(*(_names(one) for one in told))
    return set()


def _turned(payload: Any) -> Any:
    """The same scenario with everything else behind it that marking needs."""
    other = {"go": "stop", "stop": "go"}
    for one in payload["parts"]:
        if "key" in one:
            one["key"] = other.get(one["key"], one["key"])
        for name in ("critical", "pairs"):
            if name in one and isinstance(one[name], list):
                one[name] = [pair[::-1] for pair in one[name]]
        if isinstance(one.get("critical"), bool):
            one["critical"] = not one["critical"]
        if "bad" in one:
            one["bad"], one["good"] = one["good"], one["bad"]
    return payload


def _without_tokens(text: str) -> str:
    return re.sub(r'name="(csrf_token|key)" value="[^"]*"', "", text)


def test_back_refresh_two_tabs_and_a_double_click_are_harmless(
    candidate: Candidate,
) -> None:
    first = candidate.begin()
    here = candidate.fields(first)
    other_tab = candidate.fields(first) | {"key": "another-tab"}
    post = candidate.phone.client.post
    second = post(first, data=here).location
    assert second == f"{candidate.root}/2"
    for sent in (here, other_tab):  # clicked twice; the same said in another tab
        again = post(first, data=sent)
        assert (again.status_code, again.location) == (303, candidate.root)
    # back, and something else: refused, and the way leads to what is asked now
    changed = candidate.fields(second) | {"token": here["token"]}
    assert post(second, data=changed).status_code == 409
    wrong = _otherwise(here)
    refused = post(first, data=wrong)
    text = refused.get_data(as_text=True)
    assert refused.status_code == 409
    assert "The first answer stays" in text
    assert candidate.root in text
    assert candidate.phone.get(first).location == candidate.root
    assert candidate.phone.get(candidate.root).location == second
    with candidate.house.db.read() as connection:
        steps = assessments.steps(connection, candidate.id)
    assert [bool(one.answered_at) for one in steps] == [True, False]


def _otherwise(sent: dict[str, Any]) -> dict[str, Any]:
    """The same form with one choice turned, or two places of an order swapped."""
    other = {"go": "stop", "stop": "go"}
    turned = {name: other.get(value, value) for name, value in sent.items()}
    if turned != sent:
        return turned
    places = [name for name in sent if re.match(r"part-\d+-[a-z]", name)][:2]
    return sent | {places[0]: sent[places[1]], places[1]: sent[places[0]]}


def test_after_signing_in_again_it_goes_on_where_it_was(
    candidate: Candidate, app: Any
) -> None:
    second = candidate.answer(candidate.begin())
    typed_before = candidate.fields(second)
    cookies = candidate.phone.client
    cookies.post("/sign-out", data={"csrf_token": typed_before["csrf_token"]})
    refused = cookies.post(second, data=typed_before)
    assert refused.status_code != 200
    with candidate.house.db.read() as connection:
        steps = assessments.steps(connection, candidate.id)
    assert steps[1].answered_at is None
    assert app is cookies.application


def test_the_result_is_told_to_its_person_and_supervisors_at_the_end(
    candidate: Candidate, join: Callable[..., Any]
) -> None:
    path = candidate.begin()
    told = candidate.lead.text(candidate.root)
    assert "question 1 of 10" in told
    candidate.until_end(path, skill=0.0)
    own, lead = (
        candidate.phone.text(candidate.root),
        candidate.lead.text(candidate.root),
    )
    assert "Not passed this time" in own
    assert "That says nothing about you as a person" in own
    assert "Points above par" in own
    assert "Your questions, explained" in own
    assert "Your questions, explained" not in lead
    assert "It was put right face to face" in lead
    assert "It was put right face to face" not in own
    assert join("Pia Lund", "hire").get(candidate.root).status_code == 404
    board = candidate.lead.text("/readiness")
    assert "Talk first: a mistake that can hurt or kill" in board
    sent = candidate.lead.send(candidate.root, f"{candidate.root}/correct")
    assert sent.status_code == 303
    with candidate.house.db.read() as connection:
        query = select(assessment_step.c.id).where(
            assessment_step.c.corrected_at.is_not(None)
        )
        assert len(connection.scalars(query).all()) == 1


def test_a_lead_is_told_what_waits_and_that_a_device_is_free(
    candidate: Candidate,
) -> None:
    path, root, turned = candidate.begin(), candidate.root, False
    link = f'href="{root}"'
    assert link not in candidate.lead.text("/")
    while re.search(r"/\d+$", path):
        sent = candidate.fields(path)
        if not turned and not {"go", "stop"}.isdisjoint(map(str, sent.values())):
            sent, turned = _otherwise(sent), True
        path = candidate.phone.client.post(path, data=sent).location
    assert link in candidate.lead.text("/")
    assert "put the miss right face to face" in candidate.lead.text(root)
    assert "after that it goes on here" in candidate.phone.text(root)
    candidate.lead.send(root, f"{root}/correct")
    assert link not in candidate.lead.text("/")
    assert "No device holds it now" not in candidate.lead.text(root)
    candidate.lead.send(root, f"{root}/device")
    assert "No device holds it now" in candidate.lead.text(root)


@pytest.mark.parametrize("action", ["correct", "void", "cancel", "device", "window"])
def test_the_person_cannot_do_what_supervisors_do(
    candidate: Candidate, action: str
) -> None:
    path = candidate.begin()
    guard = {"csrf_token": candidate.fields(path)["csrf_token"], "until": "week"}
    sent = candidate.phone.client.post(f"{candidate.root}/{action}", data=guard)
    assert sent.status_code == 404


def test_a_released_one_stands_on_the_first_and_the_practice_page(
    candidate: Candidate,
) -> None:
    for page in ("/", "/practice"):
        assert "An assessment was released for you" in candidate.phone.text(page)
    path = candidate.begin()
    assert "Your assessment goes on" in candidate.phone.text("/practice")
    with candidate.house.db.read() as connection:
        (step,) = assessments.steps(connection, candidate.id)
    assert step.scenario_id not in candidate.phone.text("/practice")
    for address in ("", "/explained"):
        refused = candidate.phone.get(f"/practice/{step.scenario_id}{address}")
        assert refused.status_code in (404, 409)
    assert path.endswith("/1")
    void = candidate.lead.send(
        candidate.root, f"{candidate.root}/void", step=step.id, reason=""
    )
    assert void.status_code == 422
    assert "Write what failed" in void.get_data(as_text=True)


def test_one_that_cannot_go_on_is_told_to_both_and_a_new_one_may_follow(
    candidate: Candidate, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = candidate.begin()
    monkeypatch.setattr(families, "known", dict)  # the whole bank is gone
    sent = candidate.answer(path)
    assert sent == candidate.root
    told = candidate.phone.text(candidate.root)
    assert "This assessment could not go on" in told
    assert "It does not count as an attempt" in told
    assert "An assessment does not count" in candidate.phone.text("/")
    lead = candidate.lead.text(candidate.root)
    assert "nothing was left to ask in one of its topics" in lead
    assert f'href="/people/{candidate.person_id}/assessment"' in lead
    assert "nothing was decided" in candidate.lead.text(f"{candidate.root}/record")
    assert "it could not go on" in candidate.lead.text("/assessments")


def test_only_the_open_question_is_chosen_to_be_taken_out(candidate: Candidate) -> None:
    path = candidate.begin()
    while int(path.rsplit("/", 1)[1]) < 12:  # ten of the gate, then one scenario
        path = candidate.answer(path)
    root, void = candidate.root, f"{candidate.root}/void"
    chosen, first = _chosen(candidate.lead.text(root))
    with candidate.house.db.read() as connection:
        steps = assessments.steps(connection, candidate.id)
    assert (chosen, first) == ([steps[11].id], steps[11].id)
    sent = candidate.lead.send(root, void, step=steps[11].id, reason="Screen broke")
    assert sent.status_code == 303
    # now only the answered one could be taken out: nobody does so by a second press
    assert _chosen(candidate.lead.text(root)) == ([], "")
    empty = candidate.lead.send(root, void, step="", reason="It broke <again>")
    assert empty.status_code == 422
    page = empty.get_data(as_text=True)
    assert "Choose which question failed" in page
    assert 'value="It broke &lt;again&gt;"' in page
    candidate.phone.send(root, f"{root}/next")
    with candidate.house.db.read() as connection:
        fresh = assessments.steps(connection, candidate.id)[-1]
    assert _chosen(candidate.lead.text(root)) == ([fresh.id], fresh.id)


def _chosen(page: str) -> tuple[list[str], str]:
    """What is selected in the choice of questions, and what it falls back to."""
    (found,) = re.findall(r'<select id="step".*?</select>', page, re.DOTALL)
    options = re.findall(r'<option value="([^"]*)"( selected)?>', found)
    return [value for value, chosen in options if chosen], options[0][0]
