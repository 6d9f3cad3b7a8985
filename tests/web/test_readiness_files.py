"""The board, its sheet to print and its workbook say the same figures."""

import io
import re
from datetime import date
from typing import Any

import openpyxl
import pytest

from academy.records.queries import answers, scenarios, stock
from academy.service import beliefs, farm, readiness, signing


@pytest.fixture
def looking(owner: Any, house: Any) -> Any:
    cookie = owner.client.get_cookie("sign_in")
    return signing.viewer_of(house, cookie.value, house.clock())


@pytest.fixture
def crew(join: Any, house: Any, looking: Any, person_id: Any) -> None:
    """Two hires, one of them with answers; harvest ahead."""
    hires = join("Ilse Quade", "hire"), join("=cmd()", "hire")
    digest = _digest(house)
    for number in range(1, 9):
        part = stock.PartDraft("number", "reel", "made@1", 0.6, 0.0, 1, 1.0)
        draft = stock.Draft(
            "made", number, f"{number:064x}", "{}", 1, digest, parts=[part]
        )
        issue = scenarios.Issue(
            person_id(hires[0]), "sitting", "assessment", house.clock()
        )
        with house.db.write() as connection:
            issued = scenarios.issue_draft(connection, draft, issue)
            (kept,) = scenarios.parts(connection, issued.id)
            answers.record(
                connection, kept.id, answer={}, score=1.0, marks={}, now=house.clock()
            )
            beliefs.refresh(connection, house.catalog, person_id(hires[0]), ["reel"])
    farm.set_season(house, looking, "soybean", 2026, date(2026, 12, 1))


def _digest(house: Any) -> str:
    from academy.records.queries import coefficients

    with house.db.write() as connection:
        coefficients.keep(connection, "c" * 64, "{}")
    return "c" * 64


def _book(phone: Any) -> Any:
    answer = phone.get("/readiness.xlsx")
    assert answer.status_code == 200
    return openpyxl.load_workbook(io.BytesIO(answer.data))


def _plain(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.mark.usefixtures("crew")
@pytest.mark.parametrize(
    ("language", "ready", "untested"),
    [("en", "ready", "untested"), ("es", "listo", "sin evaluar")],
)
def test_page_sheet_and_workbook_say_the_same(
    owner: Any, house: Any, looking: Any, language: str, ready: str, untested: str
) -> None:
    owner.send("/", "/reader", language=language, units="us")
    board = readiness.board(house, looking, house.clock())
    hire = next(row for row in board.people if row.name == "Ilse Quade")
    reel = hire.topics["reel"]
    assert reel.word == "ready"
    assert reel.harvest < reel.today  # three months without practice
    today, harvest = f"{reel.today:.0%}"[:-1], f"{reel.harvest:.0%}"[:-1]

    page = _plain(owner.text("/readiness"))
    assert f"{today} %" in page
    assert f"{harvest} %" in page
    sheet = _plain(owner.text("/readiness/sheet"))
    assert "Ilse Quade" in sheet
    assert f"{ready} {today} / {harvest} %" in sheet

    jobs, people, _certified, reading = _book(owner).worksheets
    rows = {(row[0], row[1]): row for row in people.iter_rows(5, values_only=True)}
    name = house.catalog.topics["reel"].name.for_language(language)
    assert rows[("Ilse Quade", name)][2:] == (
        ready,
        int(today) / 100,
        int(harvest) / 100,
    )
    assert rows[("=cmd()", name)][2:] == (untested, None, None)
    assert len(rows) == 2 * len(house.catalog.topics)
    for row, job in zip(jobs.iter_rows(5, values_only=True), board.jobs, strict=True):
        covers = [f"{share * 100:.0f}" for share in row[2:4]]
        assert row[1] == job.needed
        assert f"{covers[0]} %" in page
        assert abs(row[2] - job.today) <= 0.0051 or row[2] in (0.01, 0.99)
        assert abs(row[3] - job.harvest) <= 0.0051 or row[3] in (0.01, 0.99)
    said = " ".join(str(row[0]) for row in reading.iter_rows(values_only=True))
    dated = "1 sept 2026" if language == "es" else "Sep 1, 2026"
    assert dated in said
    assert f"{house.catalog.model.ready_chance:.0%}"[:-1] + " %" in said
    assert ("licencia" if language == "es" else "no licence") in said


@pytest.mark.usefixtures("owner")
def test_without_a_harvest_day_the_sheet_has_only_today(owner: Any) -> None:
    assert "Cover at harvest" not in owner.text("/readiness/sheet")
    jobs = _book(owner).worksheets[0]
    assert {row[3] for row in jobs.iter_rows(5, values_only=True)} == {None}


def test_the_file_is_named_by_its_day(owner: Any) -> None:
    answer = owner.get("/readiness.xlsx")
    assert (
        'filename="readiness-2026-09-01.xlsx"' in answer.headers["Content-Disposition"]
    )
    assert answer.mimetype.endswith("spreadsheetml.sheet")


def test_an_owner_walks_from_crew_to_crew(
    owner: Any, join: Any, house: Any, looking: Any
) -> None:
    north = farm.add_crew(house, looking, "North side")
    lead = join("Lino Prado", "lead")
    assert f"/readiness?crew={north}" in owner.text("/readiness")
    for path in ("/readiness", "/readiness/sheet"):
        assert "North side" in owner.text(f"{path}?crew={north}")
        assert lead.get(f"{path}?crew={north}").status_code == 404
    assert lead.get(f"/readiness.xlsx?crew={north}").status_code == 404


def test_the_board_links_to_its_own_sheet_and_workbook(owner: Any) -> None:
    # One crew: no crew is named in the address, and every link must still open.
    for page in ("/readiness", "/readiness/sheet", "/readiness?crew="):
        text = owner.text(page)
        links = re.findall(r'href="(/readiness[^"]*)"', text)
        assert links
        for link in links:
            assert owner.get(link).status_code == 200, link
