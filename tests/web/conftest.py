"""A served farm and phones that use it through its real forms."""

from collections.abc import Callable
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from a_farm import farm_form
from begun import Kept, begun
from flask import Flask
from jinja2 import BytecodeCache
from werkzeug.test import TestResponse

from academy.catalog import shelf
from academy.records.db import Database
from academy.service import farm, people, signing, stock
from academy.service.house import House
from academy.service.settings import Settings
from academy.web import create_app

START = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
FORM = farm_form()
Fields = list[tuple[str, str]]


class Forms(HTMLParser):
    """The forms of a page as a browser would send them untouched."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[tuple[str, Fields]] = []
        self._select = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((had.get("action", ""), []))
        elif tag == "select":
            self._select = had["name"]
            self._put(self._select, "")
        elif tag == "option" and ("selected" in had or not self._value(self._select)):
            self._put(self._select, had.get("value", ""))
        elif tag == "input" and (
            had.get("type") not in ("checkbox", "radio") or "checked" in had
        ):
            self.forms[-1][1].append((had["name"], had.get("value", "")))

    def _value(self, name: str) -> str:
        return dict(self.forms[-1][1]).get(name, "")

    def _put(self, name: str, value: str) -> None:
        kept = [(key, was) for key, was in self.forms[-1][1] if key != name]
        self.forms[-1][1][:] = [*kept, (name, value)]


class Phone:
    """A browser with its own cookies."""

    def __init__(self, app: Flask) -> None:
        self.client = app.test_client()

    def get(self, path: str, **kwargs: object) -> TestResponse:
        return self.client.get(path, **kwargs)  # type: ignore[arg-type]

    def text(self, path: str) -> str:
        return self.get(path).get_data(as_text=True)

    def form(self, path: str, action: str) -> Fields:
        """Fields of the first form on ``path`` that goes to ``action``."""
        found = Forms(self.text(path)).forms
        return next(fields for to, fields in found if to == action)

    def send(self, path: str, action: str, **typed: str | list[str]) -> TestResponse:
        """Fill the form on ``path`` in and send it; ``__`` in a name is a hyphen."""
        new = {name.replace("__", "-"): value for name, value in typed.items()}
        fields = [(name, value) for name, value in self.form(path, action)
                  if name not in new]  # fmt: skip
        for name, value in new.items():
            values = value if isinstance(value, list) else [value]
            fields += [(name, one) for one in values]
        data: dict[str, list[str]] = {}
        for name, one in fields:
            data.setdefault(name, []).append(one)
        return self.client.post(action, data=data)


@pytest.fixture
def house(database: Database, tmp_path: Path, quick_pins: None) -> House:
    """An installation without a farm."""
    del quick_pins
    opened = House(
        db=database,
        catalog=shelf.load(),
        settings=Settings(),
        instance=tmp_path,
        pepper=bytes(range(32)),
        clock=lambda: START,
    )
    stock.keep_coefficients(opened)
    return opened


@pytest.fixture(scope="session")
def sites() -> dict[int, Flask]:
    """Sites made so far, by how many proxies they trust; their routes cost 50 ms."""
    return {}


@pytest.fixture
def app(house: House, compiled_pages: BytecodeCache, sites: dict[int, Flask]) -> Flask:
    """The site, which finds everything of a farm in its house: the test's own."""
    proxies = house.settings.trusted_proxies
    if proxies not in sites:
        sites[proxies] = create_app(house)
        sites[proxies].testing = True
        sites[proxies].jinja_env.bytecode_cache = compiled_pages
    made = sites[proxies]
    made.extensions["house"] = house
    return made


@pytest.fixture
def phone(app: Flask) -> Phone:
    """A phone that was never here."""
    return Phone(app)


@pytest.fixture
def owner(app: Flask, house: House, farms_begun: Kept) -> Phone:
    """The owner's phone, signed in, on a farm just started."""
    phone, cookies = Phone(app), ("visitor", "device", "sign_in")

    def begin() -> dict[str, str]:
        token = farm.first_run_link(house, START)
        slip = farm.start_farm(house, token, FORM, START)
        _opened(phone, slip.token)
        return {name: _cookie(phone, name) for name in cookies}

    for name, value in begun(farms_begun, house, "web", begin).items():
        phone.client.set_cookie(name, value)
    return phone


@pytest.fixture
def join(app: Flask, house: House, owner: Phone) -> Callable[..., Phone]:
    """Take a person in and open their slip on a phone of their own."""

    def _join(name: str, role: str, language: str = "en", units: str = "us") -> Phone:
        viewer = signing.viewer_of(house, _cookie(owner, "sign_in"), START)
        assert viewer is not None
        person_id = people.add_person(
            house, viewer, name, [role], language, units, START
        )
        slip = people.make_slip(house, viewer, person_id, START)
        return _opened(Phone(app), slip.token)

    return _join


@pytest.fixture
def person_id(house: House) -> Callable[[Phone], str]:
    """Whose phone this is."""

    def _person_id(phone: Phone) -> str:
        viewer = signing.viewer_of(house, _cookie(phone, "sign_in"), START)
        assert viewer is not None
        return viewer.person_id

    return _person_id


def _cookie(phone: Phone, name: str) -> str:
    kept = phone.client.get_cookie(name)
    assert kept is not None
    return kept.value


def _opened(phone: Phone, token: str) -> Phone:
    answer = phone.send(f"/slip/{token}", f"/slip/{token}")
    assert answer.status_code == 303
    return phone


def _typed(part: Any) -> dict[str, str | list[str]]:
    """Some possible answer to a part."""
    if part.options:
        return {f"part-{part.index}": part.options[0][0]}
    if part.kind == "inspection":
        return {f"part-{part.index}": [key for key, *_ in part.findings[:2]]}
    if part.kind == "number":
        return {f"part-{part.index}": "12"}
    if part.kind == "order":
        return {
            f"part-{part.index}-{key}": str(place)
            for place, (key, _text) in enumerate(part.steps, start=1)
        }
    return {}


@pytest.fixture
def any_answer() -> Callable[[Any], dict[str, str | list[str]]]:
    """What makes some possible answer to a part: fields and what is typed."""
    return _typed
