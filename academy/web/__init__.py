"""The shop window: pages and forms over the deeds of ``service``."""

import hashlib
import hmac

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from academy.service.house import House
from academy.web import (
    assets,
    forgery,
    navigation,
    program_log,
    protection,
    refusals,
    visit,
    words,
)
from academy.web.pages import (
    appeals,
    assessments,
    bank,
    card,
    certificates,
    crew,
    devices,
    error_rates,
    field,
    first_run,
    glossary,
    health,
    how,
    instruction,
    labs,
    lessons,
    person,
    practice,
    raters,
    reader,
    readiness,
    roster,
    season,
    sign_in,
    signs,
    slip,
    today,
    try_out,
    verify,
    yard,
)

PAGES = (
    today,
    first_run,
    slip,
    sign_in,
    reader,
    crew,
    roster,
    devices,
    person,
    season,
    practice,
    card,
    certificates,
    verify,
    readiness,
    labs,
    assessments,
    appeals,
    raters,
    yard,
    instruction,
    field,
    try_out,
    how,
    error_rates,
    lessons,
    signs,
    bank,
    glossary,
    health,
)


def create_app(house: House) -> Flask:
    """The site of an opened installation."""
    app = program_log.Site(__name__, static_folder=None)
    app.extensions["house"] = house
    app.secret_key = _secret(house)
    app.session_interface = visit.NoCookieSession()
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.before_request(visit.begin)
    protection.init_app(app)
    app.after_request(visit.end)
    for part in (words, assets, forgery, navigation, refusals, program_log):
        part.init_app(app)
    for page in PAGES:
        app.register_blueprint(page.bp)
    if house.settings.trusted_proxies:
        _trust_proxies(app, house.settings.trusted_proxies)
    return app


def _secret(house: House) -> str:
    """One secret for all processes of an installation, made from its pepper."""
    return hmac.new(house.pepper, b"forms of the site", hashlib.sha256).hexdigest()


def _trust_proxies(app: Flask, count: int) -> None:
    """Believe what that many proxies in front of us say of scheme and address."""
    wrapped = ProxyFix(app.wsgi_app, x_for=count, x_proto=count, x_host=count)
    app.wsgi_app = wrapped  # type: ignore[method-assign]
