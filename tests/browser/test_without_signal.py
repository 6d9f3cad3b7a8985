"""Practice without signal: answers outlive it, page by page, person by person."""

import os
import re
import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from a_farm import farm_form
from playwright.sync_api import Browser, BrowserContext, Page, expect
from sqlalchemy import select

from academy.records.tables.answers import answer
from academy.records.tables.scenarios import part, scenario
from academy.service import farm, people, signing, stock
from academy.service.people import SlipMade

Visit = Callable[..., Page]
Fit = Callable[[Page], None]
SCENARIO = re.compile("/practice/[0-9a-f]{32}$")
QUICK = (
    "safe-stop", "clear-a-plug", "harvest-fire", "reel-speed-today", "field-capacity"
)  # fmt: skip


@pytest.fixture
def crew(site: Any, case: Any, seen: Any) -> dict[str, SlipMade]:
    """A farm with an owner and a hire, whose scenarios lie on the shelf."""
    seen.expected += ["ERR_INTERNET_DISCONNECTED", "ERR_FAILED", "422", "400"]
    house = site.house
    now = house.clock()
    form = farm_form("Sallow Ridge", case[1])
    owner = farm.start_farm(house, farm.first_run_link(house, now), form, now)
    opened = signing.enrol(house, owner.token, case[1], "us", None, "10.0.0.9", now)
    viewer = signing.viewer_of(house, opened.sign_in_token, now)
    assert viewer is not None
    made = {}
    for name in ("Ilse Quade", "Pia Ames"):
        person_id = people.add_person(house, viewer, name, ["hire"], case[1], "us", now)
        made[name] = people.make_slip(house, viewer, person_id, now)
    for family in QUICK:
        for _ in range(3):
            stock.add_one(house, family)
    return made


def _answers(site: Any) -> list[str]:
    """Whose answers the site has, one entry per answered scenario."""
    query = (
        select(scenario.c.person_id, scenario.c.id)
        .select_from(answer.join(part).join(scenario))
        .distinct()
    )
    with site.house.db.read() as connection:
        return [row.person_id for row in connection.execute(query)]


def _open_slip(page: Page, site: Any, slip: SlipMade) -> None:
    page.goto(f"{site.url}/slip/{slip.token}")
    with page.expect_navigation():
        page.locator("main form button:not([type])").click()
    expect(page.locator("body[data-person]")).to_be_attached()


def _sign_in(page: Page, site: Any, name: str, slip: SlipMade) -> None:
    page.goto(f"{site.url}/sign-in")
    if page.locator(".names").count():
        with page.expect_navigation():
            page.locator(f".names a:has-text('{name}')").click()
    page.locator("input[name=pin]").fill(slip.pin)
    with page.expect_navigation():
        page.locator("main form button:not([type])").click()


def _at_hand(page: Page, site: Any) -> list[str]:
    """Open the list and wait until three scenarios are kept on the phone."""
    page.goto(f"{site.url}/practice")
    expect(page.locator("html[data-at-hand='3']")).to_be_attached()
    links = page.locator("ul.waiting a").all()
    return [link.get_attribute("href") or "" for link in links]


def _fill(page: Page, figure: str = "36") -> None:
    for steps in page.locator("[data-steps]").all():
        steps.locator("button:enabled").first.click()
    for box in page.locator(".field-row input[inputmode=decimal]").all():
        box.fill(figure)


def _answer_offline(page: Page, figure: str = "36") -> None:
    _fill(page, figure)
    page.locator("form[data-keep] button:not([type])").click()
    expect(page.locator(".for-no-signal")).to_be_visible()


def test_three_answers_outlive_the_signal(
    site: Any, visit: Visit, fit: Fit, crew: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    paths = _at_hand(page, site)
    fit(page)
    page.context.set_offline(True)
    for count, path in enumerate(paths, start=1):
        page.locator(f"ul.waiting a[href='{path}']").click()
        page.wait_for_url(SCENARIO)
        _answer_offline(page)
        if count == 1:
            fit(page)
        page.locator(".for-no-signal a").click()
        page.wait_for_url(re.compile("/practice$"))
        expect(page.locator("[data-note=waiting]")).to_contain_text(str(count))
        expect(page.locator("ul.waiting small")).to_have_count(count)
    page.reload()
    expect(page.locator("[data-note=waiting]")).to_contain_text("3")
    fit(page)
    page.goto(f"{site.url}{paths[0]}/explained")  # never kept: it tells the key
    expect(page.locator("h1")).to_contain_text("Sin señal")
    fit(page)
    assert _answers(site) == []
    page.goto(f"{site.url}/practice")
    expect(page.locator("[data-note=waiting]")).to_contain_text("3")
    page.context.set_offline(False)
    expect(page.locator("[data-note=waiting]")).to_be_hidden()
    assert len(_answers(site)) == 3
    for path in paths:
        page.goto(f"{site.url}{path}")
        assert page.url.endswith("/explained")
    page.reload()
    assert len(_answers(site)) == 3


def test_on_a_shared_phone_nobody_meets_anothers_answers(
    site: Any, visit: Visit, crew: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Pia Ames"])
    _open_slip(page, site, crew["Ilse Quade"])
    ilse = page.locator("body").get_attribute("data-person")
    first = _at_hand(page, site)[0]
    page.goto(site.url + first)
    page.context.set_offline(True)
    _answer_offline(page)
    # the phone is laid aside; the sign-in ends by itself; Pia takes it
    page.goto("about:blank")
    page.context.clear_cookies(name="sign_in")
    page.context.set_offline(False)
    _sign_in(page, site, "Pia Ames", crew["Pia Ames"])
    pia = page.locator("body").get_attribute("data-person")
    assert pia != ilse
    page.goto(f"{site.url}/practice")
    expect(page.locator("html[data-at-hand='3']")).to_be_attached()
    expect(page.locator("[data-note=waiting]")).to_be_hidden()
    assert first not in page.content()
    assert _answers(site) == []
    page.context.set_offline(True)
    page.goto(site.url + first)
    expect(page.locator("form[data-keep]")).to_have_count(0)
    page.goto(f"{site.url}/practice")
    expect(page.locator("form[data-lay-ready]")).to_be_attached()
    page.context.set_offline(False)
    with page.expect_navigation():
        page.locator("footer form[action='/sign-out'] button").click()
    _sign_in(page, site, "Ilse Quade", crew["Ilse Quade"])
    page.goto(f"{site.url}/practice")
    expect(page.locator(f"ul.waiting a[href='{first}']")).to_have_count(0)
    assert _answers(site) == [ilse]


def test_after_signing_out_nothing_of_a_person_opens(
    site: Any, visit: Visit, crew: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    first = _at_hand(page, site)[0]
    with page.expect_navigation():
        page.locator("footer form[action='/sign-out'] button").click()
    page.context.set_offline(True)
    for path in (first, "/practice"):
        page.goto(site.url + path)
        expect(page.locator("h1")).to_contain_text("No signal")
        assert "Ilse" not in page.content()


def test_an_answer_that_is_refused_later_stays(
    site: Any, visit: Visit, fit: Fit, crew: Any, open_topic: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    page.goto(f"{site.url}/practice")
    open_topic(page, "reel-speed-today")
    with page.expect_navigation():
        page.locator("form:has(input[value='reel-speed-today']) button").first.click()
    question = page.url
    page.context.set_offline(True)
    _answer_offline(page, "9**9")
    page.goto("about:blank")
    page.context.set_offline(False)
    page.goto(f"{site.url}/practice")
    note = page.locator("[data-note=refused]")
    expect(note.locator("strong")).to_be_visible()
    expect(note.locator(".error")).to_contain_text("**9")
    expect(page.locator("[data-note=waiting]")).to_be_hidden()
    fit(page)
    note.locator("a.button").click()
    page.wait_for_url(question)
    figure = page.locator(".field-row input[inputmode=decimal]")
    expect(figure).to_have_value("9**9")
    expect(page.locator(".for-refused .error")).to_contain_text("**9")
    fit(page)
    assert _answers(site) == []
    figure.fill("36")
    page.locator("form[data-keep] button:not([type])").click()
    page.wait_for_url(re.compile("/explained$"))
    expect(page.locator("[data-note=refused] section")).to_have_count(0)
    assert len(_answers(site)) == 1


def test_a_refusal_with_signal_shows_the_form_as_it_was_typed(
    site: Any, visit: Visit, crew: Any, open_topic: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    page.goto(f"{site.url}/practice")
    open_topic(page, "reel-speed-today")
    with page.expect_navigation():
        page.locator("form:has(input[value='reel-speed-today']) button").first.click()
    with page.expect_navigation():
        _fill(page, "many")
        page.locator("form[data-keep] button:not([type])").click()
    figure = page.locator(".field-row input[inputmode=decimal]")
    expect(figure).to_have_value("many")
    expect(page.locator(".control .error, .part .error").first).to_be_visible()
    page.goto(f"{site.url}/practice")
    expect(page.locator("[data-note=refused] section")).to_have_count(0)


def test_an_answer_written_before_signing_in_again_is_sent(
    site: Any, visit: Visit, crew: Any, open_topic: Any
) -> None:
    """Two tabs: the sign-in of one is renewed while the other is typed into."""
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    page.goto(f"{site.url}/practice")
    open_topic(page, "reel-speed-today")
    with page.expect_navigation():
        page.locator("form:has(input[value='reel-speed-today']) button").first.click()
    other = page.context.new_page()
    other.goto(f"{site.url}/card")
    with other.expect_navigation():
        other.locator("footer form[action='/sign-out'] button").click()
    _fill(page)
    page.locator("form[data-keep] button:not([type])").click()
    expect(page.locator("[data-note=signed-out]")).to_be_visible()
    assert _answers(site) == []
    _sign_in(other, site, "Ilse Quade", crew["Ilse Quade"])
    page.locator("form[data-keep] button:not([type])").click()
    page.wait_for_url(re.compile("/explained$"))
    assert len(_answers(site)) == 1


def test_what_an_older_page_left_waiting_is_brought_over(
    site: Any, visit: Visit, crew: Any, open_topic: Any
) -> None:
    page = visit()
    _open_slip(page, site, crew["Ilse Quade"])
    page.goto(f"{site.url}/practice")
    open_topic(page, "reel-speed-today")
    with page.expect_navigation():
        page.locator("form:has(input[value='reel-speed-today']) button").first.click()
    page.evaluate(
        """() => {
          const form = document.querySelector("form[data-keep]");
          const fields = new URLSearchParams(new FormData(form));
          fields.set("part-1", "36");
          const left = { [location.pathname]: fields.toString() };
          const shelf = `kept-answers/${document.body.dataset.person}`;
          localStorage.setItem(shelf, JSON.stringify(left));
        }"""
    )
    page.reload()
    page.wait_for_url(re.compile("/explained$"))
    assert len(_answers(site)) == 1
    assert page.evaluate("localStorage.length") == 0


def _kill(folder: Path) -> None:
    """Kill every process of the browser that lives in a folder."""
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            told = (entry / "cmdline").read_bytes()
        except OSError:
            continue
        if f"--user-data-dir={folder}".encode() in told:
            os.kill(int(entry.name), signal.SIGKILL)


def _launch(browser: Browser, folder: Path, *more: str) -> BrowserContext:
    return browser.browser_type.launch_persistent_context(
        folder,
        executable_path=shutil.which("chromium") or shutil.which("chromium-browser"),
        args=["--no-sandbox", "--disable-gpu", *more],
        headless=True,
    )


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds processes in /proc")
def test_a_killed_browser_loses_no_answer(
    site: Any, browser: Browser, tmp_path: Path, crew: Any
) -> None:
    folder = tmp_path / "browser"
    context = _launch(browser, folder)
    page = context.pages[0]
    _open_slip(page, site, crew["Ilse Quade"])
    path = _at_hand(page, site)[0]
    page.goto(site.url + path)
    context.set_offline(True)
    _answer_offline(page)
    cookies = context.cookies()  # browsers write theirs within half a minute
    _kill(folder)
    assert _answers(site) == []
    again = _launch(browser, folder)
    again.add_cookies(cookies)
    page = again.pages[0]
    page.goto(f"{site.url}/practice")
    expect(page.locator("#coming")).to_be_attached()
    expect(page.locator(f"ul.waiting a[href='{path}']")).to_have_count(0)
    assert len(_answers(site)) == 1
    again.close()


def test_on_plain_http_an_open_page_keeps_its_answer_and_says_what_is_lost(
    site: Any, browser: Browser, tmp_path: Path, crew: Any, open_topic: Any
) -> None:
    mapped = "--host-resolver-rules=MAP farm.example 127.0.0.1"
    context = _launch(browser, tmp_path / "browser", mapped)
    page = context.pages[0]
    url = site.url.replace("localhost", "farm.example")
    page.goto(f"{url}/slip/{crew['Ilse Quade'].token}")
    with page.expect_navigation():
        page.locator("main form button:not([type])").click()
    assert not page.evaluate("isSecureContext || 'serviceWorker' in navigator")
    page.goto(f"{url}/practice")
    open_topic(page, "reel-speed-today")
    with page.expect_navigation():
        page.locator("form:has(input[value='reel-speed-today']) button").first.click()
    context.set_offline(True)
    _answer_offline(page)
    expect(page.locator("form[data-keep] [data-not-at-hand]")).to_be_visible()
    expect(page.locator("[data-needs-worker]")).to_be_hidden()
    assert _answers(site) == []
    context.set_offline(False)
    page.wait_for_url(re.compile("/explained$"))
    assert len(_answers(site)) == 1
    context.close()
