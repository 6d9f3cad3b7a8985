"""The main ways through the site in a real browser: phone and desk, both tongues."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

OWNER, HIRE = "Odalys Penrose", "Ilse Quade"
Visit = Callable[..., Page]
Fit = Callable[[Page], None]
# each pair of width, language and database occurs
EVERY_PAIR = [
    pytest.param((390, "en", "sqlite"), id="phone-en"),
    pytest.param((390, "es", "postgres"), id="phone-es"),
    pytest.param((1280, "en", "postgres"), id="desk-en"),
    pytest.param((1280, "es", "sqlite"), id="desk-es"),
]


def _click(page: Page, selector: str) -> None:
    """Click what leads to another page, and wait for that page."""
    with page.expect_navigation():
        page.locator(selector).first.click()


def _send(page: Page) -> None:
    _click(page, "main form button:not([type])")


def _start(page: Page, site: Any, language: str) -> str:
    """Start the farm; the path of the owner's slip."""
    page.goto(site.first_run())
    assert page.locator("#zone").input_value() == "America/Chicago"
    page.fill("#farm_name", "Sallow Ridge")
    page.fill("#owner_name", OWNER)
    page.select_option("#language", language)
    _send(page)
    return page.locator("main .button").get_attribute("href") or ""


def _owner(page: Page, site: Any, language: str) -> None:
    page.goto(_start(page, site, language))
    _send(page)
    expect(page.locator("h1")).to_contain_text(OWNER)


def _hire_slip(page: Page, site: Any, language: str) -> str:
    """Take a hire in and make a slip; its address, read off the QR picture's text."""
    page.goto(f"{site.url}/crew")
    form = page.locator("form[action='/crew']")
    form.locator("#name").fill(HIRE)
    form.locator("#language").select_option(language)
    _click(page, "form[action='/crew'] button")
    _click(page, "form[action='/crew/slips'] button")
    return page.locator(".slip img").get_attribute("alt") or ""


def _answer_anything(page: Page) -> None:
    for steps in page.locator("[data-steps]").all():
        steps.locator("button:enabled").first.click()
    for ways in page.locator("main form .choice").all():
        ways.locator("input").first.check()
    for figure in page.locator(".field-row input[inputmode=decimal]").all():
        figure.fill("36")
    page.locator("form[data-keep] button:not([type])").click()
    page.wait_for_url(re.compile("/explained$"))


def _practise(page: Page, site: Any, family: str, open_topic: Any) -> None:
    page.goto(f"{site.url}/practice")
    open_topic(page, family)
    _click(page, f"form:has(input[value='{family}']) button")
    assert re.search("/practice/[0-9a-f]+$", page.url)


@pytest.mark.parametrize("case", EVERY_PAIR, indirect=True)
def test_from_the_first_start_to_the_board(
    site: Any, visit: Visit, fit: Fit, case: Any, open_topic: Any
) -> None:
    language = case[1]
    owner, hire = visit(), visit()
    owner.goto(site.first_run())
    fit(owner)
    slip = _start(owner, site, language)
    fit(owner)
    owner.goto(slip)
    fit(owner)
    _send(owner)
    fit(owner)
    link = _hire_slip(owner, site, language)
    fit(owner)
    owner.goto(f"{site.url}/crew")
    fit(owner)
    owner.goto(f"{site.url}/season")
    owner.fill("#harvest_day", "2099-09-20")
    _send(owner)
    fit(owner)

    hire.goto(link)
    assert hire.locator("html").get_attribute("lang") == language
    fit(hire)
    _send(hire)
    expect(hire.locator("h1")).to_contain_text(HIRE)
    for family in ("standing-soybean", "safe-stop", "reel-speed-today"):
        _practise(hire, site, family, open_topic)
        fit(hire)
        _answer_anything(hire)
        fit(hire)
        for more in hire.locator("main details > summary").all():
            more.click()
        fit(hire)
    hire.goto(f"{site.url}/card")
    hire.locator("details > summary").first.click()
    expect(hire.locator("figure svg").first).to_be_visible()
    fit(hire)
    owner.goto(f"{site.url}/readiness")
    expect(owner.locator("main")).to_contain_text(HIRE)
    fit(owner)


def test_calculators_without_signing_in(
    site: Any, visit: Visit, fit: Fit, seen: Any
) -> None:
    page = visit()
    page.goto(f"{site.url}/")
    fit(page)
    page.goto(f"{site.url}/field/reel-speed")
    page.fill("#ground_speed", "3 mph")
    page.fill("#reel_diameter", "42 in")
    page.fill("#reel_index", "1,5")
    _send(page)
    # Iowa State University Extension, 2005: 42 in, 3 mph, 1.5 -> 36 rpm
    expect(page.locator("#answer ~ .facts dd").first).to_have_text("36.0 rpm")
    fit(page)
    seen.expected.append("422")
    page.fill("#ground_speed", "9**9**9")
    _send(page)
    assert page.locator("#ground_speed").input_value() == "9**9**9"
    expect(page.locator("#ground_speed-error")).to_be_visible()
    fit(page)
    for path in ("/field", "/field/loss-check", "/field/capacity", "/sign-in"):
        page.goto(site.url + path)
        fit(page)


def test_the_bench_answers_while_it_is_set(
    site: Any, visit: Visit, fit: Fit, seen: Any
) -> None:
    page = visit()
    page.goto(f"{site.url}/try-out")
    fit(page)
    before = page.locator("#bench").inner_text()
    page.fill("#ground_speed", "6")
    page.locator("#ground_speed").press("Tab")
    page.wait_for_url(re.compile("ground_speed=6&"))
    assert page.locator("#bench").inner_text() != before
    assert page.evaluate("document.activeElement.tagName") == "INPUT"
    seen.expected.append("422")
    page.fill("#ground_speed", "6 furlongs")
    page.locator("#ground_speed").press("Tab")
    expect(page.locator("#ground_speed-error")).to_be_visible()
    assert page.locator("#ground_speed").input_value() == "6 furlongs"
    page.goto(f"{site.url}/how/engine")
    fit(page)


def test_reading_pages(site: Any, visit: Visit, fit: Fit) -> None:
    page = visit()
    for path in (
        "/how",
        "/how/soybean.shatter_amplitude",
        "/how/source/iowa-2005",
        "/glossary",
    ):
        page.goto(site.url + path)
        fit(page)


def test_language_and_units_change_and_stay(site: Any, visit: Visit, case: Any) -> None:
    page = visit()
    other = "es" if case[1] == "en" else "en"
    page.goto(f"{site.url}/field/reel-speed")
    assert page.locator("html").get_attribute("lang") == case[1]
    page.select_option("#reader-language", other)
    page.select_option("#reader-units", "metric")
    _click(page, "footer button")
    assert page.url == f"{site.url}/field/reel-speed"
    assert page.locator("html").get_attribute("lang") == other
    expect(page.locator(".unit").first).to_have_text("km/h")


def test_the_whole_way_works_without_scripts(
    site: Any, visit: Visit, open_topic: Any
) -> None:
    page = visit(java_script_enabled=False)
    page.goto(site.first_run())
    page.fill("#farm_name", "Sallow Ridge")
    page.fill("#owner_name", OWNER)
    _send(page)
    page.goto(page.locator("main .button").get_attribute("href") or "")
    _send(page)
    page.goto(f"{site.url}/practice")
    open_topic(page, "safe-stop")
    _click(page, "form:has(input[value='safe-stop']) button")
    selects = page.locator(".steps select").all()
    for place, select in enumerate(selects, start=1):
        select.select_option(str(place))
    _click(page, "form[data-keep] button")
    assert page.url.endswith("/explained")


def test_steps_are_moved_by_keyboard(
    site: Any, visit: Visit, case: Any, open_topic: Any
) -> None:
    page = visit()
    _owner(page, site, case[1])
    _practise(page, site, "safe-stop", open_topic)
    steps = page.locator(".steps li")
    second = steps.nth(1).locator("span").inner_text()
    up = steps.nth(1).locator("button").first
    up.focus()
    page.keyboard.press("Enter")
    assert steps.nth(0).locator("span").inner_text() == second
    assert steps.nth(0).locator("b").inner_text() == "1"
    assert page.evaluate("document.activeElement.closest('li') !== null")


def test_an_answer_outlives_a_lost_signal(
    site: Any, visit: Visit, case: Any, seen: Any, open_topic: Any
) -> None:
    seen.expected += ["ERR_INTERNET_DISCONNECTED", "ERR_FAILED"]
    page = visit()
    _owner(page, site, case[1])
    _practise(page, site, "reel-speed-today", open_topic)
    question = page.url
    page.locator(".field-row input[inputmode=decimal]").fill("36")
    page.context.set_offline(True)
    page.locator("form[data-keep] button").click()
    expect(page.locator(".for-no-signal")).to_be_visible()
    assert page.url == question
    page.context.set_offline(False)
    page.wait_for_url(re.compile("/explained$"))
    page.goto(f"{site.url}/card")
    expect(page.locator("main .facts dd").nth(1)).to_have_text("1")


def test_a_first_question_is_light(
    site: Any, visit: Visit, case: Any, open_topic: Any
) -> None:
    starter = visit()
    _owner(starter, site, case[1])
    _practise(starter, site, "standing-soybean", open_topic)
    page = visit()  # nothing in its cache yet
    page.context.add_cookies(starter.context.cookies())
    sizes = []
    page.on("requestfinished", lambda request: sizes.append(request.sizes()))
    page.goto(starter.url, wait_until="networkidle")
    assert len(sizes) <= 3
    weight = sum(one["responseBodySize"] + one["responseHeadersSize"] for one in sizes)
    assert 3_000 < weight <= 40_000
