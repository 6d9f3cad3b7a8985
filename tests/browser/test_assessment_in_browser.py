"""An assessment on a phone, from the release to what has to be put right."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from a_farm import farm_form
from playwright.sync_api import Page, expect

from academy.records.queries import assessments
from academy.service import farm, people, signing

Visit = Callable[..., Page]
Fit = Callable[[Page], None]
ASKED = re.compile(r"/assessments/[0-9a-f]{32}/\d+$")


def _slips(site: Any) -> dict[str, str]:
    """The slips of a lead and of a hire on a new farm."""
    house = site.house
    now = house.clock()
    form = farm_form("Sallow Ridge", "es")
    slip = farm.start_farm(house, farm.first_run_link(house, now), form, now)
    opened = signing.enrol(house, slip.token, "es", "us", None, "10.0.0.9", now)
    viewer = signing.viewer_of(house, opened.sign_in_token, now)
    assert viewer is not None
    made = {}
    for name, role in (("Ilse Quade", "hire"), ("Pia Ames", "lead")):
        person_id = people.add_person(house, viewer, name, [role], "es", "us", now)
        made[role] = people.make_slip(house, viewer, person_id, now).token
    return made


def _send(page: Page, selector: str) -> None:
    with page.expect_navigation():
        page.locator(selector).click()


def _fill_wrongly(page: Page, site: Any) -> None:
    """Turn every call, put every procedure upside down."""
    assessment_id, position = page.url.split("/")[-2:]
    with site.house.db.read() as connection:
        found = assessments.sent(connection, assessment_id, int(position))
    assert found is not None
    parts = json.loads(found[2].payload)["parts"]
    for place, one in enumerate(parts, start=1):
        if one["kind"] == "order":
            steps = page.locator("[data-steps]")
            for step in one["shown"]:
                row = steps.locator(f"li:has([name='part-{place}-{step}'])")
                for _ in range(one["shown"].index(step)):
                    row.locator("button").first.click()
        else:
            call = "go" if one["key"] == "stop" else "stop"
            page.locator(f"[name='part-{place}'][value={call}]").check()


@pytest.mark.parametrize("case", [(390, "es", "postgres")], indirect=True)
def test_from_the_release_to_what_must_be_put_right(
    site: Any, visit: Visit, fit: Fit, seen: Any
) -> None:
    seen.expected += ["ERR_INTERNET_DISCONNECTED", "ERR_FAILED"]
    slips = _slips(site)
    hire, lead = visit(), visit()
    for page, role in ((hire, "hire"), (lead, "lead")):
        page.goto(f"{site.url}/slip/{slips[role]}")
        _send(page, "main form button:not([type])")
    lead.goto(f"{site.url}/assessments")
    fit(lead)
    _send(lead, "a:has-text('Ilse Quade')")
    lead.locator("[name=certificate]").select_option("yard-helper")
    fit(lead)
    _send(lead, "main form button:not([type])")
    expect(lead.locator("h1")).to_contain_text("Ilse Quade")
    hire.goto(site.url)
    _send(hire, "a[href*='/assessments/']")
    fit(hire)
    _send(hire, "main form button:not([type])")
    expect(hire).to_have_url(ASKED)
    fit(hire)
    first = hire.url
    hire.context.set_offline(True)
    _fill_wrongly(hire, site)
    hire.locator("form[data-keep] > .actions button").click()
    expect(hire.locator(".for-no-signal")).to_be_visible()
    hire.context.set_offline(False)
    expect(hire).not_to_have_url(first)  # sent by itself, and the next one comes
    expect(hire).to_have_url(ASKED)
    lead.reload()
    expect(lead.locator("main")).to_contain_text("Corrija esto cara a cara")
    fit(lead)
    _fill_wrongly(hire, site)
    hire.locator("form[data-keep] > .actions button").click()
    expect(hire.locator("main")).to_contain_text("Esta vez no pasó la puerta")
    fit(hire)
    lead.reload()
    _send(lead, "form[action$='/correct'] button >> nth=0")
    expect(lead.locator("main")).to_contain_text("Corregido cara a cara")
    fit(lead)
