"""Who asks, in which language and units: settled once, before any page.

The browser keeps four cookies, none of which says anything by itself: the sign-in and
the device (opaque tokens), a visitor's token that a forged form cannot know, and a
visitor's choice of language and units.
"""

import hashlib
import hmac
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, cast

from flask import (
    Flask,
    Response,
    abort,
    current_app,
    g,
    redirect,
    request,
    session,
    url_for,
)
from flask.sessions import SessionInterface, SessionMixin
from werkzeug.wrappers import Response as AnyResponse

from academy.language import LANGUAGES, Reader
from academy.service import signing
from academy.service.house import House
from academy.service.tokens import fresh_token
from academy.service.viewer import Viewer

PAGE_OF = "Page-Of"
SIGN_IN, DEVICE, VISITOR, READER = "sign_in", "device", "visitor", "reader"
YEAR = 365 * 24 * 3600
SYSTEMS = ("us", "metric")
LONGEST_TOKEN = 100
LEFT = "left"
"""Marks a choice of language and units that a person left behind on the device."""


class Session(dict[str, object], SessionMixin):
    """Holds the secret of the forms for one request; nothing of it is sent."""


class NoCookieSession(SessionInterface):
    """Flask's session without its cookie: that one is signed, not secret."""

    def open_session(self, _app: Flask, _request: object) -> Session:
        """An empty session; ``begin`` fills in the secret of the forms."""
        return Session()

    def save_session(self, _app: Flask, _session: object, _response: object) -> None:
        """Keep nothing."""


@dataclass
class Visit:
    """One request's person (None when signed out), reader and new cookies."""

    viewer: Viewer | None
    reader: Reader
    visitor: str
    now: datetime
    cookies: dict[str, tuple[str, int]] = field(default_factory=dict)

    def remember(self, name: str, value: str, seconds: int = YEAR) -> None:
        """Have the browser keep a cookie; 0 seconds forgets it."""
        self.cookies[name] = (value, seconds)


def visit() -> Visit:
    """This request's visit."""
    return cast(Visit, g.visit)


def reader() -> Reader:
    """Language and units of whoever reads this page."""
    return visit().reader


@contextmanager
def reading_as(other: Reader) -> Iterator[None]:
    """Render what stands within in another language and other units."""
    own, visit().reader = visit().reader, other
    try:
        yield
    finally:
        visit().reader = own


def read_as(language: str, units: str) -> None:
    """Write this page for its person, unless somebody signed out chose otherwise.

    What the last person left on a shared device is not the next one's choice.
    """
    kept = request.cookies.get(READER, "")
    if not kept or kept.endswith(f".{LEFT}"):
        visit().reader = _reader(language, units)


def leave_reader(language: str, units: str) -> None:
    """Have the browser keep a person's language and units for the page after them."""
    visit().remember(READER, f"{language}.{units}.{LEFT}")


def now() -> datetime:
    """The moment this request came in, one for the whole request."""
    return visit().now


def house() -> House:
    """The installation this application serves."""
    return cast(House, current_app.extensions["house"])


def go(endpoint: str, **values: Any) -> AnyResponse:
    """The answer to every POST: look there now (303)."""
    return redirect(url_for(endpoint, **values), code=303)


def address() -> str:
    """Where the request comes from, for counting tries at a PIN."""
    return request.remote_addr or "unknown"


def person() -> Viewer:
    """The signed-in person; sends anybody else to sign in and back here."""
    found = visit().viewer
    if found is None:
        back = request.full_path.rstrip("?") if request.method == "GET" else None
        abort(redirect(url_for("sign_in.show", next=back), code=303))
    return found


def local_path(text: str | None) -> str | None:
    """A path on this very site to go back to; None for anything else."""
    if not text or not text.startswith("/") or text.startswith(("//", "/\\")):
        return None
    return text if text.isprintable() else None


def _visitor_reader() -> Reader:
    language, units, *_left = f"{request.cookies.get(READER, '')}.".split(".")
    if language not in LANGUAGES:
        language = request.accept_languages.best_match(LANGUAGES) or "en"
    return _reader(language, units)


def _reader(language: str, units: str) -> Reader:
    return Reader(
        "es" if language == "es" else "en",
        "metric" if units == "metric" else "us",
    )


def _viewer(moment: datetime) -> Viewer | None:
    token = request.cookies.get(SIGN_IN)
    return signing.viewer_of(house(), token, moment) if token else None


def _visitor_token() -> str:
    known = request.cookies.get(VISITOR, "")
    return known if len(known) <= LONGEST_TOKEN and known.isascii() else ""


def _form_secret(visitor: str) -> str:
    """A visitor's form secret: bound to their token, made by nobody else."""
    key = cast(str, current_app.secret_key).encode()
    return hmac.new(key, b"forms" + visitor.encode(), hashlib.sha256).hexdigest()


def begin() -> None:
    """Settle who asks, before every request but those for static files."""
    if request.blueprint != "assets":
        settle()


def settle() -> None:
    """Settle who asks; once a request, also for a page of refusal."""
    if "visit" in g:
        return
    moment = house().clock()
    viewer = _viewer(moment)
    reads = _reader(viewer.language, viewer.units) if viewer else _visitor_reader()
    known = _visitor_token()
    g.visit = Visit(viewer, reads, known or fresh_token(), moment)
    if not known:
        g.visit.remember(VISITOR, g.visit.visitor)
    session["csrf_token"] = viewer.csrf if viewer else _form_secret(g.visit.visitor)


def end(response: Response) -> Response:
    """Send the cookies that this request decided on, and whose page it is.

    The service worker throws kept pages away when one of somebody else comes in.
    """
    made = cast(Visit | None, g.get("visit"))
    if made and response.mimetype == "text/html":
        response.headers[PAGE_OF] = made.viewer.person_id if made.viewer else ""
    for name, (value, seconds) in (made.cookies if made else {}).items():
        response.set_cookie(
            name,
            value,
            max_age=seconds,
            httponly=True,
            samesite="Lax",
            secure=request.is_secure,
            path="/",
        )
    return response
