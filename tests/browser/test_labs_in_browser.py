"""A lab in a real browser: laid out, opened by its link, answered, debriefed."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from a_farm import farm_form
from playwright.sync_api import Page, expect

from academy.service import farm, people, signing

Visit = Callable[..., Page]
Fit = Callable[[Page], None]


def _send(page: Page, selector: str) -> None:
    with page.expect_navigation():
        page.locator(selector).first.click()


def _slips(site: Any) -> tuple[str, str]:
    """Addresses of the slips of an owner and of a hire in the owner's crew."""
    house, now = site.house, site.house.clock()
    form = farm_form("Sallow Ridge", "es", "metric")
    token = farm.first_run_link(house, now)
    made = farm.start_farm(house, token, form, now)
    opened = signing.enrol(house, made.token, "es", "metric", None, "::1", now)
    owner = signing.viewer_of(house, opened.sign_in_token, now)
    hire = people.add_person(house, owner, "Ilse Quade", ["hire"], "es", "metric", now)
    slips = (
        people.make_slip(house, owner, one, now) for one in (owner.person_id, hire)
    )
    first, second = (slip.url for slip in slips)
    return first, second


@pytest.mark.parametrize(
    "case", [pytest.param((390, "es", "postgres"), id="phone-es")], indirect=True
)
def test_from_the_form_to_the_debrief(site: Any, visit: Visit, fit: Fit) -> None:
    teacher, hire = visit(), visit()
    for page, slip in zip((teacher, hire), _slips(site), strict=True):
        page.goto(slip)
        _send(page, "main form button:not([type])")
    teacher.goto(f"{site.url}/labs")
    teacher.check("input[value='standing-soybean']")
    teacher.check("input[name='crews']")
    fit(teacher)
    _send(teacher, "form[action='/labs'] button")
    fit(teacher)
    link = teacher.locator(".give img").get_attribute("alt") or ""
    assert link.startswith(f"{site.url}/lab/")

    hire.goto(link)
    _send(hire, "main form button")
    for ways in hire.locator("main form .choice").all():
        ways.locator("input").first.check()
    hire.fill("input[name='part-3']", "5 ha/h")
    hire.fill("input[name='part-6']", "12 h")
    hire.locator("form[data-keep] button:not([type])").click()
    hire.wait_for_url(re.compile("/explained$"))

    teacher.reload()
    expect(teacher.locator("#who ~ p").first).to_contain_text("1 de 1")
    _send(teacher, "form[action$='/debrief'] button")
    expect(teacher.locator("figure svg").first).to_be_visible()
    assert "Ilse" not in teacher.locator("main").inner_text()
    fit(teacher)
    _send(teacher, "nav a[href$='marks=initials']")
    expect(teacher.locator("main tbody th", has_text="IQ")).to_have_count(1)
    hire.goto(link)
    _send(hire, "main .actions a")
    expect(hire.locator("figure svg").first).to_be_visible()
