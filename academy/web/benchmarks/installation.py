"""A throw-away installation with an invented farm, and a browser signed in to it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from tempfile import TemporaryDirectory

from flask.testing import FlaskClient

from academy import paths
from academy.catalog import combines, headers
from academy.service import farm, signing, stock
from academy.service.farm import FarmForm
from academy.service.house import House, open_house
from academy.service.viewer import Viewer
from academy.web import create_app
from academy.web.visit import DEVICE, SIGN_IN


@dataclass(frozen=True)
class Installation:
    """An open house, its owner, and a test client that carries the owner's cookies."""

    house: House
    viewer: Viewer
    client: FlaskClient


@contextmanager
def folder(where: Path | None = None) -> Iterator[Path]:
    """A folder that goes away again, on the disk that the farm's own data uses."""
    place = where or paths.instance()
    with TemporaryDirectory(
        prefix="bench-", dir=place, ignore_cleanup_errors=True
    ) as made:
        yield Path(made)


def open_farm(instance: Path) -> Installation:
    """Start a farm in an empty instance folder and sign its owner in."""
    house = open_house(instance)
    stock.keep_coefficients(house)
    now = house.clock()
    form = FarmForm(
        name="Farm of the benchmark",
        zone="UTC",
        currency="USD",
        header_key=headers.known()[0],
        combine_key=combines.known()[0],
        owner_name="Owner",
        language="en",
        units="us",
    )
    slip = farm.start_farm(house, farm.first_run_link(house, now), form, now)
    opened = signing.enrol(house, slip.token, "en", "us", None, "bench", now)
    viewer = signing.viewer_of(house, opened.sign_in_token, now)
    if viewer is None:
        raise RuntimeError("the owner of the benchmark could not sign in")
    client = create_app(house).test_client()
    client.set_cookie(DEVICE, opened.device_token)
    client.set_cookie(SIGN_IN, opened.sign_in_token)
    return Installation(house, viewer, client)


class Page(HTMLParser):
    """What a page links in, and the hidden and filled-in fields of one of its forms."""

    def __init__(self, text: str, action: str = "") -> None:
        super().__init__()
        self.links: list[str] = []
        self.fields: dict[str, str] = {}
        self._action, self._inside = action, False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note style sheets, scripts, pictures and fields."""
        had = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._inside = had.get("action") == self._action
        if tag == "input" and self._inside and "name" in had:
            self.fields[had["name"]] = had.get("value", "")
        address = had.get("href" if tag == "link" else "src", "")
        if tag in ("link", "script", "img") and address.startswith("/"):
            self.links.append(address)

    def handle_endtag(self, tag: str) -> None:
        """Leave the form."""
        if tag == "form":
            self._inside = False
