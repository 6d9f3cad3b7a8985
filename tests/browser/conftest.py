"""A real browser on a served site; any console message or page error fails a test."""

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from jinja2 import BytecodeCache
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from werkzeug.serving import make_server

from academy.catalog import shelf
from academy.records.db import Database
from academy.service import farm, stock
from academy.service.house import House
from academy.service.settings import Settings
from academy.web import create_app

MISSING = "needs Chromium: apt-get install chromium"
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
VENDOR = Path(__file__).parent / "vendor"
LOCALES = {"en": "en-US", "es": "es-MX"}
CASES = [
    pytest.param((390, "es", "postgres"), id="phone-es"),
    pytest.param((1280, "en", "sqlite"), id="desk-en"),
]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this folder."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


def _program() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found:
        return found
    if "browser" in os.environ.get("ACADEMY_REQUIRE", ""):
        pytest.fail(MISSING)
    pytest.skip(MISSING)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser of the whole run."""
    program = _program()
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=program, args=list(FLAGS))
        yield opened
        opened.close()


@pytest.fixture(params=CASES)
def case(request: pytest.FixtureRequest) -> tuple[int, str, str]:
    """Width, language and database, each shown once; long words meet a small screen.

    A test that goes all the way round names the other pairs too.
    """
    chosen: tuple[int, str, str] = request.param
    return chosen


@dataclass(frozen=True)
class Site:
    """A served installation."""

    url: str
    house: House

    def first_run(self) -> str:
        """A link to start the farm."""
        token = farm.first_run_link(self.house, self.house.clock())
        return f"{self.url}/first-run/{token}"


@pytest.fixture
def site(
    request: pytest.FixtureRequest,
    case: tuple[int, str, str],
    tmp_path: Path,
    compiled_pages: BytecodeCache,
) -> Iterator[Site]:
    """An installation without a farm, served on a port of its own."""
    database: Database = request.getfixturevalue(f"{case[2]}_database")
    server = make_server("127.0.0.1", 0, lambda *_: [b""], threaded=True)
    url = f"http://localhost:{server.server_port}"
    house = House(
        db=database,
        catalog=shelf.load(),
        settings=Settings(site_address=url),
        instance=tmp_path,
        pepper=bytes(range(32)),
        clock=lambda: datetime.now(UTC),
    )
    stock.keep_coefficients(house)
    server.app = create_app(house)
    server.app.jinja_env.bytecode_cache = compiled_pages
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Site(url, house)
    server.shutdown()
    thread.join()
    server.server_close()


@dataclass
class Seen:
    """What a page complained about; ``expected`` parts of messages are let pass."""

    complaints: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def watch(self, page: Page) -> None:
        """Listen to everything a page has to say."""
        page.on("console", lambda said: self.complaints.append(said.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def unexpected(self) -> list[str]:
        """Complaints that nobody announced."""
        return [
            said
            for said in self.complaints
            if not any(part in said for part in self.expected)
        ]


@pytest.fixture
def seen() -> Iterator[Seen]:
    """Fails the test when a page complained."""
    found = Seen()
    yield found
    assert found.unexpected() == []


@pytest.fixture
def visit(
    browser: Browser, case: tuple[int, str, str], seen: Seen
) -> Iterator[Callable[[], Page]]:
    """Open a page of a fresh device, with cookies of its own."""
    contexts: list[BrowserContext] = []

    def _visit(**options: Any) -> Page:
        context = browser.new_context(
            viewport={"width": case[0], "height": 800},
            locale=LOCALES[case[1]],
            timezone_id="America/Chicago",
            reduced_motion="reduce",
            **options,
        )
        context.set_default_timeout(15_000)
        contexts.append(context)
        page = context.new_page()
        seen.watch(page)
        return page

    yield _visit
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility rules, as vendored."""
    return (VENDOR / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture
def fit(axe: str, case: tuple[int, str, str]) -> Callable[[Page], None]:
    """Check a page: no rule broken, nothing sideways, targets big enough."""

    def _fit(page: Page) -> None:
        page.evaluate(axe)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        broken = [
            (rule["id"], [node["target"] for node in rule["nodes"]])
            for rule in found["violations"]
        ]
        assert broken == [], page.url
        assert page.evaluate("document.documentElement.scrollWidth") <= case[0]
        assert page.evaluate(SMALL_TARGETS) == [], page.url

    return _fit


SMALL_TARGETS = """
[...document.querySelectorAll(
  "button, select, input:not([type=hidden]), .button, nav a, summary"
)]
  .filter((one) => one.offsetParent && one.checkVisibility())
  .filter((one) => {
    const ticked = one.matches("[type=radio], [type=checkbox]");
    const box = (ticked ? one.closest("label") : one).getBoundingClientRect();
    return box.width > 0 && (box.height < 47.5 || box.width < 47.5);
  })
  .map((one) => one.outerHTML.slice(0, 120))
"""


def _open_topic(page: Page, family: str) -> None:
    offer = f"details:has(input[name=family][value='{family}'])"
    page.locator(offer).first.locator("summary").click()


@pytest.fixture(scope="session")
def open_topic() -> Callable[[Page, str], None]:
    """Unfolds the topic of the practice page that offers a family."""
    return _open_topic
