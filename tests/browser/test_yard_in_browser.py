"""The yard sign-off on a lead's phone whose signal comes and goes."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from a_farm import farm_form
from playwright.sync_api import Page, expect

from academy.catalog import headers, yard
from academy.records.queries import sign_offs
from academy.service import farm, people, sign_off, signing
from academy.service.people import SlipMade
from academy.service.sign_off import Given
from academy.service.viewer import Viewer

Visit = Callable[..., Page]
Fit = Callable[[Page], None]
LIST = "soybean-on-the-ground"
HEADER = headers.known()[0]
STOP = [item.key for item in yard.items_of(LIST, headers.load(HEADER))["safe-stop"]]


@pytest.fixture
def crew(site: Any, case: Any, seen: Any) -> tuple[SlipMade, str, Viewer]:
    """A lead's slip, the id of a hire, and the lead as a viewer."""
    seen.expected += ["ERR_INTERNET_DISCONNECTED", "ERR_FAILED", "409"]
    house, now = site.house, site.house.clock()
    form = replace(farm_form("Sallow Ridge", case[1]), header_key=HEADER)
    token = farm.start_farm(house, farm.first_run_link(house, now), form, now).token
    opened = signing.enrol(house, token, case[1], "us", None, "10.0.0.9", now)
    owner = signing.viewer_of(house, opened.sign_in_token, now)
    assert owner is not None
    hire, lead = (
        people.add_person(house, owner, name, [role], case[1], "us", now)
        for name, role in (("Ilse Quade", "hire"), ("Baltazar Oyarce", "lead"))
    )
    acting = Viewer(
        lead, "", frozenset({"lead"}), owner.crew_id, case[1], "us", "s", "c"
    )
    return people.make_slip(house, owner, lead, now), hire, acting


def _entries(site: Any, page: Page) -> dict[str, tuple[int, bool]]:
    with site.house.db.read() as connection:
        kept = sign_offs.entries(connection, page.url.split("/")[-1].split("#")[0])
    return {key: (entry.tries, entry.right) for key, entry in kept.items()}


def _row(page: Page, item: str) -> Any:
    return page.locator(f"li[data-item='{item}']")


def _tick(page: Page, item: str, word: str = "yes") -> None:
    _row(page, item).locator(f"button[value={word}]").click()


def _online_again(page: Page) -> None:
    page.context.set_offline(False)
    expect(page.locator("[data-waits]:not([hidden])")).to_have_count(0)


@pytest.mark.parametrize("case", [(390, "es", "postgres")], indirect=True)
def test_a_sign_off_outlives_the_signal(
    site: Any, visit: Visit, fit: Fit, crew: tuple[SlipMade, str, Viewer]
) -> None:
    slip, hire, lead = crew
    page = visit()
    page.goto(f"{site.url}/slip/{slip.token}")
    with page.expect_navigation():
        page.locator("main form button:not([type])").click()
    page.goto(f"{site.url}/people/{hire}/yard")
    fit(page)
    with page.expect_navigation():
        page.locator("form[action$='/yard'] button").click()
    # with signal: kept at once, without leaving the page
    for key in STOP[:2]:
        _tick(page, key)
        expect(_row(page, key)).to_have_attribute("data-word", "right")
    assert _entries(site, page) == dict.fromkeys(STOP[:2], (1, True))
    page.wait_for_function("caches.match(location.pathname, {ignoreVary: true})")

    # without: the rest of the safe stop opens the list on the phone
    page.context.set_offline(True)
    gap = _row(page, "hold-down-gap")
    page.locator("#group-knife-fit > summary").click()
    expect(gap.locator("form")).to_be_hidden()
    for key in STOP[2:]:
        _tick(page, key)
        expect(_row(page, key).locator("[data-waits]")).to_be_visible()
    gap.locator("input[name$=-gap-gap]").fill("0.9 mm")
    gap.locator("input[value=yes]").check()
    gap.locator("form button").click()
    expect(gap.locator("[data-waits]")).to_be_visible()
    expect(page.locator("#yard-sign button").last).to_be_disabled()
    page.reload()  # kept on the phone, with what waits
    expect(page.locator("[data-waits]:not([hidden])")).to_have_count(len(STOP) - 1)
    assert len(_entries(site, page)) == 2
    _online_again(page)
    assert _entries(site, page) == {
        **dict.fromkeys(STOP, (1, True)),
        "hold-down-gap": (1, False),
    }
    expect(gap).to_have_attribute("data-word", "not-yet")

    # an entry that arrives when the safe stop no longer holds is refused, and stays
    page.context.set_offline(True)
    if not gap.is_visible():
        page.locator("#group-knife-fit > summary").click()
    gap.locator("input[name$=-gap-gap]").fill("0.6 mm")
    gap.locator("form button").click()
    expect(gap.locator("[data-waits]")).to_be_visible()
    place, now = page.url.split("/")[-1], site.house.clock()
    no = Given(right=False)
    sign_off.enter(site.house, lead, place, STOP[0], no, "elsewhere", now)
    _online_again(page)
    expect(gap.locator(".error[data-refused]")).to_be_visible()
    expect(gap.locator("input[name$=-gap-gap]")).to_have_value("0.6 mm")
    assert _entries(site, page)["hold-down-gap"] == (1, False)
    fit(page)
    _tick(page, STOP[0])
    expect(_row(page, STOP[0])).to_have_attribute("data-word", "right")
    gap.locator("form button").click()
    expect(gap).to_have_attribute("data-word", "right")
    expect(gap.locator(".error")).to_have_count(0)
    assert _entries(site, page)["hold-down-gap"] == (2, True)
    assert _entries(site, page)[STOP[0]] == (3, True)

    # signed: the phone keeps it no longer
    with page.expect_navigation():
        page.locator("#yard-sign button[value=not-yet]").click()
    expect(page.locator("form[data-entry]")).to_have_count(0)
    page.context.set_offline(True)
    page.goto(f"{site.url}/yard/{place}")
    expect(page.locator("h1")).to_contain_text("No signal")
