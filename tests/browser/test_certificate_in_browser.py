"""A certificate from the owner's screen to a stranger's check of its file."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pdf_text import text_of
from playwright.sync_api import Page, expect

from academy.catalog import blueprints, demo_farm
from academy.service import demo

Visit = Callable[..., Page]
Fit = Callable[[Page], None]


def _farm() -> Any:
    """The demonstration farm without practice and labs before the certificate."""
    whole = demo_farm.load()
    people = [one.model_copy(update={"scenarios": (0, 0)}) for one in whole.people]
    return whole.model_copy(update={"people": tuple(people), "labs": ()})


def _download(page: Page, link: str, folder: Path) -> Path:
    with page.expect_download() as found:
        page.locator(link).click()
    kept = folder / found.value.suggested_filename
    found.value.save_as(kept)
    return kept


def _checked(page: Page, file: Path) -> Any:
    page.locator("[name=file]").set_input_files(file)
    with page.expect_navigation():
        page.locator("form.verify button").click()
    return page.locator("#found")


@pytest.mark.usefixtures("quick_pins")
@pytest.mark.parametrize("case", [(390, "en", "sqlite")], indirect=True)
def test_a_certificate_is_handed_out_confirmed_and_checked(
    site: Any, visit: Visit, fit: Fit, tmp_path: Path
) -> None:
    content = _farm()
    assert content.certified is not None
    name = content.certified.name
    title = blueprints.load(content.certified.certificate).title.en
    made = demo.build(site.house, site.house.clock(), content)
    (owner,) = (one for one in made.people if "owner" in one.roles)
    screen = visit()
    screen.goto(f"{site.url}/slip/{owner.token}")
    with screen.expect_navigation():
        screen.locator("main form button:not([type])").click()
    screen.goto(f"{site.url}/certificates")
    screen.locator(f"main a:has-text('{name}')").first.click()
    expect(screen.locator("h1")).to_contain_text(name)
    fit(screen)

    paper = _download(screen, "main a[href$='.pdf']", tmp_path)
    assert paper.read_bytes().startswith(b"%PDF-")
    assert paper.suffix == ".pdf"
    assert name.replace(" ", "") in text_of(paper.read_bytes())
    file = _download(screen, "main a[href$='.json']", tmp_path)
    number = screen.locator("main a[href*='/c/']").get_attribute("href")

    stranger = visit()  # another device, signed in nowhere
    stranger.goto(f"{site.url}{number}")
    expect(stranger.locator(".state")).to_be_visible()
    fit(stranger)
    shown = stranger.content()
    assert title in shown
    for one in content.people:  # nobody's name, not the holder's, not the lead's
        assert one.name not in shown
        assert one.name.split()[0] not in shown
    assert not re.search(r"\b(points|attempt|score)\b", shown)

    stranger.goto(f"{site.url}/verify")
    expect(_checked(stranger, file)).to_contain_text("Genuine, and valid today")
    fit(stranger)
    raw = bytearray(file.read_bytes())
    at = raw.index(title.encode())
    raw[at] ^= 1  # one byte: another letter in the title
    file.write_bytes(raw)
    said = _checked(stranger, file)
    expect(said).to_contain_text("Changed after it was signed")
    expect(said).not_to_contain_text("Genuine")
