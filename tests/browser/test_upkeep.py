"""A season's upkeep in a real browser: roster file, devices, shared phone, erasing."""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

from playwright.sync_api import Page, expect

from academy.records.queries import farm as farms

Visit = Callable[..., Page]
Fit = Callable[[Page], None]
# Windows-1252 with semicolons, as a Spanish spreadsheet saves it
ROSTER = (
    b"Nombre;Funciones;Idioma;Unidades\r\n"
    b"\xcd\xf1igo Paz;temporada;espa\xf1ol;m\xe9trico\r\n"
    b"Ilse Quade;temporada;ingl\xe9s;EE. UU.\r\n"
)


def _click(page: Page, selector: str) -> None:
    with page.expect_navigation():
        page.locator(selector).first.click()


def _send(page: Page) -> None:
    _click(page, "main form button:not([type])")


def _owner(page: Page, site: Any, language: str) -> None:
    page.goto(site.first_run())
    page.fill("#farm_name", "Sallow Ridge")
    page.fill("#owner_name", "Odalys Penrose")
    page.select_option("#language", language)
    _send(page)
    page.goto(page.locator("main .button").get_attribute("href") or "")
    _send(page)


def _choose(page: Page, site: Any, data: bytes) -> None:
    page.goto(f"{site.url}/crew/roster")
    file = {"name": "list.csv", "mimeType": "text/csv", "buffer": data}
    page.set_input_files("#file", file)  # type: ignore[arg-type]
    _send(page)


def test_a_roster_comes_in_and_its_people_share_a_phone(
    site: Any, visit: Visit, fit: Fit, case: Any, seen: Any
) -> None:
    owner, phone = visit(), visit()
    _owner(owner, site, case[1])
    seen.expected.append("422")
    _choose(owner, site, b"Name;Roles\n;boss\n")
    expect(owner.locator("[role=alert] li")).to_have_count(1)
    fit(owner)
    _choose(owner, site, ROSTER)
    fit(owner)
    _send(owner)
    expect(owner.locator("[role=status]:visible")).to_contain_text("2")
    _click(owner, "form[action='/crew/slips'] button")
    links = [
        picture.get_attribute("alt") or ""
        for picture in owner.locator(".slip img").all()
    ]
    languages = []
    for link in links:
        phone.goto(link)
        languages.append(phone.locator("html").get_attribute("lang"))
        _send(phone)
    assert sorted(languages[-2:]) == ["en", "es"]
    fit(phone)
    _click(phone, "nav button")  # one tap to the names
    fit(phone)
    expect(phone.locator(".names a")).to_have_count(len(links))
    _click(phone, ".names a:has-text('Ilse')")  # one more to the PIN
    assert phone.locator("html").get_attribute("lang") == "en"
    fit(phone)

    owner.goto(f"{site.url}/crew")
    row = owner.locator("li:has-text('Ilse Quade')")
    devices = row.locator("a[href$='/devices']").get_attribute("href")
    erase = row.locator("a[href$='/erase']").get_attribute("href")
    fit(owner)
    owner.goto(f"{site.url}{devices}")
    fit(owner)
    owner.goto(f"{site.url}{erase}")
    fit(owner)
    owner.check("input[name=sure]")
    _send(owner)
    expect(owner.locator("main")).not_to_contain_text("Ilse Quade")
    for path in ("/readiness", "/readiness/sheet"):
        owner.goto(site.url + path)
        fit(owner)


def test_the_board_of_seven_people_fits_on_one_sheet_with_its_caution(
    site: Any, visit: Visit, case: Any
) -> None:
    """Of a PDF each page is an object of the type Page (ISO 32000-1, table 30)."""
    owner = visit()
    _owner(owner, site, case[1])
    rows = "".join(f"Ilse Quade {n};hire\n" for n in range(7))
    _choose(owner, site, f"Name;Roles\n{rows}".encode())
    _send(owner)
    with site.house.db.write() as connection:
        farms.put_season(connection, "soybean", 2027, date(2027, 9, 20))
    owner.goto(f"{site.url}/readiness/sheet")
    expect(owner.locator(".grid tbody tr")).to_have_count(7)
    owner.evaluate(ALL_TESTED)  # what a season of answers would write there
    for paper in ("A4", "Letter"):
        pdf = owner.pdf(format=paper, prefer_css_page_size=True)
        assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, paper


ALL_TESTED = """
for (const cell of document.querySelectorAll(".grid td"))
  cell.insertAdjacentHTML("beforeend", " <b>99 / 99 %</b>");
for (const cell of document.querySelectorAll(".sheet table:not(.grid) td:nth-child(5)"))
  cell.textContent = "Wynne Harkaway: sin esa persona, 35 % menos";
"""
